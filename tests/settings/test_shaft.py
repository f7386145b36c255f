import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh

from cutworthy.reference import drives
from cutworthy.settings.shaft import (
    Steel,
    buckling_load_n,
    column_load_n,
    critical_speed_rpm,
    euler_load_n,
    johnson_load_n,
    limiting_slenderness,
    longest_span_mm,
    steel,
)

INCH = 25.4
POUND = 4.4482216152605  # N
ENDS = ["fixed-fixed", "fixed-simple", "simple-simple", "fixed-free"]
STEEL = Steel(youngs_n_mm2=206_000.0, density_kg_m3=7850.0, yield_n_mm2=350.0)


def test_plain_steel():
    assert steel() == STEEL


# Root, span, critical speeds of fixed-free, simple-simple, fixed-simple and fixed-fixed: worked out apart from this
# package.
ROUTERS = [
    (5.5, 600.0, (656.933053, 1844.039020, 2880.740890, 4180.229491)),
    (8.5, 800.0, (571.083847, 1603.056648, 2504.280433, 3633.949501)),
    (10.0, 1000.0, (429.992544, 1207.007359, 1885.575855, 2736.150212)),
]


@pytest.mark.parametrize(("root", "span", "speeds"), ROUTERS)
def test_whip_of_router_screws(root, span, speeds):
    for ends, speed in zip(("fixed-free", "simple-simple", "fixed-simple", "fixed-fixed"), speeds, strict=True):
        assert critical_speed_rpm(root, span, ends, STEEL) == pytest.approx(speed, abs=6e-7)


@pytest.mark.parametrize(("root", "span", "feed"), [(5.5, 600.0, 11801.850), (10.0, 1000.0, 7724.847)])
def test_feed_at_the_usual_limit(root, span, feed):
    assert 0.8 * critical_speed_rpm(root, span, "simple-simple", STEEL) * 8 == pytest.approx(feed, abs=5e-4)


# The machines of the Tidewater Workshop, to six digits: critical speed, and 80 % of it times the lead in mm/min.
@pytest.mark.parametrize(
    ("root", "span", "lead", "speed", "limit"),
    [
        (13.2, 1000.0, 10.0, "2488.96", "19911.7"),
        (13.2, 720.0, 10.0, "4801.23", "38409.9"),
        (5.6, 160.0, 8.0, "41247.0", "263981."),
    ],
)
def test_whip_of_plover(root, span, lead, speed, limit):
    critical = critical_speed_rpm(root, span, "fixed-simple", STEEL)
    assert f"{critical:#.6g}" == speed
    assert f"{0.8 * critical * lead:#.6g}" == limit


@pytest.mark.parametrize(
    ("span", "ends", "limit"),
    [
        (2000.0, "fixed-simple", "4977.92"),
        (2500.0, "fixed-simple", "3185.87"),
        (3000.0, "fixed-simple", "2212.41"),
        (2500.0, "simple-simple", "2039.36"),
    ],
)
def test_whip_of_longer_copies_of_plover(span, ends, limit):
    assert f"{0.8 * critical_speed_rpm(13.2, span, ends, STEEL) * 10:#.6g}" == limit


def test_longest_span_of_plover_x():
    assert f"{longest_span_mm(13.2, 300.0, 'fixed-simple', STEEL, 0.8):#.6g}" == "2576.28"


@pytest.mark.parametrize(("ends", "limit"), [("simple-simple", "520.666"), ("fixed-simple", "813.380")])
def test_whip_of_heron_y(ends, limit):
    # Root 0.355 in, span 36 in, lead 1/2 in; in/min.
    assert f"{0.8 * critical_speed_rpm(0.355 * INCH, 36 * INCH, ends, STEEL) * 0.5:#.6g}" == limit


@pytest.mark.parametrize(("root", "span", "load"), [(13.2, 1000.0, "6198.33"), (13.2, 720.0, "11956.7")])
def test_buckling_of_plover_x_and_y(root, span, load):
    assert f"{buckling_load_n(root, span, 'fixed-simple', STEEL):#.6g}" == load


def test_plover_z_is_too_short_for_euler():
    area, second_moment = math.pi / 4 * 5.6**2, math.pi / 64 * 5.6**4
    constant = drives.holding("fixed-simple").euler_constant
    euler = euler_load_n(second_moment, 160.0, constant, STEEL)
    assert f"{euler:#.6g}" == "7843.16"
    # Slenderness 114 is below its limit 154, so the screw yields first and Johnson's load counts.
    assert limiting_slenderness(constant, STEEL) > 160.0 / 1.4
    johnson = johnson_load_n(area, second_moment, 160.0, constant, STEEL)
    assert buckling_load_n(5.6, 160.0, "fixed-simple", STEEL) == johnson
    # By hand: 24.630 mm^2 (350 - (350 * 114.2857 / 2 pi)^2 / (2.0457 * 206000)) N/mm^2 = 24.630 * 253.828.
    assert johnson == pytest.approx(6251.8, abs=0.05)


def test_buckling_of_heron_y():
    assert f"{buckling_load_n(0.355 * INCH, 36 * INCH, 'simple-simple', STEEL) / POUND:#.6g}" == "177.389"


# Root, length, then Euler's load for C 1/4, 1, 2 and 4: worked out apart from this package.
COLUMNS = [
    (5.5, 600.0, (63.41983829516028, 253.67935318064113, 507.35870636128226, 1014.7174127225645), 1e-12),
    (10.0, 1000.0, (249.5036, 998.0145306471504, 1996.029, 3992.058), 2e-7),
]


@pytest.mark.parametrize(("root", "length", "loads", "near"), COLUMNS)
def test_euler_loads_of_router_screws(root, length, loads, near):
    for constant, load in zip((0.25, 1.0, 2.0, 4.0), loads, strict=True):
        assert euler_load_n(math.pi / 64 * root**4, length, constant, STEEL) == pytest.approx(load, rel=near)


def test_a_short_router_screw():
    area, second_moment = math.pi / 4 * 10.0**2, math.pi / 64 * 10.0**4
    assert limiting_slenderness(1.0, STEEL) == pytest.approx(107.7865, abs=5e-5)
    assert buckling_load_n(10.0, 200.0, "simple-simple", STEEL) == pytest.approx(19917.486969878777, rel=1e-12)
    assert johnson_load_n(area, second_moment, 200.0, 1.0, STEEL) == pytest.approx(19917.486969878777, rel=1e-12)
    assert euler_load_n(second_moment, 200.0, 1.0, STEEL) == pytest.approx(24950.363, abs=5e-4)


# Which of the four motions of the two ends are held: sideways and turning at the left, then at the right.
HELD = {
    "fixed-fixed": (True, True, True, True),
    "fixed-simple": (True, True, True, False),
    "simple-simple": (True, False, True, False),
    "fixed-free": (True, True, False, False),
}


def beam(length, bending, mass_per_length, ends, elements=24):
    """Return stiffness, mass and geometric stiffness of an Euler-Bernoulli beam of cubic elements."""
    h, size = length / elements, 2 * elements + 2
    stiffness, mass, geometric = np.zeros((size, size)), np.zeros((size, size)), np.zeros((size, size))
    k = [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2],
         [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h**2, -6 * h, 4 * h**2]]  # fmt: skip
    m = [[156, 22 * h, 54, -13 * h], [22 * h, 4 * h**2, 13 * h, -3 * h**2],
         [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h**2, -22 * h, 4 * h**2]]  # fmt: skip
    g = [[36, 3 * h, -36, 3 * h], [3 * h, 4 * h**2, -3 * h, -(h**2)],
         [-36, -3 * h, 36, -3 * h], [3 * h, -(h**2), -3 * h, 4 * h**2]]  # fmt: skip
    for element in range(elements):
        at = slice(2 * element, 2 * element + 4)
        stiffness[at, at] += bending / h**3 * np.array(k)
        mass[at, at] += mass_per_length * h / 420 * np.array(m)
        geometric[at, at] += np.array(g) / (30 * h)
    rows = [0, 1, size - 2, size - 1]
    free = np.setdiff1d(np.arange(size), [row for row, held in zip(rows, HELD[ends], strict=True) if held])
    pick = np.ix_(free, free)
    return stiffness[pick], mass[pick], geometric[pick]


def metres(root_mm):
    """Return E I and mass per length of a round steel bar in SI units."""
    return 206e9 * math.pi / 64 * (root_mm / 1000) ** 4, 7850.0 * math.pi / 4 * (root_mm / 1000) ** 2


@pytest.mark.parametrize("ends", ENDS)
@pytest.mark.parametrize(("root", "span"), [(13.2, 1000.0), (5.5, 600.0)])
def test_whip_against_finite_elements(ends, root, span):
    bending, mass_per_length = metres(root)
    stiffness, mass, _ = beam(span / 1000, bending, mass_per_length, ends)
    first = math.sqrt(eigh(stiffness, mass, eigvals_only=True)[0])
    assert critical_speed_rpm(root, span, ends, STEEL) == pytest.approx(60 * first / (2 * math.pi), rel=1e-5)


@pytest.mark.parametrize("ends", ENDS)
@pytest.mark.parametrize(("root", "span"), [(13.2, 1000.0), (5.5, 600.0)])
def test_buckling_against_finite_elements(ends, root, span):
    bending, mass_per_length = metres(root)
    stiffness, _, geometric = beam(span / 1000, bending, mass_per_length, ends)
    # A load w makes stiffness - w geometric singular; the greatest 1/w is the first buckling.
    load = 1 / eigh(geometric, stiffness, eigvals_only=True)[-1]
    # Within the four decimals of 2.0457.
    assert buckling_load_n(root, span, ends, STEEL) == pytest.approx(load, rel=3e-5)


ROOTS, SPANS = st.floats(3, 60), st.floats(50, 4000)


@given(ROOTS, SPANS, st.sampled_from(ENDS), st.floats(0.1, 1))
def test_the_longest_span_just_reaches_its_speed(root, span, ends, share):
    speed = share * critical_speed_rpm(root, span, ends, STEEL)
    assert longest_span_mm(root, speed, ends, STEEL, share) == pytest.approx(span, rel=1e-9)


@given(ROOTS, SPANS)
def test_firmer_ends_whip_later_and_bear_more(root, span):
    for weaker, firmer in (
        ("fixed-free", "simple-simple"),
        ("simple-simple", "fixed-simple"),
        ("fixed-simple", "fixed-fixed"),
    ):
        assert critical_speed_rpm(root, span, weaker, STEEL) < critical_speed_rpm(root, span, firmer, STEEL)
        assert buckling_load_n(root, span, weaker, STEEL) < buckling_load_n(root, span, firmer, STEEL)


@given(ROOTS, SPANS, st.sampled_from(ENDS), st.floats(1.001, 3))
def test_longer_is_weaker_and_slower(root, span, ends, factor):
    assert critical_speed_rpm(root, span * factor, ends, STEEL) < critical_speed_rpm(root, span, ends, STEEL)
    assert buckling_load_n(root, span * factor, ends, STEEL) < buckling_load_n(root, span, ends, STEEL)


@given(ROOTS, SPANS, st.sampled_from(ENDS))
def test_no_column_bears_more_than_its_yield_or_than_euler(root, span, ends):
    area, second_moment = math.pi / 4 * root**2, math.pi / 64 * root**4
    load = buckling_load_n(root, span, ends, STEEL)
    assert 0 < load < area * STEEL.yield_n_mm2
    assert load <= euler_load_n(second_moment, span, drives.holding(ends).euler_constant, STEEL) * (1 + 1e-12)


@given(ROOTS, st.floats(0.25, 4))
def test_the_two_curves_meet_at_half_the_yield(root, constant):
    area, second_moment = math.pi / 4 * root**2, math.pi / 64 * root**4
    length = limiting_slenderness(constant, STEEL) * root / 4
    half = area * STEEL.yield_n_mm2 / 2
    assert euler_load_n(second_moment, length, constant, STEEL) == pytest.approx(half, rel=1e-9)
    assert johnson_load_n(area, second_moment, length, constant, STEEL) == pytest.approx(half, rel=1e-9)
    assert column_load_n(area, second_moment, length, constant, STEEL) == pytest.approx(half, rel=1e-9)

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.reference import drives
from cutworthy.settings.screw import (
    Thread,
    back_drive_torque_n_m,
    collar_torque_n_m,
    efficiency,
    efficiency_back,
    half_angle_rad,
    lead_angle_rad,
    locking_friction,
    lower_torque_n_m,
    mean_diameter_mm,
    raise_torque_n_m,
    root_band_mm,
    root_diameter_mm,
)

INCH = 25.4
G = 9.80665


def cut(kind, major, pitch, lead, friction):
    return Thread(
        lead_mm=lead,
        mean_diameter_mm=mean_diameter_mm(kind, major, pitch),
        half_angle_rad=half_angle_rad(kind),
        friction=friction,
    )


def router(lead, friction):
    """Return a trapezoidal thread of 8 mm with 2 mm pitch."""
    return cut("trapezoidal", 8.0, 2.0, lead, friction)


def acme(per_inch, lead_inch, friction):
    return cut("acme", 0.5 * INCH, INCH / per_inch, lead_inch * INCH, friction)


# Lead, friction, N*mm to raise and to lower 200 N, efficiency, lambda and phi in degrees: the formulas worked out
# in double precision, apart from this package.
ROUTER = [
    (8.0, 0.10, 339.9191258636923, -175.5664693367531, 0.7491426329718983, 19.990512792909144, 5.910638915404559),
    (8.0, 0.15, 385.10753313672427, -138.14005520008635, 0.6612384516940238, 19.990512792909144, 8.827038060265453),
    (8.0, 0.20, 432.136438328974, -102.02444438211518, 0.5892766412657288, 19.990512792909144, 11.698087629376769),
    (2.0, 0.10, 137.42522189859986, 8.725204193344078, 0.46324813129085984, 5.196508218148935, 5.910638915404559),
    (2.0, 0.15, 174.83518835465236, 44.41474845169286, 0.3641256536276903, 5.196508218148935, 8.827038060265453),
    (2.0, 0.20, 212.60414427901912, 79.77447251039682, 0.2994390229440162, 5.196508218148935, 11.698087629376769),
]


@pytest.mark.parametrize(("lead", "friction", "up", "down", "share", "slope_deg", "friction_deg"), ROUTER)
def test_a_router_screw(lead, friction, up, down, share, slope_deg, friction_deg):
    screw = router(lead, friction)
    assert raise_torque_n_m(200.0, screw) * 1000 == pytest.approx(up, rel=1e-12)
    assert lower_torque_n_m(200.0, screw) * 1000 == pytest.approx(down, rel=1e-12)
    assert efficiency(screw) == pytest.approx(share, rel=1e-12)
    assert math.degrees(lead_angle_rad(screw)) == pytest.approx(slope_deg, rel=1e-12)
    # The friction angle is what is left when the torque is written as F d_m/2 tan(lambda + phi).
    turned = math.atan2(raise_torque_n_m(200.0, screw) * 1000, 200.0 * 3.5)
    assert math.degrees(turned) - slope_deg == pytest.approx(friction_deg, rel=1e-11)


@pytest.mark.parametrize(("lead", "expected"), [(8.0, 0.3513871312320655), (2.0, 0.08784678280801637)])
def test_where_a_router_screw_begins_to_hold(lead, expected):
    assert locking_friction(lead, 7.0, half_angle_rad("trapezoidal")) == pytest.approx(expected, rel=1e-12)


def test_back_efficiency_of_a_router_screw():
    assert efficiency_back(router(8.0, 0.10)) == pytest.approx(0.6894479128563015, rel=1e-12)


# The machines of the Tidewater Workshop, to six digits, worked out apart from this package.
PLOVER_X, PLOVER_Z = cut("ball", 16.0, 10.0, 10.0, 0.01), router(8.0, 0.15)
TIDEWATER = [
    ("Plover X", PLOVER_X, "11.2517", "0.950246", "0.947849"),
    ("Plover Z", PLOVER_Z, "19.9905", "0.661238", "0.542475"),
    ("Plover Z, 0.10", router(8.0, 0.10), "19.9905", "0.749143", "0.689448"),
    ("Plover Z, 0.20", router(8.0, 0.20), "19.9905", "0.589277", "0.400649"),
    ("Heron Y, 0.10", acme(8, 0.5, 0.10), "19.9905", "0.749591", "0.690135"),
    ("Heron Y, 0.15", acme(8, 0.5, 0.15), "19.9905", "0.661784", "0.543469"),
    ("Heron Z, 0.10", acme(10, 0.2, 0.10), "8.05226", "0.569551", "0.265999"),
    ("Heron Z, 0.15", acme(10, 0.2, 0.15), "8.05226", "0.466826", "-0.0931300"),
]


@pytest.mark.parametrize(("name", "screw", "angle", "push", "back"), TIDEWATER)
def test_screws_of_the_workshop(name, screw, angle, push, back):
    assert f"{math.degrees(lead_angle_rad(screw)):#.6g}" == angle, name
    assert f"{efficiency(screw):#.6g}" == push, name
    assert f"{efficiency_back(screw):#.6g}" == back, name


@pytest.mark.parametrize(
    ("screw", "expected"),
    [(PLOVER_Z, "0.351387"), (acme(8, 0.5, 0.15), "0.352195"), (acme(10, 0.2, 0.15), "0.136965")],
)
def test_locking_friction_of_the_workshop(screw, expected):
    assert f"{locking_friction(screw.lead_mm, screw.mean_diameter_mm, screw.half_angle_rad):#.6g}" == expected


@pytest.mark.parametrize(("friction", "expected"), [(0.10, "0.0308891"), (0.15, "0.0243043"), (0.20, "0.0179501")])
def test_the_unpowered_z_of_plover_turns_its_screw(friction, expected):
    # 4.2 kg less 6 N of drag.
    assert f"{back_drive_torque_n_m(4.2 * G - 6, router(8.0, friction)):#.6g}" == expected


def test_the_root_of_heron_y():
    assert root_diameter_mm("acme", 0.5 * INCH, INCH / 8) / INCH == pytest.approx(0.355, abs=1e-9)


def test_square_and_ball_roots():
    assert root_band_mm("square", 20.0, 4.0) == pytest.approx((15.2, 16.0, 16.0))
    low, value, high = root_band_mm("ball", 16.0, 10.0)
    assert value == pytest.approx(root_diameter_mm("ball", 16.0, 10.0))
    # Plover's measured 13.2 mm on a screw of 16 mm must not surprise.
    assert low < 13.2 < high
    assert mean_diameter_mm("ball", 16.0, 10.0) == 16.0


def test_the_measured_root_of_plover_z_lies_in_the_band():
    low, value, high = root_band_mm("trapezoidal", 8.0, 2.0)
    assert value == pytest.approx(5.5, abs=1e-9)
    assert low < 5.6 < high


@pytest.mark.parametrize("kind", ["trapezoidal", "acme", "square"])
def test_beyond_the_standard_s_pitches_the_last_clearance_holds(kind):
    clearance = drives.root_clearance_mm(kind, 900.0)
    assert drives.root_clearance_mm(kind, 5000.0) == clearance
    assert root_diameter_mm(kind, 9000.0, 5000.0) == pytest.approx(4000.0 - clearance)


def test_a_ball_screw_has_no_clearance_row():
    with pytest.raises(KeyError):
        drives.root_clearance_mm("ball", 5.0)


def test_friction_of_an_unknown_thread_is_the_widest():
    every = [drives.friction(kind) for kind in ("ball", "trapezoidal", "acme", "square")]
    unknown = drives.friction("unknown")
    assert unknown.low == min(band.low for band in every)
    assert unknown.high == max(band.high for band in every)
    assert all(band.low < band.value < band.high and band.source for band in [*every, unknown])


@pytest.mark.parametrize(("low", "high"), [(0.88, 0.99)])
def test_the_friction_of_a_ball_screw_gives_its_usual_efficiency(low, high):
    # Common practice, no source: 90 to 95 per cent, at leads of half to a whole diameter.
    band = drives.friction("ball")
    for lead in (8.0, 16.0):
        assert low < efficiency(cut("ball", 16.0, lead, lead, band.high)) < high
        assert low < efficiency(cut("ball", 16.0, lead, lead, band.low)) < high


def across_the_thread(screw):
    """Return half the thread angle in the plane across the thread, atan(tan(alpha) cos(lambda))."""
    return math.atan(math.tan(screw.half_angle_rad) * math.cos(lead_angle_rad(screw)))


def helix_torque_n_mm(load_n, screw, way):
    """Return the torque by summing the flank's force along one turn of the helix, point by point.

    Also returns the work of friction in the turn. ``way`` is +1 to raise, -1 to lower.
    """
    radius, count = screw.mean_diameter_mm / 2, 720
    angle = np.linspace(0.0, 2 * math.pi, count, endpoint=False)
    zero, one = np.zeros(count), np.ones(count)
    outward = np.stack([np.cos(angle), np.sin(angle), zero], axis=1)
    around = np.stack([-np.sin(angle), np.cos(angle), zero], axis=1)
    upward = np.stack([zero, zero, one], axis=1)
    along = radius * around + screw.lead_mm / (2 * math.pi) * upward
    step_mm = np.linalg.norm(along, axis=1) * 2 * math.pi / count
    along /= np.linalg.norm(along, axis=1)[:, None]
    # The flank holds the line along the helix and one that falls outward by the axial half angle.
    falling = outward - math.tan(screw.half_angle_rad) * upward
    normal = np.cross(falling, along)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    normal *= np.sign(normal[:, 2:])
    # The screw's flank pushes up on the nut and rubs it along its own sliding; the nut does not turn.
    push = normal + way * screw.friction * -along
    pressure = load_n / push[:, 2].sum()
    arm = np.cross(radius * outward, pressure * push)
    # In a turn each point of the flank slides along the whole helix.
    heat = count * screw.friction * pressure * step_mm.sum()
    return -float(arm[:, 2].sum()), float(heat)


@pytest.mark.parametrize("screw", [PLOVER_X, PLOVER_Z, acme(10, 0.2, 0.15), acme(8, 0.5, 0.1), router(2.0, 0.1)])
def test_torque_against_forces_summed_along_the_helix(screw):
    # The true wedge lies across the thread; with that half angle the formula must be exact.
    exact = replace(screw, half_angle_rad=across_the_thread(screw))
    raised, _ = helix_torque_n_mm(100.0, screw, 1)
    lowered, _ = helix_torque_n_mm(100.0, screw, -1)
    assert raise_torque_n_m(100.0, exact) * 1000 == pytest.approx(raised, rel=1e-9)
    assert back_drive_torque_n_m(100.0, exact) * 1000 == pytest.approx(lowered, rel=1e-9)


@pytest.mark.parametrize(
    ("angle", "lead", "mean", "across"),
    [(half_angle_rad("trapezoidal"), 8.0, 7.0, 14.1335), (half_angle_rad("acme"), 0.25, 1.3429, 14.4757)],
)
def test_the_wedge_across_the_thread_is_a_little_blunter(angle, lead, mean, across):
    screw = Thread(lead_mm=lead, mean_diameter_mm=mean, half_angle_rad=angle, friction=0.1)
    assert math.degrees(across_the_thread(screw)) == pytest.approx(across, abs=5e-5)


@pytest.mark.parametrize("screw", [PLOVER_X, PLOVER_Z, acme(10, 0.2, 0.15), router(2.0, 0.1)])
@pytest.mark.parametrize("way", [1, -1])
def test_energy_of_one_turn(screw, way):
    # Work in = work out + work of friction, which was integrated over the helix.
    torque, heat = helix_torque_n_mm(100.0, screw, way)
    assert 2 * math.pi * torque == pytest.approx(100.0 * screw.lead_mm + way * heat, rel=1e-9)
    # The share that the module tells, with the wedge that the summed flank has.
    exact = replace(screw, half_angle_rad=across_the_thread(screw))
    kept = 1 - heat / (100.0 * screw.lead_mm + (heat if way > 0 else 0.0))
    assert (efficiency(exact) if way > 0 else efficiency_back(exact)) == pytest.approx(kept, rel=1e-9)


def test_a_collar_only_ever_takes():
    # 200 N on 20 mm with 0.01: 20 N*mm, by hand.
    assert collar_torque_n_m(200.0, 20.0, 0.01) == pytest.approx(0.02, rel=1e-12)


def test_a_jammed_thread():
    jammed = Thread(lead_mm=100.0, mean_diameter_mm=7.0, half_angle_rad=0.0, friction=0.3)
    assert raise_torque_n_m(1.0, jammed) == math.inf
    assert raise_torque_n_m(0.0, jammed) == 0.0
    assert efficiency(jammed) == 0.0


# From the finest single start to four starts on the thinnest screw: leads of 0.05 to 1.2 mean diameters.
THREADS = st.builds(
    lambda mean, ratio, angle, friction: Thread(
        lead_mm=mean * ratio, mean_diameter_mm=mean, half_angle_rad=angle, friction=friction
    ),
    st.floats(3, 60),
    st.floats(0.05, 1.2),
    st.floats(0, math.radians(15)),
    st.floats(0.001, 0.5),
)
LOADS = st.floats(0.1, 5000)


@given(THREADS)
def test_shares_lie_between_nothing_and_all(screw):
    assert 0 < efficiency(screw) < 1
    assert efficiency_back(screw) < 1
    # A thread gives back less than it lets through, and at least what 2 - 1/efficiency would have.
    assert efficiency_back(screw) <= efficiency(screw) + 1e-12
    assert efficiency_back(screw) >= 2 - 1 / efficiency(screw) - 1e-12


@given(THREADS, LOADS)
def test_it_holds_exactly_above_its_locking_friction(screw, load):
    least = locking_friction(screw.lead_mm, screw.mean_diameter_mm, screw.half_angle_rad)
    if abs(screw.friction / least - 1) > 1e-9:
        holds = screw.friction > least
        assert (lower_torque_n_m(load, screw) > 0) == holds
        assert (back_drive_torque_n_m(load, screw) < 0) == holds
        assert (efficiency_back(screw) < 0) == holds
        # A thread that holds wastes at least half (Shigley, section 8-2, from memory).
        assert not holds or efficiency(screw) < 0.5


@given(THREADS)
def test_the_books_half_angle_is_near_enough(screw):
    exact = replace(screw, half_angle_rad=across_the_thread(screw))
    assert raise_torque_n_m(100.0, screw) == pytest.approx(raise_torque_n_m(100.0, exact), rel=0.004)


@given(THREADS, LOADS)
def test_torque_and_share_tell_the_same(screw, load):
    ideal = load * screw.lead_mm / (2 * math.pi) / 1000
    assert raise_torque_n_m(load, screw) * efficiency(screw) == pytest.approx(ideal, rel=1e-9)
    assert back_drive_torque_n_m(load, screw) == pytest.approx(ideal * efficiency_back(screw), rel=1e-9, abs=1e-9)
    assert raise_torque_n_m(load, screw) > ideal > back_drive_torque_n_m(load, screw)


@given(THREADS, LOADS, st.floats(1.01, 3))
def test_more_friction_is_never_easier(screw, load, factor):
    rougher = replace(screw, friction=screw.friction * factor)
    assert raise_torque_n_m(load, rougher) > raise_torque_n_m(load, screw)
    assert lower_torque_n_m(load, rougher) > lower_torque_n_m(load, screw)
    assert efficiency(rougher) < efficiency(screw)
    assert efficiency_back(rougher) < efficiency_back(screw)


@given(THREADS)
def test_a_smooth_thread_loses_nothing(screw):
    smooth = replace(screw, friction=0.0)
    assert efficiency(smooth) == pytest.approx(1.0, rel=1e-12)
    assert efficiency_back(smooth) == pytest.approx(1.0, rel=1e-12)


@given(st.floats(4, 60), st.sampled_from(["trapezoidal", "acme", "square"]), st.floats(0.05, 0.3))
def test_a_root_lies_below_the_mean_diameter(major, kind, share):
    pitch = major * share
    low, value, high = root_band_mm(kind, major, pitch)
    assert low < value <= high < mean_diameter_mm(kind, major, pitch) < major

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.reference import drives
from cutworthy.settings.shaft import steel
from cutworthy.settings.stiffness import (
    in_series_n_mm,
    lost_motion_mm,
    motor_stiffness_n_mm,
    screw_stiffness_n_mm,
    torsional_stiffness_n_mm,
)

SHEAR = 79_300.0
N_UM = 1000.0  # N/mm in one N/um


def test_plain_steel_in_shear():
    assert drives.steel_constant("shear_n_mm2").value == SHEAR


# Root, length, N/um fixed at one end at full travel, N/um fixed at both ends at mid span: worked out apart from this
# package.
SCREWS = [
    (8.5, 800.0, 14.611841956157405, 58.44736782462962),
    (10.0, 1000.0, 16.179202165987434, 64.716808663949735),
]


@pytest.mark.parametrize(("root", "length", "one_end", "both_ends"), SCREWS)
def test_stiffness_of_router_screws(root, length, one_end, both_ends):
    one = screw_stiffness_n_mm(root, length, steel(), fixed_both_ends=False)
    both = screw_stiffness_n_mm(root, length, steel(), fixed_both_ends=True)
    assert one / N_UM == pytest.approx(one_end, rel=1e-12)
    assert both / N_UM == pytest.approx(both_ends, rel=1e-12)


# With a nut of 40 and a bearing of 30 N/um.
@pytest.mark.parametrize(
    ("root", "length", "both_ends", "whole"),
    [
        (8.5, 800.0, False, 7.888240995997539),
        (8.5, 800.0, True, 13.255085263003469),
        (10.0, 1000.0, False, 8.323547738939087),
        (10.0, 1000.0, True, 13.552840641763983),
    ],
)
def test_screw_nut_and_bearing_in_series(root, length, both_ends, whole):
    screw = screw_stiffness_n_mm(root, length, steel(), fixed_both_ends=both_ends)
    assert in_series_n_mm(screw, 40 * N_UM, 30 * N_UM) / N_UM == pytest.approx(whole, rel=1e-12)


@pytest.mark.parametrize(("both_ends", "give_um"), [(False, 12.677097473408786), (True, 7.5442743683521964)])
def test_give_under_a_hundred_newtons(both_ends, give_um):
    screw = screw_stiffness_n_mm(8.5, 800.0, steel(), fixed_both_ends=both_ends)
    assert 100 / in_series_n_mm(screw, 40 * N_UM, 30 * N_UM) * 1000 == pytest.approx(give_um, rel=1e-12)


def test_wind_up_of_a_thin_screw():
    assert torsional_stiffness_n_mm(5.5, 600.0, 8.0, SHEAR) / N_UM == pytest.approx(7.324067733212925, rel=1e-12)


def test_lost_motion():
    # Backlash 30 um, friction 20 N, 7.888 N/um: worked out apart from this package.
    assert lost_motion_mm(0.030, 20.0, 7.888 * N_UM) * 1000 == pytest.approx(35.070993914807302, rel=1e-9)
    assert lost_motion_mm(0.030, 20.0, 7888.240995997539) * 1000 == pytest.approx(35.070838989363516, rel=1e-12)


# The machines of the Tidewater Workshop: root, span, lead, peak torque; N/um to six digits: motor, screw, twist, all.
@pytest.mark.parametrize(
    ("root", "span", "lead", "peak", "expected"),
    [
        (13.2, 1000.0, 10.0, 1.8 / math.sqrt(2), ("25.1239", "28.1906", "93.3101", "11.6289")),
        (13.2, 720.0, 10.0, 1.8 / math.sqrt(2), ("25.1239", "39.1537", "129.597", "13.6875")),
        (5.6, 160.0, 8.0, 1.0 / math.sqrt(2), ("21.8090", "31.7112", "29.5179", "8.98755")),
    ],
)
def test_stiffness_of_plover(root, span, lead, peak, expected):
    motor = motor_stiffness_n_mm(peak, lead, 50)
    screw = screw_stiffness_n_mm(root, span, steel(), fixed_both_ends=False)
    twist = torsional_stiffness_n_mm(root, span, lead, SHEAR)
    every = (motor, screw, twist, in_series_n_mm(motor, screw, twist))
    assert tuple(f"{value / N_UM:#.6g}" for value in every) == expected


def test_both_ends_fixed_is_softest_at_mid_span():
    # The two halves side by side, for every place of the nut.
    places = np.linspace(1.0, 999.0, 999)
    halves = [
        screw_stiffness_n_mm(10.0, place, steel(), fixed_both_ends=False)
        + screw_stiffness_n_mm(10.0, 1000.0 - place, steel(), fixed_both_ends=False)
        for place in places
    ]
    assert places[int(np.argmin(halves))] == 500.0
    assert screw_stiffness_n_mm(10.0, 1000.0, steel(), fixed_both_ends=True) == pytest.approx(min(halves), rel=1e-12)


def test_twist_against_rings_and_energy():
    # Torque as the sum over thin rings of G theta r, for a twist of one radian; then equal work along the screw.
    edges = np.linspace(0.0, 13.2 / 2, 20_001)
    radius, width = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    torque = float((SHEAR / 1000.0 * radius * 2 * math.pi * radius * radius * width).sum())
    way = 10.0 / (2 * math.pi)
    assert torsional_stiffness_n_mm(13.2, 1000.0, 10.0, SHEAR) == pytest.approx(torque / way**2, rel=1e-8)


def test_motor_stiffness_is_the_slope_of_its_torque():
    # Push by small steps of the axis and read the force of a torque that is a sine of 50 waves a turn.
    peak, travel, small = 1.27, 10.0, 1e-5
    angle = 2 * math.pi * small / travel
    force = peak * math.sin(50 * angle) * 2 * math.pi / (travel / 1000)
    assert motor_stiffness_n_mm(peak, travel, 50) == pytest.approx(force / small, rel=1e-6)


@pytest.mark.parametrize("travel", [10.0, 8.0])
def test_lost_motion_by_winding_a_spring_with_friction(travel):
    # A block with dry friction on a spring, pulled there and back by small steps: the way the spring's end goes
    # from one sliding to the next, past the play.
    stiffness, friction, play, step = 9000.0, 12.0, 0.03, 1e-5
    end, block = 0.0, 0.0
    while block < travel / 1000:  # forwards, until it slides
        end += step
        block = max(block, end - friction / stiffness)
    turned, at = end, block
    while block == at:  # back: through the play, then winding the other way
        end -= step
        block = min(block, end + play + friction / stiffness)
    assert turned - end == pytest.approx(lost_motion_mm(play, friction, stiffness), abs=2 * step)


@given(st.lists(st.floats(10, 1e6), min_size=1, max_size=6))
def test_a_chain_is_softer_than_its_softest_part(parts):
    whole = in_series_n_mm(*parts)
    assert min(parts) / len(parts) * (1 - 1e-12) <= whole <= min(parts) * (1 + 1e-12)
    assert in_series_n_mm(*parts, math.inf) == pytest.approx(whole, rel=1e-12)


@given(st.floats(4, 60), st.floats(50, 3000), st.floats(1.01, 3))
def test_thicker_and_shorter_is_stiffer(root, length, factor):
    base = screw_stiffness_n_mm(root, length, steel(), fixed_both_ends=False)
    assert screw_stiffness_n_mm(root * factor, length, steel(), fixed_both_ends=False) > base
    assert screw_stiffness_n_mm(root, length * factor, steel(), fixed_both_ends=False) < base
    twist = torsional_stiffness_n_mm(root, length, 10.0, SHEAR)
    assert torsional_stiffness_n_mm(root, length, 10.0 * factor, SHEAR) < twist

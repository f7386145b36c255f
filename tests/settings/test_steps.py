"""Steps, microsteps and resonance: Plover's numbers worked out elsewhere, and physics by a second way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from cutworthy.settings.steps import (
    electrical_rise_s,
    growl_speeds_mm_s,
    incremental_torque_n_m,
    resonance_hz,
    smallest_dependable_move_mm,
    static_lag_rad,
    step_accuracy_mm,
)

PEAK_X, PEAK_Z = 1.8 / math.sqrt(2), 1.0 / math.sqrt(2)  # N·m, drivers set to the label's current as peak


def near(printed):
    """Return a number as it is printed: right to half a unit of its sixth digit."""
    return pytest.approx(printed, abs=0.5 * 10 ** (math.floor(math.log10(printed)) - 5))


def inertia_kg_m2(rotor, diameter_m, span_m, mass_kg, lead_m):
    """Return rotor, steel screw and what it drives: pi rho L d^4 / 32 and m (lead / 2 pi)^2."""
    return rotor + math.pi * 7850 * span_m * diameter_m**4 / 32 + mass_kg * (lead_m / (2 * math.pi)) ** 2


X = inertia_kg_m2(460e-7, 0.0146, 1.0, 14, 0.010)
Y = inertia_kg_m2(460e-7, 0.0146, 0.72, 7, 0.010)
Z = inertia_kg_m2(280e-7, 0.0068, 0.16, 4.2, 0.008)


@pytest.mark.parametrize(("microsteps", "per_cent"), [(4, 38.2683), (8, 19.5090), (16, 9.80171), (32, 4.90677)])
def test_torque_of_one_microstep_in_per_cent(microsteps, per_cent):
    assert incremental_torque_n_m(100, microsteps) == near(per_cent)


@pytest.mark.parametrize("microsteps", [1, 2, 8, 64])
def test_one_microstep_pulls_by_the_slope_of_the_energy(microsteps):
    # The currents I cos, I sin go on by a part of a quarter turn while the rotor stands.
    part = math.pi / 2 / microsteps

    def energy(theta):
        return PEAK_X / 50 * (math.cos(part) * math.cos(50 * theta) + math.sin(part) * math.sin(50 * theta))

    pull = (energy(1e-6) - energy(-1e-6)) / 2e-6
    assert incremental_torque_n_m(PEAK_X, microsteps) == pytest.approx(pull, rel=1e-6)


@pytest.mark.parametrize(
    ("peak", "inertia", "lead", "f0", "growl_mm_min"),
    [
        (PEAK_X, X, 10, 117.641, (352.923, 705.846, 1411.69)),
        (PEAK_X, Y, 10, 134.625, (403.876, 807.752, 1615.50)),
        (PEAK_Z, Z, 8, 159.796, (383.509, 767.019, 1534.04)),
    ],
)
def test_resonance_and_growl_speeds_of_plover(peak, inertia, lead, f0, growl_mm_min):
    found = resonance_hz(peak, inertia, 50)
    assert found == near(f0)
    slow, middle, fast = (60 * speed for speed in growl_speeds_mm_s(found, 50, lead))
    assert (slow, middle, fast) == (near(growl_mm_min[0]), near(growl_mm_min[1]), near(growl_mm_min[2]))


def test_resonance_of_plover_on_the_bench_and_with_more_current():
    assert resonance_hz(PEAK_X, 460e-7, 50) == near(187.200)
    assert resonance_hz(1.8, X, 50) == near(139.900)


@pytest.mark.parametrize("teeth", [50, 100])
def test_resonance_of_a_swinging_rotor(teeth):
    # J theta'' = -T sin(p theta), let go a hundredth of an electrical radian off, zero crossings timed.
    def slope(_t, state):
        return state[1], -PEAK_X / X * math.sin(teeth * state[0])

    def middle(_t, state):
        return state[0]

    run = solve_ivp(slope, (0, 0.2), [0.01 / teeth, 0.0], events=middle, rtol=1e-10, atol=1e-14, method="DOP853")
    crossings = run.t_events[0]
    assert len(crossings) > 20
    half_period = (crossings[-1] - crossings[0]) / (len(crossings) - 1)
    assert resonance_hz(PEAK_X, X, teeth) == pytest.approx(1 / (2 * half_period), rel=1e-5)  # amplitude^2 / 16


def test_growl_speeds_ripple_at_the_resonance():
    # A ripple goes round 4, 2 or 1 times while the rotor passes one tooth of its 50: counted on a path.
    for ripples, speed in zip((4, 2, 1), growl_speeds_mm_s(120.0, 50, 8.0), strict=True):
        teeth = speed * np.linspace(0, 1, 100_001) / 8.0 * 50
        rises = np.count_nonzero(np.diff(np.floor(ripples * teeth + 1e-9)))
        assert rises == pytest.approx(120, abs=1)


@pytest.mark.parametrize(
    ("load", "peak", "lead", "expected"),
    [
        (0.0200986, PEAK_X, 10, 0.000502662),
        (0.0150739, PEAK_X, 10, 0.000376990),
        (0.0115532, PEAK_Z, 8, 0.000416081),
        (PEAK_X / 2, PEAK_X, 10, 0.0166667),
        (PEAK_Z / 2, PEAK_Z, 8, 0.0133333),
    ],
)
def test_lag_of_plover(load, peak, lead, expected):
    lag = static_lag_rad(load, peak, 50)
    # The drags above are printed to six digits themselves.
    assert lag / (2 * math.pi) * lead == pytest.approx(expected, rel=4e-6)


@given(st.floats(-0.999, 0.999), st.sampled_from([50, 100]))
def test_lag_is_where_the_torque_balances_the_load(share, teeth):
    quarter = math.pi / 2 / teeth
    angle = brentq(lambda theta: PEAK_X * (math.sin(teeth * theta) - share), -quarter, quarter, xtol=1e-15)
    assert static_lag_rad(share * PEAK_X, PEAK_X, teeth) == pytest.approx(angle, rel=1e-6, abs=1e-12)


def test_a_load_above_the_peak_has_no_lag():
    assert static_lag_rad(1.3, 1.2, 50) is None
    assert static_lag_rad(-1.3, 1.2, 50) is None
    assert static_lag_rad(1.2, 1.2, 50) == pytest.approx(math.pi / 100)


@pytest.mark.parametrize(("travel", "expected"), [(10, 0.0025), (8, 0.002)])
def test_step_accuracy_of_plover(travel, expected):
    # 5 % of a full step; 0.002 mm on a lead of 8 mm.
    assert step_accuracy_mm(travel, 200) == pytest.approx(expected, rel=1e-12)


def least(**changed):
    plover_x = {
        "step_mm": 0.00625,
        "friction_torque_n_m": 0.0200986,
        "detent_torque_n_m": 0.0,
        "peak_torque_n_m": PEAK_X,
        "rotor_teeth": 50,
        "travel_per_turn_mm": 10.0,
    }
    return smallest_dependable_move_mm(**{**plover_x, **changed})


def test_smallest_move_is_the_greatest_of_step_lag_and_step_accuracy():
    assert least() == 0.00625
    assert least(step_mm=10 / 6400) == pytest.approx(0.0025)  # 1/32: the step accuracy
    stiff = least(friction_torque_n_m=PEAK_X / 2)
    assert stiff == pytest.approx(2 * 0.0166667, abs=1e-7)  # half the torque: twice the lag
    assert least(friction_torque_n_m=PEAK_X / 4, detent_torque_n_m=PEAK_X / 4) == stiff
    assert least(friction_torque_n_m=PEAK_X, detent_torque_n_m=0.06) is None


def test_a_rotor_with_friction_turns_back_only_after_twice_its_lag():
    # Quasi-static: the rotor stays until the torque exceeds friction, then goes to where both are equal.
    friction, micro = 0.5 * PEAK_X, 2 * math.pi / 200 / 4096
    order, rotor = 0.0, 0.0

    def follow(order, rotor):
        torque = PEAK_X * math.sin(50 * (order - rotor))
        if abs(torque) <= friction:
            return rotor
        return order - math.copysign(math.asin(friction / PEAK_X) / 50, torque)

    for _ in range(8192):
        order += micro
        rotor = follow(order, rotor)
    turned, stood = 0, rotor
    while rotor == stood:
        order -= micro
        turned += 1
        rotor = follow(order, rotor)
    lost_mm = turned * micro / (2 * math.pi) * 10
    assert lost_mm == pytest.approx(least(friction_torque_n_m=friction), abs=10 / 200 / 4096)


def test_current_rises_as_a_coil_lets_it():
    # 0.9 ohm, 2.5 mH, 2.8 A on 24 V; and the same coil simulated.
    rise = electrical_rise_s(2.8, 24, 0.9, 2.5e-3)
    assert rise == pytest.approx(0.30814322418689353e-3, rel=1e-12)

    def reached(_t, current):
        return current[0] - 2.8

    run = solve_ivp(lambda _t, i: [(24 - 0.9 * i[0]) / 2.5e-3], (0, 1e-3), [0.0], events=reached, rtol=1e-10)
    assert rise == pytest.approx(run.t_events[0][0], rel=1e-7)
    # Far from its limit the coil takes L I / V; a supply of R I or less never gets there.
    assert electrical_rise_s(2.8, 24e4, 0.9, 2.5e-3) == pytest.approx(2.5e-3 * 2.8 / 24e4, rel=1e-4)
    assert electrical_rise_s(2.8, 2.52, 0.9, 2.5e-3) == math.inf

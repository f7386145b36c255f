"""The stepping motor: Plover's numbers worked out elsewhere, and its physics by a second way.

The numbers of Plover, and of the example motor (0.9 ohm, 2.5 mH, 2.8 A, 1.26 N·m), were computed outside
this package from the formulas; no book prints them. The second ways: both phase currents simulated in
time under a voltage of limited amplitude, brute force over the two currents of the rotor's frame, and
root finding.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from cutworthy.settings.motor import (
    Winding,
    coil_heat_w,
    fastest_rpm,
    flux_wb,
    full_torque_rpm,
    mechanical_power_w,
    no_torque_rpm,
    of_half_coils,
    peak_current_a,
    rewound,
    standing_torque_n_m,
    torque_n_m,
)

RAD_S = 2 * math.pi / 60
TURNING = [  # a motor, its supply and a speed: below the corner, between the limits, and beyond
    ("x", 36.0, 300.0),
    ("x", 36.0, 500.0),
    ("x", 36.0, 600.0),
    ("x", 36.0, 900.0),
    ("x", 36.0, 3000.0),
    ("x", 24.0, 450.0),
    ("z", 36.0, 900.0),
    ("series", 36.0, 300.0),
    ("strong", 36.0, 700.0),
    ("strong", 36.0, 1000.0),
    ("choked", 2.0, 30.0),
]


def wound(holding_n_m, rated_a, resistance_ohm, inductance_h, peak_a=None):
    return Winding(
        flux_wb=flux_wb(holding_n_m, rated_a, 50),
        rotor_teeth=50,
        resistance_ohm=resistance_ohm,
        inductance_h=inductance_h,
        peak_a=rated_a if peak_a is None else peak_a,
    )


MOTORS = {
    "x": wound(1.8, 3.0, 1.1, 3.8e-3),
    "z": wound(1.0, 2.5, 1.2, 2.8e-3),
    "series": wound(1.8, 1.5, 4.4, 15.2e-3),
    "rms": wound(1.8, 3.0, 1.1, 3.8e-3, 3 * math.sqrt(2)),
    "example": wound(1.26, 2.8, 0.9, 2.5e-3),
    # More flux than the current can take away: its speed ends. And one that the supply cannot fill.
    "strong": wound(1.8, 3.0, 1.1, 1.0e-3),
    "choked": wound(1.8, 3.0, 1.1, 3.8e-3),
}


def near(printed):
    """Return a number as it is printed: right to half a unit of its sixth digit."""
    return pytest.approx(printed, abs=0.5 * 10 ** (math.floor(math.log10(printed)) - 5))


@pytest.mark.parametrize(("name", "psi", "standing"), [("x", 0.00848528, 1.27279), ("z", 0.00565685, 0.707107)])
def test_flux_and_standing_torque_of_plover(name, psi, standing):
    assert MOTORS[name].flux_wb == near(psi)
    assert standing_torque_n_m(MOTORS[name]) == near(standing)


def test_the_label_torque_returns_when_the_driver_means_rms():
    peak = peak_current_a(3.0, "rms")
    assert standing_torque_n_m(replace(MOTORS["x"], peak_a=peak)) == pytest.approx(1.8, rel=1e-12)
    assert peak_current_a(3.0, "peak") == 3.0


@pytest.mark.parametrize(
    ("name", "supply_v", "expected"),
    [
        ("x", 24, 294.089),
        ("x", 36, 456.016),
        ("x", 48, 617.613),
        ("z", 24, 466.869),
        ("z", 36, 722.323),
        ("z", 48, 977.373),
        ("series", 36, 212.793),
        ("rms", 36, 352.110),
    ],
)
def test_corner_of_plover(name, supply_v, expected):
    assert full_torque_rpm(MOTORS[name], supply_v) == near(expected)


@pytest.mark.parametrize(
    ("name", "rpm", "expected"),
    [
        ("x", 300, 1.27279),
        ("x", 600, 1.13469),
        ("x", 900, 0.793350),
        ("x", 1200, 0.595467),
        ("z", 150, 0.707107),
        ("z", 600, 0.707107),
        ("z", 900, 0.655426),
        ("z", 1200, 0.529824),
        ("series", 300, 1.06900),
        ("rms", 300, 1.8),
    ],
)
def test_torque_of_plover_on_36_volts(name, rpm, expected):
    assert torque_n_m(MOTORS[name], 36, rpm) == near(expected)


def test_the_series_winding_of_plover():
    series = rewound(MOTORS["x"], "series")
    assert full_torque_rpm(series, 36) == near(212.793)
    assert full_torque_rpm(rewound(MOTORS["z"], "series"), 36) == near(338.735)
    assert torque_n_m(series, 36, 300) == near(1.06900)


def test_heat_of_plover():
    assert coil_heat_w(MOTORS["x"]) == near(9.9)
    assert coil_heat_w(MOTORS["z"]) == near(7.5)
    assert coil_heat_w(MOTORS["rms"]) == near(19.8)
    assert coil_heat_w(replace(MOTORS["z"], peak_a=peak_current_a(2.5, "rms"))) == near(15)


def test_the_example_motor_standing():
    example = MOTORS["example"]
    assert example.flux_wb == pytest.approx(0.006363961030678928, rel=1e-12)
    assert standing_torque_n_m(example) == pytest.approx(0.8909545442950497, rel=1e-12)


@pytest.mark.parametrize(
    ("supply_v", "w", "full_steps_hz", "rpm"),
    [
        (24, 2350.0245082875417, 1496.0720675242521, 448.8216202572756),
        (36, 3621.0241973892375, 2305.2156002794404, 691.5646800838321),
        (48, 4890.741651300292, 3113.542836759441, 934.0628510278322),
    ],
)
def test_corner_of_the_example_motor(supply_v, w, full_steps_hz, rpm):
    corner = full_torque_rpm(MOTORS["example"], supply_v)
    assert corner == pytest.approx(rpm, rel=1e-12)
    assert corner * RAD_S * 50 == pytest.approx(w, rel=1e-12)
    assert corner / 60 * 200 == pytest.approx(full_steps_hz, rel=1e-12)


@pytest.mark.parametrize(
    ("supply_v", "rpm", "expected"),
    [
        (24, 300, 0.8909545442950497),
        (24, 450, 0.8909403144171139),
        (24, 600, 0.7917601831582471),
        (24, 750, 0.6702054122140256),
        (24, 900, 0.573003183466191),
        (24, 1200, 0.43809102996673627),
        (36, 600, 0.8909545442950497),
        (36, 750, 0.8799831282025681),
        (36, 900, 0.8077476698720977),
        (36, 1200, 0.653339833685426),
    ],
)
def test_torque_of_the_example_motor(supply_v, rpm, expected):
    assert torque_n_m(MOTORS["example"], supply_v, rpm) == pytest.approx(expected, rel=1e-9)


def test_heat_and_power_of_the_example_motor():
    example = MOTORS["example"]
    assert coil_heat_w(example) == pytest.approx(7.056, abs=5e-4)
    # Both phases at full current, standing in full steps, warm as much as a sine of sqrt2 the amplitude.
    assert coil_heat_w(replace(example, peak_a=peak_current_a(2.8, "rms"))) == pytest.approx(14.112, abs=5e-4)
    hot_w = coil_heat_w(replace(example, resistance_ohm=1.11222))  # at 80 degrees Celsius
    assert hot_w == pytest.approx(8.7198, abs=5e-5)
    shaft_w = mechanical_power_w(0.3, 375)
    assert shaft_w == pytest.approx(11.780972450961723, rel=1e-12)
    # Three such motors behind drivers of 85 % on 24 V.
    assert 3 * (hot_w + shaft_w) == pytest.approx(61.502, abs=5e-4)
    assert 3 * (hot_w + shaft_w) / 0.85 == pytest.approx(72.356, abs=5e-4)
    assert 3 * (hot_w + shaft_w) / 0.85 / 24 == pytest.approx(3.0148, abs=5e-5)


def test_half_coils_in_series_and_parallel():
    # Common practice, no source: a half coil has R, L, I; in series 2R, 4L, I/sqrt2; in parallel R/2, L, I sqrt2.
    half = Winding(flux_wb=0.005, rotor_teeth=50, resistance_ohm=1.8, inductance_h=2.5e-3, peak_a=2.0)
    unipolar, series, parallel = (of_half_coils(half, wired) for wired in ("unipolar", "series", "parallel"))
    assert (series.resistance_ohm, series.inductance_h) == pytest.approx((3.6, 10e-3))
    assert (parallel.resistance_ohm, parallel.inductance_h) == pytest.approx((0.9, 2.5e-3))
    assert (series.peak_a, parallel.peak_a) == pytest.approx((math.sqrt(2), 2 * math.sqrt(2)))
    # The rule of thumb V / (2 L I) on 24 V, full steps per second: parallel is twice as fast as series.
    rule = [24 / (2 * each.inductance_h * each.peak_a) for each in (unipolar, series, parallel)]
    assert rule == pytest.approx([2400, 848.528, 1697.056], abs=5e-4)
    # The same copper loss; with the whole coil carrying, sqrt2 of the unipolar torque.
    assert coil_heat_w(series) == pytest.approx(coil_heat_w(unipolar), rel=1e-12)
    assert coil_heat_w(parallel) == pytest.approx(coil_heat_w(unipolar), rel=1e-12)
    assert standing_torque_n_m(series) == pytest.approx(math.sqrt(2) * standing_torque_n_m(unipolar), rel=1e-12)
    assert standing_torque_n_m(parallel) == pytest.approx(standing_torque_n_m(series), rel=1e-12)


def test_rewinding_agrees_with_joining_the_half_coils_anew():
    half = Winding(flux_wb=0.005, rotor_teeth=50, resistance_ohm=1.8, inductance_h=2.5e-3, peak_a=2.0)
    series, other = of_half_coils(half, "series"), rewound(of_half_coils(half, "parallel"), "series")
    assert (other.flux_wb, other.resistance_ohm, other.inductance_h, other.peak_a) == pytest.approx(
        (series.flux_wb, series.resistance_ohm, series.inductance_h, series.peak_a), rel=1e-12
    )


# ------------------------------------------------------------------ second ways


def phase_torque_n_m(winding, theta, current_a, current_b):
    """Return the torque of two phases at an electrical angle: current times the slope of each linkage."""
    slope = winding.rotor_teeth * winding.flux_wb
    return slope * (current_b * np.cos(theta) - current_a * np.sin(theta))


def simulated(winding, rpm, volts):
    """Return the electrical angle and both phase currents over the last turn of the field, at a steady speed."""
    w, r, h, flux = winding.rotor_teeth * rpm * RAD_S, winding.resistance_ohm, winding.inductance_h, winding.flux_wb
    direct, quadrature = volts

    def slope(t, currents):
        cos, sin = math.cos(w * t), math.sin(w * t)
        a = direct * cos - quadrature * sin - r * currents[0] + w * flux * sin
        b = direct * sin + quadrature * cos - r * currents[1] - w * flux * cos
        return a / h, b / h

    end = 25 * h / r + 2 * math.pi / w  # what the switching on stirred up has died away, e^-25
    times = np.linspace(end - 2 * math.pi / w, end, 64)
    run = solve_ivp(slope, (0, end), [0.0, 0.0], method="DOP853", t_eval=times, rtol=1e-9, atol=1e-9)
    return w * run.t, run.y[0], run.y[1]


def in_the_rotor(winding, rpm, volts):
    """Return the mean direct and quadrature current of a simulation."""
    theta, a, b = simulated(winding, rpm, volts)
    return np.array([np.mean(a * np.cos(theta) + b * np.sin(theta)), np.mean(b * np.cos(theta) - a * np.sin(theta))])


@pytest.mark.parametrize(("name", "supply_v", "rpm"), TURNING)
def test_torque_is_the_best_that_simulated_phases_reach(name, supply_v, rpm):
    winding = MOTORS[name]
    # The phases answer a voltage linearly: three simulations give the currents of every voltage.
    rest = in_the_rotor(winding, rpm, (0, 0))[:, None]
    answer = np.column_stack([in_the_rotor(winding, rpm, axis) for axis in ((1, 0), (0, 1))]) - rest
    # The best of them is at one limit or at both: all voltages of full amplitude, and all full currents.
    rim = np.array([np.cos(np.linspace(0, 2 * math.pi, 1_000_001)), np.sin(np.linspace(0, 2 * math.pi, 1_000_001))])
    volts = np.hstack([supply_v * rim, np.linalg.solve(answer, winding.peak_a * rim - rest)])
    currents = rest + answer @ volts
    within = (np.hypot(*volts) <= supply_v * (1 + 1e-9)) & (np.hypot(*currents) <= winding.peak_a * (1 + 1e-9))
    best = volts[:, within][:, np.argmax(currents[1, within])]
    theta, a, b = simulated(winding, rpm, best)
    torque = phase_torque_n_m(winding, theta, a, b)
    expected = torque_n_m(winding, supply_v, rpm)
    assert torque == pytest.approx(expected, rel=2e-5)
    assert torque.max() <= expected * (1 + 1e-6)
    assert np.hypot(a, b).max() <= winding.peak_a * (1 + 1e-6)


def most_of_a_grid(winding, supply_v, rpm):
    """Return the greatest torque of a fine grid of currents that both limits allow, and the grid's mesh."""
    count, peak, w = 1500, winding.peak_a, winding.rotor_teeth * rpm * RAD_S
    direct, quadrature = np.meshgrid(np.linspace(-peak, peak, 2 * count + 1), np.linspace(0, peak, count + 1))
    volts = np.hypot(
        winding.resistance_ohm * direct - w * winding.inductance_h * quadrature,
        winding.resistance_ohm * quadrature + w * winding.inductance_h * direct + w * winding.flux_wb,
    )
    allowed = (np.hypot(direct, quadrature) <= peak) & (volts <= supply_v)
    slope = winding.rotor_teeth * winding.flux_wb
    return slope * np.max(quadrature, where=allowed, initial=0), slope * peak / count


@pytest.mark.parametrize(("name", "supply_v", "rpm"), TURNING)
def test_torque_is_the_best_of_all_currents(name, supply_v, rpm):
    most, mesh = most_of_a_grid(MOTORS[name], supply_v, rpm)
    expected = torque_n_m(MOTORS[name], supply_v, rpm)
    assert most <= expected * (1 + 1e-12)
    assert most >= expected - 2 * mesh


@pytest.mark.parametrize("supply_v", [12.0, 24.0, 36.0, 48.0])
@pytest.mark.parametrize("name", ["x", "z", "series", "rms", "strong"])
def test_corner_is_where_full_current_in_quadrature_takes_the_whole_supply(name, supply_v):
    motor = MOTORS[name]

    def left(w):
        return supply_v - abs(complex(motor.resistance_ohm, w * motor.inductance_h) * motor.peak_a + w * motor.flux_wb)

    w = brentq(left, 0, 1e5, xtol=1e-10, rtol=1e-14)
    assert full_torque_rpm(motor, supply_v) == pytest.approx(w / motor.rotor_teeth / RAD_S, rel=1e-9)


def test_flux_gives_back_the_label_torque_with_both_phases_on():
    motor = MOTORS["x"]
    angles = np.linspace(0, 2 * math.pi, 100_001)
    assert phase_torque_n_m(motor, angles, 3.0, 3.0).max() == pytest.approx(1.8, rel=1e-8)


@pytest.mark.parametrize("supply_v", [3.0, 12.0, 36.0])
def test_beyond_the_last_speed_no_current_gives_torque(supply_v):
    strong = MOTORS["strong"]
    last = no_torque_rpm(strong, supply_v)
    assert math.isfinite(last)
    assert torque_n_m(strong, supply_v, last * 0.999) > 0
    assert most_of_a_grid(strong, supply_v, last * 0.99)[0] > 0
    assert torque_n_m(strong, supply_v, last) == torque_n_m(strong, supply_v, last * 2) == 0
    assert most_of_a_grid(strong, supply_v, last * 1.001)[0] == 0


@pytest.mark.parametrize(
    ("flux", "resistance", "inductance", "peak", "supply_v"),
    [
        (0.0031, 1.22, 0.00141, 0.6, 24),
        (0.0092, 0.43, 0.00092, 5.8, 12),
        (0.0905, 0.26, 0.00106, 3.2, 24),
        (0.02, 3.0, 0.0002, 7.0, 12),  # ends within the driver's current
    ],
)
def test_torque_fades_to_nought_down_to_the_last_bit(flux, resistance, inductance, peak, supply_v):
    motor = Winding(flux_wb=flux, rotor_teeth=50, resistance_ohm=resistance, inductance_h=inductance, peak_a=peak)
    last = no_torque_rpm(motor, supply_v)
    assert most_of_a_grid(motor, supply_v, last * 0.99)[0] > 0
    assert most_of_a_grid(motor, supply_v, last * 1.001)[0] == 0
    for less in [2.0**-power for power in range(20, 54)]:
        assert 0 <= torque_n_m(motor, supply_v, last * (1 - less)) <= 4 * math.sqrt(less) * standing_torque_n_m(motor)


@pytest.mark.parametrize(("flux", "peak", "resistance"), [(0.00111, 3.7, 0.3), (0.00234, 7.8, 0.7), (0.003, 10.0, 1.0)])
def test_a_flux_of_just_inductance_times_current_is_no_end(flux, peak, resistance):
    # In floating point the first two have 1e-19 Wb left over, and a supply of just R I nothing.
    motor = Winding(flux_wb=flux, rotor_teeth=50, resistance_ohm=resistance, inductance_h=0.0003, peak_a=peak)
    assert no_torque_rpm(motor, 36) == math.inf
    for supply_v in (0.5 * resistance * peak, resistance * peak):
        whole = standing_torque_n_m(motor) * supply_v / (resistance * peak)
        assert torque_n_m(motor, supply_v, 0) == pytest.approx(whole, rel=1e-12)
        assert torque_n_m(motor, supply_v, 1e-3) == pytest.approx(whole, rel=1e-4)


def test_a_motor_whose_field_the_current_cancels_has_no_last_speed():
    # flux / L = 2.2 A is less than the 3 A that the driver gives.
    assert no_torque_rpm(MOTORS["x"], 36) == math.inf
    assert torque_n_m(MOTORS["x"], 36, 1e6) > 0


def test_a_supply_below_resistance_times_current_gives_what_it_can():
    choked = MOTORS["choked"]
    assert full_torque_rpm(choked, 3.3) == full_torque_rpm(choked, 2.0) == 0
    assert torque_n_m(choked, 2.0, 0) == pytest.approx(standing_torque_n_m(choked) * 2.0 / 3.3, rel=1e-12)


# ------------------------------------------------------------------ the fastest speed


def test_fastest_speed_for_a_steady_load_lies_on_the_torque_curve():
    rpm = fastest_rpm(MOTORS["x"], 36, 0.5, 0.7)
    assert 0.7 * torque_n_m(MOTORS["x"], 36, rpm) >= 0.5
    exact = brentq(lambda n: 0.7 * torque_n_m(MOTORS["x"], 36, n) - 0.5, 500, 5000, xtol=1e-9)
    assert rpm == pytest.approx(exact, abs=1e-6)
    assert rpm <= exact + 1e-9


def test_fastest_speed_for_a_load_that_grows_with_speed():
    def needed(rpm):
        return 0.1 + 2e-4 * rpm

    rpm = fastest_rpm(MOTORS["z"], 36, needed, 0.7)
    exact = brentq(lambda n: 0.7 * torque_n_m(MOTORS["z"], 36, n) - needed(n), 0, 5000, xtol=1e-9)
    assert rpm == pytest.approx(exact, abs=1e-6)


def test_fastest_speed_at_the_full_torque_is_the_corner():
    whole = standing_torque_n_m(MOTORS["x"])
    # The curve leaves its plateau with a level tangent: torque within 1e-12 reaches a little beyond.
    assert fastest_rpm(MOTORS["x"], 36, whole, 1.0) == pytest.approx(full_torque_rpm(MOTORS["x"], 36), abs=1e-2)


def test_fastest_speed_is_nought_when_the_motor_cannot_even_start():
    assert fastest_rpm(MOTORS["x"], 36, 1.3, 1.0) == 0
    assert fastest_rpm(MOTORS["x"], 36, 0.9, 0.7) == 0


def test_fastest_speed_without_any_load_is_the_last_speed():
    assert fastest_rpm(MOTORS["strong"], 36, 0.0, 0.7) == no_torque_rpm(MOTORS["strong"], 36)
    assert fastest_rpm(MOTORS["x"], 36, 0.0, 0.7) == math.inf


# ------------------------------------------------------------------ properties

windings = st.builds(
    Winding,
    flux_wb=st.floats(1e-3, 2e-2),
    rotor_teeth=st.sampled_from([50, 100]),
    resistance_ohm=st.floats(0.2, 20),
    inductance_h=st.floats(2e-4, 5e-2),
    peak_a=st.floats(0.3, 8),
)
supplies = st.floats(5, 90)
speeds = st.floats(0, 6000)
factors = st.floats(1, 4)


def not_more(less, more):
    return less <= more * (1 + 1e-9) + 1e-12


@given(windings, supplies, speeds, factors)
def test_torque_never_grows_with_speed(winding, supply_v, rpm, factor):
    assert not_more(torque_n_m(winding, supply_v, rpm * factor), torque_n_m(winding, supply_v, rpm))


@given(windings, supplies, speeds, factors)
def test_torque_never_grows_with_resistance(winding, supply_v, rpm, factor):
    worse = replace(winding, resistance_ohm=winding.resistance_ohm * factor)
    assert not_more(torque_n_m(worse, supply_v, rpm), torque_n_m(winding, supply_v, rpm))


@given(windings, supplies, speeds, factors)
def test_torque_never_falls_with_volts_or_amperes(winding, supply_v, rpm, factor):
    plain = torque_n_m(winding, supply_v, rpm)
    assert not_more(plain, torque_n_m(winding, supply_v * factor, rpm))
    assert not_more(plain, torque_n_m(replace(winding, peak_a=winding.peak_a * factor), supply_v, rpm))


@given(windings, supplies, factors)
def test_corner_never_rises_with_inductance_resistance_or_current(winding, supply_v, factor):
    corner = full_torque_rpm(winding, supply_v)
    for name in ("inductance_h", "resistance_ohm", "peak_a"):
        worse = replace(winding, **{name: getattr(winding, name) * factor})
        assert not_more(full_torque_rpm(worse, supply_v), corner)


def test_far_beyond_the_corner_inductance_can_help():
    # The current limit reached, inductance is what takes the back EMF away: no curve is simply worse with it.
    strong = MOTORS["strong"]
    more = replace(strong, inductance_h=2 * strong.inductance_h)
    assert full_torque_rpm(more, 36) < full_torque_rpm(strong, 36)
    assert no_torque_rpm(more, 36) > no_torque_rpm(strong, 36)
    assert torque_n_m(more, 36, 1300) > torque_n_m(strong, 36, 1300)
    assert most_of_a_grid(more, 36, 1300)[0] > most_of_a_grid(strong, 36, 1300)[0]


@given(windings, supplies)
def test_torque_is_full_up_to_the_corner_and_leaves_it_without_a_jump(winding, supply_v):
    corner = full_torque_rpm(winding, supply_v)
    assume(corner > 0)
    whole = standing_torque_n_m(winding)
    assert torque_n_m(winding, supply_v, corner * (1 - 1e-9)) == whole
    assert torque_n_m(winding, supply_v, corner * (1 + 1e-9)) == pytest.approx(whole, rel=1e-6)


@given(windings, supplies, st.floats(0, 0.9))
def test_torque_has_no_jump_anywhere(winding, supply_v, start):
    # The half with the greater drop is halved again and again: a jump would keep its height.
    high = 1.01 * min(no_torque_rpm(winding, supply_v), 1e5)
    low = start * high
    for _ in range(40):
        middle = (low + high) / 2
        first, second, third = (torque_n_m(winding, supply_v, rpm) for rpm in (low, middle, high))
        low, high = (low, middle) if first - second > second - third else (middle, high)
    drop = torque_n_m(winding, supply_v, low) - torque_n_m(winding, supply_v, high)
    assert drop <= 1e-4 * standing_torque_n_m(winding)


@given(windings)
def test_rewound_there_and_back_is_the_same_motor(winding):
    assert rewound(rewound(winding, "series"), "parallel") == winding
    assert rewound(rewound(winding, "parallel"), "series") == winding


@given(windings)
def test_rewinding_keeps_the_standing_torque_and_the_heat(winding):
    series = rewound(winding, "series")
    assert standing_torque_n_m(series) == standing_torque_n_m(winding)
    assert coil_heat_w(series) == pytest.approx(coil_heat_w(winding), rel=1e-12)


@given(windings, supplies, speeds)
def test_a_series_winding_is_its_parallel_one_on_half_the_supply(winding, supply_v, rpm):
    series = torque_n_m(rewound(winding, "series"), supply_v, rpm)
    assert series == pytest.approx(torque_n_m(winding, supply_v / 2, rpm), rel=1e-9, abs=1e-12)


@given(windings, supplies, st.floats(0.001, 3), st.floats(0.2, 1))
def test_fastest_speed_is_enough_there_and_not_beyond(winding, supply_v, needed, share):
    rpm = fastest_rpm(winding, supply_v, needed, share)
    assert rpm == 0 or share * torque_n_m(winding, supply_v, min(rpm, 1e6)) >= needed  # it looks no farther
    assume(rpm < 1e6)
    assert share * torque_n_m(winding, supply_v, rpm * (1 + 1e-11) + 1.1e-6) < needed

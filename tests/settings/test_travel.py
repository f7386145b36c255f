import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.present.show import fraction_text, steps_text
from cutworthy.settings.travel import (
    belt_travel_mm,
    exact,
    motor_rpm,
    pulse_cap_mm_s,
    pulse_limit_hz,
    pulse_rate_hz,
    rack_travel_mm,
    relock_mm,
    resolution_mm,
    rounding_error_mm,
    scale_error,
    screw_travel_mm,
    steps_per_inch,
    steps_per_mm,
)


@given(
    st.decimals(min_value="0.001", max_value="999999", places=3).filter(lambda d: len(d.normalize().as_tuple()[1]) <= 6)
)
def test_a_decimal_of_up_to_six_digits_comes_back(decimal):
    assert exact(float(decimal)) == Fraction(decimal)


@given(st.integers(1, 999_999), st.integers(-6, 3))
def test_a_decimal_of_six_digits_comes_back_at_any_size(digits, power):
    decimal = Decimal(digits).scaleb(power)
    assert exact(float(decimal)) == Fraction(decimal)


@given(st.integers(1, 64 * 200))
def test_every_sixty_fourth_of_an_inch_comes_back_however_it_was_multiplied(n):
    true = Fraction(n, 64) * Fraction(127, 5)
    # Rounded once, and twice on two ways: the last bits differ, the meaning does not.
    assert exact(float(true)) == exact(n / 64 * 25.4) == exact(25.4 / 64 * n) == true


@given(st.integers(1, 100_000), st.integers(1, 1000))
def test_a_fraction_of_small_denominator_comes_back(top, bottom):
    assert exact(top / bottom) == Fraction(top, bottom)


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        (0.2 * 25.4, "5.08"), (12.7, "12.7"), (3.175, "3.175"), (25.4 / 16 * 3, "4.7625"), (0.0, "0"),
        (3200 * (1 / 25.4), "16000/127"), (10 / 3, "10/3"), (1 / 997, "1/997"), (-2.5, "-2.5"),
    ],
)  # fmt: skip
def test_what_a_card_meant(value, meant):
    assert exact(value) == Fraction(meant)


def test_a_fraction_stays_as_it_is():
    assert exact(Fraction(1, 2003)) == Fraction(1, 2003)


def test_a_number_without_a_short_meaning_becomes_twelve_digits():
    # pi has no short decimal and no fraction below a thousandth within a few last bits.
    assert exact(math.pi) == Fraction("3.14159265359")
    assert exact(math.sqrt(2) * 1e-7) == Fraction("1.41421356237e-7")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match="finite"):
        exact(value)


# Plover X, Y and Z, and Heron X, Y and Z: worked out by pocket calculator from their parts.
PLOVER_XY = screw_travel_mm(10.0)
PLOVER_Z = screw_travel_mm(2.0 * 4)
HERON_X = belt_travel_mm(0.2 * 25.4, 15, 3.0)
HERON_Y = screw_travel_mm(25.4 / 2)
HERON_Z = screw_travel_mm(25.4 / 10 * 2)


@pytest.mark.parametrize(
    ("travel", "steps", "text", "fraction", "inch"),
    [
        (PLOVER_XY, Fraction(160), "160", "160/1", "4064"),
        (PLOVER_Z, Fraction(200), "200", "200/1", "5080"),
        (HERON_X, Fraction(8000, 127), "62.99212598", "8000/127", "1600"),
        (HERON_Y, Fraction(16000, 127), "125.984252", "16000/127", "3200"),
        (HERON_Z, Fraction(40000, 127), "314.9606299", "40000/127", "8000"),
    ],
)
def test_steps_of_both_machines_are_exact(travel, steps, text, fraction, inch):
    found = steps_per_mm(200, 8, travel)
    assert isinstance(found, Fraction)
    assert (found, steps_text(found), fraction_text(found)) == (steps, text, fraction)
    assert steps_text(steps_per_inch(200, 8, travel)) == inch


@pytest.mark.parametrize(("steps", "six_digits"), [(16000 / 127, "125.984"), (40000 / 127, "314.961")])
def test_steps_per_mm_of_an_inch_machine(steps, six_digits):
    assert f"{steps:.6g}" == six_digits


def test_with_pi_nothing_is_a_fraction():
    travel = rack_travel_mm(1.5, 20, 3.0)
    steps = steps_per_mm(200, 8, travel)
    assert isinstance(travel, float)
    assert isinstance(steps, float)
    assert fraction_text(steps) is None
    assert steps_text(steps) == "50.92958179"
    assert steps_per_inch(200, 8, travel) == pytest.approx(steps * 25.4, rel=1e-15)


def test_a_reduction_divides_the_travel_of_every_drive():
    assert screw_travel_mm(10.0, 2.5) == 4
    assert belt_travel_mm(5.0, 15, 3.0) == 25
    assert rack_travel_mm(1.0, 20, 4.0) == pytest.approx(5 * math.pi, rel=1e-15)


@pytest.mark.parametrize(
    ("travel", "step", "quantum"),
    [(PLOVER_XY, 0.00625, 0.2), (PLOVER_Z, 0.005, 0.16)],
)
def test_step_and_quantum_on_plover(travel, step, quantum):
    assert (resolution_mm(steps_per_mm(200, 8, travel)), relock_mm(travel, 200)) == (step, quantum)


@pytest.mark.parametrize(
    ("travel", "step_in", "quantum_in"),
    [(HERON_X, 0.000625, 0.02), (HERON_Y, 0.0003125, 0.01), (HERON_Z, 0.000125, 0.004)],
)
def test_step_and_quantum_on_heron(travel, step_in, quantum_in):
    assert resolution_mm(steps_per_mm(200, 8, travel)) == pytest.approx(step_in * 25.4, rel=1e-15)
    assert relock_mm(travel, 200) == pytest.approx(quantum_in * 25.4, rel=1e-15)


def test_the_quantum_knows_no_microsteps():
    # One turn of the field moves the rotor by one of its teeth: 50 of them at 1.8 degrees, 100 at 0.9.
    assert (relock_mm(Fraction(10), 200), relock_mm(Fraction(10), 400)) == (10 / 50, 10 / 100)


# Numbers of the trade, common practice, no source.
@pytest.mark.parametrize(("microsteps", "per_turn"), [(4, 800), (64, 12800), (250, 50000)])
def test_steps_of_a_whole_turn(microsteps, per_turn):
    assert steps_per_mm(200, microsteps, Fraction(1)) == per_turn


def test_two_turns_to_the_inch():
    assert steps_per_inch(200, 4, screw_travel_mm(25.4 / 2)) == 1600


# Steps per mm of a 200-step motor: lead, microsteps (arithmetic, worked independently in double precision).
@pytest.mark.parametrize(
    ("lead", "microsteps", "expected"),
    [(8.0, 8, 200.0), (8.0, 16, 400.0), (12.0, 10, 166.66666666666666), (12.7, 10, 157.48031496062993)],
)
def test_steps_of_screws(lead, microsteps, expected):
    assert float(steps_per_mm(200, microsteps, screw_travel_mm(lead))) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(("typed", "ppm"), [(126.0, 125.0), (125.98, -33.75)])
def test_rounded_steps_on_heron_y(typed, ppm):
    assert scale_error(typed, Fraction(16000, 127)) * 1e6 == pytest.approx(ppm, abs=1e-9)


def test_rounded_steps_over_the_whole_travel():
    # 126 for 125.984252 over 30 in is 0.00375 in.
    assert rounding_error_mm(126.0, Fraction(16000, 127), 30 * 25.4) / 25.4 == pytest.approx(0.00375, abs=1e-12)
    # 0.01 on 166.667 is 60 um in a metre.
    assert rounding_error_mm(500 / 3 + 0.01, Fraction(500, 3), 1000.0) == pytest.approx(0.060, abs=1e-9)
    assert rounding_error_mm(160.0, Fraction(160), 820.0) == 0


@given(st.integers(1, 10**6), st.integers(1, 10**6))
def test_the_text_says_the_number_without_exponent_or_idle_zeros(top, bottom):
    steps = Fraction(top, bottom)
    text = steps_text(steps)
    assert "E" not in text.upper()
    assert not ("." in text and text.endswith(("0", ".")))
    assert abs(Fraction(text) / steps - 1) <= Fraction(1, 2) * Fraction(10) ** -9
    assert fraction_text(steps) == f"{steps.numerator}/{steps.denominator}"


@pytest.mark.parametrize(("feed_mm_min", "steps", "hz"), [(3000, 200, 10_000), (3000, 400, 20_000)])
def test_pulses_per_second(feed_mm_min, steps, hz):
    assert pulse_rate_hz(feed_mm_min / 60, Fraction(steps)) == pytest.approx(hz, rel=1e-15)
    assert pulse_cap_mm_s(hz, Fraction(steps)) * 60 == pytest.approx(feed_mm_min, rel=1e-15)


@pytest.mark.parametrize(
    ("travel", "speed_mm_min", "rpm", "pulses", "cap_mm_min"),
    [(PLOVER_XY, 3000, 300, 8000, 37_500), (PLOVER_Z, 1200, 150, 4000, 30_000)],
)
def test_turns_pulses_and_the_pulse_cap_on_plover(travel, speed_mm_min, rpm, pulses, cap_mm_min):
    steps = steps_per_mm(200, 8, travel)
    assert motor_rpm(speed_mm_min / 60, travel) == pytest.approx(rpm, rel=1e-12)
    assert pulse_rate_hz(speed_mm_min / 60, steps) == pytest.approx(pulses, rel=1e-12)
    assert pulse_cap_mm_s(100e3, steps) * 60 == pytest.approx(cap_mm_min, rel=1e-12)


@pytest.mark.parametrize(
    ("travel", "speed_in_min", "rpm", "pulses"),
    [(HERON_X, 100, 100, "2666.67"), (HERON_Y, 100, 200, "5333.33"), (HERON_Z, 50, 250, "6666.67")],
)
def test_turns_and_pulses_on_heron(travel, speed_in_min, rpm, pulses):
    speed_mm_s = speed_in_min * 25.4 / 60
    assert motor_rpm(speed_mm_s, travel) == pytest.approx(rpm, rel=1e-12)
    assert f"{pulse_rate_hz(speed_mm_s, steps_per_mm(200, 8, travel)):.6g}" == pulses


def test_a_finer_step_needs_more_pulses():
    # Plover X at 1/32: 32000 pulses per second at 3000 mm/min; a 25 kHz source ends at 2344 mm/min.
    steps = steps_per_mm(200, 32, PLOVER_XY)
    assert pulse_rate_hz(50.0, steps) == 32_000
    assert round(pulse_cap_mm_s(25e3, steps) * 60) == 2344


def test_the_pulses_that_a_driver_takes():
    # By hand: 2.5 us high and 2.5 us low are 200 kHz; a port that toggles every 20 us gives 25 kHz.
    assert pulse_limit_hz(2.5e-6, 2.5e-6) == pytest.approx(200e3, rel=1e-15)
    assert pulse_limit_hz(20e-6, 20e-6) == pytest.approx(1 / (2 * 20e-6), rel=1e-15)
    assert pulse_limit_hz(1e-6, 4e-6) == pytest.approx(200e3, rel=1e-15)


def test_one_lost_pulse_at_each_reversal():
    # 200 pairs of moves on Plover X: one lost pulse a pair walks 1.25 mm, one pulse the wrong way 2.5 mm.
    step = resolution_mm(steps_per_mm(200, 8, PLOVER_XY))
    assert (200 * step, 400 * step) == (1.25, 2.5)

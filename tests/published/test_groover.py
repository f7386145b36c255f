"""M. P. Groover, "Automation, Production Systems, and Computer-Integrated Manufacturing", chapter 7.

Example 7.1 (analysis of an open-loop positioning system) and its accuracy, from memory, edition not
recorded; the results are reproduced here. The similar end-of-chapter problem was read in an excerpt.
Resolution CR = p / (n_s r_g), accuracy CR/2 + 3 sigma, repeatability 3 sigma on either side.
"""

import pytest

from cutworthy.settings.travel import (
    exact,
    motor_rpm,
    pulse_cap_mm_s,
    pulse_rate_hz,
    resolution_mm,
    screw_travel_mm,
    steps_per_mm,
)

# Lead 6 mm, 48 steps per turn, the motor turns five times per turn of the screw.
TRAVEL = screw_travel_mm(6.0, 5.0)
STEPS = steps_per_mm(48, 1, TRAVEL)


def test_example_7_1_pulses_of_the_move():
    assert 250 * STEPS == 10_000


def test_example_7_1_motor_speed_and_pulse_rate():
    assert motor_rpm(500 / 60, TRAVEL) == pytest.approx(416.6667, abs=5e-5)
    assert pulse_rate_hz(500 / 60, STEPS) == pytest.approx(333.3333, abs=5e-5)


def test_example_7_1_resolution_and_accuracy():
    resolution = resolution_mm(STEPS)
    assert resolution == 0.025
    sigma = 0.005
    assert (resolution / 2 + 3 * sigma, 3 * sigma) == pytest.approx((0.0275, 0.015), rel=1e-12)


def test_similar_problem_steps_for_a_resolution():
    # Pitch 4.0 mm, resolution 0.015 mm: 266.67 steps, so 267, of 1.3483 degrees.
    pitch = screw_travel_mm(4.0)
    assert f"{float(pitch / exact(0.015)):.2f}" == "266.67"
    enough = [n for n in range(1, 400) if resolution_mm(steps_per_mm(n, 1, pitch)) <= 0.015]
    assert enough[0] == 267
    assert 360 / enough[0] == pytest.approx(1.348314606741573, rel=1e-15)


def test_similar_problem_speed_at_200_pulses_per_second():
    steps = steps_per_mm(267, 1, screw_travel_mm(4.0))
    assert pulse_cap_mm_s(200, steps) * 60 == pytest.approx(179.77528089887642, rel=1e-15)

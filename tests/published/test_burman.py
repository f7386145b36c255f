"""S. P. Burman, "Special Electrical Machines", pages 191 to 196: stepping motors and their pulses.

The questions are the book's; the answers were read in worked notebooks of them and computed again.
"""

import math

import pytest

from cutworthy.settings.inertia import accelerating_torque_n_m
from cutworthy.settings.steps import step_rate_hz


def test_a_motor_of_1_8_degrees_at_4000_pulses_per_second():
    assert step_rate_hz(20 * 60, 200) == pytest.approx(4000, rel=1e-12)  # 20 turns per second
    assert step_rate_hz(54 / 360 * 60, 200) == pytest.approx(30, rel=1e-12)  # 54 degrees in a second: 30 pulses


def test_2400_rpm_take_8000_pulses_per_second():
    assert step_rate_hz(2400, 200) == pytest.approx(8000, rel=1e-12)


def torque_n_m(inertia_kg_m2, radians_s2):
    """Return the torque that speeds up what only turns: nothing slides, an arm of 1 mm makes mm of radians."""
    return accelerating_torque_n_m(inertia_kg_m2, 0.0, radians_s2, 2 * math.pi, 1.0)


def test_torque_to_go_from_200_to_300_radians_per_second_in_0_2_seconds():
    # J 1e-4 kg·m^2, friction 0.06 N·m.
    assert torque_n_m(1e-4, (300 - 200) / 0.2) + 0.06 == pytest.approx(0.11, rel=1e-12)


def test_torque_to_go_from_1000_to_2000_steps_per_second_in_100_milliseconds():
    # J 3e-4 kg·m^2, 1.8 degrees, friction 0.05 N·m.
    radians_s2 = (2000 - 1000) / 0.1 * math.radians(1.8)
    assert torque_n_m(3e-4, radians_s2) + 0.05 == pytest.approx(0.1442477796076938, rel=1e-12)


def test_acceleration_of_a_motor_of_3_degrees():
    # J 4e-4 kg·m^2, 0.3 N·m: 750 rad/s^2, gained in a second from rest.
    assert torque_n_m(4e-4, 750) == pytest.approx(0.3, rel=1e-12)
    assert step_rate_hz(750 / (2 * math.pi) * 60, 120) == pytest.approx(14323.944878270577, rel=1e-12)

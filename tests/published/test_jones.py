"""D. W. Jones, "Control of Stepping Motors: stepping motor physics", University of Iowa, course notes.

Read in part: the torque over the angle is a sinusoid of a period of four steps; resonance
sqrt(k / mu) / (2 pi), with k the stiffness about equilibrium and mu the inertia of rotor and load. The
notes print no numbers for these motors; the frequencies were computed outside this package. One number
more comes from a question-and-answer page of the industry, author not recorded.
"""

import math

import pytest

from cutworthy.settings.steps import resonance_hz, static_lag_rad


def test_the_torque_over_the_angle_has_a_period_of_four_steps():
    # A quarter of the period, one full step, is the farthest that a load can push the rotor.
    assert static_lag_rad(1.0, 1.0, 50) == pytest.approx(2 * math.pi / 200, rel=1e-12)


@pytest.mark.parametrize(
    ("inertia", "expected"),
    [
        (4.8e-5, 182.33489348624985),
        (6.8e-5, 153.1919519832985),
        (9.8e-5, 127.60784324172353),
        (1.48e-4, 103.83877323429257),
    ],
)
def test_resonance_of_a_motor_of_1_26_newton_metres(inertia, expected):
    assert resonance_hz(1.26, inertia, 50) == pytest.approx(expected, rel=1e-12)


def test_resonance_of_the_page_with_a_measured_stiffness():
    # 0.0032 N·m at 0.3 degrees, 48 g·cm^2: printed 0.611 N·m/rad and 56.8 Hz.
    stiffness = 0.0032 / math.radians(0.3)
    assert stiffness == pytest.approx(0.611, abs=5e-4)
    found = resonance_hz(stiffness / 50, 48e-7, 50)
    assert found == pytest.approx(56.8, abs=0.05)
    assert found == pytest.approx(56.79043443503448, rel=1e-12)

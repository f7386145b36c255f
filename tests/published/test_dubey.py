"""G. K. Dubey, Fundamentals of Electrical Drives, example 2.1, page 16; edition not recorded.

Read in a copy of the book's examples by volunteers: the inputs are the book's, the printed
results are the copy's. A motor drives a rotating load through a gear and hoists a weight.
"""

import pytest

from cutworthy.settings.inertia import carried_inertia_kg_m2, thrust_torque_n_m

# The weight's way in one turn of the motor: 1.5 m/s at 1420 rpm.
TRAVEL_MM = 1500.0 / (1420 / 60)


def test_example_2_1_inertia():
    # J0 0.2 and 10 kg*m^2 behind a gear of 0.1, and 1000 kg that moves.
    inertia = 0.2 + 0.1**2 * 10 + carried_inertia_kg_m2(1000.0, TRAVEL_MM)
    assert inertia == pytest.approx(0.4, abs=0.05)
    assert inertia == pytest.approx(0.4017533212039943, rel=1e-12)


def test_example_2_1_torque():
    # 10 N*m through the gear at 0.9, and the weight, with 9.81 m/s^2, at 0.85.
    torque = 0.1 * 10 / 0.9 + thrust_torque_n_m(1000 * 9.81, TRAVEL_MM, 0.85)
    assert torque == pytest.approx(117.53, abs=0.005)
    assert torque == pytest.approx(117.53024885413879, rel=1e-12)

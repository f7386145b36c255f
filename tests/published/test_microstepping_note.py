"""Technical note "Microstepping: Myths and Realities", table 1: torque of one microstep, per cent of holding.

Author and year not recorded. The table was read, and a second, independent copy of it agrees.
"""

import pytest

from cutworthy.settings.steps import incremental_torque_n_m


@pytest.mark.parametrize(
    ("microsteps", "per_cent"),
    [(1, 100.00), (2, 70.71), (4, 38.27), (8, 19.51), (16, 9.80), (32, 4.91), (64, 2.45), (128, 1.23), (256, 0.61)],
)
def test_table_1(microsteps, per_cent):
    assert incremental_torque_n_m(100.0, microsteps) == pytest.approx(per_cent, abs=0.005)

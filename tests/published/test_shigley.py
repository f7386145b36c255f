"""J. E. Shigley and successors, Shigley's Mechanical Engineering Design, chapters 4 and 8.

From memory, the book was not opened: example 8-1, table 4-2 (end-condition constants) and table 8-5
(thread friction, after C. W. Ham and D. G. Ryan, University of Illinois Engineering Experiment Station,
Bulletin 247, 1932). The recalled results of the example are reproduced by its formulas, so memory and
formulas agree.
"""

import math

import pytest

from cutworthy.reference import drives
from cutworthy.settings.screw import (
    Thread,
    back_drive_torque_n_m,
    collar_torque_n_m,
    efficiency,
    half_angle_rad,
    lead_angle_rad,
    lower_torque_n_m,
    mean_diameter_mm,
    raise_torque_n_m,
    root_diameter_mm,
)

LOAD = 6400.0
# Example 8-1: square thread, d 32 mm, p 4 mm, two starts, f = f_c = 0.08, collar 40 mm, 6.4 kN.
DOUBLE = Thread(lead_mm=8.0, mean_diameter_mm=30.0, half_angle_rad=0.0, friction=0.08)


def test_example_8_1_the_thread():
    assert mean_diameter_mm("square", 32.0, 4.0) == 30.0
    assert root_diameter_mm("square", 32.0, 4.0) == 28.0
    assert half_angle_rad("square") == 0.0
    assert math.degrees(lead_angle_rad(DOUBLE)) == pytest.approx(4.851786644764604, rel=1e-12)


def test_example_8_1_raising():
    thread, collar = raise_torque_n_m(LOAD, DOUBLE), collar_torque_n_m(LOAD, 40.0, 0.08)
    assert thread == pytest.approx(15.94, abs=0.005)
    assert collar == pytest.approx(10.24, abs=1e-12)
    assert thread + collar == pytest.approx(26.18, abs=0.005)
    assert thread + collar == pytest.approx(26.176954744992933, rel=1e-12)


def test_example_8_1_lowering_is_held_by_the_collar_alone():
    thread, collar = lower_torque_n_m(LOAD, DOUBLE), collar_torque_n_m(LOAD, 40.0, 0.08)
    assert thread == pytest.approx(-0.466, abs=0.0005)
    assert back_drive_torque_n_m(LOAD, DOUBLE) == -thread
    assert thread + collar == pytest.approx(9.77, abs=0.005)
    assert thread + collar == pytest.approx(9.774428429081613, rel=1e-12)


def test_example_8_1_efficiency():
    whole = raise_torque_n_m(LOAD, DOUBLE) + collar_torque_n_m(LOAD, 40.0, 0.08)
    # The book's e = F l / (2 pi T) counts the collar; the thread alone does better by the ratio of the torques.
    with_collar = efficiency(DOUBLE) * raise_torque_n_m(LOAD, DOUBLE) / whole
    assert with_collar == pytest.approx(0.311, abs=0.0005)
    assert with_collar == pytest.approx(0.3112941579984093, rel=1e-12)


@pytest.mark.parametrize(
    ("ends", "theory"), [("fixed-free", 0.25), ("simple-simple", 1.0), ("fixed-simple", 2.0), ("fixed-fixed", 4.0)]
)
def test_table_4_2_end_conditions(ends, theory):
    # The book rounds fixed-rounded to 2; the exact root is 2.3 % above it.
    assert drives.holding(ends).euler_constant == pytest.approx(theory, rel=0.023)


# Table 8-5, least and most of each pair of screw and nut: steel dry, steel with machine oil, bronze.
TABLE_8_5 = [
    (0.15, 0.25), (0.15, 0.23), (0.15, 0.19), (0.15, 0.25),
    (0.11, 0.17), (0.10, 0.16), (0.10, 0.15), (0.11, 0.17),
    (0.08, 0.12), (0.04, 0.06), (0.06, 0.09),
]  # fmt: skip


@pytest.mark.parametrize("kind", ["trapezoidal", "acme", "square"])
def test_table_8_5_is_the_band_of_an_unknown_nut(kind):
    band = drives.friction(kind)
    assert band.low == min(low for low, _high in TABLE_8_5)
    assert band.high == max(high for _low, high in TABLE_8_5)
    assert band.low < band.value < band.high

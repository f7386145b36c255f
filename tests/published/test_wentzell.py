"""T. H. Wentzell, Machine Design, examples 3.5 (page 53), 3.6 (page 55) and 18.4 (page 405); edition not recorded.

Read in a copy of the book's examples by volunteers: the inputs are the book's, the printed
results are the copy's. Example 17.5 is left out on purpose, its copy has a wrong
power of the length.
"""

import math

import pytest

from cutworthy.settings.inertia import thrust_torque_n_m
from cutworthy.settings.screw import Thread, back_drive_torque_n_m, half_angle_rad
from cutworthy.settings.shaft import Steel, column_load_n, euler_load_n, johnson_load_n, limiting_slenderness

INCH = 25.4
POUND = 4.4482216152605  # N
PSI = POUND / INCH**2  # N/mm^2
POUND_INCH = POUND * 0.0254  # N*m


def steel(yield_psi):
    return Steel(youngs_n_mm2=30e6 * PSI, density_kg_m3=7850.0, yield_n_mm2=yield_psi * PSI)


def test_example_3_5_a_long_column():
    # Round link of 5/8 in, 30 in long, K 1, yield 42 000 psi.
    given, diameter, length = steel(42_000), 0.625 * INCH, 30 * INCH
    area, second_moment = math.pi / 4 * diameter**2, math.pi / 64 * diameter**4
    assert second_moment / INCH**4 == pytest.approx(0.0074901405658478575, rel=1e-12)
    assert length / math.sqrt(second_moment / area) == pytest.approx(192.0, rel=1e-12)
    assert limiting_slenderness(1.0, given) == pytest.approx(118.74104117237259, rel=1e-12)
    load = column_load_n(area, second_moment, length, 1.0, given)
    assert load == euler_load_n(second_moment, length, 1.0, given)
    assert load / POUND == pytest.approx(2464.16, abs=0.005)
    assert load / POUND == pytest.approx(2464.1574764489983, rel=1e-12)


def test_example_3_6_a_short_column():
    # A 2.26 in^2, I 0.764 in^4, 60 in, K 0.65, yield 36 000 psi, safety factor 2. K is 1/sqrt(C).
    given, area, second_moment, constant = steel(36_000), 2.26 * INCH**2, 0.764 * INCH**4, 0.65**-2
    slenderness = 0.65 * 60 * INCH / math.sqrt(second_moment / area)
    assert slenderness == pytest.approx(67.0767708951264, rel=1e-12)
    assert limiting_slenderness(1.0, given) == pytest.approx(128.2549830161864, rel=1e-12)
    load = column_load_n(area, second_moment, 60 * INCH, constant, given)
    assert load == johnson_load_n(area, second_moment, 60 * INCH, constant, given)
    assert load / 2 / POUND == pytest.approx(35_116.52, abs=0.005)
    assert load / 2 / POUND == pytest.approx(35_116.51721946778, rel=1e-12)


def test_example_18_4_ball_screw():
    # T = 0.177 F L, for 90 % efficiency: 2900 lb, lead 0.5 in.
    torque = thrust_torque_n_m(2900 * POUND, 0.5 * INCH, 0.9) / POUND_INCH
    # Printed 256.65 is the rounded 0.177 times the load and the lead.
    assert round(torque / (2900 * 0.5), 3) * 2900 * 0.5 == pytest.approx(256.65, abs=0.005)
    assert torque / (2900 * 0.5) == pytest.approx(0.17683882565766149, rel=1e-12)


def test_back_driving_of_a_ball_screw():
    # The book's 0.143 F L is 0.9 / (2 pi); a thread whose back efficiency is 0.9 gives it.
    lead, mean = 0.5 * INCH, 1.5 * INCH
    slope = lead / (math.pi * mean)
    friction = slope * (1 - 0.9) / (1 + 0.9 * slope**2)
    screw = Thread(lead_mm=lead, mean_diameter_mm=mean, half_angle_rad=half_angle_rad("ball"), friction=friction)
    torque = back_drive_torque_n_m(2900 * POUND, screw) / POUND_INCH
    assert torque / (2900 * 0.5) == pytest.approx(0.143, abs=0.0005)
    assert torque / (2900 * 0.5) == pytest.approx(0.1432394487827058, rel=1e-12)

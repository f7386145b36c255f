"""ASME B1.5-1997, Acme Screw Threads, general purpose, from memory (its contents were read, its clauses were not).

Basic pitch diameter E = D - p/2, basic minor diameter K = D - p, thread angle 29 degrees; the lead
angles were computed from them, apart from this package.
"""

import math

import pytest

from cutworthy.settings.screw import Thread, half_angle_rad, lead_angle_rad, mean_diameter_mm, root_diameter_mm

INCH = 25.4
# Major diameter in inches, threads per inch, E, K, lead angle in degrees with one start.
ROWS = [
    (1 / 4, 16, "0.21875", "0.1875", "5.1965"),
    (3 / 8, 12, "0.33333", "0.29167", "4.5499"),
    (1 / 2, 10, "0.45000", "0.40000", "4.0461"),
    (5 / 8, 8, "0.56250", "0.50000", "4.0461"),
    (3 / 4, 6, "0.66667", "0.58333", "4.5499"),
    (1.0, 5, "0.90000", "0.80000", "4.0461"),
    (3 / 2, 4, "1.37500", "1.25000", "3.3123"),
]


@pytest.mark.parametrize(("major", "per_inch", "pitch_diameter", "minor", "angle"), ROWS)
def test_basic_diameters_and_lead_angle(major, per_inch, pitch_diameter, minor, angle):
    pitch = INCH / per_inch
    mean = mean_diameter_mm("acme", major * INCH, pitch)
    assert f"{mean / INCH:.5f}" == pitch_diameter
    screw = Thread(lead_mm=pitch, mean_diameter_mm=mean, half_angle_rad=half_angle_rad("acme"), friction=0.15)
    assert f"{math.degrees(lead_angle_rad(screw)):.4f}" == angle
    # Below the basic minor diameter the screw has room: 0.020 in for 10 per inch and coarser, else 0.010.
    room = 0.020 if per_inch <= 10 else 0.010
    root = root_diameter_mm("acme", major * INCH, pitch) / INCH
    assert root == pytest.approx(float(minor) - room, abs=5e-6)
    assert math.degrees(2 * half_angle_rad("acme")) == pytest.approx(29.0, abs=1e-12)

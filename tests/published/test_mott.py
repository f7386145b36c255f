"""R. L. Mott, Machine Elements in Mechanical Design, 4th edition, section 17-2, example 17-1, page 703.

The page's text was read up to the torque that lowers the load, which was cut off; that number was
computed from the page's equation 17-11, apart from this package.
"""

import math

import pytest

from cutworthy.settings.screw import (
    Thread,
    efficiency,
    half_angle_rad,
    lead_angle_rad,
    lower_torque_n_m,
    raise_torque_n_m,
)

INCH = 25.4
POUND = 4.4482216152605  # N
POUND_INCH = POUND * 0.0254  # N*m
# Acme 1 1/2-4, one start, pitch diameter 1.3429 in, lead 0.250 in, friction 0.15; 12 500 lb on each screw.
LOAD = 12_500 * POUND
ACME = Thread(
    lead_mm=0.250 * INCH, mean_diameter_mm=1.3429 * INCH, half_angle_rad=half_angle_rad("acme"), friction=0.15
)


def test_example_17_1_as_printed():
    assert math.cos(half_angle_rad("acme")) == pytest.approx(0.968, abs=0.0005)
    assert math.degrees(lead_angle_rad(ACME)) == pytest.approx(3.39, abs=0.005)
    # The book's 1809 lb*in does not follow from its own inputs, rounded or not: they give 1814.
    torque = raise_torque_n_m(LOAD, ACME) / POUND_INCH
    assert torque == pytest.approx(1809, rel=0.0031)
    # From 1809 the book has 27.5 %; with that torque so have we.
    assert efficiency(ACME) * torque / 1809 == pytest.approx(0.275, abs=0.0005)


def test_example_17_1_in_full():
    assert math.degrees(lead_angle_rad(ACME)) == pytest.approx(3.391263412647146, rel=1e-12)
    assert raise_torque_n_m(LOAD, ACME) / POUND_INCH == pytest.approx(1814.4067157490513, rel=1e-12)
    assert lower_torque_n_m(LOAD, ACME) / POUND_INCH == pytest.approx(795.724369000397, rel=1e-12)
    assert efficiency(ACME) == pytest.approx(0.27411670869882415, rel=1e-12)

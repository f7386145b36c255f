"""Travel of toothed belts and of racks per turn.

Belt pitches: ISO 5296 (trapezoidal teeth; MXL to XXH) and ISO 13050 (curvilinear teeth), read in
power-transmission glossary pages that cite them. Modules: ISO 54:1996, series I and II, from memory. Travel
per turn is teeth times pitch, and for a rack pi times module times teeth: the definition of the module.
"""

import math
from fractions import Fraction

import pytest

from cutworthy.present.show import steps_text
from cutworthy.settings.travel import belt_travel_mm, exact, rack_travel_mm, steps_per_mm

# ISO 5296: the pitch in mm and in inches stand side by side in the table.
INCH_PITCHES = [
    ("MXL", 2.032, "0.080"), ("XL", 5.08, "0.200"), ("L", 9.525, "0.375"),
    ("H", 12.700, "0.500"), ("XH", 22.225, "0.875"), ("XXH", 31.75, "1.250"),
]  # fmt: skip
CURVED_PITCHES = [("3M", 3.0), ("5M", 5.0), ("8M", 8.0), ("14M", 14.0), ("20M", 20.0)]
MODULES = [
    1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10,
    1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5, 5.5, 6.5, 7, 9,
]  # fmt: skip


@pytest.mark.parametrize(("code", "pitch_mm", "inches"), INCH_PITCHES)
def test_inch_belts_keep_their_exact_inches(code, pitch_mm, inches):
    assert exact(pitch_mm) == Fraction(inches) * Fraction("25.4"), code
    assert belt_travel_mm(pitch_mm, 15, 1.0) == belt_travel_mm(float(inches) * 25.4, 15, 1.0)


@pytest.mark.parametrize(("code", "pitch_mm"), CURVED_PITCHES)
def test_metric_belts(code, pitch_mm):
    # The pitch circle's circumference: twenty teeth lie on it.
    diameter = 20 * pitch_mm / math.pi
    assert float(belt_travel_mm(pitch_mm, 20, 1.0)) == pytest.approx(math.pi * diameter, rel=1e-15), code


def test_worked_belts():
    assert steps_per_mm(200, 16, belt_travel_mm(2.0, 20, 1.0)) == 80
    assert belt_travel_mm(2.032, 18, 1.0) == Fraction("36.576")
    assert float(steps_per_mm(200, 8, belt_travel_mm(2.032, 18, 1.0))) == pytest.approx(43.74453193350831, rel=1e-15)
    assert belt_travel_mm(5.08, 10, 1.0) == Fraction("50.8")


def test_the_belt_of_heron_makes_an_inch_per_motor_turn():
    assert belt_travel_mm(0.2 * 25.4, 15, 3.0) == Fraction("25.4")
    # Its pitch diameter, teeth times pitch over pi, is 0.954930 in.
    assert f"{float(belt_travel_mm(0.2 * 25.4, 15, 1.0)) / math.pi / 25.4:.6f}" == "0.954930"


def test_worked_racks():
    assert rack_travel_mm(1.0, 20, 1.0) == pytest.approx(62.83185307179586, rel=1e-15)
    assert rack_travel_mm(1.5, 20, 3.0) == pytest.approx(31.415926535897928, rel=1e-15)
    assert steps_per_mm(200, 8, rack_travel_mm(1.5, 20, 3.0)) == pytest.approx(50.92958179, abs=5e-9)
    assert steps_text(steps_per_mm(200, 8, rack_travel_mm(1.5, 20, 3.0))) == "50.92958179"


@pytest.mark.parametrize("module", MODULES)
def test_a_module_is_its_own_short_decimal_and_pi_enters_once(module):
    assert exact(float(module)) == Fraction(str(module))
    assert rack_travel_mm(float(module), 24, 1.0) / (24 * module) == pytest.approx(math.pi, rel=1e-15)

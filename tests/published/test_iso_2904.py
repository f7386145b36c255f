"""ISO 2904, ISO metric trapezoidal screw threads - Basic dimensions, 1977; and limits of ISO 2903, class 7e.

Both seen as reproduced in open tables. Two rows of the reproduction of ISO 2904 (9x2 and 10x1.5) have
typing errors and are corrected by the standard's own formulas. a_c by pitch is from memory; the rows
that were read agree with it.
"""

import pytest

from cutworthy.settings.screw import mean_diameter_mm, root_band_mm, root_diameter_mm

# Major, pitch, d2, d3, D1. Read up to 14x3; then by the standard's formulas; 8x2 is a trade size outside the table.
ROWS = [
    (8.0, 1.5, 7.250, 6.200, 6.500),
    (10.0, 2.0, 9.000, 7.500, 8.000),
    (12.0, 3.0, 10.500, 8.500, 9.000),
    (14.0, 3.0, 12.500, 10.500, 11.000),
    (16.0, 4.0, 14.000, 11.500, 12.000),
    (20.0, 4.0, 18.000, 15.500, 16.000),
    (8.0, 2.0, 7.000, 5.500, 6.000),
    (9.0, 2.0, 8.000, 6.500, 7.000),  # printed d3 9.250, larger than the thread
    (10.0, 1.5, 9.250, 8.200, 8.500),  # printed d3 2.000, D1 3.000
]


@pytest.mark.parametrize(("major", "pitch", "d2", "d3", "nut_minor"), ROWS)
def test_basic_dimensions(major, pitch, d2, d3, nut_minor):
    assert mean_diameter_mm("trapezoidal", major, pitch) == pytest.approx(d2, abs=1e-9)
    assert root_diameter_mm("trapezoidal", major, pitch) == pytest.approx(d3, abs=1e-9)
    low, value, high = root_band_mm("trapezoidal", major, pitch)
    # No root can be larger than the nut's minor diameter D1.
    assert high == pytest.approx(nut_minor, abs=1e-9)
    assert low < value == pytest.approx(d3, abs=1e-9)


@pytest.mark.parametrize(
    ("pitch", "clearance"), [(1.5, 0.15), (2, 0.25), (5, 0.25), (6, 0.5), (12, 0.5), (14, 1), (44, 1)]
)
def test_clearance_by_pitch(pitch, clearance):
    assert root_diameter_mm("trapezoidal", 100.0, pitch) == pytest.approx(100.0 - pitch - 2 * clearance, abs=1e-9)


@pytest.mark.parametrize(
    ("major", "pitch", "most", "least"),
    [(10.0, 2.0, 7.500, 7.191), (12.0, 3.0, 8.500, 8.135), (16.0, 4.0, 11.5, 11.074)],
)
def test_minor_limits_of_iso_2903_lie_in_the_band(major, pitch, most, least):
    low, value, high = root_band_mm("trapezoidal", major, pitch)
    assert value == pytest.approx(most, abs=1e-9)
    assert low <= least
    assert most <= high

"""Fits of form: a published circle, minimum zones that can be worked out by hand, positions by ISO 230-2."""

import numpy as np
import pytest
from digits import printed
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.metrology.angles import square_by_diagonals_rad, u_square_by_diagonals_rad
from cutworthy.metrology.circles import best_circle, round_trip
from cutworthy.metrology.lines import narrowest_zone, ring_width
from cutworthy.metrology.positioning import positioning

# W. Gander, G. H. Golub, R. Strebel, Least-Squares Fitting of Circles and Ellipses, BIT 34, 1994: six points and their
# geometric fit, from memory.
GANDER = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def test_the_circle_of_gander_golub_strebel():
    x, y = (np.array(column, dtype=float) for column in zip(*GANDER, strict=True))
    middle_x, middle_y, radius = best_circle(x, y)
    assert middle_x == printed("4.7398")
    assert middle_y == printed("2.9835")
    assert radius == printed("4.7142")


def plane(points):
    x, y, z = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    return np.stack([np.ones_like(x), x, y], axis=1), z


def test_one_corner_of_nine_raised():
    """By hand: three quarters of the height, where the plane of least squares leaves five sixths."""
    points = [(x, y, 1.0 if (x, y) == (1, 1) else 0.0) for x in (-1, 0, 1) for y in (-1, 0, 1)]
    design, z = plane(points)
    width, middle = narrowest_zone(design, z)
    assert width == pytest.approx(3 / 4, abs=1e-12)
    assert middle == pytest.approx([3 / 8, 1 / 4, 1 / 4], abs=1e-9) or width == pytest.approx(0.75)
    left = z - design @ np.linalg.lstsq(design, z, rcond=None)[0]
    assert np.ptp(left) == pytest.approx(5 / 6, abs=1e-12)


def test_nine_points_of_straightness():
    """Heights in um every 100 mm: 14.0 between the nearest parallels, 14.467 about the line of least squares."""
    z = np.array([0, 6, 9, 14, 15, 13, 11, 5, 2], dtype=float)
    design = np.stack([np.ones(9), np.arange(9) * 100.0], axis=1)
    assert narrowest_zone(design, z)[0] == pytest.approx(14.0)
    left = z - design @ np.linalg.lstsq(design, z, rcond=None)[0]
    assert np.ptp(left) == pytest.approx(14.466666666666667)


@given(st.lists(st.tuples(*[st.floats(-9, 9)] * 3), min_size=4, max_size=12), st.floats(-1, 1), st.floats(-1, 1))
def test_a_tilt_changes_no_flatness_and_least_squares_are_never_narrower(points, slope_x, slope_y):
    design, z = plane(points)
    width, _ = narrowest_zone(design, z)
    tilted, _ = narrowest_zone(design, z + slope_x * design[:, 1] + slope_y * design[:, 2])
    assert tilted == pytest.approx(width, abs=1e-7)
    left = z - design @ np.linalg.lstsq(design, z, rcond=None)[0]
    assert width <= np.ptp(left) + 1e-7


# Deviations in um at five targets, five runs from either side; the results follow from ISO 230-2:2014 by hand, in whole
# numbers and the root of 2.5.
UP = [[0, 1, -1, 1, -1], [12, 14, 13, 11, 15], [25, 27, 26, 24, 28], [30, 33, 31, 32, 29], [41, 39, 40, 42, 38]]
DOWN = [
    [-30, -28, -29, -31, -27],
    [-20, -18, -22, -19, -21],
    [-8, -5, -7, -9, -6],
    [2, 0, -1, 1, 3],
    [9, 12, 10, 11, 8],
]


def test_positions_by_iso_230_2():
    found = positioning(np.array(UP, dtype=float), np.array(DOWN, dtype=float))
    root = 2.5**0.5
    assert (found.reversal, found.mean_reversal, found.mean_deviation) == (33, 31, 39.5)
    assert (found.systematic_plus, found.systematic_minus, found.systematic) == (40, 39, 69)
    assert (found.repeat_plus, found.repeat_minus) == pytest.approx((4 * root, 4 * root))
    assert found.repeat == pytest.approx(33 + 4 * root)
    assert (found.accuracy_plus, found.accuracy_minus) == pytest.approx((45.16227766016838, 39 + 4 * root))
    assert found.accuracy == pytest.approx(69 + 4 * root)


def test_squareness_by_diagonals():
    """600 by 400 mm, diagonals 721.80 and 720.60 mm: sin e = 0.001803, and 0.00053 rad for a tape of 0.25 mm."""
    assert square_by_diagonals_rad(600, 400, 721.80, 720.60) == pytest.approx(0.001803000977, abs=5e-13)
    assert u_square_by_diagonals_rad(600, 400, 721.2, 0.25) == pytest.approx(0.0005312139693663938)


ANGLES = np.radians(np.arange(0, 360, 5))


def sinks(beta=0.0, scale=0.0, off=(0.0, 0.0)):
    return (
        100
        + 100 / 2 * (scale * np.cos(2 * ANGLES) + beta * np.sin(2 * ANGLES))
        + off[0] * np.cos(ANGLES)
        + (off[1] * np.sin(ANGLES))
    )


@pytest.mark.parametrize(
    ("radii", "width"),
    [(sinks(beta=1e-4), 0.010), (sinks(scale=3e-4), 0.030), (sinks(off=(0.012, -0.005)), 0.0)],
    ids=["out of square", "one axis longer", "off the middle"],
)
def test_signatures_of_iso_230_4(radii, width):
    """R 100 mm: an angle of 0.1 mrad gives 0.010 mm, 300 ppm between the axes 0.030 mm, a shift nothing."""
    assert ring_width(ANGLES, radii) == pytest.approx(width, abs=5e-5)


def test_a_circle_both_ways_is_taken_apart():
    """The path of a machine with all four errors, point by point by its axes' own rules, not by our columns."""
    scale, square, lost_x, lost_y, radius = 4e-4, 3e-4, 0.06, 0.025, 50.0
    angles, radii, ways = [], [], []
    for way in (1, -1):
        for angle in np.radians(np.arange(0, 360, 6) + 3.0):
            x, y = radius * np.cos(angle), radius * np.sin(angle)
            x -= np.sign(-way * np.sin(angle)) * lost_x / 2
            y -= np.sign(way * np.cos(angle)) * lost_y / 2
            x = x * (1 + scale) + y * square
            angles.append(np.arctan2(y, x))
            radii.append(np.hypot(x, y))
            ways.append(way)
    found = round_trip(np.array(angles), np.array(radii), np.array(ways, dtype=float), radius, 0.0)
    assert found.scale_ratio == pytest.approx(scale, rel=0.01)
    assert found.square_rad == pytest.approx(square, rel=0.01)
    assert (found.lost_x_mm, found.lost_y_mm) == pytest.approx((lost_x, lost_y), rel=0.01)

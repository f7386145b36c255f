"""Heights between places where they were measured."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator

from cutworthy.kernels.levels import levels

CORNERS = np.array([(0.0, 0.0, 18.0), (300.0, 0.0, 18.4), (0.0, 140.0, 17.8), (300.0, 140.0, 18.2)])
places = st.tuples(st.floats(-50, 350), st.floats(-50, 190))


def test_one_point_holds_everywhere():
    assert levels(np.array([[5.0, 5.0, 18.0]]), np.array([[0.0, 9.0]]), np.array([[1.0, 2.0]])).tolist() == [[18, 18]]


@given(places)
def test_a_plane_is_found_everywhere(place):
    x, y = place
    assert levels(CORNERS, np.array([x]), np.array([y]))[0] == pytest.approx(18 + 0.4 * x / 300 - 0.2 * y / 140)


@given(st.lists(st.floats(17, 19), min_size=5, max_size=5))
def test_exact_where_it_was_measured_and_between_the_measured_off_the_plane(heights):
    points = np.column_stack([[0, 300, 0, 300, 150], [0, 0, 140, 140, 70], heights])
    assert levels(points, points[:, 0], points[:, 1]) == pytest.approx(np.array(heights), abs=1e-9)


def test_points_on_one_line_fix_no_plane():
    points = np.array([(0.0, 0.0, 18.0), (100.0, 0.0, 18.2), (200.0, 0.0, 18.1)])
    found = levels(points, np.array([50.0, 50.0]), np.array([0.0, 500.0]))
    assert (found >= 18).all()
    assert (found <= 18.2).all()


def test_near_to_linear_interpolation_of_a_general_library():
    """Within what the two ways to go between points may differ by: less than the heights themselves do."""
    rng = np.random.default_rng(4)
    points = np.column_stack([rng.uniform(0, 300, 9), rng.uniform(0, 140, 9), rng.uniform(17.8, 18.2, 9)])
    x, y = rng.uniform(0, 300, 200), rng.uniform(0, 140, 200)
    theirs = LinearNDInterpolator(points[:, :2], points[:, 2])(x, y)
    known = ~np.isnan(theirs)
    assert np.abs(levels(points, x, y) - theirs)[known].max() < 0.4

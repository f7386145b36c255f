"""The closed forms in plan, against shapely's distances between plane figures."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point
from shapely import box as rectangle
from shapely.geometry import Polygon

from cutworthy.clearance.solid import Box, along_straight, around, at_place, least_side, lowest_over, side

DEEP = np.array([-1e4])
length = st.one_of(st.integers(-20, 20).map(float), st.floats(-20, 20, allow_subnormal=False))
point = st.tuples(length, length)
size = st.sampled_from([0.5, 2.0, 5.0])
boxes = st.builds(Box, x_mm=length, y_mm=length, half_x_mm=size, half_y_mm=size, top_mm=st.just(0.0))


def figure(box: Box) -> Polygon:
    return rectangle(
        box.x_mm - box.half_x_mm, box.y_mm - box.half_y_mm, box.x_mm + box.half_x_mm, box.y_mm + box.half_y_mm
    )


def array(*places: tuple[float, ...]) -> np.ndarray:
    return np.array(places, dtype=np.float64)


@settings(max_examples=200, deadline=None)
@given(point, boxes)
def test_a_place(place: tuple[float, float], box: Box) -> None:
    found = side(box, array(place)[:, 0], array(place)[:, 1])[0]
    outline = figure(box).exterior.distance(Point(place))
    assert abs(found) == pytest.approx(outline, abs=1e-12)
    if outline > 1e-12:
        assert (found < 0) == figure(box).contains(Point(place))
    assert at_place(box, (*place, -1e4), 0.0, 0.0) == pytest.approx(found, abs=1e-12)


@settings(max_examples=200, deadline=None)
@given(point, point, boxes, st.sampled_from([0.0, 3.0]))
def test_a_straight_piece(start: tuple[float, float], end: tuple[float, float], box: Box, radius: float) -> None:
    found, share = along_straight(array((*start, 0)), array((*end, 0)), box, np.array([radius]), DEEP)
    distance = figure(box).distance(LineString([start, end]))
    assert max(found[0] + radius, 0) == pytest.approx(distance, abs=1e-9)
    there = array(start) + share * (array(end) - array(start))
    assert side(box, there[:, 0], there[:, 1]) - radius == pytest.approx(found, abs=1e-9)


@settings(max_examples=200, deadline=None)
@given(point, point, st.floats(-5, 5), st.floats(-5, 5), boxes)
def test_a_ramp_meets_what_its_part_below_the_top_meets(
    start: tuple[float, float], end: tuple[float, float], first: float, last: float, box: Box
) -> None:
    """Cut off the part above the top by hand; what is left, widened by the radius, meets the box or not."""
    found, _ = along_straight(array((*start, first)), array((*end, last)), box, np.array([3.0]), np.array([0.0]))
    if min(first, last) >= 0:
        assert found[0] >= 0
        return
    crossing = first / (first - last) if first * last < 0 else 0.0
    shares = (crossing if first > 0 else 0.0, crossing if last > 0 else 1.0)
    below = [tuple(np.add(start, np.subtract(end, start) * share)) for share in shares]
    distance = figure(box).distance(LineString(below))
    assert (found[0] < 1e-7) >= (distance < 3 - 1e-7)
    assert (found[0] < -1e-7) <= (distance < 3 + 1e-7)


@settings(max_examples=150, deadline=None)
@given(point, st.sampled_from([0.5, 4.0, 15.0]), st.floats(0, 6.28), st.floats(0.02, 1), st.booleans(), boxes)
def test_an_arc(centre: tuple[float, float], radius: float, begin: float, turn: float, back: bool, box: Box) -> None:  # noqa: FBT001 - hypothesis draws it
    turns = -turn if back else turn
    angles = begin + 2 * np.pi * turns * np.linspace(0, 1, 4001)
    track = array(centre) + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    start = array((*track[0], 0))
    found, _ = around(start, array((*centre, 0)), np.array([turns]), box)
    # Between its 4000 chords the circle strays by its sagitta.
    sagitta = radius * (2 * np.pi * turn / 4000) ** 2 / 8
    assert max(found[0], 0) == pytest.approx(figure(box).distance(LineString(track)), abs=sagitta + 1e-12)
    assert found[0] <= side(box, track[:, 0], track[:, 1]).min() + 1e-12


@settings(max_examples=150, deadline=None)
@given(point, point, boxes)
def test_a_box_of_places(one: tuple[float, float], other: tuple[float, float], box: Box) -> None:
    low, high = np.minimum(array(one), array(other)), np.maximum(array(one), array(other))
    found = least_side(box, low, high)[0]
    assert max(found, 0) == pytest.approx(figure(box).distance(rectangle(*low[0], *high[0])), abs=1e-12)
    mesh = np.stack(np.meshgrid(*np.linspace(low[0], high[0], 15).T), axis=-1).reshape(-1, 2)
    assert found <= side(box, mesh[:, 0], mesh[:, 1]).min() + 1e-12


@settings(max_examples=150, deadline=None)
@given(point, point, st.floats(-5, 5), st.floats(-5, 5), boxes)
def test_the_least_height_over_a_box(
    start: tuple[float, float], end: tuple[float, float], first: float, last: float, box: Box
) -> None:
    found, _ = lowest_over(array((*start, first)), array((*end, last)), box, np.array([3.0]))
    shares = np.linspace(0, 1, 2001)
    places = array(start) + shares[:, None] * (array(end) - array(start))
    heights = (first + shares * (last - first))[side(box, places[:, 0], places[:, 1]) <= 3.0]
    if len(heights):
        assert heights.min() - abs(last - first) / 2000 - 1e-9 <= found[0] <= heights.min() + 1e-12
    else:
        # What lies between two samples may just touch, and no more.
        step = np.hypot(*(array(end) - array(start))[0]) / 2000
        assert np.isinf(found[0]) or figure(box).distance(LineString([start, end])) > 3.0 - step

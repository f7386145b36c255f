"""Lengths, places and boxes of straight pieces, arcs and helices."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy.kernels.shapes import ACROSS, FIRST, SECOND, boxes, lengths, points, radii

XY, XZ, YZ = 1, 2, 3
Columns = tuple[np.ndarray, ...]


def columns(
    start: object, end: object, centre: object = (np.nan,) * 3, plane: int = 0, turns: float = np.nan
) -> Columns:
    """Return one move as the columns that every function takes."""
    rows = [np.array([place], dtype=np.float64) for place in (start, end, centre)]
    return (*rows, np.array([plane], np.uint8), np.array([turns]))


def arc(
    plane: int, radius: float, begin: float, turns: float, rise: float = 0.0, centre: object = (1, 2, 3)
) -> Columns:
    """Return one arc from its centre: its start, its end and how far it rises across the plane."""
    middle = np.array(centre, dtype=np.float64)
    ends = []
    for share in (0, 1):
        angle, place = begin + 2 * np.pi * turns * share, middle.copy()
        place[FIRST[plane]] += radius * np.cos(angle)
        place[SECOND[plane]] += radius * np.sin(angle)
        place[ACROSS[plane]] += rise * share
        ends.append(place)
    return columns(ends[0], ends[1], middle, plane, turns)


def track(move: Columns, n: int = 20001) -> np.ndarray:
    return points(*(np.repeat(column, n, axis=0) for column in move), np.linspace(0, 1, n))


planes = st.sampled_from([XY, XZ, YZ])
turn = st.floats(0.01, 2.5).flatmap(lambda size: st.sampled_from([size, -size]))
arcs = st.builds(
    arc, planes, st.sampled_from([0.5, 3.0, 50.0]), st.floats(0, 6.28), turn, st.sampled_from([0.0, -4.0, 7.0])
)


def test_a_straight_piece() -> None:
    move = columns((1, 2, 3), (4, 6, 15))
    assert lengths(*move)[0] == 13  # 3, 4, 12
    assert points(*move, np.array([0.5]))[0].tolist() == [2.5, 4, 9]
    low, high = boxes(*columns((4, 2, 3), (1, 6, 3)))
    assert (low[0].tolist(), high[0].tolist()) == ([1, 2, 3], [4, 6, 3])


def test_planes_turn_from_their_first_axis_to_their_second() -> None:
    """A quarter counter-clockwise, seen from the positive end of the axis across (NISTIR 6556, 4.3.6.1)."""
    for plane, first, second in ((XY, 0, 1), (XZ, 2, 0), (YZ, 1, 2)):
        end = points(*arc(plane, 10, 0, 0.25, centre=(0, 0, 0)), np.array([1.0]))[0]
        expected = np.zeros(3)
        expected[second] = 10
        assert end == pytest.approx(expected, abs=1e-12)
        along = np.zeros((2, 3))
        along[0, first], along[1, second] = 1, 1
        across = np.cross(*along)
        assert across[ACROSS[plane]] == 1, "the three axes are a right hand"


@pytest.mark.parametrize("plane", [XY, XZ, YZ])
@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize(
    ("turns", "expected"), [(0.25, np.pi * 5), (0.5, np.pi * 10), (1, np.pi * 20), (2.5, np.pi * 50)]
)
def test_the_length_of_an_arc_and_of_a_helix(plane: int, way: int, turns: float, expected: float) -> None:
    assert lengths(*arc(plane, 10, 0.3, way * turns))[0] == pytest.approx(expected, rel=1e-12)
    assert lengths(*arc(plane, 10, 0.3, way * turns, rise=8))[0] == pytest.approx(np.hypot(expected, 8), rel=1e-12)


@pytest.mark.parametrize(
    ("begin", "turns", "low", "high"),
    [
        (0, 0.25, (0, 0), (10, 10)),
        (0, -0.25, (0, -10), (10, 0)),
        (np.pi / 4, 0.25, (-np.sqrt(50), np.sqrt(50)), (np.sqrt(50), 10)),
        (0, 0.5, (-10, 0), (10, 10)),
        (0, -0.5, (-10, -10), (10, 0)),
        (np.pi / 2, 0.5, (-10, -10), (0, 10)),
        (0.3, 1, (-10, -10), (10, 10)),
        (0.3, -3, (-10, -10), (10, 10)),
    ],
)
@pytest.mark.parametrize("plane", [XY, XZ, YZ])
def test_the_box_of_an_arc(
    plane: int, begin: float, turns: float, low: tuple[float, float], high: tuple[float, float]
) -> None:
    found = boxes(*arc(plane, 10, begin, turns, rise=-4, centre=(0, 0, 0)))
    across = ACROSS[plane]
    for corner, expected, rise in zip(found, (low, high), (-4, 0), strict=True):
        assert corner[0, [FIRST[plane], SECOND[plane]]] == pytest.approx(expected, abs=1e-9)
        assert corner[0, across] == rise


def test_a_box_misses_no_bulge() -> None:
    """A chord of 2.5 mm on radius 50 bulges by 50 - root(50 squared - 1.25 squared) = 15.6 micrometres."""
    half = np.arcsin(1.25 / 50)
    _, high = boxes(*arc(XY, 50, np.pi / 2 - half, half / np.pi, centre=(0, 0, 0)))
    assert high[0, 1] - 50 * np.cos(half) == pytest.approx(0.015627, abs=5e-7)
    assert high[0, 1] == 50


def test_a_box_grows_where_start_and_end_are_on_two_circles() -> None:
    start, _, centre, plane, turns = arc(XY, 10, 0, 0.25, centre=(0, 0, 0))
    low, high = boxes(start, np.array([[0, 10.5, 0]]), centre, plane, turns)
    assert (low[0].tolist(), high[0].tolist()) == ([-0.5, -0.5, 0], [10.5, 11, 0])


@settings(max_examples=150, deadline=None)
@given(arcs)
def test_the_box_is_that_of_many_places(move: Columns) -> None:
    low, high = boxes(*move)
    places = track(move)
    radius = radii(move[0], move[2], move[3])[0]
    # Between two of the places the arc strays from its chord by no more than the sagitta.
    sagitta = radius * (2 * np.pi * move[4][0] / 20000) ** 2 / 8
    assert (low[0] <= places.min(axis=0) + 1e-9).all()
    assert (high[0] >= places.max(axis=0) - 1e-9).all()
    assert low[0] == pytest.approx(places.min(axis=0), abs=sagitta + 1e-9)
    assert high[0] == pytest.approx(places.max(axis=0), abs=sagitta + 1e-9)


@settings(max_examples=150, deadline=None)
@given(arcs)
def test_the_length_is_that_of_many_chords(move: Columns) -> None:
    steps = np.diff(track(move), axis=0)
    assert lengths(*move)[0] == pytest.approx(np.sqrt((steps**2).sum(axis=1)).sum(), rel=1e-6)


@settings(max_examples=100, deadline=None)
@given(arcs, st.floats(0, 1))
def test_places_are_on_the_circle_and_on_the_slope(move: Columns, share: float) -> None:
    start, end, centre, plane, _ = move
    place = points(*move, np.array([share]))
    assert radii(place, centre, plane)[0] == pytest.approx(radii(start, centre, plane)[0], rel=1e-9)
    across = ACROSS[plane[0]]
    assert place[0, across] == pytest.approx(start[0, across] + share * (end - start)[0, across], abs=1e-12)


@settings(max_examples=100, deadline=None)
@given(arcs)
def test_an_arc_begins_and_ends_at_its_ends(move: Columns) -> None:
    assert points(*move, np.array([0.0]))[0] == pytest.approx(move[0][0], abs=1e-12)
    assert points(*move, np.array([1.0]))[0] == pytest.approx(move[1][0], abs=1e-12)


def test_straight_pieces_and_arcs_side_by_side() -> None:
    """Rows keep to themselves."""
    one, other = columns((0, 0, 0), (3, 4, 0)), arc(XY, 10, 0, 0.5, centre=(0, 0, 0))
    both = tuple(np.concatenate(pair) for pair in zip(one, other, strict=True))
    assert lengths(*both) == pytest.approx([5, 10 * np.pi])
    low, high = boxes(*both)
    assert (low[0].tolist(), high[0].tolist()) == ([0, 0, 0], [3, 4, 0])
    assert high[1, 1] == 10
    assert points(*both, np.array([0.5, 0.5])) == pytest.approx(np.array([[1.5, 2, 0], [0, 10, 0]]), abs=1e-12)

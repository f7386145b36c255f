"""The search against brute force: no contact is missed, and no clearance is above a sampled one."""

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy.clearance.parts import Cylinder
from cutworthy.clearance.path import FINE_MM, Path
from cutworthy.clearance.probe import Probe
from cutworthy.clearance.solid import TOUCH_MM, Box, side
from cutworthy.kernels import shapes
from cutworthy.model.moves import Moves
from cutworthy.model.program import Kind, Plane

SAMPLES = 1500


class Shape(NamedTuple):
    """One move: an arc when it has a plane."""

    start: tuple[float, float, float]
    end: tuple[float, float, float]
    centre: tuple[float, float, float] = (np.nan,) * 3
    plane: Plane = Plane.NONE
    turns: float = np.nan


def as_moves(*drawn: Shape) -> Moves:
    start, end, centre, plane, turns = (np.array(column, dtype=np.float64) for column in zip(*drawn, strict=True))
    plane = plane.astype(np.uint8)
    low, high = shapes.boxes(start, end, centre, plane, turns)
    n = len(drawn)
    return Moves(
        row=np.arange(n),
        line=np.arange(n),
        kind=np.where(plane == Plane.NONE, Kind.LINE, Kind.ARC).astype(np.uint8),
        way=np.zeros(n, np.uint8),
        start_mm=start,
        end_mm=end,
        centre_mm=centre,
        plane=plane,
        turns=turns,
        tool=np.ones(n, np.int64),
        low_mm=low,
        high_mm=high,
        start_doubt=np.zeros((n, 3), np.uint8),
        end_doubt=np.zeros((n, 3), np.uint8),
    )


def probe_of(moves: Moves, cylinder: Cylinder, box: Box) -> Probe:
    path = Path.of(moves, np.arange(len(moves)))
    return Probe.of(path, cylinder, box, np.arange(len(moves)))


def sampled(moves: Moves, row: int, cylinder: Cylinder, box: Box, shares: np.ndarray) -> np.ndarray:
    """Return the clearance at many places of one move, from nothing but its points."""
    n = len(shares)
    columns = (moves.start_mm, moves.end_mm, moves.centre_mm, moves.plane, moves.turns)
    tip = shapes.points(*(np.repeat(column[row : row + 1], n, axis=0) for column in columns), shares)
    depth = max(box.top_mm - moves.low_mm[row, 2], 0)
    radius = min(cylinder.radius_mm, cylinder.tip_radius_mm + cylinder.widening * depth)
    return np.maximum(side(box, tip[:, 0], tip[:, 1]) - radius, tip[:, 2] + cylinder.bottom_mm - box.top_mm)


def refined(moves: Moves, row: int, cylinder: Cylinder, box: Box) -> float:
    """Return the least sampled clearance, with more samples around each low place."""
    shares = np.linspace(0, 1, SAMPLES)
    values = sampled(moves, row, cylinder, box, shares)
    padded = np.concatenate([[np.inf], values, [np.inf]])
    low = np.flatnonzero((values <= padded[:-2]) & (values <= padded[2:]))
    low = low[np.argsort(values[low], kind="stable")[:6]]
    return min(_refined_around(moves, row, cylinder, box, float(shares[k])) for k in low)


def _refined_around(moves: Moves, row: int, cylinder: Cylinder, box: Box, share: float) -> float:
    step, best = 1 / (SAMPLES - 1), np.inf
    for _ in range(6):
        shares = np.clip(share + np.linspace(-step, step, 41), 0, 1)
        values = sampled(moves, row, cylinder, box, shares)
        best, share = min(best, float(values.min())), float(shares[values.argmin()])
        step /= 20
    return best


# Round numbers touch, run alongside and pass through corners far more often than others do.
length = st.one_of(st.integers(-12, 12).map(float), st.floats(-12, 12, allow_subnormal=False))
point = st.tuples(length, length, length)
lines = st.tuples(point, point).map(lambda ends: Shape(*ends))
boxes = st.builds(
    Box,
    x_mm=length,
    y_mm=length,
    half_x_mm=st.sampled_from([0.5, 1.0, 2.5, 4.0, 9.0]),
    half_y_mm=st.sampled_from([0.5, 1.0, 2.5, 4.0]),
    top_mm=length,
)
plain = st.builds(
    lambda radius, bottom: Cylinder(part="nut", bit=0, bottom_mm=bottom, radius_mm=radius, tip_radius_mm=radius),
    st.sampled_from([0.0, 0.5, 1.5, 3.0, 11.0]),
    st.sampled_from([0.0, 1.0, 4.0, 10.0]),
)
vees = st.builds(
    lambda widening, tip: Cylinder(
        part="bit", bit=0, bottom_mm=0.0, radius_mm=6.0, tip_radius_mm=tip, widening=widening
    ),
    st.sampled_from([0.1, 0.577, 1.0]),
    st.sampled_from([0.0, 0.1, 1.0]),
)
cylinders = st.one_of(plain, vees)


@st.composite
def arcs(draw: st.DrawFn, *, flat: bool = False) -> Shape:
    plane = Plane.XY if flat else draw(st.sampled_from([Plane.XY, Plane.XZ, Plane.YZ]))
    centre = np.array(draw(point))
    radius = draw(st.sampled_from([0.25, 1.0, 3.0, 7.5]))
    quarter = np.pi / 2
    begin = draw(st.one_of(st.integers(0, 3).map(lambda n: n * quarter), st.floats(0, 6.28)))
    turns = draw(st.sampled_from([0.25, 0.5, 0.75, 1.0, 0.1, 2.25])) * draw(st.sampled_from([-1, 1]))
    rise = 0.0 if flat else draw(st.sampled_from([0.0, -3.0, 2.0, 11.0]))
    first, second, across = shapes.FIRST[plane], shapes.SECOND[plane], shapes.ACROSS[plane]
    start, end = centre.copy(), centre.copy()
    start[[first, second]] += radius * np.array([np.cos(begin), np.sin(begin)])
    stop = begin + 2 * np.pi * turns
    end[[first, second]] += radius * np.array([np.cos(stop), np.sin(stop)])
    end[across] += rise
    return Shape(tuple(start), tuple(end), tuple(centre), plane, turns)


@pytest.mark.parametrize(("drawn", "within"), [(lines, 1e-9), (arcs(flat=True), 1e-9), (arcs(), 1e-6)])
def test_the_least_clearance_is_the_sampled_one(drawn: st.SearchStrategy[Shape], within: float) -> None:
    @settings(max_examples=150, deadline=None)
    @given(drawn, cylinders, boxes)
    def check(shape: Shape, cylinder: Cylinder, box: Box) -> None:
        moves = as_moves(shape)
        found = probe_of(moves, cylinder, box).nearest().value
        best = refined(moves, 0, cylinder, box)
        assert found <= best + 1e-9
        assert found >= best - within - 1e-9

    check()


@settings(max_examples=150, deadline=None)
@given(st.lists(st.one_of(lines, arcs()), min_size=1, max_size=6), cylinders, boxes)
def test_no_contact_is_missed(drawn: list[Shape], cylinder: Cylinder, box: Box) -> None:
    moves = as_moves(*drawn)
    met = probe_of(moves, cylinder, box).meeting()
    for row in range(len(moves)):
        best = refined(moves, row, cylinder, box)
        assert met[row] or best > 0
        assert not met[row] or best <= FINE_MM + TOUCH_MM


@settings(max_examples=12, deadline=None)
@given(st.lists(st.one_of(lines, arcs()), min_size=70, max_size=90), cylinders, boxes)
def test_leaving_out_far_moves_changes_nothing(drawn: list[Shape], cylinder: Cylinder, box: Box) -> None:
    moves = as_moves(*drawn)
    together = probe_of(moves, cylinder, box)
    alone = [probe_of(as_moves(each), cylinder, box) for each in drawn]
    assert together.nearest().value == pytest.approx(min(each.nearest().value for each in alone), abs=2 * FINE_MM)
    assert together.meeting().tolist() == [bool(each.meeting()[0]) for each in alone]


def mirrored(shape: Shape) -> Shape:
    """Return the move seen in a mirror that stands on the Y axis."""
    start, end, centre = ((-p[0], p[1], p[2]) for p in shape[:3])
    turned = -shape.turns if shape.plane in {Plane.XY, Plane.XZ} else shape.turns
    return Shape(start, end, centre, shape.plane, turned)


@settings(max_examples=100, deadline=None)
@given(st.one_of(lines, arcs()), cylinders, boxes)
def test_a_mirror_changes_no_clearance(shape: Shape, cylinder: Cylinder, box: Box) -> None:
    twin = Box(x_mm=-box.x_mm, y_mm=box.y_mm, half_x_mm=box.half_x_mm, half_y_mm=box.half_y_mm, top_mm=box.top_mm)
    here = probe_of(as_moves(shape), cylinder, box).nearest().value
    there = probe_of(as_moves(mirrored(shape)), cylinder, twin).nearest().value
    assert there == pytest.approx(here, abs=2 * FINE_MM)


@settings(max_examples=100, deadline=None)
@given(st.one_of(lines, arcs()), cylinders, boxes, st.sampled_from([0.5, 3.0]), st.sampled_from([0.0, 0.2]))
def test_a_grown_box_is_nearer(shape: Shape, cylinder: Cylinder, box: Box, sideways: float, up: float) -> None:
    moves = as_moves(shape)
    entered, grown = probe_of(moves, cylinder, box), probe_of(moves, cylinder, box.grown(sideways, up))
    assert grown.nearest().value <= entered.nearest().value + FINE_MM
    assert grown.meeting() >= entered.meeting()


@settings(max_examples=80, deadline=None)
@given(arcs(), cylinders, boxes, st.sampled_from([0.002, 0.05]))
def test_an_arc_that_does_not_close_counts_as_wider(shape: Shape, cylinder: Cylinder, box: Box, gap: float) -> None:
    first, second = shapes.FIRST[shape.plane], shapes.SECOND[shape.plane]
    end = np.array(shape.end)
    out = end - shape.centre
    out[shapes.ACROSS[shape.plane]] = 0
    end += gap * out / np.hypot(out[first], out[second])
    moves = as_moves(shape._replace(end=tuple(end)))
    found = probe_of(moves, cylinder, box).nearest().value
    best = refined(moves, 0, cylinder, box)
    assert best - 3 * gap - FINE_MM <= found <= best + 1e-9

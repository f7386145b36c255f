"""Cutter compensation beyond the report's two tables (NISTIR 6556, 3.5.10 and Appendix B)."""

from math import cos, hypot, pi, sin, tau
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.program import ListedTool, ReadOptions, read_program

RADIUS = 2.0
TOOLS = {1: ListedTool(diameter_mm=2 * RADIUS)}


def read(text: str, **options: Any) -> Any:
    chosen = ReadOptions(**{"units_at_start": "mm", "tools": TOOLS, **options})
    return read_program(text.encode(), chosen, lambda _share: None)


def no_go(program: Any) -> list[tuple[int, str]]:
    return [(p.line, p.case) for p in program.problems if p.level is Level.NO_GO]


@given(st.integers(0, 1 << 32))
def test_a_path_that_turns_away_is_followed_at_the_radius(seed: int) -> None:
    """Every place of the tool's path lies one radius from the move that it belongs to, and on its side."""
    random = Random(seed)  # noqa: S311 - no secret
    left, heading, spots = random.random() < 0.5, 0.0, [(20.0, 0.0)]
    for _ in range(random.randint(1, 8)):
        x, y = spots[-1]
        way = random.uniform(5, 30)
        spots.append((round(x + way * cos(heading), 6), round(y + way * sin(heading), 6)))
        turn = random.uniform(0.1, 2.9)
        heading += -turn if left else turn  # away from the tool's side: an outside corner
    text = [f"F9 G4{1 if left else 2} D1", "G1 X20 Y0", *(f"X{x:.6f} Y{y:.6f}" for x, y in spots[1:]), "G40", "M2"]
    program = read("\n".join(text))
    assert no_go(program) == []
    moves = program.moves
    assert set(moves.line.tolist()) == set(range(2, len(spots) + 2))
    for row in np.flatnonzero(moves.line > 2):
        begin, end = spots[moves.line[row] - 3], spots[moves.line[row] - 2]
        for share in (0.0, 0.5, 1.0):
            assert away(place(moves, row, share), begin, end) == pytest.approx(RADIUS, abs=1e-5)
        aside = cross(np.subtract(end, begin), np.subtract(place(moves, row, 1.0), begin))
        assert (aside > 0) == left


def place(moves: Any, row: int, share: float) -> tuple[float, float]:
    start, end = moves.start_mm[row], moves.end_mm[row]
    if moves.kind[row] != Kind.ARC:
        x, y, _ = start + (end - start) * share
        return float(x), float(y)
    offset = start - moves.centre_mm[row]
    angle = np.arctan2(offset[1], offset[0]) + tau * moves.turns[row] * share
    radius = hypot(offset[0], offset[1])
    return tuple(moves.centre_mm[row, :2] + radius * np.array([np.cos(angle), np.sin(angle)]))


def away(spot: tuple[float, float], begin: tuple[float, float], end: tuple[float, float]) -> float:
    """Return the distance of a spot from a straight line between two others."""
    way = np.subtract(end, begin)
    along = np.clip(np.dot(np.subtract(spot, begin), way) / np.dot(way, way), 0, 1)
    return float(np.hypot(*(np.add(begin, along * way) - spot)))


def test_a_square_from_outside() -> None:
    moves = read("F9 G42 D1\nG1 X10 Y0\nX30\nY20\nX10\nY0\nG40\nM2").moves
    assert moves.turns[moves.kind == Kind.ARC][-3:] == pytest.approx([0.25, 0.25, 0.25])
    assert moves.end_mm[-1, :2] == pytest.approx((8, 0))


def test_moves_along_z_keep_their_place() -> None:
    moves = read("F9 G41 D1\nG1 X10\nZ-3\nX20\nG40 Y5\nM2").moves
    assert moves.end_mm[1, :2].tolist() == moves.end_mm[0, :2].tolist()
    assert moves.end_mm[1:4].tolist()[1:] == [[10, 2, -3], [20, 2, -3]]
    assert moves.end_mm[-1].tolist() == [20, 5, -3]


def test_increments_count_from_the_programmed_path() -> None:
    absolute = read("F9 G41 D1\nG1 X10\nX20 Y-1\nX30 Y-4\nM2").moves.end_mm
    increments = read("F9 G91 G41 D1\nG1 X10\nX10 Y-1\nX10 Y-3\nM2").moves.end_mm
    np.testing.assert_allclose(increments, absolute, atol=1e-12)


def test_a_rapid_goes_straight_to_its_place() -> None:
    moves = read("G41 D1\nG0 X10\nX20\nY-9\nM2").moves
    assert set(moves.kind.tolist()) == {Kind.RAPID}
    assert moves.end_mm[-1, :2] == pytest.approx((22, -9))


def test_an_inside_corner_is_gone_into_and_asked_about() -> None:
    program = read("F9 G41 D1\nG1 X20\nY20\nX40\nG40\nX50 Y50\nM2")
    assert [(p.line, p.level) for p in program.problems if p.case == "side-corner"] == [(3, Level.ASK)]
    ends = program.moves.end_mm[:, :2].tolist()
    assert ends[1:3] == [pytest.approx([18, 0]), pytest.approx([18, 20])]  # beside the way up, from its begin
    assert (program.moves.end_doubt == Doubt.NONE).all()


def test_a_smooth_join_is_no_corner() -> None:
    # An arc that leaves a line with a join rounded to three decimals.
    program = read("F9 G41 D1\nG1 X20\nX40\nG3 X49.999 Y10.001 J10\nM2")
    assert "side-corner" not in {p.case for p in program.problems}
    assert program.moves.turns[-1] == pytest.approx(0.25, abs=1e-3)


def test_from_an_unknown_start_the_second_move_is_known() -> None:
    # Two programmed places are known then, and the tool runs beside the line between them.
    moves = read("F9 G41 D1\nG1 X20 Y0\nX40\nX50 Y-5\nM2", start_mm=None).moves
    assert (moves.end_doubt[0, :2] == Doubt.START).all()
    assert (moves.end_doubt[1:, :2] == Doubt.NONE).all()
    assert moves.end_mm[1, :2].tolist() == [40, RADIUS]


def test_a_place_in_doubt_is_not_shifted() -> None:
    moves = read("F9 G41 D1\nG1 X20 Y0\nX40 X41\nY-9\nX60\nY-20\nM2").moves
    assert (moves.end_doubt[1, :2] == Doubt.LOST).all()
    assert (moves.end_doubt[-1, :2] == Doubt.NONE).all()


def test_arcs_grow_and_shrink() -> None:
    outside = read("F9 G41 D1\nG1 X10\nX20\nG2 X30 Y-10 J-10\nM2").moves
    inside = read("F9 G42 D1\nG1 X10\nX20\nG2 X30 Y-10 J-10\nM2").moves
    for moves, radius in ((outside, 10 + RADIUS), (inside, 10 - RADIUS)):
        assert np.hypot(*(moves.end_mm[-1] - moves.centre_mm[-1])[:2]) == pytest.approx(radius)
        assert moves.length_mm[-1] == pytest.approx(radius * pi / 2)


def cross(one: Any, other: Any) -> float:
    """Return on which side of one way the other leads: greater than zero to the left."""
    return float(one[0] * other[1] - one[1] * other[0])

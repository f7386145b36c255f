"""Which pieces of path the tool sweeps: rapids expanded, dwells left out."""

import numpy as np

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats, Ints, together
from cutworthy.model.machine import AXES, Machine
from cutworthy.model.moves import Moves, Way
from cutworthy.model.program import Doubt, Kind, Plane, Program, ProgramMoves

__all__ = ["expand"]


def expand(program: Program, machine: Machine) -> Moves:
    """Return the pieces that the tool sweeps, in program order.

    A rapid goes straight, or as a dog-leg, or both ways where the card does not know. In a dog-leg
    every axis starts at once and runs at its own speed until it is there, so the path bends when
    an axis arrives. A rapid from a place that is not known stands as its straight piece only.

    Parameters
    ----------
    program
        The program under one reading.
    machine
        For the speeds of its axes and ``control.rapids``.

    Returns
    -------
    Moves
        Rows sorted by the program's move, the straight piece first.
    """
    moves = program.moves
    rapids = machine.control.rapids
    bends, times = _bends(moves, machine)
    straight = moves.kind != Kind.DWELL
    if rapids == "dog-leg":
        straight[bends] = False
    pieces = _straight(moves, np.flatnonzero(straight))
    if rapids == "straight" or not len(bends):
        return pieces
    legs = _dog_legs(moves, bends, times)
    joined = _join(pieces, legs)
    return joined.take(np.lexsort((joined.way, joined.row)))


def _bends(moves: ProgramMoves, machine: Machine) -> tuple[Ints, Floats]:
    """Return the rapids that would bend, and how long each of their axes would run [s], (n, 3)."""
    rows = np.flatnonzero(moves.kind == Kind.RAPID)
    speeds = np.array([machine.axes[axis].speed_mm_s.value for axis in AXES])
    times = np.abs(moves.end_mm[rows] - moves.start_mm[rows]) / speeds
    known = (moves.start_doubt[rows] == Doubt.NONE).all(axis=1) & (moves.end_doubt[rows] == Doubt.NONE).all(axis=1)
    first = np.where(times > 0, times, np.inf).min(axis=1)  # when the first of the axes that move arrives
    bent = known & (first < times.max(axis=1))
    return rows[bent], times[bent]


def _straight(moves: ProgramMoves, rows: Ints) -> Moves:
    which = together(rows)
    return Moves(
        row=rows,
        line=moves.line[which],
        kind=moves.kind[which],
        way=np.full(len(rows), Way.STRAIGHT, dtype=np.uint8),
        start_mm=moves.start_mm[which],
        end_mm=moves.end_mm[which],
        centre_mm=moves.centre_mm[which],
        plane=moves.plane[which],
        turns=moves.turns[which],
        tool=moves.tool[which],
        low_mm=moves.low_mm[which],
        high_mm=moves.high_mm[which],
        start_doubt=moves.start_doubt[which],
        end_doubt=moves.end_doubt[which],
    )


def _dog_legs(moves: ProgramMoves, rows: Ints, times: Floats) -> Moves:
    """Return the two or three pieces of each rapid, those of no length left out."""
    start, way, needed = moves.start_mm[rows], moves.end_mm[rows] - moves.start_mm[rows], times
    # Places when the first, the second and the last axis arrive; an axis stands once it is there.
    arrivals = np.sort(needed, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):  # an axis that does not move needs no time
        shares = np.nan_to_num(np.minimum(arrivals[:, :, None] / needed[:, None, :], 1.0), nan=1.0)
    places = np.concatenate([start[:, None, :], start[:, None, :] + way[:, None, :] * shares], axis=1)
    places[:, -1] = moves.end_mm[rows]
    begin, end = places[:, :-1].reshape(-1, 3), places[:, 1:].reshape(-1, 3)
    real = (begin != end).any(axis=1)
    begin, end, source = begin[real], end[real], np.repeat(rows, 3)[real]
    nothing = np.full((len(source), 3), np.nan)
    plane, turns = np.full(len(source), Plane.NONE, dtype=np.uint8), np.full(len(source), np.nan)
    low, high = shapes.boxes(begin, end, nothing, plane, turns)
    certain = np.full((len(source), 3), Doubt.NONE, dtype=np.uint8)
    return Moves(
        row=source,
        line=moves.line[source],
        kind=moves.kind[source],
        way=np.full(len(source), Way.DOG_LEG, dtype=np.uint8),
        start_mm=begin,
        end_mm=end,
        centre_mm=nothing,
        plane=plane,
        turns=turns,
        tool=moves.tool[source],
        low_mm=low,
        high_mm=high,
        start_doubt=certain,
        end_doubt=certain,
    )


def _join(first: Moves, second: Moves) -> Moves:
    names = Moves.__dataclass_fields__
    return Moves(**{name: np.concatenate([getattr(first, name), getattr(second, name)]) for name in names})

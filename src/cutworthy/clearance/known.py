"""Which coordinates of the moves are known, whatever the start and the control's memory."""

import numpy as np

from cutworthy.model.columns import Floats, Ints
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, ProgramMoves

__all__ = ["known_rows", "known_span"]

# Whether the axis of a column lies in the plane of a row's code.
_IN_PLANE = np.array([[False] * 3, [True, True, False], [True, False, True], [False, True, True]])


def known_rows(moves: Moves | ProgramMoves) -> Ints:
    """Return the rows whose start and end are both free of doubt in every axis."""
    known = np.ones(len(moves), dtype=bool)
    known[_doubtful_rows(moves)] = False
    return np.flatnonzero(known)


def _doubtful_rows(moves: Moves | ProgramMoves) -> Ints:
    """Return the rows with a doubt at either end; of a million there are mostly a few."""
    doubt = (moves.start_doubt.reshape(-1) != Doubt.NONE) | (moves.end_doubt.reshape(-1) != Doubt.NONE)
    return np.unique(np.flatnonzero(doubt) // 3)


def known_span(moves: Moves | ProgramMoves, axis: int) -> tuple[Floats, Floats]:
    """Return the least and greatest known coordinate of each move along an axis [mm], both (n,).

    Of a straight move with one doubtful end the other end counts. Of an arc that starts at a
    doubtful place nothing is known along the axes of its plane. NaN where nothing is known.
    """
    rows = _doubtful_rows(moves)
    low, high = moves.low_mm[:, axis].copy(), moves.high_mm[:, axis].copy()
    low[rows], high[rows] = _doubtful_span(moves.take(rows), axis)
    return low, high


def _doubtful_span(moves: Moves | ProgramMoves, axis: int) -> tuple[Floats, Floats]:
    arc = ~np.isnan(moves.turns)
    lost = (arc[:, None] & _IN_PLANE[moves.plane] & (moves.start_doubt != Doubt.NONE)).any(axis=1)
    lost &= _IN_PLANE[moves.plane, axis]
    start = np.where(lost | (moves.start_doubt[:, axis] != Doubt.NONE), np.nan, moves.start_mm[:, axis])
    end = np.where(lost | (moves.end_doubt[:, axis] != Doubt.NONE), np.nan, moves.end_mm[:, axis])
    both = ~np.isnan(start + end)
    low = np.where(both, moves.low_mm[:, axis], np.fmin(start, end))
    high = np.where(both, moves.high_mm[:, axis], np.fmax(start, end))
    return low, high

"""The way of the bit in straight pieces, and the windows that they are told in."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import pieces
from cutworthy.model.columns import Codes, Floats, Ints
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt

__all__ = ["MERGE_MM", "SAGITTA_MM", "Way", "passes_for", "way_of"]

COMPILED_MOVES = 5_000  # from here on laying the way takes longer than loading the compiler
MERGE_MM = 0.002  # corners of short lines may lie so far from the longer one that stands for them
SAGITTA_MM = 0.005  # arcs may lie so far from their chords
LONGEST_MM = 3.0  # of a piece: what is told of a longer one would hide its peaks
WINDOW_MM = 2.0  # what is told of a shorter stretch is mostly the size of the cells


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Way:
    """Pieces in order.

    ``ends_mm`` (n, 6): from x, y, z to x, y, z. ``marks`` (n,): as ``kernels.sweeping`` has them. ``rows`` (n, 2): the
    first and last move of ``Moves``. ``window`` (n,): of each piece.
    """

    ends_mm: Floats
    marks: Codes
    rows: Ints
    window: Ints
    windows: int


def way_of(moves: Moves, bit: Ints) -> Way:
    """Return the way of moves whose place is known.

    Parameters
    ----------
    moves
        All moves; those with a place in doubt are left out.
    bit
        The bit in the spindle at each, (n,).
    """
    known = np.flatnonzero(~((moves.start_doubt != Doubt.NONE) | (moves.end_doubt != Doubt.NONE)).any(axis=1))
    start, end = moves.start_mm[known], moves.end_mm[known]
    apart = np.ones(len(known), dtype=bool)
    apart[1:] = (start[1:] != end[:-1]).any(axis=1) | (bit[known][1:] != bit[known][:-1])
    path = [
        _read_only(column)
        for column in (moves.kind[known], start, end, moves.centre_mm[known], moves.plane[known], moves.turns[known])
    ]
    passes = passes_for(len(known))
    most = passes.count(*path, SAGITTA_MM, LONGEST_MM)
    ends, marks, rows = np.empty((most, 6)), np.empty(most, dtype=np.uint8), np.empty((most, 2), dtype=np.int64)
    number = passes.lay(*path, _read_only(apart), MERGE_MM, SAGITTA_MM, LONGEST_MM, ends, marks, rows)
    ends, marks, rows = ends[:number], marks[:number], known[rows[:number]]
    window = np.empty(number, dtype=np.int64)
    windows = passes.window(ends, marks, WINDOW_MM, window)
    return Way(ends_mm=ends, marks=marks, rows=rows, window=window, windows=windows)


def passes_for(moves: int) -> Any:  # noqa: ANN401 - two modules of the same functions
    """Return the functions for a way of so many moves, plain or compiled."""
    if moves < COMPILED_MOVES:
        return pieces
    from cutworthy.kernels import laid  # noqa: PLC0415 - brings the compiler

    laid.ready()
    return laid


def _read_only(column: npt.NDArray[Any]) -> npt.NDArray[Any]:
    column = np.ascontiguousarray(column)
    column.flags.writeable = False
    return column

"""The way of the bit in straight pieces, and the windows that they are told in."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from cutworthy.kernels import pieces
from cutworthy.model.columns import Codes, Floats, Ints
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt

__all__ = ["COMPILED_PIECES", "MERGE_MM", "SAGITTA_MM", "Way", "way_of"]

COMPILED_PIECES = 20_000  # from here on laying the way takes longer than loading the compiler
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
    doubtful = ((moves.start_doubt != Doubt.NONE) | (moves.end_doubt != Doubt.NONE)).any(axis=1)
    known = np.flatnonzero(~doubtful)
    if len(known) < len(moves):
        moves, bit = moves.take(known), bit[known]
    start, end = moves.start_mm, moves.end_mm
    apart = np.ones(len(known), dtype=bool)
    apart[1:] = bit[1:] != bit[:-1]
    for axis in range(3):
        apart[1:] |= start[1:, axis] != end[:-1, axis]
    apart.flags.writeable = False
    path = (moves.kind, start, end, moves.centre_mm, moves.plane, moves.turns)
    passes: Any = pieces if len(known) < COMPILED_PIECES else _compiled()
    most = passes.count(*path, SAGITTA_MM, LONGEST_MM)
    if most >= COMPILED_PIECES:
        passes = _compiled()
    ends, marks, rows = np.empty((most, 6)), np.empty(most, dtype=np.uint8), np.empty((most, 2), dtype=np.int64)
    number = passes.lay(*path, apart, MERGE_MM, SAGITTA_MM, LONGEST_MM, ends, marks, rows)
    ends, marks, rows = ends[:number], marks[:number], known[rows[:number]]
    window = np.empty(number, dtype=np.int64)
    windows = passes.window(ends, marks, WINDOW_MM, window)
    return Way(ends_mm=ends, marks=marks, rows=rows, window=window, windows=windows)


def _compiled() -> Any:  # noqa: ANN401 - the same functions as those of the plain module
    from cutworthy.kernels import laid  # noqa: PLC0415 - brings the compiler

    laid.ready()
    return laid

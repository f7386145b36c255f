"""Rapids that may meet wood too thin for the cells of the field to show.

A field shows what stands at the middles of its cells. Carved by a bit that is narrower by half a cell's diagonal, it
is nowhere lower than the true surface: where a rapid meets nothing in that one either, it is clear. To tell a rib in
its way from the wall beside it, the bit of the rapid is narrower by a whole diagonal. Where that meets something, the
place is looked at once more on cells of a fifth of the size.
"""

from dataclasses import replace

import numpy as np

from cutworthy.kernels.pieces import TESTING
from cutworthy.model.columns import Floats, Ints
from cutworthy.reference.tables import limit
from cutworthy.removal.board import Uncut
from cutworthy.removal.carve import FOUND, Cutting, Field, Progress, carve, sideways_mm
from cutworthy.removal.grid import Grid, grid_over

__all__ = ["doubtful"]

FINER = 5
MOST_LOOKS = 200
VOLUME, DEPTH = 0, 1


def doubtful(cutting: Cutting, board: Uncut, grid: Grid, totals: Floats, progress: Progress) -> Ints:
    """Return the windows whose rapids may meet wood, and add to the totals what is certain on finer cells.

    Parameters
    ----------
    cutting, board
        What is carried through which board.
    grid
        The cells that the totals come from.
    totals
        What was found in each window, (windows, 5); changed where a closer look finds wood.
    progress
        Called with the share done; may raise ``Stopped``.
    """
    way, least_mm = cutting.way, limit("rapid_in_wood").value
    first = np.flatnonzero(np.diff(way.window, prepend=-1))
    rapids = (way.marks[first] & TESTING != 0) & (totals[:, DEPTH] <= least_mm)
    ends = way.ends_mm[first]
    rapids &= np.minimum(ends[:, 2], ends[:, 5]) < board.top_mm
    rapids &= (ends[:, :2] != ends[:, 3:5]).any(axis=1) | (ends[:, 5] < ends[:, 2])  # straight up it meets nothing
    if not rapids.any():
        return np.empty(0, dtype=np.int64)
    last = int(first[np.flatnonzero(rapids)[-1]])
    seen = _narrowly(cutting.taken(slice(0, last + 1)), board.field(grid), progress)
    radius = np.array([0.0 if each is None else each.radius_mm for each in cutting.profiles])[cutting.bits[first]]
    unsure = np.zeros(len(first), dtype=bool)
    unsure[first <= last] = seen[first[first <= last], DEPTH] > least_mm
    unsure |= radius <= 2 * sideways_mm(grid)  # too thin a bit to be narrowed
    left = []
    for number, window in enumerate(np.flatnonzero(rapids & unsure).tolist()):
        if number >= MOST_LOOKS:
            left.append(window)
            continue
        found, is_open = _look(cutting, int(first[window]), board, grid)
        if found[DEPTH] > least_mm:
            totals[window] = found
        elif is_open[DEPTH] > least_mm:
            left.append(window)
        progress(1.0)
    return np.array(left, dtype=np.int64)


def _narrowly(cutting: Cutting, field: Field, progress: Progress) -> Floats:
    """Carve by bits that are too narrow, and return what those that look met, which are narrower still."""
    by = sideways_mm(field.grid)
    narrow, narrower = ([each and each.narrowed(times * by) for each in cutting.profiles] for times in (1, 2))
    return carve(field, replace(cutting, profiles=narrow), progress, looking=narrower)


def _look(cutting: Cutting, piece: int, board: Uncut, grid: Grid) -> tuple[Floats, Floats]:
    """Return what a rapid meets on finer cells, and what it would meet if all bits before it were too narrow."""
    ends = cutting.way.ends_mm[: piece + 1]
    radius = np.array([0.0 if each is None else each.radius_mm for each in cutting.profiles])[cutting.bits[: piece + 1]]
    reach = float(radius[piece])
    low = np.maximum(np.minimum(ends[piece, :2], ends[piece, 3:5]) - reach, board.low_mm)
    high = np.minimum(np.maximum(ends[piece, :2], ends[piece, 3:5]) + reach, np.add(board.low_mm, board.size_mm))
    if (high <= low).any():  # beside the board
        return np.zeros(FOUND), np.zeros(FOUND)
    size = high - low
    fine = grid_over((low[0], low[1]), (size[0], size[1]), float(radius.max()), grid.pitch_mm / FINER)
    near = np.ones(piece + 1, dtype=bool)
    for axis in (0, 1):
        near &= np.minimum(ends[:, axis], ends[:, 3 + axis]) - radius <= high[axis]
        near &= np.maximum(ends[:, axis], ends[:, 3 + axis]) + radius >= low[axis]
    near &= cutting.way.marks[: piece + 1] & TESTING == 0
    near[piece] = True
    there = cutting.taken(np.flatnonzero(near))
    found = carve(board.field(fine), there, _told)
    return found[-1], _narrowly(there, board.field(fine), _told)[-1]


def _told(_share: float) -> None:
    """Say nothing of the progress of a short look."""

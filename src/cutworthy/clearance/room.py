"""Free cells of a grid: how far one may go from a place, the nearest one to it, the one with the most room."""

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.raster import Lattice
from cutworthy.model.columns import Floats
from cutworthy.model.placement import SIDES, Grid, Margin, Obstacle, Side

__all__ = ["margins", "nearest_free", "roomiest"]

Span = tuple[float, float]
Limits = Mapping[Literal["travel", "off-board"], tuple[Span, Span]]

Flags = npt.NDArray[np.bool_]
MOST_ALONG = 160  # cells along a side in which room is measured: finer ones are put together
PLAN: tuple[Literal["x", "y"], Literal["x", "y"]] = ("x", "y")
WITHIN = 0.05  # of a cell: how far from its edge a place in it is told


def nearest_free(lattice: Lattice, free: Flags) -> tuple[float, float] | None:
    """Return the place in a free cell that is nearest to (0, 0) [mm], None when no cell is free."""
    rows, columns = np.nonzero(free)
    if not len(rows):
        return None
    places = []
    for axis, cell in enumerate((columns, rows)):
        low = lattice.low[axis] + (cell + WITHIN) * lattice.pitch[axis]
        places.append(np.clip(0.0, low, low + (1 - 2 * WITHIN) * lattice.pitch[axis]))
    best = int(np.hypot(*places).argmin())
    return float(places[0][best]), float(places[1][best])


def roomiest(lattice: Lattice, free: Flags) -> tuple[tuple[float, float] | None, float]:
    """Return the place with the most free room around it, and how far it is from the nearest limit [mm].

    The distance is a lower bound: cells are put together where there are many, and one that holds a
    limit counts as not free.
    """
    if not free.any():
        return None, 0.0
    by = -(-max(free.shape) // MOST_ALONG)
    free = _together(free, by)
    if not free.any():
        return None, 0.0
    pitch = (lattice.pitch[0] * by, lattice.pitch[1] * by)
    room = _distances(free, pitch)
    best = float(room.max())
    rows, columns = np.nonzero(room >= best * (1 - 1e-9))
    # Of equals the one in their middle.
    middle = int(np.hypot(rows - rows.mean(), columns - columns.mean()).argmin())
    at = (
        lattice.low[0] + (float(columns[middle]) + 0.5) * pitch[0],
        lattice.low[1] + (float(rows[middle]) + 0.5) * pitch[1],
    )
    return at, best


def _together(free: Flags, by: int) -> Flags:
    """Return cells of ``by`` by ``by`` of those given, free where all of them are."""
    rows, columns = (-(-size // by) for size in free.shape)
    padded = np.zeros((rows * by, columns * by), dtype=bool)
    padded[: free.shape[0], : free.shape[1]] = free
    return np.asarray(padded.reshape(rows, by, columns, by).all(axis=(1, 3)))


def _distances(free: Flags, pitch: tuple[float, float]) -> Floats:
    """Return how far the middle of each cell is from the nearest cell that is not free, or from the edge [mm]."""
    free = np.pad(free, 1)
    along = np.zeros(free.shape)
    for back in (False, True):  # to the nearest one to the left, and to the right, in whole cells
        row = free[:, ::-1] if back else free
        cell = np.arange(row.shape[1])
        last = np.maximum.accumulate(np.where(row, 0, cell), axis=1)
        steps = cell - last
        along = np.minimum(along, steps[:, ::-1]) if back else steps.astype(np.float64)
    beside = np.where(along > 0, (along - 0.5) * pitch[0], 0.0) ** 2
    square = beside.copy()
    for k in range(1, len(free)):
        off = ((k - 0.5) * pitch[1]) ** 2
        if off >= square.max():
            break
        square[k:] = np.minimum(square[k:], beside[:-k] + off)
        square[:-k] = np.minimum(square[:-k], beside[k:] + off)
    room: Floats = np.sqrt(square)[1:-1, 1:-1]
    return room


def margins(grid: Grid, obstacles: Sequence[Obstacle], limits: Limits) -> dict[Side, Margin] | None:
    """Return how far zero may move to each side from (0, 0), None when it may not be there itself.

    ``limits``: the shifts that travel and board allow along x and y [mm].
    """
    allowed = all(low <= 0 <= high for spans in limits.values() for low, high in spans)
    if not allowed or grid.code_at(0.0, 0.0) != 0:
        return None
    cell = [min(int(-grid.low_mm[i] / grid.pitch_mm[i]), grid.cells.shape[1 - i] - 1) for i in (0, 1)]
    lines = (grid.cells[cell[1]], grid.cells[:, cell[0]])
    found: dict[Side, Margin] = {}
    for number, side in enumerate(SIDES):
        axis, ahead = divmod(number, 2)
        line, pitch, at = lines[axis], grid.pitch_mm[axis], cell[axis]
        codes = line[at:] if ahead else line[at::-1]
        blocked = np.flatnonzero(codes)
        # From the edge of its own cell, which (0, 0) lies in somewhere.
        edge = grid.low_mm[axis] + (at if ahead else at + 1) * pitch
        until = pitch * (int(blocked[0]) if len(blocked) else len(codes))
        room = edge + until if ahead else until - edge
        then = obstacles[int(codes[blocked[0]]) - 1] if len(blocked) else None
        found[side] = _nearer(Margin(room_mm=max(float(room), 0.0), then=then), axis, ahead, limits)
    return found


def _nearer(margin: Margin, axis: int, ahead: int, limits: Limits) -> Margin:
    """Return the margin, or that of the travel or the board where they come first."""
    for kind, spans in limits.items():
        room = abs(spans[axis][ahead])
        if room < margin.room_mm or (margin.then is None and np.isfinite(room) and room <= margin.room_mm * (1 + 1e-9)):
            margin = Margin(room_mm=room, then=Obstacle(kind=kind, axis=PLAN[axis]))
    return margin

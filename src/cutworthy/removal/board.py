"""The board before the first cut, as a field of heights over any cells."""

from dataclasses import dataclass

import numpy as np

from cutworthy.kernels.levels import levels
from cutworthy.model.clearance import Place
from cutworthy.model.job import Job
from cutworthy.model.removal import Heights
from cutworthy.removal.carve import Field
from cutworthy.removal.grid import PITCHES_MM, Grid, grid_over

__all__ = ["Uncut", "uncut"]

BELOW_MM = 1.0  # what is cut through a board on an uneven table is as low as this below all of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncut:
    """The uncut board where it lies: ``low_mm`` is its front left corner in the zero frame, ``size_mm`` along x and y.

    ``top_mm``: nothing of it stands higher; ``floor_mm``: nothing of it lies lower.
    """

    place: Place
    low_mm: tuple[float, float]
    size_mm: tuple[float, float]
    top_mm: float
    floor_mm: float

    def field(self, grid: Grid) -> Field:
        """Return the field of the board at the cells of a grid, which may cover a part of it."""
        _, top = _levels(grid, self.place)
        return Field(grid=grid, heights=grid.field(top), top_mm=self.top_mm, floor_mm=self.floor_mm)

    def levels(self, grid: Grid) -> tuple[Heights, Heights]:
        """Return underside and top of the board at the cells of a grid [mm], one number each when both are flat."""
        return _levels(grid, self.place)


def uncut(job: Job, place: Place) -> Uncut:
    """Return the board of a job as it lies on the table."""
    low = (-place.on_board_mm[0], -place.on_board_mm[1])
    size = (job.board.size_x_mm.value, job.board.size_y_mm.value)
    bottom, top = _levels(grid_over(low, size, 0.0, PITCHES_MM[-1]), place)
    floor = float(np.min(bottom)) - (0.0 if place.is_flat else BELOW_MM)
    return Uncut(place=place, low_mm=low, size_mm=size, top_mm=float(np.max(top)), floor_mm=floor)


def _levels(grid: Grid, place: Place) -> tuple[Heights, Heights]:
    if place.is_flat:
        flat = np.full((1, 1), place.underside_mm[0][2], dtype=np.float32)
        return flat, flat + np.float32(place.thickness_mm[0][2])
    rows, columns = grid.inside
    x = grid.x0_mm + grid.pitch_mm * np.arange(columns.start, columns.stop)
    y = grid.y0_mm + grid.pitch_mm * np.arange(rows.start, rows.stop)[:, None]
    x, y = np.broadcast_arrays(x, y)
    bottom = levels(np.array(place.underside_mm), x, y)
    top = bottom + levels(np.array(place.thickness_mm), x, y)
    return bottom.astype(np.float32), top.astype(np.float32)

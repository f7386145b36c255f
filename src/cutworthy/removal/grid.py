"""The field of heights: where its cells lie, how fine they are, and the board before the first cut."""

from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np

from cutworthy.model.removal import NO_BOARD_MM, Heights

__all__ = ["PITCHES_MM", "Grid", "grid_over", "pitch_for"]

PITCHES_MM = (0.05, 0.1, 0.125, 0.2, 0.25, 0.4, 0.5, 1.0, 2.0)
# Middles of cells lie off round coordinates, so that walls never pass through them by rounding.
SHIFT = 0.381  # of the pitch
SPARE_CELLS = 18  # beyond the reach of the widest bit, so that rows may be rounded up
ALIGNED = 16
USUAL_CELLS = 16_000_000
CELLS_ACROSS = 12.0  # of the thinnest bit: for so many, more cells than usual are taken


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Where the cells of a field lie.

    ``x0_mm``, ``y0_mm``: the middle of the first cell, zero frame. ``stride``: cells from a row to the next, of which
    ``columns`` count. ``inside``: rows and columns of the board, as slices.
    """

    x0_mm: float
    y0_mm: float
    pitch_mm: float
    rows: int
    columns: int
    stride: int
    inside: tuple[slice, slice]

    def field(self, inside_mm: float | Heights) -> Heights:
        """Return heights, flat, with room to spare at the end: those given on the board, no board around it."""
        heights = np.full(self.rows * self.stride + ALIGNED, NO_BOARD_MM, dtype=np.float32)
        self.square(heights)[self.inside] = inside_mm
        return heights

    def square(self, heights: Heights) -> Heights:
        """Return a view of a field by rows and columns, (rows, stride)."""
        return heights[: self.rows * self.stride].reshape(self.rows, self.stride)


def pitch_for(size_mm: tuple[float, float], swept_mm2: float, thinnest_mm: float, budget: int, visits: int) -> float:
    """Return the finest pitch that is worth its time [mm].

    Parameters
    ----------
    size_mm
        Of the board seen from above.
    swept_mm2
        Length of the way times the diameter of the bit, summed.
    thinnest_mm
        Diameter of the thinnest bit.
    budget
        Most cells of the field.
    visits
        Most cells that are looked at on the way.
    """
    area = size_mm[0] * size_mm[1]
    for pitch in PITCHES_MM:
        cells = budget if pitch * CELLS_ACROSS >= thinnest_mm else min(budget, USUAL_CELLS)
        if area / pitch**2 <= cells and swept_mm2 / pitch**2 <= visits:
            return pitch
    return max(PITCHES_MM[-1], sqrt(area / budget))


def grid_over(low_mm: tuple[float, float], size_mm: tuple[float, float], reach_mm: float, pitch_mm: float) -> Grid:
    """Return the cells of a board and of a margin around it.

    Parameters
    ----------
    low_mm, size_mm
        The board's front left corner, zero frame, and its size along x and y.
    reach_mm
        Radius of the widest bit.
    pitch_mm
        From cell to cell.
    """
    margin = ceil(reach_mm / pitch_mm) + SPARE_CELLS
    columns, rows = (ceil(size / pitch_mm) + 1 for size in size_mm)
    stride = ceil((columns + 2 * margin) / ALIGNED) * ALIGNED
    x0, y0 = (low + (SHIFT - margin) * pitch_mm for low in low_mm)
    over = [
        slice(margin, margin + int(np.ceil((size - SHIFT * pitch_mm) / pitch_mm))) for size in (size_mm[1], size_mm[0])
    ]
    return Grid(
        x0_mm=x0,
        y0_mm=y0,
        pitch_mm=pitch_mm,
        rows=rows + 2 * margin,
        columns=columns + 2 * margin,
        stride=stride,
        inside=(over[0], over[1]),
    )

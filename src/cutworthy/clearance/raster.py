"""Which shifts bring a swept outline to a box, cell by cell: Minkowski sums on a grid.

A place p of the path, shifted by s, is nearer to a box B than r exactly when s lies in the sum of
the rounded box (B grown by a disc of radius r) and the outline mirrored in the origin. The path is
marked in cells; each cell of shifts then looks along rows of marked cells, as wide as the rounded
box is at that height, by differences of running counts.
Source: Minkowski sums, configuration space [@lozano-perez], from memory.
"""

from math import ceil, floor, hypot, sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats

__all__ = ["Lattice", "Marks"]

Flags = npt.NDArray[np.bool_]


class Lattice(NamedTuple):
    """Cells of shifts: the rectangle's least corner, a cell's size, and how many along x and y [mm]."""

    low: tuple[float, float]
    pitch: tuple[float, float]
    columns: int
    rows: int

    @property
    def half_cell(self) -> float:
        """Half a cell's diagonal [mm]."""
        return hypot(*self.pitch) / 2

    @property
    def high(self) -> tuple[float, float]:
        """The rectangle's greatest corner [mm]."""
        return self.low[0] + self.columns * self.pitch[0], self.low[1] + self.rows * self.pitch[1]


class Marks:
    """Places of a path near enough to a box at the origin for some shift of a lattice, marked in cells.

    ``half``: the box's half sizes [mm]. ``radius``: how near is too near, all roundings included:
    the cells of places and of shifts add a half diagonal each.
    """

    def __init__(self, lattice: Lattice, half: tuple[float, float], radius: float) -> None:
        self.lattice, self.half = lattice, half
        self.radius = radius + 2 * lattice.half_cell
        reach = [each + self.radius for each in half]
        self.low = [-reach[i] - lattice.high[i] for i in (0, 1)]
        high = [reach[i] - lattice.low[i] for i in (0, 1)]
        sizes = [ceil((high[i] - self.low[i]) / lattice.pitch[i]) + 1 for i in (0, 1)]
        self.cells = np.zeros((sizes[1], sizes[0]), dtype=bool)
        self.high = [self.low[i] + sizes[i] * lattice.pitch[i] for i in (0, 1)]

    def add(self, x: Floats, y: Floats) -> None:
        """Mark places of the path, counted from the box's middle [mm]; those out of reach are left out."""
        rows, columns = self.cells.shape
        column = np.floor((x - self.low[0]) / self.lattice.pitch[0])
        row = np.floor((y - self.low[1]) / self.lattice.pitch[1])
        near = (column >= 0) & (column < columns) & (row >= 0) & (row < rows)
        self.cells[row[near].astype(np.intp), column[near].astype(np.intp)] = True

    def meeting(self) -> Flags:
        """Return for each cell of shifts whether some place comes too near at some shift in it, (rows, columns)."""
        met = np.zeros((self.lattice.rows, self.lattice.columns), dtype=bool)
        used = np.flatnonzero(self.cells.any(axis=1))
        if not len(used):
            return met
        first, last = int(used[0]), int(used[-1])
        counts = _Counts(self.cells[first : last + 1], self)
        # How far the middle of row i of places is from the box, in y, at shifts of row j: it hangs on i + j only.
        at = self.low[1] + self.lattice.low[1] + (1 + first) * self.lattice.pitch[1]
        sums = np.arange(last - first + self.lattice.rows)
        beside = np.maximum(np.abs(at + sums * self.lattice.pitch[1]) - self.half[1], 0.0)
        band = np.flatnonzero(beside == 0)
        if len(band):
            met |= counts.within_rows(int(band[0]), int(band[-1]), self.half[0] + self.radius)
        for k in np.flatnonzero((beside > 0) & (beside <= self.radius)).tolist():
            counts.add_row(met, k, self.half[0] + sqrt(self.radius**2 - float(beside[k]) ** 2))
        return met


class _Counts:
    """Running counts of marks along their rows, both axes turned round so that shifts count upwards."""

    def __init__(self, cells: Flags, marks: Marks) -> None:
        self.lattice = marks.lattice
        self.at = marks.low[0] + marks.lattice.low[0] + marks.lattice.pitch[0]
        self.rows, self.columns = cells.shape
        first, last = self._ends(marks.half[0] + marks.radius)
        self.before = max(0, -first)
        after = max(0, last + self.lattice.columns - 1 - self.columns)
        counts = np.zeros((self.rows, self.before + self.columns + 1 + after), dtype=np.int32)
        inside = counts[:, self.before + 1 : self.before + 1 + self.columns]
        np.cumsum(cells[::-1, ::-1], axis=1, out=inside)
        counts[:, self.before + 1 + self.columns :] = inside[:, -1:]
        self.counts = counts

    def _ends(self, wide: float) -> tuple[int, int]:
        """Return the first and the one behind the last mark that the first column of shifts looks at."""
        pitch = self.lattice.pitch[0]
        low, high = ceil((-wide - self.at) / pitch), floor((wide - self.at) / pitch)
        return self.columns - 1 - high, self.columns - low

    def _seen(self, rows: slice, wide: float) -> Flags:
        """Return which shifts have a mark within ``wide``, for some rows of marks."""
        first, last = self._ends(wide)
        first, last, many = first + self.before, last + self.before, self.lattice.columns
        seen: Flags = self.counts[rows, last : last + many] != self.counts[rows, first : first + many]
        return seen

    def add_row(self, met: Flags, k: int, wide: float) -> None:
        """Add the shifts whose row and that of a mark have the sum ``k``."""
        begin, end = max(0, k - self.rows + 1), min(self.lattice.rows, k + 1)
        if begin < end:
            turned = self.rows - 1 - k
            met[begin:end] |= self._seen(slice(turned + begin, turned + end), wide)

    def within_rows(self, low: int, high: int, wide: float) -> Flags:
        """Return the shifts whose row and that of a mark have a sum from ``low`` to ``high``."""
        seen = np.zeros((self.rows + 1, self.lattice.columns), dtype=np.int32)
        np.cumsum(self._seen(slice(None), wide), axis=0, out=seen[1:])
        j = np.arange(self.lattice.rows)
        begin = np.clip(self.rows - 1 - high + j, 0, self.rows)
        end = np.clip(self.rows - low + j, 0, self.rows)
        found: Flags = seen[end] != seen[begin]
        return found

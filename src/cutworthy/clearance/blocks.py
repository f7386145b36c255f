"""Stretches of a long path in boxes, so that most of it need not be looked at one by one."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from cutworthy.clearance.parts import Cylinder
from cutworthy.clearance.path import Path
from cutworthy.clearance.solid import TOUCH_MM, Box, least_side, side
from cutworthy.model.columns import Floats, Ints

__all__ = ["Blocks"]

SIZE = 256  # moves to a block
PROMISING = 16  # blocks


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blocks:
    """The moves of a path, so many to a block: the box around all of them, and their greatest slack [mm]."""

    path: Path
    low: Floats
    high: Floats
    slack_mm: Floats

    @classmethod
    def of(cls, path: Path) -> Self:
        """Gather the moves of a path, of which there is at least one."""
        first = np.arange(0, len(path), SIZE)
        return cls(
            path=path,
            low=np.minimum.reduceat(path.low, first),
            high=np.maximum.reduceat(path.high, first),
            slack_mm=np.maximum.reduceat(path.slack_mm, first),
        )

    def near(self, cylinder: Cylinder, entered: Box, grown: Box, moves: Ints) -> Ints:
        """Return those of the moves that may bring a cylinder nearest to a box, to the box, or to it as grown.

        How near it comes is at most what it is at the start of some of the moves, of those above all whose blocks
        promise most. A block that is no nearer altogether is left out; of many that are as near, as above a floor,
        the first are kept.
        """
        bound, block = self._bound(cylinder, entered), moves // SIZE
        promising = np.zeros(len(bound), dtype=bool)
        promising[np.argsort(bound, kind="stable")[:PROMISING]] = True
        some = np.concatenate([moves[::SIZE], moves[promising[block]]])
        start, low = self.path.start[some], self.path.low[some, 2]
        beside = side(entered, start[:, 0], start[:, 1]) - cylinder.radius_at(low, entered.top_mm)
        above = start[:, 2] + cylinder.bottom_mm - entered.top_mm
        clearance = np.maximum(beside, above)
        nearest = int(clearance.argmin())
        keep = (bound < clearance[nearest]) | (np.minimum(bound, self._bound(cylinder, grown)) <= TOUCH_MM)
        keep[np.flatnonzero(bound == clearance[nearest])[:PROMISING]] = True
        keep[some[nearest] // SIZE] = True
        chosen: Ints = moves[keep[block]]
        return chosen

    def _bound(self, cylinder: Cylinder, box: Box) -> Floats:
        """Return what the clearance is nowhere less than on each block [mm]."""
        low = self.low[:, 2]
        radius = cylinder.radius_at(low, box.top_mm) + self.slack_mm
        bound: Floats = np.maximum(least_side(box, self.low, self.high) - radius, low + cylinder.bottom_mm - box.top_mm)
        return bound

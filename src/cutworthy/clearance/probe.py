"""One cylinder of the tool against one box, over the whole path."""

from dataclasses import dataclass, replace
from typing import Self

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.curves import curves
from cutworthy.clearance.parts import Cylinder
from cutworthy.clearance.path import Bounds, Least, Path, Pieces, least, meets
from cutworthy.clearance.solid import TOUCH_MM, Box, along_straight, least_side, side
from cutworthy.model.columns import Floats, Ints

__all__ = ["Probe"]

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Probe:
    """A cylinder, the box it may meet, and the moves (places in the path, in order) on which it may.

    ``radius_mm``: the cylinder's on each of the moves, wider where an arc is not quite one.
    ``whole_box_mm``: the clearance if the tip were all over the move's box, a lower bound.
    ``at_start_mm``: the clearance where the move starts.
    """

    path: Path
    cylinder: Cylinder
    box: Box
    moves: Ints
    radius_mm: Floats
    whole_box_mm: Floats
    at_start_mm: Floats

    @classmethod
    def of(cls, path: Path, cylinder: Cylinder, box: Box, moves: Ints) -> Self:
        """Point a cylinder at a box."""
        start, low, high = path.start[moves], path.low[moves], path.high[moves]
        radius = cylinder.radius_at(low[:, 2], box.top_mm) + path.slack_mm[moves]
        lift = cylinder.bottom_mm - box.top_mm
        return cls(
            path=path,
            cylinder=cylinder,
            box=box,
            moves=moves,
            radius_mm=radius,
            whole_box_mm=np.maximum(least_side(box, low, high) - radius, low[:, 2] + lift),
            at_start_mm=np.maximum(
                side(box, start[:, 0], start[:, 1]) - radius, start[:, 2] + (lift - path.drop_mm[moves])
            ),
        )

    def within(self, chosen: Flags) -> Self:
        """Return the probe for those of its moves that are chosen among the path's, (path,)."""
        kept = chosen[self.moves]
        return replace(
            self,
            moves=self.moves[kept],
            radius_mm=self.radius_mm[kept],
            whole_box_mm=self.whole_box_mm[kept],
            at_start_mm=self.at_start_mm[kept],
        )

    def meeting(self) -> Flags:
        """Return which of the path's moves bring the cylinder to the box, (path,)."""
        at_once = self.at_start_mm <= TOUCH_MM
        open_ = (self.whole_box_mm <= TOUCH_MM) & ~at_once
        met = meets(self.path, self.moves[open_], self.bounds, TOUCH_MM)
        met[self.moves[at_once]] = True
        return met

    def nearest(self) -> Least:
        """Return the least clearance over the moves, of which there is at least one."""
        first = int(self.at_start_mm.argmin())
        start = Least(float(self.at_start_mm[first]), int(self.moves[first]), 0.0)
        return least(self.path, self.moves, self.whole_box_mm, self.bounds, start)

    def bounds(self, pieces: Pieces) -> Bounds:
        """Return the least clearance along each piece between two bounds [mm].

        A curve's lower bound takes the least of both distances wherever each may be, the upper one
        both at one place. Where nothing is loose the two are one.
        """
        box = self.box
        radius, lift = self.radius_mm[np.searchsorted(self.moves, pieces.move)], self._lift(pieces.move)
        low, share = along_straight(pieces.start, pieces.end, box, radius, lift)
        high = low.copy()
        bent = curves(self.path, pieces, box)
        at = bent.piece
        share[at] = bent.share
        low[at] = np.maximum(bent.beside_mm - radius[at], bent.height_mm + lift[at])
        high[at] = np.maximum(bent.tried_beside_mm - radius[at], bent.tried_height_mm + lift[at])
        return Bounds(low, high, share)

    def _lift(self, moves: Ints) -> Floats:
        """From the tip's height to that of the cylinder's underside above the box's top [mm]."""
        lift: Floats = self.cylinder.bottom_mm - self.box.top_mm - self.path.drop_mm[moves]
        return lift

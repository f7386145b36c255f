"""The parts of the tool along a path, ready to be marked on a grid."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.outline import Spots, lengths_in_plan, spots
from cutworthy.clearance.parts import Cylinder, calls_bit
from cutworthy.clearance.path import Path
from cutworthy.clearance.solid import TOUCH_MM
from cutworthy.model.columns import Floats, Ints, Lines
from cutworthy.model.job import Job

__all__ = ["MOST_SPOTS", "Swath", "step_for", "swaths"]

MOST_SPOTS = 4_000_000  # along a path; a longer one is looked at in longer steps
BANDS = 8  # of radii that a vee is told apart by; its moves then count as wider by no more than an eighth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swath:
    """Moves (places in ``path``) on which a cylinder may come below a height.

    ``radius_mm``: the greatest of them, half a step between spots included. ``slack_mm``: how much
    wider that is than the narrowest of them. ``below_mm``: heights of the tip up to this count.
    """

    path: Path
    moves: Ints
    step_mm: float
    radius_mm: float
    slack_mm: float
    below_mm: float

    def spots(self, chosen: npt.NDArray[np.bool_] | None = None) -> Iterator[Spots]:
        """Yield the places where the tip is low enough, of all moves or of the chosen ones among them."""
        moves = self.moves if chosen is None else self.moves[chosen]
        for found in spots(self.path, moves, self.step_mm):
            low = found.z <= self.below_mm
            yield found if low.all() else Spots(found.x[low], found.y[low], found.z[low])

    def within(self, low: tuple[float, float], high: tuple[float, float]) -> npt.NDArray[np.bool_]:
        """Return which moves have a box that meets a rectangle [mm], shape of ``moves``."""
        box_low, box_high = self.path.low[self.moves], self.path.high[self.moves]
        meets: npt.NDArray[np.bool_] = (box_high[:, 0] >= low[0]) & (box_low[:, 0] <= high[0])
        meets &= (box_high[:, 1] >= low[1]) & (box_low[:, 1] <= high[1])
        return meets


def step_for(paths: list[Path], pitch: tuple[float, float]) -> float:
    """Return the step between spots [mm]: half a cell, longer where there would be too many."""
    length = sum(float(lengths_in_plan(path).sum()) for path in paths)
    return max(min(pitch) / 2, length / MOST_SPOTS)


def swaths(path: Path, tool: Lines, cylinder: Cylinder, job: Job, top_mm: float, step_mm: float) -> Iterator[Swath]:
    """Yield the moves on which a cylinder may come below a height, those of about one radius together.

    Parameters
    ----------
    path : Path
        The moves.
    tool : array
        The tool of each of them, (n,).
    cylinder : Cylinder
        A part of the tool.
    job : Job
        Tells which moves its bit may make.
    top_mm : float
        The height, zero frame [mm].
    step_mm : float
        Between spots [mm].
    """
    drop = float(path.drop_mm.max(initial=0.0))
    below = top_mm - cylinder.bottom_mm + drop + TOUCH_MM
    moves = np.flatnonzero(calls_bit(tool, job, cylinder.bit) & (path.low[:, 2] <= below))
    radius = cylinder.radius_at(path.low[moves, 2], top_mm) + path.slack_mm[moves]
    for group in _alike(radius):
        wide = radius[group]
        yield Swath(
            path=path,
            moves=moves[group],
            step_mm=step_mm,
            radius_mm=float(wide.max()) + step_mm / 2 + TOUCH_MM,
            slack_mm=float(wide.max() - wide.min()),
            below_mm=below,
        )


def _alike(radius: Floats) -> Iterator[Ints]:
    """Yield the places of values that lie within one of the bands, from the least to the greatest."""
    if not len(radius):
        return
    width = float(radius.max()) / BANDS
    band = np.floor((radius.max() - radius) / width * (1 - 1e-12)) if width > 0 else np.zeros(len(radius))
    for number in np.unique(band):
        yield np.flatnonzero(band == number)

"""How large a program's path is."""

from dataclasses import dataclass

import numpy as np

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.program import Extents, Kind, Track

__all__ = ["Size", "size_of"]

SLICE = 8192  # moves looked at together: they stay in the processor's nearest memory


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Boxes and lengths of a path; ``farthest_mm``: the greatest coordinate, made on ``farthest_line``."""

    cut: Extents | None
    everything: Extents | None
    cut_length_mm: float
    rapid_length_mm: float
    farthest_mm: float
    farthest_line: int


def size_of(track: Track) -> Size:
    """Return the size of a path."""
    total, cut = _Box(), _Box()
    cut_mm = rapid_mm = 0.0
    farthest, row = -1.0, 0
    bounds = np.searchsorted(track.arcs.row, np.arange(0, len(track) + SLICE, SLICE))
    for number, begin in enumerate(range(0, len(track), SLICE)):
        part = slice(begin, begin + SLICE)
        start, end, kind = track.start_mm[part], track.end_mm[part], track.kind[part]
        low, high = np.minimum(start, end), np.maximum(start, end)
        length = np.sqrt(((end - start) ** 2).sum(axis=1))
        arcs = slice(bounds[number], bounds[number + 1])
        rows = track.arcs.row[arcs] - begin
        if len(rows):
            curve = (start[rows], end[rows], track.arcs.centre_mm[arcs], track.arcs.plane[arcs], track.arcs.turns[arcs])
            low[rows], high[rows] = shapes.boxes(*curve)
            length[rows] = shapes.lengths(*curve)
        feeds = (kind == Kind.LINE) | (kind == Kind.ARC)
        if feeds.all():
            cut.add(low, high)
            cut_mm += float(length.sum())
        else:
            cut.add(low[feeds], high[feeds])
            cut_mm += float(length[feeds].sum())
            rapid_mm += float(length[kind == Kind.RAPID].sum())
        total.add(low, high)
        if total.farthest > farthest:
            reach = np.maximum(np.abs(low), np.abs(high)).max(axis=1)
            farthest, row = total.farthest, begin + int(reach.argmax())
    return Size(
        cut=cut.extents(),
        everything=total.extents(),
        cut_length_mm=cut_mm,
        rapid_length_mm=rapid_mm,
        farthest_mm=max(farthest, 0.0),
        farthest_line=int(track.line[row]) if len(track) else 1,
    )


class _Box:
    """The box of everything that was added."""

    def __init__(self) -> None:
        self.low, self.high = np.full(3, np.inf), np.full(3, -np.inf)

    def add(self, low: Floats, high: Floats) -> None:
        if len(low):
            self.low = np.minimum(self.low, low.min(axis=0))
            self.high = np.maximum(self.high, high.max(axis=0))

    @property
    def farthest(self) -> float:
        """The greatest distance from zero along an axis [mm]."""
        return float(max(-self.low.min(), self.high.max()))

    def extents(self) -> Extents | None:
        """Return the box, None when nothing was added."""
        if self.low[0] > self.high[0]:
            return None
        return Extents(low_mm=_point(self.low), high_mm=_point(self.high))


def _point(place: Floats) -> tuple[float, float, float]:
    return float(place[0]), float(place[1]), float(place[2])

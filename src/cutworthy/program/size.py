"""How large a program's path is."""

from dataclasses import dataclass

import numpy as np

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.program import Extents, Kind, Track

__all__ = ["Size", "size_of"]

MEASURED_BY_KERNEL = 30_000  # moves; our choice: a kernel takes a moment to load


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Boxes and lengths of a path [mm]."""

    cut: Extents | None
    everything: Extents | None
    cut_length_mm: float
    rapid_length_mm: float

    @property
    def farthest_mm(self) -> float:
        """The greatest coordinate."""
        box = self.everything
        return 0.0 if box is None else max(map(abs, (*box.low_mm, *box.high_mm)))


def size_of(track: Track, places_mm: Floats) -> Size:
    """Return the size of a path; ``places_mm``: the start and the end of each move, shape (n + 1, 3)."""
    boxes = np.array([[np.inf] * 3, [-np.inf] * 3] * 2)
    if len(track) > MEASURED_BY_KERNEL:
        from cutworthy.kernels.census import measure  # noqa: PLC0415 - a short program needs no compiler

        cut_mm, rapid_mm = measure(track.kind, places_mm, boxes)
    else:
        cut_mm, rapid_mm = _measured(track, boxes)
    arcs = track.arcs
    if len(arcs):
        curves = (track.start_mm[arcs.row], track.end_mm[arcs.row], arcs.centre_mm, arcs.plane, arcs.turns)
        low, high = (corner(edge, axis=0) for corner, edge in zip((np.min, np.max), shapes.boxes(*curves), strict=True))
        boxes[::2], boxes[1::2] = np.minimum(boxes[::2], low), np.maximum(boxes[1::2], high)
        cut_mm += float(shapes.lengths(*curves).sum())
    return Size(cut=_extents(boxes[2:]), everything=_extents(boxes[:2]), cut_length_mm=cut_mm, rapid_length_mm=rapid_mm)


def _measured(track: Track, boxes: Floats) -> tuple[float, float]:
    """Do what the kernel ``measure`` does, with whole columns."""
    straight, feeds = track.kind != Kind.ARC, track.kind == Kind.LINE
    low, high = np.minimum(track.start_mm, track.end_mm), np.maximum(track.start_mm, track.end_mm)
    length = np.sqrt(((track.end_mm - track.start_mm) ** 2).sum(axis=1))
    for row, chosen in ((0, straight), (2, feeds)):
        if chosen.any():
            boxes[row], boxes[row + 1] = low[chosen].min(axis=0), high[chosen].max(axis=0)
    return float(length[feeds].sum()), float(length[track.kind == Kind.RAPID].sum())


def _extents(box: Floats) -> Extents | None:
    """Return a box, None when nothing is in it."""
    if box[0, 0] > box[1, 0]:
        return None
    (a, b, c), (d, e, f) = box.tolist()
    return Extents(low_mm=(a, b, c), high_mm=(d, e, f))

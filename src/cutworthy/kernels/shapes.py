"""Straight moves, arcs and helices as arrays: places along them, lengths, boxes.

Every function takes the same columns: ``start`` and ``end`` (n, 3) [mm], ``centre`` (n, 3) [mm],
``plane`` (n,) codes 0 none, 1 XY, 2 XZ, 3 YZ, and ``turns`` (n,), the swept angle over a full
circle, counter-clockwise positive seen from the positive end of the axis across the plane. Where
``turns`` is NaN the move is straight. An arc is drawn with its start's radius about its centre;
its end is snapped to ``end``.
"""

import numpy as np
import numpy.typing as npt

__all__ = ["ACROSS", "FIRST", "SECOND", "boxes", "lengths", "points", "radii"]

Floats = npt.NDArray[np.float64]
Codes = npt.NDArray[np.uint8]

# Axes of each plane code: an arc turns from the first towards the second, seen from the positive
# end of the one across (NISTIR 6556, 4.3.6.1: XY is X Y Z, XZ is Z X Y, YZ is Y Z X).
FIRST = np.array([0, 0, 2, 1])
SECOND = np.array([1, 1, 0, 2])
ACROSS = np.array([2, 2, 1, 0])

QUARTER = np.pi / 2
WHOLE = 2 * np.pi


def radii(point: Floats, centre: Floats, plane: Codes) -> Floats:
    """Return the distance of each point from its centre within its plane [mm], shape (n,)."""
    rows = np.arange(len(point))
    offset = point - centre
    radius: Floats = np.hypot(offset[rows, FIRST[plane]], offset[rows, SECOND[plane]])
    return radius


def lengths(start: Floats, end: Floats, centre: Floats, plane: Codes, turns: Floats) -> Floats:
    """Return the length of each path [mm], shape (n,): along the helix where there is one."""
    straight: Floats = np.sqrt(((end - start) ** 2).sum(axis=1))
    arc = ~np.isnan(turns)
    if not arc.any():
        return straight
    rows = np.flatnonzero(arc)
    rise = (end - start)[rows, ACROSS[plane[rows]]]
    flat = radii(start[rows], centre[rows], plane[rows]) * WHOLE * np.abs(turns[rows])
    straight[rows] = np.hypot(flat, rise)
    return straight


def points(start: Floats, end: Floats, centre: Floats, plane: Codes, turns: Floats, share: Floats) -> Floats:
    """Return the place at ``share`` (n,) of each path, 0 its start and 1 its end [mm], shape (n, 3)."""
    share = np.asarray(share, dtype=np.float64)
    place: Floats = start + (end - start) * share[:, None]
    rows = np.flatnonzero(~np.isnan(turns) & (share < 1))
    if len(rows):
        first, second = FIRST[plane[rows]], SECOND[plane[rows]]
        offset = start[rows] - centre[rows]
        pick = np.arange(len(rows))
        radius = np.hypot(offset[pick, first], offset[pick, second])
        angle = np.arctan2(offset[pick, second], offset[pick, first]) + WHOLE * turns[rows] * share[rows]
        place[rows, first] = centre[rows, first] + radius * np.cos(angle)
        place[rows, second] = centre[rows, second] + radius * np.sin(angle)
    return place


def boxes(start: Floats, end: Floats, centre: Floats, plane: Codes, turns: Floats) -> tuple[Floats, Floats]:
    """Return the least and the greatest corner of each path's box [mm], both (n, 3).

    Exact: an arc's box holds its ends and each of the plane's four extremes that it sweeps over.
    Where start and end radius differ, the box grows within the plane by their difference.
    """
    low, high = np.minimum(start, end), np.maximum(start, end)
    rows = np.flatnonzero(~np.isnan(turns))
    if not len(rows):
        return low, high
    pick = np.arange(len(rows))
    first, second = FIRST[plane[rows]], SECOND[plane[rows]]
    offset = start[rows] - centre[rows]
    radius = np.hypot(offset[pick, first], offset[pick, second])
    begin = np.arctan2(offset[pick, second], offset[pick, first])
    sweep = WHOLE * turns[rows]
    grow = np.abs(radii(end[rows], centre[rows], plane[rows]) - radius)
    for quarter in range(4):
        # The way to go, in the arc's own sense, from its start to this extreme: 0 up to one turn.
        way = np.mod((quarter * QUARTER - begin) * np.sign(sweep), WHOLE)
        swept = way <= np.abs(sweep)
        axis = first if quarter % 2 == 0 else second
        extreme = centre[rows, axis] + (radius if quarter < 2 else -radius)  # noqa: PLR2004 - two of four
        edge = high if quarter < 2 else low  # noqa: PLR2004
        better = np.maximum if quarter < 2 else np.minimum  # noqa: PLR2004
        edge[rows, axis] = np.where(swept, better(edge[rows, axis], extreme), edge[rows, axis])
    for axis in (first, second):
        low[rows, axis] -= grow
        high[rows, axis] += grow
    return low, high

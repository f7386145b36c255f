"""How the bit meets the wood, from what was found along its way."""

import numpy as np

from cutworthy.kernels.pieces import TESTING
from cutworthy.model.columns import Codes, Floats, Ints
from cutworthy.model.moves import Moves
from cutworthy.model.removal import Engagement, Side
from cutworthy.removal.path import Way
from cutworthy.removal.profiles import Profile

__all__ = ["engagement"]

SMALL = 1e-9
TOUCHING = 0.1  # of the radius: wood within this of the middle line lies on both sides


def engagement(
    moves: Moves,
    row: Ints,
    way: Way,
    bits: Ints,
    profiles: list[Profile | None],
    totals: Floats,
    pitch_mm: float,
) -> Engagement:
    """Return the engagement of each window.

    Source: width as area over length, and angle acos(1 - width / radius): Y. Altintas, Manufacturing Automation
    (from memory); see docs/methods.md for how far the size of the cells makes them off.

    Parameters
    ----------
    moves
        The moves of the way.
    row
        What they are to be told as, (moves,).
    way
        The pieces.
    bits
        For each piece which of the profiles cuts, (n,).
    profiles
        Of the bits of the card.
    totals
        What was found in each window, (windows, 5).
    pitch_mm
        Of the field [mm].
    """
    first = np.flatnonzero(np.diff(way.window, prepend=-1))
    last = np.append(first[1:], len(way.window))[: len(first)] - 1
    ends = way.ends_mm
    flat = np.hypot(ends[:, 3] - ends[:, 0], ends[:, 4] - ends[:, 1])
    rise = ends[:, 5] - ends[:, 2]
    across = np.add.reduceat(flat, first) if len(first) else flat
    climbed = np.add.reduceat(rise, first) if len(first) else rise
    length = np.add.reduceat(np.hypot(flat, rise), first) if len(first) else flat
    radius = np.array([SMALL if each is None else each.radius_mm for each in profiles])[bits[first]]
    reach = _reach(bits[first], profiles, totals[:, 1])
    width = _width(totals, across, reach, pitch_mm)
    rows = way.rows
    return Engagement(
        row=row[rows[first, 0]],
        last_row=row[rows[last, 1]],
        line=moves.line[rows[first, 0]],
        tool=moves.tool[rows[first, 0]],
        rapid=(way.marks[first] & TESTING != 0).astype(np.uint8),
        length_mm=length,
        volume_mm3=totals[:, 0],
        depth_mm=totals[:, 1],
        width_mm=width,
        angle_rad=np.arccos(np.clip(1 - width / reach, -1.0, 1.0)),
        side=_side(totals, radius, across),
        rise_rad=np.arctan2(climbed, across),
        at_mm=ends[first, :3],
        tip_mm=np.minimum.reduceat(np.minimum(ends[:, 2], ends[:, 5]), first) if len(first) else flat,
    )


def _width(totals: Floats, across: Floats, reach: Floats, pitch_mm: float) -> Floats:
    """Return how wide the wood is across the way [mm], (windows,)."""
    # A round bit lowers a cell in several slices, so that its area is counted more than once; its span is not.
    by_area, span = totals[:, 2] * pitch_mm**2 / np.maximum(across, SMALL), totals[:, 4] - totals[:, 3] + pitch_mm
    width = np.minimum(np.minimum(by_area, span), 2 * reach)
    width[across < SMALL] = 2 * reach[across < SMALL]
    width[totals[:, 2] == 0] = 0.0
    return width


def _reach(bits: Ints, profiles: list[Profile | None], depth_mm: Floats) -> Floats:
    """Return the radius of the bit where the wood ends above its tip, (windows,)."""
    reach = np.full(len(bits), SMALL)
    for number, profile in enumerate(profiles):
        own = np.flatnonzero(bits == number)
        if profile is not None and len(own):
            reach[own] = np.maximum(profile.radius_at(depth_mm[own]), SMALL)
    return reach


def _side(totals: Floats, radius: Floats, across: Floats) -> Codes:
    """Return on which side of its way the bit met wood: a clockwise bit that has it on its right climbs, (windows,)."""
    left, right = totals[:, 4] > TOUCHING * radius, totals[:, 3] < -TOUCHING * radius
    side = np.where(left & right, Side.BOTH, np.where(left, Side.CONVENTIONAL, Side.CLIMB))
    side[~(left | right)] = Side.BOTH
    side[across < SMALL] = Side.BOTH
    side[totals[:, 2] == 0] = Side.NONE
    codes: Codes = side.astype(np.uint8)
    return codes

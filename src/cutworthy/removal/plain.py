"""The sweep of ``kernels.sweeping`` without the compiler: short programs are done before it is loaded."""

from math import hypot, inf, sqrt

import numpy as np

from cutworthy.kernels.pieces import ENTERING, TESTING
from cutworthy.model.columns import Codes, Floats, Ints
from cutworthy.model.removal import Heights
from cutworthy.removal.grid import Grid
from cutworthy.removal.profiles import BALL, BULL, FLAT, TAPER, VEE, Profile

__all__ = ["FAR", "sweep"]

UPRIGHT, TINY = 1e-9, 1e-9
NOTHING = 1e-4
FAR = 1e9
NEWTON_STEPS = 3


def sweep(
    heights: Heights,
    grid: Grid,
    span: tuple[float, float],
    way: tuple[Floats, Codes, Ints],
    profiles: tuple[Profile, Profile],
    found: Heights,
) -> None:
    """Lower a field by some pieces.

    Parameters
    ----------
    heights, grid
        The field, (rows, stride).
    span
        Nothing stands above the first, nothing is lowered below the second [mm].
    way
        Ends and marks of all pieces, and which of them.
    profiles
        For cutting and for testing.
    found
        Filled for each, (n, 5).
    """
    ends, marks, which = way
    top, floor = span
    for n, i in enumerate(which.tolist()):
        found[n] = (0, 0, 0, FAR, -FAR)
        if min(ends[i, 2], ends[i, 5]) < top:
            _lower(heights, grid, floor, ends[i], int(marks[i]), profiles[bool(marks[i] & TESTING)], found[n])


def _lower(
    heights: Heights, grid: Grid, floor: float, ends: Floats, mark: int, profile: Profile, found: Heights
) -> None:
    ax, ay, az, bx, by, bz = ends.tolist()
    tip, length = min(az, bz), hypot(bx - ax, by - ay)
    ex, ey, m, lead = 1.0, 0.0, 0.0, -inf
    if length < UPRIGHT:
        if bz >= az and not mark & ENTERING:
            return
        az, bx, by, length = tip, ax, ay, 0.0
    else:
        ex, ey, m = (bx - ax) / length, (by - ay) / length, (bz - az) / length
        if not mark & ENTERING:
            lead = _leading(profile, m)
    reach, pitch = profile.radius_mm, grid.pitch_mm
    columns = _cells(min(ax, bx) - reach, max(ax, bx) + reach, grid.x0_mm, pitch, grid.columns)
    rows = _cells(min(ay, by) - reach, max(ay, by) + reach, grid.y0_mm, pitch, grid.rows)
    x = grid.x0_mm + pitch * np.arange(columns.start, columns.stop) - ax
    y = grid.y0_mm + pitch * np.arange(rows.start, rows.stop)[:, None] - ay
    u, q = x * ex + y * ey, y * ex - x * ey
    q2 = q * q
    rp = np.sqrt(np.maximum(reach * reach - q2, 0.0))
    back, front = np.maximum(u - rp, 0.0), np.minimum(u + rp, length)
    ahead = -1.0 if m > 0 else 1.0 if m < 0 else 0.0
    c = np.clip(u + ahead * _abeam(profile, abs(m), q, q2, rp), back, np.maximum(back, front)) if ahead else u
    c = np.minimum(front, np.maximum(back, c))
    z = np.maximum(floor, az + profile.lift_mm + m * c + _above_tip(profile, q2 + (u - c) ** 2))
    was = heights[rows, columns].copy()
    inside = (q2 <= reach * reach) & (back <= front) & (u >= lead)
    drop = np.where(inside, np.maximum(was - z, 0.0), 0.0)
    if not mark & TESTING:
        heights[rows, columns] = was - drop
    if mark & TESTING and not mark & ENTERING and length:
        r2 = u * u + q2  # of wood that stays, what the start already met is not told again
        begun = np.maximum(floor, az + profile.lift_mm + _above_tip(profile, r2))
        drop -= np.where(inside & (r2 <= reach * reach), np.maximum(was - begun, 0.0), 0.0)
    cut = drop > NOTHING
    if cut.any():
        found[0] = drop[cut.any(axis=1)].sum() * pitch * pitch  # rows in which there is more than rounding
        found[1:] = ((was - tip)[cut].max(), np.count_nonzero(cut), q[cut].min(), q[cut].max())


def _cells(low: float, high: float, first: float, pitch: float, count: int) -> slice:
    return slice(max(0, int((low - first) / pitch)), max(0, min(count, int((high - first) / pitch) + 2)))


def _leading(profile: Profile, m: float) -> float:
    """Return u from which on a piece of slope m lowers cells [mm]."""
    steep, radius = -m, profile.radius_mm
    if steep <= 0:
        return 0.0
    share = steep / sqrt(1 + m * m)
    if profile.shape == BALL:
        return -radius * share
    if profile.shape == BULL:
        return -max(profile.inner_mm + profile.round_mm * share, 0.0)
    if profile.shape == FLAT or steep >= profile.slope:
        return -radius
    flank = radius * steep / profile.slope
    return -max(profile.inner_mm if profile.shape == VEE else profile.round_mm * share, flank)


def _abeam(profile: Profile, steep: float, q: Floats, q2: Floats, rp: Floats) -> Floats:
    """Return how far ahead of a cell on a falling piece the axis is when it is lowest over it [mm]."""
    if profile.shape == FLAT:
        return rp
    r0, rho, k = profile.inner_mm, profile.round_mm, profile.slope
    share = steep / sqrt(1 + steep * steep)
    flank = steep / sqrt(k * k - steep * steep) if steep < k else FAR
    ball = share * np.sqrt(np.maximum(rho * rho - q2, 0.0))
    if profile.shape == BALL:
        return np.minimum(rp, ball)
    if profile.shape == VEE:
        w = np.maximum(np.sqrt(np.maximum(r0 * abs(r0) - q2, 0.0)), flank * np.abs(q))
        return rp if steep >= k else np.minimum(rp, w)
    if profile.shape == TAPER:
        edge2 = profile.edge_mm**2
        cone = np.maximum(np.sqrt(np.maximum(edge2 - q2, 0.0)), flank * np.abs(q))
        return rp if steep >= k else np.minimum(rp, np.where(q2 + ball * ball <= edge2, ball, cone))
    w = max(r0 + rho * share, 0.0) * np.sqrt(np.maximum(1 - q2 / profile.radius_mm**2, 0.0))
    for _ in range(NEWTON_STEPS):
        r = np.sqrt(q2 + w * w) + TINY
        t = np.minimum(np.maximum(r - r0, 0.0), rho * 0.999999)
        root = np.sqrt(rho * rho - t * t)
        slope, along = t / root, w / r
        bend = rho * rho / root**3 * along * along + slope * q2 / r**3 + TINY
        w = np.minimum(rp, np.maximum(0.0, w - (slope * along - steep) / bend))
    return w


def _above_tip(profile: Profile, d2: Floats) -> Floats:
    """Return the bit's surface above its tip at the distance whose square is given [mm]."""
    rho = profile.round_mm
    if profile.shape == FLAT:
        return np.zeros_like(d2)
    if profile.shape == BALL:
        return rho - np.sqrt(np.maximum(rho * rho - d2, 0.0))
    if profile.shape == VEE:
        return profile.slope * np.maximum(np.sqrt(d2) - profile.inner_mm, 0.0)
    if profile.shape == TAPER:
        edge = profile.edge_mm
        ball = rho - np.sqrt(np.maximum(rho * rho - d2, 0.0))
        cone = rho - sqrt(rho * rho - edge * edge) + profile.slope * (np.sqrt(d2) - edge)
        return np.where(d2 <= edge * edge, ball, cone)
    t = np.maximum(np.sqrt(d2) - profile.inner_mm, 0.0)
    return rho - np.sqrt(np.maximum(rho * rho - t * t, 0.0))

"""A bit swept along straight pieces of path through a field of heights, row by row.

A field is flat: the height of cell (row, column) stands at ``row * stride + column``, its middle at
``x0 + column * pitch, y0 + row * pitch``. At least the first eight cells of each row, and eight behind the last row,
are no board, so that what is looked at of a row may be rounded up to eight cells, be it into the next one.

A bit's profile is f(r) = g(max(r - r0, 0)) for r up to R: the height of its surface above its tip at the
distance r from its axis. Over a piece of slope m the surface above a cell is the least of
az + m c + f(sqrt(q^2 + (u - c)^2)) over the places c that the axis takes, with u along the piece and q beside it.
The least lies at c = u + w, clamped to where the bit reaches the cell; w is known for each shape in closed
form or near to it. Any c is a place where the bit really was, so an inexact w makes the surface too high only.

The bit already stands at the start of a piece, so only cells whose w leads beyond it are lowered by the piece: the
rest of its disc was cut before. A piece that is ``ENTERING`` is the first after a travel, and cuts all of it.
"""

import math
from collections.abc import Callable
from functools import cache, partial
from typing import Any

import numpy as np

from cutworthy.kernels.compiling import compiled, inlined, prepare

__all__ = ["BALL", "BULL", "ENTERING", "FAR", "FLAT", "OUTPUTS", "TAPER", "TESTING", "VEE", "ready", "sweep"]

FLAT, BALL, VEE, BULL, TAPER = 0, 1, 2, 3, 4
# Bits of a piece's mark. TESTING: look at the wood that is met, with the second row of the profile, and lower nothing.
ENTERING, TESTING = 1, 2
OUTPUTS = 5  # for each piece: volume [mm^3], highest wood above its lowest tip [mm], cells lowered, q from and to [mm]
FINE32 = np.float32(1e4)  # heights are compared as whole numbers of 1e-4 mm: the greatest of floats is not vectorised
NOTHING32 = np.float32(1e-4)  # mm: what is lowered by less is rounding
UPRIGHT = 1e-9  # mm: a piece shorter than this seen from above goes straight down or up
FAR = 1e9  # mm
BEYOND = 2.0 * FAR  # stands for no bound: what takes sums in any order knows no infinity
RIM = 1e-5  # mm: so near to the edge of a disc rounding decides which side a cell is on
NONE, ONE, FAR_AT, NO_AT = np.int32(0), np.int32(1), np.int32(1 << 30), np.int32(-1)
STEEPER = np.float32(FAR)  # stands for the flank of a bit that falls more steeply than its own
TINY, NEARLY = np.float32(1e-9), np.float32(0.999999)
NEWTON_STEPS = 3
Kernel = Callable[..., None]


@partial(inlined, fast=True)
def _chord(square: float, middle: float, left: float, right: float) -> tuple[float, float]:
    """Return an interval widened by the chord of a disc, given the square of half of it."""
    if square < 0.0:
        return left, right
    half = math.sqrt(square)
    return min(left, middle - half), max(right, middle + half)


@partial(inlined, fast=True)
def _interval(dx: float, dy: float, a: float, ex: float, ey: float, radius: float, lead: float) -> tuple[float, float]:
    """Return from where to where a row lies within the swept outline and beyond the leading line, x from the start.

    ``a``: y of the row from the start. The outline is two discs and the two edges beside the way between them.
    """
    left, right = _chord(radius * radius - a * a, 0.0, BEYOND, -BEYOND)
    left, right = _chord(radius * radius - (a - dy) * (a - dy), dx, left, right)
    if dy != 0.0:
        for side in (-radius, radius):
            share = (a - side * ex) / dy
            if 0.0 <= share <= 1.0:
                x = share * dx - side * ey
                left, right = min(left, x), max(right, x)
    if lead > -FAR:
        if ex > UPRIGHT:
            left = max(left, (lead - a * ey) / ex)
        elif ex < -UPRIGHT:
            right = min(right, (lead - a * ey) / ex)
        elif a * ey < lead:
            return 1.0, -1.0
    return left, right


@partial(inlined, fast=True)
def _without_start(a: float, radius: float, left: float, right: float) -> tuple[float, float]:
    """Return an interval of a row less what the disc at the start covers; where that would leave two, all of it.

    Of a level way of a flat bit only this is new. ``a``: y of the row from the start.
    """
    within = radius - RIM
    square = within * within - a * a
    if square <= 0.0:
        return left, right
    half = math.sqrt(square)
    if right <= half:
        right = min(right, -half)
    if left >= -half:
        left = max(left, half)
    return left, right


@partial(inlined, fast=True)
def _leading(shape: int, m: float, r0: float, rho: float, k: float, radius: float) -> float:
    """Return u from which on a piece of slope m lowers cells [mm]."""
    steep = -m
    if steep <= 0.0:
        return 0.0
    if shape == FLAT:
        return -radius
    if shape == BALL:
        return -radius * steep / math.sqrt(1.0 + m * m)
    if shape == BULL:
        return -max(r0 + rho * steep / math.sqrt(1.0 + m * m), 0.0)
    if steep >= k:
        return -radius
    if shape == VEE:
        return -max(r0, radius * steep / k)
    return -max(rho * steep / math.sqrt(1.0 + m * m), radius * steep / k)


@partial(inlined, fast=True)
def _abeam(shape: int, steep: Any, q: Any, q2: Any, rp: Any, fit: Any) -> Any:
    """Return w, how far ahead of a cell on a falling piece the axis is when it is lowest over it, up to ``rp``.

    ``fit``: what is the same all along a piece: see ``fitted``.
    """
    zero = np.float32(0.0)
    if shape == FLAT:
        return rp
    r0, rho, _, limit2, rho2, share, flank = fit
    if shape == BALL:
        return min(rp, share * math.sqrt(max(rho2 - q2, zero)))
    if shape == VEE:
        w = max(math.sqrt(max(r0 * abs(r0) - q2, zero)), flank * abs(q))
        return rp if flank >= STEEPER else min(rp, w)
    if shape == TAPER:
        ball = share * math.sqrt(max(rho2 - q2, zero))
        cone = max(math.sqrt(max(limit2 - q2, zero)), flank * abs(q))
        w = ball if q2 + ball * ball <= limit2 else cone
        return rp if flank >= STEEPER else min(rp, w)
    w = max(r0 + rho * share, zero) * math.sqrt(max(np.float32(1.0) - q2 / limit2, zero))
    for _ in range(NEWTON_STEPS):
        r = math.sqrt(q2 + w * w) + TINY
        t = min(max(r - r0, zero), rho * NEARLY)
        root = math.sqrt(rho2 - t * t)
        slope, along = t / root, w / r
        bend = rho2 / (root * root * root) * along * along + slope * q2 / (r * r * r) + TINY
        w = min(rp, max(zero, w - (slope * along - steep) / bend))
    return w


@partial(inlined, fast=True)
def _above_tip(shape: int, d2: Any, fit: Any) -> Any:
    """Return the bit's surface above its tip at the distance whose square is ``d2`` [mm]."""
    zero = np.float32(0.0)
    if shape == FLAT:
        return zero
    r0, rho, k, limit2, rho2, _, _ = fit
    if shape == BALL:
        return rho - math.sqrt(max(rho2 - d2, zero))
    if shape == VEE:
        return k * max(math.sqrt(d2) - r0, zero)
    if shape == TAPER:
        ball = rho - math.sqrt(max(rho2 - d2, zero))
        edge = math.sqrt(limit2)
        return ball if d2 <= limit2 else rho - math.sqrt(max(rho2 - limit2, zero)) + k * (math.sqrt(d2) - edge)
    t = max(math.sqrt(d2) - r0, zero)
    return rho - math.sqrt(max(rho2 - t * t, zero))


@partial(inlined, fast=True)
def _tell(told: bool, drop: Any, over: Any, step: Any, tally: Any) -> Any:
    """Return what is known of a row with one cell more, lowered by ``drop``, that stood ``over`` the tip."""
    cells, most, low_at, high_at = tally
    if told:
        cut = drop > NOTHING32
        cells += ONE if cut else NONE
        most = max(most, np.int32((over if cut else np.float32(0.0)) * FINE32))
        low_at = min(low_at, np.int32(step) if cut else FAR_AT)
        high_at = max(high_at, np.int32(step) if cut else NO_AT)
    return cells, most, low_at, high_at


@partial(inlined, fast=True)
def _row_level(shape: int, told: bool, heights: Any, row: Any, piece: Any, fit: Any, tally: Any) -> Any:
    """Lower one row by a level piece, where the axis is lowest over a cell as it is nearest."""
    start, size, u0, q0, du, dq = row
    z32, far32, r2, base32, tip32 = piece
    zero, total = np.float32(0.0), np.float32(0.0)
    if shape == FLAT:  # most rows of a pocket are bare already
        level, standing = max(base32, z32), NONE
        for step in range(size):
            standing += ONE if heights[start + np.uint64(step)] > level else NONE
        if standing == NONE:
            return total, tally
    for step in range(size):
        at = start + np.uint64(step)
        u, q = u0 + np.float32(step) * du, q0 + np.float32(step) * dq
        off = u - min(far32, max(zero, u))
        d2 = q * q + off * off
        was = heights[at]
        drop = max(was - max(base32, z32 + _above_tip(shape, d2, fit)), zero) if d2 <= r2 else zero
        heights[at] = was - drop
        total += drop
        tally = _tell(told, drop, was - tip32, step, tally)
    return total, tally


@cache
def sweep(shape: int, *, told: bool) -> Kernel:
    """Return the kernel for one shape, with or without the outputs that engagement needs.

    It lowers the rows ``row_low`` to ``row_high`` of a field by the pieces of ``which``, in order.

    Its parameters: ``heights`` (float32, flat), ``stride``, ``row_low``, ``row_high``, ``x0``, ``y0``, ``pitch`` of the
    field; ``top`` and ``floor``: nothing stands above, nothing is lowered below [mm]; ``ends`` (n, 6): x, y, z of start
    and end of each piece [mm]; ``marks`` (n,): ``ENTERING`` and ``TESTING``; ``which``: rows of these; ``profile``
    (2, 6): r0, rho, k, radius of the cone's beginning, R and a lift, for cutting and for testing; ``found``: filled,
    (len(which), ``OUTPUTS``).
    """

    def lower(
        heights: Any, stride: int, row_low: int, row_high: int, x0: float, y0: float, pitch: float, top: float,
        floor: float, ends: Any, marks: Any, which: Any, profile: Any, found: Any,
    ) -> None:  # fmt: skip
        zero, base32 = np.float32(0.0), np.float32(floor)
        nothing: Any = (0.0, 0, NONE, np.float32(FAR), np.float32(-FAR))
        for n in range(len(which)):
            i = which[n]
            found[n, 0] = found[n, 1] = found[n, 2] = zero
            found[n, 3], found[n, 4] = FAR, -FAR
            ax, ay, az = ends[i, 0], ends[i, 1], ends[i, 2]
            dx, dy, dz = ends[i, 3] - ax, ends[i, 4] - ay, ends[i, 5] - az
            tip = min(az, az + dz)
            testing = 1 if marks[i] & TESTING else 0
            entering = marks[i] & ENTERING
            if tip >= top:
                continue
            r0, rho, k, limit, radius = (
                profile[testing, 0], profile[testing, 1], profile[testing, 2], profile[testing, 3], profile[testing, 4],
            )  # fmt: skip
            length = math.sqrt(dx * dx + dy * dy)
            ex, ey, m, lead = 1.0, 0.0, 0.0, -BEYOND
            if length < UPRIGHT:
                if dz >= 0.0 and not entering:
                    continue
                az, dx, dy, length = tip, 0.0, 0.0, 0.0
            else:
                ex, ey, m = dx / length, dy / length, dz / length
                if not entering:
                    lead = _leading(shape, m, r0, rho, k, radius)
            az += profile[testing, 5]
            steep = abs(m)
            share = steep / math.sqrt(1.0 + m * m)
            flank = steep / math.sqrt(k * k - m * m) if steep < k else FAR
            edge2 = radius * radius if shape == BULL else limit * limit
            fit = (
                np.float32(r0), np.float32(rho), np.float32(k), np.float32(edge2), np.float32(rho * rho),
                np.float32(share), np.float32(flank),
            )  # fmt: skip
            z32, m32, far32, r2 = np.float32(az), np.float32(m), np.float32(length), np.float32(radius * radius)
            # Of wood that stays, what the start already met is not told again.
            again, met2 = np.float32(0.0), np.float32(-1.0)
            if testing and lead > -FAR:
                again, met2 = np.float32(1.0), r2
            steep32, tip32, keep = np.float32(steep), np.float32(tip), np.float32(1 - testing)
            ahead = np.float32(-1.0 if m > 0.0 else 1.0 if m < 0.0 else 0.0)
            du, dq = np.float32(pitch * ex), np.float32(-pitch * ey)
            lowest, highest = min(0.0, dy) - radius, max(0.0, dy) + radius
            if lead >= 0.0:  # nothing behind the start
                lowest = -radius * abs(ex) if ey > 0.0 else lowest
                highest = radius * abs(ex) if ey < 0.0 else highest
            first = max(row_low, math.ceil((lowest + ay - y0) / pitch))
            last = min(row_high - 1, math.floor((highest + ay - y0) / pitch))
            volume, count, most, q_low, q_high = nothing
            plainly = (shape == FLAT or shape == BULL) and m == 0.0 and not testing
            for row in range(first, last + 1):
                a = y0 + row * pitch - ay
                left, right = _interval(dx, dy, a, ex, ey, radius, lead)
                if shape == FLAT and m == 0.0 and lead >= 0.0 and not testing:
                    left, right = _without_start(a, radius, left, right)
                if right < left:
                    continue
                begin = math.ceil(max(0.0, (left + ax - x0) / pitch))
                end = math.floor(min(stride - 1.0, (right + ax - x0) / pitch))
                if end < begin:
                    continue
                size = ((end - begin + 8) // 8) * 8
                start = np.uint64(row * stride + begin)
                x = x0 + begin * pitch - ax
                u0, q0 = np.float32(x * ex + a * ey), np.float32(a * ex - x * ey)
                sum32, tally = zero, (NONE, most, FAR_AT, NO_AT)
                if plainly:
                    line, piece = (start, size, u0, q0, du, dq), (z32, far32, r2, base32, tip32)
                    sum32, tally = _row_level(shape, told, heights, line, piece, fit, tally)
                else:
                    for step in range(size):
                        at = start + np.uint64(step)
                        u, q = u0 + np.float32(step) * du, q0 + np.float32(step) * dq
                        q2 = q * q
                        rp = math.sqrt(max(r2 - q2, zero))
                        back, front = max(zero, u - rp), min(far32, u + rp)
                        c = min(front, max(back, u + ahead * _abeam(shape, steep32, q, q2, rp, fit)))
                        d2 = q2 + (u - c) * (u - c)
                        z = max(base32, z32 + m32 * c + _above_tip(shape, d2, fit))
                        was = heights[at]
                        inside = (q2 <= r2) & (back <= front)
                        drop = max(was - z, zero) if inside else zero
                        heights[at] = was - drop * keep
                        begun = max(base32, z32 + _above_tip(shape, q2 + u * u, fit))
                        drop -= max(was - begun, zero) * again if q2 + u * u <= met2 else zero
                        sum32 += drop
                        tally = _tell(told, drop, was - tip32, step, tally)
                cells, most, low_at, high_at = tally
                if cells > 0 or not told:
                    volume += sum32
                if told and cells > 0:
                    count += cells
                    qa, qb = q0 + np.float32(low_at) * dq, q0 + np.float32(high_at) * dq
                    q_low, q_high = min(q_low, qa, qb), max(q_high, qa, qb)
            found[n, 0] = volume * pitch * pitch
            if told and count > 0:
                found[n, 1], found[n, 2] = np.float32(most) / FINE32, count
                found[n, 3], found[n, 4] = q_low, q_high

    return compiled(lower, fast=True)


@cache
def ready(shape: int) -> Kernel:
    """Return the kernel for one shape with all outputs, compiled or loaded: here a person may have to wait."""
    kernel = sweep(shape, told=True)
    ends, marks, which = np.zeros((1, 6)), np.zeros(1, dtype=np.uint8), np.zeros(0, dtype=np.int64)
    heights, found = np.zeros(1, dtype=np.float32), np.zeros((0, OUTPUTS), dtype=np.float32)
    given = (heights, 1, 0, 0, 0.0, 0.0, 1.0, 0.0, 0.0, ends, marks, which, np.zeros((2, 6)), found)
    prepare(lambda: kernel(*given))
    return kernel

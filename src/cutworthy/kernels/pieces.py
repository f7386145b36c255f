"""A path in straight pieces: short lines that go on straight joined, long ones split, arcs in chords.

Plain functions: ``laid`` has them compiled for long programs, and short ones call them as they are.
"""

import math
from typing import Any

__all__ = ["ENTERING", "TESTING", "arm", "chords", "count", "draw", "gather", "lay", "share_out", "stays", "window"]

RAPID, LINE, ARC = 0, 1, 2
ENTERING, TESTING = 1, 2
XY, XZ = 1, 2
WHOLE = 2.0 * math.pi
MOST_JOINED = 128  # lines to a piece: each is looked at again for every one that follows


def chords(radius: float, turns: float, length: float, sagitta: float, longest: float) -> int:
    """Return how many chords an arc is drawn with."""
    step = math.pi / 2.0
    if sagitta < radius:
        step = min(step, 2.0 * math.acos(1.0 - sagitta / radius))
    return int(max(1.0, math.ceil(abs(turns) * WHOLE / step), math.ceil(length / longest)))


def arm(start: Any, centre: Any, plane: Any, i: int) -> tuple[float, float, float]:
    """Return from the centre to the start within the plane, and the radius."""
    if plane[i] == XY:
        u, v = start[i, 0] - centre[i, 0], start[i, 1] - centre[i, 1]
    elif plane[i] == XZ:
        u, v = start[i, 2] - centre[i, 2], start[i, 0] - centre[i, 0]
    else:
        u, v = start[i, 1] - centre[i, 1], start[i, 2] - centre[i, 2]
    return u, v, math.sqrt(u * u + v * v)


def count(kind: Any, start: Any, end: Any, centre: Any, plane: Any, turns: Any, sagitta: float, longest: float) -> int:
    """Return how many pieces there may be at most."""
    total = 0
    for i in range(len(kind)):
        dx, dy, dz = end[i, 0] - start[i, 0], end[i, 1] - start[i, 1], end[i, 2] - start[i, 2]
        if kind[i] == ARC:
            _, _, radius = arm(start, centre, plane, i)
            length = abs(turns[i]) * WHOLE * radius + math.sqrt(dx * dx + dy * dy + dz * dz)
            total += chords(radius, turns[i], length, sagitta, longest)
        else:
            total += int(math.sqrt(dx * dx + dy * dy + dz * dz) / longest) + 1
    return total


def stays(start: Any, end: Any, first: int, last: int, tolerance: float, longest: float) -> bool:
    """Return whether the lines from one row to another may be one piece: all corners near its chord, and in order."""
    x0, y0, z0 = start[first, 0], start[first, 1], start[first, 2]
    x, y, z = end[last, 0] - x0, end[last, 1] - y0, end[last, 2] - z0
    square = x * x + y * y + z * z
    if square > longest * longest or square == 0.0 or last - first >= MOST_JOINED:
        return False
    before = 0.0
    for i in range(first, last):
        u, v, w = end[i, 0] - x0, end[i, 1] - y0, end[i, 2] - z0
        along = (u * x + v * y + w * z) / square
        if along < before or along > 1.0:
            return False
        before = along
        u, v, w = u - along * x, v - along * y, w - along * z
        if u * u + v * v + w * w > tolerance * tolerance:
            return False
    return True


def draw(
    start: Any, end: Any, centre: Any, plane: Any, turns: Any, i: int, sagitta: float, longest: float,
    ends: Any, rows: Any, n: int,
) -> int:  # fmt: skip
    """Lay one arc in chords, from piece ``n`` on, and return the next piece.

    Corners in the XY plane lie half the sagitta outside the arc, so that both walls are off by half of it.
    """
    u, v, radius = arm(start, centre, plane, i)
    dx, dy, dz = end[i, 0] - start[i, 0], end[i, 1] - start[i, 1], end[i, 2] - start[i, 2]
    rise = dz if plane[i] == XY else dy if plane[i] == XZ else dx
    sweep = WHOLE * turns[i]
    length = math.sqrt(sweep * sweep * radius * radius + rise * rise)
    parts = chords(radius, turns[i], length, sagitta, longest)
    begin = math.atan2(v, u)
    outer = radius + min(0.5 * sagitta, 0.1 * radius) if plane[i] == XY else radius
    x, y, z = start[i, 0], start[i, 1], start[i, 2]
    for part in range(1, parts + 1):
        ends[n, 0], ends[n, 1], ends[n, 2] = x, y, z
        if part == parts:
            x, y, z = end[i, 0], end[i, 1], end[i, 2]
        else:
            share = part / parts
            a, b = outer * math.cos(begin + sweep * share), outer * math.sin(begin + sweep * share)
            if plane[i] == XY:
                x, y, z = centre[i, 0] + a, centre[i, 1] + b, start[i, 2] + rise * share
            elif plane[i] == XZ:
                z, x, y = centre[i, 2] + a, centre[i, 0] + b, start[i, 1] + rise * share
            else:
                y, z, x = centre[i, 1] + a, centre[i, 2] + b, start[i, 0] + rise * share
        ends[n, 3], ends[n, 4], ends[n, 5] = x, y, z
        rows[n, 0] = rows[n, 1] = i
        n += 1
    return n


def lay(
    kind: Any, start: Any, end: Any, centre: Any, plane: Any, turns: Any, apart: Any, tolerance: float,
    sagitta: float, longest: float, ends: Any, marks: Any, rows: Any,
) -> int:  # fmt: skip
    """Lay a path in pieces, and return how many.

    Parameters
    ----------
    kind, start, end, centre, plane, turns
        The moves, none of them a dwell.
    apart
        For each move whether it does not begin where the one before ended, or with another bit.
    tolerance, sagitta, longest
        How far corners may lie from a joined line, and chords from their arc [mm]; the longest cut [mm].
    ends, marks, rows
        Filled for each piece: its ends (n, 6) [mm]; marks as ``sweeping`` has them; its first and last move (n, 2).
    """
    n, i, moves = 0, 0, len(kind)
    entering = True
    while i < moves:
        begin = i
        entering = entering or apart[i]
        first, rapid = n, kind[i] == RAPID
        if kind[i] == ARC:
            n = draw(start, end, centre, plane, turns, i, sagitta, longest, ends, rows, n)
            i += 1
        else:
            last = i
            while not rapid and last + 1 < moves and kind[last + 1] == LINE and not apart[last + 1]:
                if not stays(start, end, i, last + 1, tolerance, longest):
                    break
                last += 1
            x, y, z = end[last, 0] - start[i, 0], end[last, 1] - start[i, 1], end[last, 2] - start[i, 2]
            parts = max(1, math.ceil(math.sqrt(x * x + y * y + z * z) / longest - 1e-9))
            for part in range(parts):
                for axis in range(3):
                    way = end[last, axis] - start[i, axis]
                    ends[n, axis] = start[i, axis] + way * part / parts
                    ends[n, 3 + axis] = start[i, axis] + way * (part + 1) / parts
                rows[n, 0], rows[n, 1] = i, last
                n += 1
            i = last + 1
        for piece in range(first, n):
            marks[piece] = TESTING if rapid else 0
        if n > first and (apart[begin] if rapid else entering):
            marks[first] |= ENTERING
        entering = rapid
    return n


def window(ends: Any, marks: Any, least: float, found: Any) -> int:
    """Gather cuts that follow each other until they are long enough, and return how many windows there are.

    ``found``: filled, the window of each piece. A rapid is a window of its own; none goes on over an entry.
    """
    windows, length = 0, 0.0
    for n in range(len(marks)):
        new = n == 0 or marks[n] != 0 or marks[n - 1] & TESTING != 0 or length >= least
        if new:
            windows, length = windows + 1, 0.0
        x, y, z = ends[n, 3] - ends[n, 0], ends[n, 4] - ends[n, 1], ends[n, 5] - ends[n, 2]
        length += math.sqrt(x * x + y * y + z * z)
        found[n] = windows - 1
    return windows


def share_out(
    ends: Any, low: int, high: int, reach: float, top: float, y0: float, pitch: float, edges: Any,
    sizes: Any, lists: Any,
) -> None:  # fmt: skip
    """List for each band of rows the pieces that touch it.

    Parameters
    ----------
    ends, low, high
        The pieces, of which those from ``low`` to before ``high`` are looked at.
    reach, top
        How far the bit reaches beside its axis, and what lies wholly above is left out [mm].
    y0, pitch, edges
        The first row's y, the pitch [mm], and at which row each band begins; the last number ends the last band.
    sizes
        Filled: how many pieces touch each band.
    lists
        Filled for each band, (bands, pieces), where it has room; with none, only ``sizes`` is filled.
    """
    bands = len(edges) - 1
    for band in range(bands):
        sizes[band] = 0
    for n in range(low, high):
        if min(ends[n, 2], ends[n, 5]) >= top:
            continue
        first = (min(ends[n, 1], ends[n, 4]) - reach - y0) / pitch
        last = (max(ends[n, 1], ends[n, 4]) + reach - y0) / pitch
        for band in range(bands):
            if first <= edges[band + 1] and last >= edges[band] - 1:
                if sizes[band] < lists.shape[1]:
                    lists[band, sizes[band]] = n
                sizes[band] += 1


def gather(which: Any, window: Any, found: Any, totals: Any) -> None:
    """Add what was found for pieces to their windows: sums of first and third, greatest second, span of the rest."""
    for n in range(len(which)):
        w = window[which[n]]
        totals[w, 0] += found[n, 0]
        totals[w, 1] = max(totals[w, 1], found[n, 1])
        totals[w, 2] += found[n, 2]
        totals[w, 3] = min(totals[w, 3], found[n, 3])
        totals[w, 4] = max(totals[w, 4], found[n, 4])

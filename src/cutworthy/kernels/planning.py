"""Speed along a path under the limits of the axes, in three passes over all moves.

Plain functions over sequences: ``planned`` has them compiled for long programs, and short ones call
them as they are, because loading the compiler takes longer than planning. Where a name says ``flat``,
the three coordinates of a place stand in a row: x of move 0, y of move 0, z of move 0, x of move 1.

Speeds are planned as their squares w [mm^2/s^2], which change evenly along a straight move:
dw/ds = 2 A with the acceleration A along the path. On an arc the sideways acceleration takes its
share: (A'/A)^2 + (w/W)^2 = 1, where W is the square of the speed at which nothing is left to speed
up with. So w = W sin(phi), and phi grows evenly along the path, by 2 A / W for each millimetre.
"""

import math
from typing import Any

__all__ = ["join_up", "lay_out", "plan"]

# One number for each move: an array for the compiled passes, a list for the plain ones.
Row = Any

ARC = 2
XY, XZ = 1, 2
STOP, TOLERANCE, CONSTANT = 0, 1, 2
CONTINUOUS, EXACT_STOP = 0, 2
# From one direction to the next, the sine of half the turn: below it two moves are one straight run.
STRAIGHT_ON = 1e-6
QUARTER, WHOLE = math.pi / 2, 2 * math.pi
# Gauss-Legendre nodes and weights on (-1, 1), eight points (Abramowitz and Stegun, table 25.4).
NODES = (0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363)
WEIGHTS = (0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763)


def lay_out(
    flat_start: Row,
    flat_end: Row,
    flat_centre: Row,
    kind: Row,
    plane: Row,
    turns: Row,
    length: Row,
    speed: Row,
    accel: Row,
    cap: Row,
    along: Row,
    bend: Row,
    turn: Row,
    side: Row,
) -> None:
    """Find what each move and each junction allows.

    Parameters
    ----------
    flat_start, flat_end, flat_centre, kind, plane, turns, length
        The moves, as everywhere; a dwell has no length.
    speed, accel
        Limits of the three axes [mm/s], [mm/s^2].
    cap, along, bend
        Filled for each move: the greatest w [mm^2/s^2] whatever is asked for, A [mm/s^2], and W (infinite
        where straight).
    turn, side
        Filled for the junction before each move: the sine of half the angle that the path turns by,
        and the acceleration across the path [mm/s^2] that no axis is too slow for, whichever way
        between the two directions the path points.

    Notes
    -----
    On an arc the plane's slower axis rules all around, for speeding up and sideways together: for
    any direction of the tangent the two accelerations are at right angles, so that no component
    is greater than their sum by Pythagoras.
    """
    ox = oy = oz = 0.0  # the direction in which the move before ended
    for i in range(len(kind)):
        x, y, z = (
            flat_end[3 * i] - flat_start[3 * i],
            flat_end[3 * i + 1] - flat_start[3 * i + 1],
            flat_end[3 * i + 2] - flat_start[3 * i + 2],
        )
        way = length[i]
        turn[i], side[i] = 1.0, 0.0
        if way <= 0.0:
            cap[i], along[i], bend[i] = 0.0, 1.0, math.inf
            ox = oy = oz = 0.0
            continue
        if kind[i] != ARC:
            bx = ex = mx = x / way
            by = ey = my = y / way
            bz = ez = mz = z / way
            bend[i] = math.inf
        else:
            # In the plane the arc turns from u to v; the third axis is the one across.
            if plane[i] == XY:
                su, sv, rise = flat_start[3 * i] - flat_centre[3 * i], flat_start[3 * i + 1] - flat_centre[3 * i + 1], z
                least, across = min(accel[0], accel[1]), accel[2]
            elif plane[i] == XZ:
                su, sv, rise = flat_start[3 * i + 2] - flat_centre[3 * i + 2], flat_start[3 * i] - flat_centre[3 * i], y
                least, across = min(accel[2], accel[0]), accel[1]
            else:
                su, sv, rise = (
                    flat_start[3 * i + 1] - flat_centre[3 * i + 1],
                    flat_start[3 * i + 2] - flat_centre[3 * i + 2],
                    x,
                )
                least, across = min(accel[1], accel[2]), accel[0]
            radius = math.sqrt(su * su + sv * sv)  # as hypot, but compiled to the last bit alike
            sweep = WHOLE * turns[i]
            flat = min(1.0, abs(sweep) * radius / way)
            climb = rise / way
            sense = flat if sweep > 0.0 else -flat
            begin = math.atan2(sv, su)
            finish = begin + sweep
            bu, bv = -sense * math.sin(begin), sense * math.cos(begin)
            eu, ev = -sense * math.sin(finish), sense * math.cos(finish)
            # The tangent lies wholly along an axis where the sweep passes a multiple of a quarter turn.
            low, high = min(begin, finish), max(begin, finish)
            mu, mv = max(abs(bu), abs(eu)), max(abs(bv), abs(ev))
            if math.floor((high - QUARTER) / math.pi) > math.floor((low - QUARTER) / math.pi):
                mu = flat
            if math.floor(high / math.pi) > math.floor(low / math.pi):
                mv = flat
            bend[i] = least * radius / (flat * flat)
            along[i] = least / flat
            if abs(climb) * along[i] > across:
                along[i] = across / abs(climb)
            if plane[i] == XY:
                bx, by, bz, ex, ey, ez, mx, my, mz = bu, bv, climb, eu, ev, climb, mu, mv, climb
            elif plane[i] == XZ:
                bz, bx, by, ez, ex, ey, mz, mx, my = bu, bv, climb, eu, ev, climb, mu, mv, climb
            else:
                by, bz, bx, ey, ez, ex, my, mz, mx = bu, bv, climb, eu, ev, climb, mu, mv, climb
        mx, my, mz = abs(mx), abs(my), abs(mz)
        fastest = strongest = math.inf
        if mx > 0.0:
            fastest, strongest = min(fastest, speed[0] / mx), accel[0] / mx
        if my > 0.0:
            fastest, strongest = min(fastest, speed[1] / my), min(strongest, accel[1] / my)
        if mz > 0.0:
            fastest, strongest = min(fastest, speed[2] / mz), min(strongest, accel[2] / mz)
        if kind[i] != ARC:
            along[i] = strongest
        cap[i] = min(fastest * fastest, bend[i])
        if ox != 0.0 or oy != 0.0 or oz != 0.0:
            dx, dy, dz = bx - ox, by - oy, bz - oz
            half = 0.5 * math.sqrt(dx * dx + dy * dy + dz * dz)
            turn[i] = half
            cosine = 1.0 - 2.0 * half * half
            sine = 2.0 * half * math.sqrt(max(0.0, 1.0 - half * half))
            if sine > 0.0:
                # Across the path where it leaves the old direction, and where it reaches the new one. In
                # between an axis is asked for most where the path has just stopped to move along it.
                least = math.inf
                for axis in range(3):
                    if axis == 0:
                        old, new = ox, bx
                    elif axis == 1:
                        old, new = oy, by
                    else:
                        old, new = oz, bz
                    first, last = (new - cosine * old) / sine, (cosine * new - old) / sine
                    share = max(abs(first), abs(last))
                    if old * new < 0.0:
                        share = max(share, math.sqrt(old * old + first * first))
                    if share > 0.0 and accel[axis] < share * least:
                        least = accel[axis] / share
                side[i] = least
            else:
                side[i] = min(accel[0], accel[1], accel[2])
        ox, oy, oz = ex, ey, ez


def join_up(
    rule: int,
    tolerance: float,
    smooth: float,
    halt: Row,
    path: Row,
    length: Row,
    cap: Row,
    bend: Row,
    turn: Row,
    side: Row,
    ahead: Row,
    join: Row,
) -> None:
    """Find the greatest w at each junction by the control's rule for corners.

    Parameters
    ----------
    rule, tolerance
        STOP: a stop at the end of every move. TOLERANCE: an arc tangent to both moves that passes the
        corner at ``tolerance`` [mm], and takes no more than half of either straight run. CONSTANT: the
        speed is kept whatever the corner.
    smooth
        Sine of half the turn below which exact path needs no stop.
    halt
        For each move: whether the bit stands still before it.
    path
        Codes of ``PathMode``.
    length, cap, bend, turn, side
        As ``lay_out`` takes and leaves them, ``cap`` no greater than what is asked for.
    ahead
        Filled for each move: how far the straight run goes on from its start [mm].
    join
        Filled, one more than the moves: the greatest w [mm^2/s^2] before each move, and 0 at the end.
    """
    n = len(length)
    for i in range(n - 1, -1, -1):
        ahead[i] = length[i]
        if i + 1 < n and turn[i + 1] < STRAIGHT_ON and bend[i] == math.inf and bend[i + 1] == math.inf:
            ahead[i] += ahead[i + 1]
    behind = 0.0  # the straight run up to the junction
    for i in range(n):
        straight_on = i > 0 and turn[i] < STRAIGHT_ON
        if i == 0 or halt[i] or path[i - 1] == EXACT_STOP or rule == STOP:
            join[i] = 0.0
        else:
            join[i] = min(cap[i - 1], cap[i])
            if not straight_on:
                half = turn[i]
                if path[i - 1] != CONTINUOUS or path[i] != CONTINUOUS:
                    if half > smooth:
                        join[i] = 0.0
                elif rule == TOLERANCE:
                    cosine = math.sqrt(max(0.0, 1.0 - half * half))
                    radius = tolerance * cosine * (1.0 + cosine) / (half * half)
                    radius = min(radius, 0.5 * min(behind, ahead[i]) * cosine / half)
                    join[i] = min(join[i], side[i] * radius)
        if straight_on and bend[i] == math.inf and bend[i - 1] == math.inf:
            behind += length[i]
        else:
            behind = length[i]
    join[n] = 0.0


def plan(
    length: Row,
    cap: Row,
    along: Row,
    bend: Row,
    join: Row,
    back: Row,
    entry: Row,
    cruise: Row,
    leave: Row,
    up: Row,
    down: Row,
    seconds: Row,
) -> None:
    """Look ahead from the end, then drive from the start: the fastest way within the limits.

    Parameters
    ----------
    length, cap, along, bend, join
        As the other passes take and leave them.
    back
        Filled, one more than the moves: the greatest w from which all that follows can be braked for.
    entry, cruise, leave
        Filled for each move: speed at its start, its greatest, and at its end [mm/s].
    up, down, seconds
        Filled for each move: time of speeding up, of braking, and of all of it [s].
    """
    n = len(length)
    back[n] = 0.0
    for i in range(n - 1, -1, -1):
        after = back[i + 1]
        if bend[i] == math.inf:
            reach = after + 2.0 * along[i] * length[i]
        else:
            angle = math.asin(min(1.0, after / bend[i])) + 2.0 * along[i] * length[i] / bend[i]
            reach = bend[i] if angle >= QUARTER else bend[i] * math.sin(angle)
        back[i] = min(join[i], reach)
    before = 0.0
    for i in range(n):
        after, most = back[i + 1], cap[i]
        up[i] = down[i] = seconds[i] = 0.0
        entry[i] = math.sqrt(before)
        if length[i] <= 0.0:
            cruise[i] = leave[i] = 0.0
            before = 0.0
            continue
        if bend[i] == math.inf:
            gain = 2.0 * along[i] * length[i]
            after = min(after, before + gain)
            peak = min(most, 0.5 * (before + after + gain))
            peak = max(peak, before, after)
            top, end = math.sqrt(peak), math.sqrt(after)
            up[i], down[i] = (top - entry[i]) / along[i], (top - end) / along[i]
            level = length[i] - (2.0 * peak - before - after) / (2.0 * along[i])
        else:
            rate = 2.0 * along[i] / bend[i]
            first = math.asin(min(1.0, before / bend[i]))
            angle = first + rate * length[i]
            after = min(after, bend[i] if angle >= QUARTER else bend[i] * math.sin(angle))
            last = math.asin(min(1.0, after / bend[i]))
            middle = math.asin(min(1.0, most / bend[i]))
            middle = max(min(middle, 0.5 * (first + last + rate * length[i])), first, last)
            peak = max(min(most, bend[i] * math.sin(middle)), before, after)
            top, end = math.sqrt(peak), math.sqrt(after)
            level = length[i] - (2.0 * middle - first - last) / rate
            # dt = dphi / (rate sqrt(W sin phi)); with phi = q^2 nothing is infinite where it starts from rest.
            scale = 1.0 / (rate * math.sqrt(bend[i]))
            for ramp in range(2):
                near, far = math.sqrt(first if ramp == 0 else last), math.sqrt(middle)
                if far > near:
                    total, mid, width = 0.0, 0.5 * (far + near), 0.5 * (far - near)
                    for k in range(4):
                        for sign in range(2):
                            q = mid + width * (NODES[k] if sign == 0 else -NODES[k])
                            total += WEIGHTS[k] * q / math.sqrt(math.sin(q * q))
                    if ramp == 0:
                        up[i] = 2.0 * width * total * scale
                    else:
                        down[i] = 2.0 * width * total * scale
        cruise[i], leave[i] = top, end
        seconds[i] = up[i] + down[i]
        if level > 0.0:
            seconds[i] += level / top
        before = after

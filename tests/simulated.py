"""A control driven in small steps: what the planner is compared with, and which shares nothing with it.

The path is cut into steps much shorter than a ramp of speed. At each point the square of the speed
has a cap, from feed, axes, sideways acceleration and corners. One sweep forwards lets it rise no
faster than the machine speeds up, one backwards no faster than it brakes; a step takes 2 ds / (v0 + v1).
Units: mm, s, mm/s, mm/s2.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
from numba import njit

from cutworthy.kernels import shapes
from cutworthy.model.program import Kind, PathMode, ProgramMoves

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

STEPS = 200  # the least number of steps of a move, and of each SPAN of a long one
SPAN = 2.0  # mm
ANGLES = 257  # places along an arc, or on the way round a corner, where directions are looked at
COLLINEAR = 1e-6  # rad: rounding of coordinates turns a straight run by less
EXACT = 0.01  # rad: G61 stops where the path turns by more


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """What a machine allows each axis, and how its control passes corners.

    ``tolerance_mm`` counts with ``corners="tolerance"`` only; ``block_rate``: most lines a second.
    """

    speeds: tuple[float, float, float]
    accels: tuple[float, float, float]
    corners: Literal["stop", "tolerance", "overlap", "constant"] = "tolerance"
    tolerance_mm: float = 0.05
    block_rate: float | None = None
    rapids: Literal["straight", "dog-leg"] = "straight"


@dataclass(frozen=True, slots=True)
class Trace:
    """Where the bit is at evenly spaced times: ``time`` (n,) [s], ``place`` (n, 3) [mm], ``speed`` (n,) [mm/s]."""

    time: Floats
    place: Floats
    speed: Floats


@dataclass(frozen=True, slots=True)
class _Limits:
    """What holds along each move, and the directions at its ends.

    ``top`` (n,) greatest v2; ``accel`` (n,) along the path; ``bend`` (n,) the v2 at which going
    round takes all acceleration; ``first`` and ``last`` (n, 3) unit directions, 0 for dwells.
    """

    top: Floats
    accel: Floats
    bend: Floats
    first: Floats
    last: Floats


@dataclass(frozen=True, slots=True)
class _Ride:
    """All points of the path with their speeds, and when each move is made.

    A track is a move, or one axis of a dog-leg rapid (``axis`` 0 to 2, else -1). Its points are
    ``begin[i]`` to before ``begin[i + 1]``; each has a ``speed``, and ``way`` [mm] and ``clock`` [s]
    since the track's start. ``starts`` (n,) of the moves, ``stretch`` (n,) of their clocks.
    """

    owner: Ints
    axis: Ints
    begin: Ints
    way: Floats
    speed: Floats
    clock: Floats
    starts: Floats
    stretch: Floats
    total: float


def drive(moves: ProgramMoves, control: Control, steps: int = STEPS) -> float:
    """Return the seconds from the start to the end of a program."""
    return _ride(_moving(moves), control, steps).total


def trace(moves: ProgramMoves, control: Control, every: float = 0.001, steps: int = STEPS) -> Trace:
    """Return where the bit is and how fast it goes, every so many seconds."""
    moves = _moving(moves)
    ride = _ride(moves, control, steps)
    time = np.arange(0, ride.total + every, every)
    place, gone = np.zeros((len(time), 3)), np.zeros((len(time) + 1, 3))
    for i, row in enumerate(ride.owner):
        points = slice(ride.begin[i], ride.begin[i + 1])
        way, speed, clock = ride.way[points], ride.speed[points], ride.clock[points]
        low, high = np.searchsorted(time, ride.starts[row] + ride.stretch[row] * clock[[0, -1]])
        now = (time[low:high] - ride.starts[row]) / ride.stretch[row]
        k = np.searchsorted(clock, now, side="right") - 1
        share = (way[k] + (now - clock[k]) * (speed[k] + np.interp(now, clock, speed)) / 2) / way[-1]
        move = moves.take(np.full(high - low, row))
        along = shapes.points(move.start_mm, move.end_mm, move.centre_mm, move.plane, move.turns, share)
        axes = slice(None) if ride.axis[i] < 0 else ride.axis[i]
        place[low:high, axes] += (along - move.start_mm)[:, axes]
        gone[high, axes] += (moves.end_mm - moves.start_mm)[row, axes]
    place += moves.start_mm[0] + gone[:-1].cumsum(axis=0)
    return Trace(time, place, np.linalg.norm(np.gradient(place, time, axis=0), axis=1))


def _moving(moves: ProgramMoves) -> ProgramMoves:
    """Return the moves that take time."""
    return moves.take((moves.length_mm > 0) | (moves.kind == Kind.DWELL))


def _ride(moves: ProgramMoves, control: Control, steps: int) -> _Ride:
    """Lay out the points of all tracks, find their speeds, and set the moves one after another."""
    count = len(moves)
    dog_leg = (moves.kind == Kind.RAPID) & (control.rapids == "dog-leg")
    limits = _limits(moves, control)
    joins, apart = _joins(moves, control, limits, dog_leg)

    delta = np.abs(moves.end_mm - moves.start_mm)
    whole = np.where(dog_leg, 0.0, moves.length_mm)
    parts = np.column_stack((whole, np.where(dog_leg[:, None], delta, 0.0)))
    owner, column = np.nonzero(parts)
    axis = column - 1
    length = parts[owner, column]
    top = np.where(axis < 0, limits.top[owner], np.square(control.speeds)[axis])
    accel = np.where(axis < 0, limits.accel[owner], np.array(control.accels)[axis])

    pieces = 2 * np.ceil(steps / 2 * np.maximum(1.0, length / SPAN)).astype(np.int64)
    begin = np.concatenate(([0], np.cumsum(pieces + 1)))
    first, last = begin[:-1], begin[1:] - 1
    track = np.repeat(np.arange(len(owner)), pieces + 1)
    way = (np.arange(begin[-1]) - first[track]) * (length / pieces)[track]
    gap = np.diff(way, prepend=0.0)
    gap[first] = 0.0
    cap = top[track]
    cap[first] = np.minimum(top, joins[owner])
    cap[last] = np.minimum(top, joins[owner + 1])

    bend = limits.bend[owner]
    square = _climb(cap, gap, track, accel, bend)
    square = _climb(square[::-1], np.roll(gap[::-1], 1), track[::-1], accel, bend)[::-1]
    speed = np.sqrt(square)
    pace = speed + np.concatenate((speed[:1], speed[:-1]))
    taking = np.divide(2 * gap, pace, out=np.zeros_like(gap), where=gap > 0)
    clock = np.cumsum(taking)
    clock -= clock[first][track]

    seconds = np.where(moves.kind == Kind.DWELL, moves.seconds, 0.0)
    np.maximum.at(seconds, owner, clock[last])
    overlap = control.corners == "overlap"
    spaced = seconds
    if overlap and count:
        # The share of a step in which v2 changes: all of it on a ramp, a part where the ramp ends within the step.
        change = np.diff(square, prepend=0.0)
        room = 2 * accel[track] * gap * np.sqrt(np.maximum(0.0, 1 - ((square - change / 2) / bend[track]) ** 2))
        ramp = taking * np.clip(np.divide(change, room, out=np.zeros_like(room), where=room > 0), -1.0, 1.0)
        up, down = (np.add.reduceat(np.maximum(side, 0.0), first) for side in (ramp, -ramp))
        spaced = seconds - _overlaps(up, down, owner, apart)
    lines = np.flatnonzero(np.diff(moves.line, prepend=-1))
    taken = np.add.reduceat(spaced, lines) if count else spaced
    longer = np.maximum(taken, 1 / control.block_rate) if control.block_rate else taken
    stretch = np.repeat(longer / np.where(taken > 0, taken, 1.0), np.diff(lines, append=count))
    starts = np.cumsum(np.concatenate(([0.0], (spaced * stretch)[:-1])))[:count]
    if overlap:
        stretch = np.ones(count)  # the next line waits, the move itself is as it was
    return _Ride(owner, axis, begin, way, speed, clock, starts, stretch, float(longer.sum()))


def _limits(moves: ProgramMoves, control: Control) -> _Limits:
    """Work out what the axes, the feed and the radius allow along each move."""
    speeds, accels = np.array(control.speeds), np.array(control.accels)
    length = np.where(moves.length_mm > 0, moves.length_mm, 1.0)[:, None]
    first = (moves.end_mm - moves.start_mm) / length
    last, most = first.copy(), np.abs(first)
    bend = np.full(len(moves), np.inf)
    with np.errstate(divide="ignore"):
        accel = (accels / most).min(axis=1)

    rows = np.flatnonzero(moves.kind == Kind.ARC)
    p, q, across = (axes[moves.plane[rows]] for axes in (shapes.FIRST, shapes.SECOND, shapes.ACROSS))
    arm = moves.start_mm[rows] - moves.centre_mm[rows]
    pick = np.arange(len(rows))
    radius = np.hypot(arm[pick, p], arm[pick, q])
    sweep = 2 * np.pi * moves.turns[rows]
    angle = np.arctan2(arm[pick, q], arm[pick, p])[:, None] + sweep[:, None] * np.linspace(0, 1, ANGLES)
    flat = sweep * radius / moves.length_mm[rows]
    ways = np.repeat(first[rows, None, :], ANGLES, axis=1)
    ways[pick, :, p] = -np.sin(angle) * flat[:, None]
    ways[pick, :, q] = np.cos(angle) * flat[:, None]
    first[rows], last[rows], most[rows] = ways[:, 0], ways[:, -1], np.abs(ways).max(axis=1)
    aside = np.minimum(accels[p], accels[q])
    with np.errstate(divide="ignore"):
        accel[rows] = np.minimum(aside / np.abs(flat), accels[across] / np.abs(ways[pick, 0, across]))
        bend[rows] = aside * radius / flat**2
        top = np.fmin(moves.feed_mm_min / 60, (speeds / most).min(axis=1)) ** 2
    return _Limits(np.minimum(top, bend), accel, bend, first, last)


def _joins(moves: ProgramMoves, control: Control, limits: _Limits, dog_leg: Flags) -> tuple[Floats, Flags]:
    """Return the greatest v2 before, between and after the moves, (n + 1,); and where none may overlap, (n - 1,)."""
    before, after = limits.last[:-1], limits.first[1:]
    turn = np.arctan2(np.linalg.norm(np.cross(before, after), axis=1), (before * after).sum(axis=1))
    alone = dog_leg | (moves.kind == Kind.DWELL)
    spindle = np.sign(np.where(np.isnan(moves.rpm), 1.0, moves.rpm))
    stop = alone[:-1] | alone[1:] | (np.diff(moves.tool) != 0) | (np.diff(spindle) != 0)
    stop |= moves.path[:-1] == PathMode.EXACT_STOP
    exact = (moves.path[:-1] != PathMode.CONTINUOUS) | (moves.path[1:] != PathMode.CONTINUOUS)
    if control.corners in ("stop", "overlap"):
        corner = np.zeros(len(turn))
    else:
        corner = np.full(len(turn), np.inf)
        if control.corners == "tolerance":
            corner = _rounded(turn, before, after, _runs(moves, turn, dog_leg), control)
        corner[exact] = np.where(turn > EXACT, 0.0, np.inf)[exact]
    corner[stop] = 0.0
    ends = np.zeros(1)
    joins = np.concatenate((ends, np.minimum(corner, np.minimum(limits.top[:-1], limits.top[1:])), ends))
    return joins, stop | exact


def _runs(moves: ProgramMoves, turn: Floats, dog_leg: Flags) -> Floats:
    """Return how long the straight run is that each move belongs to [mm]; an arc is its own."""
    straight = ((moves.kind == Kind.LINE) | (moves.kind == Kind.RAPID)) & ~dog_leg
    parted = ~(straight[:-1] & straight[1:] & (turn < COLLINEAR))
    run = np.cumsum(np.concatenate((np.zeros(1), parted))).astype(np.int64)
    length: Floats = np.bincount(run, weights=moves.length_mm)[run]
    return length


def _rounded(turn: Floats, before: Floats, after: Floats, run: Floats, control: Control) -> Floats:
    """Return the v2 at which arcs that miss their corners by the tolerance are driven, inf where nothing turns."""
    least = np.minimum(run[:-1], run[1:]) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = control.tolerance_mm * np.cos(turn / 2) / (2 * np.sin(turn / 4) ** 2)
        radius = np.minimum(radius, least / np.tan(turn / 2))
    inwards = after - np.cos(turn)[:, None] * before
    size = np.linalg.norm(inwards, axis=1)
    inwards /= np.where(size > 0, size, 1.0)[:, None]
    most = np.zeros_like(before)
    for share in np.linspace(0, 1, ANGLES):
        way = (turn * share)[:, None]
        np.maximum(most, np.abs(np.cos(way) * inwards - np.sin(way) * before), out=most)
    with np.errstate(divide="ignore"):
        square: Floats = np.where(turn > 0, (np.array(control.accels) / most).min(axis=1) * radius, np.inf)
    return square


@njit
def _climb(cap, gap, track, accel, bend):
    """Return the greatest v2 at each point under ``cap`` that rises no faster than the machine speeds up.

    ``gap``: the step before each point [mm]. By midpoints: in an arc the acceleration left shrinks as v2 grows.
    """
    square = np.empty_like(cap)
    now = 0.0
    for k in range(len(cap)):
        i = track[k]
        rise = 2 * accel[i] * gap[k]
        if bend[i] < np.inf and gap[k] > 0:
            middle = now + rise / 2 * np.sqrt(max(0.0, 1 - (now / bend[i]) ** 2))
            rise *= np.sqrt(max(0.0, 1 - (middle / bend[i]) ** 2))
        now = min(cap[k], now + rise)
        square[k] = now
    return square


def _overlaps(up: Floats, down: Floats, owner: Ints, apart: Flags) -> Floats:
    """Return how long before its end each move lets the next begin, (n,), from the ramp times of the tracks [s]."""
    speeding, braking = np.zeros(len(apart) + 1), np.zeros(len(apart) + 1)
    speeding[owner], braking[owner] = up, down
    return np.append(np.where(apart, 0.0, np.minimum(braking[:-1], speeding[1:])), 0.0)

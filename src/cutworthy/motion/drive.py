"""Drives a program on paper: the speed along the path under one supposition about machine and control."""

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import planning
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.program import Doubt, Kind, PathMode, ProgramMoves
from cutworthy.model.timeline import Corners, Timeline
from cutworthy.motion.habits import Habits
from cutworthy.reference.tables import limit
from cutworthy.units import S_PER_MIN

__all__ = ["Drive", "Route", "trapezoid_s"]

Flags = npt.NDArray[np.bool_]
# What the passes take: arrays for those that are compiled, lists for the plain ones.
Row = Any
T = TypeVar("T")

TINY_S = 1e-12
# From so many moves on it is quicker to load the compiler than to plan without it.
COMPILED_MOVES = 20_000
THREADS = 2
# Overlap is planned as stops, of which a part is then taken back.
RULES: dict[Corners, int] = {
    "stop": planning.STOP,
    "overlap": planning.STOP,
    "tolerance": planning.TOLERANCE,
    "constant": planning.CONSTANT,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drive:
    """A plan: its timeline, and for each move the most that the axes and the arc's radius allow [mm/s].

    ``by_arc``: whether sideways acceleration sets that; ``by_rate``: whether the move lasts only because
    the control needs so long for its line. ``along_mm_s2``: the acceleration along the path, on an arc
    where it is slow.
    """

    timeline: Timeline
    cap_mm_s: Floats
    by_arc: Flags
    by_rate: Flags
    along_mm_s2: Floats


def trapezoid_s(distance_mm: Floats, speed_mm_s: Floats, acceleration_mm_s2: Floats) -> Floats:
    """Return the least time from rest to rest [s], shape (n,).

    Source: uniformly accelerated motion; a triangle of speed where the full speed is not reached.

    Parameters
    ----------
    distance_mm
        Way to go [mm], shape (n,), not negative.
    speed_mm_s
        Greatest speed [mm/s], shape (n,), positive.
    acceleration_mm_s2
        Greatest acceleration and braking [mm/s^2], shape (n,), positive.

    Examples
    --------
    >>> import numpy as np
    >>> trapezoid_s(np.array([100.0, 5.0]), np.array([50.0, 50.0]), np.array([500.0, 500.0]))
    array([2.1, 0.2])
    """
    ramp = speed_mm_s**2 / acceleration_mm_s2
    full = distance_mm / speed_mm_s + speed_mm_s / acceleration_mm_s2
    return np.where(distance_mm >= ramp, full, 2 * np.sqrt(distance_mm / acceleration_mm_s2))


class _Room:
    """Columns that the passes fill, one number for each move or junction, under one supposition after the other.

    ``speeds``: whether the speeds are wanted; else they are written one over the other, and memory is saved.
    """

    def __init__(self, size: int, *, plain: bool, speeds: bool) -> None:
        self._size, self._plain = size, plain
        self.laid_out: object = None
        self.limits: tuple[Row, ...] = ()
        self.cap, self.join, self.back = self.empty(), self.empty(1), self.empty(1)
        self.ahead = self.entry = self.cruise = self.leave = self.empty()
        if speeds:
            self.entry, self.cruise, self.leave = self.empty(), self.empty(), self.empty()
        self.up, self.down, self.seconds = self.empty(), self.empty(), self.empty()

    def empty(self, more: int = 0) -> Row:
        """Return a column of numbers to be filled."""
        return [0.0] * (self._size + more) if self._plain else np.empty(self._size + more)


class Route:
    """The moves of a program, made ready to be driven under one supposition after the other, or under very many.

    Every axis keeps to its speed and its acceleration, also along arcs, and look-ahead has no end. The
    bit stands still where it dwells or is changed, where the spindle starts or stops, and beside a place
    in doubt.
    """

    def __init__(self, moves: ProgramMoves, *, often: bool = False) -> None:
        self._moves = moves
        self._is_short = len(moves) < COMPILED_MOVES and not often
        if self._is_short:
            self._passes: Any = planning
        else:
            from cutworthy.kernels import planned  # noqa: PLC0415 - brings the compiler

            planned.ready()
            self._passes = planned
        self._rapid = moves.kind == Kind.RAPID
        self._dwell = moves.kind == Kind.DWELL
        self._lost = self._rapid & (moves.start_doubt != Doubt.NONE).any(axis=1)
        turning = _turning(moves)
        self._starts = np.flatnonzero((turning != 0) & (turning != np.concatenate([[0.0], turning])[: len(turning)]))
        self._halt = _halts(moves, turning)
        self._shape = [
            self._given(column.reshape(-1))
            for column in (moves.start_mm, moves.end_mm, moves.centre_mm, moves.kind, moves.plane, moves.turns)
        ]
        self._length = self._given(np.where(self._dwell, 0.0, moves.length_mm))
        self._path = self._given(moves.path)
        self._asked = np.where(np.isnan(moves.feed_mm_min), np.inf, moves.feed_mm_min / S_PER_MIN) ** 2
        self._first = np.flatnonzero(np.diff(moves.line, prepend=-1))  # of the moves of each line
        self._count = np.diff(np.append(self._first, len(moves)))
        self._own = self._room(speeds=True)
        self._driven: tuple[object, tuple[Row, ...]] | None = None

    def drive(self, habits: Habits) -> Drive:
        """Return how the machine drives the moves.

        A rapid from an unknown place takes a share of the travel. A dog-leg rapid lasts until its last
        axis is there, each going from rest to rest.

        Parameters
        ----------
        habits
            What is supposed of the machine and its control.
        """
        moves, room = self._moves, self._own
        taken = self._planned_s(habits, room)
        floored = self._at_rate(taken, habits.block_rate_hz)
        waiting = (floored > taken) & (moves.length_mm > 0)  # for lines: on the whole no faster than these come
        mean = moves.length_mm / np.maximum(floored, TINY_S)
        speeds = (room.entry, room.cruise, room.leave)
        at_entry, at_best, at_exit = (np.where(waiting, mean, np.asarray(each)) for each in speeds)
        self._driven = (room.laid_out, room.limits)  # most others share these
        free, along, bend, _, _ = (np.asarray(each) for each in room.limits)
        waits = np.zeros(len(moves))
        waits[self._starts] = habits.spin_up_s
        return Drive(
            timeline=Timeline(
                line=moves.line,
                entry_mm_s=at_entry,
                cruise_mm_s=at_best,
                exit_mm_s=at_exit,
                seconds=floored,
                wait_s=waits,
            ),
            cap_mm_s=np.sqrt(free),
            by_arc=free >= bend,
            by_rate=floored > taken,
            along_mm_s2=along,
        )

    def over(self, suppositions: Iterable[Habits], use: Callable[[Habits, Floats, float], T]) -> Iterator[T]:
        """Yield for each supposition what is made of the time of each move [s] and of the time of all with waits [s].

        Two suppositions of a long program are worked out at a time. What ``use`` is given is not to be kept.
        """
        rooms: SimpleQueue[_Room] = SimpleQueue()
        rooms.put(self._own)
        for _ in range(1, THREADS):
            rooms.put(self._room(speeds=False))

        def one(habits: Habits) -> T:
            room = rooms.get()
            seconds = self._at_rate(self._planned_s(habits, room), habits.block_rate_hz)
            total = float(seconds.sum()) + len(self._starts) * habits.spin_up_s
            made = use(habits, seconds, total)
            rooms.put(room)
            return made

        if self._is_short:
            yield from map(one, suppositions)
        else:
            with ThreadPoolExecutor(THREADS) as pool:
                yield from pool.map(one, suppositions)

    def _planned_s(self, habits: Habits, room: _Room) -> Floats:
        """Return how long each move takes [s], were it not for the lines a second; fills the room with the rest."""
        free, along, bend, turn, side = self._limits(habits, room)
        self._ask(free, habits, room)
        alone = self._rapid if habits.rapids == "dog-leg" else self._lost
        halt = self._halt | alone | _after(alone)
        self._passes.join_up(
            RULES[habits.corners], habits.tolerance_mm, float(np.sin(limit("smooth_join").value / 2)),
            self._given(halt), self._path, self._length, room.cap, bend, turn, side, room.ahead, room.join,
        )  # fmt: skip
        self._passes.plan(
            self._length, room.cap, along, bend, room.join, room.back, room.entry, room.cruise, room.leave, room.up,
            room.down, room.seconds,
        )  # fmt: skip
        taken = np.where(self._dwell, self._moves.seconds, np.asarray(room.seconds))
        if habits.corners == "overlap":
            taken -= _overlap_s(self._moves, halt, np.asarray(room.up), np.asarray(room.down))
        rows = np.flatnonzero(alone)
        taken[rows] = self._alone_s(rows, habits)
        return taken

    def _limits(self, habits: Habits, room: _Room) -> tuple[Row, ...]:
        """Return what moves and junctions allow; kept, because several rules share it."""
        key = (habits.speed_mm_s, habits.accel_mm_s2)
        if room.laid_out != key and self._driven is not None and self._driven[0] == key:
            room.laid_out, room.limits = self._driven
        if room.laid_out != key:
            limits = [self._given(np.array(each)) for each in key]
            room.limits = tuple(room.empty() for _ in range(5))  # a drive keeps those that it was given
            self._passes.lay_out(*self._shape, self._length, *limits, *room.limits)
            room.laid_out = key
        return room.limits

    def _ask(self, free: Row, habits: Habits, room: _Room) -> None:
        """Fill in the squares of the speeds that the program asks for, or of what is allowed where that is less."""
        asked = self._asked * habits.feed_ratio**2
        if self._is_short:
            room.cap = [min(each) for each in zip(asked.tolist(), free, strict=True)]
        else:
            np.minimum(asked, free, out=room.cap)

    def _at_rate(self, seconds: Floats, block_rate_hz: float) -> Floats:
        """Return the times with every line at least as long as the control needs for one, its moves stretched alike."""
        least = 1 / block_rate_hz
        if len(self._first) == len(seconds):
            return np.where((seconds < least) & (seconds > 0), least, seconds)
        whole = np.add.reduceat(seconds, self._first)
        short = (whole < least) & (whole > 0)
        if not short.any():
            return seconds
        factor = np.ones(len(whole))
        factor[short] = least / whole[short]
        return seconds * np.repeat(factor, self._count)

    def _alone_s(self, rows: Ints, habits: Habits) -> Floats:
        """Return how long rapids take whose axes each go their own way, or which begin who knows where [s]."""
        moves, lost = self._moves, self._lost[rows, None]
        way = np.abs(moves.end_mm[rows] - moves.start_mm[rows])
        there = moves.start_doubt[rows] == moves.end_doubt[rows]
        far = np.where(there, way * (habits.unknown_way > 0), habits.unknown_way * np.array(habits.travel_mm))
        speed, accel = np.array(habits.speed_mm_s), np.array(habits.accel_mm_s2)
        needed: Floats = trapezoid_s(np.where(lost, far, way), speed, accel).max(axis=1, initial=0.0)
        return needed

    def _given(self, column: npt.NDArray[Any]) -> Row:
        """Return a column as the passes take it; arrays read-only, as the compiled ones were compiled."""
        if self._is_short:
            return column.tolist()
        column = np.ascontiguousarray(column)
        column.flags.writeable = False
        return column

    def _room(self, *, speeds: bool) -> _Room:
        return _Room(len(self._moves), plain=self._is_short, speeds=speeds)


def _halts(moves: ProgramMoves, turning: Floats) -> Flags:
    """Return whether the bit stands still before each move, (n,), given which way the spindle turns."""
    halt = np.zeros(len(moves), dtype=bool)
    halt[:1] = True
    apart = moves.kind == Kind.DWELL
    halt |= apart | _after(apart)
    halt[1:] |= (moves.tool[1:] != moves.tool[:-1]) | (turning[1:] != turning[:-1])
    return halt


def _after(rows: Flags) -> Flags:
    """Return the rows that follow the given ones."""
    return np.concatenate([np.zeros(min(1, len(rows)), dtype=bool), rows[:-1]])


def _turning(moves: ProgramMoves) -> Floats:
    """Return 1, 0 or -1 for the spindle's way; turning where the program does not give the speed."""
    return np.sign(np.where(np.isnan(moves.rpm), 1.0, moves.rpm))


def _overlap_s(moves: ProgramMoves, halt: Flags, up: Floats, down: Floats) -> Floats:
    """Return how long before the end of each move the next one begins [s], (n,)."""
    early = np.zeros(len(moves))
    early[:-1] = np.minimum(down[:-1], up[1:])
    exact = moves.path != PathMode.CONTINUOUS
    early[:-1][halt[1:] | exact[:-1] | exact[1:]] = 0.0
    return early

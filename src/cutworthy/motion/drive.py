"""Drives a program on paper: the speed along the path under one supposition about machine and control."""

from dataclasses import dataclass
from typing import Any

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

TINY_S = 1e-12
# From so many moves on it is quicker to load the compiler than to plan without it.
COMPILED_MOVES = 20_000
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
        self._halt = _halts(moves)
        self._shape = [
            self._given(column.reshape(-1))
            for column in (moves.start_mm, moves.end_mm, moves.centre_mm, moves.kind, moves.plane, moves.turns)
        ]
        self._length = self._given(np.where(self._dwell, 0.0, moves.length_mm))
        self._path = self._given(moves.path)
        self._asked = np.where(np.isnan(moves.feed_mm_min), np.inf, moves.feed_mm_min / S_PER_MIN)
        self._laid_out: tuple[object, tuple[Row, ...]] | None = None

    def drive(self, habits: Habits) -> Drive:
        """Return how the machine drives the moves.

        A rapid from an unknown place takes a share of the travel. A dog-leg rapid lasts until its last
        axis is there, each going from rest to rest.

        Parameters
        ----------
        habits
            What is supposed of the machine and its control.
        """
        moves, n = self._moves, len(self._moves)
        free, along, bend, turn, side = self._limits(habits)
        cap = self._asked_for(free, habits)
        alone = self._rapid if habits.rapids == "dog-leg" else self._lost
        halt = self._halt | alone | _after(alone)
        join = self._empty(n + 1)
        self._passes.join_up(
            RULES[habits.corners], habits.tolerance_mm, float(np.sin(limit("smooth_join").value / 2)),
            self._given(halt), self._path, self._length, cap, bend, turn, side, self._empty(n), join,
        )  # fmt: skip
        back, entry, cruise, leave, up, down, seconds = (self._empty(n + (each == 0)) for each in range(7))
        self._passes.plan(self._length, cap, along, bend, join, back, entry, cruise, leave, up, down, seconds)
        taken = np.where(self._dwell, moves.seconds, np.asarray(seconds))
        if habits.corners == "overlap":
            taken -= _overlap_s(moves, halt, np.asarray(up), np.asarray(down))
        rows = np.flatnonzero(alone)
        taken[rows] = self._alone_s(rows, habits)
        floored = _at_rate(moves, taken, habits.block_rate_hz)
        waiting = (floored > taken) & (moves.length_mm > 0)  # for lines: on the whole no faster than these come
        mean = moves.length_mm / np.maximum(floored, TINY_S)
        at_entry, at_best, at_exit = (np.where(waiting, mean, np.asarray(each)) for each in (entry, cruise, leave))
        return Drive(
            timeline=Timeline(
                line=moves.line,
                entry_mm_s=at_entry,
                cruise_mm_s=at_best,
                exit_mm_s=at_exit,
                seconds=floored,
                wait_s=_waits(moves, habits.spin_up_s),
            ),
            cap_mm_s=np.sqrt(np.asarray(free)),
            by_arc=np.asarray(free) >= np.asarray(bend),
            by_rate=floored > taken,
            along_mm_s2=np.asarray(along),
        )

    def _limits(self, habits: Habits) -> tuple[Row, ...]:
        """Return what moves and junctions allow; kept, because several rules share it."""
        key = (habits.speed_mm_s, habits.accel_mm_s2)
        if self._laid_out is None or self._laid_out[0] != key:
            limits = [self._given(np.array(each)) for each in key]
            found = tuple(self._empty(len(self._moves)) for _ in range(5))
            self._passes.lay_out(*self._shape, self._length, *limits, *found)
            self._laid_out = (key, found)
        return self._laid_out[1]

    def _asked_for(self, free: Row, habits: Habits) -> Row:
        """Return the squares of the speeds that the program asks for, or of what is allowed where that is less."""
        asked = (self._asked * habits.feed_ratio) ** 2
        if self._is_short:
            return [min(each) for each in zip(asked.tolist(), free, strict=True)]
        return np.minimum(asked, free)

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

    def _empty(self, size: int) -> Row:
        return [0.0] * size if self._is_short else np.empty(size)


def _halts(moves: ProgramMoves) -> Flags:
    """Return whether the bit stands still before each move, (n,)."""
    halt = np.zeros(len(moves), dtype=bool)
    halt[:1] = True
    turning = _turning(moves)
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


def _waits(moves: ProgramMoves, spin_up_s: float) -> Floats:
    """Return what the control waits before each move for the spindle, which begins at rest [s], (n,)."""
    turning = _turning(moves)
    starts = (turning != 0) & (turning != np.concatenate([[0.0], turning])[: len(turning)])
    return np.where(starts, spin_up_s, 0.0)


def _overlap_s(moves: ProgramMoves, halt: Flags, up: Floats, down: Floats) -> Floats:
    """Return how long before the end of each move the next one begins [s], (n,)."""
    early = np.zeros(len(moves))
    early[:-1] = np.minimum(down[:-1], up[1:])
    exact = moves.path != PathMode.CONTINUOUS
    early[:-1][halt[1:] | exact[:-1] | exact[1:]] = 0.0
    return early


def _at_rate(moves: ProgramMoves, seconds: Floats, block_rate_hz: float) -> Floats:
    """Return the times with every line at least as long as the control needs for one, its moves stretched alike."""
    first = np.flatnonzero(np.diff(moves.line, prepend=-1))
    if not len(first):
        return seconds
    whole = np.add.reduceat(seconds, first)
    short = (whole < 1 / block_rate_hz) & (whole > 0)
    if not short.any():
        return seconds
    factor = np.ones(len(first))
    factor[short] = 1 / (block_rate_hz * whole[short])
    return seconds * np.repeat(factor, np.diff(np.append(first, len(seconds))))

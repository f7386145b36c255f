"""How long a program takes, between which bounds, and what that rests on."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.program import Kind, Program, ProgramMoves
from cutworthy.model.timeline import KnobStep, Timing, TooFast
from cutworthy.motion.drive import Drive, Route
from cutworthy.motion.growl import growls, near_growl
from cutworthy.motion.habits import Habits, expected_habits, fastest_habits, open_keys, slowest_habits
from cutworthy.motion.slow import lost_by_cause, stretches
from cutworthy.units import S_PER_MIN
from cutworthy.working import Input, record

__all__ = ["timing"]

# A feed this much above the cap, as a ratio, is rounding of the program and no finding.
ROUNDING = 1 + 1e-9
KNOB_PERCENT = (50, 75, 100, 125, 150, 200)
STRONGER = 2.0
HALF_WAY = 0.5
SHOWN = 10  # stretches
TINY = 1e-12


def timing(
    program: Program,
    machine: Machine,
    *,
    growl_mm_s: Mapping[AxisName, Iterable[float]] | None = None,
    progress: Callable[[float], None] = lambda _share: None,
) -> Timing:
    """Return how long a program takes on a machine, and why.

    Where the card does not know how the control takes corners, or goes fast, the bounds hold for every
    rule and every way; numbers with a band count at their better end for the lower bound and at their
    worse end for the upper one. What is expected then rests on a rounding of 0.05 mm and straight rapids.

    Parameters
    ----------
    program
        The program under one reading.
    machine
        For its axes, its spindle and its control.
    growl_mm_s
        Speeds at which an axis growls [mm/s], where they are known.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.
    """
    moves, expected = program.moves, expected_habits(machine)
    route = Route(moves)
    plan = route.drive(expected)
    ends = [*fastest_habits(machine), *slowest_habits(machine)]
    stronger, sharper = _stronger(expected), replace(expected, corners="constant")
    turned = [replace(expected, feed_ratio=percent / 100) for percent in KNOB_PERCENT]
    others = list(dict.fromkeys(each for each in (*ends, stronger, sharper, *turned) if each != expected))
    follows = _Turned(moves, plan, growl_mm_s or {})
    known = {expected: follows.step(expected, plan.timeline.seconds, plan.timeline.total_s)}
    for number, step in enumerate(route.over(others, follows.step)):
        known[others[number]] = step
        progress((number + 1) / len(others))
    totals = [plan.timeline.total_s, *(known[each].seconds for each in ends)]
    found = Timing(
        low_s=min(totals),
        high_s=max(totals),
        timeline=plan.timeline,
        corners=expected.corners,
        corners_known=machine.control.corners != "unknown",
        tolerance_mm=expected.tolerance_mm,
        open_keys=open_keys(machine),
        too_fast=_too_fast(moves, plan, machine),
        slow=tuple(stretches(moves, plan, SHOWN)),
        lost_s=lost_by_cause(moves, plan),
        stronger_s=known[stronger].seconds,
        sharper_s=known[sharper].seconds,
        knob=tuple(known[each] for each in turned),
        growls=growls(moves, plan, growl_mm_s or {}),
    )
    _show(found, moves)
    return found


class _Turned:
    """Tells what the feed override does to the time, to how much of the cutting, and to the growling."""

    def __init__(self, moves: ProgramMoves, plan: Drive, growl_mm_s: Mapping[AxisName, Iterable[float]]) -> None:
        self._rows = np.flatnonzero(moves.feeds & (plan.timeline.seconds > 0))
        self._length, self._plain = moves.length_mm[self._rows], plan.timeline.seconds[self._rows]
        self._growl_mm_s = growl_mm_s
        way = np.abs(moves.end_mm[self._rows] - moves.start_mm[self._rows])
        straight = moves.kind[self._rows] == Kind.LINE
        self._shares = np.where(straight[:, None], way / np.maximum(self._length, TINY)[:, None], 0.0)

    def step(self, habits: Habits, seconds: Floats, total_s: float) -> KnobStep:
        """Return the time of all, and the share of the cutting whose time follows the knob at least half way."""
        ratio, share = habits.feed_ratio, 0.0
        if ratio != 1.0 and len(self._rows):
            follows = (self._plain / seconds[self._rows] - 1) / (ratio - 1) >= HALF_WAY
            share = float(self._length[follows].sum() / self._length.sum())
        growl_s = self._growl_s(seconds[self._rows])
        return KnobStep(percent=round(100 * ratio), seconds=total_s, follows_ratio=share, growl_s=growl_s)

    def _growl_s(self, seconds: Floats) -> float:
        speed = self._length / np.maximum(seconds, TINY)
        near = np.zeros(len(seconds), dtype=bool)
        for axis, speeds in self._growl_mm_s.items():
            near |= near_growl(self._shares[:, AXES.index(axis)], speed, speeds)
        return float(seconds[near].sum())


def _too_fast(moves: ProgramMoves, plan: Drive, machine: Machine) -> TooFast:
    """Return the feed moves that the axes cannot follow, and record the worst of them."""
    cap = plan.cap_mm_s * S_PER_MIN
    with np.errstate(invalid="ignore"):  # rapids ask for no feed
        rows = np.flatnonzero(moves.feeds & ~plan.by_arc & (moves.feed_mm_min > cap * ROUNDING) & (cap > 0))
    if len(rows):
        worst = int(rows[np.argmax(moves.feed_mm_min[rows] / cap[rows])])
        _show_cap(moves, worst, machine, float(cap[worst]))
    return TooFast(row=rows, feed_mm_min=moves.feed_mm_min[rows], cap_mm_min=cap[rows])


def _stronger(habits: Habits) -> Habits:
    x, y, z = habits.accel_mm_s2
    return replace(habits, accel_mm_s2=(STRONGER * x, STRONGER * y, STRONGER * z))


def _show(found: Timing, moves: ProgramMoves) -> None:
    inputs = {
        "moves": Input(value=len(moves), unit="", origin="program"),
        "length": Input(value=float(moves.length_mm.sum()), unit="mm", origin="program"),
    }
    rule = found.corners if found.corners_known else f"{found.corners} assumed, not on the card"
    for name, formula, seconds in (
        ("short end of the time", "the quickest of the habits that the card leaves open", found.low_s),
        ("time expected", f"sum over the moves, corners by the rule {rule}", found.expected_s),
        ("long end of the time", "the slowest of the habits that the card leaves open", found.high_s),
    ):
        record(name, formula, inputs, seconds, unit="s", source="kinematics; docs/methods.md")


def _show_cap(moves: ProgramMoves, row: int, machine: Machine, cap_mm_min: float) -> None:
    """Record the working of the move whose feed is farthest above what the axes can do."""
    shares = _greatest_shares(moves, row)
    inputs = {
        f"share of {axis}": Input(value=share, unit="", origin="program")
        for axis, share in zip(AXES, shares, strict=True)
    }
    for axis in AXES:
        speed = machine.axes[axis].speed_mm_s
        inputs[f"speed of {axis}"] = Input(value=speed.value * S_PER_MIN, unit="mm/min", origin=speed.origin)
    record(
        f"fastest feed that the axes can follow on line {moves.line[row]}",
        "least over the axes of speed / share of the direction",
        inputs,
        cap_mm_min,
        unit="mm/min",
        source="kinematics",
    )


def _greatest_shares(moves: ProgramMoves, row: int) -> tuple[float, ...]:
    """Return the greatest share of each axis in the direction of a move, anywhere along it.

    The tangent of an arc is its spoke turned by a quarter: over the arc it sweeps an arc of its own,
    whose box is known exactly.
    """
    way, length = moves.end_mm[row] - moves.start_mm[row], float(moves.length_mm[row])
    shares = np.abs(way) / length
    if moves.kind[row] == Kind.ARC:
        plane, turns = int(moves.plane[row]), float(moves.turns[row])
        first, second = int(shapes.FIRST[plane]), int(shapes.SECOND[plane])
        spoke = moves.start_mm[row] - moves.centre_mm[row]
        flat = 2 * np.pi * abs(turns) * float(np.hypot(spoke[first], spoke[second])) / length
        angle = np.arctan2(spoke[first], -spoke[second])
        ends = np.zeros((2, 1, 3))
        for end, turned in zip(ends, (angle, angle + 2 * np.pi * turns), strict=True):
            end[0, first], end[0, second] = np.cos(turned), np.sin(turned)
        one = slice(row, row + 1)
        low, high = shapes.boxes(ends[0], ends[1], np.zeros((1, 3)), moves.plane[one], moves.turns[one])
        swept = np.maximum(np.abs(low[0]), np.abs(high[0])) * flat
        shares[[first, second]] = swept[[first, second]]
    return tuple(shares.tolist())

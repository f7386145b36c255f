"""How long a program takes, between which bounds, and what that rests on."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np

from cutworthy.kernels import shapes
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.program import Kind, Program, ProgramMoves
from cutworthy.model.timeline import KnobStep, Stretch, Timing, TooFast
from cutworthy.motion.drive import Drive, Route
from cutworthy.motion.growl import growls
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
    moves = program.moves
    tell = _Steps(progress, 6 + len(KNOB_PERCENT))
    route = Route(moves)
    kept: dict[Habits, Drive] = {}

    def drive(habits: Habits) -> Drive:
        if habits not in kept:
            kept[habits] = route.drive(habits)
        tell.one()
        return kept[habits]

    expected = expected_habits(machine)
    plan = drive(expected)
    totals = [drive(each).timeline.total_s for each in (*fastest_habits(machine), *slowest_habits(machine))]
    totals.append(plan.timeline.total_s)
    found = Timing(
        low_s=min(totals),
        high_s=max(totals),
        timeline=plan.timeline,
        corners=expected.corners,
        corners_known=machine.control.corners != "unknown",
        tolerance_mm=expected.tolerance_mm,
        open_keys=open_keys(machine),
        too_fast=_too_fast(moves, plan, machine),
        slow=_worth_telling(stretches(moves, plan)),
        lost_s=lost_by_cause(moves, plan),
        stronger_s=drive(_stronger(expected)).timeline.total_s,
        sharper_s=drive(replace(expected, corners="constant")).timeline.total_s,
        knob=_knob(moves, plan, expected, drive),
        growls=growls(moves, plan, growl_mm_s or {}),
    )
    _show(found, moves)
    return found


class _Steps:
    """Tells how many of some steps are done."""

    def __init__(self, progress: Callable[[float], None], steps: int) -> None:
        self._progress, self._steps, self._done = progress, steps, 0

    def one(self) -> None:
        """Tell that one more is done."""
        self._done = min(self._done + 1, self._steps)
        self._progress(self._done / self._steps)


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


def _worth_telling(slow: list[Stretch]) -> tuple[Stretch, ...]:
    """Return the worst stretches, and the worst of each cause."""
    worst = {stretch.cause: stretch for stretch in reversed(slow)}
    return tuple(stretch for number, stretch in enumerate(slow) if number < SHOWN or stretch is worst[stretch.cause])


def _knob(moves: ProgramMoves, plan: Drive, expected: Habits, drive: Callable[[Habits], Drive]) -> tuple[KnobStep, ...]:
    """Return what the feed override does to the time, and to how much of the cutting."""
    feeds = moves.feeds & (plan.timeline.seconds > 0)
    length, plain = moves.length_mm[feeds], plan.timeline.seconds[feeds]
    steps = []
    for percent in KNOB_PERCENT:
        timeline = drive(replace(expected, feed_ratio=percent / 100)).timeline
        follows = np.zeros(len(length), dtype=bool)
        if percent != 100 and len(length):  # noqa: PLR2004 - the knob where it does nothing
            follows = (plain / timeline.seconds[feeds] - 1) / (percent / 100 - 1) >= HALF_WAY
        share = float(length[follows].sum() / length.sum()) if len(length) else 0.0
        steps.append(KnobStep(percent=percent, seconds=timeline.total_s, follows_ratio=share))
    return tuple(steps)


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

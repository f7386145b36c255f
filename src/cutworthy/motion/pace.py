"""How fast the axes let the tool go along its path, and the time bracket that follows."""

from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.machine import AXES, Machine
from cutworthy.model.pace import Pace, TooFast
from cutworthy.model.program import Doubt, Kind, Program, ProgramMoves
from cutworthy.working import Input, record

__all__ = ["pace", "path_cap", "trapezoid_s"]

SECONDS = 60.0  # in a minute
# A feed this much above the cap, as a ratio, is rounding of the program and no finding.
ROUNDING = 1 + 1e-9


def path_cap(components: Floats, limits: Floats) -> Floats:
    """Return the greatest speed or acceleration along a path that no axis is too slow for.

    Source: the limit of axis i over the share of the path's direction that falls on it, least over
    the axes; kinematics, no source needed.

    Parameters
    ----------
    components
        Greatest absolute component of the path's unit tangent on each axis, shape (n, 3).
    limits
        Limit of each axis [mm/s] or [mm/s^2], shape (3,).

    Returns
    -------
    Floats
        In the unit of ``limits``, shape (n,); infinite where the path has no direction.
    """
    with np.errstate(divide="ignore"):
        caps: Floats = (limits / components).min(axis=1)
    return caps


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


def pace(program: Program, machine: Machine) -> Pace:
    """Return the time bracket of a program and the feed moves that the axes cannot follow.

    Numbers of the card that have a band count at its better end for the low, its worse for the high
    end of the bracket. Low: every move at its feed, or at what the axes can do in its direction, nothing lost at
    corners. High: a stop at the end of every move, each axis within its acceleration, arcs within
    the sideways acceleration too. A rapid from an unknown place takes from nothing up to the whole
    travel. Where the card knows the control's line rate, no line is faster than it.
    """
    moves = program.moves
    accelerations = _limits(machine, "acceleration_mm_s2", "low")
    components = _tangents(moves)
    cap = path_cap(components, _limits(machine, "speed_mm_s"))
    asked = np.where(np.isnan(moves.feed_mm_min), np.inf, moves.feed_mm_min / SECONDS)
    moving = moves.kind != Kind.DWELL
    best = _limits(machine, "speed_mm_s", "high")
    # Along an arc the cap changes with the tangent; nowhere is it above all axes' speeds together.
    fastest = np.minimum(asked, np.where(moves.kind == Kind.ARC, np.linalg.norm(best), path_cap(components, best)))
    slowest = np.minimum(asked, path_cap(components, _limits(machine, "speed_mm_s", "low")))
    low = np.where(moving, moves.length_mm / fastest, moves.seconds)
    high = low.copy()
    long = moving & (moves.length_mm > 0)  # from a place in doubt a move may look like none
    high[long] = _stopping_s(moves, long, slowest, path_cap(components, accelerations), accelerations)
    _open_rapids(moves, machine, low, high)
    too_fast = (moves.kind != Kind.RAPID) & moving & (asked > cap * ROUNDING) & np.isfinite(asked)
    if too_fast.any():
        rows = np.flatnonzero(too_fast)
        worst = int(rows[np.argmax(asked[rows] / cap[rows])])
        _show_worst(moves, worst, components, machine, cap)
    low_s, high_s = _total(low, moves, machine), _total(high, moves, machine)
    _show_time("short end of the time", "sum over the moves of length / speed, and of the dwells", moves, low_s)
    _show_time("long end of the time", "sum over the moves from rest to rest, and of the dwells", moves, high_s)
    return Pace(
        low_s=low_s,
        high_s=high_s,
        too_fast=tuple(
            TooFast(row=int(row), feed_mm_min=float(moves.feed_mm_min[row]), cap_mm_min=float(cap[row] * SECONDS))
            for row in np.flatnonzero(too_fast)
        ),
    )


def _limits(machine: Machine, name: str, corner: Literal["low", "value", "high"] = "value") -> Floats:
    """Return a number of each axis, as it is entered or at a corner of its band, shape (3,)."""
    return np.array([getattr(getattr(machine.axes[axis], name), corner) for axis in AXES])


def _tangents(moves: ProgramMoves) -> Floats:
    """Return the greatest absolute component of each path's unit tangent on each axis, (n, 3)."""
    length = np.where(moves.length_mm > 0, moves.length_mm, np.inf)
    components = np.abs(moves.end_mm - moves.start_mm) / length[:, None]
    rows = np.flatnonzero(moves.kind == Kind.ARC)
    if not len(rows):
        return components
    plane, turns = moves.plane[rows], moves.turns[rows]
    pick = np.arange(len(rows))
    first, second, across = shapes.FIRST[plane], shapes.SECOND[plane], shapes.ACROSS[plane]
    spoke = moves.start_mm[rows] - moves.centre_mm[rows]
    radius = np.hypot(spoke[pick, first], spoke[pick, second])
    # The tangent is the spoke turned by a quarter; over the arc it sweeps an arc of its own.
    begin, end, about = np.zeros((len(rows), 3)), np.zeros((len(rows), 3)), np.zeros((len(rows), 3))
    angle = np.arctan2(spoke[pick, first], -spoke[pick, second])
    for tangent, turned in ((begin, angle), (end, angle + 2 * np.pi * turns)):
        tangent[pick, first], tangent[pick, second] = np.cos(turned), np.sin(turned)
    low, high = shapes.boxes(begin, end, about, plane, turns)
    flat = 2 * np.pi * np.abs(turns) * radius / length[rows]
    swept = np.maximum(np.abs(low), np.abs(high)) * flat[:, None]
    swept[pick, across] = components[rows, across]
    components[rows] = swept
    return components


def _stopping_s(
    moves: ProgramMoves, moving: npt.NDArray[np.bool_], reached: Floats, acceleration: Floats, accelerations: Floats
) -> Floats:
    """Return the time of each moving row when it stops at both ends, arcs slowed by their radius."""
    speed = reached.copy()
    rows = np.flatnonzero(moves.kind == Kind.ARC)
    radius = shapes.radii(moves.start_mm[rows], moves.centre_mm[rows], moves.plane[rows])
    plane = moves.plane[rows]
    sideways = np.minimum(accelerations[shapes.FIRST[plane]], accelerations[shapes.SECOND[plane]])
    speed[rows] = np.minimum(speed[rows], np.sqrt(sideways * radius))
    return trapezoid_s(moves.length_mm[moving], speed[moving], acceleration[moving])


def _open_rapids(moves: ProgramMoves, machine: Machine, low: Floats, high: Floats) -> None:
    """Open the bracket of rapids that begin at an unknown place."""
    travel = _limits(machine, "travel_mm")
    speeds, accelerations = _limits(machine, "speed_mm_s", "low"), _limits(machine, "acceleration_mm_s2", "low")
    for row in np.flatnonzero((moves.start_doubt != Doubt.NONE).any(axis=1) & (moves.kind == Kind.RAPID)):
        way = np.abs(moves.end_mm[row] - moves.start_mm[row])
        way = np.where(moves.start_doubt[row] != moves.end_doubt[row], travel, way)
        low[row] = 0.0
        high[row] = float(trapezoid_s(way, speeds, accelerations).max())


def _total(seconds: Floats, moves: ProgramMoves, machine: Machine) -> float:
    rate = machine.control.block_rate_hz
    if rate is None or not len(seconds):
        return float(seconds.sum())
    first = np.flatnonzero(np.diff(moves.line, prepend=-1))
    return float(np.maximum(np.add.reduceat(seconds, first), 1 / rate.value).sum())


def _show_time(name: str, formula: str, moves: ProgramMoves, seconds: float) -> None:
    inputs = {
        "moves": Input(value=len(moves), unit="", origin="program"),
        "length": Input(value=float(moves.length_mm.sum()), unit="mm", origin="program"),
    }
    record(name, formula, inputs, seconds, unit="s", source="kinematics")


def _show_worst(moves: ProgramMoves, row: int, components: Floats, machine: Machine, cap: Floats) -> None:
    """Record the working of the move whose feed is farthest above what the axes can do."""
    inputs = {
        f"share of {axis}": Input(value=float(components[row, k]), unit="", origin="program")
        for k, axis in enumerate(AXES)
    }
    for axis in AXES:
        speed = machine.axes[axis].speed_mm_s
        inputs[f"speed of {axis}"] = Input(value=speed.value * SECONDS, unit="mm/min", origin=speed.origin)
    record(
        f"fastest feed that the axes can follow on line {moves.line[row]}",
        "least over the axes of speed / share of the direction",
        inputs,
        float(cap[row] * SECONDS),
        unit="mm/min",
        source="kinematics",
    )

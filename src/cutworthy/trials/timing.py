"""Runs that a person times, to learn how the control takes corners and how many lines a second it takes.

The first has square corners, many with long legs and many with short ones: what is lost at a corner
tells how the control rounds it, and legs that are too short to reach their speed tell whether it
overlaps its moves. The second has short lines that turn by next to nothing. Two more tell apart what
these two leave open.
"""

from collections.abc import Callable
from math import ceil, cos, pi, sin, sqrt

from cutworthy.model.machine import Machine
from cutworthy.model.trial import Trial
from cutworthy.trials.writer import Writer, round_size

__all__ = ["RUNS", "TIMING", "timing"]

RUNS = (1, 2, 3, 4)
TIMING = "(Timing run"  # how the text of each begins
LEAST_S = 92.0  # of each run on the quickest control: over a minute and a half
MOST_WIDE_MM = 200.0
SHARE_OF_TRAVEL = 0.6
# Of the slower axis: fast corners tell more of a large rounding; short lines at speed would take a slow control long.
CORNER_SPEED, CIRCLE_SPEED = 0.75, 0.5
SHARE_OF_RAMPS = 0.6  # of a leg, with which its speed is reached and left again
LEGS_MM = (10.0, 1.0)
LEGS_OF_TOOTH = 8  # out and back
LEG_SECONDS = (0.6, 0.4)  # shares of the run
LINES_MM = (0.4, 0.2, 0.05)
LINE_SECONDS = (0.55, 0.28, 0.17)

WHAT = {
    1: ("It draws square corners in the air.", "corners"),
    2: (
        "It draws circles in the air, out of very short lines. A control that is slow with lines takes minutes for it.",
        "short-lines",
    ),
    3: ("It draws circles in the air, out of lines five times as long as the shortest.", "longer-lines"),
    4: ("It draws large square corners in the air, fast.", "fast-corners"),
}


def timing(machine: Machine, digest: str, runs: tuple[int, ...] = (1, 2)) -> list[Trial]:
    """Return the runs with these numbers, made for a machine's travel, speed and units.

    Raises
    ------
    TrialError
        When the machine has not the travel.
    """
    return [_run(machine, digest, number) for number in runs]


def _run(machine: Machine, digest: str, number: int) -> Trial:
    writer = Writer(machine, digest)
    writer.lift()
    _BODIES[number](writer, machine)
    what, name = WHAT[number]
    clock = (
        "Start the stopwatch of a phone when you press start, stop it when the machine stands still at the end. "
        "Write the seconds with their tenths into timing.csv."
    )
    return writer.trial(f"timing-{number}-{name}.nc", f"Timing run {number}: {name.replace('-', ' ')}", (what, clock))


def _corners(writer: Writer, machine: Machine) -> None:
    for leg, share in zip(_sizes(machine, LEGS_MM), LEG_SECONDS, strict=True):
        _battlements(writer, machine, leg, _speed(machine, _sizes(machine, LEGS_MM)[0], CORNER_SPEED), share * LEAST_S)


def _fast_corners(writer: Writer, machine: Machine) -> None:
    leg = min(4 * _sizes(machine, LEGS_MM)[0], _width(machine) / 2)
    _battlements(writer, machine, leg, _speed(machine, leg, 1.0), LEAST_S)


def _battlements(writer: Writer, machine: Machine, leg_mm: float, speed_mm_s: float, seconds: float) -> None:
    """Go along the front edge in square teeth and back again, as long as it takes."""
    legs = seconds * speed_mm_s / leg_mm
    teeth = max(1, int(min(_width(machine) / (2 * leg_mm), legs / LEGS_OF_TOOTH)))
    trips = ceil(legs / (LEGS_OF_TOOTH * teeth))
    writer.say(f"square teeth, {4 * teeth} corners each way, {trips} times out and back")
    writer.travel(0, 0)
    places = [(0.0, 0.0)]
    for tooth in range(teeth):
        x = 2 * leg_mm * tooth
        places += [(x, leg_mm), (x + leg_mm, leg_mm), (x + leg_mm, 0), (x + 2 * leg_mm, 0)]
    for _ in range(trips):
        for x, y in (*places[1:], *reversed(places[:-1])):
            writer.go(speed_mm_s, x_mm=x, y_mm=y)


def _short_lines(writer: Writer, machine: Machine) -> None:
    for line, share in zip(_sizes(machine, LINES_MM), LINE_SECONDS, strict=True):
        _circles(writer, machine, line, share * LEAST_S)


def _longer_lines(writer: Writer, machine: Machine) -> None:
    _circles(writer, machine, 5 * _sizes(machine, LINES_MM)[1], LEAST_S)


def _circles(writer: Writer, machine: Machine, line_mm: float, seconds: float) -> None:
    """Go around a circle in straight lines, whole turns, as long as it takes."""
    speed = _speed(machine, _sizes(machine, LEGS_MM)[0], CIRCLE_SPEED)
    lines = ceil(seconds * speed / line_mm)
    turns = ceil(lines * line_mm / (pi * _width(machine)))
    around = ceil(lines / turns)
    radius = line_mm / (2 * sin(pi / around))
    writer.say(f"{turns} times around a circle, in {around} lines each")
    writer.travel(2 * radius, radius)
    writer.room(2 * radius, 2 * radius)
    for number in range(1, turns * around + 1):
        angle = 2 * pi * number / around
        writer.go(speed, x_mm=radius * (1 + cos(angle)), y_mm=radius * (1 + sin(angle)))


def _speed(machine: Machine, leg_mm: float, share: float) -> float:
    """Return a share of the speed of X and Y that they reach within a leg [mm/s]."""
    axes = [machine.axes["x"], machine.axes["y"]]
    speed = share * min(axis.speed_mm_s.value for axis in axes)
    reached = sqrt(SHARE_OF_RAMPS * leg_mm * min(axis.acceleration_mm_s2.value for axis in axes))
    return min(speed, reached)


def _width(machine: Machine) -> float:
    travel = min(machine.axes["x"].travel_mm.low, machine.axes["y"].travel_mm.low)
    return min(MOST_WIDE_MM, SHARE_OF_TRAVEL * travel)


def _sizes(machine: Machine, sizes_mm: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(round_size(machine, size) for size in sizes_mm)


_BODIES: dict[int, Callable[[Writer, Machine], None]] = {
    1: _corners,
    2: _short_lines,
    3: _longer_lines,
    4: _fast_corners,
}

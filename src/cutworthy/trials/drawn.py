"""Figures drawn with a pen or in the air, to be looked at or measured afterwards."""

from math import cos, pi, sin

from cutworthy.model.machine import AXES, Machine
from cutworthy.model.trial import Trial
from cutworthy.trials.writer import Way, Writer, round_size

__all__ = ["circle", "reversal", "square"]

SQUARE_MM, GAP_MM = 40.0, 10.0
SPEEDS = (0.25, 0.5, 0.75, 1.0)  # shares of the slower axis
CIRCLE_MM = 50.0
STROKE_MM, PAIRS = 10.0, 200
SEAM = pi / 4  # a circle begins where no axis turns round, so that its seam shows apart
SLOW_SHARE = 0.5
CORNERS = (
    "Corners that are rounder the faster the square was drawn: the control overlaps its moves.",
    "All corners alike: it rounds them by one amount, or stops.",
)
PEN = (
    "With a sprung felt pen in place of the bit and paper on the table it draws. Then Z zero is where the pen just "
    "touches the paper. Without a pen, watch it in the air."
)


def square(machine: Machine, digest: str) -> list[Trial]:
    """Return squares at four speeds: how the corners look tells how the control takes them."""
    writer = Writer(machine, digest)
    side, gap = round_size(machine, SQUARE_MM), round_size(machine, GAP_MM)
    for number, share in enumerate(SPEEDS):
        left, speed = number * (side + gap), share * _slower(machine)
        writer.say(f"square {number + 1} of {len(SPEEDS)}, {100 * share:.0f} percent of the speed")
        writer.lift()
        writer.travel(left + side / 2, 0)
        writer.go(_z_speed(machine), z_mm=0)
        for x, y in ((left, 0), (left, side), (left + side, side), (left + side, 0), (left + side / 2, 0)):
            writer.go(speed, x_mm=x, y_mm=y)
    writer.lift()
    return [writer.trial("square-at-speed.nc", "Squares at speed", (PEN, *CORNERS))]


def circle(machine: Machine, digest: str) -> list[Trial]:
    """Return a circle each way round: what turns over with the way is lost motion, what stays is geometry.

    In quarters, so that it is the same circle whatever I and J count from.
    """
    writer = Writer(machine, digest)
    radius, speed = round_size(machine, CIRCLE_MM) / 2, SLOW_SHARE * _slower(machine)
    places = [(radius * (1 + cos(each * pi / 2 + SEAM)), radius * (1 + sin(each * pi / 2 + SEAM))) for each in range(5)]
    circles: tuple[tuple[float, Way], ...] = ((0.0, "cw"), (2 * radius + round_size(machine, GAP_MM), "ccw"))
    for left, way in circles:
        begin, *quarters = places if way == "ccw" else reversed(places)
        writer.say("a circle, clockwise" if way == "cw" else "a circle, the other way")
        writer.lift()
        writer.travel(left + begin[0], begin[1])
        writer.room(left + 2 * radius, 2 * radius)
        writer.go(_z_speed(machine), z_mm=0)
        for x, y in quarters:
            writer.turn(speed, way, left + x, y, radius)
    writer.lift()
    what = (
        f"Each should be {writer.length(2 * radius)} across, to the middle of the line. Measure both across in several "
        "directions, and note which way round each was drawn: the left one clockwise."
    )
    return [writer.trial("circle-both-ways.nc", "A circle each way round", (PEN, what))]


def reversal(machine: Machine, digest: str) -> list[Trial]:
    """Return short strokes out and back, many of them: an axis that loses a pulse at each turn walks away."""
    writer = Writer(machine, digest)
    stroke = round_size(machine, STROKE_MM)
    writer.lift()
    writer.travel(0, 0)
    for name in AXES[:2]:
        speed = SLOW_SHARE * machine.axes[name].speed_mm_s.value
        writer.say(f"{PAIRS} strokes of {name.upper()}, out and back")
        for _ in range(PAIRS):
            for at in (stroke, 0.0):
                writer.go(speed, x_mm=at) if name == "x" else writer.go(speed, y_mm=at)
    writer.say(f"{PAIRS} strokes of Z, up and back")
    for _ in range(PAIRS):
        for at in (writer.lift_mm / 2, writer.lift_mm):
            writer.go(_z_speed(machine), z_mm=at)
    writer.say("back to where it began")
    writer.go(_z_speed(machine), z_mm=0)
    what = (
        "At zero, touch a dial indicator to each axis in turn and write down what it reads. Then take it away.",
        f"It goes {writer.length(stroke)} out and back {PAIRS} times: X, then Y, then Z. It ends where it began.",
        "Put the indicator back to the same places. It must read the same again.",
    )
    return [writer.trial("out-and-back.nc", "Out and back", what)]


def _slower(machine: Machine) -> float:
    return min(machine.axes["x"].speed_mm_s.value, machine.axes["y"].speed_mm_s.value)


def _z_speed(machine: Machine) -> float:
    return SLOW_SHARE * machine.axes["z"].speed_mm_s.value

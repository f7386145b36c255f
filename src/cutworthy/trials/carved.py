"""Programs that cut: the spoilboard made level, and the test piece that parts scale, play, bit and squareness."""

import math
from dataclasses import dataclass

from cutworthy.model.machine import Machine
from cutworthy.model.trial import Trial
from cutworthy.trials.slot import RPM
from cutworthy.trials.writer import WAYS, Way, Writer, round_size

__all__ = ["Feature", "features", "piece", "surfacing"]

BIT_MM, WIDE_BIT_MM = 6.0, 20.0
GROOVES_MM = (26.0, 80.0, 134.0)  # of the middle of a groove, side to side
CIRCLE_MM, BESIDE_MM = 30.0, 110.0  # radius, and how far the second circle's middle lies beyond the first's
EDGE_MM = 4.0
LAYERS_MM = (-2.5, -5.0)
FEED_MM_S, PLUNGE_MM_S = 32.0, 5.0
ABOVE_MM = 1.0
SKIM_MM, STEPOVER, SHARE = 0.5, 0.4, 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A size of the test piece: its name, what it should be [mm], whether it is a pocket's, and along which axis."""

    name: str
    nominal_mm: float
    inside: bool
    axis: str


def features(machine: Machine) -> tuple[Feature, ...]:
    """Return the sizes of the test piece that are measured: each groove has walls of a pocket and of a boss."""
    bit = round_size(machine, BIT_MM)
    found = []
    for size in GROOVES_MM:
        middle = round_size(machine, size)
        for axis in ("x", "y"):
            found.append(Feature(name=f"boss {size - BIT_MM:g}", nominal_mm=middle - bit, inside=False, axis=axis))
            found.append(Feature(name=f"pocket {size + BIT_MM:g}", nominal_mm=middle + bit, inside=True, axis=axis))
    across = (round_size(machine, GROOVES_MM[-1]) - bit) * math.sqrt(2)
    corners = "boss corner to corner"
    found += [Feature(name=corners, nominal_mm=across, inside=False, axis=f"diagonal-{number}") for number in (1, 2)]
    return tuple(found)


def piece(machine: Machine, digest: str) -> list[Trial]:
    """Return the test piece: square grooves in one another, and a circle each way round."""
    writer = Writer(machine, digest, cuts=True)
    middle = round_size(machine, GROOVES_MM[-1] + BIT_MM) / 2 + round_size(machine, EDGE_MM)
    writer.turn_spindle(RPM)
    for size in GROOVES_MM:
        writer.say(f"a square groove, {writer.length(round_size(machine, size))} along its middle")
        _groove(writer, machine, middle, round_size(machine, size) / 2)
    for number, way in enumerate(WAYS):
        writer.say("a circle, counter-clockwise" if way == "ccw" else "a circle, clockwise")
        _circle(writer, machine, middle + number * round_size(machine, BESIDE_MM), middle, way)
    writer.lift()
    bit = writer.length(round_size(machine, BIT_MM))
    what = (
        f"MDF, clamped outside of the room it needs; a flat bit of {bit}, measured. Zero: front left, top.",
        f"Router on before the start. It cuts {writer.length(-round_size(machine, LAYERS_MM[-1]))} deep.",
        "Unclamp it, brush it, and measure each size as test-piece.csv names them: bosses outside, pockets inside.",
    )
    return [writer.trial("test-piece.nc", "The test piece", what)]


def _groove(writer: Writer, machine: Machine, middle: float, half: float) -> None:
    """Cut a square groove about a middle; it begins in the middle of its front side, where no corner is."""
    low, high = middle - half, middle + half
    writer.lift()
    writer.travel(middle, low)
    writer.go(PLUNGE_MM_S, z_mm=round_size(machine, ABOVE_MM))
    for deep in LAYERS_MM:
        writer.go(PLUNGE_MM_S, z_mm=round_size(machine, deep))
        for x, y in ((high, low), (high, high), (low, high), (low, low), (middle, low)):
            writer.go(FEED_MM_S, x_mm=x, y_mm=y)


def _circle(writer: Writer, machine: Machine, x: float, y: float, way: Way) -> None:
    """Cut a circle in quarters; it begins between two axes, where its seam shows apart from lost motion."""
    radius = round_size(machine, CIRCLE_MM)
    angles = [math.pi / 4 + turn * math.pi / 2 for turn in range(5)]
    places = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in (angles if way == "ccw" else angles[::-1])]
    writer.lift()
    writer.travel(*places[0])
    writer.room(x + radius, y + radius)
    writer.go(PLUNGE_MM_S, z_mm=round_size(machine, ABOVE_MM))
    for deep in LAYERS_MM:
        writer.go(PLUNGE_MM_S, z_mm=round_size(machine, deep))
        for place in places[1:]:
            writer.turn(FEED_MM_S, way, *place, radius)


def surfacing(machine: Machine, digest: str) -> list[Trial]:
    """Return a program that takes a little off the spoilboard, row by row, over most of the travel."""
    writer = Writer(machine, digest, cuts=True)
    wide, deep = (SHARE * machine.axes[name].travel_mm.low for name in ("x", "y"))
    step, skim = STEPOVER * round_size(machine, WIDE_BIT_MM), -round_size(machine, SKIM_MM)
    writer.turn_spindle(RPM)
    writer.lift()
    writer.travel(0, 0)
    writer.go(PLUNGE_MM_S, z_mm=round_size(machine, ABOVE_MM))
    writer.go(PLUNGE_MM_S, z_mm=skim)
    y, right = 0.0, True
    while True:
        writer.go(FEED_MM_S, x_mm=wide if right else 0.0, y_mm=y)
        if y >= deep:
            break
        y, right = min(y + step, deep), not right
        writer.go(FEED_MM_S, y_mm=y)
    writer.lift()
    size = writer.length(round_size(machine, WIDE_BIT_MM))
    what = (
        f"A flat bit of {size} or more, and no screw in its way: look at every screw, and how deep it lies.",
        "Z zero: by this bit, on the LOWEST place of the board that is to be touched. Zero X and Y: front left.",
        f"It takes {writer.length(-skim)} off there, more where the board is higher: see how much more first.",
        "Afterwards feel across the rows: a ridge is the lean of the spindle times the way from row to row.",
    )
    return [writer.trial("surfacing.nc", "The spoilboard made level", what)]

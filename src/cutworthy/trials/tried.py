"""Programs in the air for readings: to both ends, to one place again and again, to places all over the table."""

from cutworthy.model.machine import AXES, Machine
from cutworthy.model.trial import Trial
from cutworthy.trials.writer import Writer

__all__ = ["heights", "repeat", "travel"]

SHARE = 0.8  # of the travel that is gone through
TIMES = 10
FAR_SHARE = 0.5
ROWS = 3
PAUSE_S = 8.0
SLOW_SHARE = 0.5


def travel(machine: Machine, digest: str) -> list[Trial]:
    """Return a program that goes along each axis and back, slowly, then at its speed: to measure the travel by."""
    writer = Writer(machine, digest)
    writer.lift()
    writer.travel(0, 0)
    for name in AXES[:2]:
        far, fast = SHARE * machine.axes[name].travel_mm.low, machine.axes[name].speed_mm_s.value
        for speed in (SLOW_SHARE * fast, fast):
            writer.say(f"{name.upper()}, {writer.length(far)} out; measure it while it waits; and back")
            writer.go(speed, x_mm=far) if name == "x" else writer.go(speed, y_mm=far)
            writer.wait(PAUSE_S)
            writer.go(speed, x_mm=0.0) if name == "x" else writer.go(speed, y_mm=0.0)
    what = (
        "Stick a mark on table and carriage at zero, and one where it stops; measure between them with a tape.",
        f"It waits {PAUSE_S:g} seconds at each far end. Readings of the kind scale.",
    )
    return [writer.trial("travel.nc", "Along each axis and back", what)]


def repeat(machine: Machine, digest: str) -> list[Trial]:
    """Return a program that comes back to one place again and again, from far away: does it read the same?"""
    writer = Writer(machine, digest)
    writer.lift()
    writer.travel(0, 0)
    far = [FAR_SHARE * machine.axes[name].travel_mm.low for name in AXES[:2]]
    speed = min(machine.axes[name].speed_mm_s.value for name in AXES[:2])
    for number in range(1, TIMES + 1):
        writer.say(f"{number} of {TIMES}: away and back, then read the indicator")
        writer.go(speed, x_mm=far[0], y_mm=far[1])
        writer.go(speed, x_mm=0.0, y_mm=0.0)
        writer.wait(PAUSE_S)
    what = (
        "At zero, set a dial indicator against the carriage, so that X runs gently onto it from the right.",
        f"It goes away and comes back {TIMES} times and waits {PAUSE_S:g} seconds each time: read it then.",
        "It should read the same within 0.03 mm or 0.001 inch.",
    )
    return [writer.trial("repeat.nc", "Back to one place", what)]


def heights(machine: Machine, digest: str) -> list[Trial]:
    """Return a program that carries an indicator to nine places of the table, and waits at each."""
    writer = Writer(machine, digest)
    writer.lift()
    writer.travel(0, 0)
    wide, deep = (SHARE * machine.axes[name].travel_mm.low for name in AXES[:2])
    speed = min(machine.axes[name].speed_mm_s.value for name in AXES[:2])
    down = SLOW_SHARE * machine.axes["z"].speed_mm_s.value
    for row in range(ROWS):
        for column in range(ROWS):
            x, y = wide * column / (ROWS - 1), deep * row / (ROWS - 1)
            writer.say(f"X {writer.length(x)}, Y {writer.length(y)}: read the indicator while it waits")
            writer.go(speed, x_mm=x, y_mm=y)
            writer.go(down, z_mm=0.0)
            writer.wait(PAUSE_S)
            writer.lift()
    what = (
        "Router unplugged; a dial indicator in the collet. Z zero is where it reads about its middle on the table.",
        f"It goes to nine places and waits {PAUSE_S:g} seconds at each. Readings of the kind flatness.",
        "For the lean of the spindle, sweep it by hand about one place instead: readings of the kind tram.",
        "A larger reading means that the table is nearer.",
    )
    return [writer.trial("heights.nc", "Heights of the table", what)]

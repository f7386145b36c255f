"""A slot that is cut with a power meter on the spindle: what the cut takes, in the wood and with the bit at hand."""

from cutworthy.model.machine import Machine
from cutworthy.model.trial import Trial
from cutworthy.trials.writer import Writer, round_size

__all__ = ["DEEP_MM", "DIAMETER_MM", "RPM", "SLOT_MM", "calibration"]

SLOT_MM, DEPTH_MM, PASSES = 250.0, 4.0, 3
DEEP_MM, DIAMETER_MM = DEPTH_MM * PASSES, 6.0
FEED_MM_S, PLUNGE_MM_S = 30.0, 5.0
ABOVE_MM = 1.0
SPARE = 0.9  # of the travel along X that the slot may take
RPM = 15000.0
CARE = (
    "Plug the router into a power meter. Router on, full speed, and write down what the meter shows: idle.",
    "X zero and Y zero: where the slot begins, on the board, away from clamps. Z zero: the board's top, by this bit.",
    "While it cuts, write down what the meter mostly shows: the cut.",
)


def calibration(machine: Machine, digest: str) -> list[Trial]:
    """Return a straight slot in three passes, long enough to read a meter."""
    writer = Writer(machine, digest, cuts=True)
    length = min(round_size(machine, SLOT_MM), SPARE * machine.axes["x"].travel_mm.low)
    depth, deep = round_size(machine, DEPTH_MM), round_size(machine, DEEP_MM)
    writer.turn_spindle(RPM)
    writer.lift()
    writer.travel(0, 0)
    writer.go(PLUNGE_MM_S, z_mm=round_size(machine, ABOVE_MM))
    for number in range(1, PASSES + 1):
        writer.go(PLUNGE_MM_S, z_mm=-depth * number)
        writer.go(FEED_MM_S, x_mm=length if number % 2 else 0.0, y_mm=0.0)
    writer.lift()
    size = writer.length(round_size(machine, DIAMETER_MM))
    what = (
        *CARE,
        f"It cuts a slot {writer.length(length)} to the right, in {PASSES} passes {writer.length(deep)} deep.",
        f"The board must be thicker than that, the bit about {size} across.",
    )
    return [writer.trial("slot.nc", "A slot under a power meter", what)]

"""The parts of the tool, as upright cylinders."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, tan

import numpy as np
import numpy.typing as npt

from cutworthy.model.clearance import Part
from cutworthy.model.columns import Floats, Lines
from cutworthy.model.job import Bit, Job
from cutworthy.model.machine import Machine

__all__ = ["PARTS", "Cylinder", "calls_bit", "cylinders"]

PARTS: tuple[Part, ...] = ("bit", "nut", "body", "shoe")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """An upright cylinder around one bit: where its underside lies above the tip, and its radius.

    ``bit``: the bit's place on the card. A vee or taper counts as a cylinder with its radius at
    the thing's top: ``tip_radius_mm`` at the tip, ``widening`` more for each mm above it, until
    the whole radius is reached.
    """

    part: Part
    bit: int
    bottom_mm: float
    radius_mm: float
    tip_radius_mm: float
    widening: float = 0.0

    def radius_at(self, low_mm: Floats, top_mm: float) -> Floats:
        """Return the radius at ``top_mm`` of moves whose tip goes down to ``low_mm`` [mm], (n,)."""
        below = np.maximum(top_mm - low_mm, 0.0)
        return np.minimum(self.radius_mm, self.tip_radius_mm + self.widening * below)


def cylinders(job: Job, machine: Machine) -> tuple[Cylinder, ...]:
    """Return the parts around each bit of the card; a part without a size on the card is left out.

    A body on a card without a collet nut begins at the stick-out, the lowest it can. A shank
    wider than the bit is part of the bit, from the cutting length upwards.
    """
    return tuple(part for place, bit in enumerate(job.bits) for part in _around(place, bit, machine))


def calls_bit(tool: Lines, job: Job, bit: int) -> npt.NDArray[np.bool_]:
    """Return for each move whether this bit of the card may be in the spindle, shape (n,).

    Before the first change that is the card's first bit. A T number without a bit on the card may
    be any of them, which errs towards contact.
    """
    called = np.where(tool == 0, job.bits[0].tool, tool)
    may: npt.NDArray[np.bool_] = ~np.isin(called, [each.tool for each in job.bits])
    may |= called == job.bits[bit].tool
    return may


def _around(place: int, bit: Bit, machine: Machine) -> Iterator[Cylinder]:
    stickout, spindle = bit.stickout_mm.value, machine.spindle
    yield _bit(place, bit)
    if bit.shank_mm is not None and bit.shank_mm.value > bit.diameter_mm.value:
        yield _plain("bit", place, bit.cutting_length_mm.value, bit.shank_mm.value)
    if spindle.nut is not None:
        yield _plain("nut", place, stickout, spindle.nut.diameter_mm.value)
    if spindle.body is not None:
        nut = spindle.nut.length_mm.value if spindle.nut is not None else 0.0
        yield _plain("body", place, stickout + nut, spindle.body.diameter_mm.value)
    if spindle.shoe is not None:
        yield _plain("shoe", place, stickout - spindle.shoe.below_nut_mm.value, spindle.shoe.diameter_mm.value)


def _plain(part: Part, place: int, bottom: float, diameter: float) -> Cylinder:
    return Cylinder(part=part, bit=place, bottom_mm=bottom, radius_mm=diameter / 2, tip_radius_mm=diameter / 2)


def _bit(place: int, bit: Bit) -> Cylinder:
    """Return the bit itself; a vee or taper whose shape is not on the card is as wide as it gets."""
    radius = bit.diameter_mm.value / 2
    tip = _tip_radius(bit)
    if bit.angle_rad is None or tip is None:
        return _plain("bit", place, 0.0, 2 * radius)
    widening = tan(bit.angle_rad.value / 2)
    return Cylinder(part="bit", bit=place, bottom_mm=0.0, radius_mm=radius, tip_radius_mm=tip, widening=widening)


def _tip_radius(bit: Bit) -> float | None:
    """Return the radius at the tip [mm]: of a vee its flat, of a taper the cone around its ball."""
    if bit.kind == "vee":
        return bit.tip_mm.value / 2 if bit.tip_mm is not None else 0.0
    if bit.kind == "taper" and bit.corner_radius_mm is not None and bit.angle_rad is not None:
        # The cone touches the ball from outside, so at the tip's height it is wider than the ball.
        return bit.corner_radius_mm.value * tan(pi / 4 - bit.angle_rad.value / 4)
    return None

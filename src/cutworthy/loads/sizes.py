"""What sizes pockets and plugs come out at, as far as machine and bit are known."""

from collections.abc import Mapping

import numpy as np

from cutworthy.loads.edge import runout_mm
from cutworthy.model.job import Bit
from cutworthy.model.loads import Loads, Sizes
from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.settings import AxisSettings
from cutworthy.reference.tables import default

__all__ = ["PER_MM", "scale_ratio", "sizes_of"]

UPRIGHT = ("flat", "bull")  # bits that leave upright walls
LEAST_CUTS, ALMOST_ALL = 1, 0.95  # stretches, and the share of the cut length whose bending counts
LEVEL: tuple[AxisName, ...] = ("x", "y")
PER_MM = 100.0  # mm of size that the error of the scale is told for


def sizes_of(loads: Loads, bit: Bit, machine: Machine, axes: Mapping[AxisName, AxisSettings]) -> Sizes | None:
    """Return how much larger or smaller than drawn pockets and plugs come out [mm]; None for what leaves no walls.

    Both walls of a pocket are moved out by half of what the bit is larger and runs out, and to either side by what it
    bends. Lost motion makes pockets and plugs smaller. Beside what is known, wood moves and fuzzes.

    Source: ends of the bands added up, common practice, no source. The scale counts for 100 mm.
    """
    own = loads.take(np.flatnonzero(loads.down == 0))
    if bit.kind not in UPRIGHT or len(own) < LEAST_CUTS:
        return None
    order = np.argsort(own.bend_mm[:, 1])
    share = np.cumsum(own.length_mm[order]) / own.length_mm.sum()
    bend = float(own.bend_mm[order[int(np.searchsorted(share, ALMOST_ALL))], 1])
    out, lost = runout_mm(bit), default("lost_motion")
    wide = bit.diameter_mm
    smaller, larger = wide.low - wide.value + out[0], wide.high - wide.value + out[2]
    aside = 2 * bend + PER_MM * scale_ratio(machine, axes)
    return Sizes(
        tool=bit.tool,
        inside_mm=(smaller - aside - lost.high, larger + aside - lost.low),
        outside_mm=(-larger - aside - lost.high, -smaller + aside - lost.low),
    )


def scale_ratio(machine: Machine, axes: Mapping[AxisName, AxisSettings]) -> float:
    """Return how far sizes along X and Y may be off at most by screw, belt and the steps entered, as a ratio."""
    worst = 0.0
    for name in LEVEL:
        axis = axes[name]
        of_drive = 0.0 if axis.lead_error_mm is None else axis.lead_error_mm.high
        of_entry = 0.0 if axis.steps is None or axis.steps.rounding_mm is None else abs(axis.steps.rounding_mm)
        worst = max(worst, (of_drive + of_entry) / machine.axes[name].travel_mm.value)
    return worst

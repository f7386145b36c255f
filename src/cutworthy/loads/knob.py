"""How far the knob for the feed may be turned before a limit of the cut is passed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutworthy.loads.margin import margins_of
from cutworthy.loads.speeds import Pace
from cutworthy.model.columns import Floats
from cutworthy.model.loads import LOW, Loads
from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.settings import Pushes
from cutworthy.reference.tables import limit

__all__ = ["Turned", "knob_pct"]

PERCENT = range(20, 201, 5)
WORST = 400  # stretches: those that have least to spare at the programmed feed are those that fail first


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Turned:
    """One bit's loads with what is needed to turn the knob: its pace, the push along Z, and the chips it may take."""

    loads: Loads
    pace: Pace
    on_z: Floats
    chip_mm: tuple[float, float]


def knob_pct(
    bits: Sequence[Turned], machine: Machine, pushes: Mapping[AxisName, Pushes | None]
) -> tuple[int, int] | None:
    """Return the least and the greatest setting [%] around 100 at which chips, power, bit and axes are in order.

    With more feed all forces are taken to grow as the feed does, with less not to fall: both err to the safe side. None
    where no setting is in order.
    """
    if not bits:
        return None
    good = {percent for percent in PERCENT if all(_is_good(bit, percent / 100, machine, pushes) for bit in bits)}
    if not good:
        return None
    nearest = min(good, key=lambda percent: abs(percent - 100))
    low = high = nearest
    while low - PERCENT.step in good:
        low -= PERCENT.step
    while high + PERCENT.step in good:
        high += PERCENT.step
    return low, high


def _is_good(bit: Turned, ratio: float, machine: Machine, pushes: Mapping[AxisName, Pushes | None]) -> bool:
    """Return whether a bit's cuts are in order with the feed so many times as fast."""
    loads, more = bit.loads, max(ratio, 1.0)
    thin, thick = bit.chip_mm
    across = loads.down == 0
    length = float(loads.length_mm[across].sum())
    rubs = float(loads.length_mm[across & (loads.chip_mm[:, 0] * ratio < thin * limit("chip_thin_near").value)].sum())
    if length and rubs / length >= limit("chip_thin_share").value:
        return False
    if float(loads.chipping(thick).max()) * ratio > 1:
        return False
    if max(float(loads.strain().max()), float(loads.bending().max())) * more > 1:
        return False
    if machine.spindle.power_w is not None and float(loads.spindle().max()) * more > 1:
        return False
    rows = np.argsort(loads.margin[:, :, LOW].min(axis=1))[:WORST]
    pace = bit.pace.take(rows)
    faster = replace(pace, best_mm_s=pace.best_mm_s * ratio)
    beside = np.where(loads.down[rows, None] == 1, 0.0, loads.push_n[rows]) * more
    least = margins_of(faster, (beside, bit.on_z[rows] * more), machine, pushes)[:, :, LOW].min()
    return bool(least >= limit("torque_margin").value)

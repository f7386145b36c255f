"""What a power meter on the spindle tells about the force of the cut, by a slot that was cut under its eyes."""

import numpy as np

from cutworthy.loads.force import BANDS, EdgeLine, usual_n_mm
from cutworthy.model.loads import EXPECTED, Loading, Narrowing
from cutworthy.model.machine import Calibration
from cutworthy.model.wood import Wood
from cutworthy.reference.tables import default, limit

__all__ = ["narrowed", "narrowing_of"]


def narrowing_of(slot: Loading, meter: Calibration, wood: Wood) -> Narrowing | None:
    """Return how many times the expected force was asked for in the slot; None where the slot cuts nothing.

    The meter shows what goes in; of what it shows more in the cut than idle, a share gets to the bit.

    Source: energy is kept; the share is common practice, no source.

    Parameters
    ----------
    slot
        The loads of the slot, as the books tell them.
    meter
        What the power meter showed, idle and in the cut.
    wood
        That the result is to be used for; in another wood than the slot's it is worth less.
    """
    loads, share = slot.loads, default("meter_share")
    if not len(loads):
        return None
    seconds = loads.length_mm / loads.speed_mm_s
    order = np.argsort(loads.power_w[:, EXPECTED])
    middle = int(np.searchsorted(np.cumsum(seconds[order]), seconds.sum() / 2))  # most of the time it shows this
    told = float(loads.power_w[order[middle], EXPECTED])
    cut, idle = meter.cut_power_w, meter.idle_power_w
    is_same = len(wood.names) == 1 and wood.names == slot.wood.names
    beside = limit("same_wood" if is_same else "other_wood").value
    return Narrowing(
        low=max(cut.low - idle.high, 0.0) * share.low / told / beside,
        expected=(cut.value - idle.value) * share.value / told,
        high=(cut.high - idle.low) * share.high / told * beside,
        is_same_wood=is_same,
    )


def narrowed(lines: dict[str, EdgeLine], by: Narrowing) -> tuple[dict[str, EdgeLine], bool]:
    """Return the lines of the books as far as the meter narrows them, and whether the two agree at all.

    Where they do not, something in the slot was not as it was told, and the books stay.
    """
    own = usual_n_mm(lines["expected"])
    low, high = usual_n_mm(lines["low"]) / own, usual_n_mm(lines["high"]) / own
    if by.low > high or by.high < low:
        return lines, False
    factors = (max(low, by.low), min(max(by.expected, low), high), min(high, by.high))
    return {name: lines["expected"].times(factor) for name, factor in zip(BANDS, factors, strict=True)}, True

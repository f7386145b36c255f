"""The power of the cut, and what the spindle has."""

import numpy as np

from cutworthy.model.columns import Floats, Value
from cutworthy.model.machine import Spindle
from cutworthy.model.settings import Band
from cutworthy.reference.tables import default
from cutworthy.units import MM_PER_M, S_PER_MIN

__all__ = ["cutting_power_w", "output_w", "torque_n_m"]


def cutting_power_w(k_n_mm2: Value, i_n_mm: Value, removed_mm3_s: Value, swept_mm2_s: Value) -> Floats:
    """Return the power that the cut takes [W].

    Source: the force k h + i on each millimetre of edge, times its way: k Q + i S; exact for that line.

    Parameters
    ----------
    k_n_mm2, i_n_mm
        Of the line.
    removed_mm3_s
        Wood cut away, Q [mm^3/s].
    swept_mm2_s
        Area that the edges sweep within the wood, S [mm^2/s].
    """
    return np.asarray((k_n_mm2 * removed_mm3_s + i_n_mm * swept_mm2_s) / MM_PER_M)


def torque_n_m(power_w: float, rpm: float) -> float:
    """Return the torque of a motor [N·m]: P / (2 pi n)."""
    return power_w / (2 * np.pi * rpm / S_PER_MIN)


def output_w(spindle: Spindle) -> Band | None:
    """Return what the spindle gives at its shaft [W], None where its power is not on the card.

    Plates of hand routers count what goes in. Source of the shares: common practice, no source.
    """
    power = spindle.power_w
    if power is None:
        return None
    share = default("shaft_share")
    if spindle.power_is == "output":
        return Band(low=power.low, expected=power.value, high=power.high)
    high = power.high * (1.0 if spindle.power_is == "unknown" else share.high)
    return Band(low=power.low * share.low, expected=power.value * share.value, high=high)

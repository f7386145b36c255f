"""The power of the cut, and what the spindle has."""

import numpy as np

from cutworthy.model.columns import Floats, Value
from cutworthy.model.machine import Spindle
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


def output_w(spindle: Spindle, rpm: Floats) -> Floats:
    """Return what the spindle gives at its shaft, low, expected, high [W], (n, 3), turning at some speeds (n,).

    One on a drive gives its power at its fastest; slower the same torque, so less power. A hand router with a dial
    holds its speed by pushing harder. Where the card does not say which it is, the low end is that of a drive. Plates
    of hand routers count what goes in. Source of all this: common practice, no source. Where the power is not on the
    card, from the smallest router to a large one.
    """
    fastest = default("turning").high if spindle.fastest_rpm is None else spindle.fastest_rpm.high
    slower = np.minimum(rpm / fastest, 1.0)
    rated, full = _rated_w(spindle), np.ones_like(slower)
    ends = {"program": (slower,) * 3, "dial": (full,) * 3, "unknown": (slower, full, full)}[spindle.speed_by]
    return np.stack([watts * share for watts, share in zip(rated, ends, strict=True)], axis=1)


def _rated_w(spindle: Spindle) -> tuple[float, float, float]:
    power, share = spindle.power_w, default("shaft_share")
    if power is None:
        usual = default("spindle_power")
        return usual.low, usual.value, usual.high
    if spindle.power_is == "output":
        return power.low, power.value, power.high
    high = power.high * (1.0 if spindle.power_is == "unknown" else share.high)
    return power.low * share.low, power.value * share.value, high

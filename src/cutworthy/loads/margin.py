"""How much more an axis could turn with than the cut asks for: below one it loses steps."""

from collections.abc import Mapping

import numpy as np

from cutworthy.loads.speeds import Pace
from cutworthy.model.columns import Floats
from cutworthy.model.loads import EXPECTED
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.settings import Push, Pushes
from cutworthy.units import MM_PER_M

__all__ = ["margins_of", "needed_n_m", "nuts_of"]

MOVING = 1e-3  # of the way: an axis that goes less stands


def margins_of(
    pace: Pace, push_n: tuple[Floats, Floats], machine: Machine, pushes: Mapping[AxisName, Pushes | None]
) -> Floats:
    """Return what each axis can turn with over what it needs, (n, 3, 3): axes by low, expected, high.

    An axis is asked for most at the end of speeding up: at the greatest speed, with all its acceleration. Where its
    drive is not known, or it hardly moves, the margin is infinite.

    Parameters
    ----------
    pace
        Of the stretches.
    push_n
        Of the cut, low, expected, high, (n, 3): across the bit, which may come from any side and counts on each of
        the plane's axes whole, and along it.
    machine
        For the accelerations.
    pushes
        What each axis can push.
    """
    found, gains = np.full((len(pace.first), 3, 3), np.inf), _gains_mm_s2(pace, machine)
    for number, name in enumerate(AXES):
        own = pushes[name]
        if own is None:
            continue
        speed = pace.best_mm_s * pace.shares[:, number]
        on_it = push_n[1 if name == "z" else 0]
        for end, (push, force) in enumerate(((own.low, 2), (own.expected, 1), (own.high, 0))):
            asked = needed_n_m(push, on_it[:, force], gains[:, number])
            has = np.interp(speed, push.speed_mm_s, push.torque_n_m)
            found[:, number, end] = np.where(pace.shares[:, number] > MOVING, has / asked, np.inf)
    return found


def nuts_of(
    pace: Pace, push_n: tuple[Floats, Floats], machine: Machine, pushes: Mapping[AxisName, Pushes | None]
) -> Floats:
    """Return for each axis with a sprung nut how much more its spring bears than is expected on it, (n, 3).

    Source: the nut opens where speeding up, drag and cut together beat its spring; of Z the weight helps it against a
    push upwards, which is the only one that can open it. Parameters as of ``margins_of``.
    """
    found, gains = np.full((len(pace.first), 3), np.inf), _gains_mm_s2(pace, machine)
    for number, name in enumerate(AXES):
        own = pushes[name]
        nut = None if own is None else own.nut
        if nut is None:
            continue
        force = nut.drag_n + nut.mass_kg * gains[:, number] / MM_PER_M + push_n[1 if name == "z" else 0][:, EXPECTED]
        found[:, number] = np.where(pace.shares[:, number] > MOVING, (nut.spring_n + nut.weight_n) / force, np.inf)
    return found


def _gains_mm_s2(pace: Pace, machine: Machine) -> Floats:
    """Return how fast each axis speeds up or brakes on each stretch, (n, 3)."""
    limits = np.array([machine.axes[name].acceleration_mm_s2.value for name in AXES])
    with np.errstate(divide="ignore"):
        along = (limits / np.maximum(pace.shares, 1e-9)).min(axis=1)
    gains: Floats = along[:, None] * pace.shares * pace.ramps[:, None]
    return gains


def needed_n_m(push: Push, force_n: Floats, gain_mm_s2: Floats) -> Floats:
    """Return the torque that each motor needs [N·m]: drag and weight, the force on the axis, and speeding up."""
    return np.asarray(push.drag_n_m + push.lift_n_m + push.each_n_n_m * force_n + push.each_mm_s2_n_m * gain_mm_s2)

"""What holds the board, and the parts that are cut out of it, against the push of the bit."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from cutworthy.model.loads import HIGH, Loads
from cutworthy.model.removal import LoosePart
from cutworthy.reference.tables import limit

__all__ = ["clamp_needed_n", "may_come_loose", "screw_clamp_n", "side_hold_n", "tab_n", "vacuum_n"]

KPA_MM2_PER_N = 1e-3


def clamp_needed_n(side_n: float, safety: float, friction: float) -> float:
    """Return the force that clamps must press with [N]: S F / mu, friction.

    Parameters
    ----------
    side_n
        Push across the board, at its peak [N].
    safety
        How many times as much is wanted.
    friction
        Between board and table.
    """
    return safety * side_n / friction


def screw_clamp_n(torque_n_m: float, diameter_mm: float) -> float:
    """Return what a screw presses with [N]: T / (0.2 d), common practice for dry threads, from memory."""
    return torque_n_m / (0.2 * diameter_mm * 1e-3)


def vacuum_n(pressure_kpa: float, area_mm2: float) -> float:
    """Return what a vacuum presses a sealed area with [N]."""
    return pressure_kpa * area_mm2 * KPA_MM2_PER_N


def side_hold_n(pressed_n: float, lift_n: float, friction: float) -> float:
    """Return what friction holds against a push across [N]: mu (N - lift), none where it is lifted off."""
    return max(0.0, friction * (pressed_n - lift_n))


def tab_n(width_mm: float, thickness_mm: float, shear_mpa: float) -> float:
    """Return what a tab holds [N]: its section times the shear that wood bears."""
    return width_mm * thickness_mm * shear_mpa


def may_come_loose(parts: Iterable[LoosePart], loads: Loads) -> tuple[LoosePart, ...]:
    """Return those parts that hang on less than the cuts beside them may push, with a reserve, and how hard they push.

    What hangs on nothing at all is among them however little it is pushed.
    """
    found = []
    for part in parts:
        beside = np.isin(loads.stretch, (*part.through, *part.later))
        push = float(loads.peak_n[beside, HIGH].max(initial=0.0))
        if part.strength_n < max(limit("tab_reserve").value * push, 1e-9):
            found.append(replace(part, push_n=push))
    return tuple(found)

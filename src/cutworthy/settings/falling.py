"""Whether Z goes down on its own when the power goes, and how fast."""

import math
from dataclasses import dataclass

from cutworthy.model.quantity import Quantity
from cutworthy.model.settings import Answer, Band, Fall
from cutworthy.settings import screw
from cutworthy.settings.loads import Drawn, belt_efficiency
from cutworthy.settings.parts import Parts
from cutworthy.units import MM_PER_M, STANDARD_GRAVITY

__all__ = ["back_drives", "fall", "falling_acceleration_mm_s2"]

FALL_MM = 50.0  # the way whose time is told: a raised bit above its board


@dataclass(frozen=True, slots=True)
class _Way:
    """Which end of each number is taken: ``eager`` falls easily, ``stiff`` holds on."""

    heavy: str
    rubbing: str


EAGER, ENTERED, STIFF = _Way("high", "low"), _Way("value", "value"), _Way("low", "high")


def back_drives(parts: Parts) -> Answer | None:
    """Return whether a push at the nut turns the motor, by the thread alone; belts and racks always do.

    ``unsure`` where some friction within its limits holds and some does not.
    """
    if parts.screw is None:
        return None if parts.drive is None else "yes"
    turns = [_efficiency_back(parts, way) > 0 for way in (EAGER, STIFF)]
    return "yes" if all(turns) else "unsure" if any(turns) else "no"


def fall(parts: Parts, own: Drawn, *, seen_held: bool | None) -> Fall | None:
    """Return whether Z falls without power, and the time for 50 mm; None for the level axes.

    The weight, less what carries it and the drag of the slide, turns the motor through the thread. The
    motor's detent and the nut's drag hold against it, but once Z moves the detent helps as often as it
    holds, so the time is without it. A brake on the card holds whatever turns. ``seen_held``: the owner's
    word on whether Z stayed up; against sure arithmetic it leaves the matter unsure.
    """
    if parts.axis.name != "z" or parts.drive is None:
        return None
    pulls = [_pull_n_m(parts, own.travel_per_turn_mm, way) for way in (STIFF, ENTERED, EAGER)]
    pull = Band(low=pulls[0], expected=pulls[1], high=pulls[2])
    held, motors = parts.detent_torque, parts.axis.motors
    hold = Band(low=held.low * motors, expected=held.value * motors, high=held.high * motors)
    falls = _answer(pull, hold, seen_held=seen_held)
    if parts.drive.brake:
        falls = "no"
    seconds = [
        _seconds(parts, own, pull_n_m, way) for pull_n_m, way in zip(pulls, (STIFF, ENTERED, EAGER), strict=True)
    ]
    told = falls != "no" and all(math.isfinite(each) for each in seconds)
    return Fall(
        falls=falls,
        pull_n_m=pull,
        hold_n_m=hold,
        seconds=Band(low=seconds[2], expected=seconds[1], high=seconds[0]) if told else None,
    )


def _answer(pull: Band, hold: Band, *, seen_held: bool | None) -> Answer:
    sure: Answer = "no" if pull.high <= hold.low else "yes" if pull.low > hold.high else "unsure"
    if sure == "unsure" and seen_held:
        return "no"
    contradicted = (sure == "no" and seen_held is False) or (sure == "yes" and seen_held)
    return "unsure" if contradicted else sure


def falling_acceleration_mm_s2(
    torque_n_m: float, turning_inertia_kg_m2: float, mass_kg: float, travel_per_turn_mm: float, efficiency_back: float
) -> float:
    """Return how fast a falling axis speeds up [mm/s^2].

    Source: Newton's second law for motor, screw and head together; derived, no source needed.

    Parameters
    ----------
    torque_n_m
        Torque at the motor by the weight, less what holds [N·m]; not positive: it does not move, 0.
    turning_inertia_kg_m2
        Rotor and screw, as the motor feels them [kg·m^2].
    mass_kg
        What falls [kg].
    travel_per_turn_mm
        Travel for a turn of the motor [mm].
    efficiency_back
        From pushing to turning, 0 to 1.
    """
    if torque_n_m <= 0:
        return 0.0
    lead_m = travel_per_turn_mm / MM_PER_M / math.tau
    return torque_n_m / (turning_inertia_kg_m2 / lead_m + mass_kg * lead_m * efficiency_back) * MM_PER_M


def _pull_n_m(parts: Parts, travel_per_turn_mm: float, way: _Way) -> float:
    """Return the torque at the motor by the weight [N·m].

    0 where the drag of the slide or the thread holds it.
    """
    carried = _end(parts.counterbalance, way.rubbing)
    force = _end(parts.mass, way.heavy) * STANDARD_GRAVITY - carried - _end(parts.drag, way.rubbing)
    return max(0.0, force) * travel_per_turn_mm / MM_PER_M / math.tau * max(0.0, _efficiency_back(parts, way))


def _seconds(parts: Parts, own: Drawn, pull_n_m: float, way: _Way) -> float:
    """Return the time for the way that is told [s], infinite where it does not move."""
    speeding_up = falling_acceleration_mm_s2(
        pull_n_m,
        own.turning_inertia_kg_m2,
        _end(parts.mass, way.heavy),
        own.travel_per_turn_mm,
        _efficiency_back(parts, way),
    )
    return math.sqrt(2 * FALL_MM / speeding_up) if speeding_up else math.inf


def _efficiency_back(parts: Parts, way: _Way) -> float:
    """Return the efficiency of the thread from pushing to turning; what the thrust bearing takes is left out."""
    thread = parts.thread(_end(parts.screw.friction, way.rubbing)) if parts.screw else None
    return belt_efficiency() if thread is None else screw.efficiency_back(thread)


def _end(number: Quantity, end: str) -> float:
    return float(getattr(number, end))

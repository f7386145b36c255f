"""The fastest an axis should go and how hard it should speed up, with the rule that decides."""

from collections.abc import Mapping

from cutworthy.model.settings import Speed, Steps
from cutworthy.reference.tables import limit
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Corner, Parts, pick
from cutworthy.settings.strength import whip_rpm_at
from cutworthy.settings.travel import pulse_cap_mm_s, pulse_limit_hz
from cutworthy.units import MM_PER_M

__all__ = ["advised_acceleration", "advised_speed"]

# The whip limit holds its share already; torque holds its margin; of a pulse rate a share is left.
ADVISED_SHARE = {"pulse-rate": "pulse_share", "driver-pulse": "pulse_share"}


def advised_speed(parts: Parts, entry: Steps | None, at: Mapping[Corner, Drawn]) -> Speed:
    """Return the limits of an axis' speed [mm/s], the speed advised, and what decides it."""
    entered, cautious = (
        _speed_limits(parts, entry, at[corner], corner) for corner in (Corner.ENTERED, Corner.CAUTIOUS)
    )
    advised = {name: value * _share(name) for name, value in entered.items() if value is not None}
    ruled_by = min(advised, key=lambda name: advised[name])
    return Speed(
        entered=parts.axis.speed_mm_s.value,
        advised=advised[ruled_by],
        ruled_by=ruled_by,
        limits=entered,
        cautious=cautious,
    )


def advised_acceleration(parts: Parts, at: Mapping[Corner, Drawn]) -> Speed:
    """Return the limits of an axis' acceleration [mm/s^2], the one advised, and what decides it.

    Torque: with the low torque at the entered speed and the margin, while cutting. Spring: a sprung nut
    opens when speeding up, drag and cutting together pull harder than its spring. Frame: our choice.
    """
    entered, cautious = (
        _acceleration_limits(parts, at[corner], corner) for corner in (Corner.ENTERED, Corner.CAUTIOUS)
    )
    there = {name: value for name, value in entered.items() if value is not None}
    ruled_by = min(there, key=lambda name: there[name])
    return Speed(
        entered=parts.axis.acceleration_mm_s2.value,
        advised=there[ruled_by],
        ruled_by=ruled_by,
        limits=entered,
        cautious=cautious,
    )


def _share(name: str) -> float:
    return limit(ADVISED_SHARE[name]).value if name in ADVISED_SHARE else 1.0


def _speed_limits(parts: Parts, entry: Steps | None, own: Drawn, corner: Corner) -> dict[str, float | None]:
    per_mm = parts.axis.steps_per_mm.value if parts.axis.steps_per_mm else float(entry.per_mm) if entry else None
    whip = whip_rpm_at(parts, corner)
    lead = None if parts.drive is None or parts.drive.lead_mm is None else parts.drive.lead_mm.value
    pulse_min = pick(parts.pulse_min, "more", corner)
    return {
        "pulse-rate": None if per_mm is None else pulse_cap_mm_s(pick(parts.pulse_rate, "less", corner), per_mm),
        "driver-pulse": None
        if per_mm is None or not pulse_min
        else pulse_cap_mm_s(pulse_limit_hz(pulse_min, pulse_min), per_mm),
        "whip": None if whip is None or lead is None else limit("whip_share").value * whip / 60 * lead,
        "torque": own.fastest_mm_s(limit("torque_margin").value * own.load.sum_n_m, limit("running_low").value),
        "full-torque": own.speed_mm_s(own.full_torque_rpm),
    }


def _acceleration_limits(parts: Parts, own: Drawn, corner: Corner) -> dict[str, float | None]:
    speed, asked = parts.axis.speed_mm_s.value, parts.axis.acceleration_mm_s2.value
    left = limit("running_low").value * own.model_n_m(speed) / limit("torque_margin").value
    others = own.load.sum_n_m - own.load.accelerate_n_m
    limits: dict[str, float | None] = {
        "torque": max(0.0, left - others) * asked / own.load.accelerate_n_m,
        "spring": None,
        "frame": limit("frame_acceleration").value,
    }
    drive = parts.drive
    if drive is not None and drive.nut == "sprung" and drive.spring_force_n is not None:
        spare = (
            pick(drive.spring_force_n, "less", corner)
            - pick(parts.drag, "more", corner)
            - pick(parts.cutting_allowance, "more", corner)
        )
        limits["spring"] = max(0.0, spare) / pick(parts.mass, "more", corner) * MM_PER_M
    return limits

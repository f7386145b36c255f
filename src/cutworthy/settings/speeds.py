"""The fastest an axis should go and how hard it should speed up, with the rule that decides."""

import math
from collections.abc import Mapping

from cutworthy.model.settings import Speed, Steps
from cutworthy.reference.tables import limit
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Corner, Parts, pick
from cutworthy.settings.strength import whip_rpm_at
from cutworthy.settings.travel import pulse_cap_mm_s, pulse_limit_hz
from cutworthy.units import MM_PER_M

__all__ = ["advised_acceleration", "advised_share", "advised_speed"]

# Torque holds its margin already; of the others a share is left.
ADVISED_SHARE = {"pulse-rate": "pulse_share", "driver-pulse": "pulse_share", "whip": "whip_room"}
# What advises without forbidding: beyond the full torque less is left, and no label tells what a frame stands.
ADVICE_ONLY = ("full-torque", "frame")
LOOKED_AT = (Corner.ENTERED, Corner.CAUTIOUS, Corner.WARY)


def advised_speed(parts: Parts, entry: Steps | None, at: Mapping[Corner, Drawn]) -> Speed:
    """Return the limits of an axis' speed [mm/s], the most that may be entered, the speed advised, what decides it."""
    limits = {corner: _speed_limits(parts, entry, at[corner], corner) for corner in LOOKED_AT}
    return _advised(parts.axis.speed_mm_s.value, limits)


def advised_acceleration(parts: Parts, at: Mapping[Corner, Drawn]) -> Speed:
    """Return the limits of an axis' acceleration [mm/s^2], the one advised, and what decides it.

    Torque: with the low torque at the entered speed and the margin, while cutting. Spring: a sprung nut
    opens when speeding up and drag together pull harder than its spring; cutting comes on top. Frame: our
    choice, which advises and forbids nothing.
    """
    limits = {corner: _acceleration_limits(parts, at[corner], corner) for corner in LOOKED_AT}
    return _advised(parts.axis.acceleration_mm_s2.value, limits)


def _advised(value: float, limits: Mapping[Corner, Mapping[str, float | None]]) -> Speed:
    """Return a speed or an acceleration with the least of what each limit leaves, and which that is.

    What may be entered at most is told by the limits that rest on no guess of ours.
    """
    entered, cautious = limits[Corner.ENTERED], limits[Corner.CAUTIOUS]
    shares = {name: limit * advised_share(name) for name, limit in entered.items() if limit is not None}
    ruled_by = min(shares, key=lambda name: shares[name])
    guessed = tuple(name for name in shares if cautious[name] != entered[name])
    sure = [share for name, share in shares.items() if name not in (*ADVICE_ONLY, *guessed)]
    return Speed(
        entered=value,
        most=min(sure, default=None),
        advised=shares[ruled_by],
        ruled_by=ruled_by,
        limits=entered,
        cautious=limits[Corner.WARY],
        guessed=guessed,
    )


def advised_share(name: str) -> float:
    """Return the share of a limit that may be entered."""
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
        "torque": _finite(
            own.fastest_mm_s(limit("torque_margin").value * own.load.sum_n_m, limit("running_low").value)
        ),
        "full-torque": _finite(own.speed_mm_s(own.full_torque_rpm)),
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
        spare = parts.axis.motors * pick(drive.spring_force_n, "less", corner) - pick(parts.drag, "more", corner)
        limits["spring"] = max(0.0, spare) / pick(parts.mass, "more", corner) * MM_PER_M
    return limits


def _finite(speed_mm_s: float) -> float | None:
    """Return a limit, None where there is none."""
    return speed_mm_s if math.isfinite(speed_mm_s) else None

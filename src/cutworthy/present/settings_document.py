"""What a machine's parts allow, as the document that programs read."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from cutworthy.model.findings import Finding
from cutworthy.model.machine import Machine
from cutworthy.model.settings import AxisSettings, Band, MachineSettings, Power, Speed, Steps, WiringRow
from cutworthy.present.document import CardRemark, finding_document, remark_document, working_document
from cutworthy.present.plain import plain
from cutworthy.present.show import Display, fraction_text, significant, steps_text
from cutworthy.units import S_PER_MIN
from cutworthy.working import Step

__all__ = ["axes_document", "joined_findings", "joined_names", "settings_document"]

LEVELS = ("no-go", "ask", "note")
# Who may be hurt, or what may burn, stands first among findings of one level.
DANGER = ("z-falls", "stop-not-hardwired", "voltage-high", "current-wrong")
RATES = ("pulse-rate", "driver-pulse", "whip", "torque", "full-torque")


def settings_document(
    machine: Machine,
    settings: MachineSettings,
    findings: Iterable[Finding],
    *,
    remarks: Iterable[CardRemark] = (),
    steps: Iterable[Step] = (),
) -> dict[str, Any]:
    """Return the document of ``settings``: lengths in mm, speeds in mm/min, whatever the machine shows."""
    display = Display(machine.units)
    return {
        "machine": plain(machine.name),
        "axes": axes_document(settings),
        "supply": _supply(settings.power),
        "wiring": {"rows": [_wire(row) for row in settings.wiring]},
        "findings": [finding_document(finding, display) for finding in findings],
        "remarks": [remark_document(remark) for remark in remarks],
        "working": working_document(steps),
    }


def axes_document(settings: MachineSettings) -> dict[str, Any]:
    """Return the axes alone, by name."""
    return {name: _axis(axis) for name, axis in settings.axes.items()}


def joined_findings(findings: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the findings with those that say the same of several axes told once, as ``X and Y: …``."""
    told: dict[tuple[str, str, str], dict[str, Any]] = {}
    for finding in findings:
        axis, colon, rest = finding["says"].partition(": ")
        of_axis = bool(colon) and len(axis) == 1
        key = finding["id"], finding["level"], rest if of_axis else finding["says"]
        if of_axis and key in told:
            before = told[key]["says"].partition(": ")[0]
            told[key] = told[key] | {"says": f"{joined_names(before, axis)}: {rest}"}
        else:
            told[key] = finding
    return sorted(told.values(), key=lambda finding: (LEVELS.index(finding["level"]), finding["id"] not in DANGER))


def joined_names(before: str, axis: str) -> str:
    """Return names of axes with one more, as ``X, Y and Z``."""
    return f"{before.replace(' and ', ', ')} and {axis}"


def _axis(axis: AxisSettings) -> dict[str, Any]:
    torques, efficiency, back = axis.torques, axis.efficiency, axis.efficiency_back
    return {
        "travel_per_turn_mm": significant(axis.travel_per_turn_mm),
        **_steps(axis.steps),
        "relock_mm": significant(axis.relock_mm),
        "smallest_dependable_move_mm": _band(axis.smallest_move_mm),
        "step_accuracy_mm": significant(axis.step_accuracy_mm),
        "lag_mm": significant(axis.lag_mm),
        "lead_error_mm": _band(axis.lead_error_mm),
        "speed_mm_min": _speed(_sure(axis), S_PER_MIN, RATES),
        "acceleration_mm_s2": _speed(axis.acceleration_mm_s2, 1.0, ("torque", "spring", "frame")),
        "thrust_n": {
            "standing": _band(torques.standing_n if torques else None),
            "at_speed": _band(torques.at_speed_n if torques else None),
        },
        "torque_n_m": {
            "standing": _band(torques.standing_n_m if torques else None),
            "at_speed": _band(torques.at_speed_n_m if torques else None),
            "needed": _band(torques.needed_n_m if torques else None),
            "microstep": significant(torques.microstep_n_m if torques else None),
        },
        "full_torque_rpm": significant(torques.full_torque_rpm if torques else None),
        "resonance_hz": significant(torques.resonance_hz if torques else None),
        "growl_mm_min": torques and [significant(speed * S_PER_MIN) for speed in torques.growl_mm_s],
        "whip_rpm": significant(axis.whip_rpm.expected if axis.whip_rpm else None),
        "buckling_n": significant(axis.buckling_n.expected if axis.buckling_n else None),
        "efficiency": {
            "raise": significant(efficiency.expected if efficiency else None),
            "back": significant(back.expected if back else None),
        },
        "back_drives": axis.back_drives,
        "stiffness_n_mm": significant(axis.stiffness_n_mm),
        "fall": _fall(axis),
        "braking_mm": significant(axis.braking_mm),
        "soft_limit_mm": [significant(end) for end in axis.soft_limit_mm],
        "guessed": list(axis.guessed),
    }


def _sure(axis: AxisSettings) -> Speed:
    """Return the speed; where no label tells the torque, at its worse end and without advice."""
    speed = axis.speed_mm_s
    if f"axes.{axis.axis}.motor.holding_torque" not in axis.guessed or "torque" not in speed.limits:
        return speed
    limits = {**speed.limits, "torque": speed.cautious["torque"], "full-torque": speed.cautious["full-torque"]}
    return replace(speed, advised=None, ruled_by=None, limits=limits)


def _steps(steps: Steps | None) -> dict[str, Any]:
    if steps is None:
        keys = ("steps_per_mm", "steps_per_mm_exact", "steps_per_inch", "resolution_mm")
        return dict.fromkeys(keys)
    return {
        "steps_per_mm": steps_text(steps.per_mm),
        "steps_per_mm_exact": fraction_text(steps.per_mm),
        "steps_per_inch": steps_text(steps.per_inch),
        "resolution_mm": significant(steps.resolution_mm),
    }


def _speed(speed: Speed, factor: float, names: Iterable[str]) -> dict[str, Any]:
    def told(value: float | None) -> float | None:
        return None if value is None else significant(value * factor)

    return {
        "entered": told(speed.entered),
        "advised": told(speed.advised),
        "ruled_by": speed.ruled_by,
        "limits": {name: told(speed.limits.get(name)) for name in names},
    }


def _fall(axis: AxisSettings) -> dict[str, Any] | None:
    fall = axis.fall
    if fall is None:
        return None
    return {
        "falls": fall.falls,
        "pull_n_m": _band(fall.pull_n_m),
        "hold_n_m": _band(fall.hold_n_m),
        "seconds_50_mm": _band(fall.seconds),
    }


def _supply(power: Power | None) -> dict[str, Any]:
    return {
        "needed_a": significant(power.needed_a if power else None),
        "needed_w": significant(power.needed_w if power else None),
        "heat_w": significant(power.heat_w if power else None),
        "rule_a": significant(power.rule_a if power else None),
    }


def _wire(row: WiringRow) -> dict[str, Any]:
    return {"signal": plain(row.signal), "pin": row.pin, "direction": row.direction, "ok": row.ok, "why": row.why}


def _band(band: Band | None) -> dict[str, float | None]:
    if band is None:
        return {"low": None, "expected": None, "high": None}
    return {"low": significant(band.low), "expected": significant(band.expected), "high": significant(band.high)}

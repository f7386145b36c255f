"""The working of a drive: travel, steps, efficiency, whip, buckling."""

import math

from cutworthy.model.settings import AxisSettings
from cutworthy.reference import drives
from cutworthy.reference.tables import limit
from cutworthy.settings import shaft
from cutworthy.settings.ledger import Given, Ledger
from cutworthy.settings.parts import Corner, Parts, Screw
from cutworthy.settings.screw import lead_angle_rad
from cutworthy.working import Input

__all__ = ["ARITHMETIC", "SCREWS", "full_steps", "show_drive"]

ARITHMETIC = "arithmetic on the parts of the card"
SCREWS = "Shigley, chapter 8, from memory"
JOHNSON = "Johnson's parabola for short columns; Shigley, chapter 4, from memory"
CYCLE = "the torque of a two-phase motor repeats every four full steps; Jones"


def show_drive(ledger: Ledger, axis: AxisSettings, parts: Parts) -> None:
    """Write down how travel, steps and the limits of the drive came about."""
    _show_turn(ledger, axis, parts)
    _show_steps(ledger, axis, parts)
    if parts.screw is None:
        custom = limit("belt_efficiency")
        ledger.put("efficiency.raise", "efficiency", custom.value, "", custom.source, efficiency=custom)
        return
    _show_efficiency(ledger, axis, parts, parts.screw)
    _show_whip(ledger, axis, parts, parts.screw)
    _show_buckling(ledger, axis, parts, parts.screw)


def full_steps(parts: Parts) -> Input:
    """Return the full steps in a turn of the motor, as an input: read off its label, or taken."""
    motor = parts.axis.motor
    told = motor is not None and motor.steps_per_turn is not None
    return Input(value=parts.steps_per_turn, unit="", origin="label" if told else "guessed")


def _show_turn(ledger: Ledger, axis: AxisSettings, parts: Parts) -> None:
    drive, value = parts.drive, axis.travel_per_turn_mm
    assert drive is not None
    assert value is not None
    formula = "lead / reduction"
    inputs: dict[str, Given | None] = {"lead": drive.lead_mm}
    if drive.kind == "screw" and drive.pitch_mm is not None and drive.starts is not None:
        formula, inputs = "pitch * starts / reduction", {"pitch": drive.pitch_mm, "starts": drive.starts}
    elif drive.kind != "screw" and drive.tooth_pitch_mm is not None:
        formula = "tooth_pitch * teeth / reduction"
        inputs = {"tooth_pitch": drive.tooth_pitch_mm, "teeth": drive.teeth}
    elif drive.kind != "screw":
        formula, inputs = "pi * module * teeth / reduction", {"module": drive.module_mm, "teeth": drive.teeth}
    known = {key: each for key, each in inputs.items() if each is not None}
    ledger.put("travel_per_turn_mm", formula, value, "mm", ARITHMETIC, reduction=drive.reduction, **known)


def _show_steps(ledger: Ledger, axis: AxisSettings, parts: Parts) -> None:
    steps, turn = axis.steps, axis.travel_per_turn_mm
    if steps is None or turn is None or parts.microsteps is None:
        return
    full = full_steps(parts)
    per_mm = ledger.put(
        "steps_per_mm",
        "steps_per_turn * microsteps / travel_per_turn",
        float(steps.per_mm),
        "1/mm",
        ARITHMETIC,
        steps_per_turn=full,
        microsteps=parts.microsteps,
        travel_per_turn=turn,
    )
    per_inch = float(steps.per_inch)
    ledger.put("steps_per_inch", "25.4 * steps_per_mm", per_inch, "1/in", ARITHMETIC, steps_per_mm=per_mm)
    ledger.put("resolution_mm", "1 / steps_per_mm", steps.resolution_mm, "mm", ARITHMETIC, steps_per_mm=per_mm)
    formula = "4 * travel_per_turn / steps_per_turn"
    ledger.put("relock_mm", formula, steps.relock_mm, "mm", CYCLE, travel_per_turn=turn, steps_per_turn=full)


def _show_efficiency(ledger: Ledger, axis: AxisSettings, parts: Parts, sizes: Screw) -> None:
    thread = parts.thread(sizes.friction.value)
    if thread is None or axis.efficiency is None or axis.efficiency_back is None:
        return
    lead, mean = thread.lead_mm, thread.mean_diameter_mm
    angle = lead_angle_rad(thread)
    formula = "atan(lead / (pi * mean_diameter))"
    ledger.put("lead_angle_rad", formula, angle, "rad", SCREWS, lead=lead, mean_diameter=mean)
    rub = math.atan(thread.friction / math.cos(thread.half_angle_rad))
    formula = "atan(friction / cos(half_angle))"
    half = thread.half_angle_rad
    ledger.put("friction_angle_rad", formula, rub, "rad", SCREWS, friction=sizes.friction, half_angle=half)
    both = {"lead_angle": angle, "friction_angle": rub}
    if axis.efficiency.expected > limit("least_efficiency").value:
        formula = "tan(lead_angle) / tan(lead_angle + friction_angle)"
        ledger.put("efficiency.raise", formula, axis.efficiency.expected, "", SCREWS, **both)
    formula = "tan(lead_angle - friction_angle) / tan(lead_angle)"
    ledger.put("efficiency.back", formula, axis.efficiency_back.expected, "", SCREWS, **both)


def _show_whip(ledger: Ledger, axis: AxisSettings, parts: Parts, sizes: Screw) -> None:
    if axis.whip_rpm is None:
        return
    ends, steel = drives.holding(parts.ends(Corner.ENTERED)), shaft.steel()
    whip = ledger.put(
        "whip_rpm",
        "60 / (2 * pi) * (1000 * root_of_ends / span)**2 * root / 4000 * sqrt(youngs * 1e6 / density)",
        axis.whip_rpm.expected,
        "rpm",
        ends.source,
        root_of_ends=ends.frequency_root,
        span=sizes.span,
        root=sizes.root,
        youngs=steel.youngs_n_mm2,
        density=steel.density_kg_m3,
    )
    bound, drive, share = axis.speed_mm_s.limits["whip"], parts.drive, limit("whip_share")
    if bound is not None and drive is not None and drive.lead_mm is not None:
        formula = "share * whip_rpm * lead"
        given: dict[str, Given] = {"share": share, "whip_rpm": whip, "lead": drive.lead_mm}
        ledger.put("limits.whip", formula, bound * 60, "mm/min", share.source, **given)


def _show_buckling(ledger: Ledger, axis: AxisSettings, parts: Parts, sizes: Screw) -> None:
    if axis.buckling_n is None:
        return
    ends, steel, bears = drives.holding(parts.ends(Corner.ENTERED)), shaft.steel(), axis.buckling_n.expected
    given: dict[str, Given] = {"constant": ends.euler_constant, "youngs": steel.youngs_n_mm2}
    given |= {"root": sizes.root, "span": sizes.span}
    euler = shaft.euler_load_n(math.pi / 64 * sizes.root.value**4, sizes.span.value, ends.euler_constant, steel)
    if math.isclose(euler, bears, rel_tol=1e-12):
        formula = "constant * pi**2 * youngs * pi / 64 * root**4 / span**2"
        ledger.put("buckling_n", formula, bears, "N", ends.source, **given)
    else:
        formula = (
            "pi / 4 * root**2 * (yield_stress - (yield_stress * span / (2 * pi * root / 4))**2 / (constant * youngs))"
        )
        ledger.put("buckling_n", formula, bears, "N", JOHNSON, yield_stress=steel.yield_n_mm2, **given)

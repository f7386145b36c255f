"""The working of what is true of an axis besides: how fine, how true, how stiff, where it growls, what is advised."""

import math

from cutworthy.model.settings import AxisSettings
from cutworthy.reference.tables import default, limit
from cutworthy.settings.ledger import Given, Ledger
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Parts
from cutworthy.settings.shown_drive import full_steps
from cutworthy.settings.speeds import advised_share
from cutworthy.settings.steps import STEP_ACCURACY
from cutworthy.settings.strength import springs_n_mm

__all__ = ["show_fine"]

LAG = "the sinusoid of a two-phase motor; Acarnley, chapter 3, from memory"
RIPPLES = (4, 2, 1)  # in an electrical cycle


def show_fine(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    """Write down how these numbers came about."""
    _show_moves(ledger, axis, parts, own)
    _show_lead_error(ledger, axis, parts)
    _show_stiffness(ledger, axis, parts, own)
    _show_growl(ledger, axis, own)
    _show_advice(ledger, axis, parts, own)
    _show_soft_limits(ledger, axis)


def _show_moves(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    turn, standing, teeth = own.travel_per_turn_mm, own.standing_n_m, own.winding.rotor_teeth
    accuracy = axis.step_accuracy_mm
    if accuracy is not None:
        given: dict[str, Given] = {"share": STEP_ACCURACY, "travel_per_turn": turn}
        given |= {"steps_per_turn": full_steps(parts)}
        source = "common practice, no source: labels of hybrid motors, unloaded"
        ledger.put("step_accuracy_mm", "share * travel_per_turn / steps_per_turn", accuracy, "mm", source, **given)
    given = {"drag_torque": own.load.drag_n_m, "standing": standing, "teeth": float(teeth), "travel_per_turn": turn}
    if axis.lag_mm is not None:
        formula = "asin(drag_torque / standing) / teeth / (2 * pi) * travel_per_turn"
        ledger.put("lag_mm", formula, axis.lag_mm, "mm", LAG, **given)
    if axis.smallest_move_mm is not None and axis.steps is not None and accuracy is not None:
        lag = "2 * asin((drag_torque + detent) / standing) / teeth / (2 * pi) * travel_per_turn"
        formula = f"max(resolution, {lag}, accuracy)"
        detent = parts.detent_torque.value if parts.detent_torque.stated else 0.0
        given |= {"resolution": axis.steps.resolution_mm, "detent": detent, "accuracy": accuracy}
        least, source = axis.smallest_move_mm.expected, "common practice, no source"
        ledger.put("smallest_dependable_move_mm", formula, least, "mm", source, **given)


def _show_lead_error(ledger: Ledger, axis: AxisSettings, parts: Parts) -> None:
    if axis.lead_error_mm is None:
        return
    sort = "belt" if parts.screw is None else "ball" if parts.screw.thread == "ball" else "rolled"
    row = default(f"lead_error_{sort}")
    given: dict[str, Given] = {"ppm": row.value, "travel": parts.axis.travel_mm}
    ledger.put("lead_error_mm", "ppm * 1e-6 * travel", axis.lead_error_mm.expected, "mm", row.source, **given)


def _show_stiffness(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    if axis.stiffness_n_mm is None:
        return
    springs: dict[str, Given] = {**springs_n_mm(parts, own)}
    formula = f"motors / ({' + '.join(f'1 / {name}' for name in springs)})"
    ledger.put("stiffness_n_mm", formula, axis.stiffness_n_mm, "N/mm", "gives add up", motors=own.motors, **springs)


def _show_growl(ledger: Ledger, axis: AxisSettings, own: Drawn) -> None:
    if axis.torques is None:
        return
    for ripples, speed in zip(RIPPLES, axis.torques.growl_mm_s, strict=True):
        given: dict[str, Given] = {"resonance": axis.torques.resonance_hz, "ripples": float(ripples)}
        given |= {"teeth": float(own.winding.rotor_teeth), "travel_per_turn": own.travel_per_turn_mm}
        formula, source = "60 * resonance / ripples / teeth * travel_per_turn", "common practice, no source"
        ledger.put(f"growl_mm_min.{ripples}", formula, speed * 60, "mm/min", source, **given)


def _show_advice(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    if own.full_torque_rpm > 0 and (bound := axis.speed_mm_s.limits["full-torque"]) is not None:
        given: dict[str, Given] = {"rpm": own.full_torque_rpm, "travel_per_turn": own.travel_per_turn_mm}
        ledger.put("limits.full-torque", "rpm * travel_per_turn", bound * 60, "mm/min", "kinematics", **given)
    asked, needs = parts.axis.acceleration_mm_s2, own.load
    bound = axis.acceleration_mm_s2.limits["torque"]
    if bound is not None:
        low, margin = limit("running_low"), limit("torque_margin")
        given = {"share": low, "model": own.model_n_m(parts.axis.speed_mm_s.value), "margin": margin}
        given |= {"drag_torque": needs.drag_n_m, "cut": needs.cut_n_m, "lift": needs.lift_n_m}
        given |= {"accelerate": needs.accelerate_n_m, "acceleration": asked}
        formula = "max(0, share * model / margin - drag_torque - cut - lift) * acceleration / accelerate"
        ledger.put("acceleration.limits.torque", formula, bound, "mm/s^2", margin.source, **given)
    for name, speed, factor, unit in (
        ("speed_mm_min.advised", axis.speed_mm_s, 60.0, "mm/min"),
        ("acceleration_mm_s2.advised", axis.acceleration_mm_s2, 1.0, "mm/s^2"),
    ):
        left = {
            key.replace("-", "_"): advised_share(key) * bound * factor
            for key, bound in speed.limits.items()
            if bound is not None
        }
        if speed.advised is not None:
            formula = f"min({', '.join(left)})" if len(left) > 1 else next(iter(left))
            advised = speed.advised * factor
            ledger.put(name, formula, advised, unit, "the least of what each limit leaves", **left)


def _show_soft_limits(ledger: Ledger, axis: AxisSettings) -> None:
    low, high = axis.soft_limit_mm
    if math.isclose(low, high):
        return
    for name, formula, end, value in (
        ("low", "end + braking", low - axis.braking_mm, low),
        ("high", "end - braking", high + axis.braking_mm, high),
    ):
        source = "a braking way inside the ends of the travel"
        ledger.put(f"soft_limit_mm.{name}", formula, value, "mm", source, end=end, braking=axis.braking_mm)

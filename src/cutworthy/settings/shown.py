"""Shows the working of an axis and of the supply."""

from cutworthy.model.settings import AxisSettings, Power
from cutworthy.reference.tables import limit
from cutworthy.settings import shaft
from cutworthy.settings.ledger import Given, Ledger
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Corner, Parts
from cutworthy.settings.shown_drive import ARITHMETIC, show_drive
from cutworthy.settings.shown_fine import show_fine
from cutworthy.settings.steps import incremental_torque_n_m, resonance_hz
from cutworthy.units import STANDARD_GRAVITY
from cutworthy.working import Input, is_recording

__all__ = ["show_axis", "show_power"]

MOTOR = "two phases fed with sine currents, derived; Acarnley, chapter 5, from memory"
THRUST = "energy is kept; Shigley, chapter 8, from memory"
THROUGH = "(travel_per_turn / (2000 * pi * efficiency) + collar) / motors"
CORNER = (
    "60 / (2 * pi * teeth) * (sqrt((resistance * peak * flux)**2 + (flux**2 + (inductance * peak)**2)"
    " * (voltage**2 - (resistance * peak)**2)) - resistance * peak * flux) / (flux**2 + (inductance * peak)**2)"
)


def show_axis(axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    """Record how every number of an axis came about."""
    if not is_recording():
        return
    ledger = Ledger(f"axes.{axis.axis}")
    show_drive(ledger, axis, parts)
    _show_motor(ledger, parts, own)
    _show_inertia(ledger, parts, own)
    _show_needs(ledger, parts, own)
    _show_speed(ledger, axis, parts, own)
    _show_pulses(ledger, axis, parts)
    _show_fall(ledger, axis, parts, own)
    show_fine(ledger, axis, parts, own)


def show_power(power: Power, voltage_v: float, currents_a: list[float]) -> None:
    """Record how the current that the supply needs came about."""
    ledger, share, rule = Ledger("supply"), limit("driver_efficiency"), limit("supply_rule")
    given: dict[str, Given] = {"heat": power.heat_w, "mechanical": power.mechanical_w, "efficiency": share}
    formula = "(heat + mechanical) / efficiency"
    needed = ledger.put("needed_w", formula, power.needed_w, "W", "energy is kept", **given)
    given = {"share": rule, "currents": sum(currents_a)}
    rule_a = ledger.put("rule_a", "share * currents", power.rule_a, "A", rule.source, **given)
    formula, source = "max(needed_w / voltage, rule_a)", "our choice: the greater of the two is safe"
    given = {"needed_w": needed, "voltage": voltage_v, "rule_a": rule_a}
    ledger.put("needed_a", formula, power.needed_a, "A", source, **given)


def _show_motor(ledger: Ledger, parts: Parts, own: Drawn) -> None:
    winding = own.winding
    teeth, peak, flux = winding.rotor_teeth, winding.peak_a, winding.flux_wb
    given: dict[str, Given] = {"current": parts.current, "factor": parts.peak_a(Corner.ENTERED) / parts.current.value}
    given |= {"voltage": parts.voltage, "resistance": parts.resistance}
    source = "the peak of a sine is sqrt(2) times its rms; no more than the supply pushes through the coil"
    ledger.put("peak_a", "min(current * factor, voltage / resistance)", peak, "A", source, **given)
    given = {"holding_torque": parts.holding_torque, "teeth": float(teeth), "rated_current": parts.rated_current}
    ledger.put("flux_wb", "holding_torque / (sqrt(2) * teeth * rated_current)", flux, "Wb", MOTOR, **given)
    given = {"teeth": float(teeth), "flux": flux, "peak": peak}
    ledger.put("torque_n_m.standing", "teeth * flux * peak", own.standing_n_m, "N*m", MOTOR, **given)
    if parts.microsteps is not None:
        pull = incremental_torque_n_m(own.standing_n_m, parts.microsteps)
        formula, source = "standing * sin(pi / (2 * microsteps))", "the sinusoid of a two-phase motor; Jones"
        small: dict[str, Given] = {"standing": own.standing_n_m, "microsteps": parts.microsteps}
        ledger.put("torque_n_m.microstep", formula, pull, "N*m", source, **small)
    if own.full_torque_rpm > 0:
        given |= {"resistance": parts.resistance, "inductance": parts.inductance, "voltage": parts.voltage}
        ledger.put("full_torque_rpm", CORNER, own.full_torque_rpm, "rpm", MOTOR, **given)


def _show_inertia(ledger: Ledger, parts: Parts, own: Drawn) -> None:
    turning, sizes = own.turning_inertia_kg_m2, parts.screw
    formula, given = "rotor", dict[str, Given]({"rotor": parts.rotor_inertia})
    if sizes is not None and parts.reduction is not None:
        formula = "rotor + pi * density * span / 1000 * (thick / 1000)**4 / 32 / reduction**2"
        thick = (sizes.diameter.value + sizes.root.value) / 2
        density = shaft.steel().density_kg_m3
        given |= {"density": density, "span": sizes.span, "thick": thick, "reduction": parts.reduction}
    source = "rotor and screw; the rod as thick as the mean of major and root diameter"
    ledger.put("turning_inertia_kg_m2", formula, turning, "kg*m^2", source, **given)
    given = {"turning": turning, "mass": parts.mass, "motors": own.motors, "travel_per_turn": own.travel_per_turn_mm}
    formula = "turning + mass / motors * (travel_per_turn / (2000 * pi))**2"
    ledger.put("inertia_kg_m2", formula, own.inertia_kg_m2, "kg*m^2", "equal energy of motion", **given)
    teeth, standing, inertia = own.winding.rotor_teeth, own.standing_n_m, own.inertia_kg_m2
    resonance = resonance_hz(standing, inertia, teeth)
    given = {"teeth": float(teeth), "standing": standing, "inertia": inertia}
    source = "Acarnley, chapter 4, from memory; Jones"
    ledger.put("resonance_hz", "sqrt(teeth * standing / inertia) / (2 * pi)", resonance, "Hz", source, **given)


def _show_needs(ledger: Ledger, parts: Parts, own: Drawn) -> None:
    load, turn = own.load, own.travel_per_turn_mm
    common: dict[str, Given] = {
        "travel_per_turn": turn,
        "efficiency": own.efficiency,
        "collar": own.collar_n_m_n,
        "motors": own.motors,
    }
    formula = f"turning * acceleration * 2 * pi / travel_per_turn + mass * acceleration / 1000 * {THROUGH}"
    given: dict[str, Given] = {"turning": own.turning_inertia_kg_m2, "mass": parts.mass}
    given |= {"acceleration": parts.axis.acceleration_mm_s2, **common}
    ledger.put("torque_n_m.accelerate", formula, load.accelerate_n_m, "N*m", THRUST, **given)
    ledger.put("torque_n_m.drag", f"drag * {THROUGH}", load.drag_n_m, "N*m", THRUST, drag=parts.drag, **common)
    allowance = parts.cutting_allowance
    ledger.put("torque_n_m.cut", f"allowance * {THROUGH}", load.cut_n_m, "N*m", THRUST, allowance=allowance, **common)
    if parts.axis.name == "z":
        formula = f"max(mass * g - carried, carried - mass * g) * {THROUGH}"
        given = {"mass": parts.mass, "g": STANDARD_GRAVITY, "carried": parts.counterbalance, **common}
        ledger.put("torque_n_m.lift", formula, load.lift_n_m, "N*m", THRUST, **given)
    given = {"accelerate": load.accelerate_n_m, "drag_torque": load.drag_n_m, "cut": load.cut_n_m}
    given |= {"lift": load.lift_n_m}
    formula = "accelerate + drag_torque + cut + lift"
    ledger.put("torque_n_m.needed", formula, load.sum_n_m, "N*m", "their sum", **given)
    standing = own.standing_n_m
    thrust = own.thrust_n(standing)
    ledger.put("thrust_n.standing", f"standing / ({THROUGH})", thrust, "N", THRUST, standing=standing, **common)


def _show_speed(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    speed = parts.axis.speed_mm_s
    entered = Input(value=speed.value * 60, unit="mm/min", origin=speed.origin.value)
    rpm, turn = own.rpm(speed.value), own.travel_per_turn_mm
    ledger.put("entered_rpm", "speed / travel_per_turn", rpm, "rpm", ARITHMETIC, speed=entered, travel_per_turn=turn)
    winding, model = own.winding, own.model_n_m(speed.value)
    given: dict[str, Given] = {"teeth": float(winding.rotor_teeth), "flux": winding.flux_wb, "peak": winding.peak_a}
    formula = "teeth * flux * peak"
    if rpm > own.full_torque_rpm:
        formula = "greatest torque with current and voltage both within their limits"
        given |= {"resistance": parts.resistance, "inductance": parts.inductance, "voltage": parts.voltage, "rpm": rpm}
    ledger.put("torque_n_m.model", formula, model, "N*m", MOTOR, **given)
    share = limit("running_expected")
    left = share.value * model
    ledger.put("torque_n_m.at_speed", "model * share", left, "N*m", share.source, model=model, share=share)
    through: dict[str, Given] = {"left": left, "travel_per_turn": turn, "efficiency": own.efficiency}
    through |= {"collar": own.collar_n_m_n, "motors": own.motors}
    ledger.put("thrust_n.at_speed", f"left / ({THROUGH})", own.thrust_n(left), "N", THRUST, **through)
    bound, margin = axis.speed_mm_s.limits["torque"], limit("torque_margin")
    if bound is not None:
        formula = "fastest speed where the model times share is at least margin times needed"
        given = {"share": limit("running_low"), "margin": margin, "needed": own.load.sum_n_m}
        ledger.put("limits.torque", formula, bound * 60, "mm/min", margin.source, **given)
    given = {"speed": entered, "acceleration": parts.axis.acceleration_mm_s2}
    ledger.put("braking_mm", "(speed / 60)**2 / (2 * acceleration)", axis.braking_mm, "mm", "kinematics", **given)


def _show_pulses(ledger: Ledger, axis: AxisSettings, parts: Parts) -> None:
    typed = parts.axis.steps_per_mm
    if typed is None and axis.steps is None:
        return
    per_mm = typed if typed is not None else float(axis.steps.per_mm) if axis.steps else 0.0
    limits = axis.speed_mm_s.limits
    if (bound := limits["pulse-rate"]) is not None:
        given: dict[str, Given] = {"pulse_rate": parts.pulse_rate, "steps_per_mm": per_mm}
        ledger.put("limits.pulse-rate", "60 * pulse_rate / steps_per_mm", bound * 60, "mm/min", ARITHMETIC, **given)
    if (bound := limits["driver-pulse"]) is not None:
        given = {"pulse_min": parts.pulse_min, "steps_per_mm": per_mm}
        source = "a pulse and the pause behind it each last at least this long"
        ledger.put("limits.driver-pulse", "60 / (2 * pulse_min) / steps_per_mm", bound * 60, "mm/min", source, **given)


def _show_fall(ledger: Ledger, axis: AxisSettings, parts: Parts, own: Drawn) -> None:
    fall = axis.fall
    if fall is None:
        return
    pull = "max(0, mass * g - carried - drag) * travel_per_turn / (2000 * pi) * max(0, efficiency_back)"
    given: dict[str, Given] = {"mass": parts.mass, "g": STANDARD_GRAVITY, "carried": parts.counterbalance}
    given |= {"drag": parts.drag, "travel_per_turn": own.travel_per_turn_mm, "efficiency_back": own.efficiency_back}
    ledger.put("fall.pull_n_m", pull, fall.pull_n_m.expected, "N*m", THRUST, **given)
    if fall.seconds is not None:
        formula = (
            "sqrt(2 * 50 / 1000 * (turning * 2000 * pi / travel_per_turn"
            " + mass * travel_per_turn / (2000 * pi) * efficiency_back) / pull)"
        )
        given = {"turning": own.turning_inertia_kg_m2, "mass": parts.mass, "pull": fall.pull_n_m.expected}
        given |= {"travel_per_turn": own.travel_per_turn_mm, "efficiency_back": own.efficiency_back}
        ledger.put("fall.seconds_50_mm", formula, fall.seconds.expected, "s", "Newton's second law", **given)

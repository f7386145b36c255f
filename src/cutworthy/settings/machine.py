"""The whole machine: its axes, its supply, its wiring."""

from dataclasses import replace

from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.settings import AxisSettings, CurvePoint, MachineSettings, Power
from cutworthy.reference.tables import limit
from cutworthy.settings import motor, supply
from cutworthy.settings.axis import curve, settle_axis
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Corner, Parts
from cutworthy.settings.shown import show_axis, show_power
from cutworthy.settings.wiring import check_wiring

__all__ = ["settle"]

CURVE_REACH = 1.3  # of the fastest limit that a picture shows


def settle(machine: Machine, *, curves: bool = False) -> MachineSettings:
    """Return what the parts of a machine allow.

    Parameters
    ----------
    machine
        The machine, as its card describes it.
    curves
        Whether each axis carries its torque over speed, for pictures.
    """
    axes: dict[AxisName, AxisSettings] = {}
    known: dict[AxisName, tuple[Parts, Drawn]] = {}
    for name in AXES:
        axis, parts, at = settle_axis(machine, machine.axes[name])
        if at:
            own = at[Corner.ENTERED]
            known[name] = parts, at[Corner.HOPEFUL]
            show_axis(axis, parts, own)
            axis = replace(axis, curve=_curve(axis, own)) if curves else axis
        axes[name] = axis
    power = _power(known)
    return MachineSettings(axes=axes, power=power, wiring=check_wiring(machine.wiring, machine.connector))


def _curve(axis: AxisSettings, own: Drawn) -> tuple[CurvePoint, ...]:
    shown = [limit for name, limit in axis.speed_mm_s.limits.items() if limit is not None and name != "driver-pulse"]
    return curve(own, CURVE_REACH * max(axis.speed_mm_s.entered, min(shown, default=0.0)))


def _power(known: dict[AxisName, tuple[Parts, Drawn]]) -> Power | None:
    """Return what the supply must give when every axis pulls with all it has at its entered speed.

    What is not on the card counts at the end that asks for more. None unless every driver's current is
    there: a guess of it would be no help to anybody.
    """
    if any(name not in known or not known[name][0].current.stated for name in AXES):
        return None
    heat = mechanical = 0.0
    currents: list[float] = []
    for parts, most in known.values():
        motors, speed = parts.axis.motors, parts.axis.speed_mm_s.value
        coils = max(motor.coil_heat_w(winding) for winding in most.windings)
        heat += motors * coils * supply.hot_ratio(limit("hot_coil").value)
        mechanical += motors * motor.mechanical_power_w(most.model_n_m(speed), most.rpm(speed))
        currents += [parts.current.value] * motors
    needed_w = supply.supply_power_w(heat, mechanical, limit("driver_efficiency").value)
    rule_a = supply.two_thirds_current_a(currents)
    voltage = known["x"][0].voltage.value
    power = Power(
        heat_w=heat,
        mechanical_w=mechanical,
        needed_w=needed_w,
        needed_a=max(supply.supply_current_a(needed_w, voltage), rule_a),
        rule_a=rule_a,
    )
    show_power(power, voltage, currents)
    return power

"""The whole machine: its axes, its supply, its wiring."""

from dataclasses import replace

from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.settings import AxisSettings, CurvePoint, MachineSettings, Power
from cutworthy.reference.tables import limit
from cutworthy.settings import motor, supply
from cutworthy.settings.axis import curve, settle_axis
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Parts
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
        axis, parts, own = settle_axis(machine, machine.axes[name])
        if own is not None:
            known[name] = parts, own
            show_axis(axis, parts, own)
        axes[name] = replace(axis, curve=_curve(axis, own)) if curves and own is not None else axis
    power = _power(known)
    return MachineSettings(axes=axes, power=power, wiring=check_wiring(machine.wiring, machine.connector))


def _curve(axis: AxisSettings, own: Drawn) -> tuple[CurvePoint, ...]:
    shown = [limit for name, limit in axis.speed_mm_s.limits.items() if limit is not None and name != "driver-pulse"]
    return curve(own, CURVE_REACH * max(axis.speed_mm_s.entered, min(shown)))


def _power(known: dict[AxisName, tuple[Parts, Drawn]]) -> Power | None:
    """Return what the supply must give when every axis pulls with all it has at its entered speed.

    None unless every axis has a motor label: a guess of the current would be no help to anybody.
    """
    if any(name not in known or not known[name][0].current.stated for name in AXES):
        return None
    heat = mechanical = 0.0
    currents: list[float] = []
    for parts, own in known.values():
        motors, speed = parts.axis.motors, parts.axis.speed_mm_s.value
        heat += motors * motor.coil_heat_w(own.winding) * supply.resistance_hot_ohm(1.0, limit("hot_coil").value)
        mechanical += motors * motor.mechanical_power_w(own.model_n_m(speed), own.rpm(speed))
        currents += [parts.current.value] * motors
    needed_w = supply.supply_power_w(heat, mechanical, limit("driver_efficiency").value)
    rule_a = supply.two_thirds_current_a(currents)
    voltage = next(iter(known.values()))[1].voltage_v
    power = Power(
        heat_w=heat,
        mechanical_w=mechanical,
        needed_w=needed_w,
        needed_a=max(needed_w / voltage, rule_a),
        rule_a=rule_a,
    )
    show_power(power, voltage, currents)
    return power

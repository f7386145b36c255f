"""What readings of a sitting tell, and what to do about it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from cutworthy import metrology, settings
from cutworthy.metrology import Sitting
from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.reading import Readings
from cutworthy.model.result import Measured, MeasureOutcome
from cutworthy.reference.instruments import Instrument
from cutworthy.working import Input, record, unrecorded

__all__ = ["TOLD_KINDS", "MeasureRequest", "tell_readings"]

# How the results of each kind come about, and where that is from.
FORMULAS: Mapping[str, tuple[str, str]] = {
    "scale": ("slope of the deviation over the length, an offset for each side; least squares", "GUM H.3"),
    "reversal": ("mean of from + less from -, without a pull", "ISO 230-2:2014, from memory"),
    "positioning": ("of the means and 2 s of each target and side", "ISO 230-2:2014, from memory"),
    "square-diagonals": ("asin((D1^2 - D2^2) / 4ab)", "geometry of a parallelogram"),
    "square-flip": ("gap / 2 over the length", "geometry: flipped over, an angle shows twice"),
    "tram": ("reading = c + r (a cos + b sin); least squares", "a plane seen on a circle"),
    "flatness": ("narrowest zone by a linear program; least squares", "ISO 1101, from memory"),
    "circle": ("radius by angle, both ways round; least squares", "ISO 230-4:2005, from memory; first order"),
    "proof-load": ("mass x 9.80665 m/s^2", "weight"),
    "runout": ("greatest less least reading; first harmonic", "definition"),
    "test-piece": ("size = nominal (1 + scale) +- bit - lost motion; least squares", "first order in all errors"),
}
_TELLERS: Mapping[str, Callable[[Sitting], MeasureOutcome]] = metrology.TELLERS
TOLD_KINDS = tuple(_TELLERS)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureRequest:
    """Readings, the instrument they were taken with, and the machine where the kind needs it.

    ``bolts_mm``: distances of the bolts that the spindle is shimmed at, along x and y.
    """

    readings: Readings
    instrument: Instrument
    axis: AxisName | None
    machine: Machine | None
    bolts_mm: Mapping[str, float]


def tell_readings(request: MeasureRequest) -> MeasureOutcome:
    """Return what readings tell.

    Raises
    ------
    ReadingsError
        When there are too few of them, or they cannot tell what is asked of them.
    """
    steps = thrust = None
    if request.machine is not None and request.axis is not None:
        entered = request.machine.axes[request.axis].steps_per_mm
        steps = None if entered is None else entered.value
        with unrecorded():
            torques = settings.settle(request.machine).axes[request.axis].torques
        thrust = None if torques is None else torques.standing_n.low
    sitting = Sitting(
        readings=request.readings,
        instrument=request.instrument,
        axis=request.axis,
        steps_per_mm=steps,
        thrust_n=thrust,
        bolts_mm=request.bolts_mm,
    )
    outcome = _TELLERS[request.readings.kind.name](sitting)
    _show(outcome, sitting)
    return outcome


def _show(outcome: MeasureOutcome, sitting: Sitting) -> None:
    """Record how each result came about."""
    own = sitting.instrument
    inputs = {
        "readings": Input(value=len(sitting.readings.rows), unit="", origin="measured"),
        "one reading": Input(value=max(own.each_mm, own.least_mm), unit="mm", origin="label"),
        "common to all": Input(value=own.common_mm, unit="mm", origin="label"),
    }
    formula, source = FORMULAS[outcome.kind]
    for name, one in outcome.results.items():
        if isinstance(one, Measured):
            record(name, formula, inputs, one.value, unit=one.unit, source=source)
            how = f"t({one.dof:.3g}) times its standard uncertainty {one.u:.3g} {one.unit}"
            record(f"{name}, half its interval", how, {}, one.expanded, unit=one.unit, source="GUM 5.1.2 and G.4.1")
        else:
            record(name, formula, inputs, one.value, unit=one.unit, source=source)

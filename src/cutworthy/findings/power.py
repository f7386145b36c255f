"""Do current and voltage fit motor, driver and supply?"""

import math
from collections.abc import Iterator

from cutworthy.findings.registry import machine_rule
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.machine import Axis, Driver, Motor
from cutworthy.model.program import Level
from cutworthy.model.settings import Settled
from cutworthy.reference.tables import default, limit

__all__: list[str] = []

SAME = 1 + 1e-9  # more than the rating by rounding only is no finding


@machine_rule(
    "current-wrong", Level.NO_GO, Level.ASK, source="the motor's rated current, both coils at it: its root mean square"
)
def _current_wrong(settled: Settled) -> Iterator[Finding]:
    """The driver is set to more current than the motor may have, or nobody can tell."""
    for axis in settled.machine.axes.values():
        found = _current(axis.motor, axis.driver)
        if found:
            level, case, numbers = found
            yield Finding(id="current-wrong", level=level, case=case, about=axis.name, numbers=numbers)
        elif _sinks(axis):
            yield Finding(id="current-wrong", level=Level.ASK, case="idle-none", about=axis.name)


@machine_rule("voltage-high", Level.NO_GO, Level.ASK, limit_key="voltage_room")
def _voltage_high(settled: Settled) -> Iterator[Finding]:
    """The supply gives more voltage than the driver bears, or leaves no room for braking."""
    supply = settled.machine.supply
    stated = supply.voltage_v if supply is not None else None
    volts = default("supply_voltage").high if stated is None else stated.value
    for axis in settled.machine.axes.values():
        if axis.driver is None:
            continue
        most = axis.driver.max_voltage_v
        numbers: Numbers = {"value": volts, "limit": most.value if most else None, "unit": "V"}
        least = default("max_voltage").low if most is None else most.value
        if volts <= limit("voltage_room").value * least:
            continue
        level = Level.NO_GO if stated is not None and most is not None and volts > least * SAME else Level.ASK
        case = "unknown" if most is None else "near" if level is Level.ASK else "beyond"
        yield Finding(
            id="voltage-high",
            level=level,
            case="supply-unknown" if stated is None else case,
            about=axis.name,
            numbers=numbers,
        )


@machine_rule("supply-short", Level.ASK, limit_key="supply_rule")
def _supply_short(settled: Settled) -> Iterator[Finding]:
    """The supply gives less current than the motors may ask for."""
    supply, power = settled.machine.supply, settled.settings.power
    if power is None or supply is None:
        return
    if supply.current_a is None:
        numbers: Numbers = {"value": None, "limit": power.needed_a, "unit": "A"}
        yield Finding(id="supply-short", level=Level.ASK, case="unknown", about="supply.current", numbers=numbers)
    elif supply.current_a.value < power.needed_a:
        numbers = {"value": supply.current_a.value, "limit": power.needed_a, "unit": "A"}
        yield Finding(id="supply-short", level=Level.ASK, case="short", about="supply.current", numbers=numbers)


def _current(motor: Motor | None, driver: Driver | None) -> tuple[Level, str, Numbers] | None:
    rated = motor.rated_current_a if motor else None
    if driver is None or driver.current_a is None:
        told: Numbers = {"value": None, "limit": rated.value if rated else None, "unit": "A"}
        return None if rated is None else (Level.ASK, "setting-unknown", told)
    numbers: Numbers = {"value": driver.current_a.value, "limit": rated.value if rated else None, "unit": "A"}
    if rated is None:
        return Level.ASK, "rating-unknown", numbers
    as_peak = driver.current_a.value / math.sqrt(2)
    if driver.current_is == "peak":
        return (Level.NO_GO, "peak", numbers) if as_peak > rated.value * SAME else None
    if driver.current_is == "rms":
        return (Level.NO_GO, "rms", numbers) if driver.current_a.value > rated.value * SAME else None
    if as_peak > rated.value * SAME:
        return Level.NO_GO, "either", numbers
    return (Level.ASK, "meaning-unknown", numbers) if driver.current_a.value > rated.value * SAME else None


def _sinks(axis: Axis) -> bool:
    idle = axis.driver.idle_current_ratio if axis.driver else None
    return axis.name == "z" and idle is not None and idle.value == 0

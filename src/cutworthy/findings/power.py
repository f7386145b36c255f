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
    if supply is None or supply.voltage_v is None:
        return
    volts = supply.voltage_v.value
    for axis in settled.machine.axes.values():
        most = axis.driver.max_voltage_v if axis.driver else None
        numbers: Numbers = {"value": volts, "limit": most.value if most else None, "unit": "V"}
        least = default("max_voltage").low
        found: tuple[Level, str] | None = None
        if most is None:
            found = (Level.ASK, "unknown") if volts > limit("voltage_room").value * least else None
        elif volts > most.value * SAME:
            found = Level.NO_GO, "beyond"
        elif volts > limit("voltage_room").value * most.value:
            found = Level.ASK, "near"
        if found:
            yield Finding(id="voltage-high", level=found[0], case=found[1], about=axis.name, numbers=numbers)


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
    if driver is None or driver.current_a is None:
        return None
    rated = motor.rated_current_a if motor else None
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

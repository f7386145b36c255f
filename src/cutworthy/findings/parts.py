"""Is a part missing on the card, and what happens when the power goes?"""

from collections.abc import Iterator

from cutworthy.findings.registry import machine_rule
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.program import Level
from cutworthy.model.settings import Settled

__all__: list[str] = []

# What is told by a label or measured in a minute, and decides what an axis can do, by its table of the card.
MOTOR = ("motor.holding_torque", "motor.rated_current", "motor.resistance", "motor.inductance", "driver.current")
ALONE = ("drive.diameter", "drive.span", "drive.friction", "moving_mass", "drag")


@machine_rule("part-missing", Level.ASK, source="our choice: what is guessed wide is said aloud")
def _part_missing(settled: Settled) -> Iterator[Finding]:
    """A number that decides what an axis can do is not on the card, and was guessed wide."""
    machine = settled.machine
    for axis in settled.settings.axes.values():
        own, drive, driver = f"axes.{axis.axis}", machine.axes[axis.axis].drive, machine.axes[axis.axis].driver
        guessed = [key.removeprefix(f"{own}.") for key in axis.guessed]
        if axis.travel_per_turn_mm is None:
            half = drive is not None and drive.pitch_mm is not None and drive.starts is None
            yield _missing("starts" if half else "turn", f"{own}.drive.lead", ["drive"])
        if driver is None or driver.microsteps is None:
            yield _missing("microsteps", f"{own}.driver.microsteps", ["driver.microsteps"])
        label = [key for key in MOTOR if key in guessed]
        if label:
            yield _missing("motor", f"{own}.motor", label)
        for key in ALONE:
            if key in guessed and (drive is not None or not key.startswith("drive.")):
                yield _missing(key.removeprefix("drive."), f"{own}.{key}", [key])
    if machine.supply is None or machine.supply.voltage_v is None:
        yield _missing("supply", "supply.voltage", ["supply.voltage"])


def _missing(case: str, about: str, keys: list[str]) -> Finding:
    return Finding(id="part-missing", level=Level.ASK, case=case, about=about, numbers={"keys": ", ".join(keys)})


@machine_rule("z-falls", Level.ASK, source="mechanics of the screw, with friction from the card or guessed")
def _z_falls(settled: Settled) -> Iterator[Finding]:
    """Z goes down on its own when the power goes, or may do so."""
    fall, stop = settled.settings.axes["z"].fall, settled.machine.estop
    held = stop is not None and stop.holds_z and stop.cuts is not None and "motors" in stop.cuts
    if fall is None and not held:
        yield Finding(id="z-falls", level=Level.ASK, case="unknown", about="z")
    if fall is None or fall.falls == "no":
        return
    numbers: Numbers = {
        "pull_n_m": fall.pull_n_m.expected,
        "hold_n_m": fall.hold_n_m.expected,
        "fast_s": None if fall.seconds is None else fall.seconds.low,
        "way_mm": 50.0,
    }
    case = fall.falls if fall.seconds else "unsure-slow"
    yield Finding(id="z-falls", level=Level.ASK, case=case, about="z", numbers=numbers)


@machine_rule("stop-not-hardwired", Level.ASK, source="IEC 60204-1, 9.2.2: an emergency stop is category 0 or 1")
def _stop_not_hardwired(settled: Settled) -> Iterator[Finding]:
    """The emergency stop goes through software, or nobody says what it cuts."""
    stop = settled.machine.estop
    if stop is None or stop.hardwired is None:
        yield Finding(id="stop-not-hardwired", level=Level.ASK, case="unknown", about="estop.hardwired")
    elif not stop.hardwired:
        yield Finding(id="stop-not-hardwired", level=Level.ASK, case="software", about="estop.hardwired")
    if stop is not None and stop.cuts is None:
        yield Finding(id="stop-not-hardwired", level=Level.ASK, case="cuts-unknown", about="estop.cuts")
    if stop is not None and stop.cuts is not None and set(stop.cuts) != {"spindle", "motors"}:
        left = "spindle" if "spindle" not in stop.cuts else "motors"
        case = "cuts-nothing" if not stop.cuts else f"leaves-{left}"
        yield Finding(id="stop-not-hardwired", level=Level.ASK, case=case, about="estop.cuts")

"""What is true of an axis besides what is typed in: how fine, how true, how strong, where it growls."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutworthy.model.machine import Axis, Drive, Machine
from cutworthy.model.settings import AxisSettings, Fall, MachineSettings
from cutworthy.present.boxes import steps_per_turn
from cutworthy.present.sums import Both, By, Shown, Term, digits, exact, reckon
from cutworthy.present.touch import label_unknown, rests_on, words
from cutworthy.reference.tables import default, limit

__all__ = ["Fact", "facts", "fall_says", "supply_fact"]

STEPS_TO_RELOCK = 4  # full steps: one turn of the currents
WAY_MM = 50.0  # that the time of a fall is told for
MILLION = 1_000_000
SAME = 1e-9
PUSHES = ("motor.resistance", "motor.inductance", "supply.voltage", "driver.current", "drive.friction")
SWINGS = ("motor.rotor_inertia", "driver.current", "moving_mass", "drive.diameter", "drive.span")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One fact: its number in both units, or, where it is None, what to do to know it.

    ``says``: the number in both units, or that it is not known. ``sums``: arithmetic. ``words``: what
    it is, the same for every axis. ``source``: where the number comes from, empty where the sum says
    it. ``guesses``: names of the guessed numbers that it rests on.
    """

    key: str
    name: str
    value: Both | None
    says: str
    sums: tuple[str, ...]
    words: str
    source: str
    guesses: tuple[str, ...]


def facts(axis: Axis, settings: AxisSettings, shown: Shown) -> tuple[Fact, ...]:
    """Return the facts of an axis, in the order in which they are read."""
    found = [
        _resolution(axis, settings, shown),
        _repeatability(axis, settings, shown),
        _accuracy(axis, settings, shown),
        _relock(axis, settings, shown),
        _growl(settings, shown),
        _thrust(settings, shown),
    ]
    if axis.name == "z":
        found.append(_fall(axis.drive, settings.fall, shown))
    return tuple(found)


def supply_fact(machine: Machine, settings: MachineSettings) -> Fact:
    """Return what the supply of the motors must give."""
    power = settings.power
    if power is None:
        return _fact("supply", None, unknown="label")
    currents = [
        axis.driver.current_a.value
        for axis in machine.axes.values()
        for _ in range(axis.motors)
        if axis.driver and axis.driver.current_a
    ]
    share = limit("supply_rule").value
    sums: tuple[str, ...] = ()
    if currents and abs(sum(currents) * share - power.rule_a) <= SAME * power.rule_a:
        terms = [*(Term(each, by=By.PLUS) for each in currents), Term(share)]
        sums = (reckon(terms, power.rule_a, "A", 4).line,)
    # What is needed is never rounded down.
    needed = f"{digits(ceil(power.needed_a * 10) / 10, 4)} A, {digits(ceil(power.needed_w), 4)} W"
    return _fact("supply", Both(needed, needed), says=needed, sums=sums)


def fall_says(drive: Drive | None, fall: Fall | None, shown: Shown) -> str:
    """Return whether Z comes down without power, and how fast, in words."""
    row = words()["falls"]
    if drive is not None and drive.brake:
        return str(row["brake"])
    if fall is None:
        return str(row["unknown"])
    says = str(row[fall.falls])
    if fall.seconds is None:
        return says
    way, seconds = shown.length(WAY_MM, 2).text, f"{digits(fall.seconds.expected, 2)} s"
    return f"{says} {row['time'].format(way=way, seconds=seconds)}"


def _resolution(axis: Axis, settings: AxisSettings, shown: Shown) -> Fact:
    steps, turn_mm = settings.steps, settings.travel_per_turn_mm
    if steps is None or turn_mm is None or axis.driver is None or axis.driver.microsteps is None:
        return _fact("resolution", None, unknown="turn" if turn_mm is None else "microsteps")
    counts = (steps_per_turn(axis), axis.driver.microsteps)
    terms = [Term(shown.own(turn_mm)), *(Term(count, by=By.OVER) for count in counts)]
    finest = reckon(terms, shown.own(steps.resolution_mm), shown.unit, 5)
    return _length("resolution", steps.resolution_mm, shown, sums=(finest.line,))


def _repeatability(axis: Axis, settings: AxisSettings, shown: Shown) -> Fact:
    least, steps = settings.smallest_move_mm, settings.steps
    open_turn = "turn" if settings.travel_per_turn_mm is None else "microsteps" if steps is None else "lag"
    unknown = "label" if label_unknown(settings) else open_turn
    if least is None or steps is None or label_unknown(settings):
        return _fact("repeatability", None, unknown=unknown)
    within = settings.step_accuracy_mm
    rule = "lag"
    if abs(least.expected - steps.resolution_mm) <= SAME * least.expected:
        rule = "microstep"
    elif within is not None and abs(least.expected - within) <= SAME * least.expected:
        rule = "accuracy"
    sums: tuple[str, ...] = ()
    if rule == "accuracy" and settings.travel_per_turn_mm is not None:
        turn = shown.own(settings.travel_per_turn_mm)
        terms = [Term(turn), Term(steps_per_turn(axis), by=By.OVER), Term(Fraction(5)), Term(100, by=By.OVER)]
        sums = (reckon(terms, shown.own(least.expected), shown.unit, 4).line,)
    rests = rests_on(settings, ("drag", "driver.current", "drive.friction"))
    source = str(words()["repeatability"][rule])
    return _length("repeatability", least.expected, shown, sums=sums, guesses=rests, source=source)


def _accuracy(axis: Axis, settings: AxisSettings, shown: Shown) -> Fact:
    off, drive = settings.lead_error_mm, axis.drive
    if off is None or drive is None:
        return _fact("accuracy", None, unknown="turn")
    kind = "belt" if drive.kind != "screw" else "ball" if drive.thread == "ball" else "rolled"
    row = default(f"lead_error_{kind}")
    travel = shown.own(axis.travel_mm.value)
    terms = [Term(travel, shown.unit), Term(exact(row.value)), Term(MILLION, by=By.OVER)]
    line = reckon(terms, shown.own(off.expected), shown.unit, 3).line
    source = f"{words()['accuracy'][kind]}: {row.source}"
    return _length("accuracy", off.expected, shown, most=2, sums=(line,), source=source)


def _relock(axis: Axis, settings: AxisSettings, shown: Shown) -> Fact:
    turn_mm, steps = settings.travel_per_turn_mm, settings.steps
    if turn_mm is None or steps is None:
        return _fact("relock", None, unknown="turn" if turn_mm is None else "microsteps")
    terms = [Term(STEPS_TO_RELOCK), Term(shown.own(turn_mm), shown.unit), Term(steps_per_turn(axis), "steps", By.OVER)]
    sums = (reckon(terms, shown.own(steps.relock_mm), shown.unit, 4).line,)
    source = str(words()["relock"]["sides"]) if axis.motors > 1 else ""
    return _length("relock", steps.relock_mm, shown, sums=sums, source=source)


def _growl(settings: AxisSettings, shown: Shown) -> Fact:
    if settings.torques is None or label_unknown(settings):
        return _fact("growl", None, unknown="turn" if settings.torques is None else "label")
    value = shown.speeds(settings.torques.growl_mm_s)
    return _fact("growl", value, guesses=rests_on(settings, SWINGS))


def _thrust(settings: AxisSettings, shown: Shown) -> Fact:
    torques = settings.torques
    if torques is None:
        return _fact("thrust", None, unknown="turn")
    if label_unknown(settings):
        most = shown.force(torques.standing_n.high, 2).text
        says = f"{words()['unknown']['label']}; {words()['thrust']['guess'].format(most=most)}"
        return _fact("thrust", None, says=says)
    moving, standing = shown.force(torques.at_speed_n.expected), shown.force(torques.standing_n.expected)
    at_speed, still = words()["thrust"]["known"]
    says = f"{at_speed.format(moving=moving.text)}, {still.format(standing=standing.text)}"
    return _fact("thrust", standing, says=says, guesses=rests_on(settings, PUSHES))


def _fall(drive: Drive | None, fall: Fall | None, shown: Shown) -> Fact:
    return _fact("fall", None, says=fall_says(drive, fall, shown))


def _length(
    key: str,
    value_mm: float,
    shown: Shown,
    *,
    most: int = 4,
    sums: Sequence[str] = (),
    source: str = "",
    guesses: Sequence[str] = (),
) -> Fact:
    return _fact(key, shown.length(value_mm, most), sums=sums, source=source, guesses=guesses)


def _fact(
    key: str,
    value: Both | None,
    *,
    says: str = "",
    unknown: str = "",
    sums: Sequence[str] = (),
    source: str = "",
    guesses: Sequence[str] = (),
) -> Fact:
    """Return a fact with its words."""
    row = words()["facts"][key]
    if not says:
        says = str(words()["unknown"][unknown]) if value is None else value.text
    return Fact(
        key=key,
        name=row["name"],
        value=value,
        says=says,
        sums=tuple(sums),
        words=row["words"],
        source=source,
        guesses=tuple(guesses),
    )

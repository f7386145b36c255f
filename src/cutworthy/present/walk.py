"""The view record of the first day: steps in a safe order, what to expect by the card, when to stop, blanks."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.settings import AxisSettings, MachineSettings
from cutworthy.present.facts import fall_says
from cutworthy.present.numbers import name_of
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING
from cutworthy.present.sums import Shown
from cutworthy.present.touch import guessed_keys, label_unknown
from cutworthy.reference.tables import limit
from cutworthy.units import STANDARD_GRAVITY

__all__ = ["Telling", "WalkDay", "WalkPart", "WalkStep", "WalkView", "walk_view"]

DAYS = (1, 2, 3)
HALF = 0.5
MOST_TELLING = 6
WAYS: dict[AxisName, str] = {"x": "X", "y": "Y", "z": "Z"}


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkStep:
    """One step. ``tells``: how many numbers that the card leaves open it gives; ``reading``: what it is typed in as."""

    number: int
    do: str
    expect: str
    stop: str
    tool: str
    reading: str
    blanks: tuple[str, ...]
    minutes: int
    tells: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkPart:
    """Steps that belong together."""

    title: str
    steps: tuple[WalkStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkDay:
    """What is done on one day, and how long it takes."""

    number: int
    minutes: int
    parts: tuple[WalkPart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """A step that tells numbers which the card leaves open: worth doing first where there is little time."""

    step: int
    tells: str
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkView:
    """The walk through the first day, or days, of a machine."""

    machine: str
    date: str
    rule: str
    danger: str
    mains: str
    days: tuple[WalkDay, ...]
    telling: tuple[Telling, ...]
    closing: str


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.present") / "walk.toml").read_text(encoding="utf-8"))


def walk_view(machine: Machine, settings: MachineSettings, *, days: int, date: str) -> WalkView:
    """Return the walk through a machine's first day, or two or three days.

    Parameters
    ----------
    machine, settings
        The machine, and what its parts allow: what a step is to show is worked out from them.
    days
        One, two or three; parts of the walk are never torn apart.
    date
        As it shall be printed.
    """
    open_keys = {key for axis in settings.axes.values() for key in guessed_keys(machine, axis)}
    expected = _expected(machine, settings)
    parts, telling = _parts(machine, expected, open_keys)
    return WalkView(
        machine=name_of(machine),
        date=plain(date),
        rule=_data()["rule"],
        danger=_data()["danger"],
        mains=_data()["mains"],
        days=_shared_out(parts, days),
        telling=telling,
        closing=CLOSING,
    )


def _parts(
    machine: Machine, expected: Mapping[str, str], open_keys: set[str]
) -> tuple[list[WalkPart], tuple[Telling, ...]]:
    """Return the steps by their parts, and those that tell most for their minutes."""
    found, told = dict[str, list[WalkStep]](), list[tuple[float, Telling]]()
    number = 0
    for row in _data()["step"]:
        if row.get("when") == "homes" and all(axis.homes_to == "none" for axis in machine.axes.values()):
            continue
        number += 1
        gives = sorted(key for key in open_keys if any(_same(key, own) for own in row.get("card", ())))
        step = WalkStep(
            number=number,
            do=row["do"],
            expect=_filled(row.get("expect", ""), row.get("unknown", ""), expected),
            stop=_filled(row.get("stop", ""), "", expected),
            tool=row.get("tool", ""),
            reading=row.get("reading", ""),
            blanks=tuple(row.get("blanks", ())),
            minutes=row["minutes"],
            tells=len(gives),
        )
        found.setdefault(row["part"], []).append(step)
        if gives:
            names = ", ".join(dict.fromkeys(key.removeprefix("axes.") for key in gives))
            told.append((step.minutes / len(gives), Telling(step=number, tells=names, minutes=step.minutes)))
    best = sorted(told, key=lambda each: each[0])[:MOST_TELLING]
    return [WalkPart(title=title, steps=tuple(steps)) for title, steps in found.items()], tuple(t for _, t in best)


def _same(key: str, own: str) -> bool:
    """Return whether an open key of the card is one that a step gives; what it says of X holds for its like."""
    return key == own or (own.startswith("axes.x.driver.") and key.endswith(own.removeprefix("axes.x.")))


def _filled(text: str, unknown: str, expected: Mapping[str, str]) -> str:
    """Return a text with its numbers, or what stands in for it where one is not known."""
    names = [name for name in expected if f"{{{name}}}" in text]
    if any(not expected[name] for name in names):
        return unknown
    return text.format_map(dict(expected)) if names else text


def _shared_out(parts: list[WalkPart], days: int) -> tuple[WalkDay, ...]:
    """Return the parts on so many days, each about as long."""
    lengths = [sum(step.minutes for step in part.steps) for part in parts]
    each, found = sum(lengths) / days, list[WalkDay]()
    group, spent, whole = list[WalkPart](), 0, 0
    for part, minutes in zip(parts, lengths, strict=True):
        over = whole + minutes / 2 > each * (len(found) + 1)
        if group and over and len(found) + 1 < days:
            found.append(WalkDay(number=len(found) + 1, minutes=spent, parts=tuple(group)))
            group, spent = [], 0
        group.append(part)
        spent, whole = spent + minutes, whole + minutes
    return (*found, WalkDay(number=len(found) + 1, minutes=spent, parts=tuple(group)))


def _expected(machine: Machine, settings: MachineSettings) -> dict[str, str]:
    """Return what the card lets one expect, each as text, empty where it is not known."""
    shown = Shown(machine.units)
    own = settings.axes
    z = machine.axes["z"]
    estop = machine.estop
    return {
        "drag": _each(own, lambda name, _: _told_force(machine, name, shown)),
        "masses": _each(own, lambda name, _: _mass(machine, name)),
        "ohms": _each(own, lambda name, _: _ohms(machine, name)),
        "switches": _each(own, lambda name, _: _switches(machine, name)),
        "volts": "" if machine.supply is None or machine.supply.voltage_v is None else (
            f"{machine.supply.voltage_v.value:g} V"
        ),
        "estop": "" if estop is None or estop.cuts is None else f"{' and '.join(estop.cuts) or 'nothing'} go dead",
        "typed": _each(own, lambda _, axis: _steps(axis)),
        "turns": _each(own, lambda _, axis: _turn(axis, shown)),
        "travels": _each(own, lambda name, _: shown.length(machine.axes[name].travel_mm.value).text),
        "push": _push(settings, shown),
        "falls": fall_says(z.drive, own["z"].fall, shown),
        "speeds": _each(own, lambda name, _: shown.speed(machine.axes[name].speed_mm_s.value).text),
        "accelerations": _each(own, lambda name, _: f"{machine.axes[name].acceleration_mm_s2.value:g} mm/s²"),
        "relock": _each(own, lambda _, a: "" if a.relock_mm is None else shown.length(a.relock_mm, 3).text),
        "growls": _each(own, lambda _, axis: _growls(axis, shown)),
        "loads": _each(own, lambda _, axis: _load(axis)),
        "mains": _data()["mains"],
    }  # fmt: skip


def _each(axes: Mapping[AxisName, AxisSettings], tell: Any) -> str:  # noqa: ANN401 - one of our own small functions
    """Return what is told of each axis, empty where it is not known of one."""
    told = [tell(name, axes[name]) for name in AXES if name in axes]
    return "" if not all(told) else "; ".join(f"{WAYS[name]} {text}" for name, text in zip(AXES, told, strict=True))


def _told_force(machine: Machine, name: AxisName, shown: Shown) -> str:
    drag = machine.axes[name].drag_n
    return "" if drag is None else shown.force(drag.value).text


def _mass(machine: Machine, name: AxisName) -> str:
    mass = machine.axes[name].moving_mass_kg
    return "" if mass is None else f"{mass.value:g} kg"


def _ohms(machine: Machine, name: AxisName) -> str:
    motor = machine.axes[name].motor
    return "" if motor is None or motor.resistance_ohm is None else f"{motor.resistance_ohm.value:g} ohm"


def _switches(machine: Machine, name: AxisName) -> str:
    driver = machine.axes[name].driver
    if driver is None or driver.microsteps is None or driver.current_a is None:
        return ""
    return f"1/{driver.microsteps}, {driver.current_a.value:g} A {driver.current_is}".removesuffix(" unknown")


def _steps(axis: AxisSettings) -> str:
    return "" if axis.steps is None else f"{float(axis.steps.per_mm):.7g} steps per mm"


def _turn(axis: AxisSettings, shown: Shown) -> str:
    return "" if axis.travel_per_turn_mm is None else shown.length(axis.travel_per_turn_mm).text


def _growls(axis: AxisSettings, shown: Shown) -> str:
    if axis.torques is None or label_unknown(axis):
        return ""
    return shown.speeds(axis.torques.growl_mm_s).text


def _push(settings: MachineSettings, shown: Shown) -> str:
    known = {name: a.torques.standing_n.expected for name, a in settings.axes.items() if a.torques is not None}
    if not known:
        return "They push hard enough to bend brackets."
    name = max(known, key=lambda own: known[own])
    return f"{WAYS[name]} pushes with {shown.force(known[name]).text}: something bends before it stops."


def _load(axis: AxisSettings) -> str:
    """Return a weight that proves and does not break: under half the predicted thrust, and what a person lifts."""
    if axis.torques is None or label_unknown(axis):
        return ""
    most = min(HALF * axis.torques.at_speed_n.low / STANDARD_GRAVITY, limit("proof_mass").value)
    kg = int(most)
    return f"up to {kg} kg ({kg * 2.2046:.0f} lb)" if kg >= 1 else ""

"""The words behind the settings of a machine: touch or leave, what you see if wrong, what is guessed."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.model.machine import Axis, Machine
from cutworthy.model.quantity import Quantity
from cutworthy.model.settings import AxisSettings, MachineSettings
from cutworthy.reference.swaps import wire_swaps

__all__ = [
    "Guess",
    "Reversal",
    "Touch",
    "guessed_keys",
    "guessed_names",
    "guesses",
    "label_unknown",
    "rests_on",
    "reversals",
    "touches",
    "words",
]

# Without these two numbers of its label nobody knows what a motor pulls.
LABEL = ("motor.holding_torque", "motor.rated_current")


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """A setting that a builder meets: touch it or leave it, why, and what is seen if it is wrong."""

    key: str
    name: str
    touch: bool
    when: str
    reason: str
    wrong: str

    @property
    def advice(self) -> str:
        """What to do, in one line."""
        return f"{'Touch' if self.touch else 'Leave'}: {self.when}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reversal:
    """A swap of wires, and what it does to the way an axis goes."""

    swap: str
    does: str
    reverses: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A number that was guessed, and the axes that rest on it, empty for all of them."""

    name: str
    axes: str

    @property
    def text(self) -> str:
        """Name and axes, as ``the drag (Y Z)``."""
        return f"{self.name} ({self.axes})" if self.axes else self.name


@cache
def words() -> Mapping[str, Any]:
    """Return the whole of ``touch.toml``."""
    return tomllib.loads((files("cutworthy.present") / "touch.toml").read_text(encoding="utf-8"))


@cache
def touches() -> Mapping[str, Touch]:
    """Return the settings by key, in the order in which a builder meets them."""
    return {
        key: Touch(
            key=key,
            name=row["name"],
            touch=row["touch"] == "touch",
            when=row["when"],
            reason=row["reason"],
            wrong=row["wrong"],
        )
        for key, row in words()["settings"].items()
    }


@cache
def reversals() -> tuple[Reversal, ...]:
    """Return the swaps of wires that a builder may think of, those that reverse an axis first."""
    swaps = {swap.id: swap for swap in wire_swaps()}
    says = words()["reversing"]["says"]
    found = []
    for key, swap in words()["reversing"]["swaps"].items():
        turns, reverses = swaps[key].turns, swaps[key].reverses
        does = says["harms"] if not turns else says["reverses"] if reverses else says["nothing"]
        found.append(Reversal(swap=swap, does=does, reverses=reverses))
    return tuple(sorted(found, key=lambda each: not each.reverses))


def guessed_keys(machine: Machine, axis: AxisSettings) -> tuple[str, ...]:
    """Return the keys of the numbers behind an axis that were guessed: by its owner on the card, or by us."""
    by_owner = [number.key for number in _numbers(machine.axes[axis.axis]) if number.is_guess and _matters(number)]
    return tuple(dict.fromkeys((*axis.guessed, *by_owner)))


def guesses(machine: Machine, settings: MachineSettings) -> tuple[Guess, ...]:
    """Return the guessed numbers of a machine by name, those of the most axes first."""
    found: dict[str, list[str]] = {}
    for name, axis in settings.axes.items():
        for guess in guessed_names(guessed_keys(machine, axis)):
            found.setdefault(guess, []).append(name.upper())
    everywhere = len(settings.axes)
    rows = sorted(found.items(), key=lambda row: -len(row[1]))
    return tuple(Guess(name=name, axes="" if len(axes) == everywhere else " ".join(axes)) for name, axes in rows)


def guessed_names(keys: Iterable[str]) -> tuple[str, ...]:
    """Return the names of guessed numbers, each once; of a motor without a label only that."""
    names = words()["guesses"]
    ends = list(dict.fromkeys(_end(key) for key in keys))
    if all(end in ends for end in LABEL):
        ends = ["motor.label", *(end for end in ends if not end.startswith("motor."))]
    return tuple(dict.fromkeys(names[end] for end in ends))


def label_unknown(axis: AxisSettings) -> bool:
    """Return whether the motor's label was not read, so that nobody knows what the motor pulls."""
    ends = {_end(key) for key in axis.guessed}
    return any(end in ends for end in LABEL)


def rests_on(axis: AxisSettings, needs: Iterable[str]) -> tuple[str, ...]:
    """Return the names of those of the needed numbers that were guessed."""
    wanted = set(needs)
    return guessed_names(key for key in axis.guessed if _end(key) in wanted)


def _end(key: str) -> str:
    """Return a key of the machine card without its axis: ``motor.inductance``, ``drag``."""
    parts = key.split(".")
    return ".".join(parts[2:] if parts[0] == "axes" else parts)


def _matters(number: Quantity) -> bool:
    return number.low < number.high


def _numbers(record: Axis | Any) -> Iterator[Quantity]:  # noqa: ANN401 - any record of a card
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, Quantity):
            yield value
        elif is_dataclass(value):
            yield from _numbers(value)

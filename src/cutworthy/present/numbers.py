"""The view record of the numbers of a machine: what to type in, the arithmetic, and what is behind it.

It holds words and numbers as text, in both units, and nothing about how they are laid out.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from cutworthy.model.machine import Axis, Machine
from cutworthy.model.program import Level
from cutworthy.model.settings import AxisSettings, MachineSettings
from cutworthy.present.boxes import Box, boxes, turn_line
from cutworthy.present.facts import Fact, facts, supply_fact
from cutworthy.present.family import Telltale, family
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING, LEVELS
from cutworthy.present.sums import Both, Shown
from cutworthy.present.touch import (
    Reversal,
    Touch,
    guessed_keys,
    guessed_names,
    guesses,
    label_unknown,
    reversals,
    touches,
    words,
)
from cutworthy.units import MM_PER_INCH, S_PER_MIN

__all__ = ["AxisNumbers", "CurveView", "LimitView", "NumbersView", "Remark", "name_of", "numbers_view"]

LONGEST = 80  # characters of a name on paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """What was found about the machine: level in words, what is said, what to do."""

    level: str
    says: str
    do: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitView:
    """A limit of the speed by its name, in the machine's units for a minute."""

    name: str
    speed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveView:
    """What the pictures of an axis show; speeds in the machine's units for a minute, torque in N·m.

    ``points``: speed, torque that is counted on, torque that is needed. ``other_factor``: from the
    machine's units to the others. ``entered``: what the card says.
    """

    unit: str
    other_unit: str
    other_factor: float
    entered: float
    points: tuple[tuple[float, float, float], ...]
    limits: tuple[LimitView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisNumbers:
    """One axis: its travel, a turn of its motor, the boxes to fill, the facts, what was guessed.

    ``curve`` is None without a motor's label, and where no curve was asked for.
    """

    name: str
    travel: Both
    turn: str
    boxes: tuple[Box, ...]
    facts: tuple[Fact, ...]
    guesses: tuple[str, ...]
    curve: CurveView | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NumbersView:
    """All the numbers of a machine, and the words behind them.

    ``date``: as the caller writes it. ``guesses``: of all axes, in one line. ``settings``: every setting
    a builder meets, touch or leave.
    ``reversing``: what to do when an axis goes the wrong way, and what each swap does.
    """

    machine: str
    date: str
    axes: tuple[AxisNumbers, ...]
    guesses: str
    supply: Fact
    remarks: tuple[Remark, ...]
    family: tuple[Telltale, ...]
    settings: tuple[Touch, ...]
    reversing: str
    reversals: tuple[Reversal, ...]
    cautions: tuple[str, ...]
    closing: str


def numbers_view(
    machine: Machine,
    settings: MachineSettings,
    *,
    findings: Iterable[Mapping[str, Any]] = (),
    units: Literal["mm", "inch"] | None = None,
    date: str = "",
) -> NumbersView:
    """Return the numbers of a machine and what is behind them.

    Parameters
    ----------
    machine, settings
        The machine and what its parts allow.
    findings
        What was found about it, as documents with ``level``, ``says`` and ``do``, gravest first.
    units
        Those that come first; without them the machine's own.
    date
        When it was worked out, as it shall be printed.
    """
    shown = Shown(units or machine.units)
    pairs = [(machine.axes[name], axis) for name, axis in settings.axes.items()]
    return NumbersView(
        machine=name_of(machine),
        date=plain(date),
        axes=tuple(_axis(machine, axis, found, shown) for axis, found in pairs),
        guesses=", ".join(guess.text for guess in guesses(machine, settings)) or words()["wall"]["no_guesses"],
        supply=supply_fact(machine, settings),
        remarks=tuple(
            Remark(level=LEVELS[Level(row["level"])], says=plain(row["says"]), do=plain(row["do"])) for row in findings
        ),
        family=family(iter(pairs)),
        settings=tuple(touches().values()),
        reversing=words()["reversing"]["rule"],
        reversals=reversals(),
        cautions=(words()["wall"]["unplug"], words()["wall"]["mains"], words()["falls"]["do"]),
        closing=CLOSING,
    )


def name_of(machine: Machine) -> str:
    """Return the name of a machine as paper can hold it."""
    name = plain(machine.name)
    return name if len(name) <= LONGEST else f"{name[: LONGEST - 1]}…"


def _axis(machine: Machine, axis: Axis, settings: AxisSettings, shown: Shown) -> AxisNumbers:
    return AxisNumbers(
        name=axis.name.upper(),
        travel=shown.length(axis.travel_mm.value),
        turn=turn_line(axis.drive, settings, shown),
        boxes=boxes(axis, settings, shown),
        facts=facts(axis, settings, shown),
        guesses=guessed_names(guessed_keys(machine, settings)),
        curve=_curve(settings, shown),
    )


def _curve(settings: AxisSettings, shown: Shown) -> CurveView | None:
    """Return what is drawn of an axis; a picture of guesses would look like knowledge, so there is none."""
    if not settings.curve or label_unknown(settings):
        return None
    to_own = S_PER_MIN if shown.units == "mm" else S_PER_MIN / MM_PER_INCH
    names = words()["limits"]
    return CurveView(
        unit=f"{shown.unit}/min",
        other_unit=f"{shown.other}/min",
        other_factor=1 / MM_PER_INCH if shown.units == "mm" else MM_PER_INCH,
        entered=settings.speed_mm_s.entered * to_own,
        points=tuple((p.speed_mm_s * to_own, p.counted_n_m, p.needed_n_m) for p in settings.curve),
        limits=tuple(
            LimitView(name=names[name]["name"], speed=limit * to_own)
            for name, limit in settings.speed_mm_s.limits.items()
            if limit is not None
        ),
    )

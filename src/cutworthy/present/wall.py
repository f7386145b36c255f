"""The view record of the sheet on the wall beside a machine: what its users must know, and nothing else."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from cutworthy.model.machine import Axis, AxisName, Machine
from cutworthy.model.program import Level
from cutworthy.model.settings import AxisSettings, MachineSettings
from cutworthy.present.boxes import boxes
from cutworthy.present.facts import fall_says
from cutworthy.present.numbers import name_of
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING, LEVELS
from cutworthy.present.sums import Both, Shown
from cutworthy.present.touch import guesses, label_unknown, words

__all__ = ["WallAxis", "WallView", "wall_view"]

PLUS: dict[AxisName, str] = {"x": "right", "y": "away", "z": "up"}
BAND = 0.15  # either side of a growl speed that is kept clear of
MOST_GUESSES = 5  # named on the wall; the numbers sheet has them all


@dataclass(frozen=True, slots=True, kw_only=True)
class WallAxis:
    """One axis: where plus goes, travel, greatest speed, one step, re-lock distance, growl bands.

    ``step`` and ``relock`` are None together where the steps are not known, ``growl`` where the motor is
    not; then ``steps_unknown`` and ``growl_unknown`` say what to do, and otherwise they are empty.
    """

    name: str
    plus: str
    travel: Both
    speed: Both
    step: Both | None
    relock: Both | None
    steps_unknown: str
    growl: Both | None
    growl_unknown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WallView:
    """Everything on the wall sheet but the lines that are filled in by hand.

    ``unsettled`` counts what was found about the machine and is still open, empty where nothing is.
    """

    machine: str
    date: str
    unsettled: str
    axes: tuple[WallAxis, ...]
    falls: str
    falls_do: str
    danger: str
    start: tuple[str, ...]
    stop: tuple[str, ...]
    cautions: tuple[str, ...]
    guesses: str
    closing: str


def wall_view(
    machine: Machine,
    settings: MachineSettings,
    *,
    date: str,
    findings: Iterable[Mapping[str, Any]] = (),
    units: Literal["mm", "inch"] | None = None,
) -> WallView:
    """Return what hangs on the wall beside a machine.

    Parameters
    ----------
    machine, settings
        The machine and what its parts allow.
    date
        When it was worked out, as it shall be printed.
    findings
        What was found about it, as documents with ``level``.
    units
        Those that come first; without them the machine's own.
    """
    shown, row = Shown(units or machine.units), words()["wall"]
    z = machine.axes["z"]
    return WallView(
        machine=name_of(machine),
        date=plain(date),
        unsettled=_unsettled(findings),
        axes=tuple(_axis(machine.axes[name], axis, shown) for name, axis in settings.axes.items()),
        falls=fall_says(z.drive, settings.axes["z"].fall, shown),
        falls_do=words()["falls"]["do"],
        danger=row["danger"],
        start=tuple(row["start"]),
        stop=tuple(row["stop"]),
        cautions=(_pinch(settings, shown), row["unplug"], row["mains"], row["body"]),
        guesses=_guesses(machine, settings),
        closing=CLOSING,
    )


def _unsettled(findings: Iterable[Mapping[str, Any]]) -> str:
    levels = [finding["level"] for finding in findings]
    counts = [f"{levels.count(level)} {LEVELS[level]}" for level in (Level.NO_GO, Level.ASK) if level in levels]
    told = words()["wall"]["refused" if Level.NO_GO in levels else "unsettled"]
    return str(told.format(open=", ".join(counts))) if counts else ""


def _axis(axis: Axis, settings: AxisSettings, shown: Shown) -> WallAxis:
    unknown, steps, torques = words()["unknown"], settings.steps, settings.torques
    speed = next(box.enter for box in boxes(axis, settings, shown) if box.touch.key == "speed")
    growl = None
    if torques is not None and not label_unknown(settings):
        growl = shown.spans([(at * (1 - BAND), at * (1 + BAND)) for at in torques.growl_mm_s])
    return WallAxis(
        name=axis.name.upper(),
        plus=PLUS[axis.name],
        travel=shown.length(axis.travel_mm.value),
        speed=speed.shorter(4) if speed is not None else Both(*[str(words()["wall"]["no_speed"])] * 2),
        step=shown.length(steps.resolution_mm) if steps else None,
        relock=shown.length(steps.relock_mm, 3) if steps else None,
        steps_unknown="" if steps else unknown["turn" if settings.travel_per_turn_mm is None else "microsteps"],
        growl=growl,
        growl_unknown="" if growl else unknown["turn" if torques is None else "label"],
    )


def _pinch(settings: MachineSettings, shown: Shown) -> str:
    """Return how hard the strongest axis pushes."""
    row = words()["wall"]
    known = {
        name: axis.torques.standing_n.expected
        for name, axis in settings.axes.items()
        if axis.torques is not None and not label_unknown(axis)
    }
    if not known:
        return str(row["pinch_unknown"])
    strongest = max(known, key=lambda name: known[name])
    others = " and ".join(name.upper() for name in settings.axes if name not in known)
    told = row["pinch_open" if others else "pinch"]
    return str(told.format(axis=strongest.upper(), force=shown.force(known[strongest]).text, others=others))


def _guesses(machine: Machine, settings: MachineSettings) -> str:
    """Return the names of the guessed numbers, as many as a wall has room for."""
    found = guesses(machine, settings)
    if not found:
        return str(words()["wall"]["no_guesses"])
    more = len(found) - MOST_GUESSES
    return ", ".join(guess.text for guess in found[:MOST_GUESSES]) + (f", and {more} more" if more > 0 else "")

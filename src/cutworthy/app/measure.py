"""Readings in, result and decision out; a changed card beside the old one when that is asked for."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from cutworthy.app.cards import MachineCard, load_machine, machine_from_text
from cutworthy.app.cards.edit import changed_text
from cutworthy.app.files import named, read_program, write_new
from cutworthy.app.readings import load_readings
from cutworthy.errors import FileError, InputError
from cutworthy.model.reading import Readings, TimedRun
from cutworthy.present.measure import card_entries, differences, time_document, time_page
from cutworthy.present.page import Line
from cutworthy.present.plain import plain
from cutworthy.workflows.commission import TimeRequest, kind_of, measure_time

__all__ = ["MeasureAnswer", "measure"]

DATED = re.compile(r"-\d{4}-\d\d-\d\d(-\d+)?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureAnswer:
    """What a face shows of readings: the decision, one document, one page."""

    decision: str
    document: dict[str, Any]
    page: list[Line]


def measure(
    name: str,
    path: Path,
    *,
    machine: Path | None,
    axis: str | None,
    write: bool,
    today: date,
    progress: Callable[[float], None],
) -> MeasureAnswer:
    """Return what readings tell.

    Parameters
    ----------
    name
        The kind of readings.
    path
        The file with the readings.
    machine
        The card of the machine they were taken on.
    axis
        The axis they were taken on, for kinds that are about one.
    write
        Whether to write a card with what is to be entered, beside the old one.
    today
        The day for the new card's name.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When a file, the readings or the card cannot be used.
    """
    kind = kind_of(name)
    if axis is not None and not kind.needs_axis:
        msg = f"readings of {name} are about the whole machine; leave --axis out"
        raise InputError(msg)
    if machine is None:  # every kind so far needs it
        msg = f"readings of {name} need the machine they were taken on: --machine MACHINE.toml"
        raise InputError(msg)
    card = load_machine(machine)
    runs = _runs(load_readings(path, kind), path)
    outcome = measure_time(TimeRequest(machine=card.record, runs=runs), progress)
    new = _new_card(card, card_entries(outcome, card.record.units, today, path.name), today) if write else None
    told = time_document(outcome, runs, card.record, str(machine), path, named(new.file) if new else None)
    lines = time_page(told, outcome, runs, card.record)
    if write:
        lines += _about(new, says_so=outcome.decision == "leave" and not outcome.why)
    return MeasureAnswer(decision=outcome.decision, document=told, page=lines)


def _runs(readings: Readings, path: Path) -> tuple[TimedRun, ...]:
    """Return the timed runs, their programs read from beside the readings; what is missing is told with its line."""
    runs, faults = list[TimedRun](), list[str]()
    for row, line in zip(readings.rows, readings.lines, strict=True):
        program = str(row["program"])
        try:
            data = read_program(path.parent / program)
        except FileError as error:
            faults.append(f"{named(path)}, line {line}: {error}")
            continue
        place = f"{named(path)}, line {line}"
        runs.append(TimedRun(name=program, place=place, program=data, seconds=float(row["seconds"])))
    if faults:
        raise FileError("\n".join(faults))
    return tuple(runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class _NewCard:
    """A card that was written; ``changed``: its lines that are not in the old one, and the old one's that are gone."""

    file: Path
    changed: list[str]


def _new_card(card: MachineCard, entries: dict[str, Any], today: date) -> _NewCard | None:
    """Write the changed card beside the old one, under the first dated name that is free; the same text once only."""
    if not entries:
        return None
    text = changed_text(card.text, entries)
    stem = f"{DATED.sub('', card.path.stem)}-{today.isoformat()}"
    names = [card.path.with_name(f"{stem}{more}.toml") for more in ("", *(f"-{number}" for number in range(2, 100)))]
    file = next((name for name in names if not name.exists() or _says(name, text)), names[-1])
    machine_from_text(text, file)  # what we write, we can read
    if not file.exists():
        write_new(file, text)
    return _NewCard(file=file, changed=differences(card.text, text))


def _says(path: Path, text: str) -> bool:
    try:
        return path.read_bytes() == text.encode("utf-8")
    except OSError:
        return False


def _about(new: _NewCard | None, *, says_so: bool) -> list[Line]:
    """Return what is said of a card that was to be written."""
    if new is None:
        why = "the card says so already" if says_so else "the readings do not decide yet"
        return [Line(text=""), Line(text=f"No card was written: {why}.")]
    changed = [Line(text=row, indent=4) for row in new.changed]
    use = f'The old card was left as it is. In your job cards, write machine = "{plain(new.file.name)}".'
    return [Line(text=""), *changed, Line(text=f"Written: {named(new.file)}. {use}")]

"""Readings in, result and decision out; a changed card beside the old one when that is asked for."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Literal

from cutworthy.app.cards import MachineCard, load_machine, machine_from_text
from cutworthy.app.cards.edit import changed_text
from cutworthy.app.files import named, read_program, write_new
from cutworthy.app.readings import load_readings
from cutworthy.errors import FileError, InputError, QuantityError, ReadingsError
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.reading import Readings, TimedRun
from cutworthy.present.measure import card_entries, differences, time_document, time_page
from cutworthy.present.measures import card_entries_of, measure_document, measure_page
from cutworthy.present.page import Line
from cutworthy.present.plain import plain
from cutworthy.reference.instruments import Instrument, instrument, instrument_names
from cutworthy.units import Kind, parse
from cutworthy.workflows.commission import TimeRequest, kind_of, measure_time
from cutworthy.workflows.measuring import MeasureRequest, tell_readings
from cutworthy.working import recording

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
    if machine is None and kind.needs_machine and name != "scale":
        msg = f"readings of {name} need the machine they were taken on: --machine MACHINE.toml"
        raise InputError(msg)
    if name != "time" or machine is None:
        return _sitting(load_readings(path, kind), path, machine=machine, axis=axis, write=write, today=today)
    card = load_machine(machine)
    runs = _runs(load_readings(path, kind), path)
    outcome = measure_time(TimeRequest(machine=card.record, runs=runs), progress)
    new = _new_card(card, card_entries(outcome, card.record.units, today, path.name), today) if write else None
    told = time_document(outcome, runs, card.record, str(machine), path, named(new.file) if new else None)
    lines = time_page(told, outcome, runs, card.record)
    if write:
        lines += _about(new, says_so=outcome.decision == "leave" and not outcome.why)
    return MeasureAnswer(decision=outcome.decision, document=told, page=lines)


def _sitting(
    readings: Readings, path: Path, *, machine: Path | None, axis: str | None, write: bool, today: date
) -> MeasureAnswer:
    """Return what the readings of a sitting tell."""
    card = None if machine is None else load_machine(machine)
    record = None if card is None else card.record
    request = MeasureRequest(
        readings=readings,
        instrument=_instrument(readings, path),
        axis=_axis(readings, path, axis),
        machine=record,
        bolts_mm=_bolts(readings, path),
    )
    units = _units(readings, record)
    try:
        with recording() as steps:
            outcome = tell_readings(request)
    except ReadingsError as error:
        msg = f"{named(path)}: {error}"
        raise ReadingsError(msg) from None
    told = measure_document(outcome, record, units, steps)
    lines = measure_page(told, outcome, units)
    if write and card is not None:
        new = _new_card(card, dict(card_entries_of(outcome, record)), today)
        told["written"] = named(new.file) if new else None
        lines += _about(new, says_so=False)
    return MeasureAnswer(decision=outcome.decision, document=told, page=lines)


def _instrument(readings: Readings, path: Path) -> Instrument:
    """Return the instrument that the file names, or what it says of one of its own."""
    facts, kind = readings.facts, readings.kind
    own = facts.get("plus_minus", facts.get("plus minus"))
    if own is not None:
        trust = _length(own, "plus_minus", path)
        return Instrument(
            name=facts.get("instrument", "instrument"), each_mm=trust / 2, common_mm=0.0, share=0.0, step_mm=0.0,
            decides="", cannot="",
        )  # fmt: skip
    name = facts.get("instrument")
    found = None if name is None else instrument(name)
    if found is not None:
        return found
    if not kind.needs_instrument:
        return Instrument(name="", each_mm=0.0, common_mm=0.0, share=0.0, step_mm=0.0, decides="", cannot="")
    known = ", ".join(instrument_names())
    what = "the instrument is not named" if name is None else f"the instrument {plain(name)} is not listed"
    msg = (
        f"{named(path)}: {what}; write a line # instrument: NAME at the top, one of: {known}; or of one of your own "
        "how far a reading may be off, as # plus_minus: 0.02 mm"
    )
    raise ReadingsError(msg)


def _axis(readings: Readings, path: Path, axis: str | None) -> AxisName | None:
    """Return the axis that readings are about: as it was asked, or as the file says."""
    if not readings.kind.needs_axis:
        return None
    told = readings.facts.get("axis", "").lower() or None
    if axis is not None and told is not None and told != axis:
        msg = (
            f"{named(path)}: these readings are of axis {told.upper()}, --axis says {axis.upper()}; give the right one"
        )
        raise ReadingsError(msg)
    found = axis or told
    for name in AXES:
        if name == found:
            return name
    msg = f"{named(path)}: which axis was it? Give --axis x, y or z, or write a line # axis: x at the top"
    raise ReadingsError(msg)


def _bolts(readings: Readings, path: Path) -> dict[str, float]:
    """Return the distances of the bolts that a lean is shimmed at."""
    return {
        axis: _length(readings.facts[key], key, path)
        for axis in ("x", "y")
        for key in (f"bolts_{axis}", f"bolts {axis}")
        if key in readings.facts
    }


def _length(text: str, key: str, path: Path) -> float:
    try:
        return parse(text, Kind.LENGTH).value
    except QuantityError as error:
        msg = f"{named(path)}, # {key}: {error}"
        raise ReadingsError(msg) from None


def _units(readings: Readings, machine: Machine | None) -> Literal["mm", "inch"]:
    """Return the units that a person thinks in: those of the file, else of the machine."""
    if readings.facts.get("unit", "").lower() in {"in", "inch", "inches"}:
        return "inch"
    return "mm" if machine is None or "unit" in readings.facts else machine.units


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
        runs.append(TimedRun(name=program, place=place, program=data, seconds=float(row["seconds"] or 0.0)))
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

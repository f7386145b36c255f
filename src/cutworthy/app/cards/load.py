"""From the text of a card to the record of the model; all mistakes of a card at once."""

import sys
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, TypeVar

from pydantic import ValidationError

from cutworthy.app.cards.faults import Fault, Place, key_text
from cutworthy.app.cards.files import read_card
from cutworthy.app.cards.job import JobFile, job_of
from cutworthy.app.cards.like import follow
from cutworthy.app.cards.lines import Lines
from cutworthy.app.cards.machine import MachineFile, machine_of
from cutworthy.app.cards.mistakes import faults_in, faults_of_keys, syntax_fault
from cutworthy.app.cards.tables import CardKey, Note, Table, keys_of
from cutworthy.app.cards.tools import ListedBit, ToolsFile, bits_alone, bits_of
from cutworthy.errors import CardError, Mistake
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine

__all__ = [
    "CardKind",
    "JobCard",
    "MachineCard",
    "Remark",
    "card_keys",
    "job_from_text",
    "load_job",
    "load_machine",
    "load_tools",
    "machine_from_keys",
    "machine_from_text",
    "tools_from_text",
]

CardKind = Literal["machine", "job"]
KINDS = {"machine": "a machine", "job": "a job", "evidence": "an evidence"}
INSTEAD = {
    "machine": "give a job card; cutworthy new job makes one",
    "job": "give the machine card, which it names under machine",
    "evidence": "it belongs to cutworthy explain",
}
NO_BITS = "give the job card, or a file with tool, diameter and length of each bit under [[bits]]"
AnyTable = TypeVar("AnyTable", bound=Table)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """How a key was read, where that may surprise its writer; it changes nothing."""

    key: str
    line: int | None
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineCard:
    """A machine, and the file that describes it. ``cut_job``: the job of the calibration.

    ``keys``: what the text says, before any ``like`` is followed; with changes that are only tried, what it
    would say. ``tables``: the same, checked, with every ``like`` followed.
    """

    path: Path
    text: str
    keys: Mapping[str, Any] = field(repr=False)
    tables: MachineFile = field(repr=False)
    record: Machine
    cut_job: Path | None
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """A job, and the files it is made of; program and machine lie relative to the card's folder."""

    path: Path
    text: str
    record: Job
    program: Path
    machine: Path
    remarks: tuple[Remark, ...]


def load_machine(path: Path) -> MachineCard:
    """Return the machine card in a file.

    Raises
    ------
    FileError
        When the file cannot be read as text.
    CardError
        With all mistakes of the card.
    """
    return machine_from_text(read_card(path), path)


def load_job(path: Path) -> JobCard:
    """Return the job card in a file; its program and machine are not opened.

    Raises
    ------
    FileError
        When the file cannot be read as text.
    CardError
        With all mistakes of the card.
    """
    return job_from_text(read_card(path), path)


def load_tools(path: Path) -> tuple[ListedBit, ...]:
    """Return the bits in a file: a list of bits, or a job card.

    Raises
    ------
    FileError
        When the file cannot be read as text.
    CardError
        With all mistakes of the list.
    """
    return tools_from_text(read_card(path), path)


def machine_from_text(text: str, path: Path) -> MachineCard:
    """Return the machine card that a text is; ``path`` is only named, not opened.

    Raises
    ------
    CardError
        With all mistakes of the card.
    """
    return machine_from_keys(_parsed(text, path, "machine"), text, path)


def machine_from_keys(
    keys: Mapping[str, Any], text: str, path: Path, *, known: MachineCard | None = None
) -> MachineCard:
    """Return the machine card with these keys.

    Parameters
    ----------
    keys
        What a card says, before any ``like`` is followed.
    text
        Where the lines of keys are looked up.
    path
        Only named, not opened.
    known
        A card that the keys are a changed copy of: tables that are still the same object are not checked again.

    Raises
    ------
    CardError
        With all mistakes of the card.
    """
    axes, faults = keys.get("axes"), list[Fault]()
    whole = _followed(keys, faults)
    raw = whole if known is None else _known(whole, _followed(known.keys, []), known.tables)
    card, found = _checked(MachineFile, raw)
    faults += [fault for fault in found if not _is_echo(fault, found, axes)]
    if card is None or faults:
        raise _card_error(path, faults, text)
    notes: list[Note] = []
    record = machine_of(card, notes)
    own = [note for note in notes if not _is_taken_over(note.at, axes)]
    return MachineCard(
        path=path,
        text=text,
        keys=keys,
        tables=card,
        record=record,
        cut_job=path.parent / card.calibration.cut_job if card.calibration else None,
        remarks=_remarks(own, text),
    )


def job_from_text(text: str, path: Path) -> JobCard:
    """Return the job card that a text is; ``path`` is only named, not opened.

    Raises
    ------
    CardError
        With all mistakes of the card.
    """
    card, faults = _checked(JobFile, _parsed(text, path, "job"))
    if card is None or faults:
        raise _card_error(path, faults, text)
    notes: list[Note] = []
    return JobCard(
        path=path,
        text=text,
        record=job_of(card, notes),
        program=path.parent / card.program,
        machine=path.parent / card.machine,
        remarks=_remarks(notes, text),
    )


def tools_from_text(text: str, path: Path) -> tuple[ListedBit, ...]:
    """Return the bits that a text lists; ``path`` is only named, not opened.

    Raises
    ------
    CardError
        With all mistakes of the list.
    """
    raw = _keys_in(text, path)
    kind = _kind(raw)
    if kind in ("machine", "evidence"):
        wrong = f"this is {KINDS[kind]} card, and a list of bits is needed"
        raise CardError(str(path), [Mistake(key="", line=None, wrong=wrong, write=NO_BITS)])
    file, faults = _checked(ToolsFile, bits_alone(raw))
    if file is None or faults:
        raise _card_error(path, faults, text)
    return bits_of(file)


def card_keys(kind: CardKind) -> tuple[CardKey, ...]:
    """Return every key that a card of this kind may have, tables included.

    ``travel`` and ``range`` of an axis both count as optional, though one of them is needed.
    """
    return tuple(keys_of(MachineFile if kind == "machine" else JobFile))


def _parsed(text: str, path: Path, wanted: CardKind) -> dict[str, Any]:
    """Return the keys and values of a card of the kind wanted."""
    raw = _keys_in(text, path)
    kind = _kind(raw)
    if kind not in (wanted, None):
        wrong = f"this is {KINDS[kind]} card, and {KINDS[wanted]} card is needed"
        raise CardError(str(path), [Mistake(key="", line=None, wrong=wrong, write=INSTEAD[kind])])
    return raw


def _keys_in(text: str, path: Path) -> dict[str, Any]:
    """Return the keys and values of a text."""
    text = _without_mark(text)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # not only its own error: also for very long numbers and deep lists
        fault, line = syntax_fault(error, text)
        raise CardError(str(path), [Mistake(key="", line=line, wrong=fault.wrong, write=fault.write)]) from None


def _without_mark(text: str) -> str:
    """Return a text without the byte-order mark that some editors put in front."""
    return text.removeprefix("\ufeff")


def _kind(raw: Mapping[str, Any]) -> str | None:
    """Return what sort of card this is, by the keys that only one sort has."""
    if "seen" in raw or "job" in raw:
        return "evidence"
    if "axes" in raw or isinstance(raw.get("machine"), dict):
        return "machine"
    if raw.keys() & {"program", "board", "zero", "bits"}:
        return "job"
    return None


def _followed(keys: Mapping[str, Any], faults: list[Fault]) -> Mapping[str, Any]:
    """Return the keys of a card with every ``like`` followed, and add what is wrong with them to ``faults``."""
    axes = keys.get("axes")
    return {**keys, "axes": follow(axes, faults)} if isinstance(axes, dict) else keys


def _known(raw: Any, before: Any, table: Any) -> Any:  # noqa: ANN401 - whatever stands on a card
    """Return what stands on a card, in place of each table that is the same as before that table as it was checked."""
    if not (isinstance(raw, dict) and isinstance(before, dict) and isinstance(table, Table)):
        return raw
    if raw is before:
        return table
    return {key: _known(each, before.get(key), getattr(table, key, None)) for key, each in raw.items()}


def _checked(shape: type[AnyTable], raw: Mapping[str, Any]) -> tuple[AnyTable | None, list[Fault]]:
    faults = list(faults_of_keys(shape, raw))
    try:
        return shape.model_validate(raw), faults
    except ValidationError as error:
        return None, [*faults, *faults_in(error, shape)]


def _is_echo(fault: Fault, found: Iterable[Fault], axes: Any) -> bool:  # noqa: ANN401 - as on the card
    """Return whether an axis only repeats a fault of the axis that it is like."""
    return _is_taken_over(fault.at, axes) and any(
        other.wrong == fault.wrong and other.at[2:] == fault.at[2:] and other.at[1] != fault.at[1]
        for other in found
        if other.at[:1] == ("axes",) and len(other.at) > 1
    )


def _is_taken_over(at: Place, axes: Any) -> bool:  # noqa: ANN401 - as on the card
    """Return whether a key of an axis stands only on the axis that it is like."""
    if at[:1] != ("axes",) or len(at) < 3 or "like" not in axes[at[1]]:  # noqa: PLR2004 - axes, an axis, its key
        return False
    inner = axes[at[1]]
    for key in at[2:]:
        if not isinstance(inner, dict):
            return False
        if key not in inner:
            return True
        inner = inner[key]
    return False


def _card_error(path: Path, faults: Iterable[Fault], text: str) -> CardError:
    lines = Lines(_without_mark(text))
    mistakes = [
        Mistake(key=key_text(fault.at), line=lines.of(fault.at), wrong=fault.wrong, write=fault.advice)
        for fault in faults
    ]
    return CardError(str(path), sorted(mistakes, key=lambda mistake: mistake.line or sys.maxsize))


def _remarks(notes: Sequence[Note], text: str) -> tuple[Remark, ...]:
    if not notes:
        return ()  # most cards, and finding the lines takes longer than reading the card
    lines = Lines(_without_mark(text))
    return tuple(Remark(key=key_text(note.at), line=lines.of(note.at), says=note.says) for note in notes)

"""Makes test programs for a machine and writes them down, unless one of them must not be run."""

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutworthy.app.cards import MachineCard, load_machine, starter
from cutworthy.app.files import named, write_new, write_texts
from cutworthy.app.proofs import WORST_FIRST
from cutworthy.errors import InputError
from cutworthy.present.page import Line
from cutworthy.present.trials import ReadingsForm, readings_form, trials_document, trials_page
from cutworthy.units import MM_PER_INCH
from cutworthy.workflows.trials import TrialKind, piece_sizes, prove_trials, trial_runs

__all__ = ["TrialAnswer", "make_trials"]

SLOT_CARD, SIZES_FORM = "slot.toml", "test-piece.csv"
FORM = "timing.csv"  # where the times are to be written


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialAnswer:
    """What a face shows of test programs: the worst verdict, one document, one page."""

    verdict: str
    document: dict[str, Any]
    page: list[Line]


def make_trials(
    kind: TrialKind, card: Path, *, to: Path, runs: Sequence[int], progress: Callable[[float], None]
) -> TrialAnswer:
    """Write the test programs of a kind for a machine into a folder; beside timing runs a form for their times.

    Parameters
    ----------
    kind
        Which test.
    card
        The machine card.
    to
        The folder; it is made when it is not there.
    runs
        Which of the timing runs; empty for the first two.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When the card cannot be used, has not the travel, or a file of another hand stands in the way.
    """
    if runs and kind != "timing":
        msg = f"only timing has runs to choose from; leave --run out for {kind}"
        raise InputError(msg)
    if unknown := sorted(set(runs) - set(trial_runs())):
        msg = f"there is no timing run {unknown[0]}; runs are {', '.join(map(str, trial_runs()))}"
        raise InputError(msg)
    machine = load_machine(card)
    proved = prove_trials(machine.record, kind, runs=tuple(dict.fromkeys(runs)) or (1, 2), progress=progress)
    verdict = min((each.verdict.value for each in proved), key=WORST_FIRST.index)
    files = [to / each.trial.name for each in proved] if verdict != "no-go" else []
    write_texts({file: each.trial.text for file, each in zip(files, proved, strict=False)})
    form = _form(to, [file.name for file in files]) if kind == "timing" and files else None
    if kind == "calibration" and files:
        files += _slot_card(to, card)
    if kind == "test-piece" and files:
        files += _sizes_form(to, machine)
    told = trials_document(kind, proved, [named(file) for file in files], machine.record.units)
    page = trials_page(told, machine.record, named(card), form)
    return TrialAnswer(verdict=verdict, document=told, page=page)


def _sizes_form(folder: Path, machine: MachineCard) -> list[Path]:
    """Return the file for the sizes of the test piece, made where there is none."""
    file = folder / SIZES_FORM
    if file.exists():
        return []
    inch = machine.record.units == "inch"
    rows = [
        f"{name},{nominal / (MM_PER_INCH if inch else 1.0):.{4 if inch else 3}f},,{'yes' if inside else 'no'},{axis}"
        for name, nominal, inside, axis in piece_sizes(machine.record)
    ]
    head = ["# instrument: caliper", f"# unit: {'inch' if inch else 'mm'}", "feature,nominal,measured,inside,axis"]
    write_new(file, "\n".join([*head, *rows, ""]))
    return [file]


def _slot_card(folder: Path, card: Path) -> list[Path]:
    """Return the job card of a slot, made where there is none; one that is there may be filled in already."""
    file = folder / SLOT_CARD
    if file.exists():
        return []
    text = starter("slot")
    with suppress(ValueError):  # on another drive there is no way from here to there
        machine = Path(os.path.relpath(card, folder)).as_posix()
        text = text.replace('machine = "?"', f'machine = "{machine}"', 1)
    write_new(file, text)
    return [file]


def _form(folder: Path, programs: Sequence[str]) -> ReadingsForm:
    """Return the file for the times, made where there is none; one that is there may hold times already."""
    file = folder / FORM
    if not file.exists():
        write_new(file, readings_form(programs))
        return ReadingsForm(file=named(file), is_new=True, lacks=())
    try:
        text = file.read_text(encoding="utf-8-sig", errors="replace")
    except OSError:
        text = ""
    return ReadingsForm(file=named(file), is_new=False, lacks=tuple(name for name in programs if name not in text))

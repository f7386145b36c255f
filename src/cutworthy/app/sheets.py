"""Makes sheets of paper about a machine or a job: card in, PDF out."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from cutworthy.app.cards import load_machine
from cutworthy.app.files import named, write_paper
from cutworthy.app.proofs import prove_job
from cutworthy.errors import FileError
from cutworthy.model.machine import Machine
from cutworthy.present.document import finding_document
from cutworthy.present.forms import form_view
from cutworthy.present.numbers import numbers_view
from cutworthy.present.page import Line
from cutworthy.present.settings_document import joined_findings
from cutworthy.present.show import Display
from cutworthy.present.ticket import ticket_view
from cutworthy.present.walk import walk_view
from cutworthy.present.wall import wall_view
from cutworthy.sheets.curves import pictures
from cutworthy.sheets.paper import Paper, print_sheet
from cutworthy.sheets.sketch import draw_sketch
from cutworthy.workflows.commission import kind_of
from cutworthy.workflows.settle import SettleRequest, settle

__all__ = ["SheetKind", "Ticket", "make_form", "make_sheet", "make_ticket"]

SheetKind = Literal["numbers", "wall", "firstday"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """The file of a ticket, the verdict on it, and the first lines of the job's page."""

    file: Path
    verdict: str
    head: list[Line]


def make_sheet(
    kind: SheetKind, card: Path, *, to: Path | None, paper: Paper | None, today: date, days: int = 1
) -> Path:
    """Write a sheet about the machine on a card and return its file.

    Parameters
    ----------
    kind
        ``numbers``: what to enter, and why. ``wall``: what hangs beside the machine. ``firstday``: the walk through it.
    card
        The machine card.
    to
        The file to write; without it one that is named after the card, in the folder one is in.
    paper
        Without it A4 for a machine in millimetres, Letter for one in inches.
    today
        The date on the sheet.
    days
        That the walk is shared out on, 1 to 3.

    Raises
    ------
    InputError
        When the card cannot be used, or the file cannot be written.
    """
    _check_name(to)
    machine = load_machine(card).record
    outcome = settle(SettleRequest(machine=machine, curves=kind == "numbers"))
    size = paper or _usual_paper(machine)
    told, display = today.isoformat(), Display(machine.units)
    found = joined_findings(finding_document(finding, display) for finding in outcome.findings)
    if kind == "firstday":
        printed = print_sheet(walk_view(machine, outcome.settings, days=days, date=told), size)
    elif kind == "wall":
        printed = print_sheet(wall_view(machine, outcome.settings, findings=found, date=told), size)
    else:
        view = numbers_view(machine, outcome.settings, findings=found, date=told)
        printed = print_sheet(view, size, pictures(view))
    file = to or Path(f"{card.stem}-{kind}.pdf")
    write_paper(file, printed)
    return file


def make_form(kind: str, *, to: Path | None, paper: Paper | None) -> Path:
    """Write a pencil form for a kind of readings and return its file.

    Parameters
    ----------
    kind
        Of the readings.
    to, paper
        As of ``make_sheet``; without a paper A4.

    Raises
    ------
    InputError
        When there is no such kind, or the file cannot be written.
    """
    _check_name(to)
    file = to or Path(f"readings-{kind}.pdf")
    write_paper(file, print_sheet(form_view(kind_of(kind)), paper or "a4"))
    return file


def make_ticket(
    job: Path, *, to: Path | None, paper: Paper | None, today: date, progress: Callable[[float], None]
) -> Ticket:
    """Prove a job and write its ticket, whatever the verdict: the ticket says it.

    Parameters
    ----------
    job
        The job card.
    to, paper, today
        As of ``make_sheet``.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When a card cannot be used, or the file cannot be written.
    """
    _check_name(to)
    (proof,) = prove_job(job, progress=progress)
    machine = proof.machine_card.record
    told, sketch = ticket_view(
        proof.outcome, proof.card.record, machine, program=proof.card.program.name, date=today.isoformat()
    )
    file = to or Path(f"{job.stem}-ticket.pdf")
    write_paper(file, print_sheet(told, paper or _usual_paper(machine), {"sketch": draw_sketch(sketch)}))
    return Ticket(file=file, verdict=proof.document["verdict"], head=proof.page[:2])


def _check_name(to: Path | None) -> None:
    if to is not None and to.suffix.lower() != ".pdf":
        msg = f"{named(to)}: a sheet is a PDF; give it a name that ends in .pdf"
        raise FileError(msg)


def _usual_paper(machine: Machine) -> Paper:
    return "letter" if machine.units == "inch" else "a4"

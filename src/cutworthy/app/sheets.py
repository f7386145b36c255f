"""Makes sheets of paper about a machine: card in, PDF out."""

from datetime import date
from pathlib import Path
from typing import Literal

from cutworthy.app.cards import load_machine
from cutworthy.app.files import named, write_paper
from cutworthy.errors import FileError
from cutworthy.present.document import finding_document
from cutworthy.present.numbers import numbers_view
from cutworthy.present.settings_document import joined_findings
from cutworthy.present.show import Display
from cutworthy.present.wall import wall_view
from cutworthy.sheets.curves import pictures
from cutworthy.sheets.paper import Paper, numbers_sheet, wall_sheet
from cutworthy.workflows.settle import SettleRequest, settle

__all__ = ["SheetKind", "make_sheet"]

SheetKind = Literal["numbers", "wall"]


def make_sheet(kind: SheetKind, card: Path, *, to: Path | None, paper: Paper | None, today: date) -> Path:
    """Write a sheet about the machine on a card and return its file.

    Parameters
    ----------
    kind
        ``numbers``: what to enter, and why. ``wall``: what hangs beside the machine.
    card
        The machine card.
    to
        The file to write; without it one that is named after the card, in the folder one is in.
    paper
        Without it A4 for a machine in millimetres, Letter for one in inches.
    today
        The date on the sheet.

    Raises
    ------
    InputError
        When the card cannot be used, or the file cannot be written.
    """
    if to is not None and to.suffix.lower() != ".pdf":
        msg = f"{named(to)}: a sheet is a PDF; give it a name that ends in .pdf"
        raise FileError(msg)
    machine = load_machine(card).record
    outcome = settle(SettleRequest(machine=machine, curves=kind == "numbers"))
    size: Paper = paper or ("letter" if machine.units == "inch" else "a4")
    told, display = today.isoformat(), Display(machine.units)
    found = joined_findings(finding_document(finding, display) for finding in outcome.findings)
    if kind == "wall":
        printed = wall_sheet(wall_view(machine, outcome.settings, findings=found, date=told), size)
    else:
        view = numbers_view(machine, outcome.settings, findings=found, date=told)
        printed = numbers_sheet(view, pictures(view), size)
    file = to or Path(f"{card.stem}-{kind}.pdf")
    write_paper(file, printed)
    return file

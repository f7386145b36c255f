"""Puts view records on paper: one PDF for each sheet, by templates that get their data as JSON only.

A view's text never becomes source of a template, and the same view makes the same bytes.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Literal

import matplotlib as mpl
import typst

from cutworthy.present.forms import FormView
from cutworthy.present.numbers import NumbersView
from cutworthy.present.ticket import TicketView
from cutworthy.present.walk import WalkView
from cutworthy.present.wall import WallView

__all__ = ["Paper", "SheetView", "print_sheet"]

Paper = Literal["a4", "letter"]
SheetView = FormView | NumbersView | TicketView | WalkView | WallView

PAPERS: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}
NO_DATE = 0  # the file's own time stamp; the date of the sheet is part of its view


# The template of each view.
TEMPLATES: dict[type[SheetView], str] = {
    FormView: "readings.typ",
    NumbersView: "numbers.typ",
    TicketView: "ticket.typ",
    WalkView: "firstday.typ",
    WallView: "wall.typ",
}


def print_sheet(view: SheetView, paper: Paper, pictures: Mapping[str, bytes] | None = None) -> bytes:
    """Return a sheet as PDF.

    Parameters
    ----------
    view
        What the sheet says; which view it is chooses the sheet.
    paper
        What it is printed on.
    pictures
        SVG pictures by name: of a ticket its sketch, as ``sheets.sketch`` draws it, which it cannot do without; of the
        numbers the axes, as ``sheets.curves`` draws them: an axis without one has none on the sheet.
    """
    drawn = {name: picture.decode("utf-8") for name, picture in (pictures or {}).items()}
    template = TEMPLATES[type(view)]
    source = b"\n".join((files("cutworthy.sheets") / name).read_bytes() for name in ("common.typ", template))
    told = json.dumps({**asdict(view), "pictures": drawn}, ensure_ascii=False)
    compiler = typst.Compiler(source, font_paths=_fonts(), sys_inputs={"view": told, "paper": PAPERS[paper]})
    printed = compiler.compile(format="pdf", timestamp=NO_DATE)
    assert isinstance(printed, bytes)
    return printed


@cache
def _fonts() -> typst.Fonts:
    """Return the fonts that come with the libraries, so that every computer prints the same.

    Typst's own have no signs beyond the trade's; for any other in a name there is matplotlib's.
    """
    more = Path(mpl.get_data_path()) / "fonts" / "ttf"
    return typst.Fonts(include_system_fonts=False, font_paths=[more])

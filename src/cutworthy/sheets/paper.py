"""Puts view records on paper: one PDF for each sheet, by templates that get their data as JSON only.

A view's text never becomes source of a template, and the same view makes the same bytes.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

import matplotlib as mpl
import typst

from cutworthy.present.forms import FormView
from cutworthy.present.numbers import NumbersView
from cutworthy.present.ticket import TicketView
from cutworthy.present.walk import WalkView
from cutworthy.present.wall import WallView

__all__ = ["Paper", "form_sheet", "numbers_sheet", "ticket_sheet", "walk_sheet", "wall_sheet"]

Paper = Literal["a4", "letter"]

PAPERS: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}
NO_DATE = 0  # the file's own time stamp; the date of the sheet is part of its view


def numbers_sheet(view: NumbersView, pictures: Mapping[str, bytes], paper: Paper) -> bytes:
    """Return the numbers of a machine as PDF, on two pages at most.

    Parameters
    ----------
    view
        What the sheet says.
    pictures
        SVG pictures of the axes, as ``sheets.curves`` draws them, by their names there; an axis without
        one has none on the sheet.
    paper
        What it is printed on.
    """
    drawn = {name: picture.decode("utf-8") for name, picture in pictures.items()}
    return _print("numbers.typ", {**asdict(view), "pictures": drawn}, paper)


def wall_sheet(view: WallView, paper: Paper) -> bytes:
    """Return the sheet for the wall beside a machine as PDF, on one page.

    Parameters
    ----------
    view
        What the sheet says.
    paper
        What it is printed on.
    """
    return _print("wall.typ", asdict(view), paper)


def ticket_sheet(view: TicketView, sketch: bytes, paper: Paper) -> bytes:
    """Return the ticket of a job as PDF, on one page.

    Parameters
    ----------
    view
        What the ticket says.
    sketch
        SVG picture of board and clamps, as ``sheets.sketch`` draws it.
    paper
        What it is printed on.
    """
    return _print("ticket.typ", {**asdict(view), "sketch": sketch.decode("utf-8")}, paper)


def walk_sheet(view: WalkView, paper: Paper) -> bytes:
    """Return the walk through a machine's first day as PDF, on as many pages as it takes.

    Parameters
    ----------
    view
        What the sheet says.
    paper
        What it is printed on.
    """
    return _print("firstday.typ", asdict(view), paper)


def form_sheet(view: FormView, paper: Paper) -> bytes:
    """Return a pencil form for readings as PDF, on one page.

    Parameters
    ----------
    view
        What the form says.
    paper
        What it is printed on.
    """
    return _print("readings.typ", asdict(view), paper)


def _print(template: str, view: Mapping[str, Any], paper: Paper) -> bytes:
    source = b"\n".join((files("cutworthy.sheets") / name).read_bytes() for name in ("common.typ", template))
    inputs = {"view": json.dumps(view, ensure_ascii=False), "paper": PAPERS[paper]}
    compiler = typst.Compiler(source, font_paths=_fonts(), sys_inputs=inputs)
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

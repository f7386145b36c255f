"""Draws a job: the board as it is left with the plan of its cuts, or where zero and clamps may stand."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from cutworthy.app.cards import load_job, load_machine
from cutworthy.app.files import named, read_program, write_picture
from cutworthy.app.proofs import prove_job
from cutworthy.errors import FileError, InputError, QuantityError
from cutworthy.present.cuts import Colour
from cutworthy.present.document import CardRemark
from cutworthy.present.page import Line
from cutworthy.present.placement import placement_document, placement_page
from cutworthy.present.places_view import places_view
from cutworthy.present.plain import plain
from cutworthy.present.plan import plan_view
from cutworthy.present.relief import relief_view
from cutworthy.sheets.placement import draw_places
from cutworthy.sheets.relief import draw_relief
from cutworthy.units import Kind, parse, quoted
from cutworthy.workflows.place import PlaceRequest, find_places

__all__ = ["PictureAnswer", "clamp_size", "draw_job", "draw_places_of"]

Form = Literal["png", "svg"]
CLAMP_EXAMPLE = "60 mm x 40 mm x 25 mm"
SIDES = ("along x", "along y", "high")
LEAST_MM, MOST_MM = 1.0, 2000.0  # of a clamp's sides; our choice


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureAnswer:
    """What a face shows of a picture: the document and the page, both with its file."""

    document: dict[str, Any]
    page: list[Line]


def draw_job(
    job: Path, *, to: Path | None, colour: Colour = "speed", progress: Callable[[float], None]
) -> PictureAnswer:
    """Draw the board as it is left, and the plan of the cuts with what forbids them.

    Parameters
    ----------
    job
        The job card.
    to
        The picture's file, PNG or SVG by its name; without it one beside the card.
    colour
        What the colour of the cuts tells.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When a card cannot be used, or the picture cannot be written.
    """
    file, form = _file(job, to, "picture")
    (proof,) = prove_job(job, progress=progress)
    told = proof.outcome, proof.card.record, proof.machine_card.record
    relief = relief_view(*told)
    write_picture(file, draw_relief(relief, plan_view(*told, colour), form))
    verdict = proof.document["verdict"]
    reasons = [Line(text=f"- {reason}", indent=2) for reason in relief.scene.because]
    written = Line(text=f"Written: {plain(file.as_posix())}")
    return PictureAnswer(
        document={"kind": "picture", "colour": colour, "file": file.as_posix(), "verdict": verdict},
        page=[*proof.page[:2], *reasons, Line(text=""), written],
    )


def draw_places_of(
    job: Path, *, to: Path | None, clamp: str | None, progress: Callable[[float], None]
) -> PictureAnswer:
    """Draw where zero may stand on the board, and where a clamp may.

    Parameters
    ----------
    job
        The job card.
    to
        The picture's file, PNG or SVG by its name; without it one beside the card.
    clamp
        The size of the clamp, as ``60 mm x 40 mm x 25 mm``; without it that of the card's first.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When a card or the clamp cannot be used, or the picture cannot be written.
    """
    file, form = _file(job, to, "place")
    size = None if clamp is None else clamp_size(clamp)
    card = load_job(job)
    machine = load_machine(card.machine)
    data = read_program(card.program)
    request = PlaceRequest(machine=machine.record, job=card.record, program=data, clamp_mm=size)
    found = find_places(request, progress)
    view = places_view(found.placement, found.program.moves, card.record, machine.record)
    write_picture(file, draw_places(view, form))
    remarks = [
        CardRemark(card=source.path.name, line=remark.line, key=remark.key, says=remark.says)
        for source in (machine, card)
        for remark in source.remarks
    ]
    units, name = machine.record.units, machine.record.name
    told = placement_document(found.placement, units, remarks, file.as_posix())
    return PictureAnswer(
        document=told, page=placement_page(found.placement, told, job=card.program.name, machine=name, units=units)
    )


def clamp_size(text: str) -> tuple[float, float, float]:
    """Return a clamp's size along x, along y and its height [mm].

    Raises
    ------
    InputError
        When the text is no such size.
    """
    sides = re.split(r"\s*(?:[x×X*]|\bby\b)\s*", text.strip())
    if len(sides) != len(SIDES):
        msg = (
            f'--clamp: {quoted(text)} is not three lengths; write for example "{CLAMP_EXAMPLE}": along x, along y, high'
        )
        raise InputError(msg)
    found = []
    for side, what in zip(sides, SIDES, strict=True):
        try:
            value = parse(side, Kind.LENGTH, example="60 mm").value
        except QuantityError as wrong:
            msg = f'--clamp, {what}: {wrong}; the whole reads like "{CLAMP_EXAMPLE}"'
            raise InputError(msg) from None
        if not LEAST_MM <= value <= MOST_MM:
            msg = f"--clamp, {what}: {quoted(side)} is no size of a clamp; write {LEAST_MM:g} mm to {MOST_MM:g} mm"
            raise InputError(msg)
        found.append(value)
    return found[0], found[1], found[2]


def _file(job: Path, to: Path | None, kind: str) -> tuple[Path, Form]:
    """Return the picture's file and its form."""
    file = to or job.with_name(f"{job.stem}-{kind}.png")
    forms: dict[str, Form] = {".png": "png", ".svg": "svg"}
    form = forms.get(file.suffix.lower())
    if form is None:
        msg = f"{named(file)}: a picture is a PNG or an SVG; give it a name that ends in .png or .svg"
        raise FileError(msg)
    return file, form

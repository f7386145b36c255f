"""The kinds of readings, all in one place: what their columns are, and what they give."""

from cutworthy.errors import ReadingsError
from cutworthy.model.reading import Column, ReadingKind, Sort

__all__ = ["KINDS", "kind_of"]

SIDES = ("-", "+")
YES_NO = ("yes", "no")
WAYS = ("cw", "ccw")


def _told(name: str, sort: Sort, example: str, *choices: str) -> Column:
    """Return a column that says where or how a reading was taken."""
    return Column(name=name, sort=sort, example=example, choices=choices)


def _read(name: str, sort: Sort, example: str, *choices: str) -> Column:
    """Return a column that is read off."""
    return Column(name=name, sort=sort, example=example, is_measured=True, choices=choices)


KINDS: dict[str, ReadingKind] = {
    kind.name: kind
    for kind in (
        ReadingKind(
            name="time",
            columns=(_told("program", "file", "timing-1-corners.nc"), _read("seconds", "time", "312.4")),
            needs_axis=False,
            needs_machine=True,
            needs_instrument=False,
        ),
        ReadingKind(
            name="scale",
            columns=(
                _told("commanded", "length", "600 mm"),
                _read("measured", "length", "600.2 mm"),
                _told("from", "choice", "-", *SIDES),
            ),
            needs_axis=True,
            needs_machine=True,
        ),
        ReadingKind(
            name="reversal",
            columns=(
                _told("place", "length", "100 mm"),
                Column(name="pull", sort="force", example="25 N", is_optional=True),
                _read("from_minus", "length", "0.12 mm"),
                _read("from_plus", "length", "0.17 mm"),
            ),
            needs_axis=True,
        ),
        ReadingKind(
            name="positioning",
            columns=(
                _told("target", "length", "103.7 mm"),
                _told("run", "text", "1"),
                _told("from", "choice", "-", *SIDES),
                _read("deviation", "length", "0.012 mm"),
            ),
            needs_axis=True,
        ),
        ReadingKind(
            name="square-diagonals",
            columns=(
                _told("width", "length", "600 mm"),
                _told("depth", "length", "400 mm"),
                _read("diagonal_1", "length", "721.8 mm"),
                _read("diagonal_2", "length", "720.6 mm"),
            ),
            needs_axis=False,
        ),
        ReadingKind(
            name="square-flip",
            columns=(_told("length", "length", "400 mm"), _read("gap", "length", "0.2 mm")),
            needs_axis=False,
        ),
        ReadingKind(
            name="tram",
            columns=(
                _told("angle", "angle", "90"),
                _told("radius", "length", "150 mm"),
                _read("reading", "length", "0.12 mm"),
            ),
            needs_axis=False,
        ),
        ReadingKind(
            name="flatness",
            columns=(_told("x", "length", "200 mm"), _told("y", "length", "150 mm"), _read("z", "length", "0.05 mm")),
            needs_axis=False,
        ),
        ReadingKind(
            name="circle",
            columns=(
                _told("angle", "angle", "45"),
                _read("radius", "length", "50.02 mm"),
                _told("way", "choice", "ccw", *WAYS),
            ),
            needs_axis=False,
        ),
        ReadingKind(
            name="proof-load",
            columns=(
                _told("speed", "speed", "3000 mm/min"),
                _told("mass", "mass", "10 kg"),
                _read("held", "choice", "yes", *YES_NO),
            ),
            needs_axis=True,
            needs_machine=True,
            needs_instrument=False,
        ),
        ReadingKind(
            name="runout",
            columns=(_told("angle", "angle", "90"), _read("reading", "length", "0.02 mm")),
            needs_axis=False,
        ),
        ReadingKind(
            name="test-piece",
            columns=(
                _told("feature", "text", "pocket 80"),
                _told("nominal", "length", "80 mm"),
                _read("measured", "length", "79.93 mm"),
                _told("inside", "choice", "yes", *YES_NO),
                _told("axis", "choice", "x", "x", "y", "diagonal-1", "diagonal-2"),
            ),
            needs_axis=False,
        ),
    )
}


def kind_of(name: str) -> ReadingKind:
    """Return the kind of readings with a name.

    Raises
    ------
    ReadingsError
        When there is none.
    """
    if name not in KINDS:
        msg = f"{name} is no kind of readings; kinds are: {', '.join(sorted(KINDS))}"
        raise ReadingsError(msg)
    return KINDS[name]

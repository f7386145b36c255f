"""The kinds of readings, all in one place: what their columns are, and what they give."""

from cutworthy.errors import ReadingsError
from cutworthy.model.reading import Column, ReadingKind

__all__ = ["KINDS", "kind_of"]

KINDS: dict[str, ReadingKind] = {
    kind.name: kind
    for kind in (
        ReadingKind(
            name="time",
            columns=(
                Column(name="program", sort="file", example="timing-1-corners.nc"),
                Column(name="seconds", sort="time", example="312.4"),
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

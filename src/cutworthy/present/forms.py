"""The view record of a pencil form for readings."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.model.reading import ReadingKind

__all__ = ["FormColumn", "FormView", "form_view"]

ROWS = 15


@dataclass(frozen=True, slots=True, kw_only=True)
class FormColumn:
    """A column, and how a cell is written."""

    name: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormView:
    """A form: how to measure, what holds for all readings, empty rows, and what to type later."""

    kind: str
    title: str
    how: tuple[str, ...]
    facts: tuple[str, ...]
    columns: tuple[FormColumn, ...]
    rows: int
    header: str
    command: str


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads((files("cutworthy.present") / "forms.toml").read_text(encoding="utf-8"))


def form_view(kind: ReadingKind) -> FormView:
    """Return the form for a kind of readings."""
    row = _words()[kind.name]
    facts = ["Machine", "Date"]
    facts += ["Axis"] if kind.needs_axis else []
    facts += ["Instrument", "Unit (mm or inch)"] if kind.needs_instrument else []
    machine = " --machine machine.toml" if kind.needs_machine else ""
    return FormView(
        kind=kind.name,
        title=row["title"],
        how=tuple(row["how"]),
        facts=tuple(facts),
        columns=tuple(FormColumn(name=column.name, example=column.example) for column in kind.columns),
        rows=ROWS,
        header=",".join(column.name for column in kind.columns),
        command=f"cutworthy measure {kind.name} {kind.name}.csv{machine}",
    )

"""The numbers of a card: text or table in, value with limits and origin out.

Each field of a card names the sort of its number. Kind, sensible range, bands by origin and an
example of every sort stand in ``limits.toml``, and nowhere else.
"""

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from pydantic import Field

from cutworthy.app.cards.faults import Fault, RefusedError, nearest, shown
from cutworthy.app.cards.words import Reader, Words
from cutworthy.errors import QuantityError
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.reference.tables import default, limits_file
from cutworthy.units import Kind, Parsed, express, parse

__all__ = ["Amount", "Edge", "Entry", "Several", "Sort", "guessed", "sort"]

RATES = (Kind.FREQUENCY, Kind.SPEED, Kind.ACCELERATION)  # of which none may be 0: times are found by dividing by them
PARTS = ("value", "plus_minus", "origin", "date", "with")  # of a quantity that is written as a table


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort:
    """A sort of number. ``kind`` is None for a plain number; a band is plus or minus one number, or two factors."""

    kind: Kind | None
    example: str
    least: float
    most: float
    plain: Origin
    bands: Mapping[Origin, float | tuple[float, float]]

    @property
    def sample(self) -> str:
        """The example as it stands on a card."""
        return self.example if self.kind is None else f'"{self.example}"'

    def limits(self, value: float, origin: Origin, reach: float | None) -> tuple[float, float]:
        """Return the least and the greatest that a number may be: by its stated reach, else by its origin."""
        band = self.bands[origin] if reach is None else reach
        low, high = (value * band[0], value * band[1]) if isinstance(band, tuple) else (value - band, value + band)
        return max(low, 0.0) if self.least >= 0 else low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A number as the card has it; its key is not known yet. ``text``: as it was written."""

    quantity: Quantity
    text: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Amount(Reader):
    """A number of a sort. ``bare``: its error stands under another key of the card."""

    name: str
    bare: bool = False

    @property
    def sample(self) -> str:
        """An example as it stands on a card."""
        return sort(self.name).sample

    def read(self, raw: Any) -> Entry:  # noqa: ANN401 - whatever stands on a card
        """Return what a text, a plain number or a table says."""
        parts: dict[str, Any] = (
            self._parts(raw) if isinstance(raw, dict) else {"value": _sensible(raw, sort(self.name))}
        )
        value, origin = parts["value"].value, parts.get("origin", sort(self.name).plain)
        low, high = sort(self.name).limits(value, origin, parts.get("plus_minus"))
        quantity = Quantity(
            value=value,
            low=low,
            high=high,
            origin=origin,
            key="",
            date=parts.get("date"),
            instrument=parts.get("with"),
        )
        return Entry(
            quantity=quantity, text=str(raw["value"] if isinstance(raw, dict) else raw), note=parts["value"].note
        )

    def _parts(self, raw: Mapping[str, Any]) -> dict[str, Any]:
        parts: dict[str, Any] = {}
        faults: list[Fault] = []
        for key, each in raw.items():
            try:
                parts[key] = self._part(key, each)
            except RefusedError as error:
                faults += error.placed(key)
        if "value" not in raw:
            faults.append(Fault("is missing", at=("value",), value=self.sample))
        elif not faults and sort(self.name).kind in RATES and parts.get("plus_minus", 0) >= parts["value"].value:
            fault = Fault("is no less than the value itself", "write a smaller one", at=("plus_minus",))
            faults.append(fault)
        if faults:
            raise RefusedError(*faults)
        return parts

    def _part(self, key: str, raw: Any) -> Any:  # noqa: ANN401 - whatever stands on a card
        match key:
            case "value":
                return _sensible(raw, sort(self.name))
            case "plus_minus" if self.bare:
                write = "leave it out; the clamp or the zero has a plus_minus of its own"
                raise RefusedError(Fault("has no use here", write))
            case "plus_minus":
                return _reach(raw, sort(self.name))
            case "origin" if raw in list(Origin):
                return Origin(raw)
            case "origin":
                raise RefusedError(Fault(f"{shown(raw)} is no origin", f"write one of {', '.join(Origin)}"))
            case "date" if type(raw) is date:
                return raw.isoformat()
            case "date":
                raise RefusedError(Fault(f"{shown(raw)} is no date", value="2026-03-14, without quotes"))
            case "with":
                return Words("bathroom scale").read(raw)
            case _:
                raise RefusedError(Fault("there is no such key", nearest(key, PARTS)))


@dataclass(frozen=True, slots=True)
class Edge(Reader):
    """A place along the board: one of three words, or a length from its first edge."""

    words: tuple[str, str, str]

    @property
    def sample(self) -> str:
        """An example as it stands on a card."""
        return f'"{self.words[0]}"'

    def read(self, raw: Any) -> str | Entry:  # noqa: ANN401 - whatever stands on a card
        """Return the word or the length."""
        if isinstance(raw, str) and raw in self.words:
            return raw
        if isinstance(raw, str) and not any(each.isdigit() for each in raw):
            choices = ", ".join(f'"{word}"' for word in self.words)
            edge = self.words[0]
            write = f'write one of {choices}, or a length from the {edge} edge, as "40 mm"'
            raise RefusedError(Fault(f"{shown(raw)} is no place on the board", write))
        return Amount("place", bare=True).read(raw)

    def from_edge(self, said: str | Entry, size_mm: float) -> float:
        """Return the distance from the first edge [mm] on a board of this size."""
        if isinstance(said, Entry):
            return said.quantity.value
        return size_mm * self.words.index(said) / 2


@dataclass(frozen=True, slots=True)
class Several(Reader):
    """A list of numbers, one for each sort named. ``rising``: none may be less than the one before."""

    names: tuple[str, ...]
    sample: str
    bare: bool = False
    rising: bool = False

    def read(self, raw: Any) -> tuple[Entry, ...]:  # noqa: ANN401 - whatever stands on a card
        """Return the numbers."""
        if not isinstance(raw, list) or len(raw) != len(self.names):
            raise RefusedError(Fault(f"needs {len(self.names)} values", value=self.sample))
        entries, faults = [], []
        for i, (name, each) in enumerate(zip(self.names, raw, strict=True)):
            try:
                entries.append(Amount(name, self.bare).take(each))
            except RefusedError as error:
                faults += error.placed(i)
        if faults:
            raise RefusedError(*faults)
        values = [entry.quantity.value for entry in entries]
        if self.rising and values != sorted(values):
            raise RefusedError(Fault("goes from more to less", "write the smaller value first"))
        return tuple(entries)


def guessed(name: str) -> Any:  # noqa: ANN401 - the default stands for the field's value
    """Return a field's default: what we take where the card says nothing, wide, and marked as not stated."""
    return Field(default_factory=lambda: _default(name))


@cache
def sort(name: str) -> Sort:
    """Return a sort by its name; a KeyError is our own mistake."""
    row = limits_file()["bands"][name]
    bands = {origin: row[origin] for origin in Origin}
    return Sort(
        kind=None if row["kind"] == "number" else Kind(row["kind"]),
        example=row["example"],
        least=row["sane"][0],
        most=row["sane"][1],
        plain=Origin(row["plain"]),
        bands={origin: tuple(band) if isinstance(band, list) else band for origin, band in bands.items()},
    )


def _default(name: str) -> Entry:
    row = default(name)
    quantity = Quantity(value=row.value, low=row.low, high=row.high, origin=Origin.GUESSED, key="", stated=False)
    return Entry(quantity=quantity, text="")


def _sensible(raw: Any, of: Sort) -> Parsed:  # noqa: ANN401 - whatever stands on a card
    """Return a value within the sensible range of its sort."""
    said = _parsed(raw, of)
    if of.least <= said.value <= of.most:
        return said
    least, most = (_rounded(end, of, said.unit) for end in (of.least, of.most))
    raise RefusedError(Fault(f"{shown(raw)} is absurd", f"check number and unit, {least} to {most} is sensible"))


def _reach(raw: Any, of: Sort) -> float:  # noqa: ANN401 - whatever stands on a card
    """Return a plus or minus: not negative, and no wider than what is sensible at all."""
    reach = _parsed(raw, of).value
    if 0 <= reach <= of.most - of.least:
        return reach
    raise RefusedError(Fault(f"{shown(raw)} is absurd", "write how far off the value may be, without a sign"))


def _parsed(raw: Any, of: Sort) -> Parsed:  # noqa: ANN401 - whatever stands on a card
    is_number = isinstance(raw, int | float) and not isinstance(raw, bool)
    if of.kind is None and is_number and abs(raw) <= sys.float_info.max:
        return Parsed(value=float(raw), unit="")
    if of.kind is None:
        raise RefusedError(Fault(f"{shown(raw)} is no plain number", value=f"{of.sample}, without quotes"))
    if is_number:
        unit = of.example.split(" ", 1)[1]
        raise RefusedError(Fault(f"{shown(raw)} has no unit", value=f'"{shown(raw)} {unit}"'))
    if not isinstance(raw, str):
        raise RefusedError(Fault(f"{shown(raw)} is no quantity", value=of.sample))
    try:
        return parse(raw, of.kind, example=of.example)
    except QuantityError as error:
        raise RefusedError(Fault(error.wrong, error.write)) from None


def _rounded(value: float, of: Sort, unit: str) -> str:
    """Return an end of the sensible range, in the unit that the person used."""
    ours = express(value, of.kind, unit) if of.kind else value
    text = f"{float(f'{ours:.3g}'):f}".rstrip("0").rstrip(".")
    return f"{text} {unit}".rstrip()

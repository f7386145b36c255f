"""The list of bits that a program read on its own is given: numbers, diameters, lengths."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field

from cutworthy.app.cards.amounts import Amount, Entry
from cutworthy.app.cards.faults import Fault
from cutworthy.app.cards.job import JobFile, repeated
from cutworthy.app.cards.tables import Table, table_in
from cutworthy.app.cards.words import Count

__all__ = ["ListedBit", "ToolsFile", "bits_alone", "bits_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedBit:
    """A bit by the number that calls it [mm]; None for what the list does not say."""

    tool: int
    diameter_mm: float | None
    length_mm: float | None


class _Bit(Table):
    """``[[bits]]``."""

    tool: Annotated[int, Count(1, 99999, 1)]
    diameter: Annotated[Entry, Amount("bit_size")] | None = None
    length: Annotated[Entry, Amount("place")] | None = None


class ToolsFile(Table):
    """A list of bits."""

    bits: list[_Bit] = Field(min_length=1)

    @classmethod
    def together(cls, raw: Mapping[str, Any]) -> Iterator[Fault]:
        """Yield two bits with one number."""
        yield from repeated(raw, "bits", "tool")


def bits_alone(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return a list of bits without what only a job card needs, so that a whole job card may be given.

    Whatever no job card has stays: it is a mistake.
    """
    job = JobFile.by_key()
    bit = table_in(job["bits"].annotation)
    assert bit is not None  # the job card's table of bits
    known = bit.by_key().keys() - _Bit.by_key().keys()
    kept = {key: value for key, value in raw.items() if key == "bits" or key not in job}
    if isinstance(kept.get("bits"), list):
        kept["bits"] = [_without(row, known) for row in kept["bits"]]
    return kept


def bits_of(file: ToolsFile) -> tuple[ListedBit, ...]:
    """Return the bits of a list."""
    return tuple(
        ListedBit(tool=bit.tool, diameter_mm=_value(bit.diameter), length_mm=_value(bit.length)) for bit in file.bits
    )


def _without(row: Any, known: set[str]) -> Any:  # noqa: ANN401 - whatever stands in a list
    return {key: value for key, value in row.items() if key not in known} if isinstance(row, dict) else row


def _value(entry: Entry | None) -> float | None:
    return None if entry is None else entry.quantity.value

"""What a person measured: rows of readings of one kind, with what holds for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

__all__ = ["Column", "ReadingKind", "Readings", "TimedRun"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a readings file. ``sort``: a file beside it, or a time in seconds (``5:12.4`` too)."""

    name: str
    sort: Literal["file", "time"]
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKind:
    """A kind of readings: its columns, and whether it is about one axis."""

    name: str
    columns: tuple[Column, ...]
    needs_axis: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Readings as they stand in a file: text of each cell by column; ``lines``: where each row stands.

    ``facts``: what the lines with ``#`` at the top say, in small letters, as ``instrument``.
    """

    kind: ReadingKind
    facts: Mapping[str, str]
    rows: tuple[Mapping[str, str | float], ...]
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedRun:
    """A program that a person timed [s]; ``name`` as in the readings, ``place`` where it stands there."""

    name: str
    place: str
    program: bytes
    seconds: float

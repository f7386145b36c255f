"""What a person measured: rows of readings of one kind, with what holds for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

__all__ = ["Column", "ReadingKind", "Readings", "Sort", "TimedRun"]

Sort = Literal["file", "time", "length", "force", "mass", "speed", "angle", "choice", "text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a readings file.

    ``sort``: a file beside it, a time in seconds (``5:12.4`` too), a quantity, an angle in degrees, one of the words in
    ``choices``, or any word. ``is_measured``: a row in which no such column is filled in waits for its reading.
    ``is_optional``: it may be left out, or empty.
    """

    name: str
    sort: Sort
    example: str
    is_measured: bool = False
    is_optional: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKind:
    """A kind of readings: its columns, whether it is about one axis, and whether an instrument has to be named."""

    name: str
    columns: tuple[Column, ...]
    needs_axis: bool
    needs_machine: bool = False
    needs_instrument: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Readings as they stand in a file: each cell by column; ``lines``: where each row stands.

    Lengths are in mm, forces in N, masses in kg, speeds in mm/s, angles in rad; an empty optional cell is None.
    ``facts``: what the lines with ``#`` at the top say, in small letters, as ``instrument``.
    """

    kind: ReadingKind
    facts: Mapping[str, str]
    rows: tuple[Mapping[str, str | float | None], ...]
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedRun:
    """A program that a person timed [s]; ``name`` as in the readings, ``place`` where it stands there."""

    name: str
    place: str
    program: bytes
    seconds: float

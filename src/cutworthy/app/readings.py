"""Reads a file of readings: columns between commas, a header row, and lines with ``#`` on top that hold for all rows.

As spreadsheets save them, columns may also stand between semicolons or tabs, and numbers have a comma for a point.
"""

import csv
import math
import re
from pathlib import Path

from cutworthy.app.cards.files import Wanted, read_card
from cutworthy.errors import QuantityError, ReadingsError
from cutworthy.model.reading import Column, ReadingKind, Readings
from cutworthy.present.plain import plain
from cutworthy.units import Kind, parse

__all__ = ["load_readings"]

WANTED = Wanted("file with your readings", "let cutworthy trial timing make one to fill in")
FACT = re.compile(r"^#\s*([A-Za-z_ -]+?)\s*:\s*(.*?)\s*$")
PARTED = ",;\t"
SECONDS = r"([0-5]?\d(?:\.\d+)?)"
CLOCKS = (
    re.compile(rf"(?:(\d+):(?=[0-5]?\d:))?(\d+):{SECONDS}", re.ASCII),  # 5:12.4, 1:05:12
    re.compile(rf"()(\d+) ?m(?:in)? ?{SECONDS} ?s?", re.ASCII),  # 5 min 12.4 s, 5m12
)
NUMBER = re.compile(r"\d+(?:\.\d+)?(?: ?s)?", re.ASCII)
LONGEST_S = 86_400.0  # a day: nobody times a run that long by hand
MOST_ROWS = 10_000
LONGEST_CELL = 1_000  # characters
QUANTITIES = {"length": Kind.LENGTH, "force": Kind.FORCE, "mass": Kind.MASS, "speed": Kind.SPEED}
UNITS = {"mm": "mm", "millimetres": "mm", "in": "in", "inch": "in", "inches": "in"}
BARE = re.compile(r"[+-]?\d*\.?\d+", re.ASCII)
FULL_TURN = 360.0


def load_readings(path: Path, kind: ReadingKind) -> Readings:
    """Return the readings in a file; a row whose time is not filled in yet is left out.

    Raises
    ------
    FileError
        When the file cannot be read as text.
    ReadingsError
        With all mistakes, each with its line.
    """
    return _Reader(path, kind).read(read_card(path, WANTED))


class _Reader:
    """Reads one file and gathers what is wrong with it."""

    def __init__(self, path: Path, kind: ReadingKind) -> None:
        self._path, self._kind = path, kind
        self._faults: list[str] = []
        self._facts: dict[str, str] = {}
        self._parted = ","

    def read(self, text: str) -> Readings:
        """Return the readings of a text."""
        facts = self._facts
        header: list[str] | None = None
        rows, lines = list[dict[str, str | float | None]](), list[int]()
        for number, line in enumerate(text.splitlines(), start=1):
            if line.lstrip().startswith("#"):
                if found := FACT.match(line.strip()):
                    facts[found[1].lower()] = plain(found[2])
                continue
            if not line.strip(" " + PARTED):
                continue
            if header is None:
                header = self._header(line, number)
                self._refuse()  # what follows would be told wrong for this alone
            elif len(rows) >= MOST_ROWS:
                self._fault(number, f"there are more than {MOST_ROWS} readings; write them into several files")
                break
            elif row := self._row(header, line, number):
                rows.append(row)
                lines.append(number)
        if header is None:
            self._fault(1, f"there is no header row; write {self._wanted} as its first row")
        elif not rows and not self._faults:
            self._fault(1, f"there are no readings yet; write a row for each, as {self._example}")
        self._refuse()
        return Readings(kind=self._kind, facts=facts, rows=tuple(rows), lines=tuple(lines))

    @property
    def _wanted(self) -> str:
        return ",".join(column.name for column in self._kind.columns)

    @property
    def _example(self) -> str:
        return ",".join(column.example for column in self._kind.columns)

    def _refuse(self) -> None:
        if self._faults:
            raise ReadingsError("\n".join(self._faults))

    def _fault(self, line: int, wrong: str) -> None:
        self._faults.append(f"{plain(str(self._path))}, line {line}: {wrong}")

    def _cells(self, line: str) -> list[str]:
        if len(line) > LONGEST_CELL * len(self._kind.columns):
            return [line]
        return [cell.strip() for cell in next(csv.reader([line], delimiter=self._parted, skipinitialspace=True))]

    def _header(self, line: str, number: int) -> list[str]:
        self._parted = next((sign for sign in PARTED if sign in line), ",")
        cells = self._cells(line)
        names = [cell.lower() for cell in cells]
        for column in self._kind.columns:
            if names.count(column.name) != 1 and not (column.is_optional and column.name not in names):
                seen = f"the header row is {plain(line.strip()[:LONGEST_CELL])}"
                self._fault(number, f"{seen}; it needs the column {column.name} once: {self._wanted}")
        return names

    def _row(self, header: list[str], line: str, number: int) -> dict[str, str | float | None] | None:
        cells = self._cells(line)
        if len(cells) != len(header):
            count = f"{len(cells)} column{'s' * (len(cells) > 1)}"
            whole = ". If that is one number, write it with a point" if len(cells) > len(header) else ""
            self._fault(number, f"there are {count}, the header has {len(header)}; write {self._example}{whole}")
            return None
        given = dict(zip(header, cells, strict=True))
        if not any(given[column.name] for column in self._kind.columns if column.is_measured):
            return None  # not read off yet
        return {column.name: self._cell(column, given.get(column.name, ""), number) for column in self._kind.columns}

    def _cell(self, column: Column, text: str, line: int) -> str | float | None:
        if not text:
            if not column.is_optional:
                self._fault(line, f"{column.name} is empty; write it, as {column.example}")
            return None
        if column.sort == "time":
            return self._time(column, text, line)
        if column.sort in QUANTITIES:
            return self._quantity(column, text, line)
        if column.sort == "angle":
            return self._angle(column, text, line)
        if column.sort == "choice" and text.lower() not in column.choices:
            self._fault(line, f"{column.name} is {plain(text)}; write {' or '.join(column.choices)}")
        return text.lower() if column.sort == "choice" else text

    def _quantity(self, column: Column, text: str, line: int) -> float:
        """Return a quantity in the unit of our code; a bare length takes the unit that is told at the top."""
        typed = text.replace(",", ".")
        if BARE.fullmatch(typed) and column.sort == "length":
            unit = UNITS.get(self._facts.get("unit", "").lower())
            if unit is None:
                told = "write its unit behind it, or a line # unit: mm (or inch) at the top for all"
                self._fault(line, f"{column.name} is {plain(text)} without a unit; {told}")
                return math.nan
            typed = f"{typed} {unit}"
        try:
            return parse(typed, QUANTITIES[column.sort], example=column.example).value
        except QuantityError as error:
            self._fault(line, f"{column.name}: {error}")
            return math.nan

    def _angle(self, column: Column, text: str, line: int) -> float:
        """Return an angle in radians; a bare number counts in degrees."""
        typed = text.replace(",", ".").removesuffix("deg").removesuffix("\N{DEGREE SIGN}").strip()
        if not BARE.fullmatch(typed) or abs(float(typed)) > FULL_TURN:
            self._fault(line, f"{column.name} is {plain(text)}, which is no angle; write degrees, as {column.example}")
            return math.nan
        return math.radians(float(typed))

    def _time(self, column: Column, text: str, line: int) -> float:
        """Return a time in seconds, also of ``5:12.4``, ``1:05:12`` and ``5 min 12 s``."""
        typed = text.replace(",", ".")
        clock = next((found for each in CLOCKS if (found := each.fullmatch(typed))), None)
        seconds = 0.0
        if clock:
            seconds = float(clock[1] or 0) * 3600 + float(clock[2]) * 60 + float(clock[3])
        elif NUMBER.fullmatch(typed):
            seconds = float(typed.removesuffix("s"))
        if not 0 < seconds <= LONGEST_S:
            wrong = f"{column.name} is {plain(text)}, which is no time"
            self._fault(line, f"{wrong}; write seconds, as {column.example}, or minutes and seconds, as 5:12.4")
        return seconds

"""Parts of a program called by number: O words, M98 and M99 (common practice, no source).

The report has no such parts. A call runs the lines from the part's O word to its M99, as often as
L says; modes are not put back on the return.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from cutworthy.model.program import Level
from cutworthy.program.control import Control
from cutworthy.program.grammar import Block
from cutworthy.program.modes import whole
from cutworthy.program.problems import LineError
from cutworthy.program.state import Point
from cutworthy.program.text import Text

__all__ = ["MOST_CALLED", "Call", "Calls", "Spot"]

# Most lines that are run by calls, over the whole program: our choice, far above any real pattern.
MOST_CALLED = 2_000_000
PACKED = 9999  # a greater P may hold a count before the number of the part
DEEP = 4  # calls within calls that every control of the kind can follow
HEADING = re.compile(rb"(?:\A|[\r\n])[ \t]*(?:/[ \t]*)?(?:[Nn][ \t\d]*)?[Oo:][ \t]*(\d[\d \t]{0,15})(?![\d.])")


@dataclass(frozen=True, slots=True)
class Spot:
    """A line's place in the bytes and its number."""

    at: int
    number: int


@dataclass(slots=True)
class Call:
    """A part being run: where it begins, where to go on after it, and how often it is still run."""

    name: int
    begin: Spot
    back: Spot
    left: int
    line: int
    absolute: bool
    here: Point
    drifted: bool = False


class Calls:
    """Which parts are being run, and where they stand in the program."""

    def __init__(self, text: Text, control: Control) -> None:
        """Begin in the main part; ``begin`` and ``end``: where the program stands in the bytes."""
        self.begin, self.end = 0, len(text.data)
        self._text = text
        self._control = control
        self.stack: list[Call] = []
        self.called = 0
        self.any = False

    @cached_property
    def _parts(self) -> Mapping[int, list[Spot]]:
        """Where each O word stands."""
        found: dict[int, list[Spot]] = {}
        at, number = 0, 1  # of the file, not of the program
        for heading in HEADING.finditer(self._text.data, max(self.begin - 1, 0), self.end):
            begin = heading.start() + (self._text.data[heading.start()] in b"\r\n")
            number += self._text.newlines(at, begin)
            at = begin
            found.setdefault(int(heading[1].translate(None, b" \t")), []).append(Spot(begin, number))
        return found

    def jump(self, block: Block, after: Spot) -> Spot:
        """Return where the program goes on behind a line with M98 or M99.

        Raises
        ------
        LineError
            When the call cannot be followed.
        """
        if block.codes["stopping"] == "M98":
            return self._call(block.words, after)
        if "P" in block.words:
            raise LineError(problem="not-supported", case="return-to", level=Level.ASK)
        if not self.stack:
            raise LineError(problem="endless", case="main")
        return self.give_back()

    def _call(self, words: Mapping[str, float], after: Spot) -> Spot:
        control = self._control
        if "P" not in words:
            raise LineError(problem="number-missing", case="call")
        name, times = whole("P", words["P"]), whole("L", words.get("L", 1.0))
        if times < 1:
            raise LineError(case="cycle-repeats", numbers={"value": times})
        if name > PACKED:
            raise LineError(problem="not-supported", case="call-packed", level=Level.ASK, numbers={"name": str(name)})
        parts = self._parts.get(name, [])
        if not parts:
            raise LineError(case="part-missing", numbers={"name": str(name)})
        if len(parts) > 1:
            numbers = {"name": str(name), "first": str(parts[0].number), "second": str(parts[1].number)}
            raise LineError(case="part-twice", numbers=numbers)
        if any(call.name == name for call in self.stack):
            raise LineError(problem="endless", case="recursion", numbers={"name": str(name)})
        self.any = True
        if len(self.stack) == DEEP:
            control.problems.practice("calls-deep", Level.ASK, numbers={"value": DEEP + 1, "limit": DEEP})
        (begin,) = parts
        state = control.state
        self.stack.append(Call(name, begin, after, times, control.problems.line, state.absolute, state.here))
        return begin

    def give_back(self) -> Spot:
        """Return where the program goes on at the end of a part: at its begin, or behind its call."""
        call, state, problems = self.stack[-1], self._control.state, self._control.problems
        call.left -= 1
        if call.left:
            if not call.drifted and call.here != state.here and not state.absolute:
                call.drifted = True
                x, y, z = (there - here for there, here in zip(state.here, call.here, strict=True))
                problems.practice("part-drifts", numbers={"x_mm": x, "y_mm": y, "z_mm": z, "name": str(call.name)})
            return call.begin
        if state.absolute != call.absolute:
            code = "G90" if state.absolute else "G91"
            problems.practice("mode-left", numbers={"code": code, "name": str(call.name)})
        self.stack.pop()
        return call.back

    def is_heading(self, spot: Spot, name: int) -> bool:
        """Return whether this O word opens the part being run, and not another one."""
        return bool(self.stack) and self.stack[-1].begin.at == spot.at and self.stack[-1].name == name

    @property
    def left(self) -> int:
        """How many lines may still be run by calls."""
        return MOST_CALLED - self.called

    def count(self) -> None:
        """Count a line that a call runs, and that says anything.

        Raises
        ------
        LineError
            When there are too many of them.
        """
        self.called += 1
        if self.called > MOST_CALLED:
            raise LineError(problem="endless", case="calls", numbers={"limit": MOST_CALLED})

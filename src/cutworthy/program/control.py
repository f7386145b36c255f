"""The control that a program is read by: its state, and what comes of each line."""

from dataclasses import dataclass, field
from math import inf, isnan, nan
from typing import Any, NamedTuple

from cutworthy.model.program import Level
from cutworthy.program.grammar import Block
from cutworthy.program.options import ReadOptions
from cutworthy.program.parameters import Parameters
from cutworthy.program.problems import LineError, Problems
from cutworthy.program.record import Move
from cutworthy.program.state import State
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH

__all__ = ["Control", "Mark", "Suspect"]


class Suspect(NamedTuple):
    """An arc whose numbers fit worse than the report allows."""

    line: int
    text: str
    case: str
    off_mm: float
    inches: bool


class Mark(NamedTuple):
    """What a control was before a line: its state, how long its lists were, and what else a line may change."""

    state: dict[str, Any]
    counts: tuple[int, int, int, int]
    finest_mm: dict[bool, float]
    drilled: int
    without_length: frozenset[int]


@dataclass(slots=True)
class Control:
    """A control at work on a line. Lists grow at their end; other values are replaced, never changed in place.

    ``pending``: the moves of the line being read, made when all of it is found good. ``changes``:
    the bit changes. ``odd_arcs``: lines of arcs that close only the other way. ``suspects``: arcs to
    be judged when ``finest_mm``, the last digit of all arc lines by unit, is known. ``drilled``: the
    moves that cycles have made. ``without_length``: tools of which that has been said.
    """

    options: ReadOptions
    problems: Problems
    state: State
    parameters: Parameters
    pending: list[Move] = field(default_factory=list)
    changes: list[tuple[int, int]] = field(default_factory=list)
    suspects: list[Suspect] = field(default_factory=list)
    odd_arcs: list[tuple[int, str, str]] = field(default_factory=list)
    finest_mm: dict[bool, float] = field(default_factory=dict)
    drilled: int = 0
    without_length: frozenset[int] = frozenset()

    @classmethod
    def at_start(cls, options: ReadOptions, problems: Problems) -> "Control":
        """Return a control that is about to begin."""
        state = State.at_start(options)
        return cls(options=options, problems=problems, state=state, parameters=Parameters(options, problems, state))

    def mark(self) -> Mark:
        """Return what to go back to when a line cannot be obeyed."""
        counts = (len(self.problems), len(self.changes), len(self.odd_arcs), len(self.suspects))
        return Mark(vars(self.state).copy(), counts, self.finest_mm, self.drilled, self.without_length)

    def back_to(self, mark: Mark) -> None:
        """Undo all that a line has changed."""
        vars(self.state).update(mark.state)
        problems, changes, odd_arcs, suspects = mark.counts
        self.problems.cut_back(problems)
        del self.changes[changes:], self.odd_arcs[odd_arcs:], self.suspects[suspects:]
        self.finest_mm, self.drilled, self.without_length = mark.finest_mm, mark.drilled, mark.without_length

    @property
    def lacks_length(self) -> bool:
        """Whether it has yet to be said that the tool's length, kept in the control's table, is not switched on."""
        state = self.state
        off = self.options.lengths == "table" and state.tool and state.length_of != state.tool
        return bool(off) and state.tool not in self.without_length

    def not_supported(self, case: str, quote: str = "") -> None:
        """Say that a word is not obeyed; in a strict reading, refuse it."""
        if self.options.strict:
            raise LineError(problem="not-supported", case=case, quote=quote)
        self.problems.add("not-supported", Level.ASK, case, quote=quote)

    def feed(self, block: Block) -> tuple[float, float | None]:
        """Return the feed of a move [mm/min], or its F number under G93; NaN and None when missing."""
        state = self.state
        feed = block.words.get("F") if state.inverse_time else state.feed
        if feed is None:
            self.problems.fault("feed-missing", "inverse-time" if state.inverse_time else state.why_no_feed)
        elif feed == 0:
            self.problems.fault("feed-missing", "zero")
        elif state.inverse_time:
            return nan, None if isnan(feed) else feed
        else:
            return feed * state.scale, None
        return nan, None

    def allowance_mm(self, *, inches: bool) -> float:
        """Return by how much the radii of an arc may differ where its numbers are rounded."""
        rounding = limit("arc_rounding").value * self.finest_mm.get(inches, 0.0)
        return max(self.report_limit_mm(inches=inches), rounding)

    @staticmethod
    def report_limit_mm(*, inches: bool) -> float:
        """Return by how much the report lets them differ (NISTIR 6556, 3.5.3.2)."""
        return limit("arc_report_inch").value * MM_PER_INCH if inches else limit("arc_report_mm").value

    def saw_digit(self, digit: float | None) -> None:
        """Take note of an arc line's last digit, in the units in force."""
        state = self.state
        if digit is not None:
            finest = min(self.finest_mm.get(state.inches, inf), digit * state.scale)
            self.finest_mm = {**self.finest_mm, state.inches: finest}

    def suspect(self, case: str, off_mm: float) -> None:
        """Take note of an arc that the report would refuse; in a strict reading, refuse it."""
        if self.options.strict:
            limit_mm = self.report_limit_mm(inches=self.state.inches)
            raise LineError(
                problem="arc-mismatch", case=case, numbers={"value": off_mm, "limit": limit_mm, "unit": "mm"}
            )
        self.suspects.append(Suspect(self.problems.line, self.problems.text, case, off_mm, self.state.inches))

    def odd_arc(self, case: str) -> None:
        """Take note of an arc that closes only when its centre is read the other way."""
        self.odd_arcs.append((self.problems.line, self.problems.text, case))

    def judge_suspects(self, arcs: int) -> None:
        """Report the arcs that fit badly, now that the last digit and the number of all of them are known."""
        for line, text, case in self.odd_arcs:
            self.problems.at(line, text)
            numbers = {"value": len(self.odd_arcs), "limit": max(arcs, len(self.odd_arcs))}
            self.problems.add("arc-format", Level.ASK, case, numbers=numbers)
        for suspect in self.suspects:
            allowed = self.allowance_mm(inches=suspect.inches)
            level = Level.NO_GO if suspect.off_mm > allowed else Level.NOTE
            self.problems.at(suspect.line, suspect.text)
            self.problems.add(
                "arc-mismatch", level, suspect.case, numbers={"value": suspect.off_mm, "limit": allowed, "unit": "mm"}
            )

"""Reads a whole program: lines in, ``Program`` out."""

import hashlib
import re
from collections.abc import Callable
from typing import Literal

import numpy as np

from cutworthy.model.program import Kind, Level, Program, ProgramMoves
from cutworthy.program.control import Control
from cutworthy.program.execute import obey
from cutworthy.program.grammar import parse
from cutworthy.program.options import ReadOptions
from cutworthy.program.problems import LineError, Problems
from cutworthy.program.record import Record, extents_of, length_of
from cutworthy.program.state import CERTAIN, NOWHERE, State
from cutworthy.program.text import AXIS_WORD, Text, frame_of, read_text

__all__ = ["read_program"]

EVERY = 2000  # lines between two words of progress
POINT_WORD = re.compile(r"[XYZ][ \t]*[-+]?\d*\.", re.IGNORECASE)
HUGE_MM = 3000.0  # our choice: no job of such a machine is larger


def read_program(data: bytes, options: ReadOptions, progress: Callable[[float], None]) -> Program:
    """Read an NC program: what it moves, and what is wrong with it.

    Whatever the bytes are, the answer is a program with its problems; bad input raises nothing.

    Parameters
    ----------
    data
        The file as it is.
    options
        How to read it.
    progress
        Told the share of the lines read, 0 to 1, every few thousand lines.

    Returns
    -------
    Program
        In the zero frame [mm].

    Raises
    ------
    Stopped
        When ``progress`` raises it.

    Notes
    -----
    The language is that of NISTIR 6556; where practice is laxer, and ``options.strict`` is false,
    practice is followed and the difference reported.
    """
    return _Reading(read_text(data), options).program(hashlib.sha256(data).hexdigest(), progress)


class _Reading:
    """One reading of one program."""

    def __init__(self, text: Text, options: ReadOptions) -> None:
        self.lines = text.lines
        self.text = text
        self.options = options
        self.problems = Problems(strict=options.strict)
        self.control = Control(options=options, problems=self.problems, state=State.at_start(options))
        self.record = Record(self.control.state.here)
        self.frame = frame_of(text.lines)
        self.has_block_delete = False
        self.broken = False
        self.cut_off = False

    def program(self, sha256: str, progress: Callable[[float], None]) -> Program:
        """Read all lines and return the result."""
        if self.text.refused:
            self.problems.add("bad-line", Level.NO_GO, self.text.refused)
            self.broken = True
        else:
            try:
                self._see_frame()
                self._read(progress)
                self._see_end()
            except LineError as error:  # only a strict reading stops
                self.problems.refuse(error)
        self.control.judge_suspects()
        progress(1.0)
        return self._result(sha256)

    def _see_frame(self) -> None:
        """Say what is odd about the file's first lines."""
        frame = self.frame
        self.problems.at(0, self.lines)
        if self.text.has_mark:
            self.problems.practice("byte-order-mark")
        self.problems.at(frame.begin, self.lines)
        if frame.leader:
            self.problems.practice("leader", Level.ASK)
        if frame.opened and self.lines[frame.begin].strip() != "%":
            self.problems.practice("percent-text")

    def _read(self, progress: Callable[[float], None]) -> None:
        """Read line by line until the program ends."""
        frame, state, problems, total = self.frame, self.control.state, self.problems, len(self.lines)
        first = frame.begin + frame.opened
        for number, raw in enumerate(self.lines[first : frame.end], start=first + 1):
            if number % EVERY == 0:
                progress(number / total)
            if not raw or raw.isspace():
                continue
            problems.line, problems.text = number, raw
            try:
                self._read_line(raw)
            except LineError as error:
                self._refuse(error)
            if state.ended:
                self._see_rest(number)
                return
        if frame.closed:
            problems.at(frame.end, self.lines)
            if not frame.opened:
                problems.practice("percent-alone")
            self._see_rest(frame.end + 1)

    def _read_line(self, raw: str) -> None:
        try:
            block = parse(raw)
        except LineError:
            if not self.options.strict:
                self.control.state.lose("XYZ")
            raise
        self.has_block_delete |= block.deleted
        if not (block.deleted and self.options.block_delete):
            obey(self.control, self.record, block)

    def _refuse(self, error: LineError) -> None:
        """Report a line that cannot be read, and go on; a strict reading stops."""
        if self.options.strict:
            raise error
        self.broken = True
        self.problems.refuse(error)
        if error.unfinished and self.problems.line == len(self.lines) and not self.text.ends_with_newline:
            self.cut_off = True
            self.problems.add("truncated", Level.NO_GO, "comment" if error.case == "comment-open" else "word")

    def _see_rest(self, read: int) -> None:
        """Say when words that would move the bit stand behind the end, after so many lines read."""
        for index in range(read, len(self.lines)):
            if AXIS_WORD.search(self.lines[index].partition("(")[0]):
                self.problems.at(index, self.lines)
                self.problems.practice("after-end")
                return

    def _see_end(self) -> None:
        """Say how the program ends, on the file's last line."""
        state, frame, problems = self.control.state, self.frame, self.problems
        problems.at(len(self.lines) - 1, self.lines)
        if frame.opened and not frame.closed and state.ended:
            problems.practice("percent-open")
        if state.ended:
            return
        if not frame.closed and not self.cut_off:
            problems.add("no-end", Level.NO_GO if self.options.strict else Level.ASK, "no-end")
        if state.spindle:
            problems.add("spindle-left-on", Level.NOTE, "left-on")
        if state.shift != NOWHERE:
            x, y, z = state.shift
            problems.add("stale-offset", Level.ASK, "left-on", numbers={"x_mm": x, "y_mm": y, "z_mm": z})

    def _result(self, sha256: str) -> Program:
        state, moves = self.control.state, self.record.moves()
        self._see_size(moves)
        rapids = moves.kind == Kind.RAPID
        known = not self.broken and state.doubt == CERTAIN
        units: Literal["mm", "inch", "mixed", "unstated"] = "unstated"
        if state.units_stated:
            units = "mixed" if len(state.units_stated) > 1 else state.units
        return Program(
            lines=len(self.lines),
            units=units,
            end_mm=state.shown() if known else None,
            end_machine_mm=state.here if known else None,
            tools=tuple(dict.fromkeys(tool for _, tool in self.control.changes if tool)),
            changes=tuple(self.control.changes),
            cut=extents_of(moves, moves.feeds),
            everything=extents_of(moves, np.ones(len(moves), dtype=np.bool_)),
            cut_length_mm=length_of(moves, moves.feeds),
            rapid_length_mm=length_of(moves, rapids),
            problems=self.problems.in_order(),
            moves=moves,
            has_block_delete=self.has_block_delete,
            homes_some_axes=state.homes_some_axes,
            sha256=sha256,
        )

    def _see_size(self, moves: ProgramMoves) -> None:
        """Ask when huge coordinates without any decimal point look like thousandths."""
        far = np.maximum(np.abs(moves.low_mm), np.abs(moves.high_mm)).max(axis=1)
        if len(far) and far.max() > HUGE_MM and not any(map(POINT_WORD.search, self.lines)):
            self.problems.at(int(moves.line[far.argmax()]) - 1, self.lines)
            self.problems.practice("no-decimal-point", Level.ASK, numbers={"value": float(far.max()), "unit": "mm"})

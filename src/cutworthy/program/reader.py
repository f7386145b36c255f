"""Reads a whole program: bytes in, ``Program`` out."""

import hashlib
import re
from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from typing import Literal

import numpy as np

from cutworthy.model.program import Level, Program
from cutworthy.program.calls import Calls, Spot
from cutworthy.program.control import Control
from cutworthy.program.evidence import bit_down, see_cut_number, see_units
from cutworthy.program.execute import obey
from cutworthy.program.fast import SPARE_ROOM, Fast
from cutworthy.program.grammar import MOST_CHARACTERS, Block, parse
from cutworthy.program.options import ReadOptions
from cutworthy.program.problems import LineError, Numbers, Problems
from cutworthy.program.record import Record, complete
from cutworthy.program.size import Size, size_of
from cutworthy.program.state import CERTAIN, NOWHERE
from cutworthy.program.text import AXIS_WORD, LONG_BYTES, PART, Frame, Text, frame_of, read_text

__all__ = ["Reading", "read_program"]

EVERY, FAR = 2000, 1 << 19  # lines, or bytes at once, between two words of progress
POINT_WORD = re.compile(rb"[XYZ][ \t]*[-+]?\d*\.", re.IGNORECASE)
HUGE_MM = 3000.0  # our choice: no job of such a machine is larger
HELPERS = 2  # threads beside the one that reads: one for a second stretch of lines, one for the digest
FEW, MOSTLY = 5, 0.8  # our choice: so many lines, and such a share of them, that mean nothing are no program
KEPT_BLOCKS = 20_000  # lines of called parts that are parsed once; our choice


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
    if len(data) <= LONG_BYTES:
        reading = Reading(read_text(data), options)
        reading.run(progress)
        return reading.program(hashlib.sha256(data).hexdigest())
    with ThreadPoolExecutor(HELPERS) as helpers:
        digest = helpers.submit(lambda: hashlib.sha256(data).hexdigest())
        reading = Reading(read_text(data), options)
        reading.speed_up(helpers)
        reading.run(progress)
        return reading.program(digest.result())


class Reading:
    """One reading of one program, line by line.

    ``spot``: the line that is read next. ``stop_at``: a line before which the reading stops.
    """

    def __init__(self, text: Text, options: ReadOptions, stop_at: int | None = None) -> None:
        """Stand before the first line."""
        self.text = text
        self.options = options
        self.stop_at = stop_at
        self.problems = Problems(strict=options.strict)
        self.control = Control.at_start(options, self.problems)
        self.record = Record(self.control.state.here)
        self.calls = Calls(text, self.control)
        self.spot = Spot(0, 1)
        self.begun = False
        self.has_block_delete = False
        self.broken = False
        self.cut_off = False
        self.stopped = False
        self.read = self.refused = 0
        self._blocks: dict[int, tuple[Block, Spot, str]] = {}
        self._fast: Fast | None = None

    def speed_up(self, helpers: Executor | None = None) -> None:
        """Let a kernel obey the plain lines, with helpers two stretches of them at a time."""
        # Room that is never written takes no memory.
        self.record.make_room(self.text.lines + SPARE_ROOM)
        two = None if self.text.has_lone_returns else helpers
        self._fast = Fast(self.text.data, self.control, self.record, two)

    def run(self, progress: Callable[[float], None]) -> None:
        """Read all lines."""
        if self.text.refused:
            self.problems.add("bad-line", Level.NO_GO, self.text.refused)
            self.broken = True
        else:
            try:
                frame = frame_of(self.text)
                self._see_frame(frame)
                self._read(frame, progress)
                self._see_end(frame)
            except LineError as error:  # only a strict reading stops
                self.problems.refuse(error)
        self.control.judge_suspects(self.record.arcs)
        if self.refused >= FEW and self.refused > MOSTLY * self.read and not len(self.record):
            self.problems.start_anew()
            numbers: Numbers = {"value": self.refused, "limit": self.read}
            self.problems.add("bad-line", Level.NO_GO, "no-program", numbers=numbers)
        progress(1.0)

    def _see_frame(self, frame: Frame) -> None:
        """Say what is odd about the file's first lines."""
        self.problems.at(1, self.text.line(0)[0])
        self.calls.begin, self.calls.end = frame.begin, frame.end
        if self.text.has_mark:
            self.problems.practice("byte-order-mark")
        if self.text.has_tape:
            self.problems.practice("tape-bytes")
        self.problems.at(frame.number - frame.opened, frame.opening)
        if frame.leader:
            self.problems.practice("leader", Level.ASK)
        if frame.opened and frame.opening.strip() != "%":
            self.problems.practice("percent-text")
        self.spot = Spot(frame.begin, frame.number)

    def _read(self, frame: Frame, progress: Callable[[float], None]) -> None:
        """Read line by line until the program ends."""
        end, total, state = frame.end, len(self.text.data), self.control.state
        steps = 0
        while self.spot.at < end:
            begin, steps = self.spot.at, steps + 1
            if self._fast is not None:
                self._leap(self._fast, end)
            if steps % EVERY == 0 or self.spot.at > begin + FAR:
                progress(self.spot.at / total)
            if self.spot.number == self.stop_at:
                self.stopped = True
                return
            if self.spot.at < end:
                self._next_line()
            if state.ended:
                self._see_rest()
                return
            if self.spot.at >= end and self.calls.stack:
                self._leave_open_part()
        if frame.closed:
            text, after = self.text.line(end)
            number = self.spot.number
            self.problems.at(number, text)
            if not frame.opened:
                self.problems.practice("percent-alone")
            self.spot = Spot(after, number + 1)
            self._see_rest()

    def _leap(self, fast: Fast, end: int) -> None:
        """Go over as many plain lines as the kernel obeys in one go."""
        calls = self.calls
        self.spot, count = fast.run(self.spot, end, self.stop_at, calls.left if calls.stack else None)
        if calls.stack:
            calls.called += count

    def _next_line(self) -> None:
        """Read one line and go to the next; report it when it cannot be read or obeyed."""
        spot = self.spot
        kept = self._blocks.get(spot.at) if self.calls.stack else None
        if kept is None:
            raw, after = self.text.line(spot.at)
            self.spot = Spot(after, spot.number + 1)
            if not raw or (raw.isspace() and len(raw) <= MOST_CHARACTERS):
                return
            self.problems.line, self.problems.text = spot.number, raw
        try:
            if kept is None:
                self._read_line(raw, spot)
            else:
                block, self.spot, self.problems.text = kept
                self.problems.line = spot.number
                self._do(block, spot)
        except LineError as error:
            if self.options.strict:
                raise
            self._refuse(error)

    def _read_line(self, raw: str, spot: Spot) -> None:
        self.read += 1
        try:
            block = parse(raw)
        except LineError:
            if not self.options.strict:
                self.control.state.lose("XYZ")
            raise
        self.has_block_delete |= block.deleted
        if self.calls.stack and len(self._blocks) < KEPT_BLOCKS:
            self._blocks[spot.at] = (block, self.spot, raw)
        self._do(block, spot)

    def _do(self, block: Block, spot: Spot) -> None:
        """Do what a line says."""
        if self.calls.stack and block.says_anything:
            self._count()
        if block.deleted and self.options.block_delete:
            return
        if block.elsewhere:
            self._cannot_follow(block)
            return
        if block.name is not None and not self._goes_on(block.name, spot):
            return
        self.begun = self.begun or block.says_anything
        if block.is_empty:
            return
        block = obey(self.control, self.record, block)
        if self.calls.stack and self.control.state.ended:
            self.problems.practice("end-in-part", numbers={"name": str(self.calls.stack[-1].name)})
        if block.codes.get("stopping") in ("M98", "M99"):
            self._jump(block)

    def _count(self) -> None:
        try:
            self.calls.count()
        except LineError:
            self.control.state.ended = True
            self.control.state.lose("XYZ")
            raise

    def _cannot_follow(self, block: Block) -> None:
        """Leave aside a line that says what runs next, or what a part does, in a way that is not read."""
        if self.options.strict:
            letter = block.text.lstrip("/N0123456789.")[:1]
            raise LineError(problem="unknown-word", case="letter", quote=letter, numbers={"letter": letter})
        self.control.not_supported(block.elsewhere)
        self.control.state.lose("XYZ")

    def _goes_on(self, number: int, spot: Spot) -> bool:
        """See to an O word: the program's name, the begin of the part being run, or, where it must end, of another."""
        problems, name = self.problems, str(number)
        if self.calls.is_heading(spot, number):
            return True
        if self.calls.stack:
            problems.add("bad-line", Level.NO_GO, "part-open", numbers={"name": str(self.calls.stack[-1].name)})
            self.broken = True
            self.control.state.lose("XYZ")
            self.spot = self.calls.give_back()
            return False
        if self.begun:
            problems.practice("runs-into-part", Level.ASK, numbers={"name": name})
        else:
            problems.practice("program-name", numbers={"name": name})
            self.begun = True
        return True

    def _jump(self, block: Block) -> None:
        """Go where M98 or M99 leads."""
        try:
            self.spot = self.calls.jump(block, self.spot)
        except LineError as error:
            self.control.state.lose("XYZ")
            if error.problem == "endless" and error.case == "main":
                self.control.state.ended = True
            raise

    def _leave_open_part(self) -> None:
        """Go back from a part that the file's end cuts short."""
        call = self.calls.stack[-1]
        self.problems.at(self.text.lines, self.text.last())
        self.problems.add("bad-line", Level.NO_GO, "part-open", numbers={"name": str(call.name)})
        self.broken = True
        self.control.state.lose("XYZ")
        self.calls.stack.clear()
        self.spot = call.back

    def _refuse(self, error: LineError) -> None:
        self.broken = True
        self.refused += 1
        self.problems.refuse(error)
        last = self.problems.line == self.text.lines and not self.text.ends_with_newline
        if error.unfinished and last:
            self.cut_off = True
            self.problems.add("truncated", Level.NO_GO, "comment" if error.case == "comment-open" else "word")

    def _see_rest(self) -> None:
        """Say when words that would move the bit stand behind the end."""
        for number, _, raw in self.text.walk(self.spot.at, self.spot.number):
            if PART.match(raw):  # a part that a call may have run
                return
            if AXIS_WORD.search(raw.partition("(")[0]):
                self.problems.at(number, raw)
                self.problems.practice("after-end")
                return

    def _see_end(self, frame: Frame) -> None:
        """Say how the program ends, on the file's last line."""
        state, problems = self.control.state, self.problems
        if self.stopped:
            return
        problems.at(self.text.lines, self.text.last())
        if frame.opened and not frame.closed and state.ended:
            problems.practice("percent-open")
        if state.ended:
            return
        if not frame.closed and not self.cut_off and not see_cut_number(self.text, problems):
            self._see_no_end()
        if state.spindle:
            problems.add("spindle-left-on", Level.NOTE, "left-on")
        if state.offset[0] != NOWHERE:
            x, y, z = state.offset[0]
            problems.add("stale-offset", Level.ASK, "left-on", numbers={"x_mm": x, "y_mm": y, "z_mm": z})

    def _see_no_end(self) -> None:
        """Say that the program has no end, and whether it stops in the wood."""
        level, heights = Level.NO_GO if self.options.strict else Level.ASK, bit_down(self.record.track())
        if heights is None:
            self.problems.add("no-end", level, "no-end")
        else:
            last, travel = heights
            numbers: Numbers = {"value": last, "limit": travel, "unit": "mm"}
            self.problems.add("no-end", level, "bit-down", numbers=numbers)

    def program(self, sha256: str) -> Program:
        """Return what has been read."""
        state, track = self.control.state, self.record.track()
        size = size_of(track, self.record.places)
        units: Literal["mm", "inch", "mixed", "unstated"] = "unstated"
        if state.units_stated:
            units = "mixed" if len(state.units_stated) > 1 else state.units
        self._see_size(size)
        self.problems.at(1, "")
        see_units(units, size, track, self.text, self.problems)
        known = not self.broken and state.doubt == CERTAIN
        return Program(
            lines=self.text.lines,
            units=units,
            end_mm=state.shown() if known else None,
            end_machine_mm=state.here if known else None,
            tools=tuple(dict.fromkeys(tool for _, tool in self.control.changes if tool)),
            changes=tuple(self.control.changes),
            cut=size.cut,
            everything=size.everything,
            cut_length_mm=size.cut_length_mm,
            rapid_length_mm=size.rapid_length_mm,
            problems=self.problems.in_order(),
            track=track,
            complete=complete,
            has_block_delete=self.has_block_delete,
            homes_some_axes=state.homes_some_axes,
            sha256=sha256,
        )

    def _see_size(self, size: Size) -> None:
        """Ask when huge coordinates without any decimal point look like thousandths."""
        if size.farthest_mm > HUGE_MM and POINT_WORD.search(self.text.data) is None:
            moves = complete(self.record.track())
            far = np.maximum(np.abs(moves.low_mm), np.abs(moves.high_mm)).max(axis=1)
            line = int(moves.line[far.argmax()])
            self.problems.at(line, self.text.line_of(line))
            self.problems.practice("no-decimal-point", Level.ASK, numbers={"value": size.farthest_mm, "unit": "mm"})

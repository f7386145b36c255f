"""The quick way through runs of plain lines: a kernel obeys them, up to a line that it hands over.

A long run is obeyed in two stretches at a time, by two threads. Where the second one begins, a line
names all three axes, so that the place is known whatever came before; that the motion and the feed
are those it was begun with is seen afterwards, and if they are not its moves are made anew.
"""

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from math import inf, isnan, nan
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from cutworthy.model.program import Plane
from cutworthy.program.calls import Spot
from cutworthy.program.control import Control
from cutworthy.program.record import Record
from cutworthy.program.text import LONG_BYTES

__all__ = ["SPARE_ROOM", "Fast", "Modes", "Stretch", "must_compile"]

SLICE = 1 << 21  # bytes of one stretch, between two words of progress
LEAST_SLICE = 1 << 18  # bytes; a shorter stretch is not worth a second thread
ARCS = 1 << 17  # arcs of one stretch that the kernel has room for; what is not written takes no memory
PATIENCE = 8  # most lines that are read without it before it is tried again
LINE_BYTES = 8  # of a short line; room for more moves is made when it is needed
SPARE_ROOM = SLICE // LINE_BYTES
UNLIMITED = 1 << 62  # lines
TRIED = 32  # lines that are looked at for one to begin a second stretch with
MOTIONS = ("G0", "G1", "G2", "G3")
TENS = np.array([10.0**power for power in range(23)])
TENTHS = np.array([10.0**-power for power in range(23)])

Columns = Mapping[str, npt.NDArray[Any]]


@dataclass(slots=True, eq=False)
class Modes:
    """The control as the kernel takes it: see there. Written by the kernel."""

    modes: npt.NDArray[np.int64]
    numbers: npt.NDArray[np.float64]
    doubts: npt.NDArray[np.uint8]

    @classmethod
    def empty(cls) -> "Modes":
        """Return room for modes."""
        return cls(np.empty(5, dtype=np.int64), np.empty(11), np.empty(6, dtype=np.uint8))

    def take_from(self, control: Control) -> "Modes":
        """Take the modes of a control."""
        state, inches = control.state, control.state.inches
        arcs_plain = state.plane == Plane.XY and state.centres != "absolute"
        self.modes[:] = (MOTIONS.index(state.motion), state.absolute, arcs_plain, state.path, state.tool)
        self.numbers[:] = (
            *state.here,
            *state.shift,
            nan if state.feed is None else state.feed,
            state.scale,
            state.rpm,
            control.report_limit_mm(inches=inches),
            control.finest_mm.get(inches, inf),
        )
        self.doubts[:] = (*state.doubt, *state.shift_doubt)
        return self

    def copy(self) -> "Modes":
        """Return a copy that the kernel may write into."""
        return Modes(self.modes.copy(), self.numbers.copy(), self.doubts.copy())

    def lead_to(self, other: "Modes") -> bool:
        """Return whether the lines behind go on from here just as from there; the finest digit aside."""
        return (
            self.modes[0] == other.modes[0]
            and np.array_equal(self.numbers[:7], other.numbers[:7], equal_nan=True)
            and np.array_equal(self.doubts, other.doubts)
        )

    def give_to(self, control: Control) -> None:
        """Put a control where the kernel has led."""
        state = control.state
        x, y, z = self.numbers[:3].tolist()
        a, b, c = self.doubts[:3].tolist()
        state.here, state.doubt = (x, y, z), (a, b, c)
        feed = float(self.numbers[6])
        if not isnan(feed):  # NaN stays what it was: none, or one that nobody knows
            state.feed = feed
        motion = MOTIONS[self.modes[0]]
        if motion != state.motion:
            state.motion, state.series = motion, None
        if self.numbers[10] < inf:
            control.finest_mm = {**control.finest_mm, state.inches: float(self.numbers[10])}


def must_compile(size: int) -> bool:
    """Return whether a program of so many bytes has to wait for the compiler: once on a computer."""
    if size <= LONG_BYTES:
        return False
    from cutworthy.kernels.compiling import is_kept  # noqa: PLC0415 - a short program needs no compiler

    return not is_kept()


class Stretch(NamedTuple):
    """What the kernel made of a stretch of lines: why it stopped and where, its rows and arcs, its lines."""

    why: int
    spot: Spot
    row: int
    arcs: npt.NDArray[np.float64]
    lines: int


class Fast:
    """Obeys plain lines of one program with the kernel."""

    def __init__(self, data: bytes, control: Control, record: Record, helpers: Executor | None = None) -> None:
        """Take the kernel; it is compiled here when nobody has used it before."""
        # The compiler takes longer to load than a short program takes to read.
        from cutworthy.kernels import census, lines  # noqa: PLC0415
        from cutworthy.kernels.reading import ready  # noqa: PLC0415

        ready()
        self._kernel, self._count = lines, census.count_line_feeds
        self._data = np.frombuffer(data, dtype=np.uint8)
        self._find = data.find
        self._control = control
        self._record = record
        self._helpers = helpers
        self._arcs = [np.empty((ARCS, 6), dtype=np.float64) for _ in range(2)]
        self._modes = Modes.empty()
        self._in_long_run = False
        self._wait = self._waited = 0

    def run(self, spot: Spot, stop: int, stop_line: int | None, most: int | None) -> tuple[Spot, int]:
        """Obey plain lines from a spot on, before the byte ``stop``; return where to go on, and how many it obeyed.

        At most ``most`` lines that say anything, where it is given, and none from ``stop_line`` on.
        """
        if self._waited < self._wait:
            self._waited += 1
            return spot, 0
        if not self._is_plain():
            return spot, 0
        begin, modes = spot, self._modes.take_from(self._control)
        free = self._in_long_run and stop_line is None and most is None
        if self._helpers is not None and free and stop - spot.at > 2 * LEAST_SLICE and modes.modes[1]:
            spot, count, why = self._two(self._helpers, spot, stop, modes)
        else:
            first = SLICE if self._in_long_run else LEAST_SLICE
            limits = (stop_line or 0, UNLIMITED if most is None else most)
            spot, count, why = self._one(spot, min(stop, spot.at + first), limits, modes)
        self._in_long_run = why == self._kernel.STOPPED
        modes.give_to(self._control)
        in_vain = why == self._kernel.HANDED_OVER and spot.at == begin.at
        self._wait, self._waited = min(max(2 * self._wait, 2), PATIENCE) if in_vain else 0, 0
        return spot, count

    def _is_plain(self) -> bool:
        """Return whether the control does with a plain line just what the kernel does."""
        state = self._control.state
        simple = state.moved and state.motion in MOTIONS and not state.inverse_time and state.side is None
        return simple and not self._control.lacks_length

    def _one(self, spot: Spot, stop: int, limits: tuple[int, int], modes: Modes) -> tuple[Spot, int, int]:
        """Obey one stretch; return where it ended, how many lines it obeyed, and why it stopped."""
        record, count = self._record, 0
        stop_line, most = limits
        while True:
            rest = (stop_line, most - count)
            made = self._obey(record.columns, record.count, self._arcs[0], spot, stop, modes, rest)
            self._keep(made)
            spot, count = made.spot, count + made.lines
            if made.why != self._kernel.FULL:
                return spot, count, made.why
            record.make_room(1 + record.room // 2)

    def _two(self, helpers: Executor, spot: Spot, stop: int, modes: Modes) -> tuple[Spot, int, int]:
        """Obey two stretches at once, and keep the second when it began as the first one ended."""
        stop = min(stop, spot.at + 2 * SLICE)
        second, there = self._second(spot, (spot.at + stop) // 2, modes)
        if second is None or second.at >= stop:
            return self._one(spot, stop, (0, UNLIMITED), modes)
        record = self._record
        begin = record.count + second.number - spot.number  # no line of the first stretch makes two moves
        record.make_room(begin - record.count + (stop - second.at) // LINE_BYTES)
        columns, entry = record.columns, there.copy()
        later = helpers.submit(self._obey, columns, begin, self._arcs[1], second, stop, there)
        first = self._obey(columns, record.count, self._arcs[0], spot, second.at, modes)
        made = later.result()
        self._keep(first)
        if first.why != self._kernel.STOPPED or first.spot.at != second.at or not modes.lead_to(entry):
            return first.spot, first.lines, first.why
        record.close_up(begin, made.row)
        made.arcs[:, 0] += record.count - begin
        there.numbers[10] = min(there.numbers[10], modes.numbers[10])
        modes.modes, modes.numbers, modes.doubts = there.modes, there.numbers, there.doubts
        record.add_arcs(made.arcs)
        record.count += made.row - begin
        if made.why == self._kernel.FULL:
            record.make_room(1 + record.room // 2)
        return made.spot, first.lines + made.lines, made.why

    def _second(self, spot: Spot, middle: int, modes: Modes) -> tuple[Spot | None, Modes]:
        """Return where a second stretch may begin near the middle, and the modes there; None where nowhere."""
        at = self._find(b"\n", middle) + 1
        if not at:
            return None, modes
        here = Spot(at, spot.number + int(self._count(self._data, spot.at, at)))
        scrap = Record((nan, nan, nan), 1).columns
        for _ in range(TRIED):
            there = modes.copy()
            there.numbers[:3], there.numbers[10] = nan, inf
            made = self._obey(scrap, 0, self._arcs[1][:0], here, len(self._data), there, (0, 1))
            if made.why != self._kernel.STOPPED or made.lines == 0:
                return None, there
            here = made.spot
            if not np.isnan(there.numbers[:3]).any():
                return here, there
        return None, modes

    def _obey(
        self,
        columns: Columns,
        row: int,
        arcs: npt.NDArray[np.float64],
        spot: Spot,
        stop: int,
        modes: Modes,
        limits: tuple[int, int] = (0, UNLIMITED),
    ) -> Stretch:
        """Let the kernel obey a stretch; ``limits``: a line that is not read, and how many may be."""
        why, at, line, row, count, lines = self._kernel.obey_lines(
            self._data, spot.at, stop, spot.number, *limits, TENS, TENTHS,
            modes.modes, modes.numbers, modes.doubts, row,
            columns["line"], columns["kind"], columns["path"], columns["places"], columns["feed"], columns["rpm"],
            columns["tool"], columns["start_doubt"], columns["end_doubt"], arcs,
        )  # fmt: skip
        return Stretch(why, Spot(at, line), row, arcs[:count], lines)

    def _keep(self, made: Stretch) -> None:
        self._record.count = made.row
        self._record.add_arcs(made.arcs)

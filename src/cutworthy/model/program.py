"""What a program says, move by move."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Codes, Columns, Floats, Ints, Lines

__all__ = [
    "Arcs",
    "Doubt",
    "Extents",
    "Kind",
    "Level",
    "PathMode",
    "Plane",
    "Problem",
    "Program",
    "ProgramMoves",
    "Reading",
    "Timed",
    "Track",
]

PIECE = 8192  # moves worked out together: few enough for a small memory


class Level(StrEnum):
    """How grave a finding is, worst first."""

    NO_GO = "no-go"
    ASK = "ask"
    NOTE = "note"


class Kind(IntEnum):
    """What a move is; the number is the code in the column ``kind``."""

    RAPID = 0
    LINE = 1
    ARC = 2
    DWELL = 3


class Plane(IntEnum):
    """The plane of an arc; the number is the code in the column ``plane``."""

    NONE = 0
    XY = 1
    XZ = 2
    YZ = 3


class PathMode(IntEnum):
    """How exactly the path is kept (G64, G61, G61.1); the number is the code in the column ``path``."""

    CONTINUOUS = 0
    EXACT_PATH = 1
    EXACT_STOP = 2


class Doubt(IntEnum):
    """What a coordinate rests on; the number is the code in the columns ``*_doubt``.

    START: on where the bit stands when the program starts. MEMORY: on something the control
    holds. LOST: on a line that could not be read.
    """

    NONE = 0
    START = 1
    MEMORY = 2
    LOST = 3


class Reading(StrEnum):
    """The named ways to read a program where report, practice or card leave a choice."""

    PRACTICE = "practice"
    REPORT = "report"
    BLOCK_DELETE_ON = "block-delete-on"
    ABSOLUTE_CENTRES = "absolute-centres"


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something about a line of the program, for a finding of the same id.

    ``case`` picks the sentence among those of the id; ``quote`` is text of the program, as data.
    """

    line: int
    id: str
    level: Level
    case: str
    quote: str = ""
    numbers: Mapping[str, float | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Arcs(Columns):
    """The arcs among the moves: their rows, the plane, the centre in the zero frame, the turns."""

    row: Ints
    plane: Codes
    centre_mm: Floats
    turns: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timed(Columns):
    """Moves whose time the program says: seconds of a dwell, or how often a minute under G93."""

    row: Ints
    number: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track(Columns):
    """The moves of a program as they are read: only what cannot be worked out from the rest.

    The columns are as in ``ProgramMoves``; ``start_mm`` and ``end_mm`` share their memory, because
    each move begins where the one before it ended. ``feed_mm_min`` of moves under G93 is NaN here.
    """

    line: Lines
    kind: Codes
    path: Codes
    start_mm: Floats
    end_mm: Floats
    feed_mm_min: Floats
    rpm: Floats
    tool: Lines
    start_doubt: Codes
    end_doubt: Codes
    arcs: Arcs
    timed: Timed

    @property
    def feeds(self) -> npt.NDArray[np.bool_]:
        """Which rows are feed moves, shape (n,)."""
        cutting: npt.NDArray[np.bool_] = (self.kind == Kind.LINE) | (self.kind == Kind.ARC)
        return cutting

    def piece(self, begin: int, end: int) -> "Track":
        """Return the rows from ``begin`` to before ``end``, as a track of their own."""
        part = slice(begin, end)
        arcs = slice(*np.searchsorted(self.arcs.row, (begin, end)))
        timed = slice(*np.searchsorted(self.timed.row, (begin, end)))
        return Track(
            line=self.line[part],
            kind=self.kind[part],
            path=self.path[part],
            start_mm=self.start_mm[part],
            end_mm=self.end_mm[part],
            feed_mm_min=self.feed_mm_min[part],
            rpm=self.rpm[part],
            tool=self.tool[part],
            start_doubt=self.start_doubt[part],
            end_doubt=self.end_doubt[part],
            arcs=Arcs(
                row=self.arcs.row[arcs] - begin,
                plane=self.arcs.plane[arcs],
                centre_mm=self.arcs.centre_mm[arcs],
                turns=self.arcs.turns[arcs],
            ),
            timed=Timed(row=self.timed.row[timed] - begin, number=self.timed.number[timed]),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProgramMoves(Columns):
    """The moves of a program in the order they are made, in the zero frame.

    Shapes: ``*_mm`` of points (n, 3), the rest (n,). ``centre_mm`` and ``turns`` are NaN where the
    move is no arc, ``feed_mm_min`` for rapids and dwells, ``seconds`` for all but dwells, ``rpm``
    where the program gave no speed. ``path``: codes of ``PathMode``. ``turns``: counter-clockwise
    positive seen from the positive end of the axis across the plane. ``rpm``: negative for M4, 0
    when off. ``tool``: the one in the spindle, 0 before the first change. ``low_mm`` and
    ``high_mm``: the exact box of the move. ``length_mm``: along the path. ``start_doubt`` and
    ``end_doubt`` hold codes of ``Doubt``, (n, 3).
    """

    line: Lines
    kind: Codes
    path: Codes
    start_mm: Floats
    end_mm: Floats
    centre_mm: Floats
    plane: Codes
    turns: Floats
    feed_mm_min: Floats
    rpm: Floats
    tool: Lines
    seconds: Floats
    low_mm: Floats
    high_mm: Floats
    length_mm: Floats
    start_doubt: Codes
    end_doubt: Codes

    @property
    def feeds(self) -> npt.NDArray[np.bool_]:
        """Which rows are feed moves, shape (n,)."""
        cutting: npt.NDArray[np.bool_] = (self.kind == Kind.LINE) | (self.kind == Kind.ARC)
        return cutting


@dataclass(frozen=True, slots=True, kw_only=True)
class Extents:
    """A box, (x, y, z) of its least and greatest corner."""

    low_mm: tuple[float, float, float]
    high_mm: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A program under one reading.

    ``end_mm`` is what the control would show after the last line, ``end_machine_mm`` the same
    place in the zero frame; both None when a line could not be read, or a coordinate is still in
    doubt at the end. ``cut`` covers feed moves
    with their starts, ``everything`` all moves and the start; None when there are none.
    ``tools`` in order of first use, ``changes`` the lines of the bit changes with the tool they
    bring in. ``has_block_delete``: some line starts with a slash. ``homes_some_axes``: G28 or G30
    names some axes only, so that report and practice part. ``complete`` works out ``moves`` from
    ``track``, when they are first asked for.
    """

    lines: int
    units: Literal["mm", "inch", "mixed", "unstated"]
    end_mm: tuple[float, float, float] | None
    end_machine_mm: tuple[float, float, float] | None
    tools: tuple[int, ...]
    changes: tuple[tuple[int, int], ...]
    cut: Extents | None
    everything: Extents | None
    cut_length_mm: float
    rapid_length_mm: float
    problems: tuple[Problem, ...]
    track: Track
    complete: Callable[[Track], ProgramMoves]
    has_block_delete: bool
    homes_some_axes: bool
    sha256: str
    _kept: list[ProgramMoves] = field(default_factory=list, repr=False)

    @property
    def moves(self) -> ProgramMoves:
        """The moves with their boxes and lengths."""
        if not self._kept:
            self._kept.append(self.complete(self.track))
        return self._kept[0]

    def piece(self, begin: int, end: int) -> ProgramMoves:
        """Return the moves of the rows from ``begin`` to before ``end``."""
        return self.complete(self.track.piece(begin, end))

    def pieces(self) -> Iterator[ProgramMoves]:
        """Yield all moves, some thousands at a time, so that a long program needs little memory."""
        for begin in range(0, len(self.track), PIECE):
            yield self.piece(begin, min(begin + PIECE, len(self.track)))

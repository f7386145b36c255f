"""Collects the moves as columns."""

from array import array
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.program import Arcs, Kind, PathMode, Plane, ProgramMoves, Timed, Track
from cutworthy.program.arcs import Arc
from cutworthy.program.state import Doubts, Point, State

__all__ = ["Move", "Record", "complete"]

FIRST_ROOM = 1024  # moves


class Move(NamedTuple):
    """One move of a line: where it ends in the zero frame [mm], what that rests on, how fast.

    ``feed`` [mm/min] is NaN where there is none. ``time``: a dwell's seconds, or the F number of a
    move under G93. ``rpm`` and ``path``: where they are not what the control holds.
    """

    kind: Kind
    end: Point
    doubt: Doubts
    feed: float = float("nan")
    time: float | None = None
    arc: Arc | None = None
    plane: Plane = Plane.NONE
    rpm: float | None = None
    path: PathMode | None = None


class Record:
    """The moves so far. Each begins where the one before it ended, so only its end is kept.

    ``columns`` have room for more moves than there are: a kernel writes into them too. ``places``
    has one row more, the start.
    """

    def __init__(self, start: Point, room: int = FIRST_ROOM) -> None:
        """Begin at this place of the zero frame [mm], with room for so many moves."""
        self.count = 0
        self.room = room
        self.columns: dict[str, npt.NDArray[Any]] = {
            "line": np.empty(room, dtype=np.int32),
            "kind": np.empty(room, dtype=np.uint8),
            "path": np.empty(room, dtype=np.uint8),
            "places": np.empty((room + 1, 3), dtype=np.float64),
            "feed": np.empty(room, dtype=np.float64),
            "rpm": np.empty(room, dtype=np.float64),
            "tool": np.empty(room, dtype=np.int32),
            "start_doubt": np.empty((room, 3), dtype=np.uint8),
            "end_doubt": np.empty((room, 3), dtype=np.uint8),
        }
        self.columns["places"][0] = start
        self._views = _views(self.columns)
        self._arcs = array("d")  # row, plane, centre and turns, six numbers each
        self._timed = array("d")  # row and number

    def __len__(self) -> int:
        """Return the number of moves."""
        return self.count

    @property
    def places(self) -> Floats:
        """The start of the first move and the end of each [mm], shape (n + 1, 3)."""
        return self.columns["places"][: self.count + 1]

    @property
    def arcs(self) -> int:
        """The number of arcs."""
        return len(self._arcs) // 6

    def make_room(self, more: int) -> None:
        """See to it that so many moves more can be added."""
        if self.count + more <= self.room:
            return
        self.room = max(2 * self.room, self.count + more)
        for name, column in self.columns.items():
            rows = self.room + (name == "places")
            self.columns[name] = _longer(column, rows)
        self._views = _views(self.columns)

    def add(self, line: int, move: Move, state: State) -> None:
        """Add a move from where the state is, and take the state along."""
        kind, end, doubt, feed, time, arc, plane, rpm, path = move
        row = self.count
        if arc is not None:
            self._arcs.extend((row, plane, *arc.centre, arc.turns))
        elif end == state.here and doubt == state.doubt and kind != Kind.DWELL:
            return  # from a place in doubt to a known one is a way, however alike the two look
        if time is not None:
            self._timed.extend((row, time))
        if row == self.room:
            self.make_room(1)
        views = self._views
        views["line"][row] = line
        views["kind"][row] = kind
        views["path"][row] = state.path if path is None else path
        views["feed"][row] = feed
        views["rpm"][row] = state.rpm if rpm is None else rpm
        views["tool"][row] = state.tool
        at = 3 * row
        places = views["places"]
        places[at + 3], places[at + 4], places[at + 5] = end
        doubts = views["start_doubt"]
        doubts[at], doubts[at + 1], doubts[at + 2] = state.doubt
        doubts = views["end_doubt"]
        doubts[at], doubts[at + 1], doubts[at + 2] = doubt
        self.count = row + 1
        if kind != Kind.DWELL:
            state.here, state.doubt = end, doubt

    def close_up(self, begin: int, end: int) -> None:
        """Bring the rows from ``begin`` to ``end`` down to behind the moves there are."""
        if begin in (self.count, end):
            return
        for name, column in self.columns.items():
            behind = name == "places"  # which has the start before its first move
            rows = column[begin + behind : end + behind].copy()
            column[self.count + behind : self.count + behind + end - begin] = rows

    def add_arcs(self, arcs: Floats) -> None:
        """Add arcs of moves that stand already: row, plane, centre and turns, shape (n, 6)."""
        if len(arcs):
            self._arcs.frombytes(arcs.tobytes())

    def track(self) -> Track:
        """Return all moves."""
        count, columns = self.count, self.columns
        places = columns["places"]
        arcs = np.array(self._arcs, dtype=np.float64).reshape(-1, 6)
        timed = np.array(self._timed, dtype=np.float64).reshape(-1, 2)
        return Track(
            line=columns["line"][:count],
            kind=columns["kind"][:count],
            path=columns["path"][:count],
            start_mm=places[:count],
            end_mm=places[1 : count + 1],
            feed_mm_min=columns["feed"][:count],
            rpm=columns["rpm"][:count],
            tool=columns["tool"][:count],
            start_doubt=columns["start_doubt"][:count],
            end_doubt=columns["end_doubt"][:count],
            arcs=Arcs(
                row=arcs[:, 0].astype(np.int64),
                plane=arcs[:, 1].astype(np.uint8),
                centre_mm=arcs[:, 2:5],
                turns=arcs[:, 5],
            ),
            timed=Timed(row=timed[:, 0].astype(np.int64), number=timed[:, 1]),
        )


def _views(columns: dict[str, npt.NDArray[Any]]) -> dict[str, Any]:
    """Return the columns as flat views, into which one number is written more quickly."""
    return {name: memoryview(column.reshape(-1)) for name, column in columns.items()}  # type: ignore[arg-type]


def _longer(column: npt.NDArray[Any], rows: int) -> npt.NDArray[Any]:
    """Return the column with room for so many rows; what is not written yet takes no memory."""
    new = np.empty((rows, *column.shape[1:]), dtype=column.dtype)
    new[: len(column)] = column
    return new


def complete(track: Track) -> ProgramMoves:
    """Return the moves with their boxes and lengths."""
    count, arcs = len(track), track.arcs
    centre, turns = np.full((count, 3), np.nan), np.full(count, np.nan)
    plane = np.full(count, Plane.NONE, dtype=np.uint8)
    centre[arcs.row], turns[arcs.row], plane[arcs.row] = arcs.centre_mm, arcs.turns, arcs.plane
    low, high = shapes.boxes(track.start_mm, track.end_mm, centre, plane, turns)
    length = shapes.lengths(track.start_mm, track.end_mm, centre, plane, turns)
    # A dwell takes its seconds; a move under G93 is made so many times a minute.
    feed, seconds = track.feed_mm_min.copy(), np.full(count, np.nan)
    rows, number = track.timed.row, track.timed.number
    dwell = track.kind[rows] == Kind.DWELL
    seconds[rows[dwell]] = number[dwell]
    feed[rows[~dwell]] = length[rows[~dwell]] * number[~dwell]
    return ProgramMoves(
        line=track.line,
        kind=track.kind,
        path=track.path,
        start_mm=track.start_mm,
        end_mm=track.end_mm,
        centre_mm=centre,
        plane=plane,
        turns=turns,
        feed_mm_min=feed,
        rpm=track.rpm,
        tool=track.tool,
        seconds=seconds,
        low_mm=low,
        high_mm=high,
        length_mm=length,
        start_doubt=track.start_doubt,
        end_doubt=track.end_doubt,
    )

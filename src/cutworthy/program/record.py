"""Collects the moves as columns."""

from array import array
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.program import Extents, Kind, Plane, ProgramMoves
from cutworthy.program.arcs import Arc
from cutworthy.program.state import Doubts, Point, State

__all__ = ["Move", "Record", "extents_of", "length_of"]


class Move(NamedTuple):
    """One move of a line: where it ends in the zero frame [mm], what that rests on, how fast.

    ``feed`` [mm/min] is NaN where there is none. ``time``: a dwell's seconds, or the F number of a
    move under G93.
    """

    kind: Kind
    end: Point
    doubt: Doubts
    feed: float = float("nan")
    time: float | None = None
    arc: Arc | None = None
    plane: Plane = Plane.NONE


class Record:
    """The moves so far. Each begins where the one before it ended, so only its end is kept."""

    def __init__(self, start: Point) -> None:
        """Begin at this place of the zero frame [mm]."""
        self._start = start
        self._line = array("q")
        self._kind = bytearray()
        self._end = array("d")
        self._feed = array("d")
        self._rpm = array("d")
        self._tool = array("q")
        self._doubts = bytearray()
        self._arc_rows = array("q")
        self._arc_planes = bytearray()
        self._arcs = array("d")  # centre and turns, four numbers each
        self._timed_rows = array("q")
        self._times = array("d")

    def __len__(self) -> int:
        """Return the number of moves."""
        return len(self._kind)

    def add(self, line: int, move: Move, state: State) -> None:
        """Add a move from where the state is, and take the state along."""
        if move.arc is not None:
            self._arc_rows.append(len(self))
            self._arc_planes.append(move.plane)
            self._arcs.extend((*move.arc.centre, move.arc.turns))
        elif move.kind != Kind.DWELL and move.end == state.here:
            state.doubt = move.doubt
            return
        if move.time is not None:
            self._timed_rows.append(len(self))
            self._times.append(move.time)
        self._line.append(line)
        self._kind.append(move.kind)
        self._end.extend(move.end)
        self._feed.append(move.feed)
        self._rpm.append(state.rpm)
        self._tool.append(state.tool)
        self._doubts.extend(state.doubt)
        self._doubts.extend(move.doubt)
        if move.kind != Kind.DWELL:
            state.here, state.doubt = move.end, move.doubt

    def moves(self) -> ProgramMoves:
        """Return all moves with their boxes and lengths."""
        count = len(self)
        kind = np.frombuffer(bytes(self._kind), dtype=np.uint8)
        end = np.array(self._end, dtype=np.float64).reshape(count, 3)
        start = np.vstack([np.array([self._start]), end])[:count]
        doubts = np.frombuffer(bytes(self._doubts), dtype=np.uint8).reshape(count, 2, 3)
        centre, turns, plane = self._arc_columns(count)
        low, high = shapes.boxes(start, end, centre, plane, turns)
        length = shapes.lengths(start, end, centre, plane, turns)
        feed, seconds = self._time_columns(kind, length)
        return ProgramMoves(
            line=np.array(self._line, dtype=np.int64),
            kind=kind,
            start_mm=start,
            end_mm=end,
            centre_mm=centre,
            plane=plane,
            turns=turns,
            feed_mm_min=feed,
            rpm=np.array(self._rpm, dtype=np.float64),
            tool=np.array(self._tool, dtype=np.int64),
            seconds=seconds,
            low_mm=low,
            high_mm=high,
            length_mm=length,
            start_doubt=doubts[:, 0],
            end_doubt=doubts[:, 1],
        )

    def _arc_columns(self, count: int) -> tuple[Floats, Floats, npt.NDArray[np.uint8]]:
        """Return centre, turns and plane of all moves."""
        rows = np.array(self._arc_rows, dtype=np.int64)
        arcs = np.array(self._arcs, dtype=np.float64).reshape(len(rows), 4)
        centre, turns = np.full((count, 3), np.nan), np.full(count, np.nan)
        plane = np.full(count, Plane.NONE, dtype=np.uint8)
        centre[rows], turns[rows] = arcs[:, :3], arcs[:, 3]
        plane[rows] = np.frombuffer(bytes(self._arc_planes), dtype=np.uint8)
        return centre, turns, plane

    def _time_columns(self, kind: npt.NDArray[np.uint8], length: Floats) -> tuple[Floats, Floats]:
        """Return feed and seconds of all moves: an inverse-time move is made F times a minute."""
        feed, seconds = np.array(self._feed, dtype=np.float64), np.full(len(kind), np.nan)
        rows, times = np.array(self._timed_rows, dtype=np.int64), np.array(self._times, dtype=np.float64)
        dwell = kind[rows] == Kind.DWELL
        seconds[rows[dwell]] = times[dwell]
        feed[rows[~dwell]] = length[rows[~dwell]] * times[~dwell]
        return feed, seconds


def extents_of(moves: ProgramMoves, rows: npt.NDArray[np.bool_]) -> Extents | None:
    """Return the box of these rows, None when there are none."""
    if not rows.any():
        return None
    low, high = moves.low_mm[rows].min(axis=0), moves.high_mm[rows].max(axis=0)
    return Extents(
        low_mm=(float(low[0]), float(low[1]), float(low[2])), high_mm=(float(high[0]), float(high[1]), float(high[2]))
    )


def length_of(moves: ProgramMoves, rows: npt.NDArray[np.bool_]) -> float:
    """Return the length of these rows [mm]."""
    return float(moves.length_mm[rows].sum())

"""What a person checks of a program first: heights, speeds, the moves at both ends."""

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.program import Program, ProgramMoves
from cutworthy.model.summary import Summary

__all__ = ["summary_of"]

SHOWN = 5  # moves at either end
SAME_MM = 1e-6  # our choice: an arc and a line that reach one depth differ by less


def summary_of(program: Program) -> Summary:
    """Return heights, speeds and ends of a program; its moves are looked at piece by piece."""
    seen = _Seen()
    for moves in program.pieces():
        seen.add(moves)
    count = len(program.track)
    begin = min(SHOWN, count)
    return Summary(
        deepest_mm=seen.deepest_mm,
        deepest_line=seen.deepest_line,
        highest_mm=seen.highest_mm,
        feed_mm_min=seen.feed_mm_min,
        rpm=seen.rpm,
        off_line=seen.off_line,
        reversed_line=seen.reversed_line,
        first=program.piece(0, begin),
        last=program.piece(max(count - SHOWN, begin), count),
        all_shown=count <= 2 * SHOWN,
    )


class _Seen:
    """What the moves looked at so far come to; the fields are those of ``Summary``."""

    def __init__(self) -> None:
        self.deepest_mm: float | None = None
        self.deepest_line: int | None = None
        self.highest_mm: float | None = None
        self.feed_mm_min: tuple[float, float] | None = None
        self.rpm: tuple[float, float] | None = None
        self.off_line: int | None = None
        self.reversed_line: int | None = None

    def add(self, moves: ProgramMoves) -> None:
        """Look at more moves."""
        high = moves.high_mm[:, 2]
        if self.highest_mm is None:  # nobody knows from how high the bit comes to the first place
            high = np.concatenate((moves.end_mm[:1, 2], high[1:]))
        self.highest_mm = max(float(high.max()), high[0] if self.highest_mm is None else self.highest_mm)
        rows = np.flatnonzero(moves.feeds)
        if len(rows):
            self._add_cuts(moves, rows)

    def _add_cuts(self, moves: ProgramMoves, rows: np.ndarray[tuple[int], np.dtype[np.intp]]) -> None:
        low, lines, rpm = moves.low_mm[rows, 2], moves.line[rows], moves.rpm[rows]
        lowest = float(low.min())
        if self.deepest_mm is None or lowest < self.deepest_mm - SAME_MM:
            self.deepest_mm = lowest
            self.deepest_line = int(lines[np.argmax(low <= lowest + SAME_MM)])
        self.feed_mm_min = _wider(self.feed_mm_min, moves.feed_mm_min[rows])
        self.rpm = _wider(self.rpm, np.abs(rpm[rpm != 0]))
        if self.off_line is None and (rpm == 0).any():
            self.off_line = int(lines[np.argmax(rpm == 0)])
        if self.reversed_line is None and (rpm < 0).any():
            self.reversed_line = int(lines[np.argmax(rpm < 0)])


def _wider(ends: tuple[float, float] | None, values: Floats) -> tuple[float, float] | None:
    """Return the least and the greatest of a range and of more values, those left out that nobody knows."""
    known = values[~np.isnan(values)]
    if not len(known):
        return ends
    low, high = float(known.min()), float(known.max())
    return (low, high) if ends is None else (min(ends[0], low), max(ends[1], high))

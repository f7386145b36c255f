"""Counts over the bytes of a long file and over its moves, each in one pass."""

import math

import numpy as np
import numpy.typing as npt

from cutworthy.kernels.compiling import compiled

__all__ = ["count_bytes", "count_line_feeds", "measure"]

Bytes = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.float64]

LF, CR, SPACE, DELETE = 10, 13, 32, 127
RAPID, LINE, ARC = 0, 1, 2


@compiled
def count_bytes(data: Bytes, begin: int, end: int) -> tuple[int, int, int]:
    """Return how many bytes are line feeds, returns, and invisible (below 32, or 127; line ends among them).

    A loop of sums of single comparisons is what the compiler turns into comparisons of many bytes at once.
    """
    feeds = returns = invisible = 0
    for place in range(begin, end):
        byte = data[place]
        feeds += byte == LF
        returns += byte == CR
        invisible += (byte < SPACE) | (byte == DELETE)
    return feeds, returns, invisible


@compiled
def count_line_feeds(data: Bytes, begin: int, end: int) -> int:
    """Return how many line feeds stand between two places."""
    count = 0
    for place in range(begin, end):
        count += data[place] == LF
    return count


@compiled
def measure(kinds: Bytes, places: Floats, boxes: Floats) -> tuple[float, float]:
    """Return the length of the straight feeds and of the rapids, and widen the boxes by all but arcs.

    Parameters
    ----------
    kinds
        What each move is, shape (n,).
    places
        Start of the first move and the end of each, shape (n + 1, 3) [mm].
    boxes
        Least and greatest corner of all moves, then of the feeds, shape (4, 3) [mm]. Written.
    """
    cut_mm = rapid_mm = 0.0
    for row in range(len(kinds)):
        kind = kinds[row]
        if kind == ARC:
            continue
        way_mm = 0.0
        for axis in range(3):
            start, end = places[row, axis], places[row + 1, axis]
            low, high = min(start, end), max(start, end)
            way_mm += (end - start) * (end - start)
            boxes[0, axis], boxes[1, axis] = min(boxes[0, axis], low), max(boxes[1, axis], high)
            if kind == LINE:
                boxes[2, axis], boxes[3, axis] = min(boxes[2, axis], low), max(boxes[3, axis], high)
        if kind == LINE:
            cut_mm += math.sqrt(way_mm)
        elif kind == RAPID:
            rapid_mm += math.sqrt(way_mm)
    return cut_mm, rapid_mm

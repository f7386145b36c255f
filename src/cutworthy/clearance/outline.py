"""The swept path as places along it, closely enough spaced for a grid."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from cutworthy.clearance.path import Form, Path
from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats, Ints

__all__ = ["Spots", "lengths_in_plan", "spots"]

AT_ONCE = 400_000  # places that are looked at in one go


class Spots(NamedTuple):
    """Places along moves [mm]: seen from above, and the least height of the tip while it is nearest to each."""

    x: Floats
    y: Floats
    z: Floats


def lengths_in_plan(path: Path) -> Floats:
    """Return how far each move goes, seen from above [mm], (n,); of upright arcs the way along them."""
    flat = path.form != Form.UPRIGHT
    start, end = path.start.copy(), path.end.copy()
    start[flat, 2] = end[flat, 2] = 0.0
    return shapes.lengths(start, end, path.centre, path.plane, path.turns)


def spots(path: Path, moves: Ints, step_mm: float) -> Iterator[Spots]:
    """Yield places along the chosen moves, some at a time.

    Parameters
    ----------
    path : Path
        The moves.
    moves : array
        The chosen ones, places in the path.
    step_mm : float
        Every place of a move is within half a step of one of its spots, seen from above [mm].

    Yields
    ------
    Spots
        No height is above the least of the tip along the half steps around it; below it only on
        upright arcs, by half a step at most.
    """
    pieces = np.maximum(1, np.ceil(lengths_in_plan(path)[moves] / step_mm)).astype(np.int64)
    ends = np.cumsum(pieces)
    begin = 0
    while begin < len(moves):
        done = int(ends[begin - 1]) if begin else 0
        until = max(begin + 1, int(np.searchsorted(ends, done + AT_ONCE, side="right")))
        yield _spots(path, moves[begin:until], pieces[begin:until], step_mm)
        begin = until


def _spots(path: Path, moves: Ints, pieces: Ints, step_mm: float) -> Spots:
    row = np.repeat(moves, pieces)
    first = np.arange(len(row)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    many = np.repeat(pieces, pieces)
    share = (first + 0.5) / many
    start, way = path.start[row], path.end[row] - path.start[row]
    place = start + way * share[:, None]
    lowest = start[:, 2] + way[:, 2] * (first + (way[:, 2] < 0)) / many
    bent = np.flatnonzero(path.form[row] != Form.STRAIGHT)
    if len(bent):
        which = row[bent]
        place[bent] = path.at(which, share[bent])
        upright = path.form[which] == Form.UPRIGHT
        below = np.maximum(path.low[which, 2], place[bent, 2] - step_mm / 2)
        lowest[bent] = np.where(upright, below, lowest[bent])
    return Spots(place[:, 0], place[:, 1], lowest)

"""The way of the bit as lines to draw, seen from above: arcs in strokes, long programs without what no eye sees."""

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.program import ProgramMoves

__all__ = ["MANY", "thinned", "way_from_above"]

ARC_STEP = 1 / 72  # an arc is drawn with a corner at least this often, as a share of a full turn
MANY = 20_000  # places of a way that are drawn as they are
ROUNDS = 16  # in which a long way is thinned, each at most halving it
TINY_MM2 = 1e-12


def way_from_above(moves: ProgramMoves, chosen: npt.NDArray[np.bool_], offset: Floats) -> Floats:
    """Return the chosen moves as one line (n, 2) [mm], with a row of NaN wherever it is broken.

    Parameters
    ----------
    moves
        All moves of a program.
    chosen
        Those to draw, (moves,).
    offset
        Program zero in the frame of the drawing, (2,) [mm].
    """
    cut = moves.take(chosen)
    pieces = np.maximum(1, np.ceil(np.nan_to_num(np.abs(cut.turns)) / ARC_STEP)).astype(np.int64)
    goes_on = np.concatenate([[False], (cut.start_mm[1:] == cut.end_mm[:-1]).all(axis=1)])[: len(cut)]
    extra = np.where(goes_on, 0, 2)  # a break, and the start
    rows = np.repeat(np.arange(len(cut)), pieces + extra)
    number = np.arange(len(rows)) - np.repeat(np.cumsum(pieces + extra) - pieces - extra, pieces + extra)
    number = number + 1 - extra[rows]  # of a move with a break: -1 is the break, 0 the start
    share = np.maximum(number, 0) / pieces[rows]
    places = shapes.points(
        cut.start_mm[rows], cut.end_mm[rows], cut.centre_mm[rows], cut.plane[rows], cut.turns[rows], share
    )[:, :2]
    places += offset
    places[number < 0] = np.nan
    return places


def thinned(way: Floats, grain_mm: float) -> Floats:
    """Return a long way without places that change nothing in a picture; a short one as it is.

    Parameters
    ----------
    way
        Places (n, 2) [mm], a row of NaN wherever the way is broken.
    grain_mm
        The finest that can be seen [mm]: of places within a square of this size one is kept.

    Notes
    -----
    Ends are kept. In each round every second place goes that lies within ``grain_mm`` / ``ROUNDS`` of the straight
    line between its neighbours. So what is left out lies within ``grain_mm``, and the diagonal of a square, of what is
    drawn.
    """
    if len(way) <= MANY:
        return way
    squares = np.floor(way / grain_mm)
    again = np.concatenate([[False], (squares[1:] == squares[:-1]).all(axis=1)])
    kept = way[~again | _ends(way)]
    for number in range(ROUNDS):
        first = number % 2
        before, at, after = kept[first:-2:2], kept[first + 1 : -1 : 2], kept[first + 2 :: 2]
        drawn = np.ones(len(kept), dtype=bool)
        drawn[first + 1 : -1 : 2] = ~(_off_mm(before, at, after) <= grain_mm / ROUNDS)  # NaN: by a break, and stays
        kept = kept[drawn]
    return kept


def _off_mm(before: Floats, at: Floats, after: Floats) -> Floats:
    """Return how far places lie from the straight lines between others [mm], (n,); NaN beside a break."""
    step, way = after - before, at - before
    length = np.maximum((step * step).sum(axis=1), TINY_MM2)
    share = np.clip((way * step).sum(axis=1) / length, 0, 1)
    off: Floats = np.hypot(way[:, 0] - share * step[:, 0], way[:, 1] - share * step[:, 1])
    return off


def _ends(way: Floats) -> npt.NDArray[np.bool_]:
    """Return which places have a break, or nothing, behind them."""
    broken = np.isnan(way[:, 0])
    return np.append(broken[1:], True)

"""The swept path, and the search for its least anything."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Codes, Floats, Ints, together
from cutworthy.model.moves import Moves
from cutworthy.model.program import Plane, ProgramMoves

__all__ = ["Bounds", "Form", "Least", "Path", "Pieces", "least", "meets"]

Flags = npt.NDArray[np.bool_]

# A curved piece is halved until its least value is known this closely [mm].
FINE_MM = 5e-7
# Moves looked at in one go: few at first, never more than fit into the processor's cache.
FIRST_BATCH, MOST_AT_ONCE = 64, 8192


class Bounds(NamedTuple):
    """What is known of the least value over each piece [mm]: two bounds, and the share for it."""

    low: Floats
    high: Floats
    share: Floats


class Least(NamedTuple):
    """A least value [mm], the place in the ``Path`` of the move that has it, and its share."""

    value: float
    move: int
    share: float


class Form(IntEnum):
    """How a move looks in plan: a straight piece, an arc, or an arc seen from its edge."""

    STRAIGHT = 0
    FLAT = 1
    UPRIGHT = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Path:
    """Moves of which everything is known, with what a search needs to know of their shape.

    ``row``: of the moves they were taken from. ``form``: codes of ``Form``. ``slack_mm``: how far
    an arc's end lies off the circle of its start, and so the arc off where it is drawn;
    ``drop_mm``: the same in z. ``loose_mm``: between two bounds of anything that changes by no
    more than the way travelled: the length of curves, 0 where a closed form is at hand.
    """

    row: Ints
    start: Floats
    end: Floats
    centre: Floats
    plane: Codes
    turns: Floats
    low: Floats
    high: Floats
    form: Codes
    slack_mm: Floats
    drop_mm: Floats
    loose_mm: Floats

    @classmethod
    def of(cls, moves: Moves | ProgramMoves, rows: Ints) -> Self:
        """Take these rows of the moves."""
        which = together(rows)
        start, end, centre = moves.start_mm[which], moves.end_mm[which], moves.centre_mm[which]
        plane, turns = moves.plane[which], moves.turns[which]
        arc = ~np.isnan(turns)
        form = np.where(arc, np.where(plane == Plane.XY, Form.FLAT, Form.UPRIGHT), Form.STRAIGHT).astype(np.uint8)
        slack = np.zeros(len(rows))
        ends = (shapes.radii(place[arc], centre[arc], plane[arc]) for place in (start, end))
        slack[arc] = np.abs(np.subtract(*ends))
        bent = np.flatnonzero(arc & ~((form == Form.FLAT) & (start[:, 2] == end[:, 2])))
        loose = np.zeros(len(rows))
        loose[bent] = shapes.lengths(start[bent], end[bent], centre[bent], plane[bent], turns[bent])
        return cls(
            row=rows,
            start=start,
            end=end,
            centre=centre,
            plane=plane,
            turns=turns,
            low=moves.low_mm[which],
            high=moves.high_mm[which],
            form=form,
            slack_mm=slack,
            drop_mm=np.where(form == Form.UPRIGHT, slack, 0.0),
            loose_mm=loose,
        )

    def __len__(self) -> int:
        """Return the number of moves."""
        return len(self.row)

    def at(self, which: Ints, share: Floats) -> Floats:
        """Return the tip's place at a share of each chosen move [mm], shape (n, 3)."""
        return shapes.points(
            self.start[which], self.end[which], self.centre[which], self.plane[which], self.turns[which], share
        )

    def tip(self, found: Least) -> tuple[float, float, float]:
        """Return the tip's place where a least value was found [mm]."""
        x, y, z = self.at(np.array([found.move]), np.array([found.share]))[0].tolist()
        return x, y, z


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Pieces of moves between two shares.

    ``move``: the place of the move in its ``Path``. ``loose_mm``: as there, of the piece.
    """

    move: Ints
    first: Floats
    last: Floats
    start: Floats
    end: Floats
    loose_mm: Floats

    @classmethod
    def whole(cls, path: Path, moves: Ints) -> Self:
        """Return the chosen moves, each in one piece."""
        n = len(moves)
        return cls(
            move=moves,
            first=np.zeros(n),
            last=np.ones(n),
            start=path.start[moves],
            end=path.end[moves],
            loose_mm=path.loose_mm[moves],
        )

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.move)

    def along(self, share: Floats) -> Floats:
        """Return the shares of the moves at a share of each piece, (n,)."""
        return self.first + share * (self.last - self.first)

    def take(self, chosen: Ints | Flags) -> Self:
        """Return the chosen pieces."""
        return type(self)(
            move=self.move[chosen],
            first=self.first[chosen],
            last=self.last[chosen],
            start=self.start[chosen],
            end=self.end[chosen],
            loose_mm=self.loose_mm[chosen],
        )

    def turns(self, path: Path) -> Floats:
        """Return the turns of each piece, (n,); NaN where it is straight."""
        turns: Floats = path.turns[self.move] * (self.last - self.first)
        return turns

    def boxes(self, path: Path) -> tuple[Floats, Floats]:
        """Return the least and greatest corner of each piece [mm], (n, 3)."""
        return shapes.boxes(self.start, self.end, path.centre[self.move], path.plane[self.move], self.turns(path))

    def halves(self, path: Path) -> Self:
        """Return the two halves of each piece."""
        middle = (self.first + self.last) / 2
        place = path.at(self.move, middle)
        return type(self)(
            move=np.tile(self.move, 2),
            first=np.concatenate([self.first, middle]),
            last=np.concatenate([middle, self.last]),
            start=np.concatenate([self.start, place]),
            end=np.concatenate([place, self.end]),
            loose_mm=np.tile(self.loose_mm / 2, 2),
        )


def least(path: Path, moves: Ints, rough: Floats, bounds: Callable[[Pieces], Bounds], found: Least) -> Least:
    """Return the least value over the chosen moves, or ``found`` where none is below it.

    Parameters
    ----------
    path : Path
        The moves.
    moves : array
        The chosen ones, places in the path, in order.
    rough : array
        A cheap lower bound for each of them [mm]; infinite where there is nothing to find.
    bounds : callable
        Two bounds for each of some pieces, no farther apart than the piece is loose.
    found : Least
        A value known already; only lower ones are looked for.

    Notes
    -----
    The moves with the least rough bounds come first; the search ends where those bounds pass the
    least value found. Curves are halved while they may hold a value below the least one reached.
    The result is a lower bound, exact for moves that are not loose and within ``FINE_MM`` of
    the least value for the others.
    """
    worth = np.flatnonzero(rough < found.value)
    order = worth[np.argsort(rough[worth], kind="stable")]
    size, reached = FIRST_BATCH, found.value
    while len(order) and rough[order[0]] < found.value:
        batch, order = order[:size], order[size:]
        pieces = Pieces.whole(path, moves[np.sort(batch)])
        while len(pieces):
            low, high, share = bounds(pieces)
            reached = min(reached, float(high.min()))
            open_ = (low < reached - FINE_MM) & (pieces.loose_mm > FINE_MM)
            lowest = int(np.where(open_, np.inf, low).argmin())
            if not open_[lowest] and low[lowest] < found.value:
                found = Least(float(low[lowest]), int(pieces.move[lowest]), float(pieces.along(share)[lowest]))
            pieces = pieces.take(open_).halves(path)
        size = min(4 * size, MOST_AT_ONCE)
    return found


def meets(path: Path, moves: Ints, bounds: Callable[[Pieces], Bounds], touch_mm: float) -> Flags:
    """Return which of the path's moves are chosen and may have a value at or below ``touch_mm``, (path,).

    A move is left out only when its lower bound proves it.
    """
    met = np.zeros(len(path), dtype=bool)
    for first in range(0, len(moves), MOST_AT_ONCE):
        pieces = Pieces.whole(path, moves[first : first + MOST_AT_ONCE])
        while len(pieces):
            low, high, _ = bounds(pieces)
            met[pieces.move[high <= touch_mm]] = True
            unsure = (low <= touch_mm) & ~met[pieces.move]
            fine = pieces.loose_mm <= FINE_MM
            met[pieces.move[unsure & fine]] = True
            pieces = pieces.take(unsure & ~fine).halves(path)
    return met

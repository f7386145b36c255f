"""How deep each bit goes: below the board's top, and below its underside."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from cutworthy.clearance.curves import curves
from cutworthy.clearance.known import known_rows, known_span
from cutworthy.clearance.parts import calls_bit
from cutworthy.clearance.path import Bounds, Least, Path, Pieces, least
from cutworthy.clearance.solid import TOUCH_MM, Box, least_side, lowest_over, side
from cutworthy.clearance.things import board_of
from cutworthy.kernels import shapes
from cutworthy.kernels.levels import levels
from cutworthy.model.clearance import Depths, Place
from cutworthy.model.columns import Ints
from cutworthy.model.job import Job
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, Kind, ProgramMoves
from cutworthy.working import Input, record

__all__ = ["depths"]

SOURCE = "geometry: heights in the zero frame"
AS_DEEP_MM = 0.5  # moves within this of the deepest are meant to go as deep
STEP_MM, MOST_STEPS = 5.0, 400  # on the way, between places that an uneven board is looked at


def depths(moves: Moves | ProgramMoves, job: Job, place: Place) -> tuple[Depths, ...]:
    """Return how deep each bit goes, in feed moves and rapids alike.

    Parameters
    ----------
    moves : Moves or ProgramMoves
        The rows of the result are rows of this record. Heights in doubt are left out; of a move
        that starts in doubt its end counts.
    job : Job
        Gives the board and the bits.
    place : Place
        Where zero lies on the board.

    Returns
    -------
    tuple of Depths
        One for each tool with a move of known height, by number [mm]. The greatest depth over
        the board is that where the bit's widest disc is over it; exact for straight moves
        and arcs of one height, too deep by no more than 1e-6 for the other arcs.
    """
    board, underside = board_of(job, place).box, -place.on_board_mm[2]
    low, _ = known_span(moves, 2)
    moving = (moves.kind != Kind.DWELL) & ~np.isnan(low)
    known = np.zeros(len(moves), dtype=bool)
    known[known_rows(moves)] = True
    opening = np.unique(np.flatnonzero(moves.start_doubt.reshape(-1) != Doubt.NONE) // len("xyz"))
    ends = _at_their_ends(moves.take(opening))
    at_end = known_rows(ends)
    found = []
    for tool in np.unique(moves.tool[moving]).tolist():
        rows = np.flatnonzero(moving & (moves.tool == tool))
        lowest_row = int(rows[low[rows].argmin()])
        lowest = float(low[lowest_row])
        radius = _widest_radius(job, tool)
        deepest, deep_row = min(
            _deepest(Path.of(moves, rows[known[rows]]), np.arange(len(moves)), board, radius),
            _deepest(Path.of(ends, at_end[ends.tool[at_end] == tool]), opening, board, radius),
        )
        uneven = None if place.is_flat else _uneven(moves, rows[low[rows] <= lowest + AS_DEEP_MM], lowest, place)
        found.append(
            Depths(
                tool=tool,
                lowest_mm=lowest,
                lowest_row=lowest_row,
                below_top_mm=_shown(f"depth.{tool}.below_top", "top", board.top_mm, deepest),
                deep_row=lowest_row if deep_row < 0 else deep_row,
                below_underside_mm=_shown(f"depth.{tool}.below_underside", "underside", underside, lowest),
                through_row=lowest_row,
            )
        )
        if uneven is not None:
            found[-1] = replace(found[-1], **uneven)
    return tuple(found)


def _uneven(moves: Moves | ProgramMoves, rows: Ints, lowest: float, place: Place) -> dict[str, Any]:
    """Return how the moves that go deepest lie to an uneven underside, looked at every few millimetres."""
    many = np.ceil(shapes.lengths(*_columns(moves, rows)) / STEP_MM).astype(np.int64).clip(1, MOST_STEPS) + 1
    row = np.repeat(rows, many)
    first = np.cumsum(many) - many
    share = (np.arange(len(row)) - np.repeat(first, many)) / np.repeat(many - 1, many)
    start, end, centre, plane, turns = _columns(moves, row)
    at = shapes.points(start, end, centre, plane, turns, share)
    deepest = at[:, 2] <= lowest + AS_DEEP_MM
    row, at = row[deepest], at[deepest]
    under = levels(np.array(place.underside_mm), at[:, 0], at[:, 1]) - at[:, 2]
    deep, high = int(under.argmax()), int(under.argmin())
    told: dict[str, Any] = {"below_underside_mm": float(under[deep]), "through_row": int(row[deep])}
    if under[deep] > 0:
        x, y, z = at[high].tolist()
        told |= {"skin_mm": -float(under[high]), "skin_row": int(row[high]), "skin_at_mm": (x, y, z)}
    return told


def _columns(moves: Moves | ProgramMoves, rows: Ints) -> tuple[Any, ...]:
    return moves.start_mm[rows], moves.end_mm[rows], moves.centre_mm[rows], moves.plane[rows], moves.turns[rows]


def _at_their_ends(moves: Moves | ProgramMoves) -> Moves | ProgramMoves:
    """Return the moves shrunk to their ends."""
    return replace(
        moves,
        start_mm=moves.end_mm,
        low_mm=moves.end_mm,
        high_mm=moves.end_mm,
        turns=np.full(len(moves), np.nan),
        start_doubt=moves.end_doubt,
    )


def _widest_radius(job: Job, tool: int) -> float:
    """Return the radius of the widest bit that this tool may be [mm]."""
    may_be = (bit for place, bit in enumerate(job.bits) if calls_bit(np.array([tool], dtype=np.int32), job, place)[0])
    return max(bit.diameter_mm.value for bit in may_be) / 2


def _deepest(path: Path, rows: Ints, board: Box, radius: float) -> tuple[float, int]:
    """Return the least height of the tip over the board and its row, the board's top and -1 when none is lower."""
    rough = np.where(least_side(board, path.low, path.high) - radius <= TOUCH_MM, path.low[:, 2], np.inf)
    over = side(board, path.start[:, 0], path.start[:, 1]) <= radius
    known = min(float(path.start[over, 2].min(initial=np.inf)), board.top_mm)  # some move begins as low as this
    rough[rough > known] = np.inf
    all_moves = np.arange(len(path))
    found = least(path, all_moves, rough, _bounds(path, board, radius), Least(board.top_mm, -1, 0.0))
    return found.value, -1 if found.move < 0 else int(rows[path.row[found.move]])


def _bounds(path: Path, board: Box, radius: float) -> Callable[[Pieces], Bounds]:
    def bounds(pieces: Pieces) -> Bounds:
        reach, drop = radius + path.slack_mm[pieces.move], path.drop_mm[pieces.move]
        low, share = lowest_over(pieces.start, pieces.end, board, reach)
        high = low.copy()
        bent = curves(path, pieces, board)
        at = bent.piece
        share[at] = bent.share
        low[at] = np.where(bent.beside_mm - reach[at] <= TOUCH_MM, bent.height_mm - drop[at], np.inf)
        high[at] = np.where(bent.tried_beside_mm - reach[at] <= TOUCH_MM, bent.tried_height_mm - drop[at], np.inf)
        return Bounds(low, high, share)

    return bounds


def _shown(name: str, of: str, level: float, lowest: float) -> float:
    """Return how far the lowest place is below a level [mm], and record how it was found."""
    inputs = {
        of: Input(value=level, unit="mm", origin="computed"),
        "lowest": Input(value=lowest, unit="mm", origin="program"),
    }
    record(name, f"{of} - lowest", inputs, level - lowest, unit="mm", source=SOURCE)
    return level - lowest

"""Travel from a start that is only known as a set: anywhere, at least so high above the board."""

import numpy as np

from cutworthy.clearance.parts import calls_bit, cylinders
from cutworthy.clearance.solid import TOUCH_MM, least_side
from cutworthy.clearance.things import board_of, clamps_of
from cutworthy.model.clearance import Part, Place, Sweep
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, Kind

__all__ = ["sweeps"]


def sweeps(moves: Moves, job: Job, machine: Machine, place: Place) -> tuple[Sweep, ...]:
    """Return how low each part of the tool can pass over each thing while the start still matters.

    Parameters
    ----------
    moves : Moves
        What the tool sweeps. Only moves that rest on the start, and on nothing worse, are looked at.
    job : Job
        Gives clamps, board, bits and the least height of the start; without one that is the
        board's top.
    machine : Machine
        Gives nut, body and shoe.
    place : Place
        Where zero lies on the board.

    Returns
    -------
    tuple of Sweep
        For each part and thing the move that passes lowest, if any can pass over it. The board
        counts for the bit too, but not where a feed move takes it from a known place into the wood.

    Notes
    -----
    Along an axis whose start is open the tip may be anywhere; along the others it is in the
    move's box. Straight up and down at an open place meets nothing: that is where the bit stands.
    """
    rows = _open_rows(moves)
    low, high = _plan_boxes(moves, rows)
    tip = _least_heights(moves, rows, job, place)
    cuts = (moves.kind[rows] != Kind.RAPID) & (moves.start_doubt[rows, :2] == Doubt.NONE).all(axis=1)
    found: dict[tuple[Part, int | None], Sweep] = {}
    for thing in (*clamps_of(job, place), board_of(job, place)):
        beside = least_side(thing.box, low, high)
        for part in cylinders(job, machine):
            over = (beside - part.radius_mm <= TOUCH_MM) & calls_bit(moves.tool[rows], job, part.bit)
            if part.part == "bit" and thing.clamp is None:
                over &= ~cuts
            if not over.any():
                continue
            height = np.where(over, tip, np.inf) + part.bottom_mm - thing.box.top_mm
            k = int(height.argmin())
            known = found.get((part.part, thing.clamp))
            if known is None or height[k] < known.lowest_mm:
                found[part.part, thing.clamp] = Sweep(
                    part=part.part,
                    thing=thing.name,
                    clamp=thing.clamp,
                    row=int(rows[k]),
                    lowest_mm=float(height[k]),
                )
    return tuple(found.values())


def _open_rows(moves: Moves) -> Ints:
    """Return the rows that rest on the start and on nothing worse, and that travel or are somewhere known."""
    rows: Ints = np.unique(np.flatnonzero(moves.start_doubt.reshape(-1) == Doubt.START) // len("xyz"))  # mostly few
    moves = moves.take(rows)
    at_start, at_end = moves.start_doubt, moves.end_doubt
    rests = (np.maximum(at_start, at_end) <= Doubt.START).all(axis=1)
    # From an open place to a known one is a way, however alike the two look in the columns.
    travels = ((moves.start_mm != moves.end_mm) | (at_start != at_end))[:, :2].any(axis=1) | ~np.isnan(moves.turns)
    somewhere = (at_start[:, :2] == Doubt.NONE).all(axis=1)
    found: Ints = rows[rests & (travels | somewhere)]
    return found


def _plan_boxes(moves: Moves, rows: Ints) -> tuple[Floats, Floats]:
    """Return the least and greatest x and y of each move [mm], (n, 2); infinite along an open axis."""
    open_ = moves.start_doubt[rows, :2] == Doubt.START
    return np.where(open_, -np.inf, moves.low_mm[rows, :2]), np.where(open_, np.inf, moves.high_mm[rows, :2])


def _least_heights(moves: Moves, rows: Ints, job: Job, place: Place) -> Floats:
    """Return the tip's least height on each move [mm], (n,), where it starts as low as the card allows.

    Heights that rest on the start are counted from it.
    """
    above_top = job.start.above_top_mm.value if job.start is not None else 0.0
    start = board_of(job, place).box.top_mm + above_top
    z = np.stack([moves.start_mm[rows, 2], moves.end_mm[rows, 2]])
    rests = np.stack([moves.start_doubt[rows, 2], moves.end_doubt[rows, 2]]) == Doubt.START
    below_ends = z.min(axis=0) - moves.low_mm[rows, 2]
    lowest: Floats = np.where(rests, z + start, z).min(axis=0) - below_ends
    return lowest

"""Where cuts do not reach the feed that the program asks for, what that costs, and why."""

from typing import cast, get_args

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats
from cutworthy.model.program import ProgramMoves
from cutworthy.model.timeline import Cause, Stretch
from cutworthy.motion.drive import Drive
from cutworthy.reference.tables import limit
from cutworthy.units import S_PER_MIN

__all__ = ["lost_by_cause", "stretches"]

CAUSES: tuple[Cause, ...] = get_args(Cause)
# Cuts that reach their feed, and rapids, may stand between slow ones in a stretch: so many.
BETWEEN = 3
ROUNDING = 1 - 1e-9


def stretches(moves: ProgramMoves, plan: Drive, most: int) -> list[Stretch]:
    """Return the stretches in which no cut reaches its feed, those that lose most first.

    Parameters
    ----------
    moves, plan
        The moves of a program, and how the machine drives them.
    most
        How many are told, beside the worst of each cause.
    """
    lost, cause, slow = _losses(moves, plan)
    rows = np.flatnonzero(slow)
    if not len(rows):
        return []
    first = np.flatnonzero(np.diff(rows, prepend=rows[0] - BETWEEN - 2) > BETWEEN + 1)
    last = np.append(first[1:], len(rows)) - 1
    length, seconds = moves.length_mm[rows], plan.timeline.seconds[rows]
    asked_s = length / moves.feed_mm_min[rows] * S_PER_MIN
    sums = [np.add.reduceat(each, first) for each in (length, seconds, asked_s, lost[rows])]
    by_cause = np.array(
        [np.add.reduceat(np.where(cause[rows] == k, lost[rows], 0.0), first) for k in range(len(CAUSES))]
    )
    worst, loss = by_cause.argmax(axis=0), sums[3]
    order = np.argsort(-loss, kind="stable")
    told = {*order[:most].tolist(), *(int(order[worst[order] == k][0]) for k in np.unique(worst))}
    found = []
    for number in (each for each in order.tolist() if each in told):
        a, b = int(first[number]), int(last[number])
        mm, taken, wanted, lost_s = (float(each[number]) for each in sums)
        found.append(
            Stretch(
                rows=(int(rows[a]), int(rows[b])),
                lines=(int(moves.line[rows[a]]), int(moves.line[rows[b]])),
                moves=b - a + 1,
                length_mm=mm,
                feed_mm_min=mm / wanted * S_PER_MIN,
                reached_mm_min=mm / taken * S_PER_MIN,
                lost_s=lost_s,
                cause=CAUSES[worst[number]],
            )
        )
    return found


def lost_by_cause(moves: ProgramMoves, plan: Drive) -> dict[Cause, float]:
    """Return how much longer the cuts take than at their feed, by what keeps them from it [s]."""
    lost, cause, _ = _losses(moves, plan)
    sums = np.bincount(cause, weights=lost, minlength=len(CAUSES))
    return {each: float(seconds) for each, seconds in zip(CAUSES, sums, strict=True)}


def _losses(moves: ProgramMoves, plan: Drive) -> tuple[Floats, npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
    """Return for each move the time lost [s], the code of its cause, and whether it is slow."""
    seconds = plan.timeline.seconds
    with np.errstate(divide="ignore", invalid="ignore"):  # rapids ask for no feed
        asked_s = np.where(
            moves.feeds & (moves.feed_mm_min > 0), moves.length_mm / moves.feed_mm_min * S_PER_MIN, np.inf
        )
        below = plan.cap_mm_s * S_PER_MIN < moves.feed_mm_min * ROUNDING
    lost = np.maximum(seconds - asked_s, 0.0)
    slow = asked_s < limit("reached_feed").value * seconds
    code = {each: number for number, each in enumerate(CAUSES)}
    cause = np.select(
        [plan.by_rate, below & plan.by_arc, below],
        [code["line-rate"], code["arcs"], code["axes"]],
        default=code["corners"],
    )
    return lost, cast("npt.NDArray[np.int64]", cause), slow

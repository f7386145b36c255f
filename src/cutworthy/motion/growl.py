"""How long an axis runs at speeds at which its motor growls."""

from collections.abc import Iterable, Mapping

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.machine import AXES, AxisName
from cutworthy.model.program import Kind, ProgramMoves
from cutworthy.model.timeline import Growl
from cutworthy.motion.drive import Drive
from cutworthy.reference.tables import limit

__all__ = ["growls", "near_growl"]

PLACES = 32  # on an arc, at which the axis's share of the speed is looked at


def growls(moves: ProgramMoves, plan: Drive, speeds_mm_s: Mapping[AxisName, Iterable[float]]) -> tuple[Growl, ...]:
    """Return how long each axis runs near each of its growl speeds, where it does at all.

    Straight moves count exactly, ramps included; what overlapping moves do to each other is left out. Along
    an arc the share of an axis is looked at in places evenly spread, at the mean speed of the move.

    Parameters
    ----------
    moves, plan
        The moves of a program, and how the machine drives them.
    speeds_mm_s
        Growl speeds of each axis [mm/s].
    """
    band = limit("growl_band").value
    found = []
    for axis, speeds in speeds_mm_s.items():
        for speed in speeds:
            seconds = _seconds(moves, plan, AXES.index(axis), speed * (1 - band), speed * (1 + band))
            if (total := float(seconds.sum())) > 0:
                line = int(moves.line[seconds.argmax()])
                found.append(Growl(axis=axis, speed_mm_s=speed, seconds=total, line=line))
    return tuple(found)


def near_growl(share: Floats, speed_mm_s: Floats, speeds_mm_s: Iterable[float]) -> npt.NDArray[np.bool_]:
    """Return which moves take an axis near one of its growl speeds, by their mean speed.

    Parameters
    ----------
    share
        Of the way that the axis goes, (n,).
    speed_mm_s
        Mean speed along the way, (n,).
    speeds_mm_s
        Growl speeds of the axis.
    """
    band, own = limit("growl_band").value, share * speed_mm_s
    near = np.zeros(len(own), dtype=bool)
    for speed in speeds_mm_s:
        near |= np.abs(own - speed) <= band * speed
    return near


def _seconds(moves: ProgramMoves, plan: Drive, column: int, low: float, high: float) -> Floats:
    """Return for each move how long the axis runs between two speeds [s], (n,)."""
    timeline = plan.timeline
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.abs(moves.end_mm[:, column] - moves.start_mm[:, column]) / moves.length_mm
        low_path, high_path = low / share, high / share
        ramps = np.zeros(len(moves))
        for end in (timeline.entry_mm_s, timeline.exit_mm_s):
            inside = np.minimum(timeline.cruise_mm_s, high_path) - np.maximum(end, low_path)
            ramps += np.maximum(inside, 0.0) / plan.along_mm_s2
        ramps_mm = timeline.cruise_mm_s**2 - (timeline.entry_mm_s**2 + timeline.exit_mm_s**2) / 2
        level = np.maximum(moves.length_mm - ramps_mm / plan.along_mm_s2, 0.0) / timeline.cruise_mm_s
    cruising = (timeline.cruise_mm_s >= low_path) & (timeline.cruise_mm_s <= high_path)
    straight = (moves.kind == Kind.LINE) | (moves.kind == Kind.RAPID)
    seconds = np.where(straight & (share > 0), ramps + np.where(cruising, np.nan_to_num(level), 0.0), 0.0)
    rows = np.flatnonzero((moves.kind == Kind.ARC) & (timeline.seconds > 0))
    if len(rows):
        seconds[rows] = timeline.seconds[rows] * _share_of_arcs(moves, rows, column, timeline.seconds[rows], low, high)
    return seconds


def _share_of_arcs(moves: ProgramMoves, rows: Ints, column: int, seconds: Floats, low: float, high: float) -> Floats:
    """Return the share of each arc on which the axis runs between two speeds, (n,)."""
    start, end, centre = moves.start_mm[rows], moves.end_mm[rows], moves.centre_mm[rows]
    plane, turns = moves.plane[rows], moves.turns[rows]
    inside = np.zeros(len(rows))
    before = start[:, column]
    for place in range(1, PLACES + 1):
        here = shapes.points(start, end, centre, plane, turns, np.full(len(rows), place / PLACES))[:, column]
        speed = np.abs(here - before) * PLACES / seconds
        inside += (speed >= low) & (speed <= high)
        before = here
    return inside / PLACES

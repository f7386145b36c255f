"""The shifts of zero that travel and board allow: intervals along x and y, exact but for rounding."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cutworthy.clearance.known import known_span
from cutworthy.clearance.riding import Course
from cutworthy.clearance.solid import TOUCH_MM
from cutworthy.clearance.travel import reach
from cutworthy.model.clearance import Place
from cutworthy.model.columns import Floats
from cutworthy.model.job import Job
from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.placement import Obstacle
from cutworthy.model.program import ProgramMoves

__all__ = ["Allowed", "both", "by_board", "by_travel"]

Span = tuple[float, float]
PLAN: tuple[AxisName, AxisName] = ("x", "y")


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """For x and y the least and greatest shift [mm], what is to spare there [mm], and what no shift cures.

    Infinite where nothing bounds it.
    """

    spans: tuple[Span, Span]
    spare_mm: tuple[float, float]
    everywhere: tuple[Obstacle, ...]


def by_travel(courses: Sequence[Course], machine: Machine, job: Job, place: Place) -> Allowed:
    """Return the shifts at which x and y stay in their travel, wherever zero is within its error.

    What goes to a place of the machine is not moved by that error. An axis without a place on the
    machine allows every shift, unless the program is longer than its whole travel. The height of
    zero does not change: where Z may leave its travel, no shift cures it.
    """
    spans, spare, everywhere = [], [], list[Obstacle]()
    off, off_z = job.zero.plus_minus_mm.value, job.zero.plus_minus_z_mm.value
    for column, axis in enumerate(PLAN):
        zero, ends = place.machine_mm[axis], place.range_mm[axis]
        least, most = -np.inf, np.inf
        for course in courses:
            if zero is None or ends is None:
                break
            low, high = ends[0] - zero, ends[1] - zero
            found = course.span(column)
            least = max(least, low + off - _least(found.riding_low))
            most = min(most, high - off - _most(found.riding_high))
            beyond = (found.staying_low < low - TOUCH_MM) | (found.staying_high > high + TOUCH_MM)
            everywhere += _first("travel", axis, course.program, beyond)
        spans.append((least, most))
        spare.append(most - least)
    for course in courses:
        for each in reach(course.swept, machine, job, place):
            # Just at the end is a way home in machine coordinates.
            tight = each.axis == "z" and each.room_mm is not None and each.room_mm < off_z and each.room_mm != 0
            if tight or (each.rows and each.limits_mm is None):
                line = int(course.swept.line[each.worst_row])
                everywhere.append(Obstacle(kind="travel", axis=each.axis, line=line))
    return Allowed(spans=_closed(spans), spare_mm=(spare[0], spare[1]), everywhere=tuple(everywhere))


def by_board(courses: Sequence[Course], job: Job, place: Place) -> Allowed:
    """Return the shifts at which every cut stays on the board, seen from above.

    A cut is a feed move that goes below the board's top. It stays on the board while the tip is no
    farther beyond an edge than the bit's radius: an outline that is cut free runs beside its edge,
    and with more than that the bit would cut nothing but air. Of a bit that is not on the card the
    least radius of the card counts.
    """
    spans, everywhere = [], list[Obstacle]()
    sizes = (job.board.size_x_mm.value, job.board.size_y_mm.value)
    for column, axis in enumerate(PLAN):
        least, most = -np.inf, np.inf
        low, high = -place.on_board_mm[column], sizes[column] - place.on_board_mm[column]
        for course in courses:
            cuts, radius = _cuts(course.program, job, place), _radii(course.program, job)
            found = course.span(column)
            least = max(least, low - _least(np.where(cuts, found.riding_low + radius, np.nan)))
            most = min(most, high - _most(np.where(cuts, found.riding_high - radius, np.nan)))
            beyond = (found.staying_low < low - radius) | (found.staying_high > high + radius)
            everywhere += _first("off-board", axis, course.program, beyond & cuts)
        spans.append((least, most))
    spare = tuple(most - least for least, most in spans)
    return Allowed(spans=_closed(spans), spare_mm=(spare[0], spare[1]), everywhere=tuple(everywhere))


def both(travel: Allowed, board: Allowed, job: Job, courses: Sequence[Course], place: Place) -> tuple[Span, Span]:
    """Return for x and y the shifts that both allow; where nothing bounds them, those with moves over the board."""
    found = []
    sizes = (job.board.size_x_mm.value, job.board.size_y_mm.value)
    for column, size in enumerate(sizes):
        least, most = (pick(travel.spans[column][k], board.spans[column][k]) for k, pick in ((0, max), (1, min)))
        at = place.on_board_mm[column]
        spans = [course.span(column) for course in courses]
        low = min((_least(span.riding_low) for span in spans), default=np.inf)
        high = max((_most(span.riding_high) for span in spans), default=-np.inf)
        if not np.isfinite(least):
            least = -at - (high if np.isfinite(high) else size)
        if not np.isfinite(most):
            most = size - at - (low if np.isfinite(low) else 0.0)
        found.append((float(least), float(most)))
    return found[0], found[1]


def _closed(spans: Sequence[Span]) -> tuple[Span, Span]:
    """Return the spans with ends that only rounding parts made one."""
    closed = [
        ((least + most) / 2,) * 2 if most < least <= most + 2 * TOUCH_MM else (float(least), float(most))
        for least, most in spans
    ]
    return closed[0], closed[1]


def _cuts(moves: ProgramMoves, job: Job, place: Place) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    lowest, _ = known_span(moves, 2)
    cuts: np.ndarray[tuple[int], np.dtype[np.bool_]] = moves.feeds & (
        lowest < job.board.thickness_mm.value - place.on_board_mm[2] - TOUCH_MM
    )
    return cuts


def _radii(moves: ProgramMoves, job: Job) -> Floats:
    """Return the radius of each move's bit [mm], (n,)."""
    radii = {bit.tool: bit.diameter_mm.value / 2 for bit in job.bits} | {0: job.bits[0].diameter_mm.value / 2}
    tools, which = np.unique(moves.tool, return_inverse=True)
    radius: Floats = np.array([radii.get(int(tool), min(radii.values())) for tool in tools])[which]
    return radius


def _first(
    kind: str, axis: AxisName, moves: ProgramMoves, rows: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> list[Obstacle]:
    """Return an obstacle at the first of these moves, if any."""
    if not rows.any():
        return []
    line = int(moves.line[int(rows.argmax())])
    return [Obstacle(kind="travel" if kind == "travel" else "off-board", axis=axis, line=line)]


def _least(values: Floats) -> float:
    return float(np.fmin.reduce(values, initial=np.inf))


def _most(values: Floats) -> float:
    return float(np.fmax.reduce(values, initial=-np.inf))

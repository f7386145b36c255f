"""Cutter radius compensation: the tool's path beside a programmed one (NISTIR 6556, 3.5.10 and Appendix B).

Both methods of the report are this one: a contour with the tool's own radius, or the path of a
nominal tool with the difference. Everything lies in the XY plane; places are (x, y) in the zero
frame [mm].
"""

from dataclasses import dataclass
from math import acos, atan2, cos, hypot, pi, sin, tau

from cutworthy.model.program import Level
from cutworthy.program.arcs import SAME_MM
from cutworthy.program.problems import LineError
from cutworthy.program.state import Side

__all__ = ["Spot", "Turn", "first_line", "next_arc", "next_line"]

Spot = tuple[float, float]

# A corner that turns less than this towards the tool is taken as none: joins of rounded numbers
# are never quite smooth. Radians, our choice.
SMOOTH = 0.05
SAME_ANGLE = 1e-9


@dataclass(frozen=True, slots=True)
class Turn:
    """An arc of the tool: ``turns`` counter-clockwise positive."""

    centre: Spot
    end: Spot
    turns: float


def first_line(tool: Spot, end: Spot, side: Side) -> Spot:
    """Return where the tool ends after the first straight move with compensation on.

    The way to the programmed end is the hypotenuse of a triangle with the right angle at the
    programmed end's leg, one tool radius long (NISTIR 6556, B.6): the tool ends beside the end.

    Raises
    ------
    LineError
        When the tool already covers the end (B.5).
    """
    back = (tool[0] - end[0], tool[1] - end[1])
    distance = hypot(*back)
    if distance < side.radius_mm or distance < SAME_MM:
        raise LineError(case="side-gouge", numbers={"value": side.radius_mm, "unit": "mm"})
    along = side.radius_mm / distance
    turn = acos(along) * (-1 if side.left else 1)
    x, y = back[0] * cos(turn) - back[1] * sin(turn), back[0] * sin(turn) + back[1] * cos(turn)
    return end[0] + along * x, end[1] + along * y


def next_line(tool: Spot, corner: Spot, end: Spot, side: Side) -> tuple[Turn | None, Spot]:
    """Return the arc around the corner, if there is one, and where the straight move behind it ends.

    Raises
    ------
    LineError
        At a corner into which the tool does not fit.
    """
    way = (end[0] - corner[0], end[1] - corner[1])
    length = hypot(*way)
    sign = side.radius_mm / length * (1 if side.left else -1)
    beside = (-way[1] * sign, way[0] * sign)
    return _around(tool, corner, beside, side), (end[0] + beside[0], end[1] + beside[1])


def next_arc(tool: Spot, corner: Spot, end: Spot, centre: Spot, turns: float, side: Side) -> tuple[Turn | None, Turn]:
    """Return the arc around the corner, if there is one, and the tool's arc beside the programmed one.

    Raises
    ------
    LineError
        At a corner into which the tool does not fit, and in an arc that is no wider than the tool.
    """
    radius = hypot(corner[0] - centre[0], corner[1] - centre[1])
    inside = side.left == (turns > 0)
    if inside and radius <= side.radius_mm:
        raise LineError(case="side-narrow", numbers={"value": radius, "limit": side.radius_mm, "unit": "mm"})
    out = -side.radius_mm if inside else side.radius_mm
    beside = ((corner[0] - centre[0]) * out / radius, (corner[1] - centre[1]) * out / radius)
    last = hypot(end[0] - centre[0], end[1] - centre[1]) or radius
    stop = (end[0] + (end[0] - centre[0]) * out / last, end[1] + (end[1] - centre[1]) * out / last)
    return _around(tool, corner, beside, side), Turn(centre, stop, turns)


def _around(tool: Spot, corner: Spot, beside: Spot, side: Side) -> Turn | None:
    """Return the tool's arc around an outside corner, from where it is to beside the next move."""
    now = (tool[0] - corner[0], tool[1] - corner[1])
    if side.radius_mm == 0:
        return None
    angle = (atan2(beside[1], beside[0]) - atan2(now[1], now[0])) % tau
    towards = angle if side.left else tau - angle  # turning towards the tool's side, 0 to a full turn
    if SMOOTH < towards < pi - SAME_ANGLE:
        raise LineError(problem="not-supported", case="side-corner", level=Level.ASK)
    if towards <= SMOOTH or tau - towards < SAME_ANGLE:
        return None
    around = tau - towards
    return Turn(corner, (corner[0] + beside[0], corner[1] + beside[1]), (-around if side.left else around) / tau)

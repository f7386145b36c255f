"""Cutter radius compensation: the tool's path beside a programmed one (NISTIR 6556, 3.5.10 and Appendix B).

Both methods of the report are this one: a contour with the tool's own radius, or the path of a
nominal tool with the difference. Everything lies in the XY plane; places are (x, y) in the zero
frame [mm].
"""

from math import acos, atan2, ceil, cos, dist, hypot, pi, sin, tau

from cutworthy.program.arcs import SAME_MM
from cutworthy.program.problems import LineError
from cutworthy.program.state import Side

__all__ = ["Spot", "first_line", "next_arc", "next_line", "spots_between", "turns_around"]

Spot = tuple[float, float]

# A corner that turns less than this towards the tool is taken as none: joins of rounded numbers
# are never quite smooth. Radians, our choice.
SMOOTH = 0.05
SAME_ANGLE = 1e-9
CHORD = 1 / 36  # of a turn: such a chord lies within 0.4 % of the radius; our choice


def first_line(tool: Spot, end: Spot, side: Side) -> Spot:
    """Return where the tool ends after the first straight move with compensation on.

    The way to the programmed end is the hypotenuse of a right triangle, and one leg, from that end,
    is as long as the tool's radius (NISTIR 6556, B.6): the tool ends at the right angle.

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


def next_line(corner: Spot, end: Spot, side: Side) -> tuple[Spot, Spot]:
    """Return where the tool's straight move beside the programmed one begins and ends."""
    way = (end[0] - corner[0], end[1] - corner[1])
    sign = side.radius_mm / hypot(*way) * (1 if side.left else -1)
    x, y = -way[1] * sign, way[0] * sign
    return (corner[0] + x, corner[1] + y), (end[0] + x, end[1] + y)


def next_arc(corner: Spot, end: Spot, centre: Spot, turns: float, side: Side) -> tuple[Spot, Spot]:
    """Return where the tool's arc beside the programmed one begins and ends; its centre is the same.

    Raises
    ------
    LineError
        When the arc is no wider than the tool that runs inside it.
    """
    radius = hypot(corner[0] - centre[0], corner[1] - centre[1])
    inside = side.left == (turns > 0)
    if inside and radius <= side.radius_mm:
        raise LineError(case="side-narrow", numbers={"value": radius, "limit": side.radius_mm, "unit": "mm"})
    out = -side.radius_mm if inside else side.radius_mm
    last = hypot(end[0] - centre[0], end[1] - centre[1]) or radius
    return _outwards(corner, centre, out / radius), _outwards(end, centre, out / last)


def _outwards(spot: Spot, centre: Spot, share: float) -> Spot:
    """Return the spot moved away from the centre by a share of its distance."""
    return spot[0] + (spot[0] - centre[0]) * share, spot[1] + (spot[1] - centre[1]) * share


def turns_around(tool: Spot, corner: Spot, start: Spot, side: Side) -> float | None:
    """Return the turns of the tool's arc around a corner to the start of its next move.

    None where it is there already, 0 at an inside corner, where there is no such arc.
    """
    if side.radius_mm == 0 or dist(tool, start) < SAME_MM:
        return None
    now, then = (atan2(spot[1] - corner[1], spot[0] - corner[0]) for spot in (tool, start))
    angle = (then - now) % tau
    towards = angle if side.left else tau - angle  # turning towards the tool's side, 0 to a full turn
    if SMOOTH < towards < pi - SAME_ANGLE:
        return 0.0
    if towards <= SMOOTH:
        return None
    around = tau - towards
    return (-around if side.left else around) / tau


def spots_between(tool: Spot, corner: Spot, turns: float) -> list[Spot]:
    """Return spots on the tool's arc around a corner, its ends left out, so near that chords are an arc."""
    steps = ceil(abs(turns) / CHORD)
    begin, radius = atan2(tool[1] - corner[1], tool[0] - corner[0]), dist(tool, corner)
    angles = [begin + tau * turns * step / steps for step in range(1, steps)]
    return [(corner[0] + radius * cos(angle), corner[1] + radius * sin(angle)) for angle in angles]

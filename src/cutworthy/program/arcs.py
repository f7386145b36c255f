"""Arcs by centre and by radius (NISTIR 6556, 3.5.3)."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import atan2, sqrt, tau

from cutworthy.kernels import shapes
from cutworthy.model.program import Plane
from cutworthy.program.problems import LineError
from cutworthy.program.state import Point

__all__ = ["AXES_OF", "SAME_MM", "Arc", "by_centre", "by_radius", "last_digit", "offsets_in_plane"]

# First axis, second axis and the one across, of each plane.
AXES_OF = {
    plane: (int(shapes.FIRST[plane]), int(shapes.SECOND[plane]), int(shapes.ACROSS[plane]))
    for plane in (Plane.XY, Plane.XZ, Plane.YZ)
}
# Ends nearer than this are one point: far below any digit that is written, above what adding costs.
SAME_MM = 1e-7

DECIMALS = re.compile(r"[IJKRXYZ][+-]?\d*\.(\d+)")


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc about ``centre`` [mm]; ``turns`` counter-clockwise positive.

    ``off_mm``: by how much the radii at both ends differ, or the radius given is too short.
    """

    centre: Point
    turns: float
    off_mm: float


def by_centre(start: Point, end: Point, centre: tuple[float, float], plane: Plane, *, clockwise: bool) -> Arc | None:
    """Return the arc about a centre given in the plane's two axes [mm], None where it has no radius.

    An end on the start is a full turn.
    """
    first, second, _ = AXES_OF[plane]
    begin = (start[first] - centre[0], start[second] - centre[1])
    finish = (end[first] - centre[0], end[second] - centre[1])
    radius = _length(begin)
    if radius < SAME_MM:
        return None
    off = abs(_length(finish) - radius)
    return Arc(_in_plane(start, centre, plane), _turns(begin, finish, clockwise=clockwise), off)


def by_radius(start: Point, end: Point, radius: float, plane: Plane, *, clockwise: bool) -> Arc:
    """Return the arc of a radius [mm], more than half a turn when it is negative.

    A radius shorter than half the way to the end cannot reach it: the arc is half a turn then.

    Raises
    ------
    LineError
        When the end is the start, or the radius is zero.
    """
    first, second, _ = AXES_OF[plane]
    way = (end[first] - start[first], end[second] - start[second])
    chord = _length(way)
    if chord < SAME_MM:
        raise LineError(case="arc-same-place")
    if radius == 0:
        raise LineError(case="arc-no-radius")
    half = chord / 2
    height = sqrt(max(radius * radius - half * half, 0.0))
    # The centre lies left of the chord for a counter-clockwise arc of less than half a turn.
    left = height / chord if clockwise == (radius < 0) else -height / chord
    begin = (-way[0] / 2 + way[1] * left, -way[1] / 2 - way[0] * left)
    finish = (begin[0] + way[0], begin[1] + way[1])
    centre = (start[first] - begin[0], start[second] - begin[1])
    off = max(half - abs(radius), 0.0)
    return Arc(_in_plane(start, centre, plane), _turns(begin, finish, clockwise=clockwise), off)


def _length(way: tuple[float, float]) -> float:
    """Return the length of a way, by the steps that a kernel takes too."""
    return sqrt(way[0] * way[0] + way[1] * way[1])


def _turns(begin: tuple[float, float], finish: tuple[float, float], *, clockwise: bool) -> float:
    """Return the turns from one spoke to the other, a full one where they are the same."""
    if _length((finish[0] - begin[0], finish[1] - begin[1])) < SAME_MM:
        return -1.0 if clockwise else 1.0
    turns = (atan2(finish[1], finish[0]) - atan2(begin[1], begin[0])) / tau % 1.0
    return -((1.0 - turns) or 1.0) if clockwise else turns or 1.0


def _in_plane(start: Point, centre: tuple[float, float], plane: Plane) -> Point:
    """Return the centre as a point, with the start's coordinate across the plane."""
    point = list(start)
    first, second, _ = AXES_OF[plane]
    point[first], point[second] = centre
    return point[0], point[1], point[2]


def last_digit(text: str) -> float | None:
    """Return the size of the finest last digit of the line's coordinates, None where none has a decimal.

    A number without decimals is taken as meant exactly.
    """
    digits = [len(decimals) for decimals in DECIMALS.findall(text)]
    return 10.0 ** -max(digits) if digits else None


def offsets_in_plane(words: Mapping[str, float], plane: Plane) -> tuple[float | None, float | None]:
    """Return the centre words of the plane's two axes, None where there is none."""
    first, second, _ = AXES_OF[plane]
    return words.get("IJK"[first]), words.get("IJK"[second])

"""An upright cylinder against a box that stands on the table, in closed form.

The clearance of a cylinder at one moment is the greater of two numbers: how far its side is from
the box's sides, and how far its underside is above the box's top. Both negative is overlap. Each
is a signed distance to a convex thing, so along a straight piece the clearance is a convex
function of the share travelled, and so is the greater of the two.
"""

from dataclasses import dataclass
from math import hypot
from typing import Self

import numpy as np

from cutworthy.model.columns import Floats

__all__ = ["TOUCH_MM", "Box", "along_straight", "around", "at_place", "least_side", "lowest_over", "side"]

# Things this close touch: rounding may not tell them apart. Touching counts as meeting.
TOUCH_MM = 1e-9

# The corners of a box, as signs of its half sizes; the last axis takes the moves.
_CORNER_X = np.array([1.0, 1.0, -1.0, -1.0])[:, None]
_CORNER_Y = np.array([1.0, -1.0, 1.0, -1.0])[:, None]
_PAIRS = np.triu_indices(5, 1)
_QUARTER, _WHOLE = np.pi / 2, 2 * np.pi
# Inside a box the nearest side changes on its two middle lines and on the four lines at 45 degrees
# from its corners: the direction across each line, and its distance from the middle in units of
# the difference of the half sizes.
_ACROSS = np.array([0.0, 1.0, 0.5, 0.5, -0.5, -0.5])[:, None] * _QUARTER
_AWAY = np.array([0.0, 0.0, 1.0, -1.0, 1.0, -1.0])[:, None] / np.sqrt(2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box without a floor, in the zero frame: its middle, its half sizes and its top."""

    x_mm: float
    y_mm: float
    half_x_mm: float
    half_y_mm: float
    top_mm: float

    def grown(self, sideways_mm: float, upward_mm: float) -> Self:
        """Return the box grown on each of its four sides, and at its top."""
        return type(self)(
            x_mm=self.x_mm,
            y_mm=self.y_mm,
            half_x_mm=self.half_x_mm + sideways_mm,
            half_y_mm=self.half_y_mm + sideways_mm,
            top_mm=self.top_mm + upward_mm,
        )


def side(box: Box, x: Floats, y: Floats) -> Floats:
    """Return the distance of places from the box's sides [mm], negative inside, shape as ``x``."""
    over_x, over_y = np.abs(x - box.x_mm) - box.half_x_mm, np.abs(y - box.y_mm) - box.half_y_mm
    outside = np.hypot(np.maximum(over_x, 0), np.maximum(over_y, 0))
    distance: Floats = outside + np.minimum(np.maximum(over_x, over_y), 0)
    return distance


def least_side(box: Box, low: Floats, high: Floats) -> Floats:
    """Return the least distance from the box's sides of any place in other boxes [mm], (n,); exact.

    ``low`` and ``high`` are their corners [mm], shape (n, 2) or (n, 3). The place nearest to the
    middle is nearest in x and in y.
    """
    return side(box, np.clip(box.x_mm, low[:, 0], high[:, 0]), np.clip(box.y_mm, low[:, 1], high[:, 1]))


def at_place(box: Box, tip_mm: tuple[float, float, float], radius_mm: float, bottom_mm: float) -> float:
    """Return the clearance of one cylinder at one place of the tip [mm]; the scalar twin of the rest."""
    over_x, over_y = abs(tip_mm[0] - box.x_mm) - box.half_x_mm, abs(tip_mm[1] - box.y_mm) - box.half_y_mm
    sideways = hypot(max(over_x, 0), max(over_y, 0)) + min(max(over_x, over_y), 0) - radius_mm
    return max(sideways, tip_mm[2] + bottom_mm - box.top_mm)


def along_straight(start: Floats, end: Floats, box: Box, radius: Floats, lift: Floats) -> tuple[Floats, Floats]:
    """Return the least clearance along straight pieces [mm] and the share where it is, both (n,).

    Parameters
    ----------
    start, end : array
        The tip's places [mm], shape (n, 3).
    box : Box
        What the cylinder may meet.
    radius : array
        The cylinder's radius [mm], shape (n,).
    lift : array
        From the tip's height to the height of the cylinder's underside above the box's top [mm],
        shape (n,).

    Notes
    -----
    The clearance is the greatest of five linear functions of the share (the distances from the
    four sides' planes and from the top) and, beside a corner, the distance from that corner. Its
    least value is at an end, where two linear functions are equal, at the foot on the path of a
    corner, or where the distance from a corner equals the height: 24 shares, all of them tried.
    Exact but for rounding.
    """
    ray = _Ray(start, end, box)
    height = (start[:, 2] + lift, end[:, 2] - start[:, 2])
    level = np.stack([*ray.beyond_sides(radius), height[0]])
    slope = np.stack([ray.dx, -ray.dx, ray.dy, -ray.dy, height[1]])
    one, other = _PAIRS
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        equal = (level[other] - level[one]) / (slope[one] - slope[other])
        shares = _with_ends(np.concatenate([equal, ray.feet(), ray.corner_meets(radius + height[0], height[1])]))
    values = np.maximum(ray.side(shares) - radius, height[0] + height[1] * shares)
    best = values.argmin(axis=0)
    moves = np.arange(len(start))
    return values[best, moves], shares[best, moves]


def lowest_over(start: Floats, end: Floats, box: Box, radius: Floats) -> tuple[Floats, Floats]:
    """Return the tip's least height while the disc is over the box [mm] and the share, both (n,).

    Infinite where a straight piece never brings the disc of that radius over the box. The disc is
    over it during one interval; its ends are shares where a side or a corner is met.
    """
    ray = _Ray(start, end, box)
    level, slope = np.stack(ray.beyond_sides(radius)), np.stack([ray.dx, -ray.dx, ray.dy, -ray.dy])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        shares = _with_ends(np.concatenate([-level / slope, ray.corner_meets(radius, np.zeros_like(radius))]))
    height = start[:, 2] + (end[:, 2] - start[:, 2]) * shares
    values = np.where(ray.side(shares) - radius <= TOUCH_MM, height, np.inf)
    best = values.argmin(axis=0)
    moves = np.arange(len(start))
    return values[best, moves], shares[best, moves]


def around(start: Floats, centre: Floats, turns: Floats, box: Box) -> tuple[Floats, Floats]:
    """Return the least distance of arcs in plan from the box's sides [mm] and the share where, both (n,).

    Parameters
    ----------
    start, centre : array
        Where the tip starts and what it turns about [mm], shape (n, 3).
    turns : array
        The swept angle over a full circle, counter-clockwise positive, shape (n,).
    box : Box
        What the arc passes.

    Notes
    -----
    The least distance is at an end, at one of the circle's four extremes, towards a corner, or
    inside the box where the nearest side changes: 22 places, all of them tried. Exact but for
    rounding.
    """
    x, y = centre[:, 0] - box.x_mm, centre[:, 1] - box.y_mm
    from_x, from_y = start[:, 0] - centre[:, 0], start[:, 1] - centre[:, 1]
    radius, begin = np.hypot(from_x, from_y), np.arctan2(from_y, from_x)
    extremes = np.broadcast_to(_QUARTER * np.arange(4.0)[:, None], (4, len(x)))
    corners = np.arctan2(_CORNER_Y * box.half_y_mm - y, _CORNER_X * box.half_x_mm - x)
    away = _AWAY * (box.half_x_mm - box.half_y_mm) - (x * np.cos(_ACROSS) + y * np.sin(_ACROSS))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        opening = np.arccos(away / radius)
        angles = np.concatenate([extremes, corners, _ACROSS + opening, _ACROSS - opening])
        shares = np.mod((angles - begin) * np.sign(turns), _WHOLE) / (_WHOLE * np.abs(turns))
    shares = _with_ends(np.where(shares <= 1, shares, 0))
    angles = begin + _WHOLE * turns * shares
    distance = side(box, centre[:, 0] + radius * np.cos(angles), centre[:, 1] + radius * np.sin(angles))
    best = distance.argmin(axis=0)
    moves = np.arange(len(start))
    return distance[best, moves], shares[best, moves]


def _with_ends(shares: Floats) -> Floats:
    """Return the shares with 0 and 1 before them; what is no place on the path becomes an end."""
    inside = np.clip(np.nan_to_num(shares, nan=0.0), 0, 1)
    ends = np.broadcast_to(np.array([[0.0], [1.0]]), (2, shares.shape[1]))
    return np.concatenate([ends, inside])


class _Ray:
    """Straight pieces seen from the middle of a box, in plan."""

    def __init__(self, start: Floats, end: Floats, box: Box) -> None:
        self.box = box
        self.start, self.way = start[:, :2], end[:, :2] - start[:, :2]
        self.x, self.y = start[:, 0] - box.x_mm, start[:, 1] - box.y_mm
        self.dx, self.dy = self.way.T
        self.from_x, self.from_y = self.x - _CORNER_X * box.half_x_mm, self.y - _CORNER_Y * box.half_y_mm

    def beyond_sides(self, radius: Floats) -> list[Floats]:
        """Return how far the disc starts beyond the planes of the four sides [mm], each (n,)."""
        wide, deep = self.box.half_x_mm + radius, self.box.half_y_mm + radius
        return [self.x - wide, -self.x - wide, self.y - deep, -self.y - deep]

    def feet(self) -> Floats:
        """Return the shares nearest to the four corners, (4, n); NaN where the piece is a point in plan."""
        feet: Floats = -(self.from_x * self.dx + self.from_y * self.dy) / (self.dx**2 + self.dy**2)
        return feet

    def corner_meets(self, reach: Floats, widening: Floats) -> Floats:
        """Return the shares where a corner is at the distance ``reach + widening * share``, (8, n).

        Where there is none, the share of the nearest try: a place on the path all the same.
        """
        square = self.dx**2 + self.dy**2 - widening**2
        half = self.from_x * self.dx + self.from_y * self.dy - reach * widening
        rest = self.from_x**2 + self.from_y**2 - reach**2
        # The sum of two numbers of one sign loses no digits; the other root follows from the product.
        whole = -(half + np.copysign(np.sqrt(np.maximum(half**2 - square * rest, 0)), half))
        return np.concatenate([whole / square, rest / whole])

    def side(self, shares: Floats) -> Floats:
        """Return the distance from the box's sides at each share [mm], shape as ``shares``."""
        return side(self.box, self.start[:, 0] + self.dx * shares, self.start[:, 1] + self.dy * shares)

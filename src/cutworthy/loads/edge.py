"""How much of a bit's edge is in the wood at a depth."""

import math
from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.job import Bit
from cutworthy.reference.tables import default, limit

__all__ = ["Edge", "edge_in_wood", "runout_mm", "spiral_rad"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edge:
    """Of each edge [mm], (n,): its length in the wood, its mean distance from the axis, and its greatest."""

    length_mm: Floats
    middle_mm: Floats
    reach_mm: Floats


def edge_in_wood(bit: Bit, depth_mm: Floats) -> Edge:
    """Return the edge that cuts at some depths [mm], (n,), by the bit's shape: mensuration.

    Of a bull the corner counts as long as it is round; of a taper the ball up to where the cone touches it. Past its
    shoulder a cone is upright.
    """
    depth, radius = np.maximum(depth_mm, 1e-6), bit.diameter_mm.value / 2
    corner = 0.0 if bit.corner_radius_mm is None else bit.corner_radius_mm.value
    if bit.kind == "ball" or (bit.kind == "bull" and corner > 0):
        return _round(depth, radius, radius if bit.kind == "ball" else corner)
    if bit.kind in ("vee", "taper", "drill"):
        half = (default("drill_angle").value if bit.angle_rad is None else bit.angle_rad.value) / 2
        tip = 0.0 if bit.tip_mm is None or bit.kind == "taper" else bit.tip_mm.value / 2
        return _cone(depth, radius, half, tip, corner if bit.kind == "taper" else 0.0)
    whole = np.full_like(depth, radius)
    return Edge(length_mm=depth, middle_mm=whole, reach_mm=whole)


def _round(depth: Floats, radius: float, round_mm: float) -> Edge:
    """Return the edge of a ball, or of a bull with round corners: a quarter of a circle, upright above it."""
    within = np.minimum(depth, round_mm)
    arc = round_mm * np.arccos(1 - within / round_mm)
    # A slice of a ball is as wide as it is high, times the ball's girth; beside it a bull's flat is as far out.
    swept = round_mm * within + (radius - round_mm) * arc + radius * (depth - within)
    length = arc + depth - within
    reach = radius - round_mm + np.sqrt(within * (2 * round_mm - within))
    return Edge(length_mm=length, middle_mm=swept / length, reach_mm=reach)


def _cone(depth: Floats, radius: float, half: float, tip: float, ball: float) -> Edge:
    """Return the edge of a cone that begins at a flat tip or touches a ball, upright past its shoulder."""
    begins, top = (ball * math.cos(half), ball * (1 - math.sin(half))) if ball else (tip, 0.0)
    shoulder = top + (radius - begins) / math.tan(half)
    within = np.minimum(depth, top)
    arc = ball * np.arccos(1 - within / ball) if ball else np.zeros_like(depth)
    cone = np.clip(depth, top, shoulder) - top
    slant, upright = cone / math.cos(half), np.maximum(depth - shoulder, 0.0)
    out = begins + cone * math.tan(half)
    length = arc + slant + upright
    swept = ball * within + slant * (begins + out) / 2 + radius * upright
    reach = np.where(depth < top, np.sqrt(within * (2 * ball - within)), out)
    return Edge(length_mm=length, middle_mm=swept / length, reach_mm=reach)


def spiral_rad(bit: Bit) -> float:
    """Return the greatest angle of a bit's spiral: of one that is not straight, or not known."""
    return 0.0 if bit.spiral == "straight" else limit("spiral").value


def runout_mm(bit: Bit) -> tuple[float, float, float]:
    """Return how much farther out one edge may be than the next: least, expected, most [mm]."""
    if bit.runout_mm is None:
        usual = default("runout")
        return usual.low, usual.value, usual.high
    return bit.runout_mm.low, bit.runout_mm.value, bit.runout_mm.high

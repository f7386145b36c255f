"""How thick the chips are: milling seen from above, on the circle that an edge runs through in a turn.

Symbols as everywhere: z edges, D the bit's diameter, the wood reaching ``width_mm`` across the way. All functions take
numbers or arrays.
"""

import numpy as np

from cutworthy.model.columns import Floats, Value
from cutworthy.units import MM_PER_M, S_PER_MIN

__all__ = [
    "edge_speed_m_s",
    "edges_in_wood",
    "engagement_rad",
    "feed_per_edge_mm",
    "greatest_chip_mm",
    "mean_chip_mm",
    "thinning",
]


def feed_per_edge_mm(feed_mm_s: Value, rpm: Value, edges: Value) -> Floats:
    """Return how far the bit goes from one edge's cut to the next [mm].

    Source: f / (n z), kinematics.

    Parameters
    ----------
    feed_mm_s
        Speed along the way [mm/s].
    rpm
        Turns of the bit a minute, positive.
    edges
        Of the bit, 1 or more.
    """
    return np.asarray(feed_mm_s * S_PER_MIN / (rpm * edges))


def edge_speed_m_s(diameter_mm: Value, rpm: Value) -> Floats:
    """Return how fast the edges go at a diameter [m/s]: pi D n."""
    return np.asarray(np.pi * diameter_mm / MM_PER_M * rpm / S_PER_MIN)


def engagement_rad(width_mm: Value, diameter_mm: Value) -> Floats:
    """Return how far round an edge is in the wood [rad]: pi in a slot.

    Source: arccos(1 - 2 a / D); [@altintas] chapter 2.

    Parameters
    ----------
    width_mm
        Of the wood across the way [mm], from 0 to the diameter.
    diameter_mm
        Of the bit where it cuts [mm].
    """
    return np.arccos(np.clip(1 - 2 * np.asarray(width_mm) / diameter_mm, -1.0, 1.0))


def mean_chip_mm(feed_per_edge: Value, engagement: Value) -> Floats:
    """Return the mean thickness of a chip over the way that an edge is in the wood [mm].

    Source: f_z (1 - cos psi) / psi; [@martellotti], the edge's way taken as a circle, which is off by no more than
    f_z^2 / D.

    Parameters
    ----------
    feed_per_edge
        As ``feed_per_edge_mm`` returns it [mm].
    engagement
        As ``engagement_rad`` returns it [rad], positive.
    """
    return np.asarray(feed_per_edge * (1 - np.cos(engagement)) / engagement)


def greatest_chip_mm(feed_per_edge: Value, engagement: Value) -> Floats:
    """Return the thickest place of a chip [mm]: f_z sin psi, and f_z where the wood reaches past the middle."""
    return np.asarray(feed_per_edge * np.sin(np.minimum(engagement, np.pi / 2)))


def thinning(width_mm: Value, diameter_mm: Value) -> Floats:
    """Return how many times as much the feed for each edge is as the thickest place of the chip, 1 or more.

    Source: 1 / (2 sqrt(a (1 - a))) with a = width / D, the same circle.
    """
    share = np.minimum(np.asarray(width_mm) / diameter_mm, 0.5)
    return np.asarray(1 / (2 * np.sqrt(share * (1 - share))))


def edges_in_wood(edges: Value, engagement: Value) -> Floats:
    """Return how many edges are in the wood at a time, on the mean: z psi / 2 pi."""
    return np.asarray(edges * np.asarray(engagement) / (2 * np.pi))

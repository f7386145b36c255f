"""The straight line and the plane nearest to some points, by least squares and with the narrowest zone."""

import numpy as np
from scipy.optimize import linprog

from cutworthy.model.columns import Floats

__all__ = ["narrowest_zone", "ring_width"]


def narrowest_zone(design: Floats, heights: Floats) -> tuple[float, Floats]:
    """Return how far apart two parallel planes (or lines) are that enclose all points, and the middle one.

    Source: the definition of flatness and straightness by minimum zone, ISO 1101 and ISO 230-1:2012, as a linear
    program: least h with -h <= z - A p <= h. Heights are taken upright, which for the small slopes of a machine is the
    distance.

    Parameters
    ----------
    design
        1, x and y of each point (1 and x for a line), (n, p).
    heights
        (n,).
    """
    count, parameters = design.shape
    ones = np.ones((count, 1))
    above, below = np.hstack([design, -ones]), np.hstack([-design, -ones])
    aim = np.zeros(parameters + 1)
    aim[-1] = 1.0
    found = linprog(aim, A_ub=np.vstack([above, below]), b_ub=np.concatenate([heights, -heights]), bounds=(None, None))
    return 2 * float(found.x[-1]), np.asarray(found.x[:-1])


def ring_width(angle_rad: Floats, radius_mm: Floats) -> float:
    """Return the least distance of two concentric circles that enclose all points [mm].

    Source: circular deviation, ISO 230-4:2005, from memory; the centre is off by so little against the radius that
    its shift adds a cos and a b sin to the radius.
    """
    design = np.stack([np.ones_like(angle_rad), np.cos(angle_rad), np.sin(angle_rad)], axis=1)
    width, _ = narrowest_zone(design, radius_mm)
    return width

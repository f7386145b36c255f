"""Heights between places where they were measured."""

import numpy as np
import numpy.typing as npt

__all__ = ["levels"]

Floats = npt.NDArray[np.float64]

FLAT_MM = 1.0  # places within a line as narrow as this fix no plane
AT_MM = 1e-6  # nearer to a place than this is there


def levels(points: Floats, x: Floats, y: Floats) -> Floats:
    """Return the height at some places, shaped as they are [mm].

    A plane through the points by least squares, and what they lie off it weighted by one over the distance squared
    (D. Shepard, A two-dimensional interpolation function for irregularly-spaced data, 1968; from memory). Exact at the
    points, and where they lie in a plane; never farther off the plane than the farthest point.

    Parameters
    ----------
    points
        x, y and height, (n, 3) [mm]; one alone is the height everywhere.
    x, y
        Places [mm].
    """
    if len(points) == 1:
        return np.full(np.shape(x), points[0, 2])
    middle = points[:, :2].mean(axis=0)
    known = np.column_stack([points[:, :2] - middle, np.ones(len(points))])
    if np.linalg.svd(known[:, :2], compute_uv=False)[-1] < FLAT_MM:
        known[:, :2] = 0.0  # on one line, or nearly: no plane, only their mean
    plane, *_ = np.linalg.lstsq(known, points[:, 2], rcond=None)
    off = points[:, 2] - known @ plane
    tilted = bool(known[:, :2].any())
    found = plane[2] + (plane[0] * (x - middle[0]) + plane[1] * (y - middle[1]) if tilted else np.zeros(np.shape(x)))
    weight, share = np.zeros(np.shape(x)), np.zeros(np.shape(x))
    for (px, py), each in zip(points[:, :2], off, strict=True):
        near = 1 / np.maximum((x - px) ** 2 + (y - py) ** 2, AT_MM**2)
        weight += near
        share += near * each
    heights: Floats = found + share / weight
    return heights

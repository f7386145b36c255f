"""Squareness and lean: by diagonals, by flipping, by an indicator on an arm."""

import math
from dataclasses import dataclass

import numpy as np

from cutworthy.metrology.uncertainty import Fit, least_squares
from cutworthy.model.columns import Floats

__all__ = ["Lean", "lean", "square_by_diagonals_rad", "square_by_flip_rad", "u_square_by_diagonals_rad"]


def square_by_diagonals_rad(width_mm: float, depth_mm: float, diagonal_1_mm: float, diagonal_2_mm: float) -> float:
    """Return by how much the front left corner is under a right angle [rad].

    Source: sin e = (D1^2 - D2^2) / 4ab, exact for any parallelogram; geometry.

    Parameters
    ----------
    width_mm, depth_mm
        The sides along X and along Y.
    diagonal_1_mm, diagonal_2_mm
        From the front left to the back right, and the other one.
    """
    return math.asin((diagonal_1_mm**2 - diagonal_2_mm**2) / (4 * width_mm * depth_mm))


def u_square_by_diagonals_rad(width_mm: float, depth_mm: float, mean_diagonal_mm: float, u_mm: float) -> float:
    """Return the standard uncertainty of that angle [rad]: D u / (sqrt2 a b), each diagonal with its own error."""
    return mean_diagonal_mm * u_mm / (math.sqrt(2) * width_mm * depth_mm)


def square_by_flip_rad(length_mm: float, gap_mm: float) -> float:
    """Return by how much an angle is under a right one [rad]: flipped over, a scribed line shows it twice.

    Parameters
    ----------
    length_mm
        Of the lines.
    gap_mm
        Between them at the far end, where they meet at the near one.
    """
    return math.atan2(gap_mm, length_mm) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lean:
    """How much the surface rises to the right and to the back, as the sweep sees it [rad], and the fit behind it."""

    right_rad: float
    back_rad: float
    fit: Fit


def lean(angle_rad: Floats, radius_mm: Floats, reading_mm: Floats, least_u_mm: float) -> Lean:
    """Return the lean of a spindle by an indicator that it carries round: reading = c + r (a cos + b sin).

    Source: a plane seen on circles, geometry. A larger reading means that the surface is nearer.

    Parameters
    ----------
    angle_rad, radius_mm
        Where each reading was taken, from +X counter-clockwise seen from above, (n,), n of 4 or more.
    reading_mm
        (n,).
    least_u_mm
        Standard uncertainty of one reading, at least.
    """
    design = np.stack([np.ones_like(angle_rad), radius_mm * np.cos(angle_rad), radius_mm * np.sin(angle_rad)], axis=1)
    fit = least_squares(design, reading_mm, least_u_mm)
    return Lean(right_rad=float(fit.values[1]), back_rad=float(fit.values[2]), fit=fit)

"""A circle that the machine went round both ways: what turns over with the way is lost motion, what stays geometry."""

from dataclasses import dataclass

import numpy as np
from scipy import optimize

from cutworthy.metrology.uncertainty import Fit, least_squares
from cutworthy.model.columns import Floats

__all__ = ["RoundTrip", "best_circle", "round_trip"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RoundTrip:
    """What a circle tells, with the fit behind it: its parameters are in the order of ``NAMES``.

    ``scale_ratio``: how much longer X is than Y; ``square_rad``: by how much the front left corner is under a right
    angle; lost motion of each axis [mm].
    """

    scale_ratio: float
    square_rad: float
    lost_x_mm: float
    lost_y_mm: float
    fit: Fit


NAMES = ("radius", "off_x", "off_y", "scale", "square", "lost_x", "lost_y")


def round_trip(angle_rad: Floats, radius_mm: Floats, ccw: Floats, nominal_mm: float, least_u_mm: float) -> RoundTrip:
    """Return what radii measured around a circle tell, of both ways round.

    Source: first order in all errors. Along X longer by e than along Y adds e R / 2 cos 2t to the radius; a front left
    corner under a right angle by b adds b R / 2 sin 2t; an axis that lags by half its lost motion behind its own way
    adds that times its share of the radius, and turns over with the way. ISO 230-4 knows these signs, from memory.

    Parameters
    ----------
    angle_rad, radius_mm
        Where each radius was measured, from +X counter-clockwise, and the radius, (n,).
    ccw
        1 where the circle was gone round counter-clockwise, -1 where clockwise, (n,).
    nominal_mm
        The radius that was asked for.
    least_u_mm
        Standard uncertainty of one radius, at least.
    """
    cos, sin = np.cos(angle_rad), np.sin(angle_rad)
    columns = [
        np.ones_like(cos), cos, sin, nominal_mm / 2 * np.cos(2 * angle_rad), nominal_mm / 2 * np.sin(2 * angle_rad),
        ccw * np.sign(sin) * cos / 2, -ccw * np.sign(cos) * sin / 2,
    ]  # fmt: skip
    fit = least_squares(np.stack(columns, axis=1), radius_mm, least_u_mm)
    return RoundTrip(
        scale_ratio=float(fit.values[3]),
        square_rad=float(fit.values[4]),
        lost_x_mm=float(fit.values[5]),
        lost_y_mm=float(fit.values[6]),
        fit=fit,
    )


def best_circle(x: Floats, y: Floats) -> tuple[float, float, float]:
    """Return middle and radius of the circle with the least sum of squared distances to some points.

    Source: geometric fit as of W. Gander, G. H. Golub, R. Strebel, BIT 34, 1994, begun with the circle that fits
    x^2 + y^2 linearly.
    """
    start, *_ = np.linalg.lstsq(np.stack([2 * x, 2 * y, np.ones_like(x)], axis=1), x**2 + y**2, rcond=None)
    guess = (start[0], start[1], np.sqrt(start[2] + start[0] ** 2 + start[1] ** 2))
    found = optimize.least_squares(lambda own: np.hypot(x - own[0], y - own[1]) - own[2], guess, xtol=1e-14, ftol=1e-14)
    middle_x, middle_y, radius = found.x.tolist()
    return middle_x, middle_y, radius

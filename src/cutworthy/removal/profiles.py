"""The shape of a bit as the numbers that its sweep needs."""

from dataclasses import dataclass, replace
from math import cos, sqrt, tan

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.job import Bit
from cutworthy.reference.tables import default

__all__ = ["BALL", "BULL", "FLAT", "TAPER", "VEE", "Profile", "profile_of"]

# As ``kernels.sweeping`` has them, which only long programs load.
FLAT, BALL, VEE, BULL, TAPER = 0, 1, 2, 3, 4
LEAST_MM = 1e-6  # of a bit that is narrowed to nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The surface of a bit above its tip, at the distance r from its axis, up to ``radius_mm``.

    With s = max(r - ``inner_mm``, 0): nothing (flat), round - sqrt(round^2 - s^2) (ball, bull), slope s (vee); of a
    taper the ball up to ``edge_mm`` and the slope beyond. ``lift_mm`` is added to all of it.
    """

    shape: int
    inner_mm: float
    round_mm: float
    slope: float
    edge_mm: float
    radius_mm: float
    lift_mm: float = 0.0

    def numbers(self) -> Floats:
        """Return the numbers in the order that the sweep takes them, (6,)."""
        return np.array([self.inner_mm, self.round_mm, self.slope, self.edge_mm, self.radius_mm, self.lift_mm])

    def radius_at(self, above_tip_mm: Floats) -> Floats:
        """Return how wide the bit is at some heights above its tip, from its axis [mm]; the inverse of its surface."""
        height = np.maximum(above_tip_mm, 0.0)
        if self.shape == FLAT:
            return np.full_like(height, self.radius_mm)
        if self.shape == VEE:
            return np.minimum(max(self.inner_mm, 0.0) + height / self.slope, self.radius_mm)
        round_mm = self.round_mm
        ball = np.sqrt(np.maximum(round_mm**2 - np.maximum(round_mm - height, 0.0) ** 2, 0.0))
        if self.shape != TAPER:
            return np.minimum(max(self.inner_mm, 0.0) + ball, self.radius_mm)
        at_edge = round_mm - sqrt(round_mm**2 - self.edge_mm**2)
        cone = self.edge_mm + (height - at_edge) / self.slope
        return np.minimum(np.where(height < at_edge, ball, cone), self.radius_mm)

    def shrunk(self, by_mm: float) -> "Profile":
        """Return the bit smaller by so much all around: what it touches, the whole bit touches surely."""
        rounded = self.shape in {BALL, TAPER}
        return replace(
            self,
            inner_mm=self.inner_mm - (0.0 if rounded else by_mm),
            round_mm=self.round_mm - (by_mm if rounded else 0.0),
            edge_mm=max(self.edge_mm - by_mm, 0.0),
            radius_mm=self.radius_mm - by_mm,
            lift_mm=by_mm,
        )

    def narrowed(self, by_mm: float) -> "Profile":
        """Return the bit whose surface at r is that of this one at r + ``by_mm``; wider where that is negative.

        Of a taper the narrower bit's surface is no lower than that, and the wider one's no higher.
        """
        if self.shape == TAPER and self.round_mm > by_mm:
            round_mm = self.round_mm - by_mm
            changed = replace(self, round_mm=round_mm, edge_mm=self.edge_mm * round_mm / self.round_mm, lift_mm=by_mm)
        elif self.shape == TAPER:
            changed = replace(self, round_mm=LEAST_MM, edge_mm=0.0, lift_mm=self.slope * by_mm)
        else:
            shape = BULL if self.shape == BALL else self.shape
            changed = replace(self, shape=shape, inner_mm=self.inner_mm - by_mm)
        return replace(changed, radius_mm=max(self.radius_mm - by_mm, LEAST_MM))


def profile_of(bit: Bit) -> Profile | None:
    """Return the profile of a bit; None where the card does not tell its shape."""
    radius = bit.diameter_mm.value / 2
    corner = 0.0 if bit.corner_radius_mm is None else bit.corner_radius_mm.value
    half = 0.0 if bit.angle_rad is None else bit.angle_rad.value / 2
    if (bit.kind in {"bull", "taper"} and not corner) or (bit.kind in {"vee", "taper"} and not half):
        return None
    if bit.kind == "ball":
        return _profile(BALL, radius, round_mm=radius)
    if bit.kind == "bull":
        return _profile(BULL, radius, inner_mm=radius - corner, round_mm=corner)
    if bit.kind == "taper":
        return _profile(TAPER, radius, round_mm=corner, slope=1 / tan(half), edge_mm=corner * cos(half))
    if bit.kind == "flat":
        return _profile(FLAT, radius)
    tip = 0.0 if bit.tip_mm is None else bit.tip_mm.value / 2
    return _profile(VEE, radius, inner_mm=tip, slope=1 / tan(half or default("drill_angle").value / 2))


def _profile(
    shape: int,
    radius: float,
    *,
    inner_mm: float = 0.0,
    round_mm: float = 0.0,
    slope: float = 0.0,
    edge_mm: float = 0.0,
) -> Profile:
    return Profile(shape=shape, inner_mm=inner_mm, round_mm=round_mm, slope=slope, edge_mm=edge_mm, radius_mm=radius)

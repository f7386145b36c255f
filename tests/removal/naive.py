"""The surface that a way leaves, in the most obvious manner: the least over very many places of the bit."""

from itertools import pairwise

import numpy as np

STEPS = 4001


def above_tip(profile, r):
    """Return the surface of a bit above its tip at some distances from its axis; infinite beyond its radius."""
    r = np.asarray(r, dtype=float)
    s = np.maximum(r - profile.inner_mm, 0)
    ball = profile.round_mm - np.sqrt(np.maximum(profile.round_mm**2 - np.minimum(s, profile.round_mm) ** 2, 0))
    if profile.shape == 4:  # taper: the ball up to where the cone touches it
        edge = profile.edge_mm
        at_edge = profile.round_mm - np.sqrt(profile.round_mm**2 - edge**2)
        surface = np.where(r <= edge, ball, at_edge + profile.slope * (r - edge))
    else:
        surface = {0: 0 * r, 1: ball, 2: profile.slope * s, 3: ball}[profile.shape]
    return np.where(r <= profile.radius_mm, surface, np.inf)


def surface(profile, corners, x, y, top, floor):
    """Return the heights at places (x, y) after a way along straight lines through ``corners``."""
    heights = np.full(x.shape, float(top))
    for start, end in pairwise(corners):
        for share in np.linspace(0, 1, STEPS):
            place = np.asarray(start) + share * (np.asarray(end) - np.asarray(start))
            r = np.hypot(x - place[0], y - place[1])
            heights = np.minimum(heights, place[2] + above_tip(profile, r))
    return np.maximum(heights, floor)

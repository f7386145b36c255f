"""What is cut away beside solids: the bit as a body of triangles, swept, joined and cut out by manifold3d.

A straight sweep of a convex body is the convex hull of the body at both ends. Bodies have their corners on the true
surface, so a body of n sides is thinner than the bit: its area by 2/3 (pi/n)^2, which is allowed for. None of them lies
within a flat face: hulls of such points were found to be up to 1 % too large.
"""

from itertools import pairwise
from math import cos, hypot, pi, sin

import manifold3d
import numpy as np
import pytest
from removal import naive, swept
from removal.carved import carved, lines

SIDES, RINGS = 96, 40
ABOVE = 30.0  # mm: the bit goes on straight up above its cutting part
BOARD = {"size": (40.0, 30.0)}
THICK = 10.0
TOO_THIN = 2 / 3 * (pi / SIDES) ** 2
PITCH = 0.125
WAYS = 3  # for each bit


def body(bit):
    """Return the corners of a bit whose tip is at the origin."""
    curved = (bit.inner_mm, bit.edge_mm or bit.inner_mm + bit.round_mm)
    radii = np.unique([0.0, *(np.linspace(*curved, RINGS) if bit.round_mm else curved), bit.radius_mm])
    heights = naive.above_tip(bit, radii)
    rings = [*zip(radii, heights, strict=True), (bit.radius_mm, ABOVE)]
    turns = [2 * pi * side / SIDES for side in range(SIDES)]
    return np.array([(r * cos(turn), r * sin(turn), z) for r, z in rings for turn in turns])


def cut_away(bit, corners):
    """Return the volume that a bit takes from the board on straight lines through corners [mm^3]."""
    points = body(bit)
    sweeps = [
        manifold3d.Manifold.hull_points(np.vstack([points + np.array(start), points + np.array(end)]))
        for start, end in pairwise(corners)
    ]
    tool = manifold3d.Manifold.batch_boolean(sweeps, manifold3d.OpType.Add)
    block = manifold3d.Manifold.cube((*BOARD["size"], THICK)).translate((0.0, 0.0, -THICK))
    return (block ^ tool).volume()


def wild(seed):
    """Return corners of a way that goes up and down through the board, steeply too, and crosses itself."""
    chance = np.random.default_rng(seed)
    corners = [(20.0, 15.0, -2.0)]
    while len(corners) < 9:
        x, y, z = chance.uniform(4, 36), chance.uniform(4, 26), chance.uniform(-6, -0.5)
        if hypot(x - corners[-1][0], y - corners[-1][1]) > 3:
            corners.append((x, y, z))
    return corners


@pytest.mark.parametrize("name", sorted(swept.BITS))
@pytest.mark.parametrize("seed", range(WAYS))
def test_the_volume_is_that_of_the_solids(name, seed):
    bit, _ = swept.BITS[name]
    corners = wild(seed)
    true = cut_away(bit, corners)
    board = carved(lines(*corners), bit, pitch=PITCH, floor=-THICK, **BOARD)
    # A wall may stand half a row of cells off on either side, mostly much less: see the sums of straight cuts.
    assert board.volume == pytest.approx(true, rel=TOO_THIN + 1e-3)

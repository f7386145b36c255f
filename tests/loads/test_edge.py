"""How much edge is in the wood, beside lengths and distances added up along the outline of each bit."""

import math

import numpy as np
import pytest

from cutworthy.loads.edge import edge_in_wood
from cutworthy.model.job import Bit
from cutworthy.model.quantity import Origin, Quantity

POINTS = 200_001
CLOSE = 1e-4  # what chords of an outline that begins level are off


def told(value):
    """Return a number of a card, None where it has none."""
    if value is None:
        return None
    return Quantity(value=value, low=value, high=value, origin=Origin.LABEL, key="bits[1]")


def bit(kind, diameter, *, corner=None, degrees=None, tip=None):
    return Bit(
        tool=1,
        kind=kind,
        diameter_mm=told(diameter),
        corner_radius_mm=told(corner),
        angle_rad=told(None if degrees is None else math.radians(degrees)),
        tip_mm=told(tip),
        flutes=2,
        spiral="up",
        centre_cutting=True,
        cutting_length_mm=told(60.0),
        stickout_mm=told(70.0),
        shank_mm=None,
        material="carbide",
        chip_low_mm=None,
        chip_high_mm=None,
        max_rpm=None,
        runout_mm=None,
        speed_rpm=None,
    )


def ball(height, radius):
    """Return how far out a ball reaches at a height above its lowest point."""
    return np.sqrt(radius**2 - (radius - np.minimum(height, radius)) ** 2)


def cone(height, degrees, begins=0.0):
    return begins + height * math.tan(math.radians(degrees / 2))


def ball_nose(height, corner, degrees):
    """Return a cone with a ball at its tip that it touches all around."""
    half = math.radians(degrees / 2)
    touches = corner * (1 - math.sin(half))
    on_cone = cone(height - touches, degrees, corner * math.cos(half))
    return np.where(height < touches, ball(height, corner), on_cone)


# A bit, and how far its outline is from the axis at a height above the tip, as geometry has it.
SHAPES = {
    "flat": (bit("flat", 6.0), lambda height: np.full_like(height, 3.0)),
    "ball": (bit("ball", 6.0), lambda height: ball(height, 3.0)),
    "bull": (bit("bull", 6.0, corner=1.0), lambda height: 2.0 + ball(height, 1.0)),
    "bull that is nearly a ball": (bit("bull", 6.0, corner=2.9), lambda height: 0.1 + ball(height, 2.9)),
    "vee, 60 degrees": (bit("vee", 12.0, degrees=60.0), lambda height: cone(height, 60.0)),
    "vee, 90 degrees, with a flat": (bit("vee", 12.0, degrees=90.0, tip=1.0), lambda height: cone(height, 90.0, 0.5)),
    "drill": (bit("drill", 6.0, degrees=118.0), lambda height: cone(height, 118.0)),
    "taper": (bit("taper", 6.0, corner=0.5, degrees=10.0), lambda height: ball_nose(height, 0.5, 10.0)),
    "taper, round": (bit("taper", 6.0, corner=1.5, degrees=8.0), lambda height: ball_nose(height, 1.5, 8.0)),
}
# Depths up to where each bit is as wide as it gets, and beyond.
UP_TO = {
    "flat": (0.1, 3.0, 12.0),
    "ball": (0.05, 1.0, 2.9, 3.0),
    "bull": (0.05, 0.5, 1.0),
    "bull that is nearly a ball": (0.05, 1.0, 2.9),
    "vee, 60 degrees": (0.1, 3.0, 10.39),
    "vee, 90 degrees, with a flat": (0.1, 3.0, 5.4),
    "drill": (0.1, 1.0, 1.8),
    "taper": (0.1, 0.5, 3.0, 20.0),
    "taper, round": (0.1, 1.0, 5.0, 18.0),
}
BEYOND = {"ball": 5.0, "bull": 4.0, "vee, 60 degrees": 14.0, "drill": 4.0, "taper": 35.0}


def added_up(name, depth):
    """Return length, mean distance from the axis and reach of the outline up to a depth."""
    own, outline = SHAPES[name]
    height = depth * (1 - np.cos(np.linspace(0.0, math.pi / 2, POINTS)))  # closer together where it begins level
    out = np.minimum(outline(height), own.diameter_mm.value / 2)
    ways, middles = np.hypot(np.diff(out), np.diff(height)), (out[1:] + out[:-1]) / 2
    length = ways.sum()
    return float(length), float((ways * middles).sum() / length), float(out.max())


def assert_alike(name, depth):
    found = edge_in_wood(SHAPES[name][0], np.array([depth]))
    ours = [float(each[0]) for each in (found.length_mm, found.middle_mm, found.reach_mm)]
    assert ours == pytest.approx(added_up(name, depth), rel=CLOSE)


@pytest.mark.parametrize(
    ("name", "depth"),
    [(name, depth) for name, all_depths in UP_TO.items() for depth in all_depths],
)
def test_edge_up_to_where_the_bit_is_widest(name, depth):
    assert_alike(name, depth)


@pytest.mark.parametrize("name", BEYOND)
def test_edge_beyond_is_upright(name):
    assert_alike(name, BEYOND[name])


def test_edge_of_many_depths_at_once():
    depths = np.array([0.5, 1.0, 2.0])
    own = SHAPES["ball"][0]
    every = edge_in_wood(own, depths)
    alone = [float(edge_in_wood(own, depths[n : n + 1]).length_mm[0]) for n in range(len(depths))]
    assert every.length_mm.tolist() == alone

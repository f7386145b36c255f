"""Least times against toppra 0.6.10, a general-purpose library for the fastest way along a path.

It is an implementation of H. Pham, Q.-C. Pham, A New Approach to Time-Optimal Path Parameterization based on
Reachability Analysis, IEEE Transactions on Robotics 34 (2018) (the paper named from memory). It knows nothing of
programs: here a path in four coordinates is handed to it, X, Y, Z and the way gone. A limit to the speed of the
fourth is the feed.

Straight moves: each axis has its own greatest speed and acceleration, in both. Arcs: the planner holds
what the plane's slower axis can do against speeding up and sideways together (Pythagoras); toppra gets the same as
half-planes around a circle. A helix that rises less steeply than 45 degrees has the same bound within its
plane, and its rise never asks the third axis for more. On a steeper one, or where the third axis is the slower, the
planner's rule is an ellipse of the accelerations along the path and sideways, a choice of ours that toppra gets
too. (With the plane's bound and the third axis's each by itself, steep helices of one turn took up to 2.2 % less.)

1 % was asked for. Measured: straight moves and chains within 1e-5, all the others within 1.2e-4, which is what the
grid and the half-planes leave; so a thousandth is asked for here.
"""

import logging
import math
import warnings

import numpy as np
import pytest
from driven import driven, moves_of

from cutworthy.kernels import shapes
from cutworthy.model.program import Kind

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    pytest.importorskip("toppra")
    from toppra import algorithm, constraint, interpolator

WITHIN = 0.001
FREE = 1e9  # no limit
CELLS = 500  # of the grid, for each move, close to each other at its ends
SIDES = 128  # half-planes instead of a circle: beyond it by half of 1 - cos(pi / 128), 1.5e-4, either way

PLOVER = {"speed_mm_s": (50.0, 50.0, 20.0), "accel_mm_s2": (400.0, 400.0, 200.0)}
UNLIKE = {"speed_mm_s": (50.0, 40.0, 20.0), "accel_mm_s2": (400.0, 300.0, 200.0)}
ALIKE = {"speed_mm_s": (50.0, 50.0, 50.0), "accel_mm_s2": (400.0, 400.0, 400.0)}


class Way(interpolator.AbstractGeometricPath):
    """The path of a program's moves, by the way gone: X, Y, Z and that way itself."""

    def __init__(self, moves):
        self.moves = moves
        self.begin = np.concatenate([[0.0], np.cumsum(moves.length_mm)])

    @property
    def dof(self):
        return 4

    @property
    def path_interval(self):
        return self.begin[[0, -1]]

    def rows(self, way):
        """Return the move at each place of the path; at a junction the later one."""
        return np.clip(np.searchsorted(self.begin, way, side="right") - 1, 0, len(self.moves) - 1)

    def __call__(self, path_positions, order=0):
        way = np.atleast_1d(np.asarray(path_positions, dtype=np.float64))
        found = np.column_stack([self.places(way, order), [way, np.ones_like(way), np.zeros_like(way)][order]])
        return found if np.ndim(path_positions) else found[0]

    def places(self, way, order):
        """Return X, Y, Z or their first or second derivative by the way."""
        moves, rows = self.moves, self.rows(way)
        gone, length = (way - self.begin[rows])[:, None], moves.length_mm[rows][:, None]
        start, end = moves.start_mm[rows], moves.end_mm[rows]
        found = [start + (end - start) / length * gone, (end - start) / length, np.zeros_like(start)][order]
        arcs = np.flatnonzero(moves.kind[rows] == Kind.ARC)
        plane, pick = moves.plane[rows[arcs]], np.arange(len(arcs))
        first, second = shapes.FIRST[plane], shapes.SECOND[plane]
        centre = moves.centre_mm[rows[arcs]]
        arm = start[arcs] - centre
        radius = np.hypot(arm[pick, first], arm[pick, second])
        rate = 2 * np.pi * moves.turns[rows[arcs]] / length[arcs, 0]  # rad/mm
        angle = np.arctan2(arm[pick, second], arm[pick, first]) + rate * gone[arcs, 0] + order * np.pi / 2
        middle = centre if order == 0 else np.zeros_like(centre)
        found[arcs, first] = middle[pick, first] + radius * rate**order * np.cos(angle)
        found[arcs, second] = middle[pick, second] + radius * rate**order * np.sin(angle)
        return found


def least_s(text, speeds, *bounds):
    """Return the least time along a program's path by toppra [s]."""
    way = Way(moves_of(text))
    shares = (1 - np.cos(np.linspace(0, np.pi, CELLS + 1))) / 2
    grid = np.append(way.begin[:-1, None] + way.moves.length_mm[:, None] * shares[:-1], way.begin[-1])

    def limits(place):
        feed = float(way.moves.feed_mm_min[way.rows(place)])
        most = np.array([*speeds, FREE if math.isnan(feed) else feed / 60])
        return np.column_stack([-most, most])

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = algorithm.TOPPRA(
            [constraint.JointVelocityConstraintVarying(limits), *bounds], way, gridpoints=grid, solver_wrapper="seidel"
        )
        _, speed, _ = found.compute_parameterization(0, 0)
    return float((2 * np.diff(grid) / (speed[1:] + speed[:-1])).sum())


def by_axis(accelerations):
    """Return that each axis has its own greatest acceleration."""
    most = np.array([*accelerations, FREE])
    return constraint.JointAccelerationConstraint(np.column_stack([-most, most]))


def circle_of_sides():
    """Return half-planes instead of a circle of radius 1, half of each within it and half beyond: (n, 2) and (n,)."""
    angles = 2 * np.pi * (np.arange(SIDES) + 0.5) / SIDES
    return np.column_stack([np.cos(angles), np.sin(angles)]), np.full(SIDES, (1 + math.cos(math.pi / SIDES)) / 2)


def by_sides(sides, far):
    """Return that the acceleration keeps within half-planes, which a place may turn."""
    return constraint.SecondOrderConstraint(
        lambda _place, _speed, change: change,
        sides,
        lambda _place: far,
        4,
        discretization_scheme=constraint.DiscretizationType.Collocation,
    )


def by_norm(acceleration, axes):
    """Return that two axes together have a greatest acceleration."""
    sides, far = circle_of_sides()
    normals = np.zeros((SIDES, 4))
    normals[:, axes] = sides
    return by_sides(lambda _place: normals, far * acceleration)


def by_ellipse(inwards, along_z, centre):
    """Return that the acceleration towards the middle of a helix and that along Z share one limit."""
    sides, far = circle_of_sides()

    def turned(place):
        arm = (place[:2] - centre) / np.hypot(*(place[:2] - centre))
        return np.column_stack([sides[:, :1] / inwards * arm, sides[:, 1] / along_z, np.zeros(SIDES)])

    return by_sides(turned, far)


@pytest.fixture(autouse=True)
def _quiet():
    logger = logging.getLogger("toppra")
    level = logger.level
    logger.setLevel(logging.CRITICAL)
    yield
    logger.setLevel(level)


def agree(text, limits, *bounds):
    for rule in ("tolerance", "constant"):
        ours = driven(text, corners=rule, **limits).timeline.total_s
        theirs = least_s(text, limits["speed_mm_s"], *bounds)
        assert ours == pytest.approx(theirs, rel=WITHIN)


DIRECTIONS = [
    (100, 0, 0), (0, 0, -5), (3, 4, 0), (30, -40, 12), (-1, -200, 1), (0.5, 0.5, 0.5), (60, 0.001, 2), (0.01, 0, 0.02),
]  # fmt: skip


@pytest.mark.parametrize("limits", [PLOVER, UNLIKE])
@pytest.mark.parametrize("words", ["G0", "G1 F600", "G1 F1800", "G1 F9000"])
@pytest.mark.parametrize("direction", DIRECTIONS)
def test_straight_moves(direction, words, limits):
    text = words + " X{} Y{} Z{}".format(*direction)
    agree(text, limits, by_axis(limits["accel_mm_s2"]))


@pytest.mark.parametrize("limits", [PLOVER, UNLIKE])
@pytest.mark.parametrize(
    "feeds",
    [(1800,) * 7, (600, 1800, 900, 9000, 300, 1200, 2400), (9000, 60, 9000, 60, 9000, 60, 9000)],
)
def test_a_straight_chain_of_lines_each_with_its_feed(feeds, limits):
    places = (1.5, 2.0, 7.0, 7.25, 12.0, 40.0, 41.0)
    text = "\n".join(f"G1 X{3 * at} Y{-2 * at} Z{at / 2} F{feed}" for at, feed in zip(places, feeds, strict=True))
    agree(text, limits, by_axis(limits["accel_mm_s2"]))


XY, ZX, YZ = (0, 1), (2, 0), (1, 2)
ROUND = {
    "circle": ("G2 X0 Y0 I10 J0", XY),
    "small circle": ("G3 X0 Y0 I0 J0.5", XY),
    "quarter": ("G3 X5 Y5 I0 J5", XY),
    "a little of a wide arc": ("G2 X20 Y0 I10 J-200", XY),
    "upright": ("G18 G2 X8 Z8 I8", ZX),
    "crosswise": ("G19 G3 Y4 Z-3 R3", YZ),
    "helix": ("G3 X0 Y0 Z-4 I6 J0", XY),
    "helix at 43 degrees": ("G2 X10 Y0 Z14.65 I5 J0", XY),
    "upright helix": ("G18 G3 X0 Z0 Y5 I2 K3", ZX),
}


@pytest.mark.parametrize("feed", [300, 1500, 3000])
@pytest.mark.parametrize("shape", ROUND)
def test_arcs_circles_and_helices(shape, feed):
    text, axes = ROUND[shape]
    agree(f"{text} F{feed}", ALIKE, by_norm(400, axes), by_axis(ALIKE["accel_mm_s2"]))


@pytest.mark.parametrize("feed", [300, 1500, 3000])
@pytest.mark.parametrize("along_z", [400.0, 200.0, 100.0])
@pytest.mark.parametrize("rise", [6.5, 8, -15, 40])
def test_steep_helices(rise, along_z, feed):
    limits = ALIKE | {"accel_mm_s2": (400.0, 400.0, along_z)}
    agree(f"G2 X0 Y0 Z{rise} I1 J0 F{feed}", limits, by_ellipse(400, along_z, np.array([1.0, 0.0])))


TANGENT = {
    "stadium": "G1 X30\nG3 X30 Y10 J5\nG1 X0\nG3 X0 Y0 J-5",
    "tray": "G1 X20\nG3 X22 Y2 J2\nG1 Y12\nG3 X20 Y14 I-2\nG1 X0\nG3 X-2 Y12 J-2\nG1 Y2\nG3 X0 Y0 I2",
    "narrower and narrower": "G3 X0 Y20 J10\nX0 Y8 J-6\nX0 Y12 J2\nX0 Y11 J-0.5",
    "this way and that": "G3 X6 Y6 J6\nG2 X9 Y9 I3\nG1 X20\nG2 X24 Y5 J-4",
}


@pytest.mark.parametrize("feed", [300, 1500, 3000])
@pytest.mark.parametrize("shape", TANGENT)
def test_lines_and_arcs_that_touch(shape, feed):
    agree(f"F{feed}\n{TANGENT[shape]}", ALIKE, by_norm(400, XY))

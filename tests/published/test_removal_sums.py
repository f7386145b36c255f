"""Volumes, areas and depths of cuts in closed form: sums done outside the project.

The formulas are those of solid geometry: the volumes that a flat, a ball and a vee bit sweep along a line were worked
out by other hands than the engine's, and so was how far off they are on cells of a given pitch, by a prototype at sixty
random headings. The engine has to be as near. Ways along rows or on their diagonal are the worst for any field of
cells, for whole rows of them lie on one side of an edge or the other: they are drawn apart, with the bound that this
gives. Areas stand beside unions of polygons, by shapely.

Scallop and vee width are the usual formulas of the trade, of the same working.
"""

import math

import numpy as np
import pytest
import shapely
from removal import swept
from removal.carved import carved, lines, word

HEADINGS = 60
LENGTH, DEEP, RADIUS = 60.0, 2.0, 3.0
BOARD = {"size": (76.0, 76.0), "low": (-38.0, -38.0)}
ROUND = 512  # segments to a quarter of a circle


def slot(radius=RADIUS, length=LENGTH):
    return (2 * radius * length + math.pi * radius**2) * DEEP


def ramp():
    return RADIUS * LENGTH * DEEP + math.pi * RADIUS**2 * DEEP


def groove():
    segment = RADIUS**2 * math.acos(1 - DEEP / RADIUS) - (RADIUS - DEEP) * math.sqrt(2 * RADIUS * DEEP - DEEP**2)
    return segment * LENGTH + math.pi * DEEP**2 * (3 * RADIUS - DEEP) / 3


def vee_groove():
    return DEEP**2 * LENGTH + math.pi * DEEP**3 / 3


def headings(seed):
    """Return headings that keep ten degrees off the rows, the columns and their diagonals."""
    chance = np.random.default_rng(seed)
    return np.radians(chance.uniform(10, 35, HEADINGS) + 45 * chance.integers(0, 8, HEADINGS))


# What is cut; bit; depth at the start; true volume; for each pitch the error [mean, root of mean square, greatest]
# that the prototype was found to have.
CASES = {
    "flat slot": (
        swept.flat(RADIUS), DEEP, slot(),
        {0.5: (8e-5, 1.3e-3, 3.3e-3), 0.25: (2e-5, 4e-4, 1.7e-3), 0.125: (4e-5, 2e-4, 8e-4)},
    ),
    "flat ramp": (
        swept.flat(RADIUS), 0.0, ramp(),
        {0.5: (9e-5, 2.0e-3, 7e-3), 0.25: (9e-5, 7e-4, 2.5e-3), 0.125: (3e-5, 4e-4, 1.6e-3)},
    ),
    "ball groove": (
        swept.ball(RADIUS), DEEP, groove(),
        {0.5: (1e-5, 1.5e-4, 5.5e-4), 0.25: (3e-6, 2.2e-5, 5.4e-5), 0.125: (1e-6, 4e-6, 1.5e-5)},
    ),
    "vee groove": (
        swept.vee(6.0, 90.0), DEEP, vee_groove(),
        {0.5: (6e-6, 1.2e-4, 5e-4), 0.25: (1e-6, 1.5e-5, 8e-5), 0.125: (7e-7, 7e-6, 5e-5)},
    ),
}  # fmt: skip
# These are other headings than the prototype's, and a few happen to run along cells again (two across, one up, and so
# on): those apart, nine of ten are as near as its, give or take what sixty headings can tell. Each is within the bound
# for a way along the diagonals, where rows of cells lie 0.71 pitches apart: the whole of one row is in or out.
MORE, NEAREST = 1.5, 54


@pytest.mark.parametrize("pitch", [0.5, 0.25, 0.125])
@pytest.mark.parametrize("name", CASES)
def test_volumes_of_straight_cuts_at_any_heading(name, pitch):
    bit, before, true, errors = CASES[name]
    off = []
    for number, heading in enumerate(headings(1)):
        x, y = LENGTH / 2 * math.cos(heading), LENGTH / 2 * math.sin(heading)
        at = 0.37 * pitch * (number % 7), 0.23 * pitch * (number % 5)
        program = lines((at[0] - x, at[1] - y, -before), (at[0] + x, at[1] + y, -DEEP))
        board = carved(program, bit, pitch=pitch, **BOARD)
        assert board.volume == pytest.approx(board.lowered, rel=1e-5)
        off.append(board.volume / true - 1)
    mean, deviation, greatest = errors[pitch]
    near = np.array(sorted(off, key=abs)[:NEAREST])
    assert np.sqrt(np.mean(near**2)) <= MORE * deviation
    assert np.abs(near).max() <= MORE * greatest
    assert abs(near.mean()) <= mean + 4 * deviation / math.sqrt(NEAREST)
    assert np.abs(off).max() <= math.sqrt(0.5) * pitch / (2 * RADIUS)


@pytest.mark.parametrize("pitch", [0.5, 0.25])
def test_slots_along_rows_and_columns_are_the_worst(pitch):
    """Whole rows lie inside or outside: off by one row at most, of 25.4 or 12.7 that are as wide as the bit."""
    radius, length, off = 3.175, 40.0, []
    for number in range(40):
        at = number * pitch / 20
        ends = ((-20, at), (20, at)) if number % 2 else ((at, -20), (at, 20))
        board = carved(lines(*((*end, -DEEP) for end in ends)), swept.flat(radius), pitch=pitch, **BOARD)
        off.append(board.volume / slot(radius, length) - 1)
    assert np.abs(off).max() <= pitch / (2 * radius)
    assert np.abs(off).max() >= 0.2 * pitch / (2 * radius)  # the bound is not idle
    assert abs(np.mean(off)) <= 0.01


@pytest.mark.parametrize(("pitch", "most"), [(0.25, 4e-4), (0.125, 4e-4)])
def test_area_of_a_zigzag(pitch, most):
    """The prototype was off by 2.0e-4 and 6e-5, on a zigzag of fifty times this length."""
    corners = [(10 + 6 * number, 8 if number % 2 else 72) for number in range(9)]
    board = carved(lines(*((x, y, -1) for x, y in corners)), swept.flat(RADIUS), size=(80, 80), pitch=pitch)
    true = shapely.LineString(corners).buffer(RADIUS, quad_segs=ROUND).area
    assert board.area == pytest.approx(true, rel=most)
    assert board.volume == pytest.approx(true, rel=most)


@pytest.mark.parametrize(("pitch", "most"), [(0.25, 6e-4), (0.125, 3e-4)])
def test_area_of_twenty_rings(pitch, most):
    """The prototype was off by 1.3e-4 and 3e-5 on ten times as much area."""
    chance = np.random.default_rng(3)
    program, rings = [], []
    for _ in range(20):
        x, y, radius = *chance.uniform(20, 80, 2), chance.uniform(1, 12)
        there = word(x + radius, y)
        program += ["G0 Z5", f"G0 {there}", "G1 Z-1 F900", f"G3 {there} I{-radius:.9f} J0"]
        rings.append(shapely.Point(x, y).buffer(radius, quad_segs=ROUND).exterior.buffer(RADIUS, quad_segs=ROUND))
    board = carved("\n".join(program), swept.flat(RADIUS), size=(100, 100), pitch=pitch)
    true = shapely.union_all(rings).area
    assert board.area == pytest.approx(true, rel=most)
    assert board.volume == pytest.approx(true, rel=most)


def ring(radius):
    """Return the area that a bit sweeps along a circle."""
    return math.pi * ((radius + RADIUS) ** 2 - max(radius - RADIUS, 0) ** 2)


@pytest.mark.parametrize("radius", [20.0, 10.0, 1.5])
@pytest.mark.parametrize("way", [2, 3])
def test_circles_and_helices(radius, way):
    """A helix that ends with a circle at its depth leaves what the circle alone leaves; edges are off as on a ruler.

    How far an area is off: cells along its edges, each of which is in or out with even chances, so the root of their
    number, times four.
    """
    pitch = 0.125
    there, middle = word(40 + radius, 40), f"I{-radius} J0"
    circle = f"G0 {there}\nG1 Z-2 F900\nG{way} {there} {middle}"
    turns = [f"G{way} {there} Z{z} {middle}" for z in (-1, -2)]
    helix = "\n".join([f"G0 {there}", "G0 Z1", "G1 Z0 F900", *turns, f"G{way} {there} {middle}"])
    edges = 2 * math.pi * (radius + RADIUS + max(radius - RADIUS, 0))
    allowed = 4 * math.sqrt(edges / pitch) * pitch**2 * DEEP
    for program in (circle, helix):
        board = carved(program, swept.flat(RADIUS), size=(80, 80), pitch=pitch)
        assert board.volume == pytest.approx(ring(radius) * DEEP, abs=allowed)
        assert board.lowered == pytest.approx(board.volume, rel=1e-5)
        cut = board.heights[board.heights < 0]
        assert cut == pytest.approx(np.full(len(cut), -DEEP), abs=1e-6)


def test_scallops_of_a_ball():
    """h = R - root(R^2 - s^2 / 4): R 3, s 0.3 gives 3.75 um, R 3.175, s 0.504 gives 10 um."""
    for radius, step, printed in ((3.0, 0.3, 3.75e-3), (3.175, 0.504, 10e-3)):
        corners = []
        for number in range(24):
            x = 20 + step * number
            corners += [(x, 5, -1), (x, 15, -1)] if number % 2 else [(x, 15, -1), (x, 5, -1)]
        board = carved(lines(*corners), swept.ball(radius), size=(40, 20), pitch=0.02)
        x, y = swept.middles(board.grid)
        middle = board.heights[(y[:, 0] > 8) & (y[:, 0] < 12)][:, (x[0] > 22) & (x[0] < 20 + 22 * step)]
        top = radius - math.sqrt(radius**2 - step**2 / 4)
        assert top == pytest.approx(printed, rel=3e-3)
        # The highest middle of a cell lies within half a cell of the ridge, whose slope is s / 2R.
        assert -1 + top - 0.01 * step / (2 * radius) - 2e-6 <= middle.max() <= -1 + top + 2e-6
        assert middle.min() == pytest.approx(-1, abs=0.01**2 / (2 * radius) + 2e-6)


@pytest.mark.parametrize(
    ("included", "tip", "deep", "printed"), [(60.0, 0.0, 3.0, 3.464), (60.0, 0.25, 3.0, 3.964), (90.0, 0.0, 4.0, 8.0)]
)
def test_width_of_a_vee(included, tip, deep, printed):
    """w = tip + 2 d tan(angle / 2): 60 degrees, d 3 gives 3.464 mm, with a tip of 0.5 mm 3.964; 90, w 8 needs d 4."""
    bit = swept.vee(8.0, included, tip)
    board = carved(lines((10, 11.03, -deep), (30, 11.03, -deep)), bit, size=(40, 22), pitch=0.02)
    across = np.count_nonzero(board.heights[:, 1000] < 0) * 0.02
    assert across == pytest.approx(printed, abs=0.02 + 5e-4)

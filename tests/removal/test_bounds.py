"""How far the field may be off between the middles of its cells: at random places, against the true surface."""

import math

import numpy as np
import pytest
from driven import moves_of
from removal import naive, swept
from removal.carved import carved, lines, removed

from cutworthy.model.program import Kind, Plane
from cutworthy.removal.carve import ROUNDING_MM
from cutworthy.removal.path import MERGE_MM, SAGITTA_MM

STEP = 0.02  # of places along the true way
POINTS = 1000
START = (8.0, 8.0, -0.5)


def wild_program(seed):
    """Return short lines that are joined, long ones, arcs and helices over a board of 24 by 20 mm."""
    chance = np.random.default_rng(seed)
    x, y, z = START
    words = ["F900"]
    for _ in range(14):
        kind = chance.choice(["short", "line", "arc", "plunge"])
        if kind == "short":
            heading = chance.uniform(0, 2 * math.pi)
            for _ in range(15):
                heading += chance.normal() * 0.02
                x, y, z = (
                    x + 0.2 * math.cos(heading),
                    y + 0.2 * math.sin(heading),
                    min(-0.2, z + chance.normal() * 0.02),
                )
                words.append(f"G1 X{x:.4f} Y{y:.4f} Z{z:.4f}")
        elif kind == "line":
            x, y, z = chance.uniform(4, 20), chance.uniform(4, 16), chance.uniform(-3, -0.2)
            words.append(f"G1 X{x:.4f} Y{y:.4f} Z{z:.4f}")
        elif kind == "plunge":
            z = chance.uniform(-3, -0.2)
            words.append(f"G1 Z{z:.4f}")
        else:
            radius, z = chance.uniform(0.6, 4), chance.uniform(-3, -0.2)
            heading, turn = chance.uniform(0, 2 * math.pi), chance.uniform(0.5, 5)
            i, j = -radius * math.cos(heading), -radius * math.sin(heading)
            there = x + i + radius * math.cos(heading + turn), y + j + radius * math.sin(heading + turn)
            words.append(f"G17 G3 X{there[0]:.6f} Y{there[1]:.6f} Z{z:.4f} I{i:.6f} J{j:.6f}")
            x, y = round(there[0], 6), round(there[1], 6)
    return "\n".join(words)


def places(moves):
    """Return places of the true way, each with the slope there, none farther than STEP from the next."""
    found = []
    for row in range(len(moves)):
        start, end = moves.start_mm[row], moves.end_mm[row]
        if moves.kind[row] == Kind.ARC:
            assert moves.plane[row] == Plane.XY
            centre, turns = moves.centre_mm[row], moves.turns[row]
            radius = math.hypot(*(start - centre)[:2])
            run = abs(turns) * 2 * math.pi * radius
            share = np.linspace(0, 1, math.ceil(run / STEP) + 1)
            angle = math.atan2(start[1] - centre[1], start[0] - centre[0]) + 2 * math.pi * turns * share
            x, y = centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)
        else:
            run = math.hypot(*(end - start)[:2])
            share = np.linspace(0, 1, math.ceil(run / STEP) + 1) if run else np.array([float(end[2] < start[2])])
            x, y = (start[axis] + share * (end - start)[axis] for axis in (0, 1))
        z = start[2] + share * (end[2] - start[2])
        slope = abs(end[2] - start[2]) / run if run else 0.0
        found.append(np.stack([x, y, z, np.full_like(x, slope)], axis=1))
    return np.concatenate(found)


def bounds(bit, way, x, y, aside):
    """Return between what heights the true surface is within ``aside`` of each place.

    The least there is what a bit wider by so much leaves, the greatest no more than what a thinner one does. Half a
    step more on the lower side, for places between those looked at.
    """
    r = np.hypot(x[:, None] - way[:, 0], y[:, None] - way[:, 1])
    wider = naive.above_tip(bit, np.maximum(r - aside - STEP / 2, 0))
    least = (way[:, 2] - way[:, 3] * STEP / 2 + wider).min(axis=1)
    greatest = (way[:, 2] + naive.above_tip(bit, r + aside)).min(axis=1)
    return np.minimum(least, 0.0), np.minimum(greatest, 0.0)


def nearest(board, x, y):
    """Return the heights of the cells that places lie in."""
    rows, columns = board.grid.inside
    row = np.rint((y - board.grid.y0_mm) / board.grid.pitch_mm).astype(int) - rows.start
    column = np.rint((x - board.grid.x0_mm) / board.grid.pitch_mm).astype(int) - columns.start
    return board.heights[row, column]


@pytest.mark.parametrize(("name", "pitch"), [*((name, 0.25) for name in sorted(swept.BITS)), ("flat", 0.1)])
def test_walls_are_right_within_half_a_diagonal_sideways(name, pitch):
    """Each cell's height is one that the true surface has within ``edge_mm`` of every place in the cell."""
    bit, too_high = swept.BITS[name]
    edge = pitch / math.sqrt(2) + SAGITTA_MM + MERGE_MM + ROUNDING_MM
    chance = np.random.default_rng(5)
    for seed in range(2):
        moves = moves_of(wild_program(seed), START)
        board = carved(moves, bit, size=(24.0, 20.0), pitch=pitch)
        x, y = chance.uniform(0.5, 23.5, POINTS), chance.uniform(0.5, 19.5, POINTS)
        least, greatest = bounds(bit, places(moves), x, y, edge)
        height = nearest(board, x, y)
        assert (height >= least - MERGE_MM - swept.ROUNDING_MM).all()
        assert (height <= greatest + MERGE_MM + too_high + swept.ROUNDING_MM).all()
        assert np.count_nonzero(height < -0.1) > POINTS / 8


def test_the_bound_of_walls_is_not_idle():
    """With half of it there are places whose cell is higher or lower than all that is near them."""
    bit, moves = swept.flat(), moves_of(wild_program(0), START)
    board = carved(moves, bit, size=(24.0, 20.0), pitch=0.25)
    chance = np.random.default_rng(5)
    x, y = chance.uniform(0.5, 23.5, POINTS), chance.uniform(0.5, 19.5, POINTS)
    least, greatest = bounds(bit, places(moves), x, y, 0.05)
    height = nearest(board, x, y)
    assert np.count_nonzero((height < least - 0.01) | (height > greatest + 0.01)) > 3


@pytest.mark.parametrize(
    ("shape", "grown"), [("flat", 1), ("ball", 1), ("vee", 1), ("flat", -1), ("ball", -1), ("vee", -1)]
)
def test_two_more_fields_bound_the_true_surface(shape, grown):
    """The bit wider or thinner by half a diagonal: what it leaves at a middle bounds the surface in all the cell.

    The wider one's tip is flat, and a thinner ball is a pointed one: those that start with a bend are tested here.
    """
    edge = 0.25 / math.sqrt(2) + SAGITTA_MM + MERGE_MM + ROUNDING_MM
    radius, aside = 2.0, edge * grown
    bits = {
        "flat": (swept.flat(radius), swept.flat(radius + aside)),
        "ball": (swept.ball(radius), swept.profile(3, radius + aside, inner_mm=aside, round_mm=radius)),
        "vee": (swept.vee(radius), swept.vee(radius + aside, 90.0, aside)),
    }
    bit, other = bits[shape]
    moves = moves_of(wild_program(2), START)
    board = carved(moves, other, size=(24.0, 20.0), pitch=0.25)
    chance = np.random.default_rng(6)
    x, y = chance.uniform(0.5, 23.5, POINTS), chance.uniform(0.5, 19.5, POINTS)
    least, greatest = bounds(bit, places(moves), x, y, 0.0)
    height = nearest(board, x, y)
    # Where a bull bit's lowest place is found in steps it may be too high, by 0.4 edge^2 / radius on the prototype.
    allowed = MERGE_MM + swept.ROUNDING_MM + (0.4 * edge**2 / radius if shape == "ball" else 0.0)
    if grown > 0:
        assert (height <= greatest + allowed).all()
    else:
        assert (height >= least - allowed).all()


# Heights on floors and slopes, as the surface promises them.


def test_floors_of_an_arc_down_and_up_are_within_the_height_error(workshop):
    """Chords of an arc in the plane of X and Z lie above its lowest places, by what arcs may be off at most."""
    program = "G21 G90 G18\nG0 Z20\nG0 X60 Y50\nG1 Z-1 F600\nG2 X100 Z-1 I20 K150\nG17\nG0 Z20\nM2"
    surface = removed(workshop, program, job=BALL).surface
    chance = np.random.default_rng(2)
    x, y = chance.uniform(75, 85, POINTS), np.full(POINTS, 50.0)
    radius = math.hypot(20, 150)
    row, column = (
        np.rint((places - corner) / surface.pitch_mm).astype(int)
        for places, corner in ((y, surface.corner_mm[1]), (x, surface.corner_mm[0]))
    )
    middle_x = surface.corner_mm[0] + column * surface.pitch_mm
    middle_y = surface.corner_mm[1] + row * surface.pitch_mm
    # The middle of the ball runs along the arc, 3 mm higher: it leaves the surface of a torus as wide as the ball.
    wide = np.sqrt(9 - (middle_y - 50) ** 2)
    true = -1 + 150 + 3 - np.sqrt((radius + wide) ** 2 - (middle_x - 80) ** 2)
    assert abs(surface.heights_mm[row, column] - true).max() <= surface.height_error_mm


VEE = {'kind = "flat"': 'kind = "vee"\nangle = "90 deg"'}
BALL = {'kind = "flat"': 'kind = "ball"'}


def off(surface, x, y, true):
    """Return by how much the heights of the cells that places lie in are off."""
    column = np.rint((x - surface.corner_mm[0]) / surface.pitch_mm).astype(int)
    row = np.rint((y - surface.corner_mm[1]) / surface.pitch_mm).astype(int)
    return abs(surface.heights_mm[row, column] - true)


def along_the_cut(heading, most_beside):
    """Return places beside a straight cut of 60 mm from (50, 50), and how far along and beside it they are."""
    chance = np.random.default_rng(8)
    u, q = chance.uniform(5, 55, POINTS), chance.uniform(-most_beside, most_beside, POINTS)
    x = 50 + u * math.cos(heading) - q * math.sin(heading)
    y = 50 + u * math.sin(heading) + q * math.cos(heading)
    return x, y, u, q


def straight(heading, before, after):
    x, y = 50 + 60 * math.cos(heading), 50 + 60 * math.sin(heading)
    return "\n".join([
        "G21 G90 G17", "G0 Z20", "G0 X50 Y50", f"G1 Z{before} F600", f"G1 X{x:.6f} Y{y:.6f} Z{after}", "G0 Z20", "M2"
    ])  # fmt: skip


@pytest.mark.parametrize("heading", [0.0, 0.3, 1.1])
def test_floors_are_within_the_height_error(workshop, heading):
    surface = removed(workshop, straight(heading, -2, -2)).surface
    x, y, _, _ = along_the_cut(heading, 3 - 1.01 * surface.edge_mm)
    assert surface.height_error_mm < 0.01
    assert off(surface, x, y, -2.0).max() <= surface.height_error_mm


@pytest.mark.parametrize("heading", [0.0, 0.3, 1.1])
def test_flanks_of_a_vee_are_within_the_height_error(workshop, heading):
    surface = removed(workshop, straight(heading, -2, -2), job=VEE).surface
    x, y, _, q = along_the_cut(heading, 2.0)
    worst = off(surface, x, y, -2 + abs(q)).max()
    assert worst <= surface.height_error_mm
    assert worst >= 0.4 * surface.height_error_mm


@pytest.mark.parametrize("heading", [0.3])
def test_slopes_of_a_ramp_are_within_the_height_error(workshop, heading):
    """A flat bit going down leaves at each place the height of its rear edge there: the bit's lowest."""
    surface = removed(workshop, straight(heading, -1, -13)).surface
    x, y, u, q = along_the_cut(heading, 2.0)
    true = -1 - 0.2 * np.minimum(60, u + np.sqrt(9 - q**2))
    assert off(surface, x, y, true).max() <= surface.height_error_mm


@pytest.mark.parametrize("heading", [0.3])
def test_slopes_of_a_ball_groove_are_within_the_height_error(workshop, heading):
    """As steep as one in one, no more: beyond it stands more like a wall."""
    surface = removed(workshop, straight(heading, -2, -2), job=BALL).surface
    x, y, _, q = along_the_cut(heading, 2.0)
    true = -2 + 3 - np.sqrt(9 - q**2)
    assert off(surface, x, y, true).max() <= surface.height_error_mm


# What a field proves: anything thicker than its cells' diagonal is seen.


def test_a_rib_wider_than_a_cell_is_always_seen():
    """A rapid across a rib left standing between two slots; from the prototype: 150 of 150 from 0.26 mm on.

    A straight long rib as wide as a cell holds a middle of one in every row; thinner ones may hide.
    """
    chance, seen = np.random.default_rng(4), {}
    for width in (0.26, 0.36):
        seen[width] = 0
        for _ in range(20):
            at, heading = chance.uniform(19, 20), chance.uniform(0, 2 * math.pi)
            across = np.array([-math.sin(heading), math.cos(heading)])
            along = np.array([math.cos(heading), math.sin(heading)])
            middle = np.array([at, at])
            program = []
            for side in (-1, 1):
                axis = middle + side * (2 + width / 2) * across
                a, b = axis - 9 * along, axis + 9 * along
                program += ["G0 Z5", *lines((*a, -2), (*b, -2)).split("\n")]
            a, b = middle - 3 * across, middle + 3 * across
            program += ["G0 Z5", f"G0 X{a[0]:.6f} Y{a[1]:.6f}", "G0 Z-1", f"G0 X{b[0]:.6f} Y{b[1]:.6f}"]
            board = carved("\n".join(program), swept.flat(2.0), size=(40, 40), pitch=0.25)
            rapids = board.told.rapid == 1
            seen[width] += board.told.depth_mm[rapids].max() == pytest.approx(1.0, abs=1e-3)
    assert seen == {0.26: 20, 0.36: 20}

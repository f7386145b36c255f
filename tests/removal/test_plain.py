"""The sweep without the compiler: against its twins, and against the kernel, of which it is the double."""

import numpy as np
import pytest
from removal import swept
from removal.swept import BITS, ROUNDING_MM

NAMES = sorted(BITS)
VOLUME, DEPTH, CELLS, LOW, HIGH = range(5)


@pytest.mark.parametrize("name", NAMES)
def test_beside_its_twins(name):
    bit, too_high = BITS[name]
    grid = swept.board()
    x, y = swept.middles(grid)
    for seed in range(12):
        way = swept.wild(seed, 8)
        heights, _ = swept.plain_sweep(bit, way, grid)
        off = heights - swept.searched(bit, way.ends, x, y)
        far = swept.far_from_rims(bit, way.ends, x, y)
        assert off[far].min() >= -ROUNDING_MM
        assert off[far].max() <= too_high + ROUNDING_MM
        if seed < 2:
            assert (heights >= swept.lowest(bit, way.ends, x, y) - ROUNDING_MM).all()
            assert (heights <= swept.highest(bit, way.ends, x, y) + too_high + ROUNDING_MM).all()


@pytest.mark.parametrize("name", NAMES)
def test_plain_and_compiled(name):
    """Surfaces within 1e-5 mm, and all that is found alike.

    The kernel tells depths in whole 1e-4 mm, cut off. What is lowered by 1e-4 mm, give or take the rounding of heights,
    may count as lowered for one of them only: no cell of these ways is.
    """
    bit, _ = BITS[name]
    grid = swept.board()
    for seed in range(40):
        way = swept.wild(seed, 8, testing=seed % 2 == 1)
        heights, found = swept.plain_sweep(bit, way, grid, test_bit=bit.shrunk(0.01))
        kernels, also = swept.compiled_sweep(bit, way, grid, test_bit=bit.shrunk(0.01))
        assert heights == pytest.approx(kernels, abs=1e-5)
        assert also[:, VOLUME] == pytest.approx(found[:, VOLUME], rel=1e-5, abs=2e-5)
        assert also[:, DEPTH] == pytest.approx(found[:, DEPTH], abs=1.1e-4)
        assert (also[:, CELLS] == found[:, CELLS]).all()
        assert also[:, LOW] == pytest.approx(found[:, LOW], abs=1e-5)
        assert also[:, HIGH] == pytest.approx(found[:, HIGH], abs=1e-5)


def test_a_rapid_that_goes_on_tells_only_the_wood_ahead():
    """What the first of two rapids met is still there for the second: it tells what leads beyond its start, no more.

    So mirrored rapids tell mirrored wood, whatever is looked at of each row.
    """
    bit = swept.flat(3.0)
    for far in (9.0, 3.0):
        way = swept.through((6, 5, 1), (6, 5, -1), (far, 5, -1), testing=[0, 1])
        grid = swept.board(pitch=0.25)
        _, plain = swept.plain_sweep(bit, way, grid)
        _, found = swept.compiled_sweep(bit, way, grid)
        assert plain[:, VOLUME] == pytest.approx([np.pi * 9, 18.0], rel=0.04)
        assert found[:, VOLUME] == pytest.approx(plain[:, VOLUME], rel=1e-5)
        assert (found[:, CELLS] == plain[:, CELLS]).all()


def test_stretches_of_a_rapid_add_up_whatever_the_bit():
    """A ball and a vee dragged 12 mm in four stretches through wood 0.5 mm deep, and 1 mm down on the way.

    Most of what a stretch meets lies beside the bit as it begins, though not under it: the wood stays, but each part
    of it is told once. So all stretches together tell what one piece tells.
    """
    grid = swept.board(pitch=0.125)
    for bit in (swept.flat(3.0), swept.ball(3.0), swept.vee(3.0), swept.bull(3.0)):
        for end in ((10.0, 7.0, -0.5), (2.0, 3.0, -1.5)):
            start = np.array([6.0, 5.0, -0.5])
            shares = np.linspace(0, 1, 5)[:, None]
            parts = swept.through(start, *(start + shares[1:] * (np.array(end) - start)), testing=[0, 1, 2, 3])
            whole = swept.through(start, end, testing=[0])
            for sweep in swept.SWEEPS.values():
                _, told = sweep(bit, parts, grid)
                _, once = sweep(bit, whole, grid)
                assert told[:, VOLUME].sum() == pytest.approx(once[0, VOLUME], rel=0.01)
                assert (told[1:, VOLUME] > 0).all()


@pytest.mark.parametrize("name", NAMES)
def test_leading_cells_are_enough(name):
    bit, too_high = BITS[name]
    grid = swept.board()
    for seed in range(30):
        way = swept.wild(seed, 6)
        led, _ = swept.plain_sweep(bit, way, grid)
        stamped, _ = swept.plain_sweep(bit, way.all_entering(), grid)
        assert led == pytest.approx(stamped, abs=8e-3 if too_high else ROUNDING_MM)


@pytest.mark.parametrize("name", ["vee", "taper"])
def test_a_fall_steeper_than_the_flank_right_over_a_cell(name):
    """As in ``tests/kernels/test_sweeping.py``."""
    bit, _ = BITS[name]
    inside = (slice(10, 20), slice(10, 20))
    grid = swept.Grid(x0_mm=-10.0, y0_mm=-10.0, pitch_mm=1.0, rows=30, columns=30, stride=48, inside=inside)
    way = swept.through((1, 4, -0.5), (1.75, 4, -0.5 - 0.75 * 1.5 * bit.slope))
    heights, _ = swept.plain_sweep(bit, way, grid, floor=-30.0)
    assert heights == pytest.approx(swept.searched(bit, way.ends, *swept.middles(grid), floor=-30.0), abs=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_a_smaller_bit_lies_within_the_whole_one(name):
    """What the bit for testing meets, the bit itself meets: its surface lies above it, and nowhere far."""
    bit, _ = BITS[name]
    for by in (0.01, 0.1):
        small = bit.shrunk(by)
        r = np.linspace(0, small.radius_mm, 2001)
        above = swept.naive.above_tip(small, r) + small.lift_mm - swept.naive.above_tip(bit, r)
        assert above.min() >= -1e-12
        assert small.radius_mm == pytest.approx(bit.radius_mm - by)

"""The sweep of a bit: beside its obvious twins, and what it must be to be kept and trusted."""

import numba
import numpy as np
import pytest
from removal import naive, swept
from removal.swept import BITS, RIM_MM, ROUNDING_MM, through

from cutworthy.kernels import sweeping

COMPILED = not numba.config.DISABLE_JIT
SEEDS = 12 if COMPILED else 1
SMALL = {"size": (12.0, 10.0)} if COMPILED else {"size": (6.0, 5.0)}
PITCH = 0.5 if COMPILED else 1.0
NAMES = sorted(BITS)
VOLUME, DEPTH, CELLS, LOW, HIGH = range(sweeping.OUTPUTS)


@pytest.mark.parametrize("name", NAMES)
def test_the_surface_lies_between_two_bounds_by_brute_force(name):
    """Both bounds come from places of the bit every 0.02 mm: see ``swept.lowest`` for the lower one."""
    bit, too_high = BITS[name]
    grid = swept.board(**SMALL, pitch=PITCH)
    x, y = swept.middles(grid)
    for seed in range(max(1, SEEDS // 6)):
        way = swept.wild(seed, 6, **SMALL)
        heights, _ = swept.compiled_sweep(bit, way, grid)
        assert (heights >= swept.lowest(bit, way.ends, x, y) - ROUNDING_MM).all()
        assert (heights <= swept.highest(bit, way.ends, x, y) + too_high + ROUNDING_MM).all()


@pytest.mark.parametrize("name", NAMES)
def test_the_surface_is_that_of_the_lowest_place_of_the_bit(name):
    bit, too_high = BITS[name]
    grid = swept.board(**SMALL, pitch=PITCH)
    x, y = swept.middles(grid)
    for seed in range(100, 100 + 3 * SEEDS):
        way = swept.wild(seed, 8 if COMPILED else 5, **SMALL)
        heights, _ = swept.compiled_sweep(bit, way, grid)
        off = heights - swept.searched(bit, way.ends, x, y)
        far = swept.far_from_rims(bit, way.ends, x, y)
        assert far.mean() > 0.99
        assert off[far].min() >= -ROUNDING_MM
        assert off[far].max() <= too_high + ROUNDING_MM


# One way of each kind, bit at or in the wood, from (4, 4): which of them lower anything is worked out by brute force.
WAYS = {
    "level": [(4, 4, -1), (8, 5, -1)],
    "level along a row": [(4, 4, -1), (8, 4, -1)],
    "level against a row": [(8, 4, -1), (4, 4, -1)],
    "level along a column": [(4, 4, -1), (4, 7, -1)],
    "rising": [(4, 4, -3), (8, 6, -0.5)],
    "falling": [(8, 4, -0.2), (4, 6, -2.5)],
    "falling almost upright": [(4, 4, 1), (4.02, 4.01, -3)],
    "out of the wood": [(4, 4, -1), (9, 5, 2)],
    "from above into the wood": [(4, 4, 2), (9, 5, -1)],
    "straight down": [(5, 5, 1), (5, 5, -3)],
    "straight up": [(5, 5, -3), (5, 5, 1)],
    "no way at all": [(5, 5, -2), (5, 5, -2)],
    "to and fro": [(4, 4, -1), (8, 6, -2), (4, 4, -1)],
    "crossing itself": [(3, 3, -1), (8, 7, -1), (8, 3, -2), (3, 7, -1)],
    "below the underside": [(4, 4, -1), (8, 6, -9)],
    "past the board": [(-1, 4, -1), (14, 5, -2)],
    "beside the board": [(-9, -9, -1), (-8, 20, -2)],
}


@pytest.mark.parametrize("kind", WAYS)
def test_each_kind_of_way_by_the_most_obvious_twin(kind, monkeypatch):
    """The twin looks at places only, so it may be too high, at rims by the whole depth: ``swept.lowest`` is not."""
    monkeypatch.setattr(naive, "STEPS", 401)
    grid = swept.board(**SMALL, pitch=PITCH)
    x, y = (np.ascontiguousarray(each) for each in np.broadcast_arrays(*swept.middles(grid)))
    way = through(*WAYS[kind])
    for bit, too_high in BITS.values():
        heights, _ = swept.compiled_sweep(bit, way, grid)
        off = heights - naive.surface(bit, WAYS[kind], x, y, 0.0, -6.0)
        far = swept.far_from_rims(bit, way.ends, x, y, margin=swept.TIE_MM)
        assert off[far].max() <= too_high + ROUNDING_MM
        assert (heights >= swept.lowest(bit, way.ends, x, y, step=0.05) - ROUNDING_MM).all()


@pytest.mark.parametrize("name", NAMES)
def test_leading_cells_are_enough(name):
    """A piece lowers only cells that lead beyond its start: with the whole disc of each the surface is the same.

    Bull bits find the lowest place in steps, so that a cell may be lower by a place that another piece found for it:
    8 um at most on the prototype.
    """
    bit, too_high = BITS[name]
    grid = swept.board(**SMALL, pitch=PITCH)
    allowed = 8e-3 if too_high else ROUNDING_MM
    for seed in range(1000, 1300 if COMPILED else 1002):
        way = swept.wild(seed, 6, **SMALL)
        led, _ = swept.compiled_sweep(bit, way, grid, told=False)
        stamped, _ = swept.compiled_sweep(bit, way.all_entering(), grid, told=False)
        off = abs(led - stamped)
        assert off.max() <= allowed or off[swept.far_from_rims(bit, way.ends, *swept.middles(grid))].max() <= allowed


@pytest.mark.parametrize("name", NAMES)
def test_testing_pieces_lower_nothing_and_tell_the_wood_that_they_meet(name):
    bit, _ = BITS[name]
    grid = swept.board(**SMALL, pitch=PITCH)
    for seed in range(2000, 2000 + SEEDS):
        way = swept.wild(seed, 6 if COMPILED else 4, **SMALL, testing=True)
        heights, found = swept.compiled_sweep(bit, way, grid)
        testing = way.marks & swept.TESTING != 0
        only_cuts, found_by_cuts = swept.compiled_sweep(bit, way.taken(~testing), grid)
        assert (heights == only_cuts).all()
        assert (found[~testing] == found_by_cuts).all()
        for number in np.flatnonzero(testing):
            before, _ = swept.compiled_sweep(bit, way.taken(np.flatnonzero(~testing[:number])), grid)
            as_cut = swept.Pieces(way.ends[number : number + 1], way.marks[number : number + 1] & swept.ENTERING)
            padded = grid.field(0.0)
            grid.square(padded)[grid.inside] = before
            _, met = swept.compiled_sweep(bit, as_cut, grid, heights=padded)
            assert found[number, VOLUME] == pytest.approx(met[0, VOLUME], rel=1e-5, abs=1e-5)
            assert (found[number, DEPTH:] == met[0, DEPTH:]).all()


def test_testing_pieces_are_tested_with_the_second_profile():
    """A bit that goes back through its own slot, beside it by a hair, meets no wood with the smaller bit."""
    grid = swept.board(**SMALL, pitch=PITCH)
    slot = [(3, 3.0, -2), (3, 3.0, -2), (6, 4.0, -2), (6.003, 3.999, -2), (2.999, 3.003, -2)]
    for bit, _ in BITS.values():
        _, found = swept.compiled_sweep(bit, through(*slot, testing=[2, 3]), grid, test_bit=bit.shrunk(0.01))
        assert found[0, VOLUME] > 0
        assert (found[2:, :CELLS] == 0).all()
        assert (found[2:, LOW] == np.float32(sweeping.FAR)).all()
        assert (found[2:, HIGH] == -np.float32(sweeping.FAR)).all()


@pytest.mark.parametrize("name", NAMES)
def test_what_is_found_by_counting_cells(name):
    """Volume, depth and cells of every piece, from the heights before and after it; q from the cells lowered."""
    bit, _ = BITS[name]
    grid = swept.board(**SMALL, pitch=PITCH)
    x, y = swept.middles(grid)
    way = swept.wild(7, 10 if COMPILED else 4, **SMALL)
    before = grid.square(grid.field(0.0))[grid.inside]
    _, found = swept.compiled_sweep(bit, way, grid)
    for number, (ax, ay, az, bx, by, bz) in enumerate(way.ends):
        after, _ = swept.compiled_sweep(bit, way.taken(np.arange(number + 1)), grid)
        drop = before.astype(np.float64) - after
        cell = grid.pitch_mm**2
        rounding = 1e-4 * (drop > 0).sum() * cell  # what is lowered by less need not count
        assert found[number, VOLUME] == pytest.approx(drop.sum() * cell, rel=1e-5, abs=1e-5 + rounding)
        cut = drop > 1e-4
        assert found[number, CELLS] == pytest.approx(cut.sum(), abs=0.5 + (abs(drop - 1e-4) < ROUNDING_MM).sum())
        if cut.any():
            # Depths are told in steps of 1e-4 mm.
            deepest = (before[cut] - min(az, bz)).max()
            assert found[number, DEPTH] == pytest.approx(deepest, abs=1.1e-4)
            run = np.hypot(bx - ax, by - ay) or 1.0
            ex, ey = ((bx - ax) / run, (by - ay) / run) if bx != ax or by != ay else (1.0, 0.0)
            q = ((y - ay) * ex - (x - ax) * ey)[cut]
            assert found[number, [LOW, HIGH]] == pytest.approx([q.min(), q.max()], abs=1e-5)
        before = after.copy()


def test_without_outputs_the_surface_and_the_volume_are_the_same():
    grid = swept.board(**SMALL, pitch=PITCH)
    way = swept.wild(3, 8 if COMPILED else 4, **SMALL)
    for bit, _ in BITS.values():
        heights, found = swept.compiled_sweep(bit, way, grid, told=True)
        bare, only_volume = swept.compiled_sweep(bit, way, grid, told=False)
        assert bare == pytest.approx(heights, abs=ROUNDING_MM)
        assert only_volume[:, VOLUME] == pytest.approx(found[:, VOLUME], rel=1e-5, abs=1e-5)
        assert not only_volume[:, [DEPTH, CELLS]].any()


def test_far_from_zero_heights_stay_exact():
    """Places are reckoned from each piece: a board a metre from zero is cut as one at zero, but for its shift."""
    for bit, _ in BITS.values():
        way = swept.wild(5, 5, **SMALL)
        here = swept.board(**SMALL, pitch=PITCH)
        there = swept.grid_over((1000.0, -800.0), SMALL["size"], 3.0, PITCH)
        moved = swept.Pieces(way.ends + np.array([1000.0, -800.0, 0.0] * 2), way.marks)
        heights, found = swept.compiled_sweep(bit, way, here)
        again, also = swept.compiled_sweep(bit, moved, there)
        assert again == pytest.approx(heights, abs=RIM_MM)
        assert also[:, VOLUME] == pytest.approx(found[:, VOLUME], rel=1e-4, abs=1e-3)


@pytest.mark.parametrize("rows", [1, 3, 7])
def test_rows_may_be_swept_in_parts(rows):
    """Whatever rows are swept together, each is lowered alike, and what is found adds up."""
    grid = swept.board(**SMALL, pitch=PITCH)
    way = swept.wild(11, 6, **SMALL)
    bit, _ = BITS["ball"]
    whole, found = swept.compiled_sweep(bit, way, grid)
    heights = grid.field(0.0)
    parts = []
    for low in range(0, grid.rows, rows):
        part = np.empty((len(way), sweeping.OUTPUTS), dtype=np.float32)
        sweeping.sweep(bit.shape, told=True)(
            heights, grid.stride, low, min(low + rows, grid.rows), grid.x0_mm, grid.y0_mm, grid.pitch_mm, 0.0, -6.0,
            way.ends, way.marks, np.arange(len(way)), np.stack([bit.numbers()] * 2), part,
        )  # fmt: skip
        parts.append(part)
    parts = np.array(parts)
    assert (grid.square(heights)[grid.inside] == whole).all()
    assert (parts[:, :, CELLS].sum(axis=0) == found[:, CELLS]).all()
    assert (parts[:, :, DEPTH].max(axis=0) == found[:, DEPTH]).all()
    assert parts[:, :, LOW].min(axis=0) == pytest.approx(found[:, LOW])
    assert parts[:, :, HIGH].max(axis=0) == pytest.approx(found[:, HIGH])
    assert parts[:, :, VOLUME].sum(axis=0) == pytest.approx(found[:, VOLUME], rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("name", ["vee", "taper"])
def test_a_fall_steeper_than_the_flank_right_over_a_cell(name):
    """On the line of the way itself the bit's lowest place over a cell is at the end of its reach, as beside it.

    The middles of this field lie on round coordinates, and the way runs along a row of them.
    """
    bit, _ = BITS[name]
    grid = swept.Grid(
        x0_mm=-10.0, y0_mm=-10.0, pitch_mm=1.0, rows=30, columns=30, stride=48, inside=(slice(10, 20), slice(10, 20))
    )
    x, y = swept.middles(grid)
    way = through((1, 4, -0.5), (1.75, 4, -0.5 - 0.75 * 1.5 * bit.slope))
    heights, _ = swept.compiled_sweep(bit, way, grid, floor=-30.0)
    assert heights == pytest.approx(swept.searched(bit, way.ends, x, y, floor=-30.0), abs=1e-5)


@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
@pytest.mark.parametrize("told", [False, True])
def test_each_kernel_has_one_signature(told):
    grid = swept.board()
    for bit, _ in BITS.values():
        swept.compiled_sweep(bit, swept.wild(1, 4), grid, told=told)
        kernel = sweeping.sweep(bit.shape, told=told)
        assert kernel is sweeping.sweep(bit.shape, told=told)
        assert len(kernel.signatures) == 1
        assert kernel.targetoptions["nogil"]
        assert not kernel.targetoptions.get("parallel")


@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_what_is_made_ready_is_what_removal_calls():
    """One compiled signature: else the compiler would be waited for twice."""
    kernel = sweeping.ready(sweeping.FLAT)
    grid = swept.board(**SMALL)
    swept.compiled_sweep(swept.flat(), through((4, 4, -1), (8, 5, -1)), grid)
    assert kernel is sweeping.sweep(sweeping.FLAT, told=True)
    assert len(kernel.signatures) == 1

"""What must hold of the wood that any program takes."""

import math
from itertools import pairwise

import numpy as np
import pytest
from driven import moves_of
from hypothesis import given, settings
from hypothesis import strategies as st
from removal import swept
from removal.carved import carved, lines

from cutworthy.model.removal import Side
from cutworthy.removal import carve as carving
from cutworthy.removal.engagement import TOUCHING
from cutworthy.removal.grid import PITCHES_MM, grid_over, pitch_for

SIZE = (16.0, 12.0)
WHOLE = {"size": SIZE, "floor": -4.0}
BITS = {name: bit for name, (bit, _) in swept.BITS.items()}
# At most, between two ways to the same surface: rounding, and what either may be too high for a bull's place in steps.
APART_MM = {name: swept.RIM_MM + steps for name, (_, steps) in swept.BITS.items()}
RELATIVE = 2e-5  # sums of some thousand heights in float32

tenths = st.integers(-20, 180).map(lambda number: number / 10)
depths = st.integers(-50, 15).map(lambda number: number / 10)
steps = st.one_of(
    st.tuples(st.sampled_from(("G0", "G1", "G1", "G1", "G1")), tenths, tenths, depths),
    st.tuples(st.sampled_from(("G2", "G3")), st.floats(0.3, 5), st.floats(0, 6.2), st.floats(0.2, 6.2), depths),
)
programs = st.lists(steps, min_size=1, max_size=7)
bits = st.sampled_from(sorted(BITS))
pitches = st.sampled_from((0.25, 0.5))


def text(drawn, mirror=1):
    """Return a program; ``mirror`` -1 with y the other way, about the middle of the board."""
    x, y = 8.0, 6.0
    words = [f"F900 G17\nG0 X{x} Y{y}"]
    for each in drawn:
        if each[0] in ("G0", "G1"):
            code, x, y, z = each
            words.append(f"{code} X{x:.9f} Y{6 + mirror * (y - 6):.9f} Z{z}")
            continue
        code, radius, begin, turn, z = each
        way = -1 if code == "G2" else 1
        i, j = -radius * math.cos(begin), -radius * math.sin(begin)
        x, y = (
            x + i + radius * math.cos(begin + way * turn),
            y + j + radius * math.sin(begin + way * turn),
        )
        code = code if mirror == 1 else {"G2": "G3", "G3": "G2"}[code]
        words.append(f"{code} X{x:.9f} Y{6 + mirror * (y - 6):.9f} Z{z} I{i:.9f} J{mirror * j:.9f}")
    return "\n".join(words)


@settings(max_examples=60, deadline=None)
@given(programs, programs, bits, pitches)
def test_more_cutting_never_raises_the_surface(first, more, bit, pitch):
    """Not by more than what a bit whose lowest place is found in steps may miss when lines are joined elsewhere."""
    less = carved(text(first), BITS[bit], pitch=pitch, **WHOLE)
    both = carved(text([*first, *more]), BITS[bit], pitch=pitch, **WHOLE)
    assert (both.heights <= less.heights + carving_error(bit)).all()
    assert both.lowered >= less.lowered * (1 - RELATIVE) - 1e-6
    assert both.volume >= less.volume * (1 - RELATIVE) - 1e-6


def carving_error(bit):
    return 8e-3 + 2e-3 if "bull" in bit else 2e-3 + swept.ROUNDING_MM


@settings(max_examples=60, deadline=None)
@given(programs, bits, pitches, st.booleans())
def test_volume_is_what_the_surface_was_lowered_by(drawn, bit, pitch, compiled):
    board = carved(text(drawn), BITS[bit], pitch=pitch, compiled=compiled, **WHOLE)
    assert board.volume == pytest.approx(board.lowered, rel=RELATIVE, abs=1e-4)
    assert (board.told.volume_mm3 >= 0).all()
    assert (board.heights >= -4.0).all()
    assert (board.heights <= 0.0).all()
    assert board.told.length_mm.sum() == pytest.approx(
        np.linalg.norm(board.way.ends_mm[:, 3:] - board.way.ends_mm[:, :3], axis=1).sum(), rel=1e-9
    )


@settings(max_examples=60, deadline=None)
@given(programs, bits, pitches)
def test_plain_and_compiled(drawn, bit, pitch):
    """But for cells on a rim, where rounding decides; to 1e-5 mm elsewhere: see ``test_plain``."""
    plain, quick = (carved(text(drawn), BITS[bit], pitch=pitch, compiled=each, **WHOLE) for each in (False, True))
    flips = np.count_nonzero(abs(quick.heights - plain.heights) > APART_MM[bit])
    assert flips <= 2
    if not flips:
        cuts = plain.cuts
        assert quick.told.volume_mm3[cuts] == pytest.approx(plain.told.volume_mm3[cuts], rel=1e-4, abs=1e-3)
        assert quick.told.depth_mm[cuts] == pytest.approx(plain.told.depth_mm[cuts], abs=1.2e-4 + APART_MM[bit])


@settings(max_examples=60, deadline=None)
@given(programs, bits, pitches)
def test_a_mirrored_program_leaves_the_mirrored_surface(drawn, bit, pitch):
    """The cells are not mirrored, so a field of their own is laid for the mirrored program: its rows the other way."""
    one = carved(text(drawn), BITS[bit], pitch=pitch, **WHOLE)
    grid = one.grid
    y0 = 12.0 - (grid.y0_mm + (grid.rows - 1) * grid.pitch_mm)
    rows = grid.inside[0]
    inside = (slice(grid.rows - rows.stop, grid.rows - rows.start), grid.inside[1])
    mirrored = swept.Grid(
        x0_mm=grid.x0_mm, y0_mm=y0, pitch_mm=pitch, rows=grid.rows, columns=grid.columns, stride=grid.stride,
        inside=inside,
    )  # fmt: skip
    other = carved(text(drawn, mirror=-1), BITS[bit], grid=mirrored, **WHOLE)
    flips = np.count_nonzero(abs(other.heights[::-1] - one.heights) > APART_MM[bit])
    assert flips <= 2  # cells on a rim, by rounding
    cuts = one.cuts
    if not flips:
        assert other.told.volume_mm3[cuts] == pytest.approx(one.told.volume_mm3[cuts], rel=1e-4, abs=1e-3)
        turned = np.array([Side.NONE, Side.CONVENTIONAL, Side.CLIMB, Side.BOTH])
        middle = TOUCHING * BITS[bit].radius_mm
        beside = abs(one.totals[:, 3:])
        decided = cuts & (one.told.volume_mm3 > 0.01) & (abs(beside - middle) > 1e-3).all(axis=1)
        decided &= (beside > middle).any(axis=1)  # what lies on both sides: see test_engagement
        assert (other.told.side[decided] == turned[one.told.side[decided]]).all()


@settings(max_examples=60, deadline=None)
@given(programs, bits, st.integers(1, 40), st.integers(1, 4))
def test_bands_and_threads_change_nothing(drawn, bit, bands, threads):
    usual = carved(text(drawn), BITS[bit], pitch=0.25, **WHOLE)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(carving, "THREADS", threads)
        same = carved(text(drawn), BITS[bit], pitch=0.25, **WHOLE)
        assert same.totals.tobytes() == usual.totals.tobytes()
        assert same.heights.tobytes() == usual.heights.tobytes()
        patch.setattr(carving, "BANDS", bands)
        other = carved(text(drawn), BITS[bit], pitch=0.25, **WHOLE)
    assert other.heights.tobytes() == usual.heights.tobytes()
    assert (other.totals[:, [1, 2, 3, 4]] == usual.totals[:, [1, 2, 3, 4]]).all()
    assert other.totals[:, 0] == pytest.approx(usual.totals[:, 0], rel=1e-5, abs=1e-6)


def test_slices_change_nothing(monkeypatch):
    program = text([("G1", 2.0, 2.0, -1.0), ("G1", 14.0, 10.0, -2.0), ("G1", 2.0, 10.0, 1.0), ("G1", 9.0, 1.0, -3.0)])
    for compiled in (False, True):
        usual = carved(program, BITS["ball"], compiled=compiled, **WHOLE)
        with monkeypatch.context() as patch:
            patch.setattr(carving, "SLICE", 3)
            sliced = carved(program, BITS["ball"], compiled=compiled, **WHOLE)
        assert sliced.heights.tobytes() == usual.heights.tobytes()
        assert sliced.totals == pytest.approx(usual.totals, rel=1e-6)


def test_the_order_of_cuts_that_do_not_touch_is_free():
    chance = np.random.default_rng(9)
    cuts = []
    for row in range(3):
        for column in range(3):
            x, y = 4 + 9 * column, 4 + 9 * row
            corners = [(x + chance.uniform(0, 2), y + chance.uniform(0, 2), chance.uniform(-3, -0.5)) for _ in range(4)]
            cuts.append(lines(*corners))
    for bit in BITS.values():
        if bit.radius_mm > 3:
            continue
        one, other = (
            carved("\nG0 Z5\n".join(cuts[each] for each in order), bit, size=(30, 30))
            for order in (range(9), chance.permutation(9))
        )
        assert (one.heights == other.heights).all()
        assert one.volume == pytest.approx(other.volume, rel=RELATIVE)


@pytest.mark.parametrize("name", sorted(BITS))
def test_the_order_of_any_cuts_leaves_the_same_surface(name):
    """Only what each of them takes depends on which comes first."""
    first = text([("G1", 2.0, 2.0, -1.0), ("G1", 14.0, 10.0, -2.0), ("G3", 2.0, 1.0, 3.0, -0.5)])
    second = text([("G1", 12.0, 2.0, -3.0), ("G1", 3.0, 10.0, -0.2)])
    up = "\nG0 Z5\n"
    one, other = (carved(up.join(each), BITS[name], **WHOLE) for each in ((first, second), (second, first)))
    assert one.heights == pytest.approx(other.heights, abs=1e-6)
    assert one.volume == pytest.approx(other.volume, rel=RELATIVE)


@pytest.mark.parametrize("name", ["flat", "ball", "vee", "bull", "taper"])
def test_halving_the_pitch_converges(name):
    """The volume goes to its limit, at least in proportion to the pitch."""
    program = text(
        [("G1", 2.0, 2.0, -1.0), ("G1", 14.0, 9.3, -2.0), ("G3", 2.0, 1.0, 3.0, -0.5), ("G1", 3.0, 10.0, -3)]
    )
    volumes = [carved(program, BITS[name], pitch=pitch, **WHOLE).lowered for pitch in (0.4, 0.2, 0.1, 0.05, 0.025)]
    off = np.abs(np.array(volumes[:-1]) / volumes[-1] - 1)
    for pitch, each in zip((0.4, 0.2, 0.1, 0.05), off, strict=True):
        assert each <= 0.05 * pitch
    assert off[3] <= max(0.25 * off[0], 2e-4)


def test_nothing_is_counted_below_the_underside():
    """Down to 3 mm below it and sideways there: only wood counts, and none of it stands lower than the underside."""
    for name, bit in BITS.items():
        board = carved("G0 X8 Y6\nG1 Z-7 F900\nX12\nY7 Z-9", bit, **WHOLE)
        assert board.heights.min() == -4.0, name
        assert board.volume == pytest.approx(board.lowered, rel=RELATIVE)
        assert board.volume <= 4.0 * board.area * (1 + RELATIVE)
    slot = carved("G0 X5 Y6\nG1 Z-7 F900\nX11", swept.flat(2.0), pitch=0.1, **WHOLE)
    assert slot.volume == pytest.approx((4 * 6 + 4 * math.pi) * 4.0, rel=0.03)


@pytest.mark.parametrize("compiled", [False, True])
def test_beside_the_board_there_is_nothing_to_cut(compiled):
    """``carved`` asserts that no cell beside the board changes."""
    for bit in BITS.values():
        board = carved("G0 X-9 Y-9\nG1 Z-3 F900\nX30\nY30\nX-9\nY-9", bit, compiled=compiled, **WHOLE)
        assert board.volume == board.lowered == 0.0
        assert not board.told.side.any()
        over = carved("G0 X-9 Y6\nG1 Z-3 F900\nX30", bit, compiled=compiled, **WHOLE)
        assert over.volume == pytest.approx(over.lowered, rel=RELATIVE)
        assert over.lowered > 10


def test_each_bit_cuts_with_its_own_shape():
    """A wide one, then a thin one deeper, then one of no known shape: the surface is the lowest of the first two."""
    program = "G0 X3 Y6\nG1 Z-1 F900\nX13\nG0 Z5\nG0 X3 Y6\nG1 Z-3\nX13\nG0 Z5\nG0 X3\nG1 Z-4\nX13"
    moves = moves_of(program, (0.0, 0.0, 5.0))
    wide, thin = swept.flat(3.0), swept.vee(2.0, 60.0)
    tools = np.repeat([0, 1, 2], [3, 5, len(moves) - 8])
    for compiled in (False, True):
        board = carved(moves, wide, thin, None, tools=tools, compiled=compiled, **WHOLE)
        alone = [
            carved(lines((3, 6, z), (13, 6, z)), bit, compiled=compiled, reach=3.0, **WHOLE).heights
            for bit, z in ((wide, -1), (thin, -3))
        ]
        assert board.heights == pytest.approx(np.minimum(*alone), abs=1e-6)
        last = board.told.row >= 8
        assert not board.told.volume_mm3[last].any()


# The field.


@settings(max_examples=60, deadline=None)
@given(
    st.floats(1, 400), st.floats(1, 300), st.floats(-500, 500), st.floats(-500, 500), st.floats(0, 20),
    st.sampled_from((0.1, 0.25, 0.4, 1.0)),
)  # fmt: skip
def test_middles_of_cells_lie_on_the_board_and_cover_it(width, depth, left, front, reach, pitch):
    grid = grid_over((left, front), (width, depth), reach, pitch)
    x, y = swept.middles(grid)
    for places, low, size in ((x.ravel(), left, width), (y.ravel(), front, depth)):
        assert low < places[0] < low + pitch
        assert low + size - pitch <= places[-1] < low + size
        assert np.diff(places) == pytest.approx(pitch)
    assert grid.stride % 16 == 0
    rows, columns = grid.inside
    spare = reach / pitch + 8
    assert min(rows.start, columns.start, grid.rows - rows.stop, grid.columns - columns.stop) >= spare
    assert grid.stride >= grid.columns
    field = grid.field(-1.0)
    assert len(field) >= grid.rows * grid.stride + 8
    assert (grid.square(field) == -1.0).sum() == x.size * y.size


def test_the_pitch_is_the_finest_that_is_worth_its_time():
    roomy = {"thinnest_mm": 6.0, "budget": 64_000_000, "visits": 400_000_000}
    assert pitch_for((100, 100), 1e3, **roomy) == PITCHES_MM[0]
    longer = [pitch_for((100, 100), swept_mm2, **roomy) for swept_mm2 in (1e3, 1e6, 3e6, 1e7, 3e7, 1e9)]
    assert longer == sorted(longer)
    assert longer[-1] == PITCHES_MM[-1]
    larger = [pitch_for((size, size), 1e3, **roomy) for size in (100, 300, 1000, 3000, 9000)]
    assert all(a <= b for a, b in pairwise(larger))
    for size, pitch in zip((100, 300, 1000, 3000, 9000), larger, strict=True):
        assert (size / pitch) ** 2 <= 64_000_000 * (1 + 1e-9)
    assert pitch_for((40_000, 40_000), 1e3, **roomy) > PITCHES_MM[-1]
    assert pitch_for((40_000, 40_000), 1e3, **roomy) == pytest.approx(40_000 / math.sqrt(64e6))

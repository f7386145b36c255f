"""How the bit meets the wood: known widths at any heading, sides, depths, windows."""

import math

import numpy as np
import pytest
from removal import naive, swept
from removal.carved import carved, lines, word

from cutworthy.model.removal import Side

RADIUS, DEEP, PITCH = 3.0, 2.0, 0.25
BOARD = {"size": (84.0, 84.0), "low": (-42.0, -42.0), "pitch": PITCH}
# Of windows of 2 mm, by a prototype: root of the mean square and greatest, widths in mm and angles in degrees; the
# lateral span, mean and greatest.
WIDTH_MM, ANGLE_DEG, SPAN_MM = (0.07, 0.25), (1.4, 5.7), (0.03, 0.23)
FLAT = swept.flat(RADIUS)


def beside_a_slot(heading, width, side):
    """Return what is told of a cut that takes a strip of a known width, ``side`` 1 to its left, -1 to its right.

    A slot is cut first; the second cut runs beside it, and its ends are left out.
    """
    along = np.array([math.cos(heading), math.sin(heading)])
    left = np.array([-along[1], along[0]])
    aside = side * width * left
    first = lines((*(-34 * along), -DEEP), (*(34 * along), -DEEP))
    second = lines((*(-30 * along + aside), -DEEP), (*(30 * along + aside), -DEEP))
    board = carved(f"{first}\nG0 Z5\n{second}", FLAT, **BOARD)
    first_row = 4  # G0, G1, G1 of the slot, G0 up; then G0, G1, G1
    inner = np.flatnonzero(board.told.row == first_row + 2)[2:-2]
    assert len(inner) > 10
    return board.told, board.totals, inner


def test_widths_angles_and_spans_at_any_heading():
    chance = np.random.default_rng(12)
    off_width, off_angle, off_span = [], [], []
    for width in np.linspace(0.6, 4.5, 14):
        for side in (-1, 1):
            heading = chance.uniform(0, 2 * math.pi)
            told, totals, inner = beside_a_slot(heading, width, side)
            assert told.length_mm[inner] == pytest.approx(np.full(len(inner), 3.0), abs=0.2)
            off_width += (told.width_mm[inner] - width).tolist()
            angle = math.acos(1 - width / RADIUS)
            off_angle += np.degrees(told.angle_rad[inner] - angle).tolist()
            span = np.sort(side * totals[inner, 3:], axis=1)
            off_span += (span - [RADIUS - width, RADIUS]).ravel().tolist()
            assert (told.side[inner] == (Side.CONVENTIONAL if side > 0 else Side.CLIMB)).all() or width > 2.5
            assert (told.angle_rad[inner] == np.arccos(np.clip(1 - told.width_mm[inner] / RADIUS, -1, 1))).all()
    for off, (deviation, greatest) in ((off_width, WIDTH_MM), (off_angle, ANGLE_DEG)):
        assert np.sqrt(np.mean(np.square(off))) <= deviation
        assert np.abs(off).max() <= greatest
    # Spans are those of middles of cells, so they lie inside the true ones: by half a cell more, at each end.
    assert np.mean(np.abs(off_span)) <= SPAN_MM[0] + PITCH / 2
    assert np.abs(off_span).max() <= SPAN_MM[1] + PITCH / 2


@pytest.mark.parametrize("heading", [0.0, 0.4, 2.2, 3.9, 5.5])
def test_a_clockwise_bit_climbs_with_the_wood_on_its_right(heading):
    """Seen from above a clockwise bit turns backwards on its right: its edges go with the wood there, not against."""
    told, _, inner = beside_a_slot(heading, 1.5, -1)
    assert (told.side[inner] == Side.CLIMB).all()
    told, _, inner = beside_a_slot(heading, 1.5, 1)
    assert (told.side[inner] == Side.CONVENTIONAL).all()


@pytest.mark.parametrize("heading", [0.0, 0.4, 2.2, 3.9])
def test_a_slot_is_cut_on_both_sides_and_all_the_way_round(heading):
    x, y = 30 * math.cos(heading), 30 * math.sin(heading)
    board = carved(lines((-x, -y, -DEEP), (x, y, -DEEP)), FLAT, **BOARD)
    inner = np.flatnonzero(board.told.row == 2)[1:-1]
    assert (board.told.side[inner] == Side.BOTH).all()
    assert board.told.width_mm[inner] == pytest.approx(np.full(len(inner), 2 * RADIUS), abs=WIDTH_MM[1])
    # The angle of a whole width: half a turn; just under it the sine is steep.
    assert np.degrees(board.told.angle_rad[inner]).min() >= 180 - math.degrees(math.acos(1 - WIDTH_MM[1] / RADIUS))
    assert board.told.depth_mm[inner] == pytest.approx(np.full(len(inner), DEEP), abs=1e-3)


def test_air_is_no_engagement():
    """Above the board, beside it, and once more through the same slot."""
    slot = lines((-20, 0.1, -DEEP), (20, 0.1, -DEEP))
    board = carved(f"{slot}\nX-20\nG0 Z5\nG1 X20\nG0 X-60 Y-60\nG1 Z-3\nX60", FLAT, **BOARD)
    air = board.told.row >= 3
    assert air.sum() > 20
    for column in ("volume_mm3", "depth_mm", "width_mm", "angle_rad"):
        assert not getattr(board.told, column)[air].any()
    assert (board.told.side[air] == Side.NONE).all()


@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize("name", ["flat", "ball"])
def test_once_more_along_the_same_way_is_air(name, compiled):
    """The rounding of heights is no wood: where no cell counts as lowered, nothing is told at all."""
    bit, _ = swept.BITS[name]
    there, back = (-12.3, 1.1, -0.4), (9.7, 6.6, -2.9)
    board = carved(f"{lines(there, back)}\n{word(*there)}\n{word(*back)}", bit, compiled=compiled, **BOARD)
    again = board.told.row >= 3
    assert again.sum() > 10
    assert not board.totals[again, 2].any()
    assert not board.told.volume_mm3[again].any()


def test_wood_right_before_the_bit_lies_on_both_sides():
    """A thin rib along the way: none of it is farther from the middle than a tenth of the radius."""
    slots = [lines((-20, y, -DEEP), (20, y, -DEEP)) for y in (-3.25, 3.25)]
    board = carved("\nG0 Z5\n".join([*slots, lines((-15, 0, -DEEP), (15, 0, -DEEP))]), FLAT, **BOARD)
    inner = np.flatnonzero(board.told.row == 10)[2:-2]
    assert board.told.volume_mm3[inner].min() > 0
    assert np.abs(board.totals[inner, 3:]).max() < 0.3
    assert (board.told.side[inner] == Side.BOTH).all()


def test_straight_down_there_is_no_side():
    """A bit that plunges at the edge of a pocket does not climb, whichever way the rows of cells run."""
    slot = lines((-20, 0, -DEEP), (20, 0, -DEEP))
    for y in (-3.2, 3.2):
        board = carved(f"{slot}\nG0 Z5\n{lines((0, y, -DEEP), (0, y, -DEEP))}", FLAT, **BOARD)
        down = np.flatnonzero(board.told.row == 5)
        plunge = down[board.told.volume_mm3[down] > 0]
        assert len(plunge)
        assert set(board.told.side[plunge].tolist()) <= {Side.NONE, Side.BOTH}


@pytest.mark.parametrize(("bit", "name"), [(FLAT, "flat"), (swept.ball(3.0), "ball"), (swept.vee(3.0), "vee")])
def test_depth_is_that_of_the_wood_above_the_tip_whatever_the_length_of_the_moves(bit, name):
    """Level cuts at 1 and at 2.5 mm, in one line and in steps of a tenth: the wood stood as high above the tip."""
    for deep, before in ((1.0, 0.0), (2.5, 1.0)):
        for steps in (1, 200):
            places = [(-10 + 20 * share, 0.1 + 3 * share) for share in np.linspace(0, 1, steps + 1)]
            first = lines(*((x, y, -before) for x, y in places)) + "\nG0 Z5\n" if before else ""
            board = carved(first + lines(*((x, y, -deep) for x, y in places)), bit, **BOARD)
            inner = np.flatnonzero(board.told.row > board.told.last_row[-1] - steps)[1:-1]
            # The second flat cut finds the floor of the first; others widen the first one, up to the board's top.
            expected = deep - before if name == "flat" else deep
            told = board.told.depth_mm[inner]
            assert told.max() == pytest.approx(expected, abs=1e-3), (name, deep, steps)
            assert told.min() >= expected - 0.3, (name, deep, steps)


def test_a_plunge_and_a_ramp():
    board = carved(
        f"G0 X0 Y0\nG0 Z1\nG1 Z-3 F300\n{word(8, 6, -5)}\n{word(16, 12, -4)}", FLAT, start=(-1, 0, 5), **BOARD
    )
    told = board.told
    down, ramp, rise = (np.flatnonzero(told.row == row) for row in (2, 3, 4))
    assert told.rise_rad[down] == pytest.approx(np.full(len(down), -math.pi / 2))
    assert told.length_mm[down].sum() == pytest.approx(4)
    assert told.volume_mm3[down].sum() == pytest.approx(math.pi * 9 * 3, rel=0.01)
    assert told.width_mm[down[told.volume_mm3[down] > 0]] == pytest.approx(6)
    assert told.depth_mm[down] == pytest.approx(
        [1, 2], abs=1e-3
    )  # in stretches of 2 mm, each finds the last one's floor
    assert told.tip_mm[down].min() == -3
    assert told.rise_rad[ramp] == pytest.approx(np.full(len(ramp), -math.atan(0.2)))
    assert told.length_mm[ramp].sum() == pytest.approx(math.hypot(10, 2))
    assert told.tip_mm[ramp].min() == pytest.approx(-5)
    assert told.rise_rad[rise] == pytest.approx(np.full(len(rise), math.atan(0.1)))
    assert told.at_mm[down[0]].tolist() == [0, 0, 1]
    assert told.at_mm[ramp[0]].tolist() == [0, 0, -3]


def test_windows_of_short_moves_name_the_first_and_the_last_of_them():
    """A hundred moves of 0.3 mm: windows of 2 to 3 mm, each with its moves, one after the other."""
    corners = [(-15 + 0.3 * number, 0.2 * (number % 2), -1) for number in range(101)]
    board = carved(lines(*corners), FLAT, **BOARD)
    told = board.told
    cuts = np.flatnonzero(told.row >= 2)
    assert told.length_mm[cuts[:-1]].min() >= 2.0
    assert told.length_mm[cuts].max() < 5.0
    assert told.row[cuts[0]] == 2
    assert told.last_row[cuts[-1]] == 101
    assert (told.row[cuts[1:]] == told.last_row[cuts[:-1]] + 1).all()
    assert (np.diff(told.line) >= 0).all()


def test_a_bit_of_no_known_shape_engages_nothing():
    board = carved(lines((-5, 0, -1), (5, 0, -1)), FLAT, None, tools=[1, 1, 1], **BOARD)
    assert board.lowered == 0
    assert not board.told.side.any()
    assert not board.told.width_mm.any()


@pytest.mark.parametrize("name", ["ball", "vee", "taper", "bull"])
def test_a_slot_of_a_round_bit_goes_half_the_way_round_too(name):
    """Its width is that of the bit where the wood ends, not that of the whole bit."""
    bit, depth = swept.BITS[name][0], 0.8
    board = carved(lines((-30, 0.1, -depth), (30, 7, -depth)), bit, **BOARD)
    inner = np.flatnonzero(board.told.row == 2)[1:-1]
    assert board.told.width_mm[inner] == pytest.approx(
        np.full(len(inner), 2 * bit.radius_at(np.array([depth]))[0]), abs=0.3
    )
    assert np.degrees(board.told.angle_rad[inner]).min() >= 145  # of half a turn: the cells at its edges decide


@pytest.mark.parametrize("name", sorted(swept.BITS))
def test_the_radius_at_a_height_is_the_inverse_of_the_surface(name):
    bit = swept.BITS[name][0]
    radii = np.linspace(max(bit.inner_mm, 0.0), bit.radius_mm * 0.999, 50)
    heights = naive.above_tip(bit, radii)
    assert bit.radius_at(heights) == pytest.approx(radii if bit.shape else np.full(50, bit.radius_mm), abs=1e-9)

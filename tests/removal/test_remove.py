"""From cards and a program to the surface, and to the wood that rapids meet."""

import math
import sys

import numpy as np
import pytest
from conftest import CLEAN, TIDEWATER
from removal import swept
from removal.carved import carved, lines, removed, removed_of, word

from cutworthy.errors import Stopped
from cutworthy.removal import carve as carving
from cutworthy.removal import path, remove
from cutworthy.removal.grid import PITCHES_MM

HEAD = "G21 G90 G17 G94 G54 G40 G49\nS18000 M3\nG0 Z20\n"
TAIL = "\nG0 Z20\nM5\nM30\n"


def wood_met(removal):
    """Return lines of rapids that meet wood, the volume of all of it and the greatest depth."""
    told = removal.engagement
    met = (told.rapid == 1) & (told.volume_mm3 > 0)
    return set(told.line[met].tolist()), float(told.volume_mm3[met].sum()), float(told.depth_mm[met].max(initial=0))


def lowered(surface):
    return float((surface.top_mm - surface.heights_mm.astype(np.float64)).sum()) * surface.pitch_mm**2


# The examples, and what is planted.


@pytest.mark.parametrize("name", ["plaque", "plaque-spoilt", "tray"])
def test_no_rapid_of_the_examples_meets_wood(name):
    """What is spoilt about the plaque is the way past a clamp."""
    removal = removed_of(TIDEWATER / f"{name}.toml")
    assert wood_met(removal) == (set(), 0.0, 0.0)
    assert removal.volume_mm3 == pytest.approx(lowered(removal.surface), rel=1e-5)
    assert removal.volume_mm3 > 10_000
    assert removal.unswept == ()


def test_the_clean_job(workshop):
    """A plunge, 100 mm along, half a circle of 20 mm, 100 mm back, 3 mm deep with 6 mm: areas in closed form."""
    removal = removed(workshop, CLEAN)
    assert wood_met(removal) == (set(), 0.0, 0.0)
    area = 2 * 100 * 6 + math.pi * (23**2 - 17**2) / 2 + math.pi * 9
    assert removal.volume_mm3 == pytest.approx(3 * area, rel=2e-3)
    surface = removal.surface
    assert (surface.top_mm, surface.underside_mm) == (0.0, -18.0)
    assert surface.heights_mm.min() == pytest.approx(-3.0, abs=1e-6)
    assert surface.corner_mm == pytest.approx((0.381 * surface.pitch_mm,) * 2)
    rows, columns = surface.heights_mm.shape
    assert rows == pytest.approx(150 / surface.pitch_mm, abs=1)
    assert columns == pytest.approx(200 / surface.pitch_mm, abs=1)


@pytest.mark.parametrize("heading", [0.5, math.pi])
def test_a_rapid_dragged_through_wood_tells_volume_and_depth(workshop, heading):
    """60 mm at a depth of 3 mm: a slot's volume, of the bit made smaller by 0.01 mm, which is what is looked at."""
    x, y = 100 + 30 * math.cos(heading), 75 + 30 * math.sin(heading)
    back = 100 - 30 * math.cos(heading), 75 - 30 * math.sin(heading)
    program = HEAD + f"G0 {word(*back)}\nG1 Z-3 F300\nG0 {word(x, y)}" + TAIL
    removal = removed(workshop, program)
    (line,), volume, depth = wood_met(removal)
    assert program.splitlines()[line - 1] == f"G0 {word(x, y)}"
    radius = 3 - carving.TEST_SHRUNK_MM
    assert volume == pytest.approx(2 * radius * 60 * (3 - carving.TEST_SHRUNK_MM), rel=0.01)
    assert depth == pytest.approx(3.0, abs=1e-3)
    # Nothing is lowered by it: the hole of the plunge is all that is left.
    assert removal.volume_mm3 == pytest.approx(math.pi * 9 * 3, rel=0.01)
    assert lowered(removal.surface) == pytest.approx(removal.volume_mm3, rel=1e-5)


@pytest.mark.parametrize("kind", ["flat", "ball"])
def test_a_second_pass_over_the_same_way_is_air(workshop, kind):
    """Level and down a ramp; the rounding of heights is no wood."""
    way = "X90 Y61.3\nX120 Y80 Z-4.4\nX90 Y61.3 Z-2\nX50 Y50"
    program = HEAD + f"G0 X50 Y50\nG1 Z-2 F300\n{way}\n{way}" + TAIL
    removal = removed(workshop, program, job={'kind = "flat"': f'kind = "{kind}"'})
    moves = removal.engagement
    assert removal.volume_mm3 > 500
    first = moves.row[moves.rapid == 0].min()
    assert not removal.air[first : first + 3].any()  # the plunge, and the way out
    assert removal.air[first + 3 :].all()


def test_a_rapid_down_into_wood(workshop):
    removal = removed(workshop, HEAD + "G0 X50 Y50\nG0 Z-2" + TAIL)
    (line,), volume, depth = wood_met(removal)
    assert line == 5
    # Down in stretches of a few millimetres, the wood stays: it is met in the last only, for the others end above it.
    assert volume == pytest.approx(math.pi * 9 * 2, rel=0.02)
    assert depth == pytest.approx(2.0, abs=1e-3)
    assert removal.volume_mm3 == 0


def test_a_rapid_across_a_step_left_between_two_depths(workshop):
    """One pocket 5 mm deep beside another 2 mm deep: at 3 mm deep the rapid is in air first, then in 1 mm of wood."""
    program = HEAD + "G0 X50 Y50\nG1 Z-5 F300\nX70\nG0 Z5\nG1 Z-2\nX90\nG0 Z5\nG0 X50\nG0 Z-3\nG0 X90" + TAIL
    removal = removed(workshop, program)
    (line,), volume, depth = wood_met(removal)
    assert program.splitlines()[line - 1] == "G0 X90"
    assert depth == pytest.approx(1.0, abs=1e-3)
    # From the 5 mm slot's round end at x = 73 on, 6 mm wide, to the bit's own round end at 93.
    assert volume == pytest.approx(20 * 6 * 1.0, rel=0.03)


@pytest.mark.parametrize("jitter", [0.002, 0.005])
def test_going_back_rapidly_through_ones_own_slot_is_no_hit(jitter):
    """Of 200 slots at any heading, gone back through a few thousandths aside and lower: none is told.

    A prototype that looked at the whole bit told 83 of 400 falsely, and each at the full depth.
    """
    chance, hits = np.random.default_rng(int(jitter * 1e6)), 0
    shaken = lambda place: np.array(place) + chance.uniform(-jitter, jitter, len(place))  # noqa: E731
    for number in range(200):
        heading = chance.uniform(0, 2 * math.pi) if number % 4 else number // 4 % 4 * math.pi / 2
        middle = 12 + chance.uniform(-0.5, 0.5, 2)
        along = 7 * np.array([math.cos(heading), math.sin(heading)])
        a, b = (*(middle - along), -2.0), (*(middle + along), -2.0)
        corners = [a, b]
        if number % 2:  # in short moves, which are joined
            corners = [shaken(np.array(a) + share * (np.array(b) - a)) for share in np.linspace(0, 1, 40)]
        back = f"G0 {word(*shaken(b))}\nG0 {word(*shaken(a))}\nG0 Z5"
        board = carved(f"{lines(*corners)}\n{back}", swept.flat(), size=(24, 24), pitch=0.25, compiled=number % 5 > 0)
        assert board.lowered > 0
        hits += board.told.volume_mm3[board.told.rapid == 1].max() > 0
    assert hits == 0


@pytest.mark.parametrize("name", sorted(swept.BITS))
def test_going_back_through_a_slope_or_up_from_a_hole_is_no_hit(name):
    bit, _ = swept.BITS[name]
    chance = np.random.default_rng(1)
    for _ in range(20):
        a, b = ((*chance.uniform(8, 16, 2), chance.uniform(-3, -0.5)) for _ in range(2))
        back = "\n".join(f"G0 {word(*(np.array(place) + chance.uniform(-4e-3, 4e-3, 3)))}" for place in (b, a))
        board = carved(f"{lines(a, b)}\n{back}\nG0 Z5", bit, size=(24, 24), pitch=0.25)
        assert board.told.volume_mm3[board.told.rapid == 1].max() == 0


# Cards and limits.


def test_drilled_holes_are_looked_at_as_finely_as_anything(workshop):
    """A row of holes and nothing else, with a bit of 3 mm: their volume, and their round shape."""
    holes = "\n".join(f"G0 X{20 + 20 * number} Y50\nG1 Z-5 F300\nG0 Z2" for number in range(5))
    removal = removed(workshop, HEAD + holes + TAIL, job={'diameter = "6 mm"': 'diameter = "3 mm"'})
    assert removal.volume_mm3 == pytest.approx(5 * math.pi * 1.5**2 * 5, rel=0.05)
    assert removal.surface.pitch_mm <= 3 / 12


def test_zero_at_the_bottom_and_in_the_middle_moves_the_frame_only(workshop):
    there = removed(workshop, HEAD + "G0 X50 Y50\nG1 Z-3 F300\nX80 Y60" + TAIL)
    program = HEAD.replace("Z20", "Z38") + "G0 X-50 Y-25\nG1 Z15 F300\nX-20 Y-15" + TAIL.replace("Z20", "Z38")
    middle = {'x = "left"': 'x = "centre"', 'y = "front"': 'y = "centre"', 'z = "top"': 'z = "bottom"'}
    moved = removed(workshop, program, job=middle)
    assert (moved.surface.top_mm, moved.surface.underside_mm) == (18.0, 0.0)
    assert abs(moved.surface.heights_mm - 18 - there.surface.heights_mm).max() < 1e-5
    shift = np.array(moved.surface.corner_mm) - there.surface.corner_mm
    assert shift == pytest.approx([-100, -75])
    assert moved.volume_mm3 == pytest.approx(there.volume_mm3, rel=1e-6)


@pytest.mark.parametrize(
    "program",
    ["", HEAD + "G0 X20 Y20\nG0 X50" + TAIL, HEAD + "G0 X-20 Y-20\nG1 Z-3 F300\nG1 X-50" + TAIL],
    ids=["nothing", "rapids high above", "cuts beside the board"],
)
def test_programs_that_take_nothing(workshop, program):
    shares = []
    removal = removed(workshop, program or "G21\nM30\n", progress=shares.append)
    assert removal.volume_mm3 == 0
    assert lowered(removal.surface) == 0
    assert (removal.surface.heights_mm == removal.surface.top_mm).all()
    assert wood_met(removal) == (set(), 0.0, 0.0)
    assert all(0 <= share <= 1 for share in shares)


def test_through_cuts_reach_the_underside_and_no_lower(workshop):
    removal = removed(workshop, HEAD + "G0 X50 Y50\nG1 Z-19 F300\nX80" + TAIL)
    assert removal.surface.heights_mm.min() == removal.surface.underside_mm == -18.0
    assert removal.volume_mm3 == pytest.approx(18 * (30 * 6 + math.pi * 9), rel=5e-3)


def test_two_bits_in_order(workshop):
    """A slot of 6 mm, then a vee of 90 degrees 4 mm deep along its middle: its flanks come up within the slot."""
    card = (
        'kind = "vee"\ndiameter = "12 mm"\nangle = "90 deg"\nflutes = 2\ncentre_cutting = true\n'
        'cutting_length = "8 mm"\nstickout = "35 mm"\nmax_rpm = "24000 rpm"\nspeed = "18000 rpm"\n'
    )
    job = {'speed = "18000 rpm"\n': f'speed = "18000 rpm"\n\n[[bits]]\ntool = 2\n{card}'}
    program = (
        "G21 G90 G17 G94 G54\nT1 M6\nS18000 M3\nG0 Z20\nG0 X50 Y50\nG1 Z-2 F300\nX80\nG0 Z20\n"
        "T2 M6\nS18000 M3\nG0 X50 Y50\nG1 Z-4\nX80" + TAIL
    )
    removal = removed(workshop, program, job=job)
    vee_in_slot = 2.0 * 4.0 / 2  # a triangle of 2 mm height, 4 mm wide, below the slot's floor
    walls = 2 * 0.5 * 1.0 * 1.0  # and one on either side, where the flank is wider than the slot near the top
    assert removal.volume_mm3 == pytest.approx(30 * (12 + vee_in_slot + walls) + math.pi * 9 * 2, rel=0.06)
    told = removal.engagement
    assert set(told.tool[told.volume_mm3 > 0].tolist()) == {1, 2}
    assert removal.unswept == ()
    assert wood_met(removal) == (set(), 0.0, 0.0)


def test_a_bit_whose_shape_is_not_known_cuts_nothing_and_is_named(workshop):
    removal = removed(workshop, CLEAN, job={'kind = "flat"': 'kind = "vee"'})
    assert removal.unswept == (1,)
    assert removal.volume_mm3 == 0


def test_the_field_keeps_within_the_budget(workshop):
    for budget in (1_000, 30_000, 1_000_000):
        removal = removed(workshop, CLEAN, budget=budget)
        assert removal.surface.heights_mm.size <= budget * 1.1 + 500
        assert removal.volume_mm3 == pytest.approx(lowered(removal.surface), rel=1e-5)
    assert removal.surface.pitch_mm in PITCHES_MM


def test_short_and_long_programs_agree(workshop, monkeypatch):
    """With and without the compiler, which is loaded for long programs only; on the same cells."""
    usual = removed(workshop, CLEAN, budget=500_000)
    monkeypatch.setattr(sys.modules[remove.__module__], "COMPILED_PIECES", 0)
    monkeypatch.setattr(path, "COMPILED_PIECES", 0)
    compiled = removed(workshop, CLEAN, budget=500_000)
    assert compiled.surface.pitch_mm == usual.surface.pitch_mm
    assert abs(compiled.surface.heights_mm - usual.surface.heights_mm).max() < 1e-5
    assert compiled.volume_mm3 == pytest.approx(usual.volume_mm3, rel=1e-5)
    for column in ("row", "last_row", "line", "tool", "rapid", "side"):
        assert (getattr(compiled.engagement, column) == getattr(usual.engagement, column)).all()


def test_it_can_be_stopped_and_tells_how_far_it_is(workshop, monkeypatch):
    monkeypatch.setattr(carving, "SLICE", 10)
    shares = []
    removed(workshop, CLEAN, progress=shares.append)
    assert len(shares) > 3
    assert shares == sorted(shares)
    assert shares[-1] == 1.0

    def stop(share):
        if share > 0.5:
            raise Stopped

    with pytest.raises(Stopped):
        removed(workshop, CLEAN, progress=stop)


def test_moves_whose_place_is_in_doubt_are_left_out(workshop):
    """Without a word of where the bit stands at first, the first moves are not swept; those after them are."""
    whole = removed(workshop, CLEAN)
    loose = removed(workshop, CLEAN.replace("G0 Z20\nG0 X50 Y50\nG0 Z2\n", "G0 X50 Y50 Z2\n"))
    assert loose.volume_mm3 == pytest.approx(whole.volume_mm3, rel=1e-9)


def test_the_same_request_gives_the_same_answer(workshop):
    one, other = (removed(workshop, CLEAN) for _ in range(2))
    assert one.engagement.digest() == other.engagement.digest()
    assert one.surface.heights_mm.tobytes() == other.surface.heights_mm.tobytes()

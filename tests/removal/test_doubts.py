"""What the cells of a field are too large for: bounded from both sides, and looked at again under rapids."""

import numpy as np
import pytest
from conftest import CLEAN
from removal import swept
from removal.carved import removed
from removal.test_remove import HEAD, TAIL, wood_met

from cutworthy.removal import doubts
from cutworthy.removal.carve import sideways_mm

COARSE = 200 * 150 * 16  # cells: 0.25 mm on the board of the small workshop
FLAT_MM = 6.0  # its bit
SMALL = {"size": (12.0, 10.0)}
OFFSETS = [0.0, 0.041, 0.083, 0.125, 0.167, 0.209]  # of a rib from the cells
SWEPT_MM = 4e-3  # what the sweep of a rounded bit may be too high by, on slopes: see swept.BITS


@pytest.mark.parametrize("name", sorted(swept.BITS))
@pytest.mark.parametrize("seed", range(3))
def test_the_true_surface_lies_between_the_fields_of_a_narrower_and_a_wider_bit(name, seed):
    """At random places of all cells, the truth by brute force."""
    bit, _ = swept.BITS[name]
    grid = swept.board(**SMALL, pitch=0.5)
    way = swept.wild(seed, 6, **SMALL)
    by = sideways_mm(grid)
    high, _ = swept.compiled_sweep(bit.narrowed(by), way, grid)
    low, _ = swept.compiled_sweep(bit.narrowed(-by), way, grid)
    assert (high > low + 0.05).any()
    chance = np.random.default_rng(seed)
    x, y = (np.ascontiguousarray(each) for each in np.broadcast_arrays(*swept.middles(grid)))
    for _ in range(3):
        at = [each + chance.uniform(-0.5, 0.5, each.shape) * grid.pitch_mm for each in (x, y)]
        assert (low <= swept.highest(bit, way.ends, *at) + SWEPT_MM).all()
        assert (high >= swept.lowest(bit, way.ends, *at) - swept.ROUNDING_MM).all()


def across_a_rib(rib_mm, offset, depth=2.0):
    """Return a program of two slots with a rib between them, and a rapid across it at their depth."""
    first, second = f"Y{40 + offset:.3f}", f"Y{40 + offset + FLAT_MM + rib_mm:.3f}"
    slots = "".join(f"G0 X20 {y}\nG1 Z-{depth} F300\nG1 X80 F1200\nG0 Z20\n" for y in (first, second))
    return HEAD + slots + f"G0 X50 {first}\nG0 Z-{depth}\nG0 {second}" + TAIL


def coarsely(workshop, program):
    removal = removed(workshop, program, budget=COARSE)
    assert removal.surface.pitch_mm == 0.25
    return removal


def rapid_line(program):
    return program.splitlines().index("G0 Z-2.0") + 2


@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize("rib_mm", [0.1, 0.2, 0.3])
def test_a_rib_that_falls_between_the_cells_is_found_by_looking_again(workshop, rib_mm, offset):
    program = across_a_rib(rib_mm, offset)
    removal = coarsely(workshop, program)
    lines, _, depth = wood_met(removal)
    assert lines == {rapid_line(program)}
    assert depth == pytest.approx(2.0, abs=1e-3)
    assert removal.doubtful == ()


def test_some_of_these_ribs_do_fall_between_the_cells(workshop, monkeypatch):
    monkeypatch.setattr(doubts, "MOST_LOOKS", 0)
    missed = [removal for each in OFFSETS if not wood_met(removal := coarsely(workshop, across_a_rib(0.1, each)))[0]]
    assert missed
    for removal in missed:
        assert set(removal.engagement.line[list(removal.doubtful)]) == {rapid_line(across_a_rib(0.1, 0.0))}


@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize("rib_mm", [0.004, 0.02, 0.05])
def test_a_rib_too_thin_even_then_stays_doubtful_or_is_found(workshop, rib_mm, offset):
    removal = coarsely(workshop, across_a_rib(rib_mm, offset))
    assert wood_met(removal)[0] or removal.doubtful


def test_the_thinnest_rib_is_mostly_a_doubt(workshop):
    doubted = [removal for each in OFFSETS if (removal := coarsely(workshop, across_a_rib(0.004, each))).doubtful]
    assert len(doubted) >= len(OFFSETS) / 2


@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize("overlap", [0.1, 0.5, 3.0])
def test_slots_that_overlap_leave_neither_wood_nor_doubt(workshop, overlap, offset):
    """The bound of the second look is a tenth of a millimetre: two walls that are as near leave nothing between."""
    removal = coarsely(workshop, across_a_rib(-overlap, offset))
    assert wood_met(removal)[0] == set()
    assert removal.doubtful == ()


def test_going_back_through_its_own_slot_is_no_doubt(workshop):
    program = HEAD + "G0 X20 Y20\nG1 Z-2 F300\nG1 X80 Y47.3 F1200\nG0 X20 Y20" + TAIL
    removal = coarsely(workshop, program)
    assert wood_met(removal)[0] == set()
    assert removal.doubtful == ()


def test_going_up_out_of_the_wood_and_above_it_is_not_looked_at(workshop, monkeypatch):
    monkeypatch.setattr(doubts, "carve", None)
    assert coarsely(workshop, CLEAN).doubtful == ()

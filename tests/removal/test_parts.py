"""What comes loose: areas beside a general library's, and tabs by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays
from planted import AROUND, TAB
from scipy import ndimage

from cutworthy.removal.labels import label


@given(arrays(bool, array_shapes(min_dims=2, max_dims=2, max_side=12), elements=st.booleans()))
def test_areas_are_those_of_a_general_library(mask):
    ours, count = label(mask)
    theirs, number = ndimage.label(mask)  # scipy's: cells that share an edge
    assert count == number
    assert (ours > 0).tolist() == mask.tolist()
    assert len(set(zip(ours[mask].tolist(), theirs[mask].tolist(), strict=True))) == count


@pytest.fixture
def parts(workshop, clean):
    def run(program, **edits):
        return workshop.proof(program=clean(program), **edits).outcome.removal.parts

    return run


def test_a_board_that_is_not_cut_through_has_no_parts(parts):
    assert parts({}) == ()


def test_a_part_inside_its_outline(parts):
    """100 by 40 mm along the middle of a bit of 6 mm, one side rounded outwards by half a circle of 20 mm."""
    (part,) = parts(AROUND)
    assert part.size_mm == pytest.approx((94 + 20, 34), abs=0.5)
    assert part.area_mm2 == pytest.approx(94 * 34 + np.pi * 17**2 / 2 + 3 * 34, rel=0.02)
    assert (part.strength_n, part.tabs, part.tab_mm, part.later) == (0, 0, None, ())


def test_a_tab_is_as_thin_as_it_may_be(parts):
    # 12 mm of raised way less the bit's width leave 6 mm; 1.2 mm less 0.3 mm of spread and 0.2 mm of zero: 0.7 mm.
    (part,) = parts(TAB)
    assert part.tabs == 1
    assert part.tab_mm == pytest.approx(0.7, abs=1e-3)
    assert part.strength_n == pytest.approx(4 * 6 * 0.7, rel=0.06)  # the width to a cell


@pytest.mark.parametrize(("height", "held"), [(16.8, False), (13.5, True)])
def test_a_tab_that_bears_enough_holds(parts, height, held):
    # At 13.5 mm deep 4 mm are left in the worst case: 6 mm by 4 mm bear 96 N; by 4.3 mm it is no tab but board.
    program = {old: new.replace("Z-16.8", f"Z-{height - 0.3 if held else height}") for old, new in TAB.items()}
    assert (parts(program) == ()) == held


@pytest.mark.parametrize("left", [1.2, 2.0, 2.6, 3.2, 3.8, 4.3])
def test_a_tab_holds_that_bears_twice_the_push(workshop, clean, left):
    """By hand: 6 mm of tab, as thin as it may be, at 4 N/mm^2, against the hardest push of the last pass."""
    program = {old: new.replace("Z-16.8", f"Z-{18 - left:g}") for old, new in TAB.items()}
    outcome = workshop.proof(program=clean(program)).outcome
    loads = outcome.loading.loads
    push = max(loads.peak_n[(loads.down == 0) & (loads.line >= 7), 2])
    bears = 4 * 6 * (left - 0.5)
    assert abs(bears / (2 * push) - 1) > 0.1  # not for the width of a cell to decide
    assert (outcome.removal.parts == ()) == (bears > 2 * push)
    assert all(part.push_n <= push for part in outcome.removal.parts)


def test_a_skin_that_may_be_cut_through_is_none(parts):
    (part,) = parts({**AROUND, "Z-3": "Z-17.6"})
    assert part.tabs == 0


CLAMP = '\n[[clamps]]\nname = "inside"\nfrom = ["80 mm", "55 mm"]\nto = ["120 mm", "85 mm"]\nheight = "20 mm"\n'


def test_a_part_under_a_clamp_is_held(parts):
    """So is the rest of the board, under the other one."""
    assert parts(AROUND, job={'height = "25 mm"\n': f'height = "25 mm"\n{CLAMP}'}) == ()


def test_without_any_clamp_the_largest_area_stays(parts):
    no_clamp = '[[clamps]]\nname = "left"\nfrom = ["-40 mm", "60 mm"]\nto = ["10 mm", "90 mm"]\nheight = "25 mm"\n'
    (part,) = parts(AROUND, job={no_clamp: "", 'by = "clamps"': 'by = "screws"'})
    assert part.area_mm2 < 200 * 150 / 2


def test_what_is_cut_after_it_is_free_is_named_in_order(parts, workshop):
    (part,) = parts({**AROUND, "G0 X0 Y0": "G0 X90 Y70\nG1 Z-2 F300\nG1 X110\nG0 Z20"})
    lines = workshop.proof_again().outcome.removal.engagement.line
    assert [int(lines[row]) for row in (part.freed, *part.later[:1])] == [10, 13]
    assert all(later > part.freed for later in part.later)

"""How deep each bit goes, over the board and anywhere."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from cutworthy.clearance import depths, place
from cutworthy.model.clearance import Depths
from cutworthy.model.program import Doubt, Kind
from cutworthy.working import recording

START, MEMORY, SURE = Doubt.START, Doubt.MEMORY, Doubt.NONE


@pytest.fixture
def deep(make: SimpleNamespace) -> Any:
    """Return what finds the depths on a board of 300 x 140 x 18 mm, by tool."""

    def deep(*pieces: dict[str, Any], **card: Any) -> dict[int, Depths]:
        job = make.job(**card)
        return {each.tool: each for each in depths(make.moves(*pieces), job, place(make.machine(), job))}

    return deep


def test_a_slot_through_the_board(make: SimpleNamespace, deep: Any) -> None:
    pieces = make.piece((10, 10, 2), (10, 10, -18.4)), make.piece((10, 10, -18.4), (90, 10, -18.4))
    found = deep(*pieces)[1]
    assert (found.lowest_mm, found.lowest_row) == (-18.4, 0)
    assert (found.below_top_mm, found.deep_row) == (18.4, 0)
    assert found.below_underside_mm == pytest.approx(0.4)


def test_zero_on_the_underside(make: SimpleNamespace, deep: Any) -> None:
    found = deep(make.piece((10, 10, 20), (90, 10, 5)), zero=(0, 0, "bottom"))[1]
    assert (found.lowest_mm, found.below_top_mm, found.below_underside_mm) == (5, 13, -5)


def test_deep_beside_the_board_is_no_depth_in_it(make: SimpleNamespace, deep: Any) -> None:
    """From (-20, 50) at -10 up to (20, 50) at 10: the bit's rim comes over the board at x = -3, z = -1.5."""
    found = deep(make.piece((-20, 50, -10), (20, 50, 10)))[1]
    assert (found.lowest_mm, found.below_underside_mm) == (-10, -8)
    assert found.below_top_mm == pytest.approx(1.5, abs=1e-12)


def test_past_the_corner_the_rim_counts(make: SimpleNamespace, deep: Any) -> None:
    """At 45 degrees from the corner (0, 0) the disc of radius 3 reaches it from 3 mm away."""
    out, near = -5 / np.sqrt(2), -2.9 / np.sqrt(2)
    assert deep(make.piece((out, out, -5), (out, out, -4)))[1].below_top_mm == 0
    assert deep(make.piece((near, near, -5), (near, near, -4)))[1].below_top_mm == 5


def test_air_moves_have_no_depth(make: SimpleNamespace, deep: Any) -> None:
    found = deep(make.piece((10, 10, 4), (90, 10, 3)))[1]
    assert (found.below_top_mm, found.deep_row, found.lowest_row) == (0, 0, 0)


def test_arcs(make: SimpleNamespace, deep: Any) -> None:
    """A level circle, a helix down, and half a circle in XZ that dips to -7 at (50, 70)."""
    assert deep(make.arc((60, 70, -4), (60, 70, -4), (50, 70, -4), 1, 1.0))[1].below_top_mm == 4
    helix = deep(make.arc((60, 70, 1), (60, 70, -6), (50, 70, 1), 1, 3.0))[1]
    assert helix.below_top_mm == pytest.approx(6, abs=1e-6)
    dip = deep(make.arc((60, 70, 3), (40, 70, 3), (50, 70, 3), 2, 0.5))[1]
    assert (dip.lowest_mm, dip.below_top_mm) == (pytest.approx(-7), pytest.approx(7, abs=1e-6))


def test_an_arc_that_does_not_close_may_be_that_much_deeper(make: SimpleNamespace, deep: Any) -> None:
    """Half a circle of radius 10 in XZ, soon at its lowest, whose end is 0.01 mm farther from its centre."""
    begin = 0.9 * np.pi
    start, end = ((50 + r * np.sin(a), 70, 3 + r * np.cos(a)) for r, a in ((10, begin), (10.01, begin + np.pi)))
    dip = deep(make.arc(start, end, (50, 70, 3), 2, 0.5))[1]
    assert dip.lowest_mm == pytest.approx(-7.01)
    assert -1e-6 <= dip.below_top_mm - 7.01 <= 0.02


def test_a_helix_that_leaves_the_board(make: SimpleNamespace, deep: Any) -> None:
    """Half a turn about (0, 70) falling 10 mm; its disc of radius 3 leaves the board at x = -3."""
    found = deep(make.arc((0, 60, 0), (0, 80, -10), (0, 70, 0), 1, -0.5))[1]
    edge = np.arcsin(3 / 10)  # swept from the front of the circle until x = -3
    assert found.lowest_mm == -10
    assert found.below_top_mm == pytest.approx(10, abs=1e-6), "at its end it is back over the edge"
    quarter = deep(make.arc((0, 60, 0), (-10, 70, -10), (0, 70, 0), 1, -0.25))[1]
    assert quarter.below_top_mm == pytest.approx(10 * edge / (np.pi / 2), abs=1e-6)


def test_dwells_go_nowhere_and_rapids_as_deep_as_cuts(make: SimpleNamespace, deep: Any) -> None:
    assert deep(make.piece((0, 0, -9), (0, 0, -9), Kind.DWELL)) == {}
    (rapid,) = deep(make.piece((5, 5, -9), (9, 9, -9), Kind.RAPID)).values()
    assert (rapid.lowest_mm, rapid.below_top_mm) == (-9, 9)


def test_each_tool_for_itself(make: SimpleNamespace, deep: Any) -> None:
    """Tool 2 is wider, tool 9 is on no card and may be it: 5 mm off the edge it reaches the board."""
    bits = [make.bit(tool=1), make.bit(tool=2, diameter=12)]
    pieces = [make.piece((-5, 50, -t), (-5, 60, -t), tool=t) for t in (9, 2, 1, 0)]
    found = deep(*pieces, bits=bits)
    assert {tool: each.below_top_mm for tool, each in found.items()} == {0: 0, 1: 0, 2: 2, 9: 9}
    assert {tool: each.lowest_row for tool, each in found.items()} == {0: 3, 1: 2, 2: 1, 9: 0}


def test_of_a_move_from_a_doubtful_start_the_end_counts(make: SimpleNamespace, deep: Any) -> None:
    plunge = make.piece((50, 50, -99), (50, 50, -3), start_doubt=[SURE, SURE, START])
    found = deep(plunge)[1]
    assert (found.lowest_mm, found.below_top_mm) == (-3, 3)


def test_a_height_counts_wherever_the_bit_is(make: SimpleNamespace, deep: Any) -> None:
    nowhere = {"start_doubt": [MEMORY, MEMORY, SURE], "end_doubt": [MEMORY, MEMORY, SURE]}
    found = deep(make.piece((0, 0, -3), (9, 9, -30), **nowhere))[1]
    assert (found.lowest_mm, found.below_underside_mm, found.below_top_mm) == (-30, 12, 0)
    lost = {"start_doubt": [SURE, SURE, MEMORY], "end_doubt": [SURE, SURE, MEMORY]}
    assert deep(make.piece((0, 0, -3), (9, 9, -30), **lost)) == {}


def test_the_working_is_shown(make: SimpleNamespace, deep: Any) -> None:
    with recording() as steps:
        deep(make.piece((10, 10, 2), (10, 10, -18.5)))
    shown = {step.name: (step.formula, step.value) for step in steps}
    assert shown["depth.1.below_top"] == ("top - lowest", 18.5)
    assert shown["depth.1.below_underside"] == ("underside - lowest", 0.5)

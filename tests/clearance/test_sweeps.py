"""Travel from a start that is only known as a set."""

from types import SimpleNamespace
from typing import Any

import pytest

from cutworthy.clearance import place, sweeps
from cutworthy.model.clearance import BOARD, Sweep
from cutworthy.model.program import Doubt, Kind

START, MEMORY, SURE = Doubt.START, Doubt.MEMORY, Doubt.NONE
OPEN = [START] * 3
RAPID = Kind.RAPID


@pytest.fixture
def sweep(make: SimpleNamespace) -> Any:
    def sweep(*pieces: dict[str, Any], **card: Any) -> dict[tuple[str, str], Sweep]:
        machine = make.machine(body=None)
        job = make.job(make.clamp((10, -5), (40, 30)), **card)
        found = sweeps(make.moves(*pieces), job, machine, place(machine, job))
        return {(each.part, each.thing): each for each in found}

    return sweep


def test_up_first_and_then_across(make: SimpleNamespace, sweep: Any) -> None:
    """Z goes to 20 where the bit stands, then the bit travels there from anywhere."""
    up = make.piece((0, 0, 0), (0, 0, 20), RAPID, start_doubt=OPEN, end_doubt=[START, START, SURE])
    across = make.piece((0, 0, 20), (50, 50, 20), RAPID, start_doubt=[START, START, SURE])
    found = sweep(up, across)
    assert {key: each.lowest_mm for key, each in found.items()} == {
        ("bit", "left"): 13,
        ("nut", "left"): 48,
        ("bit", BOARD): 20,
        ("nut", BOARD): 55,
    }
    assert {each.row for each in found.values()} == {1}


def test_down_where_the_bit_stands_meets_nothing(make: SimpleNamespace, sweep: Any) -> None:
    down = make.piece((0, 0, 0), (0, 0, -3), start_doubt=OPEN, end_doubt=[START, START, SURE])
    assert sweep(down) == {}


def test_across_first_is_as_low_as_the_start(make: SimpleNamespace, sweep: Any) -> None:
    across = make.piece((0, 0, 0), (0, 0, 0), RAPID, start_doubt=OPEN, end_doubt=[SURE, SURE, START])
    assert sweep(across)["bit", "left"].lowest_mm == -7
    assert sweep(across, above_top=10)["bit", "left"].lowest_mm == 3
    assert sweep(across, above_top=10)["bit", BOARD].lowest_mm == 10
    assert sweep(across, above_top=10, zero=(0, 0, "bottom"))["bit", BOARD].lowest_mm == 10


def test_down_on_the_way_counts_to_its_end(make: SimpleNamespace, sweep: Any) -> None:
    slope = make.piece((0, 0, 0), (50, 50, -1), start_doubt=OPEN)
    assert sweep(slope, above_top=10)["bit", BOARD].lowest_mm == -1


def test_steps_from_the_start_are_counted_from_it(make: SimpleNamespace, sweep: Any) -> None:
    """Relative moves: 4 down and 20 to the side, from wherever the bit stands."""
    step = make.piece((0, 0, 0), (20, 0, -4), start_doubt=OPEN, end_doubt=OPEN)
    assert sweep(step, above_top=10)["bit", BOARD].lowest_mm == 6


def test_a_circle_back_to_an_open_place_is_travel(make: SimpleNamespace, sweep: Any) -> None:
    circle = make.arc((0, 0, 2), (0, 0, 2), (5, 0, 2), 1, 1.0)
    open_ = {"start_doubt": [START, START, SURE], "end_doubt": [START, START, SURE]}
    assert sweep(circle | open_)["bit", BOARD].lowest_mm == 2


def test_an_upright_arc_dips_below_its_ends(make: SimpleNamespace, sweep: Any) -> None:
    """Half a circle of radius 4 in XZ, hanging down from the height of the start."""
    dip = make.arc((0, 0, 0), (-8, 0, 0), (-4, 0, 0), 2, 0.5) | {"start_doubt": OPEN, "end_doubt": OPEN}
    assert sweep(dip, above_top=10)["bit", BOARD].lowest_mm == pytest.approx(6)


def test_an_axis_that_is_known_narrows_the_way(make: SimpleNamespace, sweep: Any) -> None:
    """Y runs from 50 to 60, X from anywhere: the clamp ends at y = 30, the board at 140."""
    along = make.piece((0, 50, 2), (90, 60, 2), RAPID, start_doubt=[START, SURE, SURE])
    found = sweep(along)
    assert ("bit", "left") not in found
    assert found["bit", BOARD].lowest_mm == 2
    near = make.piece((0, 32, 2), (90, 60, 2), RAPID, start_doubt=[START, SURE, SURE])
    assert sweep(near)["bit", "left"].lowest_mm == -5


def test_a_known_place_at_an_unknown_height(make: SimpleNamespace, sweep: Any) -> None:
    """Over the clamp's middle straight down from the start to 1 above the board."""
    down = make.piece((25, 10, 0), (25, 10, 1), start_doubt=[SURE, SURE, START])
    assert sweep(down, above_top=10)["bit", "left"].lowest_mm == -6
    beside = make.piece((-25, 10, 0), (-25, 10, 1), start_doubt=[SURE, SURE, START])
    assert sweep(beside, above_top=10) == {}


def test_a_plunge_at_a_known_place_is_meant_a_rapid_is_not(make: SimpleNamespace, sweep: Any) -> None:
    """From wherever Z stands straight down into the board, 150 mm from the clamp."""
    ends = (150, 50, 0), (150, 50, -3)
    plunge, rapid = (make.piece(*ends, kind, start_doubt=[SURE, SURE, START]) for kind in (Kind.LINE, RAPID))
    assert ("bit", BOARD) not in sweep(plunge)
    assert sweep(plunge)["nut", BOARD].lowest_mm == 32
    assert sweep(rapid)["bit", BOARD].lowest_mm == -3


def test_the_lowest_of_several(make: SimpleNamespace, sweep: Any) -> None:
    pieces = [make.piece((0, 0, z), (9, 9, z), start_doubt=[START, START, SURE]) for z in (12, 3, 8)]
    bit = sweep(*pieces)["bit", BOARD]
    assert (bit.row, bit.lowest_mm) == (1, 3)


def test_what_rests_on_worse_or_on_nothing_is_no_sweep(make: SimpleNamespace, sweep: Any) -> None:
    memory = make.piece((0, 0, 2), (9, 9, 2), start_doubt=[START, MEMORY, SURE])
    known = make.piece((0, 0, 2), (9, 9, 2))
    assert sweep(memory, known) == {}

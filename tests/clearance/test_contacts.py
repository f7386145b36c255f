"""Parts against things: closed forms by hand, and what counts as a hit, as near, as a note."""

from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from cutworthy.clearance import contacts, place
from cutworthy.model.clearance import BOARD, Contact
from cutworthy.model.moves import Way
from cutworthy.model.program import Doubt, Kind
from cutworthy.working import recording

RAPID = Kind.RAPID


@pytest.fixture
def meet(make: SimpleNamespace) -> Any:
    """Return what finds the contacts of some pieces, by part and thing."""

    def meet(*pieces: dict[str, Any], job: Any = None, machine: Any = None) -> dict[tuple[str, str], Contact]:
        machine = machine or make.machine()
        job = job or make.job(make.clamp((10, -5), (40, 30)))
        found = contacts(make.moves(*pieces), job, machine, place(machine, job))
        return {(each.part, each.thing): each for each in found}

    return meet


def test_a_bit_beside_a_clamp(make: SimpleNamespace, meet: Any) -> None:
    """From x = 0 a bit of 6 mm reaches to 3, the clamp begins at 10."""
    bit = meet(make.piece((0, -50, -3), (0, 50, -3)))["bit", "left"]
    assert bit.clearance_mm == pytest.approx(7, abs=1e-12)
    assert (bit.clamp, bit.nearest_row, bit.hit, bit.near) == (0, 0, None, None)


def test_a_bit_past_a_corner(make: SimpleNamespace, meet: Any) -> None:
    """The way y = x + 31 passes the corner (10, 30) at (4.5, 35.5), 5.5 mm away in x and in y."""
    bit = meet(make.piece((7, 38, -3), (2, 33, -3)))["bit", "left"]
    assert bit.clearance_mm == pytest.approx(5.5 * np.sqrt(2) - 3, abs=1e-12)


def test_a_bit_over_a_clamp(make: SimpleNamespace, meet: Any) -> None:
    """The clamp's top is at 25 - 18 = 7 above a zero on the board's top."""
    assert meet(make.piece((25, -50, 8.5), (25, 50, 8.5)))["bit", "left"].clearance_mm == pytest.approx(1.5)


def test_zero_on_the_underside(make: SimpleNamespace, meet: Any) -> None:
    job = make.job(make.clamp((10, -5), (40, 30)), zero=(5, 0, "bottom"))
    assert meet(make.piece((20, -50, 26), (20, 50, 26)), job=job)["bit", "left"].clearance_mm == pytest.approx(1)
    assert meet(make.piece((0, -50, 1), (0, 50, 1)), job=job)["bit", "left"].clearance_mm == pytest.approx(2)


def test_overlap_is_the_least_way_out(make: SimpleNamespace, meet: Any) -> None:
    """0.4 mm too low, far from the sides; and 0.4 mm too close, far below the top."""
    low = meet(make.piece((25, -50, 6.6), (25, 50, 6.6)))["bit", "left"]
    close = meet(make.piece((7.4, -50, -3), (7.4, 50, -3)))["bit", "left"]
    assert low.clearance_mm == pytest.approx(-0.4, abs=1e-12)
    assert close.clearance_mm == pytest.approx(-0.4, abs=1e-12)


def test_a_ramp_meets_only_below_the_top(make: SimpleNamespace, meet: Any) -> None:
    """Up at 45 degrees towards the clamp: at x = 10 - 3 - g the tip is at 7 + g."""
    pieces = (make.piece((-10, 10, 7 - 17 + 2 * g), (20, 10, 7 + 13 + 2 * g)) for g in (1.0, -0.25))
    clear, hit = (meet(each)["bit", "left"] for each in pieces)
    assert (clear.clearance_mm, clear.hit) == (pytest.approx(1), None)
    assert hit.clearance_mm == pytest.approx(-0.25)
    assert hit.hit is not None


@pytest.mark.parametrize(
    ("part", "z", "x"),
    [("nut", -35 + 7 - 0.25, -0.75), ("body", -55 + 7 - 0.25, -22.25), ("shoe", -30 + 7 - 0.25, -34.75)],
)
def test_parts_above_the_bit_meet_a_clamp(make: SimpleNamespace, meet: Any, part: str, z: float, x: float) -> None:
    """A quarter of a millimetre too low, and a quarter too near: radius 11, 32.5 and 45 from x = 10."""
    found = meet(make.piece((x, -50, z), (x, 50, z)), machine=make.machine(shoe=(90, 5)))
    assert found[part, "left"].hit.worst_mm == pytest.approx(-0.25, abs=1e-12)
    clear = meet(make.piece((x - 0.5, -50, z), (x - 0.5, 50, z)), machine=make.machine(shoe=(90, 5)))
    assert clear[part, "left"].hit is None
    assert clear[part, "left"].clearance_mm == pytest.approx(0.25, abs=1e-12)


def test_what_stands_around_the_bit_meets_the_board(make: SimpleNamespace, meet: Any) -> None:
    """Stick-out 35: at 36 deep the nut is 1 mm into the board; the bit is meant to be there."""
    found = meet(make.piece((100, 50, -36), (150, 50, -36)), machine=make.machine(shoe=(90, 5)))
    assert ("bit", BOARD) not in found
    assert found["nut", BOARD].hit.worst_mm == pytest.approx(-1)
    assert found["shoe", BOARD].hit.worst_mm == pytest.approx(-6)
    assert found["body", BOARD].clearance_mm == pytest.approx(19)
    assert found["nut", BOARD].clamp is None


def test_touching_is_meeting(make: SimpleNamespace, meet: Any) -> None:
    assert meet(make.piece((7, -50, -3), (7, 50, -3)))["bit", "left"].hit.worst_mm == pytest.approx(0, abs=1e-12)
    assert meet(make.piece((25, -50, 7), (25, 50, 7)))["bit", "left"].hit is not None
    assert meet(make.piece((7 - 1e-6, -50, -3), (7 - 1e-6, 50, -3)))["bit", "left"].hit is None


def test_near_is_meeting_the_grown_clamp(make: SimpleNamespace, meet: Any) -> None:
    """Sideways 3 mm of the clamp and 0.5 mm of the zero; upwards 0.2 mm of the zero and 0.3 mm of the board."""
    beside = {gap: meet(make.piece((7 - gap, -50, -3), (7 - gap, 50, -3)))["bit", "left"] for gap in (3.4, 3.6)}
    over = {gap: meet(make.piece((25, -50, 7 + gap), (25, 50, 7 + gap)))["bit", "left"] for gap in (0.4, 0.6)}
    assert beside[3.4].near.worst_mm == pytest.approx(3.4)
    assert beside[3.4].hit is None
    assert beside[3.6].near is None
    assert over[0.4].near.worst_mm == pytest.approx(0.4)
    assert over[0.6].near is None


def test_the_spread_moves_what_zero_does_not_lie_on(make: SimpleNamespace, meet: Any) -> None:
    """From the underside a clamp's top is sure but for the zero; the board's top is not."""
    job = make.job(make.clamp((10, -5), (40, 30)), zero=(0, 0, "bottom"))
    clamp = {gap: meet(make.piece((25, -50, 25 + gap), (25, 50, 25 + gap)), job=job) for gap in (0.15, 0.25)}
    assert clamp[0.15]["bit", "left"].near is not None
    assert clamp[0.25]["bit", "left"].near is None
    board = {gap: meet(make.piece((150, 50, gap - 17), (150, 80, gap - 17)), job=job) for gap in (0.45, 0.55)}
    assert board[0.45]["nut", BOARD].near is not None
    assert board[0.55]["nut", BOARD].near is None


def test_hits_and_near_misses_are_told_apart(make: SimpleNamespace, meet: Any) -> None:
    xs = (0, 5, 8, 6, 9)
    bit = meet(*(make.piece((x, 0, -3), (x, 20, -3)) for x in xs))["bit", "left"]
    assert (bit.hit.rows, bit.hit.worst_row) == ((2, 4), 4)
    assert bit.hit.worst_mm == pytest.approx(-2)
    assert (bit.near.rows, bit.near.worst_row) == ((1, 3), 3)
    assert bit.near.worst_mm == pytest.approx(1)
    assert bit.hit.at_mm[0] == 9
    assert 0 <= bit.hit.at_mm[1] <= 20
    assert (bit.clearance_mm, bit.nearest_row) == (pytest.approx(-2), 4)


def test_an_arc_that_bulges_into_a_clamp(make: SimpleNamespace, meet: Any) -> None:
    """Half a circle about (0, 10) reaches x = 7.25; its ends and its chord stay away."""
    arc = make.arc((0, 2.75, -3), (0, 17.25, -3), (0, 10, -3), 1, 0.5)
    bit = meet(arc)["bit", "left"]
    assert bit.hit.worst_mm == pytest.approx(-0.25, abs=1e-12)
    assert bit.hit.at_mm == pytest.approx((7.25, 10, -3))
    other_way = meet(make.arc((0, 2.75, -3), (0, 17.25, -3), (0, 10, -3), 1, -0.5))["bit", "left"]
    assert other_way.clearance_mm == pytest.approx(np.hypot(10, 0) - 3)


def test_an_upright_arc_that_dips_onto_a_clamp(make: SimpleNamespace, meet: Any) -> None:
    """In XZ half a circle of radius 10 about (25, z 16.75) dips to 6.75, 0.25 mm below the clamp's top."""
    dip = meet(make.arc((35, 10, 16.75), (15, 10, 16.75), (25, 10, 16.75), 2, 0.5))["bit", "left"]
    assert dip.hit.worst_mm == pytest.approx(-0.25, abs=1e-6)
    jump = meet(make.arc((35, 10, 16.75), (15, 10, 16.75), (25, 10, 16.75), 2, -0.5))["bit", "left"]
    assert jump.clearance_mm == pytest.approx(9.75, abs=1e-6)


def test_a_vee_over_the_edge_of_a_clamp(make: SimpleNamespace, meet: Any) -> None:
    """A 90 degree vee 2 mm below the clamp's top is 2 mm wide a side there."""
    vee = make.job(make.clamp((10, -5), (40, 30)), bits=[make.bit(kind="vee", diameter=30, angle=90, tip=0)])
    assert meet(make.piece((7, 0, 5), (7, 20, 5)), job=vee)["bit", "left"].clearance_mm == pytest.approx(1)
    assert meet(make.piece((8.25, 0, 5), (8.25, 20, 5)), job=vee)["bit", "left"].hit is not None


def test_a_shank_wider_than_its_bit(make: SimpleNamespace, meet: Any) -> None:
    bit = make.bit(diameter=3, shank=6, cutting_length=12)
    job = make.job(make.clamp((10, -5), (40, 30)), bits=[bit])
    assert meet(make.piece((7.5, 0, -4), (7.5, 20, -4)), job=job)["bit", "left"].clearance_mm == pytest.approx(1)
    assert meet(make.piece((7.5, 0, -6), (7.5, 20, -6)), job=job)["bit", "left"].hit.worst_mm == pytest.approx(-0.5)


def test_a_tool_without_a_bit_may_be_any_bit(make: SimpleNamespace, meet: Any) -> None:
    clamp = make.clamp((10, -5), (40, 30))
    job = make.job(clamp, bits=[make.bit(tool=1, diameter=3), make.bit(tool=2, diameter=12)])
    values = {
        tool: meet(make.piece((0, 0, -3), (0, 20, -3), tool=tool), job=job)["bit", "left"].clearance_mm
        for tool in (0, 1, 2, 9)
    }
    assert values == {0: 8.5, 1: 8.5, 2: 4, 9: 4}


def test_moves_in_doubt_are_left_out(make: SimpleNamespace, meet: Any) -> None:
    through = make.piece((0, 10, -3), (50, 10, -3), start_doubt=[Doubt.START, 0, 0])
    low = make.piece((0, 10, -3), (50, 10, -3), start_doubt=[0, 0, Doubt.MEMORY], end_doubt=[0, 0, Doubt.MEMORY])
    safe = make.piece((0, 10, 20), (50, 10, 20))
    assert meet(through, low, safe)["bit", "left"].clearance_mm == pytest.approx(13)
    assert meet(through, low) == {}


def rapid(make: SimpleNamespace, row: int, *places: tuple[float, float, float]) -> list[dict[str, Any]]:
    """Return a rapid straight and by each of its bends."""
    straight = make.piece(places[0], places[-1], RAPID, row=row)
    bends = [make.piece(a, b, RAPID, row=row, way=Way.DOG_LEG) for a, b in pairwise(places)]
    return [straight, *bends]


def test_a_rapid_of_unknown_way_counts_by_both_and_by_its_box_for_a_note(make: SimpleNamespace, meet: Any) -> None:
    """From (0, 50) to (60, -20): straight and dog-leg pass the clamp on one side, the box holds it."""
    unknown, known = make.machine(rapids="unknown"), make.machine(rapids="straight")
    job = make.job(make.clamp((40, 30), (50, 40)))
    pieces = rapid(make, 1, (0, 50, -3), (0, -10, -3), (60, -20, -3))
    noted = meet(*pieces, job=job, machine=unknown)["bit", "left"]
    assert (noted.hit, noted.near) == (None, None)
    assert (noted.box.rows, noted.box.worst_row) == ((0,), 0)
    assert noted.box.at_mm == (45, 35, -3)
    assert meet(pieces[0], job=job, machine=known)["bit", "left"].box is None


def test_a_rapid_whose_bends_hit_is_no_note(make: SimpleNamespace, meet: Any) -> None:
    job = make.job(make.clamp((40, 30), (50, 40)))
    pieces = rapid(make, 1, (0, 50, -3), (60, 50, -3), (60, -20, -3)) + rapid(make, 2, (0, 35, -3), (45, 35, -3))
    found = meet(*pieces, job=job, machine=make.machine(rapids="unknown"))["bit", "left"]
    assert found.hit.rows == (3, 4)
    assert found.box.rows == (0,)


def test_the_nearest_clamp_is_opened_by_its_scalar_formula(make: SimpleNamespace, meet: Any) -> None:
    job = make.job(make.clamp((10, -5), (40, 30)), make.clamp((10, 60), (40, 90), name="back"))
    pieces = make.piece((-3, 0, -3), (7, 58.3, 1)), make.arc((0, 2, -3), (0, 8, -3), (0, 5, -3), 1, 0.5)
    with recording() as steps:
        found = meet(*pieces, job=job)
    (step,) = [step for step in steps if step.name == "clearance.clamp"]
    nearest = min((c for c in found.values() if c.clamp is not None), key=lambda c: c.clearance_mm)
    assert step.value == pytest.approx(nearest.clearance_mm, abs=1e-12)
    assert {name: step.inputs[name].value for name in ("radius", "top", "part")} == {
        "radius": 3,
        "top": 7,
        "part": "bit",
    }


def test_without_clamps_only_the_board_is_left(make: SimpleNamespace, meet: Any) -> None:
    with recording() as steps:
        found = meet(make.piece((0, 0, 5), (10, 10, 5)), job=make.job())
    assert set(found) == {("nut", BOARD), ("body", BOARD)}
    assert "clearance.clamp" not in {step.name for step in steps}

"""Room left in the travel of each axis, with and without a place for zero."""

from types import SimpleNamespace

import pytest

from cutworthy.clearance import place, reach
from cutworthy.model.clearance import Reach
from cutworthy.model.program import Doubt

START, MEMORY, SURE = Doubt.START, Doubt.MEMORY, Doubt.NONE


def reaches(make: SimpleNamespace, *pieces: dict, **job: object) -> dict[str, Reach]:
    machine, card = make.machine(), make.job(**job)
    return {each.axis: each for each in reach(make.moves(*pieces), machine, card, place(machine, card))}


def test_room_to_the_nearer_end(make: SimpleNamespace) -> None:
    x = reaches(make, make.piece((0, 0, 5), (288, 131, 5)), make.piece((288, 131, 5), (-12, -9, 5)))["x"]
    assert (x.low_mm, x.high_mm, x.limits_mm) == (-12, 288, (-40, 780))
    assert (x.room_mm, x.rows, x.worst_row, x.travel_mm) == (28, (), 1, 820)


def test_moves_beyond_the_end(make: SimpleNamespace) -> None:
    y = reaches(
        make,
        make.piece((0, 0, 5), (0, -61, 5)),
        make.piece((0, -61, 5), (0, -63.5, 5)),
        make.piece((0, -63.5, 5), (0, 0, 5)),
        make.piece((0, 0, 5), (0, 20, 5)),
    )["y"]
    assert (y.rows, y.worst_row, y.room_mm) == ((0, 1, 2), 1, -3.5)


def test_at_the_end_is_within_whatever_the_rounding(make: SimpleNamespace) -> None:
    too_far = -(0.1 + 0.2)  # -0.30000000000000004
    x = reaches(make, make.piece((0, 0, 5), (too_far, 0, 5)), at=(0.3, 60, None))["x"]
    assert (x.rows, x.room_mm) == ((), 0)


def test_the_bulge_of_an_arc_counts(make: SimpleNamespace) -> None:
    # Half a circle of radius 50 about (0, -20), through (0, -70).
    y = reaches(make, make.arc((-50, -20, 0), (50, -20, 0), (0, -20, 0), 1, 0.5))["y"]
    assert y.low_mm == pytest.approx(-70, abs=1e-9)
    assert y.room_mm == pytest.approx(-10, abs=1e-9)


def test_without_a_place_only_what_is_too_long_from_every_zero_is_too_long(make: SimpleNamespace) -> None:
    short = reaches(make, make.piece((0, 0, 5), (820, 0, 5)), at=(None, None, None))["x"]
    assert (short.limits_mm, short.room_mm, short.rows) == (None, None, ())
    pieces = make.piece((0, 0, 5), (-100, 0, 5)), make.piece((0, 0, 5), (5, 0, 5)), make.piece((0, 0, 5), (725, 0, 5))
    long = reaches(make, *pieces, at=(None, None, None))["x"]
    assert (long.low_mm, long.high_mm, long.room_mm) == (-100, 725, -5)
    assert (long.rows, long.worst_row) == ((0, 2), 2)


def test_what_is_in_doubt_is_left_out(make: SimpleNamespace) -> None:
    found = reaches(
        make,
        make.piece((-999, 5, 9), (10, 6, 9), start_doubt=[START, SURE, MEMORY], end_doubt=[SURE, SURE, MEMORY]),
        make.piece((0, 7, 9), (30, 999, 9), start_doubt=[SURE, SURE, MEMORY], end_doubt=[SURE, MEMORY, MEMORY]),
    )
    assert (found["x"].low_mm, found["x"].high_mm) == (0, 30)
    assert (found["y"].low_mm, found["y"].high_mm) == (5, 7)
    assert "z" not in found


def test_an_arc_from_a_doubtful_start_is_left_out_in_its_plane(make: SimpleNamespace) -> None:
    arc = make.arc((500, 500, 1), (10, 10, 2), (500, 10, 1), 1, 0.25) | {"start_doubt": [START, SURE, SURE]}
    found = reaches(make, make.piece((0, 0, 5), (20, 20, 5)), arc)
    assert (found["x"].high_mm, found["y"].high_mm) == (20, 20)
    assert found["z"].low_mm == 1


def test_nothing_known_gives_nothing(make: SimpleNamespace) -> None:
    nowhere = [MEMORY] * 3
    assert reaches(make, make.piece((0, 0, 0), (1, 1, 1), start_doubt=nowhere, end_doubt=nowhere)) == {}

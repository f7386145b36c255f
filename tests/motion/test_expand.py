from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.model.moves import Way
from cutworthy.motion import expand
from cutworthy.program import ReadOptions, read_program


def read(text, **options):
    return read_program(text.encode(), ReadOptions(**options), lambda _share: None)


def with_rapids(machine, rapids):
    return replace(machine, control=replace(machine.control, rapids=rapids))


def test_a_dog_leg_bends_where_an_axis_arrives(plover):
    # X and Y run at 50 mm/s, Z at 20: X is there after 0.4 s, Z after 1 s, Y after 2 s.
    pieces = expand(read("G21 G0 X20 Y100 Z20\nM2\n"), with_rapids(plover, "dog-leg"))
    assert (pieces.way == Way.DOG_LEG).all()
    assert pieces.end_mm.tolist() == [pytest.approx(p) for p in ([20, 20, 8], [20, 50, 20], [20, 100, 20])]
    assert pieces.start_mm[1:].tolist() == pieces.end_mm[:-1].tolist()


def test_unknown_rapids_stand_both_ways_and_feeds_once(plover):
    program = read("G21 G0 X20 Y100\nG1 X0 F500\nG4 P1\nG0 Z5\nM2\n")
    pieces = expand(program, with_rapids(plover, "unknown"))
    assert pieces.way.tolist() == [Way.STRAIGHT, Way.DOG_LEG, Way.DOG_LEG, Way.STRAIGHT, Way.STRAIGHT]
    assert pieces.row.tolist() == [0, 0, 0, 1, 3]


def test_along_a_diagonal_of_equal_speeds_both_ways_are_one(plover):
    pieces = expand(read("G21 G0 X30 Y30\nM2\n"), with_rapids(plover, "unknown"))
    assert pieces.way.tolist() == [Way.STRAIGHT]


def test_a_rapid_from_an_unknown_place_is_not_bent(plover):
    pieces = expand(read("G21 G90 G0 X30 Y10\nM2\n", start_mm=None), with_rapids(plover, "dog-leg"))
    assert pieces.way.tolist() == [Way.STRAIGHT]


place = st.tuples(*[st.integers(-400, 400).map(lambda n: n / 4)] * 3)


@given(place, place)
def test_a_dog_leg_ends_where_the_rapid_ends_within_its_box(plover, start, end):
    text = "G21 G1 F100 X{} Y{} Z{}\nG0 X{} Y{} Z{}\nM2\n".format(*start, *end)
    program = read(text)
    pieces = expand(program, with_rapids(plover, "dog-leg"))
    legs = pieces.take(np.flatnonzero(pieces.way == Way.DOG_LEG))
    if len(legs):
        assert legs.end_mm[-1].tolist() == list(end)
        assert (legs.low_mm >= np.minimum(start, end) - 1e-9).all()
        assert (legs.high_mm <= np.maximum(start, end) + 1e-9).all()

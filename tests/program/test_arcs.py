from math import cos, hypot, pi, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.model.program import Level, Plane
from cutworthy.program.arcs import AXES_OF, by_centre, by_radius, last_digit

PLANES = (Plane.XY, Plane.XZ, Plane.YZ)
places = st.tuples(*3 * [st.integers(-500, 500).map(lambda tenths: tenths / 10)])


@given(
    places,
    places,
    st.floats(1.01, 20),
    st.sampled_from((1, -1)),
    st.sampled_from(("G2", "G3")),
    st.sampled_from(PLANES),
)
def test_by_radius_lies_on_the_circle(start: Any, end: Any, factor: float, sign: int, code: str, plane: Plane) -> None:
    clockwise, long = code == "G2", sign < 0
    first, second, _ = AXES_OF[plane]
    chord = hypot(end[first] - start[first], end[second] - start[second])
    if chord < 0.1:
        return
    radius = factor * chord / 2
    arc = by_radius(start, end, sign * radius, plane, clockwise=clockwise)
    for point in (start, end):
        reach = hypot(point[first] - arc.centre[first], point[second] - arc.centre[second])
        assert reach == pytest.approx(radius, rel=1e-9)
    assert (abs(arc.turns) > 0.5) == long
    assert (arc.turns < 0) == clockwise
    again = by_centre(start, end, (arc.centre[first], arc.centre[second]), plane, clockwise=clockwise)
    assert again is not None
    assert again.turns == pytest.approx(arc.turns)


@given(st.floats(0.05, 2 * pi - 0.05))
def test_both_ways_make_a_circle(angle: float) -> None:
    end = (3 * cos(angle), 3 * sin(angle), 1.0)
    back = by_centre((3.0, 0.0, 0.0), end, (0.0, 0.0), Plane.XY, clockwise=True)
    onward = by_centre((3.0, 0.0, 0.0), end, (0.0, 0.0), Plane.XY, clockwise=False)
    assert back is not None
    assert onward is not None
    assert onward.turns == pytest.approx(angle / (2 * pi))
    assert onward.turns - back.turns == pytest.approx(1)


@pytest.mark.parametrize(
    ("text", "digit"),
    [
        ("G2X1.5Y2I3.25F1.123456", 0.01),
        ("G2X1Y2I3", None),
        ("G2X1.Y2.R3.", None),
        ("G3X-.1234R+5.", 1e-4),
        ("N1.55555G2X1.5I1", 0.1),
    ],
)
def test_last_digit(text: str, digit: float | None) -> None:
    assert last_digit(text) == (None if digit is None else pytest.approx(digit))


def test_short_radius_within_rounding_is_half_a_turn(read: Any) -> None:
    # Half the way is 7.0711; R7.071 is short by rounding and must not be refused.
    program = read("G21 G0 X0 Y0\nG2 X10.000 Y10.000 R7.071 F500\nM2")
    assert program.moves.turns[0] == pytest.approx(-0.5)
    assert [p for p in program.problems if p.level is Level.NO_GO] == []


@pytest.mark.parametrize("radius", ["0", "0.0"])
def test_no_radius(read: Any, radius: str) -> None:
    program = read(f"F9 G2 X5 R{radius}\nM2")
    assert [(p.line, p.case) for p in program.problems if p.level is Level.NO_GO] == [(1, "arc-no-radius")]


def test_centre_far_from_the_program_zero(read: Any) -> None:
    program = read("G21 G0 X100010 Y100000\nG3 X100000 Y100010 I-10 F500\nM2")
    assert program.moves.turns[1] == pytest.approx(0.25)


@pytest.mark.parametrize("code", ["G2", "G3"])
def test_full_turn_after_adding_up_increments(read: Any, code: str) -> None:
    # 0.1 + 0.1 + 0.1 is not quite 0.3: the arc that ends there is a full turn, not a point.
    program = read(f"G21 G91 G0 X.1\nX.1\nX.1\nG90 {code} X.3 Y0 I-5 F500\nM2")
    assert abs(program.moves.turns[-1]) == 1


def test_absolute_centres_need_both_words(read: Any) -> None:
    program = read("G0 X10\nG3 X0 Y10 I0 F500\nM2", arc_centres="absolute")
    assert [(p.line, p.case) for p in program.problems if p.level is Level.NO_GO] == [(2, "arc-centre")]


def test_unknown_centres_prefer_offsets(read: Any) -> None:
    program = read("G0 X10\nG3 X0 Y10 I-10 J0 F500\nG0 X10 Y0\nG3 X0 Y10 I0 J0\nM2", arc_centres="unknown")
    assert [(p.line, p.case) for p in program.problems if p.id == "arc-format"] == [(4, "read-absolute")]
    assert program.moves.turns[[1, 3]] == pytest.approx([0.25, 0.25])


def test_stated_offsets_that_only_fit_as_places(read: Any) -> None:
    program = read("G0 X10 Y5\nF9 G3 X0 Y15 I0 J5\nM2")
    assert {(p.id, p.level) for p in program.problems if p.line == 2} == {
        ("arc-mismatch", Level.NO_GO),
        ("arc-format", Level.ASK),
    }


def test_absolute_centres_follow_g92(read: Any) -> None:
    program = read("G0 X10\nG92 X0\nG3 X-10 Y10 I-10 J0 F500\nM2", arc_centres="absolute")
    assert program.moves.centre_mm[1, :2].tolist() == [0, 0]


def test_extents_of_an_arc_that_does_not_close(read: Any) -> None:
    # Drawn with the start's radius 10, grown by the 2 that the radii differ.
    program = read("G0 X10\nG3 X0 Y12 I-10 F500\nM2")
    assert program.cut.low_mm == pytest.approx((-2, -2, 0))
    assert program.cut.high_mm == pytest.approx((12, 14, 0))

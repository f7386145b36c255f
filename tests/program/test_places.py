"""G28, G30, G53 and G92 (NISTIR 6556, 3.5.8, 3.5.12 and 3.5.18)."""

from typing import Any

import pytest

from cutworthy.model.program import Kind

CARD: dict[str, Any] = {"origin_mm": (100.0, 50.0, -20.0), "other_systems_known": False}


def test_machine_coordinates(read: Any) -> None:
    program = read("G92 X5\nG53 G0 X10 Z0\nX5\nM2", **CARD)
    assert program.moves.end_mm.tolist() == [[-90, 0, 20], [0, 0, 20]]


def test_machine_coordinates_in_inches(read: Any) -> None:
    program = read("G20 G53 G1 X1 F5\nM2", origin_mm=(25.4, 0.0, 0.0))
    assert program.moves.end_mm.tolist() == []
    program = read("G20 G53 G1 X2 F5\nM2", origin_mm=(25.4, 0.0, 0.0))
    assert program.moves.end_mm.tolist() == [[25.4, 0, 0]]


def test_machine_coordinates_ignore_increments(read: Any) -> None:
    program = read("G0 X7\nG91 G53 X10\nX1\nM2", origin_mm=(0.0, 0.0, 0.0))
    assert [row[0] for row in program.moves.end_mm] == [7, 10, 11]


def test_machine_coordinates_want_an_axis(read: Any) -> None:
    program = read("G0 G53\nM2")
    assert [(p.line, p.case) for p in program.problems if p.level == "no-go"] == [(1, "no-axis-words")]


def test_home_goes_by_way_of_the_words(read: Any) -> None:
    program = read("G0 X10 Y10 Z5\nG91 G28 X3 Z1\nM2", g28_mm=(100.0, 50.0, 40.0), **CARD)
    assert program.moves.end_mm.tolist() == [[10, 10, 5], [13, 10, 6], [0, 10, 60]]
    assert set(program.moves.kind) == {Kind.RAPID}


def test_second_home(read: Any) -> None:
    program = read("G0 X10\nG30\nM2", g30_mm=(101.0, 51.0, 41.0), **CARD)
    assert program.end_machine_mm == (1, 1, 61)


def test_all_axes_named_is_no_question(read: Any) -> None:
    program = read("G91 G28 X0 Y0 Z0\nM2", g28_mm=(1.0, 1.0, 1.0))
    assert not program.homes_some_axes
    assert "home-some-axes" not in {p.case for p in program.problems}


def test_home_suspends_the_motion_in_force(read: Any) -> None:
    program = read("G1 F100 X5\nG28 X6\nX7\nM2", g28_mm=(0.0, 0.0, 0.0))
    assert list(program.moves.kind) == [Kind.LINE, Kind.RAPID, Kind.RAPID, Kind.LINE]


def test_offsets_of_g92_take_the_system_along(read: Any) -> None:
    program = read("G0 X4\nG92 X7 Y1\nG0 X7 Y0\nM2\n")
    assert program.moves.end_mm.tolist() == [[4, 0, 0], [4, -1, 0]]


def test_g92_in_inches(read: Any) -> None:
    program = read("%\nG20 G0 X4\nG92 X1\nX2\n%\n")
    assert program.end_mm == pytest.approx((50.8, 0, 0))
    assert program.end_machine_mm == pytest.approx((127, 0, 0))


@pytest.mark.parametrize(
    ("text", "x"),
    [
        ("G92.1\nG92.3\nX0", 0),  # cleared for good
        ("G92.2\nX0", 0),  # off
        ("G92.2\nG92.3\nX0", 4),  # and on again
    ],
)
def test_clearing_g92(read: Any, text: str, x: float) -> None:
    assert read(f"G0 X4\nG92 X0\n{text}\nG0 Y1\nM2\n").moves.end_mm[-1, 0] == x


def test_end_of_program_clears_g92(read: Any) -> None:
    program = read("G0 X4\nG92 X0\nM2\n")
    assert program.end_mm == (4, 0, 0)
    assert program.end_machine_mm == (4, 0, 0)

"""Drilling cycles beyond the report's printed examples (NISTIR 6556, 3.5.16)."""

from typing import Any

import numpy as np
import pytest

from cutworthy.model.program import Kind


def heights(program: Any, kind: Kind) -> list[float]:
    return [float(row[2]) for row in program.moves.end_mm[program.moves.kind == kind]]


def test_a_repeat_in_absolute_drills_the_same_hole(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1 L3\nM2")
    assert heights(program, Kind.LINE) == [-1, -1, -1]


def test_pecks_end_exactly_at_the_bottom(read: Any) -> None:
    program = read("F9 G0 Z0.2\nG99 G83 X1 Y1 Z-1 R0.2 Q0.2\nM2")
    feeds = heights(program, Kind.LINE)
    assert feeds == pytest.approx([0, -0.2, -0.4, -0.6, -0.8, -1])
    assert feeds[-1] == -1


def test_small_pecks_never_rapid_up_into_nothing(read: Any) -> None:
    program = read("F9 G0 Z1\nG99 G83 X1 Y1 Z0.7 R1 Q0.1\nM2")
    assert max(program.moves.end_mm[:, 2]) == 1


def test_sticky_numbers_end_with_the_cycle(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nG80\nG81 X2 R1\nM2")
    assert [(p.line, p.case) for p in program.problems if p.level == "no-go"] == [(4, "cycle-bottom")]


def test_another_motion_ends_the_cycle(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nG0 X9\nX8\nM2")
    assert heights(program, Kind.LINE) == [-1]
    assert program.end_mm == (8, 1, 5)


def test_a_line_without_axes_does_not_drill(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nS900\nM8\nM2")
    assert heights(program, Kind.LINE) == [-1]


def test_lone_cycle_words_are_an_error(read: Any) -> None:
    # Hole H8 of the language: a line holding only R, Q, P or L while a cycle is in force.
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nR2\nM2")
    assert [(p.line, p.case) for p in program.problems if p.level == "no-go"] == [(3, "word-unused")]


def test_a_new_plane_wants_all_numbers_again(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nG18 X2\nM2")
    assert [(p.line, p.case) for p in program.problems if p.level == "no-go"] == [(3, "cycle-bottom")]


def test_the_lower_clear_height_is_taken(read: Any) -> None:
    program = read("F9 G0 Z5\nG81 X1 Y1 Z-1 R1\nG99 X2\nG98 X3\nM2")
    assert program.end_mm == (3, 1, 1)


def test_a_cycle_without_feed(read: Any) -> None:
    program = read("G0 Z5\nG81 X1 Y1 Z-1 R1\nM2")
    assert ("feed-missing", 2) in {(p.id, p.line) for p in program.problems}
    assert np.isnan(program.moves.feed_mm_min).all()


def test_shifted_by_g92(read: Any) -> None:
    program = read("F9 G0 Z5\nG92 X1 Z0\nG99 G81 X2 Y1 Z-6 R-4\n%\n")
    assert program.moves.end_mm[-1].tolist() == [1, 1, 1]
    assert heights(program, Kind.LINE) == [-1]


def test_holes_over_the_whole_program_are_limited(read: Any) -> None:
    program = read("F9 G91 G81 X1 Z-1 R0 L15000\n" + "X1 L15000\n" * 3)
    assert [p.line for p in program.problems if p.id == "endless"] == [2, 3, 4]
    assert 0 < len(program.moves) <= 200_000

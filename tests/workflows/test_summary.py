"""What a person checks first, over programs longer than what is looked at together."""

import numpy as np
import pytest

from cutworthy.model.program import PIECE
from cutworthy.workflows.read import read

HEADER = b"G21 G90 G17 G94 G54\n"


def summary(program):
    return outcome(program).summary


def outcome(program):
    return read(program, strict=False, block_delete=False, tools={}, progress=lambda _: None)


def test_a_program_without_moves():
    found = summary(b"M2\n")
    assert found.deepest_mm is found.highest_mm is found.feed_mm_min is found.rpm is found.off_line is None
    assert len(found.first) == len(found.last) == 0


@pytest.mark.parametrize("deep_at", [0, PIECE - 1, PIECE, 2 * PIECE + 3])
def test_the_deepest_line_wherever_it_lies(deep_at):
    cuts = [b"G1 X%d Z-1\n" % (n % 2) for n in range(2 * PIECE + 9)]
    cuts[deep_at] = b"G1 X%d Z-2 F90\nG1 Z-1 F500\n" % (deep_at % 2)
    found = summary(HEADER + b"G0 Z3\nF500\n" + b"".join(cuts) + b"M2\n")
    assert (found.deepest_mm, found.deepest_line, found.highest_mm) == (-2.0, deep_at + 4, 3.0)
    assert found.feed_mm_min == (90.0, 500.0)


def test_of_equal_depths_the_first_line_counts():
    found = summary(HEADER + b"F500 G0 Z3\n" + b"G1 Z-1\nG0 Z3\nG0 X1\n" * (PIECE + 5) + b"M2\n")
    assert found.deepest_line == 3


def test_nobody_knows_from_how_high_the_bit_comes():
    assert summary(HEADER + b"G0 Z-5\nG1 X3 F100\nM2\n").highest_mm == -5.0


def test_an_upright_arc_is_deepest_between_its_ends():
    found = summary(HEADER + b"G0 Z0\nG18 G3 X-10 Z0 I-5 K0 F100\nM2\n")
    assert found.deepest_mm == pytest.approx(-5.0)
    assert found.deepest_line == 3


def test_the_spindle_over_the_cuts():
    lines = b"G1 X1 F100\nS9000 M3\nG1 X2\nS12000 M4\nG1 X3\nM5\nG0 X4\nM2\n"
    found = summary(HEADER + lines)
    assert (found.rpm, found.off_line, found.reversed_line) == ((9000.0, 12000.0), 2, 6)
    assert summary(HEADER + b"M3 S9000\nG0 X1\nM5\nG0 X2\nM2\n").rpm is None  # nothing is cut


def test_no_move_is_shown_twice():
    for count in (3, 5, 7, 10, 11, 30):
        found = summary(HEADER + b"".join(b"G0 X%d\n" % (n + 1) for n in range(count)) + b"M2\n")
        lines = [*found.first.line.tolist(), *found.last.line.tolist()]
        assert lines == sorted(set(lines))
        assert len(lines) == min(count, 10)
        assert lines[-1] == count + 1
        assert found.all_shown == (count <= 10)


def test_pieces_are_the_moves():
    step = b"G1 X1 F100\nG2 X0 Y0 I-0.5 J0\nG4 P0.5\nG93 G1 X1 F2\nG94\nG0 X0\n"
    program = outcome(HEADER + step * (PIECE // 2) + b"M2\n").program
    pieces = list(program.pieces())
    assert len(pieces) == 3
    for name in program.moves.__dataclass_fields__:
        joined = np.concatenate([getattr(piece, name) for piece in pieces])
        np.testing.assert_array_equal(joined, getattr(program.moves, name), err_msg=name)

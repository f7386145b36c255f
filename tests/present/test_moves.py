"""Each kind of move in words."""

from dataclasses import replace

import numpy as np
import pytest

from cutworthy.present.moves import move_lines
from cutworthy.present.show import Display
from cutworthy.workflows.read import read

HEADER = b"G21 G90 G17 G94 G54 F600\nG0 X10 Y0 Z5\n"
FEED = " at 600 mm/min"


def outcome(program):
    return read(program, strict=False, block_delete=False, tools={}, progress=lambda _: None)


def told(lines, header=HEADER, units="mm"):
    """Return the words of the last move of a program."""
    *_, last = move_lines(outcome(header + lines + b"\nM2\n").program.moves, Display(units), begins=True)
    return last


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (b"G0 Z2", "line 3: travels straight down to Z 2"),
        (b"G0 Z7.25", "line 3: travels straight up to Z 7.25"),
        (b"G0 X10.001 Z2", "line 3: travels to X 10.001 Y 0 Z 2"),
        (b"G1 Z-0.5 F20", "line 3: cuts straight down to Z -0.5 at 20 mm/min"),
        (b"G1 Z6", "line 3: cuts straight up to Z 6 at 600 mm/min"),
        (b"G1 Y-3", "line 3: cuts to X 10 Y -3 Z 5 at 600 mm/min"),
        (b"G4 P2", "line 3: waits 2 s"),
        (b"G4 P0.125", "line 3: waits 0.125 s"),
        (b"G4 P90", "line 3: waits 1 min 30 s"),
        (b"G3 X0 Y10 I-10 J0", "line 3: cuts an arc of 90 degrees counter-clockwise to X 0 Y 10 Z 5 at 600 mm/min"),
        (b"G2 X0 Y10 I-10 J0", "line 3: cuts an arc of 270 degrees clockwise to X 0 Y 10 Z 5 at 600 mm/min"),
        (
            b"G2 X10 Y0 I-2.5 J0",
            "line 3: cuts a full circle of radius 2.5 clockwise back to X 10 Y 0 Z 5 at 600 mm/min",
        ),
        (
            b"G3 X0 Y10 Z1 I-10 J0",
            "line 3: cuts a helix of 90 degrees counter-clockwise down to X 0 Y 10 Z 1 at 600 mm/min",
        ),
        (
            b"G3 X10 Y0 Z8 I-10 J0",
            "line 3: cuts a helix of one turn counter-clockwise up to X 10 Y 0 Z 8 at 600 mm/min",
        ),
        (
            b"G18 G2 X0 Z5 I-5 K0",
            "line 3: cuts an upright arc of 180 degrees clockwise seen from the back to X 0 Y 0 Z 5 at 600 mm/min",
        ),
        (
            b"G19 G3 Y10 Z5 J5 K0",
            "line 3: cuts an upright arc of 180 degrees counter-clockwise seen from the right to X 10 Y 10 Z 5" + FEED,
        ),
        (
            b"G19 G3 X14 Y10 Z5 J5 K0",
            "line 3: cuts an upright helix of 180 degrees counter-clockwise seen from the right to X 14 Y 10 Z 5"
            + FEED,
        ),
    ],
)
def test_a_move_in_words(line, words):
    assert told(line) == words


@pytest.mark.parametrize(
    ("end_z", "turns", "words"),
    [
        (5.0, -2.0, "2 full circles of radius 2.5 clockwise back to X 10 Y 0 Z 5"),
        (2.0, 2.0, "a helix of 2 turns counter-clockwise down to X 10 Y 0 Z 2"),
        (2.0, 2.3, "a helix of 2.3 turns counter-clockwise down to X 10 Y 0 Z 2"),
        (5.0, 0.0001, "an arc of 0.036 degrees counter-clockwise to X 10 Y 0 Z 5"),
        (5.0, 1 / 360, "an arc of 1 degree counter-clockwise to X 10 Y 0 Z 5"),
    ],
)
def test_how_far_round(end_z, turns, words):
    moves = outcome(HEADER + b"G2 X10 Y0 I-2.5 J0\nM2\n").program.piece(1, 2)
    turned = replace(moves, turns=np.array([turns]), end_mm=np.array([[10.0, 0.0, end_z]]))
    assert list(move_lines(turned, Display("mm"), begins=False)) == [f"line 3: cuts {words}{FEED}"]


def test_an_upright_arc_turns_as_seen_from_where_the_words_say():
    # Seen from the back X runs to the left: clockwise from X 10 to X 0 goes over the top.
    summary = outcome(HEADER + b"G18 G2 X0 Z5 I-5 K0\nM2\n").summary
    assert summary.highest_mm == pytest.approx(10.0)
    assert summary.deepest_mm == pytest.approx(5.0)


def test_the_first_move_comes_from_nobody_knows_where():
    first, second = told_all(b"G21 G90 G17 G94 G54\nG0 Z5\nG0 Z9\nM2\n", begins=True)
    assert first == "line 2: travels to X 0 Y 0 Z 5"
    assert second == "line 3: travels straight up to Z 9"
    assert told_all(b"G21 G90 G17 G94 G54\nG0 Z5\nG0 Z9\nM2\n", begins=False)[0].endswith("straight up to Z 5")


def told_all(program, *, begins):
    return list(move_lines(outcome(program).program.moves, Display("mm"), begins=begins))


def test_in_inches():
    header = b"G20 G90 G17 G94 G54 F12.5\nG0 X1 Y0 Z0.5\n"
    assert told(b"G1 Z-0.0625", header, "inch") == "line 3: cuts straight down to Z -0.0625 at 12.5 in/min"


def test_no_feed_is_said():
    header = b"G21 G90 G17 G94 G54\nG0 X10 Y0 Z5\n"
    assert told(b"G1 X3", header) == "line 3: cuts to X 3 Y 0 Z 5, no feed given"


def test_the_time_of_an_inverse_time_move_is_a_feed():
    assert told(b"G93 G1 X40 F2") == "line 3: cuts to X 40 Y 0 Z 5 at 60 mm/min"


def test_what_rests_on_a_lost_line_is_in_doubt():
    assert told(b"G1 X1..2\nG1 Y4") == "line 4: cuts to X 10 Y 4 Z 5 at 600 mm/min (X and Z in doubt)"


def test_no_moves_no_words():
    assert told_all(b"M2\n", begins=True) == []

"""What each coordinate rests on: the start, the control's memory, a line that could not be read."""

from typing import Any

import pytest

from cutworthy.model.program import Doubt
from cutworthy.program import ListedTool

NONE, START, MEMORY, LOST = Doubt.NONE, Doubt.START, Doubt.MEMORY, Doubt.LOST

SHOP: dict[str, Any] = {"start_mm": None, "other_systems_known": False}


def ends(program: Any) -> list[tuple[int, ...]]:
    return [tuple(int(code) for code in row) for row in program.moves.end_doubt]


def starts(program: Any) -> list[tuple[int, ...]]:
    return [tuple(int(code) for code in row) for row in program.moves.start_doubt]


def test_an_absolute_word_ends_the_doubt_about_the_start(read: Any) -> None:
    program = read("G90 G0 Z5\nX1 Y2\nG91 X1\nM2", **SHOP)
    assert ends(program) == [(START, START, NONE), (NONE, NONE, NONE), (NONE, NONE, NONE)]
    assert starts(program) == [(START, START, START), (START, START, NONE), (NONE, NONE, NONE)]
    assert program.end_mm == (2, 2, 5)


def test_increments_from_an_unknown_start_stay_in_doubt(read: Any) -> None:
    program = read("G91 G0 X5\nG92 X0\nG90 X7\nM2", **SHOP)
    assert ends(program) == [(START, START, START)] * 2
    assert program.end_mm is None
    assert program.end_machine_mm is None


def test_a_known_start_is_no_doubt(read: Any) -> None:
    program = read("G91 G0 X5\nM2", start_mm=(1.0, 2.0, 3.0))
    assert ends(program) == [(NONE, NONE, NONE)]
    assert program.end_mm == (6, 2, 3)


def test_another_system_rests_on_memory(read: Any) -> None:
    text = "G54 G0 X1 Y1 Z1\nG55\nX2\nG54 X3\nM2"
    program = read(text, **SHOP)
    assert ends(program) == [(NONE, NONE, NONE), (MEMORY, NONE, NONE), (NONE, NONE, NONE)]
    assert [(p.line, p.case) for p in program.problems if p.id == "memory-needed"] == [(2, "system")]
    # Read alone, stored offsets count as zero; that is said, but is no doubt.
    assert ends(read(text)) == [(NONE, NONE, NONE)] * 3


def test_the_zero_frame_may_be_another_system(read: Any) -> None:
    program = read("G55 G0 X1\nM2", system="G55")
    assert "memory-needed" not in {p.id for p in program.problems}
    assert ends(program) == [(NONE, NONE, NONE)]
    assert "memory-needed" in {p.id for p in read("G54 G0 X1\nM2", system="G55").problems}


@pytest.mark.parametrize(
    ("bad", "lost"),
    [
        ("X5 R9", (LOST, NONE, NONE)),
        ("G1 X5 Y6 A9 F100", (LOST, LOST, NONE)),
        ("X5 (open", (LOST, LOST, LOST)),
        ("X5,5", (LOST, LOST, LOST)),
        ("G999", (LOST, LOST, LOST)),
        ("G81 X5 Z-1", (LOST, LOST, LOST)),
        ("S-1", (NONE, NONE, NONE)),
    ],
)
def test_a_bad_line_loses_what_it_may_have_moved(read: Any, bad: str, lost: tuple[int, ...]) -> None:
    program = read(f"G90 G0 X1 Y1 Z1\n{bad}\nG91 X0.5 Y0.5 Z0.5\nG90 X1 Y1 Z1\nM2\n", **SHOP)
    assert ends(program)[1:] == [lost, (NONE, NONE, NONE)]
    assert program.end_mm is None


def test_a_bad_line_changes_nothing_else(read: Any) -> None:
    program = read("F100 G0 X1\nG1 G91 F900 T7 M3 S5 X2 R5\nX3\nM6\nM2\n")
    assert list(program.moves.kind) == [0, 0]
    assert list(program.moves.end_mm[:, 0]) == [1, 3]
    assert list(program.moves.rpm) == [0, 0]
    assert program.changes == ((4, 0),)


PROBED = "F9 G38.2 Z-9\nG0 Z1"  # leaves a number that nobody knows in #5061 to #5066


@pytest.mark.parametrize(
    ("text", "lost"),
    [
        ("G10 L20 P1 X5", (MEMORY, MEMORY, MEMORY)),
        ("G92 X#5061", (MEMORY, MEMORY, MEMORY)),
        ("G0 Z#5063", (NONE, NONE, NONE)),
        ("G28 X#5061", (NONE, NONE, NONE)),
        ("M98 P1", (NONE, NONE, NONE)),
    ],
)
def test_absolute_words_after_a_line_that_is_not_followed(read: Any, text: str, lost: tuple[int, ...]) -> None:
    assert ends(read(f"{PROBED}\nG0 X1 Y1 Z1\n{text}\nG0 X2 Y2 Z2\nM2"))[-1] == lost


@pytest.mark.parametrize(
    ("text", "lost"),
    [
        ("G0 Z#5063", (NONE, NONE, MEMORY)),
        ("G0 Y2 Z#5063", (NONE, NONE, MEMORY)),
        ("G#5061 X2", (LOST, LOST, LOST)),
        ("G28 X#5061", (LOST, LOST, LOST)),
        ("G92 X#5061", (LOST, LOST, LOST)),
        ("G2 X5 I#5061", (LOST, NONE, NONE)),
        ("M98 P1", (LOST, LOST, LOST)),
        ("IF [#1 EQ 2] GOTO 5", (LOST, LOST, LOST)),
        ("G38.2 Z-5 F9", (NONE, NONE, MEMORY)),
        ("#1=#5061", (NONE, NONE, NONE)),
        ("F#5061", (NONE, NONE, NONE)),
    ],
)
def test_a_number_nobody_knows_loses_what_it_may_have_moved(read: Any, text: str, lost: tuple[int, ...]) -> None:
    program = read(f"{PROBED}\nG0 X1 Y1 Z1\n{text}\nG91 G0 X1 Y1 Z1\nM2")
    assert ends(program)[-1] == lost
    assert (program.end_mm is None) == any(lost)


def test_codes_beside_a_number_nobody_knows_are_obeyed(read: Any) -> None:
    program = read(f"{PROBED}\nG1 F600 X#5061\nY5\nF#5061 Y6\nM2")
    assert list(program.moves.kind[-2:]) == [1, 1]
    assert program.moves.feed_mm_min[-2:] == pytest.approx([600, float("nan")], nan_ok=True)
    assert "feed-missing" not in {p.id for p in program.problems}


def test_path_control_moves_nothing(read: Any) -> None:
    program = read("G61\nG64 P0.05\nG0 X1 Y1 Z1\nG61.1\nX2\nM2")
    assert ends(program) == [(NONE, NONE, NONE)] * 2
    assert list(program.moves.path) == [0, 2]
    assert [(p.line, p.quote) for p in program.problems if p.id == "not-supported"] == [(2, "G64 P0.05")]


def test_a_parameter_of_the_control(read: Any) -> None:
    text = "G0 X1 Y1 Z1\nX#7\nZ1.5\nM2"
    # By the report it begins at zero; otherwise nobody knows it.
    assert read(text, strict=True).end_mm == (0, 1, 1.5)
    for options in ({}, SHOP):
        program = read(text, **options)
        assert ends(program)[-1] == (MEMORY, NONE, NONE)
        assert [p.line for p in program.problems if p.case == "parameter"] == [2]


@pytest.mark.parametrize(
    ("text", "rests"),
    [
        ("#5063=0\nF9 G38.2 Z-30\nG0 Z[#5063+5]", MEMORY),  # the touch is not what was set before it
        ("F9 G38.2 Z0\nG92 Z15\nG0 Z25", MEMORY),  # also where the way looks like none
        ("#1=5\n#[#500]=7\nG0 Z#1", MEMORY),  # which one was set, nobody knows
        ("G#500\nG0 Z5", MEMORY),  # it may have been G20
        ("#1=0\nG0 Z[10/#1]\nG91 Z1", LOST),
    ],
)
def test_numbers_that_nobody_knows(read: Any, text: str, rests: int) -> None:
    program = read(f"G0 X1 Y1 Z1\n{text}\nX5\nM2", start_mm=None, other_systems_known=False)
    assert ends(program)[-1][2] == rests


def test_another_bit_in_machine_coordinates(read: Any) -> None:
    text = "G0 X1 Y1 Z1\nT{} M6\nG53 G0 Z-20\nX5\nM2"
    known = {"origin_mm": (100.0, 100.0, -50.0), "zero_tool": 1, "lengths": "touched-off"} | SHOP
    assert ends(read(text.format(1), **known))[-1] == (NONE, NONE, NONE)
    assert ends(read(text.format(2), **known))[-1] == (NONE, NONE, MEMORY)


def test_a_stored_zero_has_the_length_in_it(read: Any) -> None:
    text = "G0 X1 Y1 Z1\nG10 L2 P1 Z-10\nG0 Z0\nM2"
    for lengths, rests in (("touched-off", NONE), ("table", MEMORY), ("unknown", MEMORY)):
        assert ends(read(text, lengths=lengths, **SHOP))[-1][2] == rests


def test_from_the_unknown_to_the_known_is_a_move(read: Any) -> None:
    # The unknown start stands in the columns as 0, 0, 0.
    program = read("G0 X0 Y0\nZ0\nM2", **SHOP)
    assert ends(program) == [(NONE, NONE, START), (NONE, NONE, NONE)]


def test_a_code_that_is_worked_out(read: Any) -> None:
    program = read("#1=98 #2=7\nM#1 P#2 L2\nM2\nO7\nG91 G0 X3\nM99")
    assert program.end_mm == (6, 0, 0)


def test_a_refused_line_leaves_no_trace(read: Any) -> None:
    # The arc of line 4 fits badly, but no line follows it: its radius is too narrow for the tool.
    tools = {1: ListedTool(diameter_mm=6.0)}
    program = read("F9 G41 D1\nG1 X20\nX40\nG3 X42.1 Y2 J2\nM2", tools=tools)
    assert {p.case for p in program.problems if p.line == 4} == {"side-narrow"}


def test_compensation_and_length_end(read: Any) -> None:
    assert ends(read("G41 D1 G43 H1\nG40 G49\nG0 X1 Y1 Z1\nM2")) == [(NONE, NONE, NONE)]


HOME = "G0 X1 Y1 Z1\nG28\nM2"


def test_home_from_the_card(read: Any) -> None:
    known = {"g28_mm": (0.0, 0.0, 60.0), "origin_mm": (100.0, 100.0, -50.0)} | SHOP
    program = read(HOME, **known)
    assert "memory-needed" not in {p.id for p in program.problems}
    assert program.end_machine_mm == (-100, -100, 110)


def test_home_without_the_card(read: Any) -> None:
    program = read(HOME, g28_mm=None, **SHOP)
    assert {p.case for p in program.problems if p.id == "memory-needed"} == {"home"}
    assert program.end_mm is None


def test_zero_unknown_in_machine_coordinates(read: Any) -> None:
    program = read("G0 X1 Y1 Z1\nG53 Z0\nX2\nM2", origin_mm=(0.0, 0.0, None), **SHOP)
    assert ends(program)[-1] == (NONE, NONE, MEMORY)
    assert {str(p.numbers["axes"]) for p in program.problems if p.case == "zero-place"} == {"Z"}


def test_stored_offset(read: Any) -> None:
    assert ends(read("G92.3\nG0 X1 Y1 Z1\nM2", **SHOP)) == [(MEMORY, MEMORY, MEMORY)]
    assert ends(read("G92.3\nG0 X1 Y1 Z1\nM2")) == [(NONE, NONE, NONE)]


@pytest.mark.parametrize(
    ("text", "x"),
    [
        ("#5161=7\nG91 G28 X0", 7),  # the place of home
        ("G92 X3\n#7=#5211\nG92.1\nG90 X#7", -2),  # the offset of G92: from 3 to where X1 is
        ("G10 L2 P2 X9\nX#5241", 9),  # where a coordinate system begins
        ("#5241=4\nG55 X1", 5),
        ("#5220=2\nG56\nX#5220", 3),
        ("G56\nX#5220", 3),  # the number of the system in force
        ("#5211=2\nG92.3 X0", 2),
    ],
)
def test_numbers_that_the_control_keeps(read: Any, text: str, x: float) -> None:
    # NISTIR 6556, Table 2.
    assert read(f"%\nG0 X1\n{text}\n%").end_machine_mm[0] == x


def test_numbers_that_the_control_keeps_follow_the_units(read: Any) -> None:
    assert read("%\nG20 G10 L2 P2 X1\n#1=#5241\nG21\nG0 X[#5241-#1]\n%").end_machine_mm[0] == pytest.approx(24.4)

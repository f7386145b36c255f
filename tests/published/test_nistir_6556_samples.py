"""NISTIR 6556: its session of Table 10, the expressions of C.2, the cycles of C.3, the contours of Tables 12 and 13.

T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274NGC Interpreter - Version 3", NISTIR 6556,
National Institute of Standards and Technology, 17 August 2000. Table 5.1.2 prints its lines to four
decimals; C.2 prints a value beside most lines, to as many digits as stand here; of C.3 and Table 12
the report prints the program, the moves were computed from its text outside this package.
"""

import math
import re

import numpy as np
import pytest

from cutworthy.model.program import Kind, Level, Program
from cutworthy.program import ListedTool, ReadOptions, read_program

INCH = 25.4
LETTERS = {Kind.RAPID: "R", Kind.LINE: "F", Kind.ARC: "A", Kind.DWELL: "D"}


def read(text: str, **options: object) -> Program:
    chosen = ReadOptions(**{"units_at_start": "mm", "strict": True, **options})  # type: ignore[arg-type]
    program = read_program(text.encode(), chosen, lambda _share: None)
    assert [p for p in program.problems if p.level is Level.NO_GO] == []
    return program


def told(program: Program, *, unit: float = 1.0, line: int | None = None) -> list[tuple[str, tuple[float, ...]]]:
    """Return the moves as letter and end."""
    moves = program.moves
    rows = range(len(moves)) if line is None else np.flatnonzero(moves.line == line)
    return [(LETTERS[Kind(moves.kind[row])], tuple(float(x) for x in moves.end_mm[row] / unit)) for row in rows]


def expected(text: str) -> list[tuple[str, tuple[float, ...]]]:
    """Return ``R(1,2,3) F(1,2,0)`` as letters and places."""
    return [
        (letter, tuple(float(number) for number in numbers.split(",")))
        for letter, numbers in re.findall(r"([RFAD])\(([^)]*)\)", text)
    ]


def assert_moves(made: list[tuple[str, tuple[float, ...]]], text: str, within: float) -> None:
    wanted = expected(text)
    assert [letter for letter, _ in made] == [letter for letter, _ in wanted]
    np.testing.assert_allclose([end for _, end in made], [end for _, end in wanted], rtol=0, atol=within)


# 5.1.2, Table 10: tool 2 has length 1.0. The line that the report refuses is left out; it changes nothing.
TABLE_10 = """\
g1 x3 y1 f20.0
g2 x[6-[4*3/2]] r 7.01 z0.5
(that was a helical arc)
t2
m6 g43 h2
"""
AFTER = "g1 x asin[0.5]\ng91 g81 x3 y2 z-0.8 r1.5 l2\n"


def test_table_10() -> None:
    tools = {2: ListedTool(length_mm=1.0)}
    program = read(TABLE_10 + AFTER + "M2", tools=tools)
    made = [(letter, (x, y, z - 1.0)) for letter, (x, y, z) in told(program)]  # the report shows program coordinates
    assert_moves(
        made[2:],
        "F(30,1,-0.5) R(30,1,1) R(33,3,1) F(33,3,0.2) R(33,3,1) R(36,5,1) F(36,5,0.2) R(36,5,1)",
        5e-5,
    )
    assert_moves(told(program)[:2], "F(3,1,0) A(0,1,0.5)", 5e-5)
    assert program.moves.centre_mm[1, :2] == pytest.approx((1.5, 7.8476), abs=5e-5)
    assert program.moves.turns[1] < 0


def test_table_10_ends_with_the_length_still_acting() -> None:
    # Line 14 shows Z -0.5 after M2: the end of a program does not switch the length off.
    program = read(TABLE_10 + "M2", tools={2: ListedTool(length_mm=1.0)})
    assert program.end_mm == pytest.approx((0, 1, -0.5), abs=5e-5)
    assert program.end_machine_mm == pytest.approx((0, 1, 0.5), abs=5e-5)


# Appendix C.2: the word, the value, its last printed digit.
C_2 = [
    ("[1 + 2]", 3, 1e-9),
    ("[1 - 2]", -1, 1e-9),
    ("[1 --3]", 4, 1e-9),
    ("[2/5]", 0.40, 1e-9),
    ("[3.0 * 5]", 15, 1e-9),
    ("[0 OR 0]", 0, 1e-9),
    ("[0 OR 1]", 1, 1e-9),
    ("[2 or 2]", 1, 1e-9),
    ("[0 AND 0]", 0, 1e-9),
    ("[0 AND 1]", 0, 1e-9),
    ("[2 and 2]", 1, 1e-9),
    ("[0 XOR 0]", 0, 1e-9),
    ("[0 XOR 1]", 1, 1e-9),
    ("[2 xor 2]", 0, 1e-9),
    ("[15 MOD 4.0]", 3, 1e-9),
    ("[1 + 2 * 3 - 4 / 5]", 6.2, 1e-9),
    ("sin[30]", 0.5, 1e-9),
    ("cos[0.0]", 1.0, 1e-9),
    ("tan[60.0]", 1.7321, 5e-5),
    ("sqrt[3]", 1.7321, 5e-5),
    ("atan[1.7321]/[1.0]", 60.0, 5e-2),
    ("asin[1.0]", 90.0, 1e-9),
    ("acos[0.707107]", 45.0000, 5e-5),
    ("abs[20.0]", 20, 1e-9),
    ("abs[-1.23]", 1.23, 1e-9),
    ("round[-0.499]", 0, 1e-9),
    ("round[-0.5001]", -1.0, 1e-9),
    ("round[2.444]", 2, 1e-9),
    ("round[9.975]", 10, 1e-9),
    ("fix[-0.499]", -1.0, 1e-9),
    ("fix[-0.5001]", -1.0, 1e-9),
    ("fix[2.444]", 2, 1e-9),
    ("fix[9.975]", 9, 1e-9),
    ("fup[-0.499]", 0.0, 1e-9),
    ("fup[-0.5001]", 0.0, 1e-9),
    ("fup[2.444]", 3, 1e-9),
    ("fup[9.975]", 10, 1e-9),
    ("exp[2.3026]", 10, 5e-4),
    ("ln[10.0]", 2.3026, 5e-5),
    ("[2 ** 3.0] #1=2.0", 8.0, 1e-9),
    # 3.3.2.3 and 3.3.2.4: the examples in the text.
    ("[2.0 / 3 * 1.5 - 5.5 / 11.0]", 0.5, 1e-9),
    ("FIX[2.8]", 2, 1e-9),
    ("FIX[-2.8]", -3, 1e-9),
    ("FUP[2.8]", 3, 1e-9),
    ("FUP[-2.8]", -2, 1e-9),
    # n0460: no value printed; 2.0005 from a four-quadrant arc tangent, worked out by hand.
    ("[2 + asin[1/2.1+-0.345] / [atan[fix[4.4] * 2.1 * sqrt[16.8]] /[-18]]**2]", 2.0005, 5e-5),
    ("sqrt[3**2 + 4**2]", 5.0, 1e-9),
]


@pytest.mark.parametrize(("word", "value", "within"), C_2, ids=[row[0] for row in C_2])
def test_c2(word: str, value: float, within: float) -> None:
    program = read(f"g21 g1 x-77 f20\nx {word}\nm2")
    assert program.end_mm[0] == pytest.approx(value, abs=within)


def test_c2_parameters() -> None:
    # n0410 to n0450: #1=2.0, then #[#1] = 0.375, then values taken before any is set.
    program = read("g21 g1 x3 f20\nx [2 ** 3.0] #1=2.0\n##1 = 0.375\nx #2 #3=7.0\n#3=5.0 x #3\nx #3 #3=1.1\nm2")
    assert [end[0] for _, end in told(program)] == [3, 8, 0.375, 7, 5]


# Appendix C.3, moves computed from the text of 3.5.16 in the report's own units, line by line.
C_3 = """\
n0010 g20 (cycle test)
n0020 g17 g43 h1 m3 s1234 f16 (start in XY-plane)
n0030 g81 x3 y4 r0.2 z-1.1
n0040 x1 y0 r0 g91 l3 (three more g81's an inch apart)
n0050 y-2 r0.1 (one more g81)
n0060 g82 g90 x4 y5 r0.2 z-1.1 p0.6
n0070 x2 z-3.0 (one more G82)
n0080 g91 x-2 y2 r0 l4 (four more g82's)
n0090 g83 g90 x5 y6 r0.2 z-1.1 q0.21
n0100 g84 x6 y7 r0.2 z-1.1
n0110 g85 x7 y8 r0.2 z-1.1
n0120 g86 x8 y9 r0.2 z-1.1 p902.61
n0130 g87 x9 y10 r0.2 z-1.1 i0.231 j-0 k-3
n0135 g91 x1 r0.2 z-1.1 i0.231 j-0 k-3
n0140 g88 x10 y11 r0.2 z-1.1 p0.3333
n0150 g89 x11 y12 r0.2 z-1.1 p1.272
n0160 m4 (run spindle counterclockwise)
n0170 g86 x8 y9 r0.2 z-1.1 p902.61
n0180 g87 x9 y10 r0.2 z-1.1 i0.231 j-0 k-3
n0190 g88 x10 y11 r0.2 z-1.1 p0.3333
n0220 g18 m3 (now run all cycles in the XZ-plane)
n0230 g81 z3 x4 r0.2 y-1.1
n0240 g91 z1 x0 r0 l3
n0260 g82 g90 z4 x5 r0.2 y-1.1 p0.6
n0280 g91 z-2 x2 r0 l4
n0290 g83 g90 z5 x6 r0.2 y-1.1 q0.21
n0300 g84 z6 x7 r0.2 y-1.1
n0310 g85 z7 x8 r0.2 y-1.1
n0320 g86 z8 x9 r0.2 y-1.1 p902.61
n0330 g87 z9 x10 r0.2 y-1.1 k0.231 i-0 j-3
n0335 g91 z1 r0.2 y-1.1 k0.231 i-0 j-3
n0340 g88 z10 x11 r0.2 y-1.1 p0.3333
n0350 g89 z11 x12 r0.2 y-1.1 p1.272
n0420 g19 (now run all cycles in the YZ-plane)
n0430 g81 y3 z4 r0.2 x-1.1
n0440 g91 y1 z0 r0 l3
n0460 g82 g90 y4 z5 r0.2 x-1.1 p0.6
n0480 g91 y-2 z2 r0 l4
n0490 g83 g90 y5 z6 r0.2 x-1.1 q0.21
n0500 g84 y6 z7 r0.2 x-1.1
n0510 g85 y7 z8 r0.2 x-1.1
n0520 g86 y8 z9 r0.2 x-1.1 p902.61
n0530 g87 y9 z10 r0.2 x-1.1 j0.231 k-0 i-3
n0535 g91 y1 r0.2 x-1.1 j0.231 k-0 i-3
n0540 g88 y10 z11 r0.2 x-1.1 p0.3333
n0550 g89 y11 z12 r0.2 x-1.1 p1.272
n1000 m2 (the end)
"""
LENGTH = 2.0  # of slot 1 in the report's Table 1: H1 puts the start at Z -2
IN_C_3 = {
    3: "R(0,0,0.2) R(3,4,0.2) F(3,4,-1.1) R(3,4,0.2)",
    4: "R(4,4,0.2) F(4,4,-0.9) R(4,4,0.2) R(5,4,0.2) F(5,4,-0.9) R(5,4,0.2) R(6,4,0.2) F(6,4,-0.9) R(6,4,0.2)",
    5: "R(6,4,0.3) R(6,2,0.3) F(6,2,-0.8) R(6,2,0.3)",
    6: "R(4,5,0.3) R(4,5,0.2) F(4,5,-1.1) D(4,5,-1.1) R(4,5,0.3)",
    7: "R(2,5,0.3) R(2,5,0.2) F(2,5,-3) D(2,5,-3) R(2,5,0.3)",
    8: "R(0,7,0.3) F(0,7,-2.7) D(0,7,-2.7) R(0,7,0.3) R(-2,9,0.3) F(-2,9,-2.7) D(-2,9,-2.7) R(-2,9,0.3)"
    " R(-4,11,0.3) F(-4,11,-2.7) D(-4,11,-2.7) R(-4,11,0.3) R(-6,13,0.3) F(-6,13,-2.7) D(-6,13,-2.7) R(-6,13,0.3)",
    10: "R(6,7,0.3) R(6,7,0.2) F(6,7,-1.1) F(6,7,0.3)",
    11: "R(7,8,0.3) R(7,8,0.2) F(7,8,-1.1) F(7,8,0.3)",
    12: "R(8,9,0.3) R(8,9,0.2) F(8,9,-1.1) D(8,9,-1.1) R(8,9,0.3)",
    13: "R(9,10,0.3) R(9,10,0.2) R(9.231,10,0.2) R(9.231,10,-1.1) R(9,10,-1.1) F(9,10,-3) F(9,10,-1.1)"
    " R(9.231,10,-1.1) R(9.231,10,0.3) R(9,10,0.3)",
}
ENDS_IN_C_3 = {14: (10, 10, 0.5), 15: (20, 21, -0.4), 16: (31, 33, -0.2), 20: (58, 63, -0.7)}


@pytest.fixture(scope="module")
def c_3() -> Program:
    return read(C_3, tools={1: ListedTool(length_mm=LENGTH * INCH)})


def in_program(made: list[tuple[str, tuple[float, ...]]]) -> list[tuple[str, tuple[float, ...]]]:
    return [(letter, (x, y, z - LENGTH)) for letter, (x, y, z) in made]


@pytest.mark.parametrize("line", IN_C_3)
def test_c3_line_by_line(c_3: Program, line: int) -> None:
    assert_moves(in_program(told(c_3, unit=INCH, line=line)), IN_C_3[line], 1e-9)


@pytest.mark.parametrize("line", ENDS_IN_C_3)
def test_c3_ends_of_lines(c_3: Program, line: int) -> None:
    assert in_program(told(c_3, unit=INCH, line=line))[-1][1] == pytest.approx(ENDS_IN_C_3[line], abs=1e-9)


def test_c3_pecks(c_3: Program) -> None:
    made = in_program(told(c_3, unit=INCH, line=9))
    feeds = [row for row, (letter, _) in enumerate(made) if letter == "F"]
    assert [made[row][1][2] for row in feeds] == pytest.approx([-0.01, -0.22, -0.43, -0.64, -0.85, -1.06, -1.1])
    assert all(made[row + 1][1][2] == pytest.approx(0.3) for row in feeds)


def test_c3_dwells_and_feeds(c_3: Program) -> None:
    moves = c_3.moves
    dwells = moves.line[moves.kind == Kind.DWELL]
    seconds = dict(zip(dwells.tolist(), moves.seconds[moves.kind == Kind.DWELL].tolist(), strict=True))
    assert [seconds[line] for line in (6, 7, 8, 12, 15, 16)] == [0.6, 0.6, 0.6, 902.61, 0.3333, 1.272]
    assert set(np.round(moves.feed_mm_min[moves.feeds] / INCH, 9)) == {16}


def test_c3_ends(c_3: Program) -> None:
    assert c_3.end_mm == pytest.approx([value * INCH for value in (32.7, 31, 33)], abs=1e-9)


def test_c3_spindle(c_3: Program) -> None:
    # 3.5.16.5 to 3.5.16.8: G84 backs out turning the other way, G86 and G87 travel with the spindle stopped.
    moves = c_3.moves
    rpm = {line: moves.rpm[moves.line == line].tolist() for line in (10, 12, 13, 18)}
    assert rpm[10] == [1234, 1234, 1234, -1234]
    assert rpm[12] == [1234, 1234, 1234, 1234, 0]
    assert rpm[13] == [1234, 1234, 1234, 0, 0, 1234, 1234, 0, 0, 0]
    assert rpm[18][-1] == 0
    assert rpm[18][0] == -1234


# B.3.1.1, Table 12: the edge of the material with a tool of diameter 1. B.4, Table 13: the path itself.
TABLE_12 = """\
G1 X1 Y5 F9
G41 D1 G1 Y4
G3 X2 Y3 I1
G2 X3 Y2 J-1
G1 Y-1
G2 X2 Y-2 I-1
G1 X-2
G2 X-2.6 Y-0.2 J1
G1 X1.4 Y2.8
G2 X2 Y3 I0.6 J-0.8
G40
M2
"""
TABLE_13 = """\
G1 X1.5 Y5 F9
G1 Y4
G3 X2 Y3.5 I0.5
G2 X3.5 Y2 J-1.5
G1 Y-1
G2 X2 Y-2.5 I-1.5
G1 X-2
G2 X-2.9 Y0.2 J1.5
G1 X1.1 Y3.2
G2 X2 Y3.5 I0.9 J-1.2
M2
"""


def test_the_compensated_edge_makes_the_nominal_path() -> None:
    made = read(TABLE_12, tools={1: ListedTool(diameter_mm=1.0)}).moves
    path = read(TABLE_13).moves
    # From the corner arc on, every move of Table 13 is there, with its centre and turn.
    np.testing.assert_allclose(made.end_mm[2:], path.end_mm[1:], atol=1e-12)
    np.testing.assert_allclose(made.centre_mm[3:], path.centre_mm[2:], atol=1e-12)
    np.testing.assert_allclose(made.turns[3:], path.turns[2:], atol=1e-12)


def test_the_first_compensated_move() -> None:
    # B.6: a triangle with its right angle at the tool: (1.4330, 4.2500), then an arc about (1, 4) to (1.5, 4).
    made = read(TABLE_12, tools={1: ListedTool(diameter_mm=1.0)}).moves
    assert made.end_mm[1, :2] == pytest.approx((1.4330, 4.2500), abs=5e-5)
    assert made.end_mm[2, :2] == pytest.approx((1.5, 4.0), abs=1e-12)
    assert made.centre_mm[2, :2] == pytest.approx((1, 4))
    assert made.turns[2] == pytest.approx(-30 / 360)


def test_a_nominal_path_with_a_tool_of_its_size_stays() -> None:
    # B.4: the table holds the difference, here none; B.4 too: a negative diameter changes sides.
    marked = TABLE_13.replace("G1 Y4", "G41 D1 G1 Y4")
    made = read(marked, tools={1: ListedTool(diameter_mm=0.0)}).moves
    np.testing.assert_allclose(made.end_mm, read(TABLE_13).moves.end_mm, atol=1e-12)
    other = TABLE_12.replace("G41", "G42")
    np.testing.assert_allclose(
        read(other, tools={1: ListedTool(diameter_mm=-1.0)}).moves.end_mm,
        read(TABLE_12, tools={1: ListedTool(diameter_mm=1.0)}).moves.end_mm,
    )


def test_sweeps_of_the_contour() -> None:
    # B.3.1.1: 90 ccw, then 90, 90, 143.130 and 36.870 cw.
    plain = read(TABLE_12.replace("G41 D1 ", "")).moves
    turns = plain.turns[~np.isnan(plain.turns)] * 360
    assert turns == pytest.approx([90, -90, -90, -math.degrees(math.acos(-0.8)), -36.870], abs=5e-4)


def test_table_6_probes_a_hole() -> None:
    # 3.5.9.3, Table 6: what the probe finds nobody knows; the program is read to its end all the same.
    text = """\
#1001=10 #1002=20 #1003=-1 #1004=0.5 #1005=[8/2.0-#1004]
G0 X#1001 Y#1002 F100
Z#1003
G38.2 X[#1001+#1005]
#1011=#5061
G0 X#1001 Y#1002
G38.2 X[#1001-#1005]
#1021=[[#1011+#5061]/2.0]
G0 X#1021 Y#1002
M2
"""
    program = read(text)
    assert [p.line for p in program.problems if p.id == "probe"] == [4, 7]
    assert program.end_mm is None

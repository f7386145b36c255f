"""NISTIR 6556: the programs printed in it, and small ones built on its rules.

T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274NGC Interpreter - Version 3", NISTIR 6556,
National Institute of Standards and Technology, 17 August 2000. Sections stand beside each case.
Values that the report does not print were computed from its text, outside this package.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from cutworthy.model.program import Kind, Level, Program
from cutworthy.program import ReadOptions, read_program

INCH = 25.4
LETTERS = {Kind.RAPID: "R", Kind.LINE: "F", Kind.ARC: "A", Kind.DWELL: "D"}

Place = tuple[float, float, float]


def read(program: str, **options: object) -> Program:
    chosen = ReadOptions(**{"units_at_start": "mm", "strict": True, **options})  # type: ignore[arg-type]
    return read_program(program.encode(), chosen, lambda _share: None)


def no_go_lines(program: Program) -> list[int]:
    return [problem.line for problem in program.problems if problem.level is Level.NO_GO]


def ids(program: Program) -> set[str]:
    return {problem.id for problem in program.problems}


def told(program: Program, unit: float = 1.0) -> list[tuple[str, Place]]:
    """Return the moves as letter and end, as section 4.3.6 of the report names them."""
    ends = program.moves.end_mm / unit
    return [
        (LETTERS[Kind(kind)], (float(x), float(y), float(z)))
        for kind, (x, y, z) in zip(program.moves.kind, ends, strict=True)
    ]


def moves(text: str) -> list[tuple[str, Place]]:
    """Return ``R(1,2,3) F(1,2,0)`` as letters and places."""
    found = []
    for piece in text.replace(" ", "").strip(")").split(")"):
        letter, numbers = piece.split("(")
        x, y, z = (float(number) for number in numbers.split(","))
        found.append((letter, (x, y, z)))
    return found


def assert_moves(program: Program, text: str, unit: float = 1.0) -> None:
    expected, made = moves(text), told(program, unit)
    assert [letter for letter, _ in made] == [letter for letter, _ in expected]
    assert np.allclose([end for _, end in made], [end for _, end in expected], atol=1e-9)


@dataclass(frozen=True)
class Case:
    """A program and where it leads: program coordinates, zero frame, moves."""

    section: str
    program: str
    end: Place | None = None
    machine: Place | None = None
    moves: str | None = None
    block_delete: bool = False


GOOD = {
    "T01": Case("3.3; 3.3.2.1", "G21\nG0X -1. 2 5Y+0 .5\nM2", end=(-1.25, 0.5, 0)),
    "3.3": Case("3.3", "g0x +0. 12 34y 7\nM2", end=(0.1234, 7, 0)),
    "T03": Case("3.3.2.1; 3.8 items 20-21", "G21 G0 X.5 Y1. Z-.25 M2", end=(0.5, 1, -0.25)),
    "T13": Case("3.3.4; 3.3.5", "(first) G0 X2 (second)\nM2", end=(2, 0, 0), moves="R(2,0,0)"),
    "T15": Case("2.2.2", "G0 X1\n/G0 X5\nM2", end=(5, 0, 0)),
    "T16": Case("2.2.2", "G0 X1\n/G0 X5\nM2", end=(1, 0, 0), block_delete=True),
    "T18": Case("3.1", "%\nG0 X3\n%\nG0 X9", end=(3, 0, 0)),
    "T21": Case("3.1; 3.6.1; 5.1.3", "G0 X1\nM2\nG0 X99\nthis is not code", end=(1, 0, 0)),
    "T26": Case("3.3.2.2", "#1=2 #3=9\nG0 X[#1+2] Y#[1+2]\nM2", end=(4, 9, 0)),
    "T28": Case("3.3.5; 3.3.6", "#7=1 #7=4\nG0 X#7\nM2", end=(4, 0, 0)),
    "T30": Case("3.3.2.4; C.2", "G0 X FIX[-2.8] Y FUP[-2.8] Z ROUND[-0.5001]\nM2", end=(-3, -2, -1)),
    "T31": Case("3.3.2.4", "G0 X ATAN[1]/[-1] Y SIN[30] Z[17 MOD 5]\nM2", end=(135, 0.5, 2)),
    "3.3.3": Case("3.3.3", "#3=15\n#3=6 G1 X#3 F9\nY#3\nM2", end=(15, 6, 0)),
    "3.5": Case("3.5", "G[2*5] L[1+1] P2 X1 Y2 Z3\nG55 G0 X0 Y0 Z0\nM2", machine=(1, 2, 3)),
    "3.5.5": Case("3.5.5", "G10 L2 P1 X3.5 Y17.2\nG0 X0 Y0\nM2", end=(0, 0, 0), machine=(3.5, 17.2, 0)),
    "3.5.14": Case("3.5.14", "G61\nG61.1\nG64\nG0 X1\nM2", end=(1, 0, 0)),
    "T35": Case("3.3.7", "G21 G1 X10 F300\nY10\nX0\nM2", end=(0, 10, 0), moves="F(10,0,0) F(10,10,0) F(0,10,0)"),
    "T38": Case("3.4; 3.5.18", "G1 X5 F100\nG92 X0\nX1\nM2", machine=(6, 0, 0), moves="F(5,0,0) F(6,0,0)"),
    "T40": Case("3.5.17", "G90 G0 X10 Y10\nG91 X-2 Y3\nX-2 Y3\nM2", end=(6, 16, 0)),
    "T41": Case("2.1.2.10; 4.3.3.3", "G20 G0 X1\nG21\nG0 Y25.4\nM2", end=(25.4, 25.4, 0)),
    "T45": Case("3.5.18 (worked example)", "%\nG0 X4\nG92 X7\nG92 X9\nG0 X0\n%", end=(0, 0, 0), machine=(-5, 0, 0)),
    "T46": Case("3.5.18", "%\nG0 X4\nG92 X0\nG92.2\nG0 X4\nG92.3\nG0 X4\n%", end=(4, 0, 0), machine=(8, 0, 0)),
    "T48": Case("3.6.1", "G92 X5\nG91 G55 G18 G93 M3 S1000\nM2", end=(0, 0, 0), machine=(0, 0, 0)),
    "T50": Case("3.5.3.2; 4.3.6.1", "G21 G0 X10 Y0\nG2 X0 Y10 I-10 F500\nM2", end=(0, 10, 0)),
    "T51": Case("3.5.3.2", "G0 X10 Y0\nG2 X10 Y0 I-5 J0 F500\nM2", end=(10, 0, 0)),
    "T53": Case("3.5.3; 2.1.2.6", "G0 X10 Y0\nG3 X-10 Y0 Z-3 I-10 F500\nM2", end=(-10, 0, -3)),
    "T55": Case("3.5.3.2; 4.3.6.1", "G19 G0 X0 Y10 Z0\nG3 X-1.5 Y0 Z10 J-10 F500\nM2", end=(-1.5, 0, 10)),
    "T56": Case("3.5.3.2", "G21 G0 X10 Y0\nG3 X0 Y10.0015 I-10 F500\nM2", end=(0, 10.0015, 0)),
    "T60": Case("3.5.3.1", "G0 X0 Y0\nG2 X10 Y10 R-10 F500\nM2", end=(10, 10, 0)),
    "T63": Case("3.5.17; 3.5.3.2", "G91 G0 X10 Y10\nG3 X-5 Y5 I-5 J0 F500\nM2", end=(5, 15, 0)),
    "T66": Case("3.5.19", "G93 G1 X10 F2\nM2", end=(10, 0, 0)),
    "T68": Case(
        "3.5.16; 3.5.16.2; 3.5.20",
        "G0 X1 Y2 Z3\nF100\nG90 G98 G81 X10 Y20 Z-4 R1\nG99 X30\nX50 Z-6\nG80\nM2",
        end=(50, 20, 1),
        moves="R(1,2,3) R(10,20,3) R(10,20,1) F(10,20,-4) R(10,20,3) R(30,20,3) R(30,20,1) F(30,20,-4) R(30,20,1)"
        " R(50,20,1) F(50,20,-6) R(50,20,1)",
    ),
    "T70": Case("3.5.16.4", "G21 G0 X0 Y0 Z10\nF100\nG99 G83 X5 Y5 Z-7 R1 Q3\nM2", end=(5, 5, 1)),
    "T75": Case("3.8 items 7 and 20", "S12000 M3\nM5 G1 X20 F600\nM2", end=(20, 0, 0)),
    "T76": Case("3.8 items 5-6; 3.6.3", "M6 T3\nM2", end=(0, 0, 0)),
    "example 1": Case(
        "3.5.16.2",
        "G0 X1 Y2 Z3 F100\nG90 G81 G98 X4 Y5 Z1.5 R2.8\nM2",
        moves="R(1,2,3) R(4,5,3) R(4,5,2.8) F(4,5,1.5) R(4,5,3)",
    ),
    "example 2": Case(
        "3.5.16.2",
        "G0 X1 Y2 Z3 F100\nG91 G81 G98 X4 Y5 Z-0.6 R1.8 L3\nM2",
        moves="R(1,2,3) R(1,2,4.8) R(5,7,4.8) F(5,7,4.2) R(5,7,4.8) R(9,12,4.8) F(9,12,4.2) R(9,12,4.8)"
        " R(13,17,4.8) F(13,17,4.2) R(13,17,4.8)",
    ),
    "Table 10, lines 15-24": Case(
        "5.1.2",
        "G0 X30 Y1 Z-0.5\nF20\ng91 g81 x3 y2 z-0.8 r1.5 l2\nM2",
        moves="R(30,1,-0.5) R(30,1,1) R(33,3,1) F(33,3,0.2) R(33,3,1) R(36,5,1) F(36,5,0.2) R(36,5,1)",
    ),
}

# The line at which an error must be reported; no later line is run.
WRONG = {
    "T05": ("3.3.1", "N000010 G0 X1\nM2", 1),
    "T06": ("3.3; 3.3.1; App. E.2", "G0 N20 X1\nM2", 1),
    "T08": ("3.3.5", "G0 X1 X2\nM2", 1),
    "T10": ("3.3.5", "M3 M8 M48 M6 M0\nM2", 1),
    "T11": ("3.3.4", "G0 X5 (rapid over\nM2", 1),
    "T20": ("3.1", "G0 X3\n\n", 2),
    "T23": ("Table 3; App. E.3", "O1000\nG0 X1\nM2", 1),
    "T25": ("3.3.2.3", "#1=2\nG0 X#1+2\nM2", 2),
    "T33": ("3.3", "G0 X[1/0]\nM2", 1),
    "T80": ("3.5.10; B.5.2", "G41 D1\nG42 D1\nM2", 2),
    "T81": ("3.5.9.1", "F100\nG38.2 Z-0.2\nM2", 2),
    "a function that is none": ("5.1.2, Table 10", "g1 x asim[0.5] f9\nM2", 1),
    "root of a negative": ("3.3", "G0 X SQRT[0-1]\nM2", 1),
    "parameter 5400": ("3.3.2.2", "#5400=1\nM2", 1),
    "parameter 1.5": ("3.3.2.2", "G0 X#1.5\nM2", 1),
    "a sign before a parameter": ("App. E.2", "G0 X-#1\nM2", 1),
    "D without G41": ("B.5 item 12", "G0 X1 D1\nM2", 1),
    "D too great": ("3.5.10", "G41 D69\nM2", 1),
    "compensation in XZ": ("3.5.10", "G18\nG41 D1\nM2", 2),
    "offset with compensation": ("B.5 item 1", "G41 D1\nG92 X1\nM2", 2),
    "units with compensation": ("B.5 item 2", "G41 D1\nG20\nM2", 2),
    "probing with compensation": ("B.5 item 3", "F9 G41 D1\nG38.2 X9\nM2", 2),
    "G53 with compensation": ("3.5.12", "G41 D1\nG53 G0 X9\nM2", 2),
    "home with compensation": ("B.5 item 6", "G41 D1\nG28\nM2", 2),
    "plane with compensation": ("B.5 items 8, 9", "G41 D1\nG18\nM2", 2),
    "system with compensation": ("3.5.13", "G41 D1\nG55\nM2", 2),
    "cycle with compensation": ("3.5.16", "F9 G41 D1\nG81 X9 Z0 R2\nM2", 2),
    "G43 without H": ("3.5.11", "G43\nM2", 1),
    "G43 with a negative H": ("3.5.11", "G43 H-1\nM2", 1),
    "G10 of no system": ("3.5.5", "G10 L2 P10 X1\nM2", 1),
    "G10 of half a system": ("3.5.5", "G10 L2 P1.5 X1\nM2", 1),
    "probing under G93": ("3.5.9.1", "G93 F9 G38.2 X9\nM2", 1),
    "probing nowhere": ("3.5.9.1", "F9 G38.2\nM2", 1),
    "tapping with the spindle off": ("3.5.16.5", "F9\nG84 X1 Z0 R2\nM2", 2),
    "boring with the spindle off": ("3.5.16.7", "F9\nG86 X1 Z0 R2 P1\nM2", 2),
    "tool 69": ("3.7.3; B.5.4", "T69\nM2", 1),
    "M98": ("3.6", "M98 P1\nM2", 1),
    "T36": ("3.5.15", "G0 X5\nG80\nX7\nM2", 3),
    "T43": ("3.5.12", "G2 X10 Y0 I5 F300\nG53 X20\nM2", 2),
    "T58": ("3.5.3.2", "G20 G0 X1 Y0\nG3 X0 Y1.0003 I-1 F20\nM2", 2),
    "T61": ("3.5.3.1", "G0 X5 Y5\nG2 X5 Y5 R10 F500\nM2", 2),
    "T65": ("3.5.19", "G93 G1 X10\nM2", 1),
    "T71": ("3.5.16", "F100\nG81 X1 Y1 Z5 R2\nM2", 2),
    "T73": ("3.5.16", "F100\nG81 X1 Y1 R2\nM2", 2),
    "T78": ("3.7.2", "S-5\nM2", 1),
    "percent at the start only": ("3.1", "%\nG0 X1\nM2", 3),
    "percent at the end only": ("3.1; A.1", "G0 X1\n%", 2),
    "257 characters": ("3.3", "(" + 255 * "x" + ")\nM2", 1),
    "E, O, U, V, W": ("App. E.3", "U1\nM2", 1),
    "two of a group": ("3.4", "G0 G1 X1 F5\nM2", 1),
    "two axis users": ("3.4", "G92 X1 G1 F5\nM2", 1),
    "comment in a comment": ("3.3.4", "(a (b) c)\nM2", 1),
    "G0 without axes": ("3.5.1", "G0\nM2", 1),
    "no end words": ("3.5.3.2", "G0 X10\nG2 I-5 F500\nM2", 2),
    "negative dwell": ("3.5.4", "G4 P-1\nM2", 1),
    "negative feed": ("4.3.5.1", "F-1\nM2", 1),
    "negative tool": ("3.7.3", "T-1\nM2", 1),
    "G92 without axes": ("3.5.18", "G92\nM2", 1),
    "no repeats": ("3.5.16", "F1\nG81 X1 Y1 Z0 R2 L0\nM2", 2),
    "negative dwell in a cycle": ("3.5.16", "F1\nG82 X1 Y1 Z0 R2 P-1\nM2", 2),
    "no peck": ("3.5.16.4", "F1\nG83 X1 Y1 Z0 R2 Q0\nM2", 2),
    "cycle under G93": ("3.5.16", "G93 F1\nG81 X1 Y1 Z0 R2\nM2", 2),
    "rotary": ("5.2", "G0 A5\nM2", 1),
}


@pytest.mark.parametrize("strict", [True, False])
@pytest.mark.parametrize("name", GOOD)
def test_good_programs(name: str, strict: bool) -> None:  # noqa: FBT001 - a parameter of the test
    case = GOOD[name]
    program = read(case.program, strict=strict, block_delete=case.block_delete)
    assert no_go_lines(program) == []
    assert case.end is None or program.end_mm == pytest.approx(case.end, abs=1e-9)
    assert case.machine is None or program.end_machine_mm == pytest.approx(case.machine, abs=1e-9)
    if case.moves is not None:
        assert_moves(program, case.moves)


@pytest.mark.parametrize("name", WRONG)
def test_errors(name: str) -> None:
    _, text, line = WRONG[name]
    program = read(text)
    assert no_go_lines(program) == [line]
    before = read("\n".join(text.split("\n")[: line - 1])) if line > 1 else None
    assert told(program) == (told(before) if before else [])
    assert program.end_mm == (before.end_mm if before else (0, 0, 0))


# Arcs: plane axes of the centre [program units], sweep in degrees, length. Sections 3.5.3 and 4.3.6.1.
ARCS = {
    "T50": ((0, 0, None), -270, 47.1239),
    "T51": ((5, 0, None), -360, 31.4159),
    "T53": ((0, 0, None), 180, 31.5588),
    "T55": ((None, 0, 0), 90, 15.7794),
    "T60": ((0, 10, None), -270, 47.1239),
    "T63": ((5, 10, None), 90, 5 * np.pi / 2),
}


@pytest.mark.parametrize("name", ARCS)
def test_arcs(name: str) -> None:
    centre, degrees, length = ARCS[name]
    made = read(GOOD[name].program).moves
    (row,) = np.flatnonzero(made.kind == Kind.ARC)
    for axis, expected in enumerate(centre):
        assert expected is None or made.centre_mm[row, axis] == pytest.approx(expected, abs=1e-9)
    assert made.turns[row] * 360 == pytest.approx(degrees, abs=1e-9)
    assert made.length_mm[row] == pytest.approx(length, abs=5e-5)


def test_helix_in_table_10() -> None:
    # 5.1.2, Table 10, lines 5 and 6: ARC_FEED(0.0000, 1.0000, 1.5000, 7.8476, -1, 0.5000); the
    # expression of the printed line is replaced by its value, 0.
    made = read("g1 x3 y1 f20.0\ng2 x0 r 7.01 z0.5\nm2").moves
    assert made.end_mm[1] == pytest.approx((0, 1, 0.5), abs=5e-5)
    assert made.centre_mm[1, :2] == pytest.approx((1.5, 7.8476), abs=5e-5)
    assert made.turns[1] < 0


def test_centre_of_the_example() -> None:
    # 3.5.3.2: from (7,7), G17 G2 x 10 y 16 i 3 j 4 z 9 has centre (10,11) and radius 5.
    made = read("G0 X7 Y7 Z9\nG17 G2 x 10 y 16 i 3 j 4 z 9 F9\nM2").moves
    assert made.centre_mm[1, :2] == pytest.approx((10, 11))
    assert np.hypot(*(made.end_mm[1] - made.centre_mm[1])[:2]) == pytest.approx(5)


def test_inverse_time() -> None:
    # 3.5.19: F2 makes the move in half a minute.
    made = read(GOOD["T66"].program).moves
    assert made.length_mm[0] / made.feed_mm_min[0] * 60 == pytest.approx(30)


def test_peck_drilling() -> None:
    # 3.5.16.4: each peck to Z -2, -5, -7, then out to the clear height, then back in.
    made = told(read(GOOD["T70"].program))
    assert [end[2] for letter, end in made if letter == "F"] == [-2, -5, -7]
    after = [made[index + 1] for index, (letter, _) in enumerate(made) if letter == "F"]
    assert after == [("R", (5, 5, 1))] * 3
    back = [made[index + 2][1][2] for index, (letter, _) in enumerate(made[:-2]) if letter == "F"]
    assert all(bottom < height < 1 for bottom, height in zip((-2, -5), back, strict=True))


def test_spindle_stops_before_the_move() -> None:
    # 3.8: item 7 comes before item 20; M6 (item 6) stops the spindle and M3 starts it again.
    assert list(read(GOOD["T75"].program).moves.rpm) == [0]
    program = read("M3 S500\nM6 T4 G0 X1\nM3 M6 X2\nM2")
    assert list(program.moves.rpm) == [0, 500]
    assert program.changes == ((2, 4), (3, 4))


def test_m2_puts_modes_back() -> None:
    # 3.6.1: nothing behind M2 is run, so the end shows the modes: no G92 shift, G54.
    program = read("G92 X5\nG91 G55 G18 G93 M3 S1000\nM2")
    assert program.end_mm == (0, 0, 0)
    assert "spindle-left-on" not in ids(program)


C1 = """\
(this program mills "Hello world" between X=0 and X=81 millimeters)
n0010 g21 g0 x0 y0 z50 (top of part should be on XY plane)
n0020 t1 m6 m3 f20 s4000 (use an engraver or small ball-nose endmill)
n0030 g0 x0 y0 z2
n0040 g1 z-0.5 (start H)
n0050 y10
n0060 g0 z2
n0070 y5
n0080 g1 z-0.5
n0090 x 7
n0100 g0 z2
n0110 y0
n0120 g1 z-0.5
n0130 y10
n0140 g0 z2
n0150 x11 y2.5
n0160 g1 z-0.5 (start e)
n0170 x16
n0190 g3 x13.5 y0 i-2.5
n0200 g1 x16
n0210 g0 z2
n0220 x20 y0
n0230 g1 z-0.5 (start l)
n0240 y9
n0250 g0 z2
n0260 x26
n0270 g1 z-0.5 (start l)
n0280 y0
n0290 g0 z2
n0300 x32.5
n0310 g1 z-0.5 (start o)
n0320 g2 x32.5 j2.5
n0330 g0 z2
n0340 x45 y5
n0350 g1 z-0.5 (start w)
n0360 x47 y0
n0370 x48.5 y3
n0380 x50 y0
n0390 x52 y5
n0400 g0 z2
n0410 x57.5 y0
n0420 g1 z-0.5 (start o)
n0430 g2 x57.5 j2.5
n0440 g0 z2
n0450 x64
n0460 g1 z-0.5 (start r)
n0470 y5
n0480 y4
n0490 g2 x69 r4
n0500 g0 z2
n0510 x73 y0
n0520 g1 z-0.5 (start l)
n0530 y9
n0540 g0 z2
n0550 x81
n0560 g1 z-0.5 (start d)
n0570 y0
n0580 x79.5
n0590 g2 j2.5 y5
n0600 g1 x81
n0610 g0 z50
n0620 m2
"""


def test_c1_as_a_whole() -> None:
    # Appendix C.1; the report prints the bounds in X, the rest was computed from its text.
    program = read(C1)
    assert no_go_lines(program) == []
    assert program.everything is not None
    assert program.everything.low_mm == pytest.approx((0, 0, -0.5), abs=1e-9)
    assert program.everything.high_mm == pytest.approx((81, 10, 50), abs=1e-9)
    kinds = list(program.moves.kind)
    assert (kinds.count(Kind.RAPID), kinds.count(Kind.LINE), kinds.count(Kind.ARC)) == (25, 29, 5)
    # Twelve plunges of 2.5, the straight strokes of the letters, and the arcs of the test below.
    strokes = 12 * 2.5 + 27 + 7.5 + 18 + 2 * 29**0.5 + 2 * 11.25**0.5 + 6 + 9 + 12
    arcs = (270 + 2 * 360 + 180) / 360 * np.pi * 5 + 8 * np.arcsin(2.5 / 4)
    assert program.cut_length_mm == pytest.approx(strokes + arcs, abs=1e-9)
    assert program.rapid_length_mm == pytest.approx(252.053, abs=5e-4)
    assert program.end_mm == pytest.approx((81, 5, 50))
    assert program.tools == (1,)
    feeds = program.moves.feeds
    assert set(program.moves.feed_mm_min[feeds]) == {20}
    assert set(program.moves.rpm[feeds]) == {4000}


def test_c1_arcs() -> None:
    # Appendix C.1: line of the file, end, centre, degrees, length.
    expected = [
        (19, (13.5, 0), (13.5, 2.5), 270, 11.7810),
        (32, (32.5, 0), (32.5, 2.5), -360, 15.7080),
        (43, (57.5, 0), (57.5, 2.5), -360, 15.7080),
        (49, (69, 4), (66.5, 0.8775), -77.364, 5.4011),
        (59, (79.5, 5), (79.5, 2.5), -180, 7.8540),
    ]
    made = read(C1).moves
    rows = np.flatnonzero(made.kind == Kind.ARC)
    for row, (line, end, centre, degrees, length) in zip(rows, expected, strict=True):
        assert made.line[row] == line
        assert made.end_mm[row, :2] == pytest.approx(end, abs=1e-9)
        assert made.centre_mm[row, :2] == pytest.approx(centre, abs=5e-5)
        assert made.turns[row] * 360 == pytest.approx(degrees, abs=5e-4)
        assert made.length_mm[row] == pytest.approx(length, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "end"),
    [
        ("n0230 g18 g81 z3 x4 r0.2 y-1.1", (4, 0.2, 3)),
        ("n0430 g19 g81 y3 z4 r0.2 x-1.1", (0.2, 3, 4)),
    ],
)
def test_c3_in_other_planes(text: str, end: Place) -> None:
    # Appendix C.3 n0220 to n0230 and n0420 to n0430: the hole's axis is Y under G18, X under G19.
    program = read(f"g20 f16\n{text}\nm2")
    assert program.end_mm == pytest.approx(tuple(INCH * value for value in end))
    (feed,) = np.flatnonzero(program.moves.kind == Kind.LINE)
    bottom = program.moves.end_mm[feed] / INCH
    assert bottom == pytest.approx([-1.1 if value == 0.2 else value for value in end])

"""Programs as shops write them, expected by common practice; no source, where none is named."""

from typing import Any

import numpy as np
import pytest

from cutworthy.model.program import Kind, Level


def no_go(program: Any) -> list[tuple[int, str]]:
    return [(p.line, p.id) for p in program.problems if p.level is Level.NO_GO]


def found(program: Any) -> set[tuple[str, str]]:
    return {(p.id, p.case) for p in program.problems}


def test_comment_to_the_end_of_the_line(read: Any) -> None:
    program = read("G21 G0 X1 ; to the left rail\nM2")
    assert no_go(program) == []
    assert program.end_mm == (1, 0, 0)
    assert no_go(read("G21 G0 X1 ; to the left rail\nM2", strict=True)) == [(1, "bad-line")]


def test_byte_order_mark_tabs_and_crlf(read: Any) -> None:
    data = b"\xef\xbb\xbfG21\tG0\tX2\r\nM2\r\n"
    program = read(data)
    assert program.end_mm == (2, 0, 0)
    assert program.lines == 2
    assert found(program) >= {("practice", "byte-order-mark")}
    assert no_go(read(data, strict=True)) == [(1, "bad-line")]


def test_no_feed(read: Any) -> None:
    program = read("G21 G1 X10\nM2")
    assert no_go(program) == [(1, "feed-missing")]
    assert program.end_mm == (10, 0, 0)
    assert np.isnan(program.moves.feed_mm_min).all()


def test_units_switched_with_a_feed_in_force(read: Any) -> None:
    program = read("G21 G1 X10 F600\nG20\nX1\nM2")
    assert program.end_mm == pytest.approx((25.4, 0, 0))
    assert found(program) >= {("units-changed", "feed-in-force")}
    # NISTIR 6556, 4.3.3.3: the feed keeps its number.
    assert program.moves.feed_mm_min == pytest.approx([600, 600 * 25.4])
    assert program.units == "mixed"


def test_full_circle_without_end_words(read: Any) -> None:
    program = read("G21 G0 X10\nG2 I-5 F500\nM2")
    assert no_go(program) == []
    assert program.end_mm == (10, 0, 0)
    assert program.moves.turns[1] == -1
    assert program.moves.centre_mm[1, :2] == pytest.approx((5, 0))
    assert no_go(read("G21 G0 X10\nG2 I-5 F500\nM2", strict=True)) == [(2, "bad-line")]


ROUNDED = "G21 G0 X7.071 Y7.071\nG3 X-7.073 Y-7.072 I-7.071 J-7.071 F500\nM2"


def test_rounding_of_arcs(read: Any) -> None:
    # 7.071 at 45 degrees is radius 9.99990; the end lies 0.00212 farther out: beyond the report's
    # 0.002, within the 0.00283 that three decimals can do.
    program = read(ROUNDED)
    (problem,) = [p for p in program.problems if p.id == "arc-mismatch"]
    assert problem.level is Level.NOTE
    assert problem.numbers["value"] == pytest.approx(0.00212, abs=5e-6)
    assert problem.numbers["limit"] == pytest.approx(0.00283)
    assert program.end_mm == (-7.073, -7.072, 0)
    assert no_go(read(ROUNDED, strict=True)) == [(2, "arc-mismatch")]


def test_a_finer_arc_elsewhere_tightens_the_allowance(read: Any) -> None:
    finer = "G21 G0 X10\nG3 X0 Y10 I-10.0000 F500\nG0 X7.071 Y7.071\n" + ROUNDED.split("\n", 1)[1]
    assert no_go(read(finer)) == [(4, "arc-mismatch")]


def test_integers_are_meant_exactly(read: Any) -> None:
    assert no_go(read("G21 G0 X10\nG3 X0 Y12 I-10 F500\nM2")) == [(2, "arc-mismatch")]


def test_an_arc_from_a_lost_place_is_not_judged(read: Any) -> None:
    program = read("G21 G0 X1 X2\nG3 X0 Y10 I-10 F500\nM2")
    assert no_go(program) == [(1, "bad-line")]


def test_home_some_axes(read: Any) -> None:
    # The point of the home line under G91 is where the tool stands; then Z alone goes home.
    text = "G90 G0 X10 Y10 Z5\nG91 G28 Z0\nM2"
    named = read(text, g28_mm=(0.0, 0.0, 60.0))
    assert named.homes_some_axes
    assert named.end_machine_mm == (10, 10, 60)
    assert read(text, g28_mm=(0.0, 0.0, 60.0), home="all").end_machine_mm == (0, 0, 60)
    # NISTIR 6556, 3.5.8, as written: the second move takes all axes home.
    assert read(text, g28_mm=(0.0, 0.0, 60.0), strict=True).end_machine_mm == (0, 0, 60)


def test_absolute_centres(read: Any) -> None:
    program = read("G90.1\nG0 X10\nG3 X0 Y10 I0 J0 F500\nM2")
    assert no_go(program) == []
    assert program.moves.centre_mm[1, :2] == pytest.approx((0, 0))
    assert program.moves.turns[1] == pytest.approx(0.25)
    assert no_go(read("G90.1\nG0 X10\nG3 X0 Y10 I0 J0 F500\nM2", strict=True)) == [(1, "unknown-word")]


def test_no_end(read: Any) -> None:
    program = read("G0 X5")
    assert program.end_mm == (5, 0, 0)
    assert found(program) >= {("no-end", "no-end")}
    assert no_go(read("G0 X5", strict=True)) == [(1, "no-end")]


def test_eia_metric(read: Any) -> None:
    # EIA RS-274-D: G71 metric, G70 inch.
    program = read("G71\nG0 X5\nM2", units_at_start="unknown")
    assert program.end_mm == (5, 0, 0)
    assert [p.level for p in program.problems if p.case == "eia-units"] == [Level.ASK]
    assert read("G70\nG0 X5\nM2").end_mm == (127, 0, 0)


BEYOND_THE_REPORT = {
    "program number": ("%\nO1000 (LEGS)\nG21 G0 X1\nM30\n%", (1, 0, 0), 2),
    "chip-breaking cycle": ("G21 F200 G0 Z5\nG98 G73 X1 Y1 Z-4 R1 Q2\nG80 M2", (1, 1, 5), 2),
    "subprogram": ("O1\nG91\nG0 X5\nM98 P2 L3\nM30\nO2\nG0 Y2\nM99", (5, 6, 0), 1),
    "no end": ("G0 X5", (5, 0, 0), 1),
    "metric by EIA": ("G71\nG0 X5\nM2", (5, 0, 0), 1),
}


@pytest.mark.parametrize("name", BEYOND_THE_REPORT)
def test_practice_reads_what_the_report_refuses(read: Any, name: str) -> None:
    text, end, line = BEYOND_THE_REPORT[name]
    program = read(text)
    assert no_go(program) == []
    assert program.end_mm == end
    assert no_go(read(text, strict=True))[0][0] == line


def test_chip_breaking_backs_off_a_little(read: Any) -> None:
    # Feeds end at -1, -3, -4; "usually about .005" inch back (a glossary of the trade, as read for the reference).
    moves = read(BEYOND_THE_REPORT["chip-breaking cycle"][0]).moves
    heights = list(zip(moves.kind.tolist(), moves.end_mm[:, 2].tolist(), strict=True))
    assert [z for kind, z in heights if kind == Kind.LINE] == [-1, -3, -4]
    assert [z for kind, z in heights if kind == Kind.RAPID][2:] == pytest.approx([1, -1 + 0.127, -3 + 0.127, 5])


@pytest.mark.parametrize(
    "text",
    [
        "g0x1y2\nm2",
        "G00 X1. Y+2.0\nM02",
        "G 0 X 1 Y 2\nM 2",
        "N7 G0 X1 Y2\nN7 M2",
        "N20 G0 X1 Y2\nN10 M2",
        "G0 (to ; the left) X1 Y2\nM2",
        "G0 X1 (\u00d8 6 \u00b0) Y2\nM2",
        "G0 X1 Y2\rM2\r",
        "\n\n  \nG0 X1 Y2\n\nM2\n",
        "G0 X1 ;(Y9\nY2\nM2",
    ],
)
def test_one_program_many_ways(read: Any, text: str) -> None:
    program = read(text)
    assert program.end_mm == (1, 2, 0)
    assert no_go(program) == []


def test_latin_1_comments(read: Any) -> None:
    assert read("G0 X1 (6 mm \u00d8)\nM2".encode("latin-1")).end_mm == (1, 0, 0)


def test_lines_count_by_line_ends_only(read: Any) -> None:
    program = read("(a\u2028b\x0bc)\r\nG0 X1\rG0 X2\n\nG0 X1 X2")
    assert program.lines == 5
    assert list(program.moves.line) == [2, 3]
    assert [(p.line, p.case) for p in program.problems if p.level is Level.NO_GO] == [(5, "letter-twice")]


def test_block_delete(read: Any) -> None:
    text = "G0 X1\n/G0 X5\n/2 Y3\nM2"
    assert read(text).end_mm == (5, 3, 0)
    deleted = read(text, block_delete=True)
    assert deleted.end_mm == (1, 0, 0)
    assert deleted.has_block_delete
    assert not read("G0 X1\nM2").has_block_delete


def test_a_deleted_line_is_still_read(read: Any) -> None:
    # NISTIR 6556, A.1 item 3.
    assert no_go(read("/G0 X1 X2\nM2", block_delete=True)) == [(1, "bad-line")]


def test_after_the_end_nothing_is_read(read: Any) -> None:
    program = read("G0 X1\nM30\nthis is no code\n")
    assert program.end_mm == (1, 0, 0)
    assert no_go(program) == []


def test_dwells(read: Any) -> None:
    program = read("G0 X1\nG4 P0.5\nG4 P0\nM2")
    assert list(program.moves.kind) == [Kind.RAPID, Kind.DWELL]
    assert program.moves.seconds[1] == 0.5
    assert program.moves.line[1] == 2


def test_dwell_comes_before_the_motion_of_its_line(read: Any) -> None:
    # NISTIR 6556, 3.8: item 10 before item 20.
    moves = read("G4 P1 G0 X5\nM2").moves
    assert list(moves.kind) == [Kind.DWELL, Kind.RAPID]
    assert list(moves.end_mm[0]) == [0, 0, 0]


@pytest.mark.parametrize(
    ("text", "rpm"),
    [
        ("G0 X1", [0]),
        ("S900\nG0 X1", [0]),
        ("M3\nG0 X1", [None]),
        ("M3 S900\nG0 X1\nM5 X2\nM4 X3", [900, 0, -900]),
        ("M3 S900\nG0 X1\nS0 X2", [900, 0]),
        ("M3 S900 T1\nM6\nG0 X1", [0]),
    ],
)
def test_what_the_spindle_is_told(read: Any, text: str, rpm: list[float | None]) -> None:
    told = [None if np.isnan(value) else value for value in read(text).moves.rpm]
    assert told == rpm


def test_tools(read: Any) -> None:
    program = read("G0 X1\nT3\nG0 X2\nM6\nG0 X3\nT1 M6\nT3 M6 G0 X4\nM2")
    assert list(program.moves.tool) == [0, 0, 3, 3]
    assert program.tools == (3, 1)
    assert program.changes == ((4, 3), (6, 1), (7, 3))


def test_a_named_part_is_left_out_whole_and_what_it_moves_is_not_known(read: Any) -> None:
    # Common practice, no source: o100 sub ... o100 endsub, o100 call.
    program = read("G21 G90 G54 G17 G94\nG0 X1 Y1 Z1\no100 call\nG1 X5 F100\nM2\n")
    assert [(p.line, p.id, p.case) for p in program.problems] == [(3, "not-supported", "part")]
    assert program.moves.end_doubt[-1].tolist() == [0, 3, 3]

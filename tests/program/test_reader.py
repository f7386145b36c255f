from typing import Any

import pytest

from cutworthy.errors import Stopped
from cutworthy.model.program import Extents, Kind
from cutworthy.program import ReadOptions, read_program


def test_progress_is_told_and_may_stop() -> None:
    shares: list[float] = []
    data = b"G0 X1\nG0 X2\n" * 5000 + b"M2\n"
    read_program(data, ReadOptions(), shares.append)
    assert shares == sorted(shares)
    assert len(shares) > 3
    assert shares[-1] == 1

    def stop(_share: float) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        read_program(data, ReadOptions(), stop)


def test_extents_and_lengths(read: Any) -> None:
    program = read("G0 X3 Y4\nG1 Z-2 F100\nX10\nG0 Z5\nM2", start_mm=(0.0, 0.0, 1.0))
    assert program.cut == Extents(low_mm=(3, 4, -2), high_mm=(10, 4, 1))
    assert program.everything == Extents(low_mm=(0, 0, -2), high_mm=(10, 4, 5))
    assert program.cut_length_mm == pytest.approx(3 + 7)
    assert program.rapid_length_mm == pytest.approx(5 + 7)


def test_no_moves_have_no_extents(read: Any) -> None:
    program = read("G21\nM2")
    assert (program.cut, program.everything) == (None, None)
    assert (program.cut_length_mm, program.rapid_length_mm) == (0, 0)
    assert program.end_mm == (0, 0, 0)


def test_moves_of_no_length_are_left_out_but_circles_are_not(read: Any) -> None:
    program = read("G0 X5\nX5\nG1 X5 F9\nG2 X5 I-1\nM2")
    assert list(program.moves.kind) == [Kind.RAPID, Kind.ARC]


def test_moves_join(read: Any) -> None:
    moves = read("G0 X5\nG1 Y5 F9\nG2 X9 Y5 I2\nG4 P1\nG81 X1 Z-1 R1\nG28\nM2").moves
    assert (moves.start_mm[1:] == moves.end_mm[:-1]).all()


@pytest.mark.parametrize(
    ("text", "units"),
    [("G0 X1\nM2", "unstated"), ("G20 G0 X1\nM2", "inch"), ("G21\nM2", "mm"), ("G20\nG0 X1\nG21\nM2", "mixed")],
)
def test_units(read: Any, text: str, units: str) -> None:
    assert read(text).units == units


@pytest.mark.parametrize(
    ("options", "x", "case"),
    [
        ({"units_at_start": "unknown"}, 1, "assumed"),
        ({"units_at_start": "unknown", "assumed_units": "inch"}, 25.4, "assumed"),
        ({"units_at_start": "inch"}, 25.4, "as-at-start"),
        ({"units_at_start": "mm", "assumed_units": "inch"}, 1, "as-at-start"),
    ],
)
def test_unstated_units(read: Any, options: dict[str, Any], x: float, case: str) -> None:
    program = read("G0 X1\nX2\nM2", **options)
    assert program.moves.end_mm[0, 0] == x
    assert [(p.line, p.case) for p in program.problems if p.id == "units-unstated"] == [(1, case)]


def test_dwell_and_stop_are_no_first_move(read: Any) -> None:
    program = read("G4 P1\nM0\nG21 G0 X1\nM2", units_at_start="unknown")
    assert "units-unstated" not in {p.id for p in program.problems}


def test_feed_before_the_units_keeps_its_number(read: Any) -> None:
    # NISTIR 6556, 3.8: item 3 before item 12, and 4.3.3.3.
    assert read("F600 G20\nG1 X1\nM2").moves.feed_mm_min[0] == pytest.approx(600 * 25.4)


def test_feed_on_a_rapid_is_kept(read: Any) -> None:
    assert read("G0 X1 F50\nG1 X2\nM2").moves.feed_mm_min[1] == 50


def test_a_cut_off_file(read: Any) -> None:
    program = read("G21 G0 X1\nG1 X2 F")
    assert [(p.line, p.id) for p in program.problems if p.level == "no-go"] == [
        (2, "number-missing"),
        (2, "truncated"),
    ]
    assert "no-end" not in {p.id for p in program.problems}
    assert "truncated" not in {p.id for p in read("G21 G0 X1\nG1 X2 F\n").problems}
    assert "truncated" not in {p.id for p in read("G21 G0 X1\nG1 X Y2").problems}


def test_problems_stand_in_the_order_of_lines(read: Any) -> None:
    lines = [p.line for p in read("G0 X1 ;a\nG0 X1 X2\nG2 X9 I1 F9\nX9 ;b\nG0 X1\n").problems]
    assert lines == sorted(lines)


def test_strict_stops_at_the_first_error(read: Any) -> None:
    program = read("G21 G0 X1\nX2 X3\nX4\nX5 X6\n", strict=True)
    assert [(p.line, p.id) for p in program.problems] == [(2, "bad-line")]
    assert program.end_mm == (1, 0, 0)
    assert len(program.moves) == 1


def test_strict_reads_offsets_only(read: Any) -> None:
    text = "G0 X10\nG3 X0 Y10 I0 J0 F9\nM2"
    assert [p.line for p in read(text, strict=True, arc_centres="unknown").problems if p.level == "no-go"] == [2]


def test_sha256(read: Any) -> None:
    # FIPS 180-4 example: SHA-256 of "abc".
    assert read(b"abc").sha256 == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


HOSTILE = {
    "long number": "G0 X" + "9" * 100_000,
    "long line number": "N" + "9" * 100_000 + "G0",
    "many words": "G0 " + "X1 " * 50_000,
    "many codes": "G0 G90 " * 50_000,
    "deep brackets": "G0 X" + "[" * 100_000,
    "closed brackets": "G0 X" + "[" * 50_000 + "1" + "]" * 50_000,
    "brackets that close and open": "G0 " + "X[1]" * 50_000,
    "open comments": "(" * 100_000,
    "comments": "(a)" * 50_000,
    "hashes": "G0 X" + "#" * 100_000,
    "settings": "#1=2" * 50_000,
    "exponent": "G0 X1e308",
    "points": "G0 X" + "." * 100_000,
    "signs": "G0 X" + "-" * 100_000,
    "tiny pecks": "F9\nG83 X1 Z-1000 R1 Q0." + "0" * 300 + "1",
    "repeats": "F9\n" + "G81 X1 Z0 R1 L999999\n" * 100,
    "spaces": " " * 100_000 + "G0 X1",
    "no-break spaces": "G0 X" + "\u00a0" * 50_000,
    "slashes": "/" * 100_000,
    "function names": "G0 X" + "SIN" * 50_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_input_ends_with_a_problem(read: Any, name: str) -> None:
    # A quadratic look at any of these would take minutes.
    program = read(HOSTILE[name])
    assert program.problems
    assert len(program.moves) <= 1

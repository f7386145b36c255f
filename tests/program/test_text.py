from typing import Any

import pytest

from cutworthy.program.text import frame_of, read_text

EVEN = bytes(byte | (byte.bit_count() % 2 << 7) for byte in b"%\r\nN10 G0 X124.5 Y7\r\nN20 M2\r\n%\r\n")


@pytest.mark.parametrize(
    ("data", "lines", "ends"),
    [
        (b"a\nb", ["a", "b"], False),
        (b"a\r\nb\r\n", ["a", "b"], True),
        (b"a\rb\r", ["a", "b"], True),
        (b"a\n\rb", ["a", "", "b"], False),
        ("a\x0b\u2028b".encode(), ["a\x0b\u2028b"], False),
        (b"\xef\xbb\xbfa", ["a"], False),
        (b"\x00\x00\x7f\r\n\x00%\nG0\n%\n\x1a\x1a", ["", "%", "G0", "%"], True),
        (b"(\xd8)", ["(\u00d8)"], False),
        ("(\u00d8)".encode(), ["(\u00d8)"], False),
    ],
)
def test_lines(data: bytes, lines: list[str], ends: bool) -> None:  # noqa: FBT001 - a column of the table
    text = read_text(data)
    assert [line for _, _, line in text.walk()] == lines
    assert (text.lines, text.ends_with_newline, text.refused) == (len(lines), ends, None)
    assert text.last() == lines[-1]


@pytest.mark.parametrize(
    ("data", "case"),
    [
        (b"", "empty"),
        (b" \r\n\t\n", "empty"),
        (b"\x00\x00\x00", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        ("G0 X1\nM2\n".encode("utf-16"), "utf-16"),
        ("G0 X1\nM2\n".encode("utf-16-le"), "utf-16"),
        ("G0 X1\nM2\n".encode("utf-16-be"), "utf-16"),
        ("G0 X1\nM2\n".encode("utf-32"), "utf-16"),
        (EVEN, "parity"),
        (bytes(byte ^ 0x80 for byte in EVEN), "parity"),
        (bytes(byte | 0x80 for byte in b"N10 G0 X124.5 Y7\r\n" * 4), "parity"),
        (b"PK\x03\x04\x14\x00\x06\x00\x08\x00" * 20, "binary"),
        (b"\x7fELF\x02\x01\x01" + 9 * b"\x00" + b"\x03\x00>\x00\x01" + 60 * b"@\x00\x00\x00\x01\x00\x00", "binary"),
    ],
)
def test_what_is_no_program(read: Any, data: bytes, case: str) -> None:
    assert read_text(data).refused == case
    program = read(data)
    assert [(p.line, p.id, p.case) for p in program.problems] == [(1, "bad-line", case)]
    assert len(program.moves) == 0
    assert program.end_mm is None
    assert program.everything is None


@pytest.mark.parametrize("encoding", ["utf-8", "cp1251"])
def test_comments_in_other_letters_are_no_parity(encoding: str) -> None:
    text = "(\u0444\u0440\u0435\u0437\u0430 \u0448\u0435\u0441\u0442\u044c)\nG0 X1\n"
    assert read_text(text.encode(encoding)).refused is None


@pytest.mark.parametrize(
    ("data", "first", "end", "opened", "closed", "leader"),
    [
        (b"G0", (1, "G0"), 2, False, False, False),
        (b"\n%\nG0\n % \nx", (3, "G0"), 6, True, True, False),
        (b"%\nG0", (2, "G0"), 4, True, False, False),
        (b"G0 X1\n%\nx", (1, "G0 X1"), 6, False, True, False),
        (b"SHELF\n%\nG0\n%", (3, "G0"), 11, True, True, True),
        (b"SHELF\r%\rG0\r%", (3, "G0"), 11, True, True, True),
        (b"G0 X1\nM2\n%\n%", (1, "G0 X1"), 9, False, True, False),
        (b"(50% of it)\nG0", (1, "(50% of it)"), 14, False, False, False),
    ],
)
def test_frame(data: bytes, first: Any, end: int, opened: bool, closed: bool, leader: bool) -> None:  # noqa: FBT001
    text = read_text(data)
    frame = frame_of(text)
    assert (frame.number, text.line(frame.begin)[0]) == first
    assert (frame.end, frame.opened, frame.closed, frame.leader) == (end, opened, closed, leader)

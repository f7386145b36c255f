"""From bytes to lines."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["AXIS_WORD", "Frame", "Text", "frame_of", "read_text"]

AXIS_WORD = re.compile(r"[XYZ][ \t]*[-+.\d]", re.IGNORECASE)
MARK = b"\xef\xbb\xbf"
# Runs of these stand before and after the program on punched tape and in old files: NUL, DEL,
# reader on and off, form feed, end mark. Inside the program they are errors.
TAPE = b"\x00\x7f\x11\x13\x0c\x1a"
CONTROLS = bytes(byte for byte in range(32) if byte not in b"\t\n\r") + b"\x7f"
HIGH = bytes(range(128, 256))
HIGH_DIGITS = bytes(range(0xB0, 0xBA))  # the digits 0 to 9 with the parity bit set

# Shares from which a file is no program text; our choice.
NULS = 0.3
CONTROL_BYTES = 0.05
HIGH_BYTES = 0.25
SLIP_BYTES = 40  # in a file no longer than this, a control byte is a slip on its line
DIGITS_OF_HIGH = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """The lines of a program. ``refused``: the case of ``bad-line`` when they are no program."""

    lines: list[str]
    ends_with_newline: bool
    has_mark: bool
    refused: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the program stands in the file, as indexes of its lines.

    ``begin``: the opening ``%`` when there is one (``opened``), else the first line that holds
    anything. ``end``: the closing ``%`` when there is one (``closed``), else behind the last line.
    ``leader``: lines before the opening ``%`` hold something.
    """

    begin: int
    end: int
    opened: bool
    closed: bool
    leader: bool


def read_text(data: bytes) -> Text:
    """Return the lines of a file: UTF-8 or Latin-1, ended by CRLF, LF or a lone CR only."""
    has_mark = data.startswith(MARK)
    data = _without_tape(data[len(MARK) :] if has_mark else data)
    refused = _refused(data)
    text = _decoded(data).replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    ends = lines[-1] == ""
    if ends:
        lines.pop()
    return Text(lines=lines, ends_with_newline=ends, has_mark=has_mark, refused=refused)


def _without_tape(data: bytes) -> bytes:
    """Return the data without the tape's control bytes at either end; lines stay where they are."""
    edge = TAPE + b" \t\r\n"
    body = data.lstrip(edge)
    leader = data[: len(data) - len(body)]
    core = body.rstrip(edge)
    trailer = body[len(core) :]
    return leader.translate(None, TAPE) + core + trailer.translate(None, TAPE)


def _refused(data: bytes) -> str | None:
    body = data.strip()
    if not body:
        return "empty"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or body.count(0) > NULS * len(body):
        return "utf-16"
    if _share(body, CONTROLS) > CONTROL_BYTES and len(body) > SLIP_BYTES:
        return "binary"
    high = _share(body, HIGH)
    if high > HIGH_BYTES and _share(body, HIGH_DIGITS) > DIGITS_OF_HIGH * high and not _is_utf8(body):
        return "parity"
    return None


def _share(data: bytes, wanted: bytes) -> float:
    return 1 - len(data.translate(None, wanted)) / len(data)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _decoded(data: bytes) -> str:
    return data.decode("utf-8" if _is_utf8(data) else "latin-1")


def frame_of(lines: Sequence[str]) -> Frame:
    """Return where the program stands between its ``%`` lines, if it has any (NISTIR 6556, 3.1).

    Lines before the first of two ``%`` are a leader when none of them would move an axis.
    """
    first = next((index for index, line in enumerate(lines) if line.strip()), 0)
    percents = [index for index, line in enumerate(lines) if "%" in line and line.lstrip().startswith("%")]
    leader = len(percents) > 1 and first < percents[0] and not any(map(AXIS_WORD.search, lines[: percents[0]]))
    opened = leader or percents[:1] == [first]
    closing = percents[1:2] if opened else percents[:1]
    return Frame(
        begin=percents[0] if opened else first,
        end=closing[0] if closing else len(lines),
        opened=opened,
        closed=bool(closing),
        leader=leader,
    )

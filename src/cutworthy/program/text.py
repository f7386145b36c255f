"""From bytes to lines."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, takewhile
from typing import NamedTuple

import numpy as np

__all__ = ["AXIS_WORD", "LONG_BYTES", "PART", "Frame", "Text", "frame_of", "read_text"]

AXIS_WORD = re.compile(r"[XYZ][ \t]*[-+.\d]", re.IGNORECASE)
NEWLINE = re.compile(rb"\r\n|\n|\r")
SOMETHING = re.compile(rb"\S")
BLANKS = b" \t\x0b\x0c"
# The line that opens a part of the program: O1000, or :1000, perhaps behind a line number.
PART = re.compile(r"[ \t]*(?:[Nn][ \t\d]*)?[Oo:][ \t]*\d")
MARK = b"\xef\xbb\xbf"
# Runs of these stand before and after the program on punched tape and in old files: NUL, DEL,
# reader on and off, form feed, end mark. Inside the program they are errors.
TAPE = b"\x00\x7f\x11\x13\x0c\x1a"
EDGE = TAPE + b" \t\r\n"
PAST_EDGE = re.compile(rb"[^" + re.escape(EDGE) + rb"]")
EDGE_PIECE = 4096  # bytes looked at together
FIRST_VISIBLE, DELETE = 32, 127
MOST_BYTES = 40_004  # of a line: more than the most characters in the widest encoding
LONG_BYTES = 1_000_000  # our choice: longer files are read by kernels, which take a moment to load
HIGH = bytes(range(128, 256))
HIGH_DIGITS = bytes(range(0xB0, 0xBA))  # the digits 0 to 9 with the parity bit set

# Shares from which a file is no program text; our choice.
NULS = 0.8  # of the first or second bytes of pairs: two bytes to a letter
CONTROL_BYTES = 0.05
HIGH_BYTES = 0.25
SLIP_BYTES = 40  # in a file no longer than this, a control byte is a slip on its line
DIGITS_OF_HIGH = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A program as bytes, read line by line. ``refused``: the case of ``bad-line`` when it is no program.

    Lines end at CRLF, LF or a lone CR only; none is kept, so that a long program costs its bytes.
    """

    data: bytes
    encoding: str
    lines: int
    has_mark: bool
    has_tape: bool
    refused: str | None
    has_returns: bool
    has_lone_returns: bool

    @property
    def ends_with_newline(self) -> bool:
        """Whether the last line is ended."""
        return self.data.endswith((b"\n", b"\r")) or not self.data

    def line(self, at: int) -> tuple[str, int]:
        """Return the line that begins at a byte, and where the next one begins."""
        data = self.data
        if self.has_returns:
            found = NEWLINE.search(data, at)
            end, after = (found.start(), found.end()) if found else (len(data), len(data))
        else:
            end = data.find(b"\n", at)
            after = end + 1
            if end < 0:
                end = after = len(data)
        # What is longer is refused, and need not be whole for that.
        return data[at : min(end, at + MOST_BYTES)].decode(self.encoding, "replace"), after

    def walk(self, at: int = 0, number: int = 1) -> Iterator[tuple[int, int, str]]:
        """Yield number, place and text of the lines from a place on."""
        while at < len(self.data):
            text, after = self.line(at)
            yield number, at, text
            at, number = after, number + 1

    def line_of(self, wanted: int) -> str:
        """Return the text of the line of a number."""
        return next((text for number, _, text in self.walk() if number == wanted), "")

    def last(self) -> str:
        """Return the last line."""
        data, end = self.data, len(self.data)
        end -= 2 if data.endswith(b"\r\n") else data.endswith((b"\n", b"\r"))
        begin = max(data.rfind(b"\n", 0, end), data.rfind(b"\r", 0, end) if self.has_returns else -1) + 1
        return data[begin:end].decode(self.encoding)

    def newlines(self, begin: int, end: int) -> int:
        """Return how many lines end between two places that begin a line."""
        return _newlines(self.data[begin:end])


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the program stands in the file, as places in its bytes.

    ``begin``: where its first line begins, behind the opening ``%`` when there is one (``opened``),
    and ``number`` that line's. ``end``: the line of the closing ``%`` when there is one (``closed``),
    else behind the last line. ``opening``: the text of the opening line. ``leader``: lines before
    the opening ``%`` hold something.
    """

    begin: int
    number: int
    end: int
    opened: bool
    closed: bool
    leader: bool
    opening: str


def read_text(data: bytes) -> Text:
    """Return a file as text: UTF-8 or Latin-1."""
    has_mark = data.startswith(MARK)
    whole = data[len(MARK) :] if has_mark else data
    data = _without_tape(whole)
    count = _counted(data)
    return Text(
        data=data,
        encoding="utf-8" if not data.isascii() and _is_utf8(data) else "latin-1",
        lines=count.feeds + count.returns - count.pairs + (not data.endswith((b"\n", b"\r")) and bool(data)),
        has_mark=has_mark,
        has_tape=len(data) < len(whole),
        refused=_refused(data, count),
        has_returns=count.returns > 0,
        has_lone_returns=count.returns > count.pairs,
    )


class _Counts(NamedTuple):
    """Line feeds, returns, returns in front of a line feed, and bytes that are invisible and no white space."""

    feeds: int
    returns: int
    pairs: int
    invisible: int


def _counted(data: bytes) -> _Counts:
    """Return how many lines end in the bytes, and how many bytes are invisible and no white space."""
    codes = np.frombuffer(data, dtype=np.uint8)
    if len(data) > LONG_BYTES:
        # The compiler takes longer to load than a short file takes to count.
        from cutworthy.kernels.census import count_bytes  # noqa: PLC0415
        from cutworthy.kernels.reading import ready  # noqa: PLC0415

        ready()
        feeds, returns, low = count_bytes(codes, 0, len(codes))
    else:
        feeds, returns = data.count(b"\n"), data.count(b"\r")
        low = int(np.count_nonzero(codes < FIRST_VISIBLE)) + data.count(DELETE)
    pairs = data.count(b"\r\n") if returns else 0
    invisible = low - feeds - returns
    return _Counts(feeds, returns, pairs, invisible - data.count(b"\t") if invisible else 0)


def _newlines(data: bytes) -> int:
    returns = data.count(b"\r")
    return data.count(b"\n") + returns - (data.count(b"\r\n") if returns else 0)


def _without_tape(data: bytes) -> bytes:
    """Return the data without the tape's control bytes at either end; lines stay where they are."""
    found = PAST_EDGE.search(data)
    begin = found.start() if found else len(data)
    end = len(data)
    while end > begin and not (kept := data[max(end - EDGE_PIECE, begin) : end].rstrip(EDGE)):
        end -= EDGE_PIECE
    end = max(end - EDGE_PIECE, begin) + len(kept) if end > begin else begin
    leader, trailer = data[:begin].translate(None, TAPE), data[end:].translate(None, TAPE)
    if len(leader) + end - begin + len(trailer) == len(data):
        return data  # nothing to take away: a long program is not copied
    return leader + data[begin:end] + trailer


def _refused(data: bytes, count: _Counts) -> str | None:
    if SOMETHING.search(data) is None:
        return "empty"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or (count.invisible and _every_other_is_nul(data)):
        return "utf-16"
    if len(data) > SLIP_BYTES and count.invisible > CONTROL_BYTES * len(data):
        return "binary"
    if data.isascii():
        return None
    body = data.strip()
    high = _share(body, HIGH)
    if high > HIGH_BYTES and _share(body, HIGH_DIGITS) > DIGITS_OF_HIGH * high and not _is_utf8(body):
        return "parity"
    return None


def _every_other_is_nul(data: bytes) -> bool:
    """Return whether the first or the second bytes of all pairs are nearly all NUL, and the others are not."""
    fewer, more = sorted((data[::2].count(0), data[1::2].count(0)))
    return more > NULS * len(data) / 2 > fewer


def _share(data: bytes, wanted: bytes) -> float:
    return 1 - len(data.translate(None, wanted)) / len(data)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def frame_of(text: Text) -> Frame:
    """Return where the program stands between its ``%`` lines, if it has any (NISTIR 6556, 3.1).

    Lines before the first of two ``%`` are a leader when none of them would move an axis.
    """
    data = text.data
    anything = SOMETHING.search(data)
    first = _line_begin(data, anything.start()) if anything else 0
    percents = list(islice(_percent_lines(data), 2))
    before = text.walk() if len(percents) > 1 and first < percents[0] else ()
    leader = bool(before) and not any(
        AXIS_WORD.search(line) for _, at, line in takewhile(lambda row: row[1] < percents[0], before)
    )
    opened = leader or percents[:1] == [first]
    closing = percents[1:2] if opened else percents[:1]
    opening, begin = text.line(percents[0]) if opened else ("", first)
    return Frame(
        begin=begin,
        number=text.newlines(0, percents[0] if opened else begin) + 1 + opened,
        end=closing[0] if closing else len(data),
        opened=opened,
        closed=bool(closing),
        leader=leader,
        opening=opening,
    )


def _percent_lines(data: bytes) -> Iterator[int]:
    """Yield where the lines begin whose first character is ``%``."""
    at = data.find(b"%")
    while at >= 0:
        begin = _line_begin(data, at)
        if begin == 0 or data[begin - 1] in b"\r\n":
            yield begin
        at = data.find(b"%", at + 1)


def _line_begin(data: bytes, at: int) -> int:
    """Return where the white space before a byte begins: its line, when nothing else stands before it."""
    while at and data[at - 1] in BLANKS:
        at -= 1
    return at

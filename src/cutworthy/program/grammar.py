"""From a line to its words (NISTIR 6556, 3.3 and Appendix E)."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import nan

from cutworthy.program.groups import code_of
from cutworthy.program.problems import NOTHING, LineError, Numbers
from cutworthy.program.real import NUMBER, end_of_value

__all__ = ["LARGEST", "Block", "parse"]

LETTERS = frozenset("ABCDFGHIJKLMPQRSTXYZ")  # Table 3, N aside
LARGEST = 1e9  # our choice: a thousand kilometres, and far from where arithmetic breaks
MOST_M = 4  # 3.3.5
LINE_NUMBER_DIGITS = 5  # 3.3.1
LONG, LONGEST = 80, 256  # old controls, no source; 3.3

WORD = re.compile(f"([A-Z])({NUMBER})")
PLAIN_WORDS = re.compile(f"(?:[A-Z]{NUMBER})*+")
BLOCK_DELETE = re.compile(r"/([1-9]?)")
LINE_NUMBER = re.compile(r"N([+-]?\d*+\.?+\d*+)")
SPLIT_NUMBER = re.compile(r"[\d.][ \t]+[\d.]")
COMMENT = re.compile(r"\([^()]*\)|;.*|[()]")

# A named part of a program, and what is done with it: its lines are no words.
NAMED_PART = re.compile(r"O\d*+[A-Z<]{2}")

NAMED_MARKS = {
    ",": "decimal-comma",
    ".": "two-points",
    "/": "block-delete-late",
    "%": "percent-late",
    "\u00a0": "no-break-space",
    "\u2212": "minus-sign",
}


@dataclass(slots=True)
class Block:
    """What one line says.

    ``words``: the number of each letter but G, M and N, NaN where it cannot be worked out.
    ``codes``: the name of the code of each group. ``opaque``: letters whose number cannot be worked
    out, ``#`` for a parameter that is set. ``program_word``: an O word; ``calls``: it does something
    with the part of the program that it names, so nothing else on the line is read. ``rules``: rules of practice
    that the line leans on, with their numbers. ``text``: the line without comments and white space.
    """

    text: str
    words: dict[str, float] = field(default_factory=dict)
    codes: dict[str, str] = field(default_factory=dict)
    opaque: set[str] = field(default_factory=set)
    rules: list[tuple[str, Numbers]] = field(default_factory=list)
    deleted: bool = False
    program_word: bool = False
    calls: bool = False


def parse(raw: str) -> Block:
    """Return what the line says.

    Raises
    ------
    LineError
        With the id ``bad-line``, ``number-missing`` or ``unknown-word``.
    """
    code = raw
    if "(" in raw or ";" in raw or ")" in raw:
        code = _without_comments(raw)
    if not code.isascii():
        raise _wrong_character(code, re.search(r"[^\x00-\x7f]", code).start())  # type: ignore[union-attr]  # found
    text = code.replace(" ", "").replace("\t", "").upper()
    block = Block(text)
    if code is not raw or len(raw) > LONG or len(text) != len(raw):
        _see_form(raw, code, block)
    at = _start(block) if text[:1] in ("/", "N") else 0
    if NAMED_PART.match(text, at):
        block.program_word = block.calls = True
        return block
    try:
        if PLAIN_WORDS.fullmatch(text, at):
            _take(WORD.findall(text, at), block)
        else:
            _take(_walk(block, at), block)
    except LineError as error:
        if "column" in error.numbers:
            column = _column(code, int(error.numbers["column"]))
            error.numbers = {**error.numbers, "column": column}
        raise
    return block


def _without_comments(raw: str) -> str:
    """Return the line with each comment blanked out, so that columns stay."""
    for found in COMMENT.finditer(raw):
        place, mark = found.start(), found[0]
        if mark == ")":
            raise LineError(case="comment-close", numbers={"column": place + 1})
        if mark == "(":
            inside, closed, _ = raw[place + 1 :].partition(")")
            nested = bool(closed) and "(" in inside
            case = "comment-nested" if nested else "comment-open"
            raise LineError(case=case, quote=raw[place:], unfinished=not nested, numbers={"column": place + 1})
    return COMMENT.sub(lambda found: " " * len(found[0]), raw)


def _see_form(raw: str, code: str, block: Block) -> None:
    """Note what is laxer about the line's form than the report or old controls allow."""
    if ";" in raw and any(found[0][0] == ";" for found in COMMENT.finditer(raw)):
        block.rules.append(("semicolon", NOTHING))
    if len(raw) > LONG:
        limit = LONGEST if len(raw) > LONGEST else LONG
        block.rules.append((f"line-over-{limit}", {"value": len(raw), "limit": limit}))
    split = SPLIT_NUMBER.search(code)
    if split:
        block.rules.append(("space-in-number", {"column": split.start() + 1}))


def _start(block: Block) -> int:
    """Read block delete and line number; return where the words begin."""
    text, at = block.text, 0
    slash = BLOCK_DELETE.match(text)
    if slash:
        block.deleted = True
        at = slash.end()
        if slash[1]:
            block.rules.append(("block-delete-number", NOTHING))
    number = LINE_NUMBER.match(text, at)
    if number is None:
        return at
    if not number[1].strip("+-."):
        raise LineError(
            problem="number-missing", case="after-letter", quote="N", numbers={"letter": "N", "column": at + 1}
        )
    if not number[1].isdigit():
        block.rules.append(("line-number-decimal", NOTHING))
    elif len(number[1]) > LINE_NUMBER_DIGITS:
        block.rules.append(("line-number-long", NOTHING))
    return number.end()


def _walk(block: Block, at: int) -> Iterator[tuple[str, str]]:
    """Yield the words one by one, with an empty number where it cannot be worked out."""
    text = block.text
    while at < len(text):
        letter = text[at]
        if letter == "#":
            at = _setting(text, at)
            block.opaque.add("#")
            continue
        if not letter.isalpha():
            raise _wrong_character(text, at)
        end = end_of_value(text, at + 1)
        if end < 0:
            raise _no_value(text, at)
        number = text[at + 1 : end]
        yield letter, "" if "[" in number or "#" in number else number
        at = end


def _setting(text: str, at: int) -> int:
    """Return where the parameter setting that begins here ends."""
    end = end_of_value(text, at + 1)
    if end > 0 and text.startswith("=", end):
        value = end_of_value(text, end + 1)
        if value > 0:
            return value
    raise LineError(case="bracket-open", quote=text[at:], unfinished=True, numbers={"column": at + 1})


def _take(pairs: Iterator[tuple[str, str]] | list[tuple[str, str]], block: Block) -> None:
    """Put the words into the block."""
    words = block.words
    m_words = 0
    for letter, number in pairs:
        value = float(number) if number else nan
        if letter in "GM":
            m_words += letter == "M"
            _take_code(letter, number, value, block)
        elif letter in words:
            raise LineError(case="letter-twice", quote=letter + number, numbers={"letter": letter})
        elif letter in LETTERS:
            if not -LARGEST < value < LARGEST and number:
                raise LineError(case="number-too-large", quote=letter + number, numbers={"limit": LARGEST})
            words[letter] = value
            if not number:
                block.opaque.add(letter)
        elif letter == "O":
            block.program_word = True
        else:
            place = block.text.rfind(letter) + 1
            case = "line-number-late" if letter == "N" else "letter"
            problem = "bad-line" if letter == "N" else "unknown-word"
            raise LineError(
                problem=problem, case=case, quote=letter + number, numbers={"letter": letter, "column": place}
            )
    if m_words > MOST_M:
        raise LineError(case="too-many-m", numbers={"value": m_words, "limit": MOST_M})
    if m_words > 1:
        block.rules.append(("several-m-words", {"value": m_words}))


def _take_code(letter: str, number: str, value: float, block: Block) -> None:
    if not number:
        block.opaque.add(letter)
        return
    found = code_of(letter, value)
    if found is None:
        raise LineError(problem="unknown-word", case="code", quote=letter + number, numbers={"code": letter + number})
    group, name = found
    if group in block.codes:
        raise LineError(case="two-of-a-group", numbers={"first": block.codes[group], "second": name})
    block.codes[group] = name


def _no_value(text: str, at: int) -> LineError:
    """Return what is wrong with the word that begins here."""
    rest = text[at + 1 :]
    if text[at] not in LETTERS and text[at] not in "NO":
        return LineError(
            problem="unknown-word", case="letter", quote=text[at], numbers={"letter": text[at], "column": at + 1}
        )
    if rest[:1] in ("#", "[") or re.match("[A-Z]+\\[", rest):
        return LineError(case="bracket-open", quote=text[at:], unfinished=True, numbers={"column": at + 1})
    quote = re.match(r".[+\-.,]*+", text[at:])[0]  # type: ignore[index]  # one character is always there
    unfinished = len(quote) == len(rest) + 1
    return LineError(
        problem="number-missing",
        case="after-letter",
        quote=quote,
        unfinished=unfinished,
        numbers={"letter": text[at], "column": at + 1},
    )


def _wrong_character(text: str, at: int) -> LineError:
    """Return the error that names the character at this place."""
    mark = text[at]
    if ord(mark) < ord(" ") or ord(mark) == 0x7F:  # noqa: PLR2004 - DEL, the one control behind the letters
        return LineError(case="control-character", numbers={"column": at + 1, "code": ord(mark)})
    case = NAMED_MARKS.get(mark, "character")
    if mark in ",." and not (text[at - 1 : at].isdigit() or text[at - 1 : at] == "."):
        case = "character"
    if case in ("decimal-comma", "two-points"):
        begin = max(text.rfind(letter, 0, at) for letter in LETTERS)
        return LineError(case=case, quote=text[max(begin, 0) :][: at - begin + 4], numbers={"column": at + 1})
    return LineError(case=case, quote=mark, numbers={"column": at + 1})


def _column(code: str, column: int) -> int:
    """Return the column in the line of a column in its text without white space."""
    kept = [place for place, mark in enumerate(code, start=1) if mark not in " \t"]
    return kept[column - 1]

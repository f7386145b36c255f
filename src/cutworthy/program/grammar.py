"""From a line to its words (NISTIR 6556, 3.3 and Appendix E)."""

import re
from dataclasses import dataclass, field
from math import isnan

from cutworthy.model.program import Level
from cutworthy.program.groups import code_of
from cutworthy.program.problems import NOTHING, LineError, Numbers
from cutworthy.program.real import LARGEST, NUMBER, Parameters, Rule, Value, parameter_key, read_value

__all__ = ["MOST_CHARACTERS", "Block", "parse", "worked_out"]

LETTERS = frozenset("ABCDFGHIJKLMPQRSTXYZ")  # Table 3, N aside
MOST_M = 4  # 3.3.5
LINE_NUMBER_DIGITS = 5  # 3.3.1
MOST_CHARACTERS = 10_000  # our choice: a line that nobody wrote
LONG, LONGEST = 80, 256  # old controls, no source; 3.3

NAME_DIGITS = 8  # our choice

NUMBER_ONLY = re.compile(NUMBER)
WORD = re.compile(f"([A-Z])({NUMBER})")
# Not possessive: Python 3.11 to 3.11.2 take a possessive group that fails in its middle for a match.
PLAIN_WORDS = re.compile(f"(?:[A-Z]{NUMBER})*")
BLOCK_DELETE = re.compile(r"/([1-9]?)")
LINE_NUMBER = re.compile(r"N([+-]?\d*+\.?+\d*+)")
SPLIT_NUMBER = re.compile(r"[\d.][ \t]+[\d.]")
HIDDEN = "\x00"  # stands for a comment's characters; a real one ends the line's reading anyway
# A comment where a number goes on, or where one has to begin.
TORN = re.compile(r"[A-Za-z#=+\-][ \t]*\x00|[\d.][ \t]*\x00[ \t\x00]*[\d.]")
COMMENT = re.compile(r"\([^()]*\)|;.*|[()]")

# A named part of a program and what is done with it, and words that choose the next line: common in
# some dialects, no words here.
NAMED_PART = re.compile(r"O\d*+[A-Z<]{2}")
FLOW = re.compile(r"IF\[|WHILE\[|GOTO|DO\d|END\d|ELSE|THEN")
# What a program or a part of it is called: O1000, or :1000.
NAME = re.compile(r"[O:](\d++)(?!\.)")

DELETE = 0x7F  # the one control character behind the letters
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

    ``words``: the number of each letter but G, M, N and O, NaN where nobody knows it. ``codes``: the
    name of the code of each group. ``values``: words whose number has yet to be worked out from
    parameters, ``settings`` likewise. ``opaque``: letters whose number nobody knows. ``name``: the
    number of an O word. ``elsewhere``: what the line says about other parts of the program in a
    way that is not read, so nothing else on it is. ``says_anything``: there is more than a comment
    or the line's number; ``is_empty``: there is nothing to obey and nothing to say. ``rules``: rules
    of practice that the line leans on, with their numbers. ``text``: the line without comments and white space.
    """

    text: str
    words: dict[str, float] = field(default_factory=dict)
    codes: dict[str, str] = field(default_factory=dict)
    values: list[tuple[str, Value]] = field(default_factory=list)
    settings: list[tuple[Value | float, Value | float]] = field(default_factory=list)
    opaque: set[str] = field(default_factory=set)
    rules: list[tuple[str, Numbers]] = field(default_factory=list)
    deleted: bool = False
    name: int | None = None
    elsewhere: str = ""
    says_anything: bool = False
    is_empty: bool = False


def parse(raw: str) -> Block:
    """Return what the line says.

    Raises
    ------
    LineError
        With the id ``bad-line``, ``number-missing`` or ``unknown-word``.
    """
    if len(raw) > MOST_CHARACTERS:
        raise LineError(case="line-endless", numbers={"limit": MOST_CHARACTERS})
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
    block.elsewhere = _elsewhere(text, at)
    if block.elsewhere:
        block.says_anything = True
        return block
    try:
        name = NAME.match(text, at)
        if name:
            block.name, at = _name(name[1]), name.end()
        if PLAIN_WORDS.fullmatch(text, at):
            _take(WORD.findall(text, at), block)
        else:
            _take_slowly(block, at)
    except LineError as error:
        if "column" in error.numbers:
            column = _column(code, int(error.numbers["column"]))
            error.numbers = {**error.numbers, "column": column}
        raise
    block.says_anything = at < len(text) or block.name is not None
    block.is_empty = at == len(text) and not block.rules
    return block


def _elsewhere(text: str, at: int) -> str:
    """Return what a line is about whose words are not read: a named part, or which line runs next."""
    return "part" if NAMED_PART.match(text, at) else "flow" if FLOW.match(text, at) else ""


def worked_out(block: Block, parameters: Parameters) -> tuple[Block, list[tuple[int, float]]]:
    """Return the line with all its numbers, and the parameters that it sets.

    All values are taken before any parameter is set (NISTIR 6556, 3.3.3).

    Raises
    ------
    LineError
        When a value cannot be.
    """
    done = Block(
        block.text, block.words.copy(), block.codes.copy(), rules=block.rules, deleted=block.deleted, name=block.name
    )
    for letter, value in block.values:
        number = value(parameters)
        if isnan(number):
            done.opaque.add(letter)
            if letter not in "GM":
                done.words[letter] = number
        elif letter in "GM":
            _take_code(letter, f"{number:.6g}", number, done)
        else:
            done.words[letter] = _bounded(letter, number)
    settings = []
    for key, what in block.settings:
        number = _now(key, parameters)
        if isnan(number):
            raise LineError(problem="not-supported", case="parameter-unknown", level=Level.ASK)
        settings.append((parameter_key(number), _now(what, parameters)))
    return done, settings


def _now(value: Value | float, parameters: Parameters) -> float:
    return value if isinstance(value, float) else value(parameters)


def _name(digits: str) -> int:
    """Return the number of a program or a part."""
    if len(digits) > NAME_DIGITS:
        raise LineError(case="number-too-large", quote="O" + digits, numbers={"limit": 10.0**NAME_DIGITS})
    return int(digits)


def _bounded(letter: str, number: float) -> float:
    if not -LARGEST < number < LARGEST:
        raise LineError(case="number-too-large", quote=f"{letter}{number:g}", numbers={"limit": LARGEST})
    return number


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
    marked = COMMENT.sub(lambda found: HIDDEN * len(found[0]), raw)
    torn = TORN.search(marked)
    if torn:
        raise LineError(case="comment-inside", numbers={"column": torn.start() + 1})
    return marked.replace(HIDDEN, " ")


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


def _take_slowly(block: Block, at: int) -> None:
    """Put the words into the block one by one, values that have to be worked out among them."""
    text, pairs = block.text, []

    def lean_on(rule: str) -> None:
        block.rules.append((rule, NOTHING))

    while at < len(text):
        letter = text[at]
        if letter == "#":
            at = _take_setting(block, at, lean_on)
            continue
        if not letter.isalpha():
            raise _wrong_character(text, at)
        value, end = read_value(text, at + 1, lean_on)
        if end == at + 1:
            raise _no_value(text, at)
        if isinstance(value, float):
            # What was worked out is written as a number again, so that a word is read in one way only.
            pairs.append((letter, text[at + 1 : end] if NUMBER_ONLY.fullmatch(text, at + 1, end) else repr(value)))
        else:
            pairs.append((letter, ""))
            block.values.append((letter, value))
        at = end
    _take(pairs, block)


def _take_setting(block: Block, at: int, lean_on: Rule) -> int:
    """Put the parameter setting that begins here into the block; return where it ends."""
    text = block.text
    key, end = read_value(text, at + 1, lean_on)
    if end > at + 1 and text.startswith("=", end):
        value, last = read_value(text, end + 1, lean_on)
        if last > end + 1:
            block.settings.append((key, value))
            return last
    raise LineError(case="bracket-open", quote=text[at:], unfinished=True, numbers={"column": at + 1})


def _take(pairs: list[tuple[str, str]], block: Block) -> None:
    """Put the words into the block; those of no number are worked out later."""
    words, seen = block.words, set()
    m_words = 0
    for letter, number in pairs:
        if letter in "GM":
            m_words += letter == "M"
            if number:
                _take_code(letter, number, float(number), block)
        elif letter in words or letter in seen:
            raise LineError(case="letter-twice", quote=letter + number, numbers={"letter": letter})
        elif letter in LETTERS:
            if number:
                value = float(number)
                if not -LARGEST < value < LARGEST:
                    raise LineError(case="number-too-large", quote=letter + number, numbers={"limit": LARGEST})
                words[letter] = value
            else:
                seen.add(letter)
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
    if rest and (ord(rest[0]) < ord(" ") or ord(rest[0]) == DELETE):
        return _wrong_character(text, at + 1)
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
    if ord(mark) < ord(" ") or ord(mark) == DELETE:
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
    return kept[column - 1] if column <= len(kept) else len(code) + 1

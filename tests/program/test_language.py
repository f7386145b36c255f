"""Every row of docs/language.toml: its examples read both ways, and nothing that is left out of it."""

import importlib.util
import re
from collections.abc import Iterator, Mapping
from enum import IntEnum
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from cutworthy.model.program import Kind, Level
from cutworthy.program import ListedTool, ReadOptions, problems
from cutworthy.program.grammar import LETTERS
from cutworthy.program.groups import G_GROUPS, M_GROUPS, PRACTICE_ONLY
from cutworthy.program.reader import Reading
from cutworthy.program.real import FUNCTIONS, RANKS
from cutworthy.program.text import read_text

ROOT = Path(__file__).resolve().parents[2]
KINDS = {Kind.RAPID: "R", Kind.LINE: "F", Kind.ARC: "A", Kind.DWELL: "D"}
MOVE = re.compile(r"([RFAD])\(([^)]*)\)")
# What stands behind a move's end: what it says of the move, and where that is kept.
ASIDE = {"feed": "feed_mm_min", "rpm": "rpm", "bit": "tool", "turns": "turns"}
# Codes of EIA RS-274-D (its list of preparatory functions, G00 to G80) and of ISO 6983-1 that are not read.
NOT_READ = "G6 G8 G9 G13 G14 G15 G16 G25 G26 G27 G29 G33 G34 G35 G36 G37 G39 G44 G72 G74 G75 G95 G96 G97"
SPLIT = re.compile(r"[ \t]|\([^()]*\)|;.*")


def tool() -> ModuleType:
    """Return tools/language_page.py as a module."""
    spec = importlib.util.spec_from_file_location("language_page", ROOT / "tools" / "language_page.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


PAGE = tool()
TABLE = PAGE.load(PAGE.DATA.read_text(encoding="utf-8"))
ROWS = [row for group in TABLE["group"] for row in group["row"]]
EXAMPLES = [(row["word"], number, each) for row in ROWS for number, each in enumerate(row["examples"], start=1)]


def text_of(example: Mapping[str, Any]) -> bytes:
    """Return the example as a file: between the table's opening and closing lines unless it is whole."""
    program = example["program"]
    if not example.get("whole"):
        program = f"{TABLE['opening']}\n{program}\n{TABLE['closing']}\n"
    return program.encode(example.get("encoding", "utf-8"))


def read(example: Mapping[str, Any], *, strict: bool) -> Reading:
    options = dict(example.get("with", {}))
    told = {int(slot): ListedTool(**listed) for slot, listed in options.pop("tools", {}).items()}
    chosen = {name: tuple(value) if isinstance(value, list) else value for name, value in options.items()}
    reading = Reading(
        read_text(text_of(example)), ReadOptions(**{"units_at_start": "mm", "tools": told, "strict": strict, **chosen})
    )
    reading.run(lambda _share: None)
    return reading


def moves_of(text: str) -> Iterator[tuple[str, list[float], dict[str, float]]]:
    """Yield kind, end or seconds, and what else is said, of ``R(1,2,3) F(1,2,0; feed 300) D(2)``."""
    assert not MOVE.sub("", text).strip(), text
    for kind, inside in MOVE.findall(text):
        place, *rest = inside.split(";")
        aside = {name: float(value) for name, value in (each.split() for each in rest)}
        assert aside.keys() <= ASIDE.keys(), text
        yield kind, [float(number) for number in place.split(",")], aside


def check_moves(moves: Any, text: str) -> None:
    expected = list(moves_of(text))
    assert [KINDS[Kind(kind)] for kind in moves.kind] == [kind for kind, _, _ in expected]
    for row, (kind, place, aside) in enumerate(expected):
        made = moves.seconds[row : row + 1] if kind == "D" else moves.end_mm[row]
        assert made == pytest.approx(place, abs=1e-4), (row, text)
        for name, value in aside.items():
            assert getattr(moves, ASIDE[name])[row] == pytest.approx(value, abs=1e-4, nan_ok=True), (row, name)


def check_example(example: Mapping[str, Any], *, strict: bool) -> None:
    """Read the example one way; everything must come out as it says."""
    way = "strict" if strict else "practice"
    reading = read(example, strict=strict)
    program = reading.program("")
    found = {(str(problem.level), problem.id, problem.case) for problem in program.problems}
    assert found == PAGE.outcome(example[way])
    if strict and str(Level.NO_GO) in {level for level, _, _ in found}:
        return  # what a refused program has done until then is nobody's business

    def told(key: str) -> Any:
        return example.get(f"strict_{key}", example.get(key)) if strict else example.get(key)

    if (end := told("end")) == "unknown":
        assert program.end_mm is None
    elif end is not None:
        assert program.end_mm == pytest.approx(tuple(end), abs=1e-4)
    if (moves := told("moves")) is not None:
        check_moves(program.moves, moves)
    for name, value in (told("holds") or {}).items():
        held = getattr(reading.control.state, name)
        assert (held.name.lower() if isinstance(held, IntEnum) else held) == value, name
    for number, value in (told("parameters") or {}).items():
        held = reading.control.parameters[int(number)]
        assert held == pytest.approx(value) or (value == "unknown" and np.isnan(held)), number


def check_same(row: Mapping[str, Any]) -> None:
    """Where a row says that practice is as the report, its examples come out alike."""
    if row["practice"].startswith(PAGE.SAME):
        for example in row["examples"]:
            assert PAGE.outcome(example["strict"]) == PAGE.outcome(example["practice"]), example["program"]
            assert not any(key.startswith("strict_") for key in example), example["program"]


def check_words(row: Mapping[str, Any]) -> None:
    """Each word that the row names stands in one of its examples."""
    programs = [SPLIT.sub("", line).upper() for each in row["examples"] for line in each["program"].splitlines()]
    for word in words_of(row):
        if re.fullmatch("[A-Z]", word):
            wanted = rf"{word}(?![A-Z])"
        elif re.fullmatch(r"[GM][\d.]+", word):
            wanted = rf"{word[0]}0*{re.escape(word[1:])}(?![\d.])"
        else:
            wanted = re.escape(word)
        # What opens a comment is gone from the lines without their comments.
        comment = word in "();" and any(word in each["program"] for each in row["examples"])
        assert comment or any(re.search(wanted, program) for program in programs), word


def words_of(row: Mapping[str, Any]) -> list[str]:
    return [] if row["word"].startswith("<") else row["word"].split()


@pytest.mark.parametrize("strict", [True, False], ids=["strict", "practice"])
@pytest.mark.parametrize(
    "example", [each for _, _, each in EXAMPLES], ids=[f"{word}-{number}" for word, number, _ in EXAMPLES]
)
def test_example(example: Mapping[str, Any], strict: bool) -> None:  # noqa: FBT001 - a column of the table
    check_example(example, strict=strict)


@pytest.mark.parametrize("row", ROWS, ids=[row["word"] for row in ROWS])
def test_row(row: Mapping[str, Any]) -> None:
    check_words(row)
    check_same(row)
    followed = [each for each in row["examples"] if "no-go" not in each["practice"]]
    assert all(each.keys() & {"end", "moves", "holds", "parameters"} for each in followed)


def test_every_word_of_the_language_has_a_row() -> None:
    named = [word for row in ROWS for word in words_of(row)]
    codes = [code for groups in (G_GROUPS, M_GROUPS) for names in groups.values() for code in names.split()]
    letters = LETTERS | set("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    operations = {name for rank in RANKS for name in rank}
    marks = {"%", "/", "(", ")", ";", ":", "#", "=", "[", "]"}
    for word in {*codes, *letters, *PRACTICE_ONLY, *FUNCTIONS, "ATAN", *operations, *marks, *NOT_READ.split()}:
        assert named.count(word) >= 1, word
    for code in codes:
        assert named.count(code) == 1, code


def test_every_difference_has_an_example() -> None:
    listed = str(problems.__doc__).split("\n``practice`` (note", 1)[1]
    cases = set(re.findall(r"^- ``(.+?)``:", listed, re.MULTILINE))
    assert len(cases) > 30
    shown = {
        case for _, _, each in EXAMPLES for _, problem, case in PAGE.outcome(each["practice"]) if problem == "practice"
    }
    assert shown == cases


def test_the_page_is_that_of_the_table() -> None:
    assert PAGE.PAGE.read_text(encoding="utf-8") == PAGE.page(TABLE)


GOOD: Mapping[str, Any] = {
    "word": "G0",
    "means": "goes",
    "section": "3.5.1",
    "report": "goes",
    "practice": "as the report",
    "examples": [{"program": "G0 X5", "strict": "ok", "practice": "ok", "end": [5, 0, 0], "moves": "R(5,0,0)"}],
}


def planted(**changes: Any) -> Mapping[str, Any]:
    """Return the good row with its example changed."""
    return {**GOOD, "examples": [{**GOOD["examples"][0], **changes}]}


def test_the_good_row_is_good() -> None:
    test_row(GOOD)
    for strict in (True, False):
        check_example(GOOD["examples"][0], strict=strict)


@pytest.mark.parametrize(
    "changes",
    [
        {"program": "G0 X6"},
        {"program": "G0 X5 D1"},
        {"practice": "note:practice.word-harmless"},
        {"strict": "refused:bad-line.negative"},
        {"end": [5, 0, 1]},
        {"end": "unknown"},
        {"moves": "F(5,0,0)"},
        {"moves": "R(5,0,0) R(5,0,0)"},
        {"moves": "R(5,0,0; rpm 9)"},
        {"moves": "R(5,0,0) and on"},
        {"holds": {"motion": "G1"}, "whole": True, "program": "%\nG21 G17 G90 G94 G54 G0 X5\n%"},
        {"parameters": {"5220": 2}},
        {"strict_end": [6, 0, 0]},
    ],
    ids=str,
)
def test_a_wrong_example_is_seen(changes: Mapping[str, Any]) -> None:
    (example,) = planted(**changes)["examples"]
    wrong = 0
    for strict in (True, False):
        try:
            check_example(example, strict=strict)
        except AssertionError:
            wrong += 1
    assert wrong


@pytest.mark.parametrize(
    "row",
    [
        planted(strict="refused:bad-line.negative"),
        planted(strict_end=[5, 0, 1]),
        planted(program="G01.0 X5"),
        planted(program="(G0) G17"),
        {**GOOD, "word": "G0 G1"},
        {**GOOD, "examples": [{"program": "G0 X5", "strict": "ok", "practice": "ok"}]},
    ],
    ids=["strict", "strict end", "word", "comment", "words", "nothing to compare"],
)
def test_a_wrong_row_is_seen(row: Mapping[str, Any]) -> None:
    with pytest.raises(AssertionError):
        test_row(row)


ONE = """
head = "H"
opening = "G21"
closing = "M2"
[[group]]
title = "T"
[[group.row]]
word = "G0"
means = "goes"
section = "3.5.1"
report = "goes"
practice = "as the report"
examples = [{ program = "G0 X5", strict = "ok", practice = "ok" }]
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('{ program = "G0 X5", strict = "ok", practice = "ok" }', ""),
        ('examples = [{ program = "G0 X5", strict = "ok", practice = "ok" }]', ""),
        ('means = "goes"', 'means = " "'),
        ('means = "goes"', ""),
        ('practice = "ok" }', 'practise = "ok" }'),
        ('practice = "ok" }', 'practice = "ok", ende = [5, 0, 0] }'),
    ],
)
def test_a_row_that_shows_nothing_is_refused(old: str, new: str) -> None:
    assert PAGE.load(ONE)["group"][0]["row"][0]["word"] == "G0"
    assert old in ONE
    with pytest.raises(PAGE.WrongTableError):
        PAGE.load(ONE.replace(old, new))


@pytest.mark.parametrize("told", ["okay", "note", "note:practice", "warn:practice.semicolon", ""])
def test_an_outcome_that_is_none_is_refused(told: str) -> None:
    with pytest.raises(PAGE.WrongTableError):
        assert PAGE.outcome(told)


def test_an_old_page_is_seen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    page = tmp_path / "language.md"
    monkeypatch.setattr(PAGE, "PAGE", page)
    monkeypatch.setattr("sys.argv", ["language_page.py", "--check"])
    assert PAGE.main() == 1
    monkeypatch.setattr("sys.argv", ["language_page.py"])
    assert PAGE.main() == 0
    monkeypatch.setattr("sys.argv", ["language_page.py", "--check"])
    assert PAGE.main() == 0
    page.write_text(page.read_text(encoding="utf-8") + "more\n", encoding="utf-8")
    assert PAGE.main() == 1

"""Writes docs/language.md from docs/language.toml; ``--check`` only compares.

The rows of the table are written by hand. What a row can lead to is taken from its examples, each of
which a test reads in both ways.
"""
# ruff: noqa: INP001, T201 - a script of its own, which prints what it did

import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from pathlib import Path
from typing import Any

from cutworthy.model.program import Level
from cutworthy.present.sentences import LEVELS

ROOT = Path(__file__).resolve().parents[1]
DATA = ROOT / "docs" / "language.toml"
PAGE = ROOT / "docs" / "language.md"
SAME = "as the report"  # of a row whose examples come out alike in both readings
GOOD, REFUSED = "ok", "refused"

GROUP_KEYS = {"title", "row"}
ROW_KEYS = {"word", "means", "section", "report", "practice", "examples"}
EXAMPLE_KEYS = {"program", "strict", "practice"}
MORE_EXAMPLE_KEYS = {
    "whole", "encoding", "with", "end", "moves", "holds", "parameters", "strict_end", "strict_moves", "strict_holds",
    "strict_parameters",
}  # fmt: skip

MARKED = re.compile(r"(`[^`]*`)|[*_<|\[\]]")  # code is left as it is

Row = Mapping[str, Any]
Example = Mapping[str, Any]


class WrongTableError(Exception):
    """A row or an example that does not say what it must."""

    def __init__(self, what: str, wrong: str) -> None:
        """Keep what is wrong with what."""
        super().__init__(f"{what}: {wrong}")


def main() -> int:
    """Write the page, or say that it is not up to date."""
    text = page(load(DATA.read_text(encoding="utf-8")))
    if "--check" not in sys.argv:
        PAGE.write_text(text, encoding="utf-8", newline="\n")
    elif not PAGE.exists() or PAGE.read_text(encoding="utf-8") != text:
        print("docs/language.md is not up to date: python tools/language_page.py")
        return 1
    return 0


def load(text: str) -> dict[str, Any]:
    """Return the table.

    Raises
    ------
    WrongTableError
        When something is missing, or stands where nobody reads it.
    """
    table = tomllib.loads(text)
    _keys("the table", table, {"head", "opening", "closing", "group"})
    for group in table["group"]:
        _keys(str(group.get("title")), group, GROUP_KEYS)
        for row in group["row"]:
            _keys(str(row.get("word")), row, ROW_KEYS)
            if not row["examples"]:
                raise WrongTableError(row["word"], "no example")
            for example in row["examples"]:
                _keys(f"{row['word']}: {example.get('program')!r}", example, EXAMPLE_KEYS, MORE_EXAMPLE_KEYS)
    return table


def _keys(what: str, table: Mapping[str, Any], wanted: AbstractSet[str], more: AbstractSet[str] = frozenset()) -> None:
    """Refuse a table with other keys, or with one that says nothing."""
    if missing := wanted - table.keys():
        raise WrongTableError(what, f"{', '.join(sorted(missing))} missing")
    if strange := table.keys() - wanted - more:
        raise WrongTableError(what, f"nobody reads {', '.join(sorted(strange))}")
    if empty := [key for key, value in table.items() if isinstance(value, str) and not value.strip()]:
        raise WrongTableError(what, f"{', '.join(sorted(empty))} says nothing")


def outcome(told: str) -> set[tuple[str, str, str]]:
    """Return level, id and case of each thing that ``strict`` or ``practice`` of an example names."""
    if told == GOOD:
        return set()
    found = set()
    for word in told.split() or [told]:
        level, _, name = word.partition(":")
        problem, _, case = name.partition(".")
        if level not in {*Level, REFUSED} or not case:
            raise WrongTableError(word, "no level:id.case")
        found.add((str(Level.NO_GO) if level == REFUSED else level, problem, case))
    return found


def page(table: Mapping[str, Any]) -> str:
    """Return the whole page."""
    return "".join([table["head"], *(section(group) for group in table["group"])])


def section(group: Mapping[str, Any]) -> str:
    """Return the section of one group."""
    lines = [
        f"\n## {group['title']}\n",
        "| word | what it does | by the report | in practice | can say |",
        "| --- | --- | --- | --- | --- |",
    ]
    for row in group["row"]:
        cells = (
            words(row),
            plain(row["means"]),
            plain(f"{row['report']} ({row['section']})"),
            plain(row["practice"]),
            ", ".join(sayings(row)),
        )
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """Return text in which marks of the page's own language stand for themselves."""
    return MARKED.sub(lambda found: found[1] or "\\" + found[0], text)


def words(row: Row) -> str:
    """Return the row's words as code; a word in brackets is plain text."""
    word = str(row["word"])
    return word[1:-1] if word.startswith("<") else " ".join(f"`{each}`" for each in word.split())


def sayings(row: Row) -> Iterator[str]:
    """Yield what the row's examples say in practice, the gravest first, each once."""
    levels = list(Level)
    told = (each for example in row["examples"] for each in outcome(example["practice"]))
    found = {(levels.index(Level(level)), problem, case) for level, problem, case in told}
    for level, problem, case in sorted(found):
        name = f"`{problem}`" if case == problem else f"`{problem}` {case}"
        yield f"{LEVELS[levels[level]]} {name}"


if __name__ == "__main__":
    sys.exit(main())

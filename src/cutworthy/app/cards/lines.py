"""Finds the lines on which the keys of a TOML text stand.

The standard library's reader keeps no lines. This scanner only ever places a message, no value
comes from it: it expects text that the reader has accepted.
"""

import re
import tomllib
from collections.abc import Iterator
from typing import Any

from cutworthy.app.cards.faults import Place

__all__ = ["Lines"]

# What a value is made of: strings first, because anything may stand inside them.
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'  # up to two quotes may stand before the closing three
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[\[\]{}\n]"
    r"|[^\"'\#\[\]{}\n]+",
    re.DOTALL,
)
_SIMPLE = r"""(?:[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*')"""
_KEY = rf"{_SIMPLE}(?:[ \t]*\.[ \t]*{_SIMPLE})*"
_STATEMENT = re.compile(rf"[ \t]*(?:(?P<table>\[\[?)[ \t]*(?P<name>{_KEY})[ \t]*\]\]?|(?P<key>{_KEY})[ \t]*=)")


class Lines:
    """The lines of a card's keys, counted from 1."""

    def __init__(self, text: str) -> None:
        """Find every key and table header of a valid TOML text."""
        self._lines: dict[Place, int] = {}
        for place, line in _keys(text.replace("\r\n", "\n")):
            for length in range(1, len(place) + 1):
                self._lines.setdefault(place[:length], line)

    def of(self, place: Place) -> int | None:
        """Return the line of a key; inside a list or an inline table that of the outer key; None without one."""
        for length in range(len(place), 0, -1):
            if line := self._lines.get(place[:length]):
                return line
        return None


def _keys(text: str) -> Iterator[tuple[Place, int]]:
    """Yield the place and line of every header and every key, in the order of the text."""
    table: Place = ()
    counts: dict[Place, int] = {}  # how many tables of a list have begun
    at, line = 0, 1
    while at < len(text):
        statement = _STATEMENT.match(text, at)
        if statement and statement["table"]:
            table = _table(statement, counts)
            yield table, line
        elif statement:
            yield (*table, *_parts(statement["key"])), line
        end = _end_of_statement(text, statement.end() if statement else at)
        line += text.count("\n", at, end)
        at = end


def _table(header: re.Match[str], counts: dict[Place, int]) -> Place:
    """Return the place of a header, with the index of each list of tables that it passes through."""
    place: Place = ()
    parts = _parts(header["name"])
    for i, part in enumerate(parts):
        place = (*place, part)
        if header["table"] == "[[" and i == len(parts) - 1:
            counts[place] = counts.get(place, 0) + 1
        if place in counts:
            place = (*place, counts[place] - 1)
    return place


def _end_of_statement(text: str, at: int) -> int:
    """Return where the next statement begins: after the first line end outside strings and brackets."""
    depth = 0
    for token in _TOKEN.finditer(text, at):
        if token[0] in ("[", "{"):
            depth += 1
        elif token[0] in ("]", "}"):
            depth -= 1
        elif token[0] == "\n" and depth == 0:
            return token.end()
    return len(text)


def _parts(key: str) -> list[str]:
    """Return the parts of a dotted key, which may be quoted."""
    parts: list[str] = []
    inner: Any = tomllib.loads(f"{key} = 0")
    while isinstance(inner, dict):
        ((part, inner),) = inner.items()
        parts.append(part)
    return parts

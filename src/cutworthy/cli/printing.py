"""Prints pages: wrapped to the terminal, coloured where it is one, never only by colour."""

import json
import os
import sys
import textwrap
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from rich.console import Console
from rich.text import Text

from cutworthy.present.page import Line
from cutworthy.present.plain import plain

__all__ = ["print_error", "print_json", "print_json_lines", "print_json_with", "print_page"]

WIDEST = 96
TOGETHER = 1000  # rows or lines that go out together
# Our own palette: told apart by lightness too, and each line carries its word and mark.
STYLES = {
    "go": "bold cyan",
    "ask": "bold yellow",
    "no-go": "bold magenta",
    "note": "",
    "plain": "",
    "quiet": "dim",
    "strong": "bold",
}


class _Pipe(Console):
    """A console whose reader may go away, as ``head`` does once it has read enough: the verdict stays."""

    def on_broken_pipe(self) -> None:
        """Let nothing more go to a reader that has gone."""
        self.quiet = True
        _drop_output()


def print_page(lines: Iterable[Line]) -> None:
    """Print the lines of a page on standard output, as they come; nothing is kept of a long one."""
    console = _Pipe(highlight=False, emoji=False, markup=False, soft_wrap=True)
    width = min(console.width, WIDEST)
    waiting = iter(lines)
    while not console.quiet and (some := list(islice(waiting, TOGETHER))):
        if {line.style for line in some} == {"plain"}:  # a million moves: the console would need a minute to say so
            _write(console, "".join(f"{text}\n" for line in some for text in _wrapped(line, width)))
            continue
        with console:  # its text goes out at the end
            for line in some:
                for text in _wrapped(line, width):
                    console.print(Text(text, style=STYLES[line.style]))


def print_json(document: dict[str, Any]) -> None:
    """Print one document on standard output and nothing else."""
    _print_parts([_dumped(document) + "\n"])


def print_json_with(document: dict[str, Any], key: str, rows: Iterable[dict[str, Any]]) -> None:
    """Print one document with a list as its last key, whose rows are made one by one: there may be a million."""
    _print_parts(_with_rows(document, key, rows))


def print_json_lines(rows: Iterable[dict[str, Any]]) -> None:
    """Print each row as a document of its own, one to a line."""
    _print_parts(json.dumps(row, ensure_ascii=True, allow_nan=False) + "\n" for row in rows)


def print_error(text: str) -> None:
    """Print what went wrong on standard error."""
    console = Console(stderr=True, highlight=False, emoji=False, markup=False, soft_wrap=True)
    for line in text.split("\n"):
        console.print(Text(plain(line)))


def _write(console: _Pipe, text: str) -> None:
    try:
        console.file.write(text)
        console.file.flush()
    except BrokenPipeError:
        console.on_broken_pipe()


def _wrapped(line: Line, width: int) -> list[str]:
    """Return a line as wide as the page is."""
    if len(line.text) <= width:
        return [line.text.rstrip()]
    indent = " " * line.indent
    wrapped = textwrap.wrap(line.text, width, subsequent_indent=indent, drop_whitespace=False, break_on_hyphens=False)
    return [(text if number == 0 else indent + text.strip()).rstrip() for number, text in enumerate(wrapped)]


def _dumped(document: dict[str, Any]) -> str:
    return json.dumps(document, indent=1, ensure_ascii=True, allow_nan=False)


def _with_rows(document: dict[str, Any], key: str, rows: Iterable[dict[str, Any]]) -> Iterator[str]:
    """Yield the text of a document with a list, row by row."""
    head = _dumped(document).removesuffix("\n}")
    yield f"{head},\n {json.dumps(key)}: ["
    mark = "\n  "
    for row in rows:
        yield mark + _dumped(row).replace("\n", "\n  ")
        mark = ",\n  "
    yield "]\n}\n" if mark == "\n  " else "\n ]\n}\n"


def _print_parts(parts: Iterable[str]) -> None:
    """Write parts of a text on standard output, some at a time, until its reader has read enough."""
    waiting = iter(parts)
    try:
        while some := list(islice(waiting, TOGETHER)):
            sys.stdout.write("".join(some))
            sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()


def _drop_output() -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

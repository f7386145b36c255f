"""Prints pages: wrapped to the terminal, coloured where it is one, never only by colour."""

import json
import os
import sys
import textwrap
from collections.abc import Iterable
from typing import Any

from rich.console import Console
from rich.text import Text

from cutworthy.present.page import Line
from cutworthy.present.plain import plain

__all__ = ["print_error", "print_json", "print_page"]

WIDEST = 96
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
    """Print the lines of a page on standard output."""
    console = _Pipe(highlight=False, emoji=False, markup=False, soft_wrap=True)
    width = min(console.width, WIDEST)
    for line in lines:
        indent = " " * line.indent
        wrapped = textwrap.wrap(
            line.text, width, subsequent_indent=indent, drop_whitespace=False, break_on_hyphens=False
        )
        for number, text in enumerate(wrapped or [""]):
            shown = text if number == 0 else indent + text.strip()
            console.print(Text(shown.rstrip(), style=STYLES[line.style]))


def print_json(document: dict[str, Any]) -> None:
    """Print one document on standard output and nothing else."""
    try:
        sys.stdout.write(json.dumps(document, indent=1, ensure_ascii=True, allow_nan=False) + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()


def print_error(text: str) -> None:
    """Print what went wrong on standard error."""
    console = Console(stderr=True, highlight=False, emoji=False, markup=False, soft_wrap=True)
    for line in text.split("\n"):
        console.print(Text(plain(line)))


def _drop_output() -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

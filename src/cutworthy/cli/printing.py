"""Prints pages: wrapped to the terminal, coloured where it is one, never only by colour."""

import json
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


def print_page(lines: Iterable[Line]) -> None:
    """Print the lines of a page on standard output."""
    console = Console(highlight=False, emoji=False, markup=False, soft_wrap=True)
    width = min(console.width, WIDEST)
    for line in lines:
        wrapped = textwrap.wrap(
            line.text, width, subsequent_indent=" " * line.indent, drop_whitespace=False, break_on_hyphens=False
        )
        for number, text in enumerate(wrapped or [""]):
            shown = text if number == 0 else " " * line.indent + text.strip()
            console.print(Text(shown.rstrip(), style=STYLES[line.style]))


def print_json(document: dict[str, Any]) -> None:
    """Print one document on standard output and nothing else."""
    sys.stdout.write(json.dumps(document, indent=1, ensure_ascii=True, allow_nan=False) + "\n")


def print_error(text: str) -> None:
    """Print what went wrong on standard error."""
    console = Console(stderr=True, highlight=False, emoji=False, markup=False, soft_wrap=True)
    for line in text.split("\n"):
        console.print(Text(plain(line)))

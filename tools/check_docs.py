"""Checks the documents: links, white space, words that may not stand here, and what must stand.

Every finding id, every command and every key of a card that the code knows is described in `docs/`.
"""
# ruff: noqa: INP001, T201 - a script of its own, which prints what it found

import re
import sys
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import typer

from cutworthy.app.cards import CardKind, card_keys
from cutworthy.cli.main import app
from cutworthy.findings import registered

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = (".ci", "benchmarks", "docs", "examples", "src", "tests", "tools")
BINARY = {".pyc", ".png"}
RULED_ELSEWHERE = {".py", ".nc"}  # white space: the formatter's business, and a program's own

CARDS: tuple[CardKind, ...] = ("machine", "job")

# In halves, so that this file does not hold what it looks for.
FORBIDDEN = {
    "a path of one machine": r"(?<![A-Za-z0-9_.])/(?:w" r"ork|r" r"oot|f" r"arm)/",
    "the name of a package registry": r"py" r"pi\.[a-z]+|python" r"hosted|registry\.np" r"m|deb\.deb" r"ian",
    "a word of the workshop behind the code": r"(?i:trans" r"cript|seed doc" r"ument|helper sess" r"ion)|\bCE" r"O\b",
}
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
HEADING = re.compile(r"^#+ +(.+?) *$", re.MULTILINE)
KEY = r"`[^`\n]*\b{0}\b[^`\n]*`|\b{0}\b *=|\[[\w.]*\b{0}\b[\w.]*\]"  # as code, with a value, or as a table
FENCED = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)


def main() -> int:
    """Print every fault with its place; 1 when there is one."""
    faults = list(chain(wrong_text(), broken_links(), undescribed()))
    print("\n".join(faults) or "documents: all links, ids, commands and keys found")
    return 1 if faults else 0


def wrong_text() -> Iterator[str]:
    """Yield forbidden words anywhere, and white space at the end of lines where no formatter looks."""
    for path in sorted(texts()):
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), start=1):
            for what, pattern in FORBIDDEN.items():
                if re.search(pattern, line):
                    yield f"{place(path)}:{number}: {what}"
            if path.suffix not in RULED_ELSEWHERE and line != line.rstrip():
                yield f"{place(path)}:{number}: white space at the end of the line"


def broken_links() -> Iterator[str]:
    """Yield links of our documents to files or headings that do not exist."""
    for path in documents():
        for target in LINK.findall(prose(path)):
            if re.match(r"[a-z]+:", target):
                continue
            name, _, heading = target.partition("#")
            file = (path.parent / name).resolve() if name else path
            if not file.exists():
                yield f"{place(path)}: no file {target}"
            elif heading and heading not in headings(file):
                yield f"{place(path)}: no heading {target}"


def undescribed() -> Iterator[str]:
    """Yield what the code knows and no document describes."""
    described = "\n".join(path.read_text(encoding="utf-8") for path in documents())
    for rule in registered():
        if f"`{rule.id}`" not in described:
            yield f"finding {rule.id}: no document has it"
    for command in typer.main.get_group(app).commands:
        if f"cutworthy {command}" not in described:
            yield f"command {command}: no document has it"
    for name, path in {key.path[-1]: key.path for kind in CARDS for key in card_keys(kind)}.items():
        if not re.search(KEY.format(name), described):
            yield f"key {'.'.join(path)} of a card: no document has it"


def texts() -> Iterator[Path]:
    """Yield the text files that we wrote."""
    for path in chain(ROOT.glob("[!.]*"), *(ROOT.glob(f"{folder}/**/*") for folder in FOLDERS)):
        if path.is_file() and path.suffix not in BINARY:
            yield path


def documents() -> list[Path]:
    """Return the documents for people."""
    return [path for path in texts() if path.suffix == ".md"]


def prose(path: Path) -> str:
    """Return a document without its blocks of code."""
    return FENCED.sub("", path.read_text(encoding="utf-8"))


def headings(path: Path) -> set[str]:
    """Return the anchors of a document's headings, as the usual renderers make them."""
    return {re.sub(r"[^\w\- ]", "", title).lower().replace(" ", "-") for title in HEADING.findall(prose(path))}


def place(path: Path) -> str:
    """Return the path as a person at the root of the project would type it."""
    return path.relative_to(ROOT).as_posix()


if __name__ == "__main__":
    sys.exit(main())

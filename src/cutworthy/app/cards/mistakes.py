"""Turns what the TOML reader and pydantic say into sentences for the writer of a card."""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import get_origin

from pydantic import ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from cutworthy.app.cards.faults import Fault, Place, is_blank, key_text, nearest, shown
from cutworthy.app.cards.tables import Table, sample, table_in
from cutworthy.units import quoted

__all__ = ["faults_in", "faults_of_keys", "syntax_fault"]

# How the TOML reader's message begins, and what a person should write.
SLIPS = {
    "Expected newline": "put text, and numbers with a unit, in quotes; text with \" in it in single quotes: '3/4\"'",
    "Invalid value": 'put text, and numbers with a unit, in quotes: "820 mm"',
    "Invalid initial character": "begin the line with a key, or put # before a remark",
    "Invalid statement": "begin the line with a key, or put # before a remark",
    "Expected '='": 'write key = value, as travel = "820 mm"',
    "Illegal character": "close the quotes on the line on which they begin",
    "Unterminated": "close the quotes on the line on which they begin",
    "Unclosed": "close the bracket",
    "Unescaped '\\'": "write / between folders, on every computer",
    "Cannot overwrite": "this key stands twice in its table: keep one",
    "Duplicate": "this key stands twice in its table: keep one",
    "Cannot declare": "this table stands twice: keep one; bits and clamps stand in two brackets, as [[clamps]]",
    "Cannot mutate": "this table stands twice: keep one; bits and clamps stand in two brackets, as [[clamps]]",
}
CHECK = "check quotes, brackets and the = sign on this line and the one before"


def syntax_fault(error: Exception, text: str) -> tuple[Fault, int | None]:
    """Return what is wrong with a text that is no TOML, and the line where the reader knows it."""
    said = str(error)
    found = re.search(r"line ([0-9]+)", said) or re.search(r"()end of document", said)
    if found is None:  # it has gone beyond what the reader can hold
        return Fault("the text cannot be read", "look for a very long number, or for very many brackets"), None
    lines = text.rstrip().split("\n")
    line = min(int(found[1] or len(lines)), len(lines))
    write = next((write for begin, write in SLIPS.items() if said.startswith(begin)), CHECK)
    return Fault(f"{quoted(lines[line - 1].strip())} cannot be read", write), line


def faults_in(error: ValidationError, root: type[Table]) -> Iterator[Fault]:
    """Yield the faults that pydantic found on a card."""
    for each in error.errors(include_url=False):
        cause = each.get("ctx", {}).get("error")
        if cause is None:
            yield _fault(each, root)
        else:  # one of our own readers refused the value
            yield from (replace(fault, at=(*each["loc"], *fault.at)) for fault in cause.faults)


def faults_of_keys(table: type[Table], raw: object, at: Place = ()) -> Iterator[Fault]:
    """Yield what is wrong with the sets of keys of a table and of those inside it."""
    if not isinstance(raw, dict):
        return
    yield from (replace(fault, at=(*at, *fault.at)) for fault in table.together(raw))
    for key, field in table.by_key().items():
        inner, value = table_in(field.annotation), raw.get(key)
        if inner and isinstance(value, list):
            for i, row in enumerate(value):
                yield from faults_of_keys(inner, row, (*at, key, i))
        elif inner:
            yield from faults_of_keys(inner, value, (*at, key))


def _fault(error: ErrorDetails, root: type[Table]) -> Fault:
    at, raw = error["loc"], error["input"]
    table, field = _field(root, at)
    if field is None:
        return Fault("there is no such key", nearest(str(at[-1]), table.by_key()), at)
    match error["type"]:
        case "missing":
            wrong, write = "is missing", _write(at, field)
        case _ if is_blank(raw):
            wrong, write = "is not filled in yet", _choices(error) or f"write {at[-1]} = {sample(field)}"
        case "literal_error":
            wrong, write = f"{shown(raw)} is not one of the choices", _choices(error)
        case "bool_type":
            wrong, write = f"{shown(raw)} is neither true nor false", "write true or false, without quotes"
        case "too_short":
            wrong, write = "is empty", _write(at, field)
        case "list_type" if not table_in(field.annotation):
            wrong, write = f"{shown(raw)} is no list", f"write {at[-1]} = {sample(field)}"
        case "list_type" if isinstance(raw, dict):
            wrong, write = "stands in single brackets, and there may be several", _write(at, field)
        case _:
            wrong, write = f"{shown(raw)} is no table", _write(at, field)
    return Fault(wrong, write, at)


def _field(root: type[Table], at: Place) -> tuple[type[Table], FieldInfo | None]:
    """Return the innermost table that a place lies in, and its field there, None for an unknown key."""
    table, field = root, None
    for key in at:
        if isinstance(key, str):
            table = (table_in(field.annotation) if field else None) or table
            field = table.by_key().get(key)
    return table, field


def _write(at: Place, field: FieldInfo) -> str:
    """Say what to write for a key or a table that is missing."""
    inner = table_in(field.annotation)
    if inner is None:
        return f"write {at[-1]} = {sample(field)}"
    named = next(key for key in reversed(at) if isinstance(key, str))
    header = f"[[{named}]]" if get_origin(field.annotation) is list else f"[{key_text(at)}]"
    needed = [*(" or ".join(pair) for pair in inner.one_of), *(k for k, f in inner.by_key().items() if f.is_required())]
    return f"write the table {header} with {', '.join(needed)}"


def _choices(error: ErrorDetails) -> str:
    """Say which words may be written, or nothing where there are none to choose from."""
    expected = str(error.get("ctx", {}).get("expected", "")).replace("'", '"')
    return expected and f"write {expected}"

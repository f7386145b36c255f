"""Reads the text of a card's file, or of readings, or says in plain words why it cannot be read."""

import codecs
from dataclasses import dataclass
from pathlib import Path

from cutworthy.errors import FileError
from cutworthy.present.plain import plain

__all__ = ["CARD", "Wanted", "read_card"]

LARGEST = 1_000_000  # bytes; a card is a page of text


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a file should be, as a person calls it, and how to get one."""

    noun: str
    get_one: str


CARD = Wanted("card", "make a starter card with: cutworthy new")


def read_card(path: Path, wanted: Wanted = CARD) -> str:
    """Return the text of a card, or of another short file.

    Raises
    ------
    FileError
        When there is no such file, or it is no text in UTF-8.
    """
    if path.is_dir():
        raise _error(path, f"is a folder; name the {wanted.noun} inside it")
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise _error(path, f"does not exist; check the name, or {wanted.get_one}") from None
    except NotADirectoryError:
        raise _error(path, f"cannot be read; {plain(path.parent.name)} is no folder") from None
    except OSError as error:
        raise _error(path, f"cannot be read: {plain(error.strerror or '')}") from error
    except ValueError as error:
        raise _error(path, f"cannot be read: {error}") from error
    return _text(path, data, wanted)


def _text(path: Path, data: bytes, wanted: Wanted) -> str:
    if not data.strip():
        raise _error(path, f"is empty; {wanted.get_one}")
    if len(data) > LARGEST:
        raise _error(path, f"is larger than 1 MB; a {wanted.noun} is a page of text, perhaps this is the program")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise _error(path, "is written in UTF-16; save it again in your editor with the encoding UTF-8")
    if b"\0" in data:
        what = f"has NUL bytes, it is no text; name a {wanted.noun}, or save it again with the encoding UTF-8"
        raise _error(path, what)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = f"is not written in UTF-8 (line {line}); save it again in your editor with the encoding UTF-8"
        raise _error(path, what) from None


def _error(path: Path, what: str) -> FileError:
    return FileError(f"{plain(str(path))} {what}")

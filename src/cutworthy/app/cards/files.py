"""Reads the text of a card's file, or says in plain words why it cannot be read."""

import codecs
from pathlib import Path

from cutworthy.errors import FileError
from cutworthy.present.plain import plain

__all__ = ["read_card"]

LARGEST = 1_000_000  # bytes; a card is a page of text


def read_card(path: Path) -> str:
    """Return the text of a card.

    Raises
    ------
    FileError
        When there is no such file, or it is no text in UTF-8.
    """
    if path.is_dir():
        raise _error(path, "is a folder; name the card inside it")
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise _error(path, "does not exist; check the name, or make a starter card with: cutworthy new") from None
    except (OSError, ValueError) as error:
        raise _error(path, f"cannot be read: {error}") from error
    return _text(path, data)


def _text(path: Path, data: bytes) -> str:
    if not data.strip():
        raise _error(path, "is empty; make a starter card with: cutworthy new")
    if len(data) > LARGEST:
        raise _error(path, "is larger than 1 MB; a card is a page of text, perhaps this is the program")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise _error(path, "is written in UTF-16; save it again in your editor with the encoding UTF-8")
    if b"\0" in data:
        raise _error(path, "has NUL bytes, it is no text; name a card, or save it again with the encoding UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = f"is not written in UTF-8 (line {line}); save it again in your editor with the encoding UTF-8"
        raise _error(path, what) from None


def _error(path: Path, what: str) -> FileError:
    return FileError(f"{plain(str(path))} {what}")

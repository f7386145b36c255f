"""Reading what a person points at, and writing only what is ours to write."""

import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from cutworthy.errors import FileError
from cutworthy.present.plain import plain
from cutworthy.present.scene import MAKER

__all__ = ["named", "read_program", "write_document", "write_new", "write_paper", "write_picture", "write_texts"]

LARGEST, LARGEST_SHEET = 320 * 2**20, 20 * 2**20
PNG, SVG, HEAD = b"\x89PNG\r\n", b"<?xml", 1024  # how a picture begins, and within what its maker is named
PDF, AUTHOR = b"%PDF-", f"/Author({MAKER})".encode("ascii")  # how our sheets begin, and what they hold


def named(path: Path) -> str:
    """Return a path as it is shown to a person."""
    return plain(str(path))


def read_program(path: Path) -> bytes:
    """Return the bytes of a program.

    Raises
    ------
    FileError
        When it is missing, a folder, not readable, larger than 320 MiB, or still being written.
    """
    try:
        if path.is_dir():
            msg = f"{named(path)} is a folder; name the program file inside it"
            raise FileError(msg)
        if path.exists() and not path.is_file():
            msg = f"{named(path)} is no file that ends; copy the program into a file first"
            raise FileError(msg)
        size = path.stat().st_size
        if size > LARGEST:
            msg = f"{named(path)} is {size // 2**20} MiB; programs of up to {LARGEST // 2**20} MiB are read"
            raise FileError(msg)
        with path.open("rb") as file:
            data = file.read(size + 1)  # a file that grows has no end to wait for
        if len(data) != size or path.stat().st_size != size:
            msg = f"{named(path)} changes while it is read; wait until it is written, then try again"
            raise FileError(msg)
    except FileNotFoundError:
        msg = f"{named(path)} is not there; check its name and its folder"
        raise FileError(msg) from None
    except OSError as error:
        msg = f"{named(path)} cannot be read ({plain(error.strerror or '')}); close it elsewhere or copy it here"
        raise FileError(msg) from None
    return data


def write_document(path: Path, document: dict[str, Any]) -> None:
    """Write an outcome; replace nothing but an earlier outcome of ours.

    Raises
    ------
    FileError
        When something else stands there, or the place cannot be written.
    """
    _refuse_others(path, "outcome", ours=_is_outcome)
    text = json.dumps(document, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    _write(path, text.encode("ascii"))


def write_new(path: Path, text: str) -> None:
    """Write a new text file; never over one that is there.

    Raises
    ------
    FileError
        When something stands there already, or the place cannot be written.
    """
    if path.exists():
        msg = f"{named(path)} is there already and was left as it is; choose another name"
        raise FileError(msg)
    _write(path, text.encode("utf-8"))


def write_texts(texts: Mapping[Path, str]) -> None:
    """Write programs of ours, all of them or none; replace nothing but the very same text.

    Raises
    ------
    FileError
        When something else stands in the place of one, or the place cannot be written.
    """
    for path, text in texts.items():
        if path.exists() and not _is_text(path, text):
            why = "is there already with other text, perhaps made before you changed the card"
            msg = f"{named(path)} {why}; name another folder with --to, or delete it"
            raise FileError(msg)
    for path, text in texts.items():
        _write(path, text.encode("ascii"))


def write_picture(path: Path, picture: bytes) -> None:
    """Write a picture; replace nothing but an earlier picture of ours.

    Raises
    ------
    FileError
        When something else stands there, or the place cannot be written.
    """
    _refuse_others(path, "picture", ours=_is_picture)
    _write(path, picture)


def write_paper(path: Path, paper: bytes) -> None:
    """Write a sheet; replace nothing but an earlier sheet of ours.

    Raises
    ------
    FileError
        When something else stands there, or the place cannot be written.
    """
    _refuse_others(path, "sheet", ours=_is_paper)
    _write(path, paper)


def _refuse_others(path: Path, what: str, *, ours: Callable[[Path], bool]) -> None:
    if path.exists() and not ours(path):
        msg = f"{named(path)} is there already and is no {what} of cutworthy; choose another name"
        raise FileError(msg)


def _is_text(path: Path, text: str) -> bool:
    try:
        return path.is_file() and path.read_bytes().replace(b"\r\n", b"\n") == text.encode("ascii")
    except OSError:
        return False


def _is_outcome(path: Path) -> bool:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    told = found.get("outcomes", [found]) if isinstance(found, dict) else []
    keys = {"verdict", "findings", "digest"}
    return (
        isinstance(told, list) and bool(told) and all(isinstance(each, dict) and keys <= each.keys() for each in told)
    )


def _is_picture(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
    except OSError:
        return False
    is_drawn = head.startswith(SVG) and f"<dc:title>{MAKER}</dc:title>".encode("ascii") in head
    return is_drawn or (head.startswith(PNG) and MAKER.encode("ascii") in head)


def _is_paper(path: Path) -> bool:
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_SHEET:
            return False
        data = path.read_bytes()
    except OSError:
        return False
    return data.startswith(PDF) and AUTHOR in data


def _write(path: Path, data: bytes) -> None:
    """Write beside, then move into place, so that a half-written file never stands under the name."""
    beside = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(data)
        beside.replace(path)
    except (FileExistsError, NotADirectoryError):  # a file stands where a folder is needed
        msg = f"{named(path)} cannot be written, for {named(path.parent)} is no folder; choose another place"
        raise FileError(msg) from None
    except OSError as error:
        msg = f"{named(path)} cannot be written ({plain(error.strerror or '')}); choose another place"
        raise FileError(msg) from None
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)

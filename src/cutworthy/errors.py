"""The error tree.

::

    CutworthyError
    +-- InputError            what was given cannot be used; exit code 2
    |   +-- QuantityError     a text that is no quantity of the kind asked for
    |   +-- CardError         a card with one or more mistakes, all of them at once
    |   +-- FileError         a file that cannot be read, or that must not be written over
    |   +-- ReadingsError     readings with one or more mistakes, all of them at once
    |   +-- TrialError        a test program that cannot be made for this machine
    |   +-- StoreError        a notebook that cannot be opened, read or written
    +-- Stopped               the person stopped the work; exit code 130

What a woodworker can do wrong in a *program* is never an exception: it is a finding.
"""

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = [
    "CardError",
    "CutworthyError",
    "FileError",
    "InputError",
    "Mistake",
    "QuantityError",
    "ReadingsError",
    "Stopped",
    "StoreError",
    "TrialError",
]


class CutworthyError(Exception):
    """Root of everything this package raises on purpose."""


class InputError(CutworthyError):
    """What was given cannot be used; the message says what to do instead."""


class QuantityError(InputError):
    """A text is no quantity of the kind asked for.

    ``wrong`` says what is wrong with the text, ``write`` what to write instead.
    """

    def __init__(self, wrong: str, write: str) -> None:
        """Keep both halves, so that a card can put the key in front."""
        super().__init__(f"{wrong}; {write}")
        self.wrong = wrong
        self.write = write


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One mistake on a card: where it is, what is wrong, what to write."""

    key: str
    line: int | None
    wrong: str
    write: str


class CardError(InputError):
    """A card has mistakes; ``mistakes`` holds all of them in the order of the card."""

    def __init__(self, file: str, mistakes: Sequence[Mistake]) -> None:
        """Join the mistakes, one to a line, each with file, line and key."""
        self.file = file
        self.mistakes = tuple(mistakes)
        super().__init__("\n".join(_line_of(file, mistake) for mistake in self.mistakes))


class FileError(InputError):
    """A file cannot be read, or must not be written over."""


class StoreError(InputError):
    """The notebook cannot be opened, read or written; nothing was lost."""


class TrialError(InputError):
    """A test program cannot be made for this machine."""


class ReadingsError(InputError):
    """Readings cannot be used; the message has a line for each mistake, with file and line."""


class Stopped(CutworthyError):  # noqa: N818 - it is no error: the person asked for it
    """The person stopped the work; nothing was written."""


def _line_of(file: str, mistake: Mistake) -> str:
    place = f"{file}, line {mistake.line}" if mistake.line else file
    key = f"{mistake.key}: " if mistake.key else ""
    return f"{place}: {key}{mistake.wrong}; {mistake.write}"

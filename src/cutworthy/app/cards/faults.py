"""What is wrong with a card, before it is known on which line that stands."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from typing import Any

from cutworthy.units import quoted

__all__ = ["Fault", "Place", "RefusedError", "is_blank", "key_text", "nearest", "shown"]

Place = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, what to write, and the place by keys and indices.

    ``value``: what to write in place of the value, instead of a sentence.
    """

    wrong: str
    write: str = ""
    at: Place = ()
    value: str = ""

    @property
    def advice(self) -> str:
        """What to write, in words, with the key where there is one."""
        if not self.value:
            return self.write
        key = f"{self.at[-1]} = " if self.at and isinstance(self.at[-1], str) else ""
        return f"write {key}{self.value}"


class RefusedError(ValueError):
    """A value of a card cannot be taken; pydantic carries it and the places of its faults go on from the value's."""

    def __init__(self, *faults: Fault) -> None:
        """Keep the faults."""
        super().__init__(*faults)
        self.faults = faults

    def placed(self, inside: str | int) -> list[Fault]:
        """Return the faults with the key or index of the value that they were found in."""
        return [replace(fault, at=(inside, *fault.at)) for fault in self.faults]


def key_text(at: Place) -> str:
    """Return a place as people read it, lists counted from 1, as ``bits[2].diameter``."""
    text = ""
    for each in at:
        text += f"[{each + 1}]" if isinstance(each, int) else f".{each}" if text else each
    return text


def nearest(word: str, known: Iterable[str]) -> str:
    """Return what to write for a word that is none of those known."""
    words = list(known)
    whole = [each for each in words if word in each.split("_")]
    if whole:
        return f"did you mean {' or '.join(whole)}?"
    near = get_close_matches(word, words, n=1)
    return f"did you mean {near[0]}?" if near else f"the keys here are {', '.join(words)}"


def is_blank(raw: object) -> bool:
    """Return whether a value is the mark that a starter card leaves for its owner."""
    return isinstance(raw, str) and raw.strip() == "?"


def shown(raw: Any) -> str:  # noqa: ANN401 - whatever stands on a card
    """Return a value of a card as a message may show it."""
    match raw:
        case str():
            return quoted(raw)
        case bool():
            return str(raw).lower()
        case int() if raw.bit_length() > 64:  # noqa: PLR2004 - the digits of a very long one cannot even be printed
            return "that number"
        case int() | float() | date():
            return str(raw)
        case list() | tuple():
            return "a list"
        case _:
            return "a table"

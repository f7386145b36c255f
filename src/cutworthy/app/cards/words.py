"""The words and counts on a card."""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

from pydantic_core import CoreSchema, core_schema

from cutworthy.app.cards.faults import Fault, RefusedError, is_blank, shown

__all__ = ["Count", "Reader", "Words"]

LONGEST = 200  # characters of a name


class Reader(ABC):
    """Reads one value of a card; it stands in the annotation of a field, where pydantic finds it."""

    __slots__ = ()

    def __get_pydantic_core_schema__(self, *_: object) -> CoreSchema:
        """Let pydantic call us and nothing else."""
        return core_schema.no_info_plain_validator_function(self.take)

    def take(self, raw: Any) -> Any:  # noqa: ANN401 - whatever stands on a card
        """Return the value; a mark that a starter card left for its owner is none."""
        if is_blank(raw):
            raise RefusedError(Fault("is not filled in yet", value=self.sample))
        return self.read(raw)

    @property
    @abstractmethod
    def sample(self) -> str:
        """An example as it stands on a card."""

    @abstractmethod
    def read(self, raw: Any) -> Any:  # noqa: ANN401 - whatever stands on a card
        """Return the value, or raise RefusedError."""


@dataclass(frozen=True, slots=True)
class Words(Reader):
    """A name, or another short text of one line. ``is_file``: the name of a file."""

    example: str
    is_file: bool = False

    @property
    def sample(self) -> str:
        """An example as it stands on a card."""
        return f'"{self.example}"'

    def read(self, raw: Any) -> str:  # noqa: ANN401 - whatever stands on a card
        """Return the text without space around it."""
        if not isinstance(raw, str):
            raise RefusedError(Fault(f"{shown(raw)} is no text", value=f"{self.sample}, in quotes"))
        text = raw.strip()
        if not text:
            raise RefusedError(Fault("is empty", value=self.sample))
        if len(text) > LONGEST or not text.isprintable():
            raise RefusedError(Fault(f"{shown(raw)} is too long or has control characters", value=self.sample))
        if self.is_file and "\\" in text:
            raise RefusedError(Fault(f"{shown(raw)} has a backslash", "write / between folders, on every computer"))
        return text


@dataclass(frozen=True, slots=True)
class Count(Reader):
    """A whole number within a sensible range."""

    least: int
    most: int
    example: int

    @property
    def sample(self) -> str:
        """An example as it stands on a card."""
        return str(self.example)

    def read(self, raw: Any) -> int:  # noqa: ANN401 - whatever stands on a card
        """Return the number."""
        if type(raw) is not int:
            raise RefusedError(Fault(f"{shown(raw)} is no whole number", value=f"{self.sample}, without quotes"))
        if not self.least <= raw <= self.most:
            raise RefusedError(
                Fault(f"{shown(raw)} is absurd", f"check the number, {self.least} to {self.most} is sensible")
            )
        return raw

"""Numbers that know where they come from."""

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Origin", "Quantity"]


class Origin(StrEnum):
    """Where a number comes from."""

    LABEL = "label"
    MEASURED = "measured"
    GUESSED = "guessed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number from a card, in the unit its field's name ends in, with its sure limits.

    ``stated`` is false when the card says nothing and the value is our wide guess.
    ``key`` is the card's key with its tables, as ``axes.z.drive.friction``; lists count from 1, as
    ``bits[2].diameter``. ``date`` (ISO 8601) and ``instrument``: when and with what it was measured.
    """

    value: float
    low: float
    high: float
    origin: Origin
    key: str
    stated: bool = True
    date: str | None = None
    instrument: str | None = None

    @property
    def plus_minus(self) -> float:
        """The larger distance from the value to one of its limits."""
        return max(self.high - self.value, self.value - self.low)

    @property
    def is_guess(self) -> bool:
        """Whether the number is guessed by its owner, or by us."""
        return self.origin is Origin.GUESSED or not self.stated

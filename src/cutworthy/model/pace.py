"""How fast the machine can follow a program, and how long that takes."""

from dataclasses import dataclass

__all__ = ["Pace", "TooFast"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TooFast:
    """A feed move asked to go faster than the axes can in its direction.

    ``row`` is the row of the program's move, ``cap_mm_min`` what the axes can do there.
    """

    row: int
    feed_mm_min: float
    cap_mm_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """The time bracket and the feed moves that are too fast for the axes.

    ``low_s``: no time lost at corners; ``high_s``: a stop at the end of every move.
    """

    low_s: float
    high_s: float
    too_fast: tuple[TooFast, ...]

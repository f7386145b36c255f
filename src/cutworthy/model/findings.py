"""Findings, the verdict, the outcome: ids and numbers only; ``present`` adds the words."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from cutworthy.model.clearance import Part, Place
from cutworthy.model.loads import Loading
from cutworthy.model.machine import AxisName
from cutworthy.model.program import Level, Program, Reading
from cutworthy.model.removal import Removal
from cutworthy.model.timeline import Timing

__all__ = ["Finding", "Guesses", "NearestClamp", "Numbers", "Outcome", "TightestTravel", "Verdict"]

Numbers = Mapping[str, float | str | None]


class Verdict(StrEnum):
    """Whether the file is fit to cut."""

    GO = "go"
    ASK = "ask"
    NO_GO = "no-go"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing found, for one culprit.

    ``about``: the culprit (a clamp, an axis, a card's key), as data. ``case`` picks the sentence
    among those of the id. ``line``: the first line where it holds, None when it is about no line;
    ``lines`` the first twenty, ``count`` all of them. ``numbers``: those of the worst line;
    ``value``, ``limit`` and ``unit`` wherever two numbers are compared. ``quote``: program text.
    """

    id: str
    level: Level
    case: str
    about: str | None = None
    line: int | None = None
    worst_line: int | None = None
    count: int = 0
    lines: tuple[int, ...] = ()
    at_mm: tuple[float, float, float] | None = None
    reading: Reading = Reading.PRACTICE
    numbers: Numbers = field(default_factory=dict)
    quote: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guesses:
    """How many of the cards' numbers are guesses, and the keys of those that matter."""

    count: int
    of: int
    matter: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearestClamp:
    """The least clearance from any clamp: which part from which clamp, how much [mm], where."""

    part: Part
    thing: str
    clearance_mm: float
    line: int
    at_mm: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TightestTravel:
    """The axis with the least room left in its travel [mm], negative beyond it, and on which line."""

    axis: AxisName
    room_mm: float
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What ``prove`` found; None where this version computes nothing, or nothing applies.

    ``program``, ``timing``, ``removal`` and ``loading`` are those of the first reading; ``deepest_mm`` below the
    board's top and the least clearances hold under every reading. The time lies between ``time_low_s`` and
    ``time_high_s`` under every reading. ``clamps`` and ``parts``: what the cards told of.
    """

    verdict: Verdict
    program: Program
    timing: Timing
    removal: Removal
    loading: Loading
    deepest_mm: float | None
    time_low_s: float
    time_high_s: float
    place: Place
    nearest_clamp: NearestClamp | None
    tightest_travel: TightestTravel | None
    guesses: Guesses
    findings: tuple[Finding, ...]
    clamps: int
    parts: tuple[Part, ...]
    not_checked: tuple[str, ...]
    digest: str

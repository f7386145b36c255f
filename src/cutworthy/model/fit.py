"""What readings tell: numbers with their uncertainty, and what to do about them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cutworthy.model.timeline import Corners

__all__ = ["Decision", "Entry", "Estimate", "RuleFit", "TimeFit", "TimeOutcome", "Why"]

Decision = Literal["leave", "change", "adjust", "repeat"]
Why = Literal["", "one-run", "no-rule", "acceleration", "rules-alike"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number from readings: its value, and where it lies in 95 of 100 cases.

    ``value`` None: only a bound is known. ``low`` or ``high`` None: the readings do not bound it there.
    ``taken``: what to go on with, which is the value, or else a number on the open side of the bound.
    """

    value: float | None
    taken: float
    low: float | None
    high: float | None
    unit: str

    @property
    def u(self) -> float | None:
        """The standard uncertainty, taking the interval for that of a normal distribution."""
        if self.value is None or self.low is None or self.high is None:
            return None
        return (self.high - self.low) / 3.92


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A value to stand on a card: a word, or a number with how far off it may be; ``value`` None: it is to go.

    ``unit``: mm or 1/s. ``is_guess``: only a bound is known, or it rests on guesses.
    """

    key: str
    value: str | float | None
    plus_minus: float = 0.0
    unit: str = ""
    is_guess: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFit:
    """One corner rule at its best: how likely it is, how well it fits, and what it would then say of each program [s].

    ``odds``: the probability of the rule among those listed, each taken as likely before. ``misfit``: the
    sum over the programs of (time said - time read)^2 / variance, and the same of the accelerations.
    ``tolerance_mm`` of the rule ``tolerance`` only. ``acceleration_factor``: what the accelerations of the card would
    have to be multiplied by; 1 unless that is ruled out.
    """

    corners: Corners
    odds: float
    misfit: float
    tolerance_mm: Estimate | None
    block_rate_hz: Estimate
    acceleration_factor: float
    seconds: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeFit:
    """What timed programs tell about a control: all rules, likeliest first."""

    rules: tuple[RuleFit, ...]
    measured_s: tuple[float, ...]
    deviations_s: tuple[float, ...]

    @property
    def best(self) -> RuleFit:
        """The likeliest rule."""
        return self.rules[0]

    @property
    def odds(self) -> Mapping[str, float]:
        """The probability of each rule."""
        return {rule.corners: rule.odds for rule in self.rules}


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeOutcome:
    """What timed runs tell.

    ``said_s``, ``deviations_s``: for each reading, what the likeliest rule says, and one standard deviation [s].
    ``why``: what keeps it from being decided. ``alike``: the rules that may be meant, likeliest first. ``next_run``:
    the number of the timing run that would tell them apart best, None where none would, and ``next_s`` how long it
    would take by each of them [s]. ``enter``: what is to change on the card. ``other_card``: names of runs that were
    made for another state of the card. ``guessed``: keys of the card that the times rest on and that are only guessed.
    """

    fit: TimeFit
    said_s: tuple[float, ...]
    deviations_s: tuple[float, ...]
    decision: Decision
    why: Why
    alike: tuple[RuleFit, ...]
    next_run: int | None
    next_s: tuple[float, ...]
    enter: tuple[Entry, ...]
    other_card: tuple[str, ...]
    guessed: tuple[str, ...]

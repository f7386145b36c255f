"""What readings give: values with how sure they are, what they decide, and what to type."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from cutworthy.model.machine import AxisName

__all__ = ["Decision", "Extreme", "MeasureOutcome", "Measured"]

Decision = Literal["leave", "change", "adjust", "repeat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value with its standard uncertainty and degrees of freedom, infinite where it rests on no scatter.

    ``expanded``: half the interval that holds the truth in 95 of 100 such measurements.
    """

    value: float
    u: float
    dof: float
    expanded: float
    unit: str

    @property
    def low(self) -> float:
        """The lower end of the interval."""
        return self.value - self.expanded

    @property
    def high(self) -> float:
        """The upper end of the interval."""
        return self.value + self.expanded

    @property
    def is_clear_of_zero(self) -> bool:
        """Whether the whole interval lies on one side of zero."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """A greatest deviation as its standard defines it, and what the noise of the instrument alone would give."""

    value: float
    noise: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureOutcome:
    """What readings of one kind tell.

    ``case``: which sentence says it, with ``numbers``; ``enter``: keys of the card with what to type, in their units;
    ``cannot_tell``: what these readings leave mixed up.
    """

    kind: str
    axis: AxisName | None
    results: Mapping[str, Measured | Extreme]
    decision: Decision
    case: str
    numbers: Mapping[str, float | str] = field(default_factory=dict)
    enter: Mapping[str, float | str] = field(default_factory=dict)
    cannot_tell: tuple[str, ...] = ()

"""Readings of one sitting, ready to be worked out: columns of numbers, the instrument, and what the machine says."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from cutworthy.errors import ReadingsError
from cutworthy.metrology.uncertainty import Part, odd_one
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.machine import AxisName
from cutworthy.model.reading import Readings
from cutworthy.model.result import MeasureOutcome
from cutworthy.reference.instruments import Instrument

__all__ = ["NOT_ENOUGH", "Sitting", "noise_of"]

DRAWS, SEED = 100, 20260101
NOT_ENOUGH = "{kind}: there are {have} readings, and {least} are needed; {why}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """Readings with what is needed to judge them.

    ``steps_per_mm``: what is entered, None where it is not known; ``thrust_n``: what the axis is predicted to push
    with, hardly moving. ``bolts_mm``: the distances of the bolts that a spindle's lean is shimmed at, along x and y.
    """

    readings: Readings
    instrument: Instrument
    axis: AxisName | None
    steps_per_mm: float | None
    thrust_n: float | None
    bolts_mm: Mapping[str, float]

    def column(self, name: str) -> Floats:
        """Return a column of numbers; nan where an optional one is empty."""
        values = [row[name] for row in self.readings.rows]
        return np.array([math.nan if value is None else float(value) for value in values])

    def words(self, name: str) -> tuple[str, ...]:
        """Return a column of words."""
        return tuple(str(row[name]) for row in self.readings.rows)

    def need(self, least: int, why: str) -> None:
        """Refuse fewer readings than can be worked out.

        Raises
        ------
        ReadingsError
            When there are fewer.
        """
        have = len(self.readings.rows)
        if have < least:
            raise ReadingsError(NOT_ENOUGH.format(kind=self.readings.kind.name, have=have, least=least, why=why))

    def common(self, weight: float, length_mm: float = 0.0) -> Part:
        """Return the part that the instrument has in common over the sitting, for a length that is read."""
        own = self.instrument
        return Part(weight=weight, u=math.hypot(own.common_mm, own.share * length_mm))

    def odd(self, design: Floats, readings: Floats, rows: Ints | None = None) -> MeasureOutcome | None:
        """Return that a reading does not belong to the others, None where all do; ``rows``: of which readings."""
        worst = odd_one(design, readings, max(self.least_mm, self.instrument.each_mm))
        if worst is None:
            return None
        line = self.readings.lines[worst if rows is None else int(rows[worst])]
        return MeasureOutcome(
            kind=self.readings.kind.name, axis=self.axis, results={}, decision="repeat", case="odd",
            numbers={"line": str(line)},
        )  # fmt: skip

    @property
    def least_mm(self) -> float:
        """Standard uncertainty of one reading that its scatter is not taken below."""
        return self.instrument.least_mm


def noise_of(value: Callable[[Floats], float], count: int, u: float) -> float:
    """Return what a greatest deviation would be on a perfect machine, by the instrument's noise alone: its mean.

    Parameters
    ----------
    value
        Of so many deviations, (count,); twice the deviations must give twice the value.
    count
        Of readings.
    u
        Standard uncertainty of one.
    """
    chance = np.random.default_rng(SEED)
    return u * float(np.mean([value(chance.normal(0.0, 1.0, count)) for _ in range(DRAWS)]))

"""How sure a result is, by the Guide to the expression of uncertainty in measurement (GUM, JCGM 100:2008).

Scatter is told by repeats (type A), what an instrument may be off by what is known of it (type B). A thin layer of our
own: readings of a shop are few sums, and each has to be told in its working.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from cutworthy.model.columns import Floats
from cutworthy.model.result import Measured

__all__ = [
    "COVERAGE",
    "Fit",
    "Part",
    "arcsine",
    "combined",
    "least_squares",
    "mean_of",
    "odd_one",
    "rectangular",
    "scaled",
    "t_factor",
    "triangular",
]

COVERAGE = 0.95
FALSE_ALARM, TINY = 1e-3, 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of an uncertainty: how much the result changes with it, its standard uncertainty, its freedom."""

    weight: float
    u: float
    dof: float = math.inf


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of what lies anywhere within plus and minus a bound (GUM 4.3.7)."""
    return half_width / math.sqrt(3)


def triangular(half_width: float) -> float:
    """Return the standard uncertainty of what lies more likely in the middle of two bounds (GUM 4.3.9)."""
    return half_width / math.sqrt(6)


def arcsine(half_width: float) -> float:
    """Return the standard uncertainty of what swings to and fro between two bounds (GUM H.1.3.4)."""
    return half_width / math.sqrt(2)


def t_factor(dof: float, coverage: float = COVERAGE) -> float:
    """Return Student's factor for a share of coverage, two-sided (GUM table G.2)."""
    below = (1 + coverage) / 2
    return float(special.stdtrit(dof, below) if math.isfinite(dof) else special.ndtri(below))


def combined(value: float, parts: Sequence[Part], unit: str) -> Measured:
    """Return a result with the uncertainty of its independent parts together.

    Source: GUM 5.1.2, and Welch-Satterthwaite, G.4.1, for the degrees of freedom.
    """
    squares = [(part.weight * part.u) ** 2 for part in parts]
    whole = sum(squares)
    shares = sum(square**2 / part.dof for square, part in zip(squares, parts, strict=True))
    u, dof = math.sqrt(whole), whole**2 / shares if shares else math.inf
    return Measured(value=value, u=u, dof=dof, expanded=t_factor(dof) * u, unit=unit)


def scaled(one: Measured, factor: float, unit: str) -> Measured:
    """Return a result in another unit, or as seen over a lever; it turns round where the factor is negative."""
    by = abs(factor)
    return Measured(value=one.value * factor, u=one.u * by, dof=one.dof, expanded=one.expanded * by, unit=unit)


def mean_of(values: Sequence[float] | Floats, least_u: float) -> tuple[float, Part]:
    """Return the mean of repeats, and the part that their scatter is of its uncertainty.

    Readings that repeat to the last digit are no surer than that digit.

    Parameters
    ----------
    values
        Two or more.
    least_u
        Standard uncertainty of one reading that its scatter is not taken below.
    """
    own = np.asarray(values, dtype=np.float64)
    scatter = max(float(own.std(ddof=1)), least_u)
    return float(own.mean()), Part(weight=1.0, u=scatter / math.sqrt(len(own)), dof=len(own) - 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """What least squares find: values, (p,), their covariance, (p, p), the scatter, its freedom, what is left, (n,)."""

    values: Floats
    covariance: Floats
    scatter: float
    dof: int
    left: Floats

    def part(self, number: int) -> Part:
        """Return the part that scatter is of the uncertainty of one parameter."""
        return Part(weight=1.0, u=math.sqrt(float(self.covariance[number, number])), dof=self.dof)


def odd_one(design: Floats, readings: Floats, least_u: float) -> int | None:
    """Return the reading that does not belong to the others, None where all do.

    Source: externally studentized residuals, each against the fit of all the others, at one false alarm in a thousand
    sittings (Bonferroni); Student's distribution.

    Parameters
    ----------
    design, readings, least_u
        As of ``least_squares``.
    """
    count, parameters = design.shape
    dof = count - parameters - 1
    if dof < 2:  # noqa: PLR2004 - of three readings nobody can tell which is the odd one
        return None
    hat = design @ np.linalg.pinv(design)
    left, lever = readings - hat @ readings, np.minimum(np.diag(hat), 1 - TINY)
    others = (left @ left - left**2 / (1 - lever)) / dof
    odd = np.abs(left) / np.sqrt(np.maximum(others, least_u**2) * (1 - lever) + TINY**2)
    worst = int(odd.argmax())
    return worst if odd[worst] > t_factor(dof, 1 - FALSE_ALARM / count) else None


def least_squares(design: Floats, readings: Floats, least_u: float) -> Fit:
    """Return the parameters that leave least, with the scatter taken from what is left (GUM H.3).

    Parameters
    ----------
    design
        What each parameter adds to each reading, (n, p), of full rank.
    readings
        (n,), n > p.
    least_u
        Standard uncertainty of one reading that the scatter is not taken below.
    """
    values, *_ = np.linalg.lstsq(design, readings, rcond=None)
    left = readings - design @ values
    dof = len(readings) - design.shape[1]
    scatter = max(math.sqrt(float(left @ left) / dof), least_u)
    covariance = scatter**2 * np.linalg.inv(design.T @ design)
    return Fit(
        values=np.asarray(values), covariance=np.asarray(covariance), scatter=scatter, dof=dof, left=np.asarray(left)
    )

"""Names the mistake behind a number that is wrong by a telling ratio.

The family stands in ``reference/ratios.toml``; here are the numbers that it takes from a card.
"""

import itertools
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.model.settings import Slip
from cutworthy.settings.travel import Number, exact
from cutworthy.units import MM_PER_INCH

__all__ = [
    "NEAR_ID",
    "TOLERANCE",
    "TWO_ID",
    "UNNAMED_ID",
    "Context",
    "name_ratio",
    "ratio_family",
]

# What stands first among the ids where no single slip fits.
NEAR_ID, TWO_ID, UNNAMED_ID = "near-but-not-equal", "two-slips", "unnamed"

# A name fits within this share. Slips of fixed ratio lie farther than five times it apart, and farther
# than twice it from products of two.
TOLERANCE = 1e-3
EQUAL = 5e-7  # half a unit of the seventh digit: the number is right
NEAR = 0.02  # closer than this and nameless, somebody has corrected it by a measurement
SMALLEST_PLACE = 12  # decimals after which a number was not typed


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What of a card the slips are worked out from; None leaves its slips out."""

    starts: int | None = None
    reduction: float | None = None
    teeth: int | None = None
    microsteps: int | None = None
    steps_per_turn: int | None = None


def name_ratio(entered: Number, true: Number, *, context: Context) -> Slip | None:
    """Return the likely mistake behind steps that do not match the parts; None when they do.

    Source: common practice, no source (``reference/ratios.toml``).

    Parameters
    ----------
    entered
        Steps for a millimetre as entered [1/mm], positive.
    true
        Steps for a millimetre as the parts ask [1/mm], positive.
    context
        Numbers of the card that may have been left out, doubled or taken for others.

    Returns
    -------
    Slip
        ``ratio`` is entered over true; ``ids`` are the single slips that fit, nearest first; else
        ``near-but-not-equal`` within 2 %; else ``two-slips`` and the products of two that fit, as
        ``microsteps-double*inch-for-mm``; else ``unnamed``. A number rounded to the digits it was typed
        with, for a millimetre or for an inch, is right: its price is told by ``rounding_error_mm``.
    """
    ratio = float(entered) / float(true)
    if abs(ratio - 1) <= EQUAL:
        return None
    single = _fitting(ratio, ratio_family(context))
    if single:
        return Slip(ratio=ratio, ids=single)
    if abs(ratio - 1) > NEAR:
        double = _fitting(ratio, _products(context))
        return Slip(ratio=ratio, ids=(TWO_ID, *double) if double else (UNNAMED_ID,))
    inch = float(entered) * MM_PER_INCH, float(true) * MM_PER_INCH
    if _is_rounded(float(entered), float(true)) or _is_rounded(*inch):
        return None
    return Slip(ratio=ratio, ids=(NEAR_ID,))


def ratio_family(context: Context) -> Mapping[str, float]:
    """Return the ratio of every single slip by its id, as far as the context goes.

    Source: common practice, no source (``reference/ratios.toml``).

    Parameters
    ----------
    context
        Numbers of the card. One that changes nothing, as a reduction of 1, is no slip.
    """
    computed = _computed(context)
    found = {}
    for row in _file()["ratios"]:
        ratio = float(Fraction(row["ratio"])) if "ratio" in row else computed[row["computed"]]
        if ratio is not None and abs(ratio - 1) > TOLERANCE:
            found[row["id"]] = ratio
    return found


@cache
def _file() -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.reference") / "ratios.toml").read_text(encoding="utf-8"))


def _computed(context: Context) -> Mapping[str, float | None]:
    """Return the ratios that rows of the family name as computed; None where the card does not say."""
    starts, reduction, teeth = context.starts, context.reduction, context.teeth
    steps, microsteps = context.steps_per_turn, context.microsteps
    return {
        "starts": starts,
        "1/starts": starts and 1 / starts,
        "reduction": reduction,
        "1/reduction": reduction and 1 / reduction,
        "1/reduction^2": reduction and 1 / reduction**2,
        "1/microsteps": microsteps and 1 / microsteps,
        "400/steps": steps and 400 / steps,
        "200/steps": steps and 200 / steps,
        "teeth/(teeth+1)": teeth and teeth / (teeth + 1),
        "teeth/(teeth-1)": teeth / (teeth - 1) if teeth and teeth > 1 else None,
        "pi": math.pi,
        "1/pi": 1 / math.pi,
    }


def _products(context: Context) -> Mapping[str, float]:
    """Return the products of two slips of different things, of those that people make together."""
    family = ratio_family(context)
    rows = [row for row in _file()["ratios"] if row.get("combines") and row["id"] in family]
    return {
        f"{a['id']}*{b['id']}": family[a["id"]] * family[b["id"]]
        for a, b in itertools.combinations(rows, 2)
        if a["about"] != b["about"]
    }


def _fitting(ratio: float, family: Mapping[str, float]) -> tuple[str, ...]:
    """Return the ids whose ratio this is, nearest first; the family's order among equals."""
    off = {key: round(abs(ratio / member - 1), 9) for key, member in family.items()}
    return tuple(sorted((key for key in off if off[key] <= TOLERANCE), key=lambda key: off[key]))


def _is_rounded(entered: float, true: float) -> bool:
    """Return whether a number is another one, rounded to the decimals that it has, or cut off behind a decimal."""
    typed = exact(entered)
    place = next((n for n in range(SMALLEST_PLACE) if (typed * 10**n).denominator == 1), None)
    if place is None:
        return False
    last = 10.0**-place * (1 + 1e-9)
    return abs(entered - true) <= 0.5 * last or (place > 0 and 0 <= true - entered < last)

"""Numbers in both units, and lines of arithmetic that a pocket calculator repeats.

Without memory and without brackets, from left to right, as the cheapest calculator works.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Literal

from cutworthy.units import MM_PER_INCH, S_PER_MIN, Kind, express

__all__ = [
    "INCH_MM",
    "MOST",
    "PI",
    "Both",
    "By",
    "Number",
    "Shown",
    "Sum",
    "Term",
    "digits",
    "exact",
    "floor_digits",
    "is_short",
    "reckon",
]

Number = Fraction | float

INCH_MM = Fraction("25.4")
PI = Fraction("3.141592654")  # as ten digits of a calculator show it
MOST = 10  # digits that a number is printed with
TYPED = 12  # digits after which a number was not typed, but is the noise of binary fractions
SHORT = 7  # digits of a number that is pleasant to type into a calculator


class By(StrEnum):
    """What a number of a sum does to those before it."""

    TIMES = "\N{MULTIPLICATION SIGN}"
    OVER = "\N{DIVISION SIGN}"
    PLUS = "+"
    MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True, slots=True)
class Both:
    """A number as text with its unit: in the machine's own units, and in the others."""

    first: str
    second: str

    @property
    def text(self) -> str:
        """Both on one line, the second in brackets."""
        return f"{self.first} ({self.second})"

    def shorter(self, most: int) -> "Both":
        """Return it as it is read, not as it is typed: with fewer digits; both must be positive numbers."""
        each = [text.split(" ", 1) for text in (self.first, self.second)]
        return Both(*(f"{_to_the_point(float(number), most)} {unit}" for number, unit in each))


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a sum and the words behind it."""

    value: Number
    words: str = ""
    by: By = By.TIMES

    @property
    def text(self) -> str:
        """Number and words."""
        return f"{digits(self.value, MOST)} {self.words}".rstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """A line of arithmetic, as ``3200 ÷ 25.4 = 125.984252 steps per mm``, and its result alone."""

    line: str
    result: str


def reckon(terms: Sequence[Term], true: Number, unit: str, most: int = MOST) -> Sum:
    """Return the sum of the terms from left to right, with as many digits as its own numbers make true.

    Parameters
    ----------
    terms
        Numbers as they are printed; the first one's operator is not used.
    true
        What they really make; numbers that had to be rounded make a little less or more of it.
    unit
        Behind the result.
    most
        Digits of the result at most.
    """
    got = _shown(terms[0].value)
    line = terms[0].text
    for term in terms[1:]:
        got = _worked(got, term.by, _shown(term.value))
        line += f" {term.by} {term.text}"
    fit = next((n for n in range(most, 1, -1) if digits(got, n) == digits(true, n)), 1)
    result = digits(true, fit)
    return Sum(line=f"{line} = {result} {unit}", result=result)


def digits(value: Number, most: int) -> str:
    """Return a number with so many significant digits at most, without exponent and without zeros at the end."""
    return _text(value, most, ROUND_HALF_EVEN)


def floor_digits(value: Number, most: int) -> str:
    """Return a positive number with so many significant digits, never rounded up."""
    return _text(value, most, ROUND_FLOOR)


def exact(value: Number) -> Fraction:
    """Return a number as it was typed, without the noise of binary fractions and of a change of units."""
    return value if isinstance(value, Fraction) else Fraction(f"{value:.{TYPED}g}")


def is_short(value: Number, most: int = SHORT) -> bool:
    """Return whether a number is printed whole with so many digits."""
    return Fraction(_text(value, most, ROUND_HALF_EVEN)) == exact(value)


@dataclass(frozen=True, slots=True)
class Shown:
    """Shows numbers in both units, those of the machine first."""

    units: Literal["mm", "inch"]

    @property
    def unit(self) -> str:
        """The machine's unit of length, as it stands behind a number."""
        return self._pair("mm", "in")[0]

    @property
    def other(self) -> str:
        """The other one."""
        return self._pair("mm", "in")[1]

    def own(self, value_mm: Number, *, typed: bool = True) -> Fraction:
        """Return a length in the machine's unit; ``typed``: without the noise behind what a person typed."""
        value = Fraction(value_mm) if self.units == "mm" else Fraction(value_mm) / INCH_MM
        return exact(float(value)) if typed else value

    def convert(self, own: Number, name: str, most: int = SHORT) -> Sum:
        """Return the sum that takes a length, or a speed, into the other unit; ``name``: as ``{}/min``."""
        shrinks = self.units == "mm"
        true = exact(own) / INCH_MM if shrinks else exact(own) * INCH_MM
        return reckon(
            [Term(own), Term(INCH_MM, by=By.OVER if shrinks else By.TIMES)], true, name.format(self.other), most
        )

    def length(self, value_mm: float, most: int = 4) -> Both:
        """Return a length, as ``820 mm`` and ``32.28 in``."""
        return self._both(value_mm, "{}", most)

    def speed(self, value_mm_s: float, most: int = 4) -> Both:
        """Return a speed, as ``3000 mm/min`` and ``118.1 in/min``."""
        return self._both(value_mm_s * S_PER_MIN, "{}/min", most)

    def speeds(self, values_mm_s: Sequence[float], most: int = 3) -> Both:
        """Return several speeds, the unit behind the last one."""
        each = [self.speed(value, most) for value in values_mm_s]
        return Both(*(_listed([getattr(both, side) for both in each]) for side in ("first", "second")))

    def spans(self, values_mm_s: Sequence[tuple[float, float]], most: int = 3) -> Both:
        """Return several ranges of speed, as ``300 to 406, 600 to 812 mm/min``."""
        each = [(self.speed(low, most), self.speed(high, most)) for low, high in values_mm_s]
        return Both(
            *(
                _listed([f"{getattr(low, side).split(' ')[0]} to {getattr(high, side)}" for low, high in each])
                for side in ("first", "second")
            )
        )

    def force(self, value_n: float, most: int = 3) -> Both:
        """Return a force, as ``760 N`` and ``171 lbf``."""
        newton, pound = digits(value_n, most), digits(express(value_n, Kind.FORCE, "lbf"), most)
        return Both(*self._pair(f"{newton} N", f"{pound} lbf"))

    def _both(self, value_mm: float, name: str, most: int) -> Both:
        metric = f"{_to_the_point(value_mm, most)} {name.format('mm')}"
        inch = f"{_to_the_point(value_mm / MM_PER_INCH, most)} {name.format('in')}"
        return Both(*self._pair(metric, inch))

    def _pair(self, metric: str, inch: str) -> tuple[str, str]:
        return (metric, inch) if self.units == "mm" else (inch, metric)


def _to_the_point(value: float, most: int) -> str:
    """Return a number with its significant digits, and all those before the point."""
    return digits(value, max(most, len(str(int(abs(value))))))


def _listed(numbers: Sequence[str]) -> str:
    """Return numbers with the same unit in a list that names it once."""
    return ", ".join([*(number.rsplit(" ", 1)[0] for number in numbers[:-1]), numbers[-1]])


def _shown(value: Number) -> Fraction:
    return Fraction(_text(value, MOST, ROUND_HALF_EVEN))


def _worked(got: Fraction, by: By, value: Fraction) -> Fraction:
    match by:
        case By.TIMES:
            return got * value
        case By.OVER:
            return got / value
        case By.PLUS:
            return got + value
        case By.MINUS:
            return got - value


def _text(value: Number, most: int, rounding: str) -> str:
    exactly = value if isinstance(value, Fraction) else Fraction(value)
    rounded = Context(prec=most, rounding=rounding).divide(Decimal(exactly.numerator), Decimal(exactly.denominator))
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text

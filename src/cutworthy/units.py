"""Our small grammar of quantities: text with a unit, as people in a shop write it.

``[sign] number | fraction | whole(space or hyphen)fraction``, then a unit of a closed table for
each kind. A general unit library misreads such text: it takes "1 1/16 in" for a product and
"18 C" for a charge. Values come out in the units that the names of the code end in; the factors
are exact fractions, and a value is rounded once, at the end.
"""

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from fractions import Fraction

from cutworthy.errors import QuantityError

__all__ = ["MM_PER_INCH", "MM_PER_M", "STANDARD_GRAVITY", "S_PER_MIN", "Kind", "Parsed", "express", "parse", "quoted"]

MM_PER_INCH = 25.4
MM_PER_M = 1000.0
S_PER_MIN = 60.0
STANDARD_GRAVITY = 9.80665  # m/s^2, exact by convention of the CGPM of 1901

LONGEST = 60  # characters of a quantity; a longer text is something else, pasted by mistake
SHOWN = 40  # characters of a faulty text that a message repeats


class Kind(StrEnum):
    """What a quantity is a quantity of."""

    LENGTH = "length"
    SPEED = "speed"
    ACCELERATION = "acceleration"
    FORCE = "force"
    TORQUE = "torque"
    MASS = "mass"
    INERTIA = "inertia"
    STIFFNESS = "stiffness"
    DENSITY = "density"
    VOLTAGE = "voltage"
    CURRENT = "current"
    RESISTANCE = "resistance"
    INDUCTANCE = "inductance"
    POWER = "power"
    TIME = "time"
    FREQUENCY = "frequency"
    ROTATION = "rotation"
    ANGLE = "angle"
    TEMPERATURE = "temperature"
    RATIO = "ratio"

    @property
    def example(self) -> str:
        """A quantity of this kind, well written."""
        return _EXAMPLES[self]

    @property
    def ending(self) -> str:
        """How a name of the code ends that holds this kind, as ``mm_s2``."""
        return _ENDINGS[self]

    @property
    def phrase(self) -> str:
        """The kind with its article, as ``an angle``."""
        return f"an {self}" if self[0] in "aeiou" else f"a {self}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parsed:
    """A quantity: value in our unit, the unit as it was written, and a remark for the writer."""

    value: float
    unit: str
    note: str | None = None


_INCH = Fraction("25.4")  # exact by definition, as are the pound, the standard gravity and the hour
_POUND = Fraction("0.45359237")
_OUNCE = _POUND / 16
_G = Fraction(str(STANDARD_GRAVITY))
_FOOT_M = Fraction("0.3048")
_INCH_M = Fraction("0.0254")
_DEGREE = Fraction(math.pi) / 180
_MILLI, _MICRO = Fraction(1, 1000), Fraction(1, 1_000_000)
_ONE = Fraction(1)
_CELSIUS, _FAHRENHEIT = ("°C", "C", "deg*C"), ("°F", "F", "deg*F")

# Carets and spaces are taken out before the look-up, and a hyphen or a space inside counts as *.
_WEIGHTS = {"kg": _G, "g": _G * _MILLI, "lb": _POUND * _G, "oz": _OUNCE * _G}
_UNITS: dict[Kind, dict[str, Fraction]] = {
    Kind.LENGTH: {
        "mm": _ONE, "cm": _ONE * 10, "m": _ONE * 1000, "um": _MILLI,
        "in": _INCH, '"': _INCH, "inch": _INCH, "thou": _INCH * _MILLI, "ft": _INCH * 12, "'": _INCH * 12,
    },
    Kind.SPEED: {
        "mm/s": _ONE, "mm/min": _ONE / 60, "m/min": Fraction(1000, 60), "m/s": _ONE * 1000,
        "in/s": _INCH, "in/min": _INCH / 60, "ipm": _INCH / 60,
    },
    Kind.ACCELERATION: {"mm/s2": _ONE, "m/s2": _ONE * 1000, "in/s2": _INCH},
    Kind.FORCE: {"N": _ONE, "kN": _ONE * 1000, "lbf": _POUND * _G, "ozf": _OUNCE * _G, "kgf": _G, **_WEIGHTS},
    Kind.TORQUE: {
        "N*m": _ONE, "Nm": _ONE, "mN*m": _MILLI, "mNm": _MILLI, "N*cm": _ONE / 100, "Ncm": _ONE / 100,
        "kgf*cm": _G / 100, "kg*cm": _G / 100, "ozf*in": _OUNCE * _G * _INCH_M, "oz*in": _OUNCE * _G * _INCH_M,
        "lbf*in": _POUND * _G * _INCH_M, "lb*in": _POUND * _G * _INCH_M,
    },
    Kind.MASS: {"kg": _ONE, "g": _MILLI, "lb": _POUND, "oz": _OUNCE},
    Kind.INERTIA: {
        "kg*m2": _ONE, "kg*cm2": _ONE / 10_000, "g*cm2": _MILLI / 10_000,
        "oz*in2": _OUNCE * _INCH_M**2, "lb*in2": _POUND * _INCH_M**2,
    },
    Kind.STIFFNESS: {"N/mm": _ONE, "N/um": _ONE * 1000, "lbf/in": _POUND * _G / _INCH},
    Kind.DENSITY: {"kg/m3": _ONE, "g/cm3": _ONE * 1000, "lb/ft3": _POUND / _FOOT_M**3},
    Kind.VOLTAGE: {"V": _ONE},
    Kind.CURRENT: {"A": _ONE, "mA": _MILLI},
    Kind.RESISTANCE: {"ohm": _ONE},
    Kind.INDUCTANCE: {"H": _ONE, "mH": _MILLI, "uH": _MICRO},
    Kind.POWER: {"W": _ONE, "kW": _ONE * 1000, "hp": 550 * _FOOT_M * _POUND * _G},
    Kind.TIME: {"s": _ONE, "ms": _MILLI, "us": _MICRO, "min": _ONE * 60},
    Kind.FREQUENCY: {"Hz": _ONE, "kHz": _ONE * 1000, "MHz": _ONE * 1_000_000, "1/s": _ONE},
    Kind.ROTATION: {"rpm": _ONE, "1/min": _ONE},
    Kind.ANGLE: {"rad": _ONE, "mrad": _MILLI, "deg": _DEGREE, "°": _DEGREE},
    Kind.TEMPERATURE: {"K": _ONE, **dict.fromkeys(_CELSIUS, _ONE), **dict.fromkeys(_FAHRENHEIT, Fraction(5, 9))},
    Kind.RATIO: {"%": _ONE / 100},
}  # fmt: skip
# Where the zero of a scale lies, in K.
_ZEROS = dict.fromkeys(_CELSIUS, Fraction("273.15")) | dict.fromkeys(_FAHRENHEIT, Fraction("459.67") * 5 / 9)
_EXAMPLES = {
    Kind.LENGTH: "820 mm", Kind.SPEED: "3000 mm/min", Kind.ACCELERATION: "400 mm/s^2", Kind.FORCE: "12 N",
    Kind.TORQUE: "1.8 N*m", Kind.MASS: "14 kg", Kind.INERTIA: "460 g*cm^2", Kind.STIFFNESS: "40 N/um",
    Kind.DENSITY: "760 kg/m^3", Kind.VOLTAGE: "36 V", Kind.CURRENT: "3.0 A", Kind.RESISTANCE: "1.1 ohm",
    Kind.INDUCTANCE: "3.8 mH", Kind.POWER: "710 W", Kind.TIME: "3 s", Kind.FREQUENCY: "100 kHz",
    Kind.ROTATION: "18000 rpm", Kind.ANGLE: "60 deg", Kind.TEMPERATURE: "18 °C", Kind.RATIO: "50 %",
}  # fmt: skip
_ENDINGS = {
    Kind.LENGTH: "mm", Kind.SPEED: "mm_s", Kind.ACCELERATION: "mm_s2", Kind.FORCE: "n", Kind.TORQUE: "n_m",
    Kind.MASS: "kg", Kind.INERTIA: "kg_m2", Kind.STIFFNESS: "n_mm", Kind.DENSITY: "kg_m3", Kind.VOLTAGE: "v",
    Kind.CURRENT: "a", Kind.RESISTANCE: "ohm", Kind.INDUCTANCE: "h", Kind.POWER: "w", Kind.TIME: "s",
    Kind.FREQUENCY: "hz", Kind.ROTATION: "rpm", Kind.ANGLE: "rad", Kind.TEMPERATURE: "k", Kind.RATIO: "ratio",
}  # fmt: skip

# What word processors, phones and labels put in place of the keys on a keyboard.
_TYPED = str.maketrans(
    {
        **dict.fromkeys("\N{MINUS SIGN}\N{EN DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}", "-"),
        **dict.fromkeys("\N{MIDDLE DOT}\N{DOT OPERATOR}\N{MULTIPLICATION SIGN}", "*"),
        **dict.fromkeys("\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}", "u"),
        **dict.fromkeys("\N{OHM SIGN}\N{GREEK CAPITAL LETTER OMEGA}", "ohm"),
        **dict.fromkeys("\N{DOUBLE PRIME}\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}", '"'),
        **dict.fromkeys("\N{PRIME}\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}", "'"),
        "\N{SUPERSCRIPT TWO}": "^2",
        "\N{SUPERSCRIPT THREE}": "^3",
        "\N{DEGREE CELSIUS}": "°C",
        "\N{DEGREE FAHRENHEIT}": "°F",
    }
)
_QUANTITY = re.compile(
    r"(?P<sign>[+-]?) ?"
    r"(?:(?P<whole>[0-9]+)[ -](?=[0-9]+/[0-9]))?"
    r"(?:(?P<top>[0-9]+)/(?P<bottom>[0-9]+)|(?P<decimal>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?))"
    r"(?![0-9./]) ?(?P<unit>.*)"
)


def parse(text: str, kind: Kind, *, example: str | None = None) -> Parsed:
    """Return the quantity that a text says.

    Parameters
    ----------
    text
        As a person wrote it.
    kind
        What it must be a quantity of. Under ``Kind.FORCE`` a mass counts as its weight, because
        luggage scales read so, and the result carries a note.
    example
        What a message shows as well written; without it ``kind.example``.

    Returns
    -------
    Parsed
        The value in mm, mm/s, mm/s^2, N, N·m, kg, kg·m², N/mm, kg/m³, V, A, ohm, H, W, s, Hz, rpm,
        rad, K or as a plain ratio.

    Raises
    ------
    QuantityError
        With what is wrong and what to write.

    Examples
    --------
    >>> parse("1-1/16 in", Kind.LENGTH).value
    26.9875
    """
    example = example or kind.example
    asked = " ".join(text.translate(_TYPED).split())
    found = _QUANTITY.fullmatch(asked) if len(asked) <= LONGEST and "," not in asked else None
    if found is None:
        raise _number_error(asked, text, example)
    number, unit = _number(found, text), _spelled(found["unit"])
    factor = _UNITS[kind].get(unit)
    if factor is None:
        raise _unit_error(unit, text, kind, example)
    value = float(number * factor + _ZEROS.get(unit, 0))
    note = None
    if kind is Kind.FORCE and unit in _WEIGHTS:
        note = f"{quoted(text)} is read as a weight, {value:.4g} N"
    return Parsed(value=value, unit=found["unit"], note=note)


def express(value: float, kind: Kind, unit: str) -> float:
    """Return a value of ours in a unit as :func:`parse` reports it; no zero of a scale is moved."""
    return float(Fraction(value) / _UNITS[kind][_spelled(unit)])


def quoted(text: str) -> str:
    """Return a text in quotes as a message may show it: shortened, control characters escaped."""
    shown = repr(text if len(text) <= SHOWN else text[: SHOWN - 1] + "…")
    return shown if '"' in shown else f'"{shown[1:-1]}"'


def _spelled(unit: str) -> str:
    """Return a unit as the table spells it."""
    return re.sub(r" ?[ *-] ?", "*", unit).replace("^", "")


def _number(found: re.Match[str], text: str) -> Fraction:
    sign = -1 if found["sign"] == "-" else 1
    if found["decimal"]:
        return sign * Fraction(found["decimal"])
    whole, top, bottom = int(found["whole"] or 0), int(found["top"]), int(found["bottom"])
    if bottom and not (found["whole"] and top >= bottom):
        return sign * (whole + Fraction(top, bottom))
    wrong = f"{quoted(text)} has a fraction of one or more" if bottom else f"{quoted(text)} divides by zero"
    raise QuantityError(wrong, "write the fraction again")


def _number_error(asked: str, text: str, example: str) -> QuantityError:
    write = f'write for example "{example}"'
    if not asked:
        return QuantityError("the text is empty", write)
    if asked == "?":
        return QuantityError('"?" is not filled in yet', write)
    if "," not in asked or len(asked) > LONGEST:
        return QuantityError(f"{quoted(text)} is not one number with a unit", write)
    write = f"write a point: {quoted(asked.replace(',', '.'))}"
    if re.search(r",[0-9]{3}(?![0-9])", asked):  # 1,000 may be a thousand, or one
        write += f", or if it is thousands nothing: {quoted(asked.replace(',', ''))}"
    return QuantityError(f"{quoted(text)} has a comma", write)


def _unit_error(unit: str, text: str, kind: Kind, example: str) -> QuantityError:
    write = f'write for example "{example}"'
    if not unit:
        with_unit = quoted(f"{text.strip()} {example.split(' ', 1)[1]}")
        return QuantityError(f"{quoted(text)} has no unit", f"write the unit, for example {with_unit}")
    for other, units in _UNITS.items():
        if unit in units:
            return QuantityError(f"{quoted(text)} is {other.phrase}, and {kind.phrase} is needed", write)
    if any(each.isnumeric() for each in unit.rstrip("23")):
        return QuantityError(f"{quoted(text)} is not one number with one unit", write)
    known = {each.casefold(): each for each in _UNITS[kind]}
    near = get_close_matches(unit.casefold(), known, n=1, cutoff=0.5)
    write = f"write {known[near[0]]}" if near else f"write one of {', '.join(known.values())}"
    return QuantityError(f"{quoted(text)} has a unit that is not known", write)

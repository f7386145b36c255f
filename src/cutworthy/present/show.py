"""Numbers as people read them: rounded, in the units of their machine."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Literal

from cutworthy.present.plain import plain
from cutworthy.units import MM_PER_INCH, MM_PER_M

__all__ = ["Display", "fraction_text", "significant", "steps_text"]

# From here a tenth is enough; below here hundredths would hide the number.
COARSE_MM, TINY_MM = 10.0, 0.05
MM3_PER_CM3, COARSE_VOLUME = 1000.0, 10.0
SHORT_S = 10.0
STEPS_DIGITS = 10  # more than any control keeps
N_PER_LBF = 4.4482216152605  # exact: the pound of 0.45359237 kg under standard gravity
N_M_PER_OZF_IN = N_PER_LBF / 16 * MM_PER_INCH / MM_PER_M


@dataclass(frozen=True, slots=True)
class Display:
    """Shows numbers in millimetres or in inches."""

    units: Literal["mm", "inch"]

    def length(self, value_mm: float) -> str:
        """Return a length, as ``12.3 mm`` or ``0.484 in``."""
        tiny = abs(value_mm) < TINY_MM
        if self.units == "inch":
            return f"{_trim(value_mm / MM_PER_INCH, 5 if tiny else 3)} in"
        return f"{_trim(value_mm, 4 if tiny else 1 if abs(value_mm) >= COARSE_MM else 2)} mm"

    def fine_length(self, value_mm: float) -> str:
        """Return a short length to the thousandth of a millimetre or the tenth of a thou, as ``0.052 mm``."""
        return f"{self.place(value_mm)} {'in' if self.units == 'inch' else 'mm'}"

    def volume(self, value_mm3: float) -> str:
        """Return a volume as ``75 cm³`` or ``4.6 in³``."""
        value, unit = (value_mm3 / MM_PER_INCH**3, "in³") if self.units == "inch" else (value_mm3 / MM3_PER_CM3, "cm³")
        return f"{_trim(value, 0 if value >= COARSE_VOLUME else 1 if value >= 1 else 2)} {unit}"

    def change(self, value_mm: float) -> str:
        """Return how much larger or smaller something is: ``+0.15 mm``, ``-0.15 mm``, ``0 mm``."""
        text = self.length(abs(value_mm))
        return text if text.startswith("0 ") else f"{'+' if value_mm > 0 else '-'}{text}"

    def place(self, value_mm: float) -> str:
        """Return a coordinate without its unit, to the thousandth of a millimetre or the tenth of a thou."""
        return _trim(value_mm / MM_PER_INCH, 4) if self.units == "inch" else _trim(value_mm, 3)

    def feed(self, value_mm_min: float) -> str:
        """Return a feed, as ``1500 mm/min`` or ``59.1 in/min``."""
        if self.units == "inch":
            return f"{_trim(value_mm_min / MM_PER_INCH, 1)} in/min"
        return f"{_trim(value_mm_min, 0)} mm/min"

    def acceleration(self, value_mm_s2: float) -> str:
        """Return an acceleration, as ``400 mm/s^2`` or ``15.7 in/s^2``."""
        if self.units == "inch":
            return f"{_trim(value_mm_s2 / MM_PER_INCH, 1)} in/s^2"
        return f"{_trim(value_mm_s2, 0)} mm/s^2"

    def force(self, value_n: float) -> str:
        """Return a force, as ``760 N`` or ``171 lbf``."""
        if self.units == "inch":
            return f"{_trim(value_n / N_PER_LBF, 0 if abs(value_n) >= N_PER_LBF * COARSE_MM else 1)} lbf"
        return f"{_trim(value_n, 0)} N"

    def torque(self, value_n_m: float) -> str:
        """Return a torque, as ``1.27 N·m`` or ``180 ozf·in``; small ones with a digit more."""
        if self.units == "inch":
            return f"{float(f'{value_n_m / N_M_PER_OZF_IN:.3g}'):g} ozf·in"
        return f"{float(f'{value_n_m:.3g}'):g} N·m"

    def time(self, value_s: float) -> str:
        """Return a time, as ``12 s``, ``6 min 20 s`` or ``1 h 52 min``."""
        seconds = round(value_s)
        if seconds < 60:  # noqa: PLR2004 - seconds in a minute
            return f"{_trim(value_s, 1)} s"
        minutes, seconds = divmod(seconds, 60)
        hours, minutes = divmod(minutes, 60)
        return f"{hours} h {minutes} min" if hours else f"{minutes} min {seconds} s"

    def pause(self, value_s: float) -> str:
        """Return how long a pause is; short ones to the thousandth."""
        return f"{_trim(value_s, 3)} s" if value_s < SHORT_S else self.time(value_s)

    def floored(self, value_mm_min: float) -> float:
        """Return a feed that is shown without rounding up: whole mm/min, or tenths of in/min."""
        step = 1.0 if self.units == "mm" else MM_PER_INCH / 10
        return math.floor(value_mm_min / step) * step

    def number(self, name: str, value: float | str | None, unit: str) -> str:
        """Return a finding's number by the unit that its name ends in, or by ``unit``."""
        if value is None:
            return "an unknown"
        if isinstance(value, str):
            return plain(value)
        if name.startswith("most_"):  # what is to be entered is never rounded up
            value = self.floored(value)
        unit = next((told for end, told in _ENDINGS if name.endswith(end)), unit)
        by_unit: dict[str, Callable[[float], str]] = {
            "mm": self.length,
            "mm/min": self.feed,
            "mm/s^2": self.acceleration,
            "N": self.force,
            "N*m": self.torque,
            "s": self.time,
            "W": lambda watts: f"{_trim(watts, 0)} W",
            "MPa": lambda stress: f"{_trim(stress, 0)} N/mm²",
            "": lambda ratio: f"{float(f'{ratio:.2g}'):g}",
            "steps/mm": lambda steps: f"{steps_text(steps)} steps per mm",
            "steps/inch": lambda steps: f"{steps_text(steps)} steps per inch",
        }
        return by_unit[unit](value) if unit in by_unit else f"{_trim(value, 3)} {unit}".strip()

    def numbers(self, numbers: Mapping[str, float | str | None]) -> dict[str, str]:
        """Return all numbers of a finding as text; ``over`` is the size of ``value``, without its sign."""
        unit = str(numbers.get("unit", ""))
        shown = {name: self.number(name, value, unit) for name, value in numbers.items()}
        ratio = numbers.get("ratio")
        if isinstance(ratio, float | int):
            shown["times"] = shown["ratio"] = f"{ratio:.3g}"
        value = numbers.get("value")
        if isinstance(value, float | int):
            shown["over"] = self.number("value", abs(value), unit)
        return shown


# Longer endings first: mm/min ends in "min" too.
_ENDINGS = (
    ("_mm_min", "mm/min"), ("_mm_s2", "mm/s^2"), ("_mm", "mm"), ("_rpm", "rpm"),
    ("_n_m", "N*m"), ("_n", "N"), ("_s", "s"),
)  # fmt: skip


def significant(value: float | None) -> float | None:
    """Return a number rounded to nine significant digits, as outcomes carry it; zero is never minus zero."""
    return None if value is None else float(f"{value:.9g}") + 0.0


def steps_text(steps: Fraction | float) -> str:
    """Return steps as people type them: exact, or 10 significant digits; no exponent, no idle zeros."""
    context = Context(prec=STEPS_DIGITS)
    if isinstance(steps, Fraction):
        typed = context.divide(Decimal(steps.numerator), Decimal(steps.denominator))
    else:
        typed = context.create_decimal_from_float(steps)
    text = f"{typed:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def fraction_text(steps: Fraction | float) -> str | None:
    """Return steps as a fraction in lowest terms, None when pi is in them."""
    return f"{steps.numerator}/{steps.denominator}" if isinstance(steps, Fraction) else None


def _trim(value: float, digits: int) -> str:
    """Return a fixed number of decimals without the zeros at the end, and never ``-0``."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text

"""Numbers as people read them: rounded, in the units of their machine."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cutworthy.present.plain import plain
from cutworthy.units import MM_PER_INCH

__all__ = ["Display", "significant"]

# From here a tenth is enough; below here hundredths would hide the number.
COARSE_MM, TINY_MM = 10.0, 0.05


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

    def feed(self, value_mm_min: float) -> str:
        """Return a feed, as ``1500 mm/min`` or ``59.1 in/min``."""
        if self.units == "inch":
            return f"{_trim(value_mm_min / MM_PER_INCH, 1)} in/min"
        return f"{_trim(value_mm_min, 0)} mm/min"

    def time(self, value_s: float) -> str:
        """Return a time, as ``12 s``, ``6 min 20 s`` or ``1 h 52 min``."""
        seconds = round(value_s)
        if seconds < 60:  # noqa: PLR2004 - seconds in a minute
            return f"{_trim(value_s, 1)} s"
        minutes, seconds = divmod(seconds, 60)
        hours, minutes = divmod(minutes, 60)
        return f"{hours} h {minutes} min" if hours else f"{minutes} min {seconds} s"

    def number(self, name: str, value: float | str | None, unit: str) -> str:
        """Return a finding's number by the unit that its name ends in, or by ``unit``."""
        if value is None:
            return "an unknown"
        if isinstance(value, str):
            return plain(value)
        unit = next((told for end, told in _ENDINGS if name.endswith(end)), unit)
        match unit:
            case "mm":
                return self.length(value)
            case "mm/min":
                return self.feed(value)
            case "s":
                return self.time(value)
            case _:
                return f"{_trim(value, 3)} {unit}".strip()

    def numbers(self, numbers: Mapping[str, float | str | None]) -> dict[str, str]:
        """Return all numbers of a finding as text; ``over`` is the size of ``value``, without its sign."""
        unit = str(numbers.get("unit", ""))
        shown = {name: self.number(name, value, unit) for name, value in numbers.items()}
        value = numbers.get("value")
        if isinstance(value, float | int):
            shown["over"] = self.number("value", abs(value), unit)
        return shown


# Longer endings first: mm/min ends in "min" too.
_ENDINGS = (("_mm_min", "mm/min"), ("_mm", "mm"), ("_rpm", "rpm"), ("_s", "s"))


def significant(value: float | None) -> float | None:
    """Return a number rounded to nine significant digits, as outcomes carry it; zero is never minus zero."""
    return None if value is None else float(f"{value:.9g}") + 0.0


def _trim(value: float, digits: int) -> str:
    """Return a fixed number of decimals without the zeros at the end, and never ``-0``."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text

"""What the instruments of a shop can be trusted with."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["Instrument", "instrument", "instrument_names"]

K = 2.0  # the table gives 95 of 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """An instrument by its standard uncertainties [mm].

    ``each_mm``: of one reading by itself; ``common_mm``: of all readings of a sitting together; ``share``: the same, of
    the length that is read; ``step_mm``: the finest that is read off.
    """

    name: str
    each_mm: float
    common_mm: float
    share: float
    step_mm: float
    decides: str
    cannot: str

    @property
    def least_mm(self) -> float:
        """The standard uncertainty of a reading by the instrument's step alone: a rectangle as wide as the step."""
        return self.step_mm / 12**0.5


@cache
def _table() -> dict[str, Instrument]:
    rows = tomllib.loads((files("cutworthy.reference") / "instruments.toml").read_text(encoding="utf-8"))
    found: dict[str, Instrument] = {}
    for row in rows.values():
        made = Instrument(
            name=row["names"][0],
            each_mm=row["each"] / K,
            common_mm=row["common"] / K,
            share=row.get("share", 0.0) / K,
            step_mm=row["step"],
            decides=row["decides"],
            cannot=row["cannot"],
        )
        found |= dict.fromkeys(row["names"], made)
    return found


def instrument(name: str) -> Instrument | None:
    """Return an instrument by a name that people use, None when it is not listed."""
    return _table().get(name.strip().lower())


def instrument_names() -> tuple[str, ...]:
    """Return the first name of each instrument."""
    return tuple(dict.fromkeys(made.name for made in _table().values()))

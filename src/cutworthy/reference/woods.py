"""Woods and panels by the names that people give them."""

import csv
import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from typing import Literal, cast

__all__ = ["WoodKind", "WoodRow", "matching", "nearest_name", "woods"]

WoodKind = Literal["wood", "plywood", "mdf", "particleboard", "soft-plastic", "hard-plastic", "metal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodRow:
    """A wood or a panel: density dried to 12 % of moisture, as listed and in its usual span.

    The span of a wood is two standard deviations of 10 % (Wood Handbook, from memory); of a panel what is sold.
    """

    name: str
    also: tuple[str, ...]
    kind: WoodKind
    density_kg_m3: float
    low_kg_m3: float
    high_kg_m3: float
    source: str


@cache
def woods() -> tuple[WoodRow, ...]:
    """Return all rows of ``woods.csv``."""
    text = (files("cutworthy.reference") / "woods.csv").read_text(encoding="utf-8")
    return tuple(
        WoodRow(
            name=row["name"],
            also=tuple(row["also"].split("; ")) if row["also"] else (),
            kind=cast("WoodKind", row["kind"]),
            density_kg_m3=float(row["density_kg_m3"]),
            low_kg_m3=float(row["density_low_kg_m3"]),
            high_kg_m3=float(row["density_high_kg_m3"]),
            source=row["source"],
        )
        for row in csv.DictReader(text.splitlines())
    )


def matching(material: str) -> tuple[WoodRow, ...]:
    """Return the rows that a material may be, none when it is not known.

    A name fits when all its words are there, in any order; of names that fit those of most words count. A board that
    is called both a panel and a wood, as oak plywood, is the panel.

    Examples
    --------
    >>> [row.name for row in matching("White oak, quarter-sawn")]
    ['white oak']
    >>> [row.kind for row in matching("oak plywood")]
    ['plywood', 'plywood']
    """
    said = _words(material)
    fits = {row: max((len(name) for name in _names(row) if name <= said), default=0) for row in woods()}
    panels = {row: words for row, words in fits.items() if row.kind != "wood" and words}
    chosen = panels or fits
    most = max(chosen.values())
    return tuple(row for row, words in chosen.items() if words == most and words)


def _names(row: WoodRow) -> list[frozenset[str]]:
    return [_words(name) for name in (row.name, *row.also)]


@cache
def _words(text: str) -> frozenset[str]:
    return frozenset(re.findall(r"[a-z0-9]+", text.lower()))


def nearest_name(material: str) -> str | None:
    """Return the name that a misspelt material was probably meant to be, None where nothing is near.

    Examples
    --------
    >>> nearest_name("white oka")
    'white oak'
    """
    names = [name for row in woods() for name in (row.name, *row.also)]
    found = get_close_matches(material.strip().lower(), [name.lower() for name in names], n=1, cutoff=0.75)
    return found[0] if found else None

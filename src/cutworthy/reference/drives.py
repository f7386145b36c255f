"""Reads the tables of screws and shafts, ``threads.toml`` and ``shafts.toml``, once."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from cutworthy.reference.tables import Default

__all__ = [
    "Constant",
    "EndsKind",
    "Form",
    "FrictionKind",
    "Holding",
    "ThreadKind",
    "ball_root_share",
    "cut_root_share",
    "form",
    "friction",
    "holding",
    "root_clearance_mm",
    "steel_constant",
]

ThreadKind = Literal["ball", "trapezoidal", "acme", "square"]
FrictionKind = Literal["ball", "trapezoidal", "acme", "square", "unknown"]
EndsKind = Literal["fixed-fixed", "fixed-simple", "simple-simple", "fixed-free"]
SteelName = Literal["youngs_n_mm2", "shear_n_mm2", "density_kg_m3", "yield_n_mm2"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Constant:
    """A number and its source."""

    value: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A thread form: half its angle, and how many pitches its mean diameter is below the major one."""

    half_angle_deg: float
    mean_pitches: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """How the ends of a shaft hold it: the constants of whip and of buckling."""

    frequency_root: float
    euler_constant: float
    source: str


@cache
def form(kind: ThreadKind) -> Form:
    """Return the form of a thread; a KeyError is our own mistake, here and below."""
    return Form(**_file("threads.toml")["forms"][kind])


@cache
def friction(kind: FrictionKind) -> Default:
    """Return the friction in a thread whose card does not say."""
    return Default(**_file("threads.toml")["friction"][kind])


@cache
def ball_root_share() -> Default:
    """Return the root of a ball screw as a share of its nominal diameter."""
    return Default(**_file("threads.toml")["ball_root"])


@cache
def cut_root_share() -> Constant:
    """Return the least root of a cut thread as a share of the root by its standard."""
    row = _file("threads.toml")["cut_root"]
    return Constant(value=row["low"], source=row["source"])


def root_clearance_mm(kind: ThreadKind, pitch_mm: float) -> float:
    """Return by how much the root of a cut thread is smaller than major diameter less pitch [mm].

    Beyond the pitches of the standard the nearest row holds. A ball screw has no row: KeyError.
    """
    table = _file("threads.toml")["clearances"][kind]
    rows = table["rows"]
    row = next((each for each in rows if pitch_mm <= each["up_to_pitch_mm"]), rows[-1])
    return float(table["on_diameter"] * row["clearance_mm"])


@cache
def holding(ends: EndsKind) -> Holding:
    """Return the constants of a pair of ends."""
    return Holding(**_file("shafts.toml")["ends"][ends])


@cache
def steel_constant(name: SteelName) -> Constant:
    """Return a number of plain steel, by the name that ends in its unit."""
    return Constant(**_file("shafts.toml")["steel"][name])


@cache
def _file(name: str) -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.reference") / name).read_text(encoding="utf-8"))

"""Reads the data files of this folder, once."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["Default", "Limit", "default", "limit", "limits_file"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit that findings compare with: its value, unit and source."""

    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Default:
    """What is taken where a card says nothing: the value expected, and the range it may lie in."""

    value: float
    low: float
    high: float
    source: str


@cache
def limits_file() -> Mapping[str, Any]:
    """Return the whole of ``limits.toml``."""
    return tomllib.loads((files("cutworthy.reference") / "limits.toml").read_text(encoding="utf-8"))


@cache
def limit(key: str) -> Limit:
    """Return the limit of this key in the table ``[limits]``; a KeyError is our own mistake."""
    row = limits_file()["limits"][key]
    return Limit(value=float(row["value"]), unit=row["unit"], source=row["source"])


@cache
def default(name: str) -> Default:
    """Return the row of this name in the table ``[defaults]``; a KeyError is our own mistake."""
    row = limits_file()["defaults"][name]
    return Default(value=float(row["value"]), low=float(row["low"]), high=float(row["high"]), source=row["source"])

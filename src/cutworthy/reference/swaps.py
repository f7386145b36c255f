"""Reads what swapping wires does to the way an axis goes, ``reversing.toml``, once."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["Swap", "wire_swaps"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """What swapping wires does to a motor's turning.

    ``wires``: the motor's wires on the driver's terminals A+, A-, B+, B-; empty for a swap of signals.
    ``turns``: whether the motor still turns.
    """

    id: str
    wires: tuple[str, ...]
    turns: bool
    reverses: bool
    source: str


@cache
def wire_swaps() -> tuple[Swap, ...]:
    """Return what each swap of a motor's wires, or of its signals, does.

    Source: common practice, no source; the motor's own by the field of two coils.
    """
    text = (files("cutworthy.reference") / "reversing.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["swaps"]
    return tuple(Swap(**{**row, "wires": tuple(row.get("wires", ()))}) for row in rows)

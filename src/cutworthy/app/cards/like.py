"""``like = "x"`` on an axis: its values are taken first, then the axis' own over them."""

from functools import reduce
from typing import Any

from cutworthy.app.cards.faults import Fault
from cutworthy.model.machine import AXES

__all__ = ["follow"]

INSIDE = ("motor", "driver", "drive")  # tables that are filled up; other values are taken whole
# What is not taken beside a key of one's own, because it says the same thing another way.
RIVALS = {
    "travel": ("range",),
    "range": ("travel",),
    "steps_per_mm": ("steps_per_inch",),
    "steps_per_inch": ("steps_per_mm",),
    "lead": ("pitch", "starts"),
    "pitch": ("lead",),
    "starts": ("lead",),
    "tooth_pitch": ("module",),
    "module": ("tooth_pitch",),
}


def follow(axes: dict[str, Any], faults: list[Fault]) -> dict[str, Any]:
    """Return the axes of a card with every ``like`` followed, and add what is wrong with them to ``faults``."""
    followed = {}
    for name in axes:
        tables, wrong = _chain(axes, name)
        if wrong:
            faults.append(Fault(wrong, "name an axis that has values of its own", ("axes", name, "like")))
        followed[name] = reduce(lambda base, own: _filled(base, own) if isinstance(base, dict) else own, tables[::-1])
    return followed


def _chain(axes: dict[str, Any], name: str) -> tuple[list[Any], str]:
    """Return the tables that an axis is filled from, its own first, and what is wrong with its own ``like``."""
    names = [name]
    while isinstance(axes[names[-1]], dict) and (other := axes[names[-1]].get("like")) in AXES:
        if other not in axes:
            return [axes[each] for each in names], f"there is no [axes.{other}]" if len(names) == 1 else ""
        if other in names:
            return [axes[name]], "goes round in a circle" if other == name else ""
        names.append(other)
    return [axes[each] for each in names], ""


def _filled(base: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Return own values over those of a base."""
    rivals = {rival for key in own for rival in RIVALS.get(key, ())}
    filled = {key: value for key, value in base.items() if key not in rivals} | own
    for key in INSIDE:
        inner, outer = own.get(key), base.get(key)
        if (
            isinstance(inner, dict)
            and isinstance(outer, dict)
            and inner.get("kind", outer.get("kind")) == outer.get("kind")
        ):
            filled[key] = _filled(outer, inner)
    return filled

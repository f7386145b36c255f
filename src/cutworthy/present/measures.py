"""What readings of a sitting tell, as a document and as a page."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from math import floor, isfinite, log10
from typing import Any, Literal

from cutworthy.model.machine import Machine
from cutworthy.model.result import Extreme, Measured, MeasureOutcome
from cutworthy.present.document import working_document
from cutworthy.present.page import Line, Style, working_lines
from cutworthy.present.show import Display, significant, steps_text
from cutworthy.units import MM_PER_INCH
from cutworthy.working import Step

__all__ = ["card_entries_of", "measure_document", "measure_page"]

Units = Literal["mm", "inch"]
STEPS_DIGITS = 7
CLOSING = "This rests on your readings. It does not watch the machine: eyes, ears, hand on the stop."
SIGNS: Mapping[str, str] = {"change": "+", "leave": "+", "adjust": "?", "repeat": "?"}
SOURCE = "the GUM (JCGM 100:2008); docs/methods.md has the formula of each kind"
NAMES = {
    "scale_ppm": "scale", "scale_x_ppm": "scale of X", "scale_y_ppm": "scale of Y", "offset_mm": "offset",
    "scale_ratio_ppm": "X against Y", "lost_motion_mm": "lost motion", "lost_motion_x_mm": "lost motion of X",
    "lost_motion_y_mm": "lost motion of Y", "bit_mm": "the bit", "square_mrad": "squareness",
    "foot_shift_mm": "shift of a foot", "spring_force_n": "spring of the nut", "tilt_x_mrad": "lean along X",
    "tilt_y_mrad": "lean along Y", "shim_mm": "shim", "form_mm": "form", "tir_mm": "total runout",
    "eccentricity_mm": "off the middle", "thrust_at_least_n": "thrust at least",
    "flatness_mz_mm": "flatness, narrowest zone", "flatness_ls_mm": "flatness, least squares",
    "surface_off_mm": "to surface off",
}  # fmt: skip
FAMILY = {"square-diagonals": "square", "square-flip": "square"}
MISSING = {
    "bit": "Measure bosses as well as pockets: what is too small outside and too large inside is the bit.",
    "square": "Measure both diagonals of a square.",
    "": "Measure pockets and bosses of three sizes along both axes; each size alone mixes scale with lost motion.",
}


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.present") / "measures.toml").read_text(encoding="utf-8"))


def measure_document(
    outcome: MeasureOutcome, machine: Machine | None, units: Units, steps: Iterable[Step] = ()
) -> dict[str, Any]:
    """Return what readings tell, with the keys of the contract; ``enter`` is null without the machine's card."""
    says, do = _says(outcome, machine, Display(units))
    entries = card_entries_of(outcome, machine)
    return {
        "kind": outcome.kind,
        "axis": outcome.axis,
        "results": {name: _result(one) for name, one in outcome.results.items()},
        "decision": outcome.decision,
        "enter": {key.rsplit(".", 1)[-1]: steps_text(value) for key, value in entries.items()} or None,
        "cannot_tell": list(outcome.cannot_tell),
        "says": says,
        "do": do,
        "source": SOURCE,
        "working": working_document(steps),
    }


def card_entries_of(outcome: MeasureOutcome, machine: Machine | None) -> dict[str, float]:
    """Return what is to be entered on the card, by key."""
    found = dict[str, float]()
    for key, value in outcome.enter.items():
        if key == "steps_per_mm" and machine is not None and outcome.axis is not None:
            entered = machine.axes[outcome.axis].steps_per_mm
            inch = entered is not None and entered.key.endswith("steps_per_inch")
            number = float(f"{float(value) * (MM_PER_INCH if inch else 1.0):.{STEPS_DIGITS}g}")
            found[f"axes.{outcome.axis}.steps_per_{'inch' if inch else 'mm'}"] = number
    return found


def measure_page(told: Mapping[str, Any], outcome: MeasureOutcome, units: Units) -> list[Line]:
    """Return the page about readings: what they tell, what to do, each result with how sure it is."""
    style: Style = "go" if outcome.decision in {"leave", "change"} else "ask"
    head = f"[{SIGNS[outcome.decision]}] {outcome.decision.upper()}: {told['says']}"
    lines = [Line(text=head, style=style, indent=4), Line(text=f"    {told['do']}", indent=4), Line(text="")]
    display = Display(units)
    for name, one in outcome.results.items():
        lines.append(Line(text=f"{_named(name):<26} {_shown(one, display)}", indent=27))
    if told["working"]:
        lines += working_lines(told["working"])
    return [*lines, Line(text=""), Line(text=CLOSING, style="strong")]


def _named(name: str) -> str:
    """Return the name of a result in shop words, or the letter that its standard knows it by."""
    return NAMES.get(name) or name.removesuffix("_mm").replace("_plus", "+").replace("_minus", "-").replace(
        "_mean", " mean"
    )


def _result(one: Measured | Extreme) -> dict[str, Any]:
    if isinstance(one, Extreme):
        keys = dict.fromkeys(("u", "dof", "low", "high"))
        return {"value": significant(one.value), **keys, "unit": one.unit, "noise": significant(one.noise)}
    return {
        "value": significant(one.value),
        "u": significant(one.u),
        "dof": significant(one.dof) if isfinite(one.dof) else None,
        "low": significant(one.low),
        "high": significant(one.high),
        "unit": one.unit,
    }


def _shown(one: Measured | Extreme, display: Display) -> str:
    """Return a result as text with its uncertainty, or beside what noise alone would give."""
    factor, unit = (1 / MM_PER_INCH, "in") if one.unit == "mm" and display.units == "inch" else (1.0, one.unit)
    if isinstance(one, Extreme):
        text = f"{_rounded(one.value * factor, (one.noise or one.value) * factor)} {unit}"
        return f"{text} (noise alone {_rounded(one.noise * factor, one.noise * factor)})" if one.noise else text
    beside = one.expanded * factor
    return f"{_rounded(one.value * factor, beside)} ± {_rounded(beside, beside)} {unit}"


def _thickness(one: Measured | Extreme, display: Display) -> str:
    """Return a thickness as feeler gauges have it."""
    if display.units == "inch":
        return f"{abs(one.value) / MM_PER_INCH:.3f} in"
    return f"{abs(one.value):.2f} mm"


def _rounded(value: float, beside: float) -> str:
    """Return a number to the second digit of what it is unsure by."""
    if not beside:
        return f"{value:g}"
    places = max(0, 1 - floor(log10(abs(beside))))
    return f"{value:.{places}f}"


def _says(outcome: MeasureOutcome, machine: Machine | None, display: Display) -> tuple[str, str]:
    own, words = FAMILY.get(outcome.kind, outcome.kind), _words()
    row = words["any"][outcome.case] if outcome.case in words["any"] else words[own][outcome.case]
    fields = {name: _shown(one, display) for name, one in outcome.results.items()}
    fields |= {key: display.number(key, value, "mm") for key, value in outcome.numbers.items()}
    fields |= _more(outcome, machine, display)
    return row["says"].format_map(fields), row["do"].format_map(fields)


def _more(outcome: MeasureOutcome, machine: Machine | None, display: Display) -> dict[str, str]:
    """Return the words that some sentences need."""
    numbers, results = outcome.numbers, outcome.results

    def length(name: str) -> str:
        return display.length(float(numbers.get(name, 0.0)))

    told = [name for name in str(numbers.get("names", "")).split(", ") if name in results]
    unsure = [name for name in results if name not in told and isinstance(results[name], Measured)]
    entries = card_entries_of(outcome, machine)
    first = results.get("scale_ppm") or results.get("square_mrad")
    ahead = isinstance(first, Measured) and first.value > 0
    foot = results.get("foot_shift_mm")
    shift = display.length(abs(foot.value)) if isinstance(foot, Measured) else ""
    spring = results.get("spring_force_n")
    mixed = [name for name in outcome.cannot_tell if name.startswith(("bit", "square"))]
    return {
        "axis": (outcome.axis or "").upper(),
        "more": "too far" if ahead else "too short",
        "steps": next((steps_text(value) for value in entries.values()), "the new"),
        "unit": "inch" if any(key.endswith("inch") for key in entries) else "mm",
        "most": length("most_mm"),
        "spring": f" Its nut gives way at {_shown(spring, display)}." if spring is not None else "",
        "foot": shift,
        "over": length("over_mm"),
        "move": f"At the back it stands {shift} too far to the {'right' if ahead else 'left'}: turn it back by that.",
        "rises": length("rises_mm"),
        "across": length("across_mm"),
        "axis_name": str(numbers.get("bolts", "")).upper(),
        "shim": _thickness(results["shim_mm"], display) if "shim_mm" in results else "",
        "bad": length("bad_mm"),
        "told": _list(told, results, display),
        "told_or_nothing": _list(unsure or told, results, display) or "nothing",
        "unsure": _list(unsure, results, display) or "nothing",
        "all": _list(list(results), results, display),
        "mixed": ", ".join(NAMES[name] for name in outcome.cannot_tell),
        "missing": MISSING[mixed[0].split("_")[0] if mixed else ""],
    }


def _list(names: list[str], results: Mapping[str, Measured | Extreme], display: Display) -> str:
    return ", ".join(f"{_named(name)} {_shown(results[name], display)}" for name in names)

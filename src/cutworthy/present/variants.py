"""Machines with other parts, in documents and on pages: a what-if, upgrades, a table of variations."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Literal

from cutworthy.model.findings import Finding
from cutworthy.model.program import Level
from cutworthy.model.variants import Change, Difference, Leaf, Upgrade, Upgrades, Variant, WhatIf
from cutworthy.present.document import finding_document
from cutworthy.present.page import MARKS, Line
from cutworthy.present.plain import plain
from cutworthy.present.sentences import LEVELS, says_and_do
from cutworthy.present.settings_document import axes_document, joined_findings
from cutworthy.present.show import Display, significant, steps_text
from cutworthy.present.sums import digits
from cutworthy.units import MM_PER_INCH, S_PER_MIN

__all__ = [
    "differing",
    "upgrades_document",
    "upgrades_page",
    "variations_document",
    "variations_page",
    "what_if_document",
    "what_if_page",
]

Units = Literal["mm", "inch"]

DIGITS = 7  # of a table that builders with rules of either kind read
COARSE = ("rpm", "Hz", "A")
VALUE, CHANGE = 20, 42  # widths of columns; no line is wider than 80

NO_GAIN = "None of the changes that were tried buys speed."
NO_SPEED = "None of them makes the torque enough. Are the labels of its motor on the card?"
RULES = {
    "pulse-rate": "pulse rate", "driver-pulse": "driver pulses", "whip": "whip", "torque": "pull",
    "full-torque": "full pull",
}  # fmt: skip
# The last parts of a key, and what stands there in plain words.
WORDS = {
    "supply.voltage": "supply", "control.pulse_rate": "pulse rate", "driver.microsteps": "microsteps",
    "drive.lead": "lead", "drive.teeth": "teeth", "drive.reduction": "reduction", "drive.ends": "screw ends",
    "drive.diameter": "screw", "drive.span": "span", "motor.holding_torque": "motor", "motor.inductance": "rewired",
    "moving_mass": "moving mass", "motors": "motors",
}  # fmt: skip
# What a what-if shows on a page: the last parts of the document's key, words, unit.
NUMBERS = (
    ("travel_per_turn_mm", "travel for a turn of the motor", "mm"),
    ("steps_per_mm", "steps per mm", ""), ("steps_per_inch", "steps per inch", ""),
    ("resolution_mm", "resolution", "mm"), ("relock_mm", "re-lock distance", "mm"),
    ("smallest_dependable_move_mm.expected", "repeatability", "mm"),
    ("speed_mm_min.entered", "speed entered", "mm/min"), ("speed_mm_min.advised", "speed advised", "mm/min"),
    ("speed_mm_min.ruled_by", "which is ruled by", ""),
    ("speed_mm_min.limits.pulse-rate", "limit of the control's pulses", "mm/min"),
    ("speed_mm_min.limits.driver-pulse", "limit of the driver's pulses", "mm/min"),
    ("speed_mm_min.limits.whip", "limit of whip", "mm/min"),
    ("speed_mm_min.limits.torque", "limit of the pull", "mm/min"),
    ("speed_mm_min.limits.full-torque", "end of the full pull", "mm/min"),
    ("acceleration_mm_s2.entered", "acceleration entered", "mm/s^2"),
    ("acceleration_mm_s2.advised", "acceleration advised", "mm/s^2"),
    ("torque_n_m.at_speed.low", "torque at speed, low", "N*m"), ("torque_n_m.needed.expected", "torque needed", "N*m"),
    ("thrust_n.standing.expected", "thrust standing", "N"), ("thrust_n.at_speed.expected", "thrust at speed", "N"),
    ("full_torque_rpm", "full pull up to", "rpm"), ("resonance_hz", "resonance", "Hz"),
    ("whip_rpm", "screw whips at", "rpm"), ("buckling_n", "screw buckles at", "N"),
    ("efficiency.raise", "efficiency", ""), ("back_drives", "turns back under load", ""),
    ("fall.falls", "falls without power", ""), ("braking_mm", "way to stop", "mm"),
    ("needed_a", "current of the supply", "A"),
)  # fmt: skip


def differing(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Difference, ...]:
    """Return what is different between two documents of the same shape."""
    old, new = dict(_leaves(before)), dict(_leaves(after))
    return tuple(
        Difference(key=key, before=old.get(key), after=new.get(key))
        for key in dict.fromkeys([*old, *new])
        if old.get(key) != new.get(key)
    )


def what_if_document(told: WhatIf, units: Units) -> dict[str, Any]:
    """Return the ``what_if`` of the document of ``settings``."""
    display = Display(units)
    return {
        "changes": {change.key: plain(change.to) for change in told.changes},
        "with": {change.key: plain(change.to) for change in told.others},
        "from": {change.key: _text(change.was) for change in told.changes},
        "axes": axes_document(told.settings),
        "findings": [finding_document(finding, display) for finding in told.findings],
        "differs": [{"key": each.key, "before": each.before, "after": each.after} for each in told.differences],
        "remarks": [{"key": plain(key), "says": plain(says)} for key, says in told.remarks],
        "brings": [_reference(finding) for finding in told.brings],
        "cures": [_reference(finding) for finding in told.cures],
    }


def what_if_page(told: WhatIf, units: Units) -> list[Line]:
    """Return what changes do to a machine: the numbers that are not the same, what is found now, what no longer."""
    lines = [Line(text="What if", style="strong")]
    for change in told.changes:
        was = "was not on the card" if change.was is None else f"was {plain(change.was)}"
        lines.append(Line(text=f"  {plain(change.key)} = {plain(change.to)}, {was}", indent=4))
    lines += [
        Line(text=f"  with {plain(step.key)} = {plain(step.to)}, which follows from the parts", indent=4)
        for step in told.others
    ]
    lines += [Line(text=f"  {plain(key)}: {plain(says)}", indent=4) for key, says in told.remarks]
    rows = list(_differences(told.differences, Display(units)))
    head = Line(text=f"{'':36}{'now':>{VALUE}}{'then':>{VALUE}}", style="quiet")
    lines += [Line(text=""), head, *rows] if rows else [Line(text="  It changes none of the numbers.")]
    left = {(finding.id, finding.about) for finding in told.findings if finding.level is not Level.NOTE}
    gone = [finding for finding in told.cures if (finding.id, finding.about) not in left]
    less = [finding for finding in told.cures if finding not in gone]
    groups = (("New", told.brings), ("Gone", gone), ("Less grave, but still to be looked at", less))
    for words, findings in groups:
        documents = joined_findings(finding_document(finding, Display(units)) for finding in findings)
        lines += [Line(text=""), Line(text=f"{words}:", style="strong")] if documents else []
        lines += [_finding(document) for document in documents]
    return lines


def upgrades_document(upgrades: Upgrades, units: Units) -> list[dict[str, Any]]:
    """Return the ``upgrades`` of the document of ``settings``."""
    return [
        {
            "key": row.change.key,
            "from": _text(row.change.was),
            "to": row.change.to,
            "axis": upgrades.axis,
            "gain_pct": significant(row.gain_pct),
            "used_pct": significant(row.used_pct),
            "with": {other.key: other.to for other in row.others},
            "advised_mm_min": significant(row.advised_mm_s * S_PER_MIN),
            "ruled_by": row.ruled_by,
            "brings": [_reference(finding) for finding in row.brings],
            "says": _says(row, upgrades, Display(units)),
        }
        for row in upgrades.rows
    ]


def upgrades_page(upgrades: Upgrades, units: Units) -> list[Line]:
    """Return what to buy next, and what not."""
    display = Display(units)
    lines = [Line(text="What to change next", style="strong")]
    if upgrades.axis is None:
        return [*lines, Line(text="  Nobody can tell: the card does not say how far any axis goes for a turn.")]
    entered, advised = _feeds(upgrades, display)
    says = f"{upgrades.axis.upper()} has the least room: {entered} entered, {advised} advised"
    lines.append(Line(text=f"  {says}, by {RULES[upgrades.ruled_by]}.", indent=2))
    if upgrades.advised_mm_s > upgrades.entered_mm_s:
        lines.append(Line(text="  More than is entered: enter more before you buy anything.", indent=2))
    if not upgrades.rows:
        return [*lines, Line(text=f"  {NO_GAIN if upgrades.advised_mm_s else NO_SPEED}", indent=2)]
    lines += [Line(text=""), Line(text=f"{'gain':>8}  {'change':<{CHANGE}}{'advised':>13}  by", style="quiet")]
    for row in upgrades.rows:
        speed, rule = display.feed(row.advised_mm_s * S_PER_MIN), RULES[row.ruled_by]
        lines.append(Line(text=f"{_gain(row.gain_pct):>8}  {_changed(row.change):<{CHANGE}}{speed:>13}  {rule}"))
        lines += [Line(text=f"{'':10}with {other.key} = {other.to}", style="quiet", indent=12) for other in row.others]
        lines += [Line(text=f"{'':10}{text}", indent=14) for text in _asks(row.brings, display)]
    return lines


def variations_document(rows: Iterable[Variant]) -> list[dict[str, Any]]:
    """Return the table of variations, speeds in both units."""
    return [
        {
            "axis": row.axis,
            "key": row.change and row.change.key,
            "from": row.change and _text(row.change.was),
            "to": row.change and row.change.to,
            "with": {other.key: other.to for other in row.others},
            "steps_per_mm": row.steps_per_mm and steps_text(row.steps_per_mm),
            "steps_per_inch": row.steps_per_inch and steps_text(row.steps_per_inch),
            "ruled_by": row.ruled_by,
            **{
                f"speed_{unit}_min": {
                    name: None if value is None else significant(value * S_PER_MIN / by)
                    for name, value in (
                        ("entered", row.entered_mm_s), ("advised", row.advised_mm_s), ("whip", row.whip_mm_s)
                    )
                }
                for unit, by in (("mm", 1.0), ("in", MM_PER_INCH))
            },
            "brings": [_reference(finding) for finding in row.brings],
        }
        for row in rows
    ]  # fmt: skip


def variations_page(rows: Iterable[Variant], units: Units) -> list[Line]:
    """Return the table for those who build the machine with other parts, speeds in one of the units."""
    per_mm, unit = (S_PER_MIN, "mm/min") if units == "mm" else (S_PER_MIN / MM_PER_INCH, "in/min")
    lines = [Line(text=f"With other parts: speeds in {unit}", style="strong")]
    head = f"{'':26}{'steps/mm':>10}{'steps/in':>10}{'advised':>10}  {'by':<13}{'whip':>9}"
    for row in rows:
        if row.change is None:
            entered = digits(row.entered_mm_s * per_mm, DIGITS)
            lines += [
                Line(text=""),
                Line(text=f"{row.axis.upper()}, {entered} {unit} entered", style="strong"),
                Line(text=head, style="quiet"),
            ]
        worst = min((finding.level for finding in row.brings), key=list(LEVELS).index, default=None)
        mark = f"[{MARKS[worst.value]}]" if worst else ""
        name = "as on the card" if row.change is None else f"{_words(row.change.key)} {row.change.to}"
        steps = [_digits(value, 1.0) for value in (row.steps_per_mm, row.steps_per_inch)]
        advised, whip = _digits(row.advised_mm_s, per_mm), _digits(row.whip_mm_s, per_mm)
        rule = RULES[row.ruled_by] if row.ruled_by else ""
        text = f"{mark:<4}{name:<22}{steps[0]:>10}{steps[1]:>10}{advised:>10}  {rule:<13}{whip:>9}"
        lines.append(Line(text=text, style=worst.value if worst else "plain"))
        lines += [
            Line(text=f"{'':8}{says_and_do(finding, Display(units))[0]}", style="quiet", indent=8)
            for finding in row.brings
        ]
    return lines


def _leaves(value: Any, key: str = "") -> Iterator[tuple[str, Leaf]]:  # noqa: ANN401 - a part of a document
    """Yield every number and text of a document with its dotted key, lists of numbers counted from 1."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _leaves(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list) and any(isinstance(each, str) for each in value):
        yield key, ", ".join(value)
    elif isinstance(value, list):
        for number, inner in enumerate(value, start=1):
            yield from _leaves(inner, f"{key}[{number}]")
    else:
        yield key, value


def _differences(differences: Iterable[Difference], display: Display) -> Iterator[Line]:
    """Yield the differences that people ask about, those of an axis together."""
    hidden = "steps_per_mm" if display.units == "inch" else "steps_per_inch"
    by_key = {each.key: each for each in differences}
    for place in ("axes.x", "axes.y", "axes.z", "supply"):
        name = place.removeprefix("axes.").upper() if place != "supply" else ""
        for key, words, unit in NUMBERS:
            each = by_key.get(f"{place}.{key}")
            if each is None or key == hidden:
                continue
            before, after = (
                "-" if value is None else RULES.get(str(value), _shown(value, unit, display))
                for value in (each.before, each.after)
            )
            if before != after:
                yield Line(text=f"{name:<4}{words:<32}{before:>{VALUE}}{after:>{VALUE}}")


def _shown(value: float | str, unit: str, display: Display) -> str:
    """Return a number in the machine's units; of turns and swings a few digits are enough."""
    coarse = unit in COARSE and isinstance(value, float)
    return f"{digits(float(value), 4)} {unit}" if coarse else display.number("", value, unit)


def _finding(document: dict[str, Any]) -> Line:
    level = Level(document["level"])
    text = f"  [{MARKS[level.value]}] {LEVELS[level]}  {document['says']} {document['do']}"
    return Line(text=text, style=level.value, indent=6)


def _says(row: Upgrade, upgrades: Upgrades, display: Display) -> str:
    """Return in a sentence what a change buys."""
    entered, before = _feeds(upgrades, display)
    axis, after = str(upgrades.axis).upper(), display.feed(row.advised_mm_s * S_PER_MIN)
    if row.gain_pct is None or row.used_pct is None:
        return f"{axis} may go {after}; without it there is not torque enough at any speed."
    if not round(row.gain_pct, 1):
        return f"It buys no speed: {axis} stays at {before}, ruled by {RULES[row.ruled_by]}."
    if not round(row.used_pct, 1):
        return f"{axis} may go {after} instead of {before}. At the {entered} entered it buys nothing."
    return f"{axis} may go {after} instead of {before}, then ruled by {RULES[row.ruled_by]}."


def _feeds(upgrades: Upgrades, display: Display) -> tuple[str, str]:
    return display.feed(upgrades.entered_mm_s * S_PER_MIN), display.feed(upgrades.advised_mm_s * S_PER_MIN)


def _gain(gain_pct: float | None) -> str:
    """Return a gain as wide as its column at most; one that would be shown as nothing is none."""
    if gain_pct is None:
        return "from 0"
    return f"{digits(gain_pct, 3)} %" if round(gain_pct, 1) else "none"


def _asks(findings: Iterable[Finding], display: Display) -> Iterator[str]:
    """Yield what is found in a sentence each, once for several axes."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        alike.setdefault((finding.id, finding.case), []).append(finding)
    for first, *more in alike.values():
        also = ", ".join(plain(each.about or "").upper() for each in more)
        says = says_and_do(first, display)[0]
        yield f"[{MARKS[first.level.value]}] {says}{f' So on {also}.' if also else ''}"


def _changed(change: Change) -> str:
    """Return a change in plain words, as wide as its column at most."""
    text = f"{_words(change.key)} {change.to}"
    whole = f"{text}, now {plain(change.was or 'nothing')}"
    return whole if len(whole) < CHANGE else text


def _words(key: str) -> str:
    return next((words for end, words in WORDS.items() if key == end or key.endswith(f".{end}")), plain(key))


def _reference(finding: Finding) -> dict[str, str | None]:
    """Return what is enough to find a finding again."""
    return {"id": finding.id, "level": finding.level.value, "about": _text(finding.about)}


def _text(text: str | None) -> str | None:
    return None if text is None else plain(text)


def _digits(value: Fraction | float | None, factor: float) -> str:
    if value is None:
        return "-"
    return digits(value if factor == 1.0 else float(value) * factor, DIGITS)

"""What stands in the notebook, and what changed between two cards, in words."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from cutworthy.present.page import MARKS, Line, Style
from cutworthy.present.plain import plain

__all__ = ["card_changes", "changes_page", "history_page", "local"]

STYLES: Mapping[str, Style] = {"go": "go", "ask": "ask", "no-go": "no-go"}


def local(at: str) -> str:
    """Return a moment of the notebook by the clock on the wall."""
    return datetime.fromisoformat(at).astimezone().strftime("%Y-%m-%d %H:%M")


def card_changes(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[dict[str, str | None]]:
    """Return each key that is not the same on two cards: before and after, None where it was not there."""
    before, after = _flat(old), _flat(new)
    return [
        {"key": key, "before": before.get(key), "after": after.get(key)}
        for key in sorted({*before, *after})
        if before.get(key) != after.get(key)
    ]


def changes_page(told: Mapping[str, Any]) -> list[Line]:
    """Return the page about what changed."""
    why = f" ({plain(told['reason'])})" if told["reason"] else ""
    lines = [Line(text=f"From {plain(told['from'])} to {plain(told['to'])}{why}", style="strong")]
    if not told["changes"]:
        return [*lines, Line(text="Nothing changed.")]
    for row in told["changes"]:
        key = plain(row["key"])
        if row["before"] is None:
            lines.append(Line(text=f"{key}: new, {plain(row['after'])}", indent=4))
        elif row["after"] is None:
            lines.append(Line(text=f"{key}: gone, it was {plain(row['before'])}", indent=4))
        else:
            lines.append(Line(text=f"{key}: was {plain(row['before'])}, is {plain(row['after'])}", indent=4))
    return lines


def history_page(entries: Sequence[Mapping[str, Any]], machine: str | None, *, has_older: bool) -> list[Line]:
    """Return the page of the history; ``has_older``: whether more stands in the notebook than these."""
    of = f" of {plain(machine)}" if machine else ""
    if not entries:
        hint = "Add --keep to prove or measure, or cutworthy note, and it is written down here."
        return [Line(text=f"The notebook has nothing{of} yet. {hint}")]
    lines = [Line(text=f"The notebook{of}, the newest first", style="strong")]
    lines += [_entry(entry, named=machine is None) for entry in entries]
    older = "Older entries stand in the notebook too: cutworthy export FOLDER writes all of them out."
    return [*lines, Line(text=older)] if has_older else lines


def _entry(entry: Mapping[str, Any], *, named: bool) -> Line:
    day = local(entry["at"])
    whose = f"{plain(entry['machine'])}: " if named and entry["machine"] else ""
    match entry["what"]:
        case "proof":
            verdict = entry["verdict"]
            text = f"[{MARKS[verdict]}] {verdict.upper()} {plain(entry['job'])} ({plain(entry['program'])})"
            return Line(text=f"{day}  {whose}{text}", style=STYLES[verdict], indent=18)
        case "sitting":
            axis = f" of {entry['axis'].upper()}" if entry["axis"] else ""
            text = (
                f"measured {plain(entry['kind'])}{axis}, {plain(str(entry['decision']))}: {plain(str(entry['says']))}"
            )
            return Line(text=f"{day}  {whose}{text}", indent=18)
        case "card":
            return Line(text=f"{day}  {whose}the card as it stood ({plain(entry['reason'])})", indent=18)
    return Line(text=f"{day}  {whose}{plain(str(entry.get('text', '')))}", indent=18)


def _flat(keys: Mapping[str, Any], above: str = "") -> dict[str, str]:
    """Return the keys of a card with dots, and what each says."""
    found = dict[str, str]()
    for key, value in keys.items():
        own = f"{above}{key}"
        if isinstance(value, Mapping) and not _is_number(value):
            found |= _flat(value, f"{own}.")
        else:
            found[own] = _said(value)
    return found


def _is_number(value: Mapping[str, Any]) -> bool:
    """Return whether a table is one number with what is known of it."""
    return "value" in value


def _said(value: object) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_said(own)}".removeprefix("value ") for key, own in value.items())
    if isinstance(value, list):
        return ", ".join(_said(own) for own in value)
    return str(value)

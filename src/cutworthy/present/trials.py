"""Test programs that were made and proved, as a document and as a page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from cutworthy.model.machine import Machine
from cutworthy.model.trial import ProvedTrial
from cutworthy.present.document import finding_document
from cutworthy.present.page import MARKS, Line, finding_lines
from cutworthy.present.plain import plain, typed
from cutworthy.present.sentences import CLOSING
from cutworthy.present.show import Display, significant

__all__ = ["ReadingsForm", "readings_form", "trials_document", "trials_page"]

HEADS = {
    "go": "Nothing speaks against running these in the air.",
    "ask": "Look at these first.",
    "no-go": "Not written: these must not be run.",
}
CUTTING = ("calibration", "surfacing", "test-piece")
NEXT = {
    "square": "Look at the corners of each square.",
    "calibration": (
        "Fill in slot.toml with the board and the bit you take, and prove it: cutworthy prove slot.toml. Cut it, and "
        "enter what the meter showed under [calibration] on the machine card, with cut_job."
    ),
    "repeat": "Read the indicator each time that it waits: the same within 0.03 mm, or 0.001 in.",
    "surfacing": "Feel across the rows: a ridge tells of the spindle's lean. Measure with cutworthy measure tram.",
    "test-piece": (
        "Measure each size and write it behind its row in test-piece.csv, then type: "
        "cutworthy measure test-piece test-piece.csv"
    ),
    "tram": "Write the heights down as readings of the kind flatness: cutworthy sheet readings flatness prints a form.",
    "travel": "Write down how far it went: readings of the kind scale.",
    "circle": "Measure both circles across.",
    "reversal": "Read the indicator before and after.",
}
# The form's own text may have no colon: "# instrument: phone" is a fact about all rows.
FORM = (
    "# Behind each comma, write how long that run took. Seconds as 312.4, or minutes and seconds as 5:12.4",
    "program,seconds",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsForm:
    """The file for the times of timing runs. ``lacks``: runs without a row in it."""

    file: str
    is_new: bool
    lacks: tuple[str, ...]


def readings_form(names: Iterable[str]) -> str:
    """Return a file of readings in which only the times are missing."""
    return "\n".join([*FORM, *(f"{name}," for name in names), ""])


def trials_document(
    kind: str, proved: Sequence[ProvedTrial], files: Sequence[str], units: Literal["mm", "inch"]
) -> dict[str, Any]:
    """Return what was made, and what was found about it."""
    display = Display(units)
    verdicts = [each.verdict.value for each in proved]
    told: dict[tuple[str, str | None, str], dict[str, Any]] = {}
    for each in proved:
        for finding in each.findings:
            document = finding_document(finding, display)
            if document["line"] is not None and len(proved) > 1:
                document["says"] = f"{each.trial.name}: {document['says']}"
            told.setdefault((finding.id, finding.about, finding.level.value), document)
    return {
        "kind": kind,
        "verdict": next(level for level in ("no-go", "ask", "go") if level in verdicts),
        "files": list(files),
        "programs": [
            {
                "name": each.trial.name,
                "room_mm": [significant(far) for far in each.trial.room_mm],
                "time_s": {
                    "low": significant(each.outcome.time_low_s),
                    "expected": significant(each.outcome.timing.expected_s),
                    "high": significant(each.outcome.time_high_s),
                },
                "digest": each.outcome.digest,
            }
            for each in proved
        ],
        "findings": list(told.values()),
    }


def trials_page(told: dict[str, Any], machine: Machine, card: str, form: ReadingsForm | None) -> list[Line]:
    """Return the page about test programs: verdict, what was found, where they are, what to do with them.

    ``form``: the file for the times, of timing runs.
    """
    verdict, display = told["verdict"], Display(machine.units)
    lines = [
        Line(text=f"[{MARKS[verdict]}] {verdict.upper()}: {HEADS[verdict]}", style=verdict),
        Line(text=f"Test programs for {plain(machine.name)} ({plain(card)})", style="quiet"),
        Line(text=""),
    ]
    for finding in sorted(told["findings"], key=lambda each: each["about"] != "zero"):  # the room comes first
        lines += finding_lines(finding)
    for program in told["programs"]:
        wide, deep, high = (display.length(far) for far in program["room_mm"])
        low, slow = (display.time(program["time_s"][end]) for end in ("low", "high"))
        goes = f"goes from its zero {wide} to the right, {deep} to the back, {high} up"
        lines.append(Line(text=f"Program    {program['name']} {goes}; takes {low} to {slow}", indent=11))
    lines += [Line(text=f"Written    {file}", indent=11) for file in told["files"]]
    if told["files"]:
        lines += _what_now(told["kind"], card, form)
    return [*lines, Line(text=""), Line(text=CLOSING, style="strong")]


def _what_now(kind: str, card: str, form: ReadingsForm | None) -> list[Line]:
    """Return what to do with the programs."""
    unplugged = "" if kind in CUTTING else " Router unplugged, bit out, hand on the stop."
    read = f"Open each in a text editor and read its head first.{unplugged}"
    if form is None:
        return [Line(text=f"First      {read}", indent=11), Line(text=f"Then       {NEXT[kind]}", indent=11)]
    lines = [Line(text=f"Written    {form.file}", indent=11)] if form.is_new else []
    lines.append(Line(text=f"First      {read}", indent=11))
    times = f"Time each with a phone, and write the times into {form.file}, behind the comma of its row."
    lines.append(Line(text=f"Then       {times}", indent=11))
    lines += [Line(text=f"Add        this row to {form.file}: {name},", indent=11) for name in form.lacks]
    command = f"cutworthy measure time {typed(form.file)} --machine {typed(card)}"
    return [*lines, Line(text=f"Type       {command}", indent=11, style="strong")]

"""What to enter for a machine, and why, as one page of lines for a terminal or a text file."""

from collections.abc import Mapping, Sequence
from typing import Any

from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.settings import AxisSettings, MachineSettings
from cutworthy.present.boxes import Box, boxes, turn_line
from cutworthy.present.facts import Fact, facts, supply_fact
from cutworthy.present.page import MARKS, Line, Style, finding_lines, remark_line, working_lines
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING
from cutworthy.present.settings_document import joined_findings, joined_names
from cutworthy.present.sums import Shown

__all__ = ["settings_page"]

HEADS: Mapping[str, str] = {
    "go": "These numbers fit the parts, as far as cutworthy can know.",
    "ask": "Look at these first, then enter the numbers below.",
    "no-go": "Do not run the machine with these numbers.",
}
STYLES: Mapping[str, Style] = {"go": "go", "ask": "ask", "no-go": "no-go"}
CAUTIONS = (
    "First day: router unplugged, bit out, a block under Z. Plus goes: X right, Y away from you, Z up.",
    "Power off before you touch a motor's plug, a driver's switch or a wire.",
    "Keep hands away from moving axes: they push as hard as stands above, and feel nothing.",
    "Mains wiring belongs to a licensed electrician; local codes rule.",
)
NOT_CHECKED = "whether these parts are on the machine, sound and well fastened, and the wires where they should be"
MORE = "The sheet adds what to touch, what to leave, and what you see if a number is wrong: cutworthy sheet numbers"
LABEL = 22  # width of the names in front of the numbers
COLUMN = 18
UNKNOWN = "not known"
STEPS: Mapping[str, str] = {"mm": " steps per mm", "in": " steps per inch"}
STOPPED: Mapping[str, str] = {"spindle": "the router", "motors": "the motors"}
FALLS: Mapping[str, str] = {"yes": "falls", "no": "stays up", "unsure": "may fall"}


def settings_page(
    document: dict[str, Any], machine: Machine, settings: MachineSettings, *, verdict: str, working: bool
) -> list[Line]:
    """Return the page of a machine: findings, what to enter, what is true of each axis, why, cautions.

    ``document`` is that of the same settings; it gives findings, remarks and the working.
    """
    shown = Shown(machine.units)
    every = {name: boxes(machine.axes[name], axis, shown) for name, axis in settings.axes.items()}
    lines = [
        Line(text=f"[{MARKS[verdict]}] {verdict.upper()}: {HEADS[verdict]}", style=STYLES[verdict]),
        Line(text=f"What to enter for {plain(machine.name)}, and why", style="quiet"),
        Line(text=""),
    ]
    for finding in joined_findings(document["findings"]):
        lines += finding_lines(finding)
    lines += _table(settings, shown, every, {n: facts(machine.axes[n], a, shown) for n, a in settings.axes.items()})
    lines += [Line(text=""), Line(text="Why", style="strong")]
    lines += _reasons({name: _why(machine, settings, name, every[name], shown) for name in settings.axes})
    lines += _rest(machine, settings, document)
    lines += [remark_line(remark) for remark in document["remarks"]]
    lines += working_lines(document["working"]) if working else []
    lines += [Line(text=""), Line(text=f"Not checked: {NOT_CHECKED}."), Line(text=f"{MORE}.")]
    return [*lines, Line(text=CLOSING, style="strong")]


def _table(
    settings: MachineSettings,
    shown: Shown,
    every: Mapping[AxisName, Sequence[Box]],
    true: Mapping[AxisName, Sequence[Fact]],
) -> list[Line]:
    """Return the numbers of all axes side by side: first what to enter, then what is true of them."""
    rows = [("", [name.upper() for name in every])]
    first, *others = zip(*every.values(), strict=True)
    for unit, cells in (
        (shown.unit, [box.enter.first if box.enter else UNKNOWN for box in first]),
        (shown.other, [box.enter.second if box.enter else UNKNOWN for box in first]),
    ):
        rows.append(
            (f"Steps per {'inch' if unit == 'in' else unit}", [cell.removesuffix(STEPS[unit]) for cell in cells])
        )
    for row in others:
        cells = [box.enter.first if box.enter else _short(box.unknown) for box in row]
        rows.append(_with_unit(f"{row[0].touch.name}, ", cells))
    for number, fact in enumerate(next(iter(true.values()))):
        values = [column[number].value for column in true.values()]
        rows.append(_with_unit(f"{fact.name}, ", [value.first if value else UNKNOWN for value in values]))
    rows.append(("Without power", [_falls(axis) for axis in settings.axes.values()]))
    lines = [Line(text=_row(name, cells), indent=LABEL) for name, cells in rows]
    return [Line(text=lines[0].text, style="strong"), *lines[1:]]


def _short(unknown: str) -> str:
    """Return what is not known, or shall not be typed, as short as a column is wide."""
    return unknown.split(":", maxsplit=1)[0].replace(" that help", "").replace("leave them off", "leave off")


def _with_unit(name: str, cells: Sequence[str]) -> tuple[str, list[str]]:
    """Return a row with the unit that its known cells have in common behind its name instead."""
    known = [cell for cell in cells if cell[:1].isdigit() or cell[:1] == "-"]
    if not known:
        return name.removesuffix(", "), list(cells)
    unit = known[0].split(" ")[-1]
    return f"{name}{unit}", [cell.removesuffix(f" {unit}") for cell in cells]


def _falls(axis: AxisSettings) -> str:
    if axis.axis != "z":
        return "stays"
    return FALLS[axis.fall.falls] if axis.fall else UNKNOWN


def _row(name: str, cells: Sequence[str]) -> str:
    return (f"{name:<{LABEL}}" + "".join(f"{cell:<{COLUMN}}" for cell in cells)).rstrip()


def _why(machine: Machine, settings: MachineSettings, name: AxisName, rows: Sequence[Box], shown: Shown) -> list[str]:
    own = machine.axes[name]
    steps = rows[0]
    motors = f", {own.motors} motors" if own.motors > 1 else ""
    told = [f"{turn_line(own.drive, settings.axes[name], shown)}{motors}"]
    turn = settings.axes[name].travel_per_turn_mm
    if turn is not None:
        told += [f"Check: ten turns of the motor carry it {shown.length(10 * turn, 6).first}."]
    told += [steps.sums[0] if steps.sums else f"Steps: {steps.unknown}"]
    for box in rows[1:]:
        why = "; ".join(text.rstrip(".") for text in (box.decides or box.unknown, box.note) if text)
        told += [f"{box.touch.name}: {why}."]
    return told


def _reasons(why: Mapping[AxisName, Sequence[str]]) -> list[Line]:
    """Return the reasons, those of axes that have the same told once."""
    groups: dict[tuple[str, ...], str] = {}
    for name, told in why.items():
        key = tuple(told)
        groups[key] = joined_names(groups[key], name.upper()) if key in groups else name.upper()
    lines = []
    for told, names in groups.items():
        lines += [
            Line(text=f"{names if number == 0 else '':<{LABEL}}{text}", indent=LABEL)
            for number, text in enumerate(told)
        ]
    return lines


def _rest(machine: Machine, settings: MachineSettings, document: dict[str, Any]) -> list[Line]:
    fact = supply_fact(machine, settings)
    lines = [Line(text=f"{fact.name:<{LABEL}}{fact.says}", indent=LABEL)]
    rows = document["wiring"]["rows"]
    if rows:
        wrong = sum(not row["ok"] for row in rows)
        said = f"{len(rows)} signals, {f'{wrong} of them wrong' if wrong else 'all on pins that can carry them'}"
        lines.append(Line(text=f"{'Wiring':<{LABEL}}{said}", indent=LABEL))
    lines.append(Line(text=f"{'Emergency stop':<{LABEL}}{_stop(machine, settings)}", indent=LABEL))
    names = ["Caution"] + [""] * (len(CAUTIONS) - 1)
    return lines + [
        Line(text=f"{name:<{LABEL}}{text}", indent=LABEL) for name, text in zip(names, CAUTIONS, strict=True)
    ]


def _stop(machine: Machine, settings: MachineSettings) -> str:
    """Return what the emergency stop cuts, and what then happens to Z."""
    stop = machine.estop
    if stop is None or stop.cuts is None:
        return "what it cuts is not on the card"
    cut = " and ".join(STOPPED[each] for each in stop.cuts) or "nothing"
    if "motors" not in stop.cuts:
        return f"cuts {cut}"
    return f"cuts {cut}; Z then {'is held' if stop.holds_z else _falls(settings.axes['z'])}"

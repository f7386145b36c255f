"""The outcome as one page of lines for a terminal or a text file."""

from dataclasses import dataclass
from typing import Any, Literal

from cutworthy.model.program import Level
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING, LEVELS, VERDICTS, few_keys
from cutworthy.present.show import Display
from cutworthy.reference.tables import limit

__all__ = [
    "MARKS",
    "SLIVER",
    "UNITS",
    "Line",
    "Style",
    "finding_lines",
    "one_line",
    "page",
    "remark_line",
    "working_lines",
]

Units = Literal["mm", "inch"]
Style = Literal["go", "ask", "no-go", "note", "plain", "quiet", "strong"]
UNREAD = ("bad-line", "number-missing", "unknown-word", "truncated")
NEARLY_ALL = 0.95
SLIVER = 2**0.5  # of the pitch: what is thicker has the middle of a cell in it
WIDE = 1.05  # of the shortest time: from here on a person asks why
TIMED = ("control.corner_tolerance", "control.block_rate")  # what timed runs tell with the corner rule
BRACKET = "that wide because of what the card guesses or leaves out: {keys}"
KNOB = (75, 125, 150)  # where people turn the feed override, in percent
CAUSES = ("units-suspect", "zero-suspect", "arc-format", "wood-unknown")
BY = {"bit": "bit", "chip": "chip", "spindle": "spindle", "x": "push X", "y": "push Y", "z": "push Z"}
MARKS = {"no-go": "X", "ask": "?", "note": "i", "go": "+"}
UNITS = {
    "mm": "millimetres (G21)",
    "inch": "inches (G20)",
    "mixed": "both inches and millimetres",
    "unstated": "the program does not say",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of the page: text, how it looks, and how far wrapped text is indented.

    ``style`` never says what the words do not.
    """

    text: str
    style: Style = "plain"
    indent: int = 0


def page(document: dict[str, Any], *, job: str, machine: str, units: Units, worst: bool = False) -> list[Line]:
    """Return the page of a proven job: verdict, reasons, what it will do, what was not checked.

    Parameters
    ----------
    document
        Of the proven job.
    job, machine
        Their names.
    units
        To show numbers in.
    worst
        Whether the lines that come nearest to a limit are told.
    """
    verdict = document["verdict"]
    lines = [
        Line(text=f"[{MARKS[verdict]}] {verdict.upper()}: {VERDICTS[verdict]}", style=verdict),
        Line(text=f"{plain(job)} on {plain(machine)}", style="quiet"),
        Line(text=""),
    ]
    # What may be the cause of all the others comes first.
    for finding in sorted(document["findings"], key=lambda finding: finding["id"] not in CAUSES):
        lines += finding_lines(finding)
    if any(finding["id"] in UNREAD and finding["level"] == "no-go" for finding in document["findings"]):
        lines.append(Line(text="As far as it could be read, and not to be relied on:"))
    lines += [Line(text=text, indent=11) for text in _will_do(document, Display(units))]
    lines += [remark_line(remark) for remark in document["remarks"]]
    lines += _worst(document["worst_lines"], Display(units)) if worst else []
    lines += working_lines(document["working"]) if "working" in document else []
    lines += [Line(text=""), Line(text=f"Not checked: {'; '.join(row['says'] for row in document['not_checked'])}.")]
    lines += [Line(text=CLOSING, style="strong")]
    return lines


def one_line(document: dict[str, Any], machine: str) -> Line:
    """Return the outcome on one of several machines: verdict and gravest reason."""
    verdict = document["verdict"]
    reason = document["findings"][0]["says"] if document["findings"] else VERDICTS[verdict]
    return Line(text=f"[{MARKS[verdict]}] {verdict.upper()}  {plain(machine)}: {reason}", style=verdict, indent=4)


def remark_line(remark: dict[str, Any]) -> Line:
    """Return how a key of a card was read."""
    place = f"{remark['card']}, line {remark['line']}" if remark["line"] else remark["card"]
    return Line(text=f"Card       {place}, {remark['key']}: {remark['says']}", indent=11)


def working_lines(steps: list[dict[str, Any]]) -> list[Line]:
    """Return the working, one step to a paragraph."""
    lines = [Line(text=""), Line(text="Working", style="strong")]
    for step in steps:
        inputs = ", ".join(
            f"{name} {given['value']} {given['unit']} ({given['origin']})" for name, given in step["inputs"].items()
        )
        lines.append(Line(text=f"{step['name']} = {step['formula']} = {step['value']} {step['unit']}", indent=4))
        lines.append(Line(text=f"    {inputs}; source: {step['source']}", style="quiet", indent=4))
    return lines


def finding_lines(finding: dict[str, Any]) -> list[Line]:
    """Return what was found and what to do, and an empty line."""
    level = finding["level"]
    head = f"[{MARKS[level]}] {LEVELS[Level(level)]}  "
    reading = "" if finding["reading"] == "practice" else f" (read as: {finding['reading']})"
    return [
        Line(text=f"{head}{finding['says']}{reading}", style=level, indent=4),
        Line(text=f"    {finding['do']} ({finding['id']})", indent=4),
        Line(text=""),
    ]


def _push(document: dict[str, Any], display: Display) -> list[str]:
    """Return what the edges take, what the axes have to spare, and how far the knob may be turned."""
    rows, chip, knob = [], document["chip_mm"], document["override_pct"]
    if chip is not None:
        least, most = (display.fine_length(chip[end]) for end in ("low", "high"))
        rows.append(f"Chip       {least} to {most} for each edge")
    known = {axis: own for axis, own in document["margin"].items() if own is not None}
    if known:
        axis = min(known, key=lambda name: known[name]["expected"])
        own = known[axis]
        rows.append(
            f"Push       the axes have {own['expected']:.2g} times what the cut asks for, or more ({axis.upper()}, "
            f"line {own['line']}); at worst {own['low']:.2g} times"
        )
    if known or chip is not None:
        rows.append(_force(document["force"]))
    rows += [_sizes(sizes, display) for sizes in document["sizes_mm"]]
    if knob is not None:
        rows.append(
            f"Range      with the feed knob from {knob['low']:.0f} to {knob['high']:.0f} % chip, bit, spindle and "
            "axes stay in order"
        )
    elif chip is not None:
        rows.append("Range      no setting of the feed knob keeps chip, bit, spindle and axes in order")
    return rows


def _force(force: dict[str, Any]) -> str:
    """Return how well the force is known on which push and power rest."""
    low, high = (force["of_expected"][end] for end in ("low", "high"))
    band = f"between {low:.2g} and {high:.2g} times what is expected"
    meter = force["by_meter"]
    if meter is None or not meter["fits"]:
        return f"Force      known {band}, from printed tests; a power meter narrows it: cutworthy trial calibration"
    where = "" if meter["same_wood"] else " in another wood"
    return f"Force      {meter['expected']:.2g} times that of printed tests by your power meter{where}, {band}"


def _sizes(sizes: dict[str, Any], display: Display) -> str:
    """Return what pockets and plugs come out at."""
    told = [
        f"{what}s {display.change(sizes[what]['low'])} to {display.change(sizes[what]['high'])}"
        for what in ("pocket", "plug")
    ]
    of = "4 in" if display.units == "inch" else "100 mm"
    bit = f"bit {sizes['tool']}" if sizes["tool"] else "the bit"
    return (
        f"Sizes      {bit}, on {of}: {', '.join(told)}; for a plug to go into its pocket, draw it "
        f"{display.length(sizes['room'])} smaller"
    )


def _worst(rows: list[dict[str, Any]], display: Display) -> list[Line]:
    """Return the lines that come nearest to a limit."""
    head = Line(text="The lines that come nearest to a limit, and how much of what is safe they use:", style="strong")
    told = [
        Line(
            text=f"line {row['line']:>7}  {BY[row['by']]:<8} {_percent(row['share'])}  at {_at(row['at_mm'], display)}",
            indent=4,
        )
        for row in rows
    ]
    return [Line(text=""), head, *told]


def _percent(share: float | None) -> str:
    return "beyond" if share is None else f"{100 * share:>4.0f} %"


def _at(place: list[float], display: Display) -> str:
    return " ".join(f"{axis}{display.place(value)}" for axis, value in zip("XYZ", place, strict=True))


def _will_do(document: dict[str, Any], display: Display) -> list[str]:
    """Return what the program will do, as understood, each in one line."""
    room = document["clearance_mm"]
    rows = _program(document["program"], display)
    rows += _time(document, display)
    wood = document["removal"]
    if wood["volume_mm3"]:
        sliver = display.length(SLIVER * wood["pitch_mm"])
        rows.append(
            f"Wood       about {display.volume(wood['volume_mm3'])} is cut away; looked at every "
            f"{display.length(wood['pitch_mm'])}, so slivers thinner than {sliver} may be missed"
        )
    rows += _push(document, display)
    if room["clamp"] is not None:
        near = document["nearest"]["clamp"]
        gap = _room(room["clamp"], "clear of", "into", display)
        missing = [part for part in ("nut", "body") if part not in document["told_of"]]
        without = f"; {' and '.join(missing)} not on the card" if missing else ""
        rows.append(f"Clamps     {near['part']} {gap} “{near['thing']}”, line {near['line']}{without}")
    if room["travel"] is not None:
        tight = document["nearest"]["travel"]
        gap = _room(room["travel"], "to spare", "beyond its end", display)
        rows.append(f"Travel     {tight['axis'].upper()} {gap}, line {tight['line']}")
    guesses = document["guesses"]
    rows.append(f"Guesses    {guesses['count']} of the {guesses['of']} numbers it goes by")
    return rows


def _time(document: dict[str, Any], display: Display) -> list[str]:
    """Return how long it takes, what that rests on, and what the knob for the feed buys."""
    low, expected, high = (display.time(document["time_s"][key]) for key in ("low", "expected", "high"))
    pace = document["pace"]
    changes = pace["bit_changes_left_out"]
    without = f", without {changes} bit change{'' if changes == 1 else 's'}" if changes else ""
    told = f"about {expected}" if low == high else f"about {expected}, between {low} and {high}"
    rows = [f"Time       {told}{without}"]
    if not pace["corners_known"]:
        rounding = display.length(pace["corner_tolerance_mm"])
        rows.append(
            "Corners    how your control takes them is not on the card; the time expected is for a rounding of "
            f"{rounding}. Two timed runs tell: cutworthy trial timing"
        )
    keys = [key for key in pace["open"] if pace["corners_known"] or key not in TIMED]
    if keys and document["time_s"]["high"] > WIDE * document["time_s"]["low"]:
        rows.append(f"Bracket    {BRACKET.format(keys=few_keys(', '.join(keys)))}")
    steps = [step for step in pace["knob"] if step["pct"] in KNOB]
    if any(step["follows_ratio"] for step in steps):
        rows.append("Knob       the feed turned to " + "; to ".join(_knob(step, display) for step in steps))
    return rows


def _knob(step: dict[str, Any], display: Display) -> str:
    """Return what the feed override does at a number, and how much of the cutting follows unless nearly all."""
    follows = step["follows_ratio"]
    only = "" if follows >= NEARLY_ALL else f" (only {100 * follows:.0f} % of the cutting follows)"
    if step["growl_s"] > limit("growl_time").value:
        only += f" ({display.time(step['growl_s'])} of it near a growl)"
    return f"{step['pct']} %: {display.time(step['time_s'])}{only}"


def _program(program: dict[str, Any], display: Display) -> list[str]:
    """Return what a program does, as understood."""
    rows = [f"Units      {UNITS[program['units']]}"]
    cut = program["extents_mm"]["cut"]
    if cut is not None:
        spans = [display.length(high - low) for low, high in zip(*cut, strict=True)]
        lowest = display.length(cut[0][2])
        rows.append(
            f"Size       the bit's middle goes over {spans[0]} by {spans[1]}; lowest point Z {lowest} from zero"
        )
    else:
        rows.append("Size       the program cuts nothing: is it the right file?")
    if program["tools"]:
        rows.append(f"Bits       {', then '.join(str(tool) for tool in program['tools'])}")
    return rows


def _room(room_mm: float, left: str, beyond: str, display: Display) -> str:
    return f"{display.length(abs(room_mm))} {left if room_mm >= 0 else beyond}"

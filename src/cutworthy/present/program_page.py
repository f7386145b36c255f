"""What a program says on its own, as one page: what is wrong with it, the facts, its moves in words."""

from collections.abc import Iterable, Iterator, Sequence

from cutworthy.model.findings import Finding
from cutworthy.model.program import Extents, Level, Program
from cutworthy.model.summary import ReadOutcome, Summary
from cutworthy.present.moves import move_lines
from cutworthy.present.page import MARKS, UNITS, Line, Style
from cutworthy.present.plain import plain
from cutworthy.present.sentences import LEVELS, says_and_do
from cutworthy.present.show import Display
from cutworthy.present.zero import zero_says

__all__ = ["program_page"]

TOLD = 10  # problems; more of them no page can hold
NAMED = 6  # changes of bit
INDENT = 11  # of what stands beside its word
STYLES: dict[Level, Style] = {Level.NO_GO: "no-go", Level.ASK: "ask", Level.NOTE: "note"}
THROUGHOUT = "Every line could be read. That does not say that it is safe to cut."
ALONE = (
    "This reads the program alone. Whether it is fit to cut depends on machine, board, bit, clamps and zero: prove it."
)


def program_page(outcome: ReadOutcome, name: str, *, every_move: bool) -> Iterator[Line]:
    """Yield the page of a program read on its own.

    Parameters
    ----------
    outcome
        What was read.
    name
        The name of the file, as data.
    every_move
        Whether all moves follow in words, one by one, instead of the first and the last.
    """
    program, display = outcome.program, Display("inch" if outcome.program.units == "inch" else "mm")
    yield Line(text=plain(name), style="strong")
    yield Line(text="")
    yield from _problems(outcome.findings, display)
    yield Line(text="")
    if program.end_mm is None and len(program.track):
        yield Line(text="As far as it could be read:")
    for word, text in _facts(outcome, display):
        yield Line(text=f"{word:<{INDENT}}{text}", indent=INDENT)
    yield Line(text="")
    yield from _all_moves(program, display) if every_move else _ends(outcome.summary, display)
    if len(program.track):
        yield Line(text=ALONE, style="strong")


def _problems(findings: Sequence[Finding], display: Display) -> Iterator[Line]:
    """Yield what could not be read or is in doubt, gravest first, with what to do about all but notes."""
    if all(finding.level == Level.NOTE for finding in findings):
        yield Line(text=THROUGHOUT)
    for finding in findings[:TOLD]:
        says, do = says_and_do(finding, display)
        mark = f"[{MARKS[finding.level.value]}] {LEVELS[finding.level]}"
        yield Line(text=f"{mark}  {says}", style=STYLES[finding.level], indent=4)
        if finding.level != Level.NOTE:
            yield Line(text=f"    {do} ({finding.id})", indent=4)
    more = len(findings) - TOLD
    if more > 0:
        yield Line(text=f"    And {more} more: --json lists them all.", indent=4)


def _facts(outcome: ReadOutcome, display: Display) -> Iterator[tuple[str, str]]:
    """Yield what a program does, as understood: a word and what is said beside it."""
    program, summary = outcome.program, outcome.summary
    if not len(program.track):
        yield "Moves", f"none, in {_count(program.lines, 'line')}: it moves nothing"
        return
    yield "Units", UNITS[program.units] + ("" if program.units in ("mm", "inch") else "; shown in millimetres")
    if program.cut is None:
        yield "Cuts", "none: it only travels or waits"
    else:
        yield from _cut_facts(program.cut, outcome, display)
    yield "Bits", _bits(program.changes)
    if program.cut is not None:
        yield "Spindle", _spindle(summary)
        yield "Feed", _feed(summary, display)
    lengths = display.length(program.cut_length_mm), display.length(program.rapid_length_mm)
    yield "Length", f"{lengths[0]} cut, {lengths[1]} travelled"
    yield "Moves", f"{_count(len(program.track), 'move')} in {_count(program.lines, 'line')}"
    yield "End", _end(program, display)


def _cut_facts(cut: Extents, outcome: ReadOutcome, display: Display) -> Iterator[tuple[str, str]]:
    """Yield where zero is, and how large and how deep the cuts are."""
    across, along, _ = (high - low for low, high in zip(cut.low_mm, cut.high_mm, strict=True))
    yield "Zero", zero_says(cut, display)
    yield "Size", f"{display.length(across)} by {display.length(along)}"
    yield "Depth", _heights(outcome.summary, display) + _of_what(cut.low_mm[2], outcome)


def _heights(summary: Summary, display: Display) -> str:
    """Return how deep the cuts go and how high the bit."""
    assert summary.deepest_mm is not None  # there are cuts
    assert summary.highest_mm is not None
    deepest, highest = _height(summary.deepest_mm, "zero", display), _height(summary.highest_mm, "it", display)
    high = f"highest {highest}" if summary.highest_mm else "never above it"
    return f"lowest cut {deepest} (line {summary.deepest_line}), {high}"


def _of_what(lowest_mm: float, outcome: ReadOutcome) -> str:
    """Say what heights mean where they are not simply below the top of a board."""
    if outcome.with_lengths:
        return "; heights are the spindle's: the lengths you gave are added where the program asks for them (G43)"
    return "" if lowest_mm < 0 else "; no cut goes below zero: zero is the underside, or it cuts air"


def _height(value_mm: float, zero: str, display: Display) -> str:
    if value_mm == 0:
        return f"at {zero}"
    return f"{display.length(abs(value_mm))} {'below' if value_mm < 0 else 'above'} {zero}"


def _bits(changes: Sequence[tuple[int, int]]) -> str:
    """Return the bits in their order, with the lines on which they are called."""
    if not changes:
        return "none is called: it cuts with the one in the spindle"
    named = [f"{f'bit {tool}' if tool else 'no bit'} on line {line}" for line, tool in changes[:NAMED]]
    more = len(changes) - NAMED
    return ", then ".join(named) + (f", and {_count(more, 'more change')}" if more > 0 else "")


def _spindle(summary: Summary) -> str:
    """Return the speeds that are asked for while it cuts, and where the spindle is off or turns the other way."""
    told = [] if summary.rpm is None else [f"{_range(f'{summary.rpm[0]:g}', f'{summary.rpm[1]:g}')} rpm"]
    if summary.reversed_line is not None:
        told.append(f"turning the other way (M4) in a cut, first on line {summary.reversed_line}")
    if summary.off_line is not None:
        told.append(f"off in a cut, first on line {summary.off_line}")
    return "; ".join(told) or "no speed is given"


def _feed(summary: Summary, display: Display) -> str:
    if summary.feed_mm_min is None:
        return "none is given"
    low, high = (display.feed(feed) for feed in summary.feed_mm_min)
    return _range(low.split(" ")[0], high.split(" ")[0]) + " " + high.split(" ")[1]


def _range(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _end(program: Program, display: Display) -> str:
    """Return what the control would show after the last line."""
    if program.end_mm is None:
        return "not known"
    return " ".join(f"{axis} {display.place(value)}" for axis, value in zip("XYZ", program.end_mm, strict=True))


def _ends(summary: Summary, display: Display) -> Iterator[Line]:
    """Yield the first and the last moves in words, and an empty line."""
    first, last = summary.first, summary.last
    if not len(first):
        return
    every = summary.all_shown
    yield Line(text="All its moves" if every else "Its first moves")
    yield from _told(move_lines(first, display, begins=True))
    if not every:
        yield Line(text="Its last moves")
    yield from _told(move_lines(last, display, begins=False))
    yield Line(text="")


def _told(texts: Iterable[str]) -> Iterator[Line]:
    return (Line(text=f"  {text}", indent=6) for text in texts)


def _all_moves(program: Program, display: Display) -> Iterator[Line]:
    """Yield all moves in words, worked out piece by piece, and an empty line."""
    if not len(program.track):
        return
    yield Line(text="All its moves")
    for number, moves in enumerate(program.pieces()):
        yield from _told(move_lines(moves, display, begins=number == 0))
    yield Line(text="")


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"

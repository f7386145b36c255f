"""Are the bits that the program calls on the card, and what happens when one is changed?"""

from collections.abc import Iterator
from itertools import pairwise

from cutworthy.findings.registry import on_lines, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.program import Level

__all__: list[str] = []


@rule("bit-missing", Level.NO_GO, source="the bits on the job card")
def _bit_missing(facts: Facts) -> Iterator[Finding]:
    """The program calls a bit that is not on the card."""
    for tool in facts.program.tools:
        if tool and facts.bit(tool) is None:
            lines = [line for line, called in facts.program.changes if called == tool]
            numbers: Numbers = {"value": float(tool), "limit": None, "unit": ""}
            finding = Finding(id="bit-missing", level=Level.NO_GO, case="missing", about=f"bit {tool}", numbers=numbers)
            yield on_lines(finding, lines)


@rule("bit-change", Level.ASK, Level.NOTE, source="common practice, no source: touch off Z again after each change")
def _bit_change(facts: Facts) -> Iterator[Finding]:
    """Another bit is called in mid program: does the control wait, and is its length known?"""
    moves, first = facts.program.moves, facts.job.bits[0].tool
    cut_before = bool((moves.feeds & (moves.tool == 0)).any())  # with the card's first bit, before any call
    calls = [*([(0, first)] if cut_before else []), *facts.program.changes]
    lines = [line for (_, before), (line, tool) in pairwise(calls) if tool != before]
    if not lines:
        return
    control = facts.machine.control
    waits, touched_off = control.bit_change == "waits", control.lengths == "touched-off"
    level = Level.NOTE if waits and touched_off else Level.ASK
    case = control.bit_change if touched_off or not waits else f"lengths-{control.lengths}"
    yield on_lines(Finding(id="bit-change", level=level, case=case), lines)

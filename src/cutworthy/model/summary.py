"""What a person checks of a program before anything else."""

from dataclasses import dataclass

from cutworthy.model.findings import Finding
from cutworthy.model.program import Program, ProgramMoves

__all__ = ["ReadOutcome", "Summary"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """The heights, speeds and ends of a program, in the zero frame.

    ``deepest_mm``: the lowest point of a cut, reached first on ``deepest_line``; ``highest_mm``: the
    highest that the bit goes to. ``feed_mm_min``, ``rpm``: the least and the greatest that a cut asks
    for. ``off_line``, ``reversed_line``: where it first cuts with the spindle off, or turning
    counter-clockwise. All None where there is none. ``first`` and ``last``: a few moves of the begin
    and of the end, no move in both; ``all_shown``: there are no others between them.
    """

    deepest_mm: float | None
    deepest_line: int | None
    highest_mm: float | None
    feed_mm_min: tuple[float, float] | None
    rpm: tuple[float, float] | None
    off_line: int | None
    reversed_line: int | None
    first: ProgramMoves
    last: ProgramMoves
    all_shown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadOutcome:
    """A program read on its own: what it says, what a person checks first, and what is wrong, gravest first.

    ``with_lengths``: lengths of bits were given, so that heights are those of the spindle where the
    program takes them into account.
    """

    program: Program
    summary: Summary
    findings: tuple[Finding, ...]
    with_lengths: bool

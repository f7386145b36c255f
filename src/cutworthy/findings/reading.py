"""Findings about the words of the program: what the reader came upon, line by line."""

from collections.abc import Iterator
from functools import partial
from itertools import groupby

from cutworthy.findings.registry import ORDER, on_lines, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Level, Problem

__all__ = ["from_reader"]

REPORT = "NISTIR 6556"
PRACTICE = "common practice, no source"
# Ids that only the reader reports, with their levels and source.
RULES: tuple[tuple[str, tuple[Level, ...], str], ...] = (
    ("arc-format", (Level.ASK,), REPORT + ", 3.5.3.2"),
    ("arc-mismatch", (Level.NO_GO, Level.NOTE), REPORT + ", 3.5.3.2"),
    ("bad-line", (Level.NO_GO,), REPORT + ", 3.3"),
    ("endless", (Level.NO_GO,), PRACTICE),
    ("feed-missing", (Level.NO_GO,), REPORT + ", 3.5.19, and common practice, no source"),
    ("no-end", (Level.ASK,), REPORT + ", 3.1"),
    ("number-missing", (Level.NO_GO,), REPORT + ", 3.3.2"),
    ("practice", (Level.ASK, Level.NOTE), REPORT + " beside common practice"),
    ("probe", (Level.ASK,), REPORT + ", 3.5.9.1"),
    ("spindle-left-on", (Level.NOTE,), PRACTICE),
    ("stale-offset", (Level.ASK,), REPORT + ", 3.5.18"),
    ("truncated", (Level.NO_GO,), PRACTICE),
    ("units-changed", (Level.ASK,), REPORT + ", 4.3.3"),
    ("units-unstated", (Level.ASK,), REPORT + ", 3.5.7"),
    ("unknown-word", (Level.NO_GO,), REPORT + ", Table 3"),
)
# Ids whose culprit is a word of the program.
BY_QUOTE = ("not-supported", "unknown-word")


def from_reader(facts: Facts, rule_id: str) -> Iterator[Finding]:
    """Yield a finding for each culprit among the reader's problems of one id, with its worst line."""
    problems = sorted((p for p in facts.program.problems if p.id == rule_id), key=_group)
    for (_, _, about), group in groupby(problems, key=_group):
        same = list(group)
        worst = max(same, key=_size)
        finding = Finding(
            id=rule_id, level=worst.level, case=worst.case, about=about, numbers=worst.numbers, quote=worst.quote
        )
        yield on_lines(finding, [problem.line for problem in same], worst.line)


def _group(problem: Problem) -> tuple[int, str, str]:
    """Return level, case and culprit: what a sentence tells of one line must hold for all lines that it names."""
    if problem.id in BY_QUOTE:
        culprit = problem.quote
    else:
        named = [str(problem.numbers[key]) for key in ("letter", "code") if key in problem.numbers]
        culprit = " ".join([problem.case, *named])
    return ORDER.index(problem.level), problem.case, culprit


def _size(problem: Problem) -> float:
    """Return how far off a line is, where it is off by a number."""
    value = problem.numbers.get("value")
    return abs(value) if isinstance(value, float | int) else 0.0


for _id, _levels, _source in RULES:
    rule(_id, *_levels, source=_source)(partial(from_reader, rule_id=_id))

"""Findings about the words of the program: what the reader came upon, line by line."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from itertools import groupby

from cutworthy.findings.registry import ORDER, on_lines, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Level, Problem

__all__ = ["from_reader", "told_once"]

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
        yield _finding(list(group), about)


def told_once(problems: Iterable[Problem]) -> tuple[Finding, ...]:
    """Return a finding for each thing that the reader came upon, however many lines have it, gravest first.

    Unlike the findings of a job, one does for all the words of a letter that nothing knows: a person is told
    once. Where its lines quote different words, it quotes what they share, or the first of them.
    """
    ordered = sorted(problems, key=lambda problem: (problem.id, _kind(problem)))
    groups = [list(group) for _, group in groupby(ordered, key=lambda problem: (problem.id, _kind(problem)))]
    found = [_finding(same, " ".join(_kind(same[0])[2:])) for same in groups]
    told = [replace(each, quote=_shared_quote(same)) for each, same in zip(found, groups, strict=True)]
    return tuple(sorted(told, key=lambda each: (ORDER.index(each.level), each.line or 0, each.id, each.case)))


def _finding(same: list[Problem], about: str) -> Finding:
    """Return the finding of problems that are alike, with the numbers of the worst."""
    worst = max(same, key=_size)
    finding = Finding(
        id=worst.id, level=worst.level, case=worst.case, about=about, numbers=worst.numbers, quote=worst.quote
    )
    return on_lines(finding, [problem.line for problem in same], worst.line)


def _group(problem: Problem) -> tuple[int, str, str]:
    """Return level, case and culprit: what a sentence tells of one line must hold for all lines that it names."""
    culprit = problem.quote if problem.id in BY_QUOTE else " ".join([problem.case, *_named(problem)])
    return ORDER.index(problem.level), problem.case, culprit


def _kind(problem: Problem) -> tuple[str, ...]:
    """Return level, case and what a sentence names: of codes each, of other words their letter."""
    quoted = [problem.quote] if problem.id in BY_QUOTE and problem.case == "code" else []
    return str(ORDER.index(problem.level)), problem.case, *_named(problem), *quoted


def _named(problem: Problem) -> list[str]:
    return [str(problem.numbers[key]) for key in ("letter", "code") if key in problem.numbers]


def _shared_quote(same: list[Problem]) -> str:
    """Return what problems that are alike quote: the same words, else their letter, else the first with an ellipsis."""
    first = same[0].quote
    if all(problem.quote == first for problem in same):
        return first
    return str(same[0].numbers.get("letter") or f"{first}, …")


def _size(problem: Problem) -> float:
    """Return how far off a line is, where it is off by a number."""
    value = problem.numbers.get("value")
    return abs(value) if isinstance(value, float | int) else 0.0


def _no_end(facts: Facts) -> Iterator[Finding]:
    """Yield what the reader says of the program's end, and that a program that can be read never cuts."""
    yield from from_reader(facts, "no-end")
    unread = any(problem.level is Level.NO_GO for problem in facts.program.problems)
    if not unread and not facts.program.moves.feeds.any():
        yield Finding(id="no-end", level=Level.ASK, case="no-cuts", about="cuts")


for _id, _levels, _source in RULES:
    rule(_id, *_levels, source=_source)(_no_end if _id == "no-end" else partial(from_reader, rule_id=_id))

"""The registry of rules: a rule is one function that looks at facts and yields findings.

Some rules look at a job, the others at a machine alone.

Every rule states the id it may report, the levels it may give, the key of the limit it compares
with, and a source. One contract test runs over all of them.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeVar

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Verdict
from cutworthy.model.program import Level
from cutworthy.model.settings import Settled
from cutworthy.reference.tables import limit

__all__ = [
    "ORDER",
    "Rule",
    "judge",
    "judge_machine",
    "machine_rule",
    "merge",
    "on_lines",
    "point",
    "registered",
    "rule",
    "verdict",
]

Check = Callable[[Facts], Iterable[Finding]]
MachineCheck = Callable[[Settled], Iterable[Finding]]
AnyCheck = TypeVar("AnyCheck", bound=Callable[..., Iterable[Finding]])
Subject = Literal["job", "machine"]
ORDER: tuple[Level, ...] = (Level.NO_GO, Level.ASK, Level.NOTE)
SHOWN_LINES = 20

_rules: dict[str, "Rule"] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule. ``limit_key`` names a row of the limits, None where it compares with a card.

    ``subject``: whether ``check`` looks at a job or at a machine alone.
    """

    id: str
    subject: Subject
    levels: tuple[Level, ...]
    limit_key: str | None
    source: str
    check: Callable[..., Iterable[Finding]]


def rule(
    rule_id: str, *levels: Level, limit_key: str | None = None, source: str = "our choice"
) -> Callable[[Check], Check]:
    """Register the decorated function as the rule of this id about a job; an id has one rule only."""
    return _register("job", rule_id, levels, limit_key, source)


def machine_rule(
    rule_id: str, *levels: Level, limit_key: str | None = None, source: str = "our choice"
) -> Callable[[MachineCheck], MachineCheck]:
    """Register the decorated function as the rule of this id about a machine; an id has one rule only."""
    return _register("machine", rule_id, levels, limit_key, source)


def registered() -> tuple[Rule, ...]:
    """Return all rules, sorted by id."""
    return tuple(_rules[key] for key in sorted(_rules))


def judge(facts: Facts) -> list[Finding]:
    """Run every rule about jobs and return what they found, with reading and source filled in."""
    return [replace(finding, reading=facts.reading) for finding in _judge("job", facts)]


def judge_machine(settled: Settled) -> list[Finding]:
    """Run every rule about machines and return what they found, with the source filled in."""
    return _judge("machine", settled)


def merge(found: Sequence[Finding]) -> tuple[Finding, ...]:
    """Keep one finding per id and culprit: the gravest, of the first reading that has it.

    Sorted by level, then by first line (those about no line last), then by id and culprit.
    """
    best: dict[tuple[str, str | None], Finding] = {}
    for finding in found:
        key = (finding.id, finding.about)
        if key not in best or _rank(finding) < _rank(best[key]):
            best[key] = finding
    return tuple(
        sorted(best.values(), key=lambda f: (_rank(f), f.line is None, f.line or 0, f.id, f.about or "", f.case))
    )


def verdict(findings: Iterable[Finding]) -> Verdict:
    """Return the verdict: the worst level, where a note is harmless."""
    worst = min((_rank(finding) for finding in findings), default=len(ORDER))
    return (Verdict.NO_GO, Verdict.ASK, Verdict.GO, Verdict.GO)[worst]


def on_lines(
    finding: Finding, lines: npt.NDArray[np.int32] | npt.NDArray[np.int64] | Sequence[int], worst: int | None = None
) -> Finding:
    """Return the finding with its lines: each once, ascending, the first twenty shown.

    ``worst`` is the line whose numbers the finding carries; without it the first one.
    """
    distinct = np.unique(np.asarray(lines, dtype=np.int64))
    first = int(distinct[0])
    return replace(
        finding,
        line=first,
        worst_line=first if worst is None else int(worst),
        count=len(distinct),
        lines=tuple(int(line) for line in distinct[:SHOWN_LINES]),
    )


def point(row: Floats) -> tuple[float, float, float]:
    """Return a row of three coordinates as the tuple that a finding carries."""
    x, y, z = (float(value) for value in row)
    return x, y, z


def _register(
    subject: Subject, rule_id: str, levels: tuple[Level, ...], limit_key: str | None, source: str
) -> Callable[[AnyCheck], AnyCheck]:
    def register(check: AnyCheck) -> AnyCheck:
        if rule_id in _rules:
            msg = f"two rules for {rule_id}"
            raise ValueError(msg)
        told = limit(limit_key).source if limit_key else source
        _rules[rule_id] = Rule(
            id=rule_id, subject=subject, levels=levels, limit_key=limit_key, source=told, check=check
        )
        return check

    return register


def _judge(subject: Subject, looked_at: Any) -> list[Finding]:  # noqa: ANN401 - facts of either sort
    found = []
    for each in registered():
        for finding in each.check(looked_at) if each.subject == subject else ():
            if finding.id != each.id or finding.level not in each.levels:
                msg = f"the rule {each.id} reported {finding.id} at level {finding.level}"
                raise AssertionError(msg)
            found.append(replace(finding, source=finding.source or each.source))
    return found


def _rank(finding: Finding) -> int:
    return ORDER.index(finding.level)

"""Test programs: text that a person runs to learn something about the machine."""

from dataclasses import dataclass

from cutworthy.model.findings import Finding, Outcome, Verdict

__all__ = ["ProvedTrial", "Trial"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One test program.

    ``name``: of its file. ``room_mm``: how far it goes from its zero to the right, to the back and up,
    rounded up to what a person jogs.
    """

    name: str
    text: str
    room_mm: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProvedTrial:
    """A test program, and what was found about it: what matters in the air, with nothing on the table."""

    trial: Trial
    outcome: Outcome
    findings: tuple[Finding, ...]
    verdict: Verdict

"""What to enter for a machine, and why: its parts worked out, and judged."""

from dataclasses import dataclass

from cutworthy import findings, settings
from cutworthy.model.findings import Finding, Verdict
from cutworthy.model.machine import Machine
from cutworthy.model.settings import MachineSettings, Settled

__all__ = ["SettingsOutcome", "SettleRequest", "settle", "verdict_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleRequest:
    """A machine; ``curves``: whether torque over speed is wanted too, for pictures."""

    machine: Machine
    curves: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsOutcome:
    """What the parts of a machine allow, and what was found about them, gravest first."""

    machine: Machine
    settings: MachineSettings
    findings: tuple[Finding, ...]


def settle(request: SettleRequest) -> SettingsOutcome:
    """Return the numbers to enter for a machine. A pure function; whoever records gets the working."""
    worked_out = settings.settle(request.machine, curves=request.curves)
    found = findings.merge(findings.judge_machine(Settled(machine=request.machine, settings=worked_out)))
    return SettingsOutcome(machine=request.machine, settings=worked_out, findings=found)


def verdict_of(outcome: SettingsOutcome) -> Verdict:
    """Return the worst level of what was found; a note is harmless."""
    return findings.verdict(outcome.findings)

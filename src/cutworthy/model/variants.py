"""Machines that nobody has built yet: what changes, and what it brings."""

from dataclasses import dataclass
from fractions import Fraction

from cutworthy.model.findings import Finding
from cutworthy.model.machine import AxisName
from cutworthy.model.settings import MachineSettings

__all__ = ["Change", "Difference", "Leaf", "Upgrade", "Upgrades", "Variant", "WhatIf"]

Leaf = float | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change of a card: its key, what stood there (None: nothing), what is tried."""

    key: str
    was: str | None
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A number that a change made another; ``key`` as in the document of ``settings``."""

    key: str
    before: Leaf
    after: Leaf


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """Changes of a machine, and what the changed machine allows.

    ``others``: steps that follow the parts. ``remarks``: how a key was read, where that may surprise its
    writer. ``brings``: what is found that was not, or not as grave; ``cures``: what is no longer found so grave.
    """

    changes: tuple[Change, ...]
    others: tuple[Change, ...]
    settings: MachineSettings
    findings: tuple[Finding, ...]
    differences: tuple[Difference, ...]
    remarks: tuple[tuple[str, str], ...]
    brings: tuple[Finding, ...]
    cures: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """A single change, and what it buys for an axis.

    ``others``: what must be changed with it. ``gain_pct``: of the advised speed, None where it was 0 before;
    ``used_pct``: the same of the speed that is really run, which is no more than the entered one.
    ``advised_mm_s`` and ``ruled_by``: with it.
    """

    change: Change
    others: tuple[Change, ...]
    gain_pct: float | None
    used_pct: float | None
    advised_mm_s: float
    ruled_by: str
    brings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrades:
    """Upgrades of the axis that holds the machine back, best first; no axis where none can be worked out."""

    axis: AxisName | None = None
    entered_mm_s: float = 0.0
    advised_mm_s: float = 0.0
    ruled_by: str = ""
    rows: tuple[Upgrade, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """An axis of the machine as another may build it; ``change`` is None for the machine of the card."""

    axis: AxisName
    change: Change | None
    entered_mm_s: float
    steps_per_mm: Fraction | float | None
    steps_per_inch: Fraction | float | None
    advised_mm_s: float | None
    ruled_by: str | None
    whip_mm_s: float | None
    others: tuple[Change, ...] = ()
    brings: tuple[Finding, ...] = ()

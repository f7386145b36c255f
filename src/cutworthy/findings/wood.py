"""What the wood itself says: where a travel meets it, and what comes loose."""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Level
from cutworthy.reference.tables import limit

__all__: list[str] = []

GRIPS = ("tape", "vacuum", "screws")  # what may hold a part from below


@rule("rapid-in-wood", Level.NO_GO, Level.ASK, limit_key="rapid_in_wood")
def _rapid_in_wood(facts: Facts) -> Iterator[Finding]:
    """A fast travel meets wood that has not been cut away, or may meet some that is too thin to be seen."""
    met, least = facts.removal.engagement, limit("rapid_in_wood").value
    rows = np.flatnonzero((met.rapid == 1) & (met.volume_mm3 > 0) & (met.depth_mm > least))
    unsure = np.array(facts.removal.doubtful, dtype=np.int64)
    for tool in set(np.unique(met.tool[unsure]).tolist()) - set(np.unique(met.tool[rows]).tolist()):
        own = unsure[met.tool[unsure] == tool]
        at = point(met.at_mm[own[0]])
        finding = Finding(id="rapid-in-wood", level=Level.ASK, case="unsure", about=_bit(tool), at_mm=at)
        yield on_lines(finding, met.line[own])
    for tool in np.unique(met.tool[rows]).tolist():
        own = rows[met.tool[rows] == tool]
        worst = int(own[met.depth_mm[own].argmax()])
        finding = Finding(
            id="rapid-in-wood",
            level=Level.NO_GO,
            case="wood",
            about=_bit(tool),
            at_mm=point(met.at_mm[worst]),
            numbers={"value": float(met.depth_mm[worst]), "limit": least, "unit": "mm"},
        )
        yield on_lines(finding, met.line[own], int(met.line[worst]))


def _bit(tool: int) -> str:
    return f"bit {tool}" if tool else "the bit"


@rule("part-freed", Level.ASK, limit_key="tab_reserve")
def _part_freed(facts: Facts) -> Iterator[Finding]:
    """A part is cut free, or hangs on tabs that may be too thin."""
    met, holding = facts.removal.engagement, facts.job.holding
    for number, part in enumerate(facts.removal.parts, start=1):
        held = holding is not None and holding.by in GRIPS
        case = "tabs" if part.tabs else "gripped" if held else "free"
        lines = met.line[[row for row in (part.freed, *part.later[:1]) if row is not None]]
        finding = Finding(
            id="part-freed",
            level=Level.ASK,
            case=f"{case}-later" if part.later else case,
            about=f"part {number}",
            at_mm=part.at_mm,
            numbers={
                "value": part.strength_n,
                "limit": limit("tab_reserve").value * part.push_n,
                "unit": "N",
                "push_n": part.push_n,
                "long_mm": max(part.size_mm),
                "wide_mm": min(part.size_mm),
                "thin_mm": part.tab_mm,
                "places": str(part.tabs),
                "by": holding.by if holding else None,
                "then": int(lines[-1]) if part.later else None,
            },
        )
        yield on_lines(finding, lines[:1]) if part.freed is not None else finding

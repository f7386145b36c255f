"""What the wood itself says: where a travel meets it."""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Level
from cutworthy.reference.tables import limit

__all__: list[str] = []


@rule("rapid-in-wood", Level.NO_GO, limit_key="rapid_in_wood")
def _rapid_in_wood(facts: Facts) -> Iterator[Finding]:
    """A fast travel meets wood that has not been cut away."""
    met, least = facts.removal.engagement, limit("rapid_in_wood").value
    rows = np.flatnonzero((met.rapid == 1) & (met.volume_mm3 > 0) & (met.depth_mm > least))
    for tool in np.unique(met.tool[rows]).tolist():
        own = rows[met.tool[rows] == tool]
        worst = int(own[met.depth_mm[own].argmax()])
        finding = Finding(
            id="rapid-in-wood",
            level=Level.NO_GO,
            case="wood",
            about=f"bit {tool}" if tool else "the bit",
            at_mm=point(met.at_mm[worst]),
            numbers={"value": float(met.depth_mm[worst]), "limit": least, "unit": "mm"},
        )
        yield on_lines(finding, met.line[own], int(met.line[worst]))

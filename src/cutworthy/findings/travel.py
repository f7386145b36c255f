"""Does the program stay within the machine's travel from this zero?"""

from collections.abc import Iterator

from cutworthy.findings.registry import on_lines, rule
from cutworthy.model.clearance import Reach
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Level

__all__: list[str] = []


def _zero_error_mm(facts: Facts, axis: str) -> float:
    """Return how far the zero may be off along an axis [mm]."""
    zero = facts.job.zero
    return zero.plus_minus_z_mm.value if axis == "z" else zero.plus_minus_mm.value


@rule("travel-exceeded", Level.NO_GO, Level.ASK, source="the travel on the machine card")
def _travel_exceeded(facts: Facts) -> Iterator[Finding]:
    """A move leaves the travel from this zero, from every zero, or may do so within its error."""
    for reach in facts.reaches:
        error = _zero_error_mm(facts, reach.axis)
        # Just at the end: a way home in machine coordinates, which the zero's error does not move.
        if reach.room_mm is None or reach.room_mm >= error or reach.room_mm == 0:
            continue
        finding = Finding(
            id="travel-exceeded",
            level=Level.NO_GO if reach.room_mm < 0 else Level.ASK,
            case=_case(reach),
            about=reach.axis,
            numbers={
                "value": reach.room_mm,
                "limit": 0.0 if reach.room_mm < 0 else error,
                "unit": "mm",
                "beyond_mm": -reach.room_mm,
                "low_mm": reach.low_mm,
                "high_mm": reach.high_mm,
                "travel_mm": reach.travel_mm,
            },
        )
        lines = facts.moves.line
        rows = list(reach.rows) or [reach.worst_row]
        yield on_lines(finding, lines[rows], int(lines[reach.worst_row]))


def _case(reach: Reach) -> str:
    if reach.limits_mm is None:
        return "every-zero"
    side = "low" if reach.low_mm - reach.limits_mm[0] < reach.limits_mm[1] - reach.high_mm else "high"
    return side if reach.room_mm is not None and reach.room_mm < 0 else f"{side}-near"

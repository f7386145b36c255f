"""Is the feed one that the axes can follow, and does the bit go down or stand in wood?"""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.depth import bit_key, bit_name
from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.findings.spindle import cutting_rows
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.program import Kind, Level
from cutworthy.reference.tables import limit

__all__: list[str] = []

POINTED = ("ball", "vee", "taper", "drill")


@rule("feed-unreachable", Level.NOTE, source="the speeds on the machine card, projected on the direction of each move")
def _feed_unreachable(facts: Facts) -> Iterator[Finding]:
    """The program asks for more feed than the axes can do in that direction."""
    if not facts.pace.too_fast:
        return
    worst = max(facts.pace.too_fast, key=lambda fast: fast.feed_mm_min / fast.cap_mm_min)
    lines = facts.program.moves.line
    numbers: Numbers = {"value": worst.feed_mm_min, "limit": worst.cap_mm_min, "unit": "mm/min"}
    finding = Finding(id="feed-unreachable", level=Level.NOTE, case="axes", numbers=numbers)
    yield on_lines(finding, [int(lines[fast.row]) for fast in facts.pace.too_fast], int(lines[worst.row]))


@rule("plunge", Level.ASK, limit_key="plunge_feed")
def _plunge(facts: Facts) -> Iterator[Finding]:
    """The bit goes straight down into the board, fast, or without being known to cut at its centre."""
    most = limit("plunge_feed").value
    moves = facts.program.moves
    for bit in facts.job.bits:
        rows = cutting_rows(facts, bit)
        rows = rows[moves.kind[rows] == Kind.LINE]
        way = moves.end_mm[rows] - moves.start_mm[rows]
        down = rows[(way[:, 2] < 0) & (way[:, :2] == 0).all(axis=1)]
        fast = down[moves.feed_mm_min[down] > most]
        if len(fast):
            worst = int(fast[np.argmax(moves.feed_mm_min[fast])])
            finding = Finding(
                id="plunge",
                level=Level.ASK,
                case="fast",
                about=bit_name(bit),
                at_mm=point(moves.end_mm[worst]),
                numbers={"value": float(moves.feed_mm_min[worst]), "limit": most, "unit": "mm/min"},
            )
            yield on_lines(finding, moves.line[fast], int(moves.line[worst]))
        if len(down) and not _cuts_at_centre(bit):
            case = "centre-unknown" if bit.centre_cutting is None else "no-centre"
            key, numbers = bit_key(facts, bit, "centre_cutting"), {"bit": bit_name(bit)}
            finding = Finding(id="plunge", level=Level.ASK, case=case, about=key, numbers=numbers)
            yield on_lines(finding, moves.line[down])


def _cuts_at_centre(bit: Bit) -> bool:
    """Return whether the bit cuts where it does not turn: pointed and round ones do by their shape."""
    return bit.centre_cutting if bit.centre_cutting is not None else bit.kind in POINTED


@rule("dwell-burn", Level.ASK, Level.NOTE, limit_key="dwell_ask")
def _dwell_burn(facts: Facts) -> Iterator[Finding]:
    """The bit stands in the board, turning: it burns."""
    moves = facts.program.moves
    by_program = facts.machine.spindle.switched_by == "program"
    stands = facts.in_board & (moves.kind == Kind.DWELL) & (moves.seconds > limit("dwell_note").value)
    rows = np.flatnonzero(stands & (moves.rpm != 0) if by_program else stands)
    if not len(rows):
        return
    worst = int(rows[np.argmax(moves.seconds[rows])])
    seconds = float(moves.seconds[worst])
    level = Level.ASK if seconds > limit("dwell_ask").value else Level.NOTE
    bound = limit("dwell_ask" if level is Level.ASK else "dwell_note").value
    finding = Finding(
        id="dwell-burn",
        level=level,
        case="stands",
        at_mm=point(moves.end_mm[worst]),
        numbers={"value": seconds, "limit": bound, "unit": "s"},
    )
    yield on_lines(finding, moves.line[rows], int(moves.line[worst]))

"""Is the feed one that the axes can follow, and does the bit go down or stand in wood?"""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.depth import bit_key, bit_name
from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.findings.spindle import cutting_rows
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.machine import AXES
from cutworthy.model.program import Kind, Level
from cutworthy.model.timeline import Cause, Timing
from cutworthy.reference.tables import limit
from cutworthy.units import S_PER_MIN

__all__: list[str] = []

# What else keeps a cut from its feed than the speed of the axes, which is told line by line.
SLOW_BY: tuple[Cause, ...] = ("corners", "arcs", "line-rate")
POINTED = ("ball", "vee", "taper", "drill")


@rule("feed-unreachable", Level.NOTE, source="the speeds on the machine card, projected on the direction of each move")
def _feed_unreachable(facts: Facts) -> Iterator[Finding]:
    """The program asks for more feed than the axes can do there, or than corners and short moves let them reach."""
    fast, lines = facts.timing.too_fast, facts.program.moves.line
    if len(fast):
        worst = int(np.argmax(fast.feed_mm_min / fast.cap_mm_min))
        numbers: Numbers = {
            "value": float(fast.feed_mm_min[worst]),
            "limit": float(fast.cap_mm_min[worst]),
            "unit": "mm/min",
        }
        finding = Finding(id="feed-unreachable", level=Level.NOTE, case="axes", numbers=numbers)
        yield on_lines(finding, lines[fast.row], int(lines[fast.row[worst]]))
    yield from (_slow(facts, cause) for cause in SLOW_BY if _is_worth_a_word(facts.timing, cause))


def _is_worth_a_word(timing: Timing, cause: Cause) -> bool:
    """Return whether cuts that stay below their feed for this cause cost enough time."""
    least = max(limit("lost_time").value, limit("lost_share").value * timing.expected_s)
    return timing.lost_s[cause] >= least and any(stretch.cause == cause for stretch in timing.slow)


def _slow(facts: Facts, cause: Cause) -> Finding:
    """Return what is said of the stretch that loses most for this cause."""
    timing = facts.timing
    stretch = next(stretch for stretch in timing.slow if stretch.cause == cause)
    numbers: Numbers = {
        "value": stretch.feed_mm_min,
        "limit": stretch.reached_mm_min,
        "unit": "mm/min",
        "last_line": str(stretch.lines[1]),
        "lost_s": timing.lost_s[cause],
        "now_s": timing.expected_s,
        "stronger_s": timing.stronger_s,
        "sharper_s": timing.sharper_s,
        "longest_mm": stretch.length_mm / stretch.moves,
    }
    finding = Finding(id="feed-unreachable", level=Level.NOTE, case=cause, about=cause, numbers=numbers)
    first, last = stretch.rows
    moves = facts.program.moves
    rows = first + np.flatnonzero(moves.feeds[first : last + 1])
    return on_lines(finding, moves.line[rows])


@rule("plunge", Level.ASK, limit_key="plunge_feed")
def _plunge(facts: Facts) -> Iterator[Finding]:
    """The bit goes straight down into wood, fast, or without being known to cut at its centre."""
    most = limit("plunge_feed").value
    moves = facts.program.moves
    for bit in facts.job.bits:
        rows = cutting_rows(facts, bit)
        rows = rows[(moves.kind[rows] == Kind.LINE) & facts.in_wood[rows]]
        down = rows[moves.end_mm[rows, 2] < moves.start_mm[rows, 2]]
        down = down[(moves.end_mm[down, :2] == moves.start_mm[down, :2]).all(axis=1)]
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


@rule("growl", Level.NOTE, limit_key="growl_time")
def _growl(facts: Facts) -> Iterator[Finding]:
    """An axis runs for long near a speed at which its motor growls."""
    for axis in AXES:
        heard = [growl for growl in facts.timing.growls if growl.axis == axis]
        worst = max(heard, key=lambda growl: growl.seconds, default=None)
        if worst is not None and worst.seconds > limit("growl_time").value:
            numbers: Numbers = {
                "value": worst.seconds,
                "limit": limit("growl_time").value,
                "unit": "s",
                "growl_mm_min": worst.speed_mm_s * S_PER_MIN,
            }
            finding = Finding(id="growl", level=Level.NOTE, case="near", about=axis, numbers=numbers)
            yield on_lines(finding, [worst.line])


def _cuts_at_centre(bit: Bit) -> bool:
    """Return whether the bit cuts where it does not turn: pointed and round ones do by their shape."""
    return bit.centre_cutting if bit.centre_cutting is not None else bit.kind in POINTED


@rule("dwell-burn", Level.ASK, Level.NOTE, limit_key="dwell_ask")
def _dwell_burn(facts: Facts) -> Iterator[Finding]:
    """The bit stands in wood, turning: it burns."""
    moves = facts.program.moves
    by_program = facts.machine.spindle.switched_by == "program"
    stands = facts.in_board & facts.standing & (moves.seconds > limit("dwell_note").value)
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

"""Does the spindle turn when the bit cuts, and at a speed that bit, nut and spindle can stand?"""

import math
from collections.abc import Iterator

import numpy as np

from cutworthy.findings.depth import bit_key, bit_name
from cutworthy.findings.registry import on_lines, rule
from cutworthy.model.columns import Ints
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.program import Level
from cutworthy.model.quantity import Quantity

__all__ = ["asked_rpm", "cutting_rows", "fastest"]


def cutting_rows(facts: Facts, bit: Bit | None = None) -> Ints:
    """Return the rows of the program's feed moves that can touch the board, of one bit or of all."""
    moves = facts.program.moves
    cutting = facts.in_board & moves.feeds
    if bit is not None:
        cutting &= facts.with_bit(bit)
    return np.flatnonzero(cutting)


def asked_rpm(facts: Facts, bit: Bit) -> dict[float, Ints]:
    """Return the speeds this bit may cut at [rpm] with their rows; NaN where none is given.

    From the program's S words, from the dial's speed on the bit's card, or both where the machine
    card does not say which of them rules.
    """
    rows, by = cutting_rows(facts, bit), facts.machine.spindle.speed_by
    speeds: dict[float, Ints] = {}
    if not len(rows):
        return speeds
    if by != "program":
        speeds[bit.speed_rpm.value if bit.speed_rpm else math.nan] = rows
    if by != "dial":
        commanded = np.abs(facts.program.moves.rpm[rows])
        on = commanded != 0  # off is another matter, with a rule of its own, unless a hand switches
        if on.any() or facts.machine.spindle.switched_by == "program":
            rows, commanded = rows[on], commanded[on]
        else:
            commanded = np.full(len(rows), np.nan)
        for speed in np.unique(commanded).tolist():
            same = np.isnan(commanded) if math.isnan(speed) else commanded == speed
            speeds[speed] = rows[same]
    return speeds


def fastest(facts: Facts, bit: Bit) -> list[tuple[str, str, Quantity | None]]:
    """Return what caps the speed: the case of its sentence, its key, and its number."""
    spindle = facts.machine.spindle
    return [
        ("above-bit", bit_key(facts, bit, "max_rpm"), bit.max_rpm),
        ("above-nut", "spindle.collet_nut.max_rpm", spindle.nut.max_rpm if spindle.nut else None),
        ("above-spindle", "spindle.speed", spindle.fastest_rpm),
    ]


@rule("spindle-range", Level.NO_GO, Level.ASK, source="the speeds on the cards")
def _spindle_range(facts: Facts) -> Iterator[Finding]:
    """The speed is above what bit, nut or spindle can stand, below the spindle's range, or not given."""
    for bit in facts.job.bits:
        wrong: dict[str, list[tuple[float, Ints]]] = {}
        for speed, rows in asked_rpm(facts, bit).items():
            case = _speed_case(facts, bit, speed)
            if case is not None:
                wrong.setdefault(case, []).append((speed, rows))
        for case, found in wrong.items():
            speed, rows = (min if case == "below" else max)(found, key=lambda each: each[0])
            numbers: Numbers = {
                "value": None if math.isnan(speed) else speed,
                "limit": _bound(facts, bit, case),
                "unit": "rpm",
            }
            level = Level.NO_GO if case.startswith("above") else Level.ASK
            finding = Finding(id="spindle-range", level=level, case=case, about=bit_name(bit), numbers=numbers)
            lines = facts.program.moves.line
            yield on_lines(finding, lines[np.concatenate([each for _, each in found])], int(lines[rows[0]]))


def _speed_case(facts: Facts, bit: Bit, speed: float) -> str | None:
    """Return what is wrong with a speed, None when nothing is."""
    if math.isnan(speed):
        by = facts.machine.spindle.speed_by
        return "by-unknown" if by == "unknown" else f"never-{by}"
    caps = [(cap.value, case) for case, _, cap in fastest(facts, bit) if cap is not None]
    if caps and speed > min(caps)[0]:
        return min(caps)[1]
    slowest = facts.machine.spindle.slowest_rpm
    return "below" if slowest is not None and speed < slowest.value else None


def _bound(facts: Facts, bit: Bit, case: str) -> float | None:
    """Return the speed that a case compares with."""
    bounds = {"below": facts.machine.spindle.slowest_rpm} | {name: cap for name, _, cap in fastest(facts, bit)}
    bound = bounds.get(case)
    return None if bound is None else bound.value


@rule("spindle-off", Level.NO_GO, Level.ASK, Level.NOTE, source="common practice, no source")
def _spindle_off(facts: Facts) -> Iterator[Finding]:
    """The bit is fed into wood while the program has the spindle off; by hand: a reminder."""
    rows, lines = cutting_rows(facts), facts.program.moves.line
    rows = rows[facts.in_wood[rows]]
    if not len(rows):
        return
    by = facts.machine.spindle.switched_by
    still = rows[facts.program.moves.rpm[rows] == 0]
    if by == "hand":
        yield on_lines(Finding(id="spindle-off", level=Level.NOTE, case="by-hand"), lines[rows[:1]])
    elif len(still):
        level = Level.NO_GO if by == "program" else Level.ASK
        yield on_lines(Finding(id="spindle-off", level=level, case=by), lines[still])

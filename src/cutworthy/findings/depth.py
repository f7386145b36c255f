"""Is the cut too deep for the table, the bit or the board, or not deep enough?"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

import numpy as np

from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.clearance import Depths
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.reference.tables import limit

__all__ = ["bit_key", "bit_name"]


def bit_name(bit: Bit) -> str:
    """Return what a bit is called as a culprit."""
    return f"bit {bit.tool}" if bit.tool else "the bit"


def bit_key(facts: Facts, bit: Bit, key: str) -> str:
    """Return the key of a bit as cards name it, bits counted from 1."""
    return f"bits[{facts.job.bits.index(bit) + 1}].{key}"


def _underside_error_mm(facts: Facts) -> float:
    """Return how far the board's underside may lie from where the zero puts it [mm].

    From a zero on the top the board's own spread counts too; from one on the table it does not.
    """
    spread = facts.job.board.spread_mm.value if facts.job.zero.z == "top" else 0.0
    return spread + facts.job.zero.plus_minus_z_mm.value


def _below(facts: Facts, finding: Finding, worst_row: int, height_mm: float, bit: Bit | None = None) -> Finding:
    """Return the finding with every line that goes below a height [mm, zero frame]; of one bit, in the board."""
    moves = facts.program.moves
    certain = (np.maximum(moves.start_doubt[:, 2], moves.end_doubt[:, 2]) == Doubt.NONE) & (moves.kind != Kind.DWELL)
    low = certain & (moves.low_mm[:, 2] < height_mm)
    if bit is not None:
        low &= facts.in_board & facts.with_bit(bit)
    rows = np.union1d(np.flatnonzero(low), [worst_row])
    placed = finding if finding.at_mm is not None else replace(finding, at_mm=point(moves.end_mm[worst_row]))
    return on_lines(placed, moves.line[rows], int(moves.line[worst_row]))


def _underside_mm(facts: Facts) -> float:
    """Return the height of the board's underside in the zero frame [mm]."""
    return -facts.place.on_board_mm[2]


def _compared(value_mm: float, limit_mm: float) -> Numbers:
    return {"value": value_mm, "limit": limit_mm, "unit": "mm"}


def _deepest(facts: Facts) -> Depths | None:
    return max(facts.depths, key=lambda depth: depth.below_underside_mm, default=None)


@rule("table-hit", Level.NO_GO, limit_key="contact")
def _table_hit(facts: Facts) -> Iterator[Finding]:
    """A cut goes through the spoilboard."""
    deepest, spoilboard = _deepest(facts), facts.machine.spoilboard_mm
    if deepest and spoilboard and deepest.below_underside_mm > spoilboard.value:
        beyond = deepest.below_underside_mm - spoilboard.value
        numbers = {**_compared(deepest.below_underside_mm, spoilboard.value), "beyond_mm": beyond}
        finding = Finding(id="table-hit", level=Level.NO_GO, case="through", about="spoilboard", numbers=numbers)
        yield _below(facts, finding, deepest.through_row, _underside_mm(facts) - spoilboard.value)


@rule("spoilboard-cut", Level.ASK, limit_key="spoilboard_cut")
def _spoilboard_cut(facts: Facts) -> Iterator[Finding]:
    """A cut goes deeper below the board than its spread and the usual overcut."""
    deepest, spoilboard = _deepest(facts), facts.machine.spoilboard_mm
    most = facts.job.board.spread_mm.value + limit("spoilboard_cut").value
    through = spoilboard is not None and deepest is not None and deepest.below_underside_mm > spoilboard.value
    if deepest and deepest.below_underside_mm > most and not through:
        numbers = _compared(deepest.below_underside_mm, most)
        finding = Finding(id="spoilboard-cut", level=Level.ASK, case="deep", about="spoilboard", numbers=numbers)
        yield _below(facts, finding, deepest.through_row, _underside_mm(facts) - most)


@rule("not-through", Level.ASK, source="our choice: the stated spread and error of the zero, added up")
def _not_through(facts: Facts) -> Iterator[Finding]:
    """A cut gets through the board where it is thin and leaves a skin where it is thick."""
    error = _underside_error_mm(facts)
    for depth in facts.depths:
        bit = facts.bit(depth.tool)
        if bit and depth.skin_mm is not None and depth.skin_mm > -error:
            left, front = (depth.skin_at_mm[axis] + facts.place.on_board_mm[axis] for axis in (0, 1))
            numbers: Numbers = {**_compared(depth.skin_mm + error, 0.0), "left_mm": left, "front_mm": front}
            finding = Finding(
                id="not-through",
                level=Level.ASK,
                case="map",
                about=bit_name(bit),
                at_mm=depth.skin_at_mm,
                numbers=numbers,
            )
            yield on_lines(finding, facts.program.moves.line[[depth.skin_row]])
        elif bit and depth.below_top_mm > 0 and abs(depth.below_underside_mm) < error:
            numbers = _compared(error - depth.below_underside_mm, 0.0)
            finding = Finding(id="not-through", level=Level.ASK, case="skin", about=bit_name(bit), numbers=numbers)
            yield _below(facts, finding, depth.lowest_row, error + _underside_mm(facts), bit)


@rule("bit-too-short", Level.NO_GO, source="the bit's own lengths")
def _bit_too_short(facts: Facts) -> Iterator[Finding]:
    """The cut is deeper than the bit cuts, or than it sticks out."""
    for depth in facts.depths:
        bit = facts.bit(depth.tool)
        if bit is None:
            continue
        case, length = _shortest(bit)
        if depth.below_top_mm > length:
            numbers = _compared(depth.below_top_mm, length)
            finding = Finding(id="bit-too-short", level=Level.NO_GO, case=case, about=bit_name(bit), numbers=numbers)
            yield _below(facts, finding, depth.deep_row, facts.top_mm - length, bit)


def _shortest(bit: Bit) -> tuple[Literal["stickout", "cutting-length"], float]:
    """Return which length of the bit rules, and that length; one that is not on the card rules nothing."""
    stickout, cutting = bit.stickout_mm.value, bit.cutting_length_mm
    if cutting.stated and cutting.value < stickout:
        return "cutting-length", cutting.value
    return "stickout", stickout

"""Evidence that the program was made in the other unit, or for another zero than the card says."""

from collections.abc import Iterator
from itertools import product

import numpy as np

from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.machine import AXES
from cutworthy.model.program import Doubt, Extents, Level
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH

__all__: list[str] = []


@rule("units-suspect", Level.ASK, limit_key="slow_feed")
def _units_suspect(facts: Facts) -> Iterator[Finding]:
    """Size and depth, or the feeds, make sense in the other unit only."""
    cut = facts.program.cut
    if cut is None or facts.program.units == "mixed":
        return
    other = 1 / MM_PER_INCH if _read_as(facts) == "inch" else MM_PER_INCH
    finding = _size(facts, cut, other) or _feeds(facts, other)
    if finding is not None:
        yield on_lines(finding, facts.program.moves.line[:1])


def _read_as(facts: Facts) -> str:
    """Return the unit that the program was read in: its own, the control's, or the card's."""
    at_start = facts.machine.control.units_at_start
    unstated = facts.machine.units if at_start == "unknown" else at_start
    return unstated if facts.program.units == "unstated" else facts.program.units


def _size(facts: Facts, cut: Extents, other: float) -> Finding | None:
    """Return evidence from depth and size: too deep as read, or far too small, and right in the other unit."""
    board = facts.job.board
    sizes = (board.size_x_mm.value, board.size_y_mm.value)
    spans = [high - low for low, high in zip(cut.low_mm, cut.high_mm, strict=True)]
    depth = facts.top_mm - cut.low_mm[2]
    slack = 2 * max(bit.diameter_mm.value for bit in facts.job.bits)
    fits_there = all(span * other <= size + slack for span, size in zip(spans, sizes, strict=False))
    deepest = board.thickness_mm.value * limit("deepest_cut").value
    fills = limit("size_fills").value
    if not fits_there or not 0 < depth * other <= deepest:
        return None
    too_big = depth > deepest
    too_small = other > 1 and all(span * other >= fills * size for span, size in zip(spans, sizes, strict=False))
    if not too_big and not (too_small and depth < limit("shallow").value):
        return None
    numbers: Numbers = {
        "value": max(spans[:2]),
        "limit": max(sizes),
        "unit": "mm",
        "other_mm": max(spans[:2]) * other,
        "depth_mm": depth,
        "other_depth_mm": depth * other,
    }
    return Finding(id="units-suspect", level=Level.ASK, case="too-big" if too_big else "too-small", numbers=numbers)


def _feeds(facts: Facts, other: float) -> Finding | None:
    """Return evidence from the feeds: all beyond reason as read, and reasonable in the other unit."""
    moves = facts.program.moves
    feeds = moves.feed_mm_min[facts.in_board & moves.feeds & ~np.isnan(moves.feed_mm_min)]
    if not len(feeds):
        return None
    feed, slow = float(feeds.max()), limit("slow_feed").value
    fastest = 60 * float(np.sqrt(sum(facts.machine.axes[axis].speed_mm_s.value ** 2 for axis in AXES)))
    beyond = feed < slow if other > 1 else feed > fastest * limit("fast_feed").value
    if not beyond or not slow <= feed * other <= fastest:
        return None
    numbers: Numbers = {
        "value": feed,
        "limit": slow if other > 1 else fastest,
        "unit": "mm/min",
        "other_mm_min": feed * other,
    }
    return Finding(id="units-suspect", level=Level.ASK, case="feed-slow" if other > 1 else "feed-fast", numbers=numbers)


@rule("zero-suspect", Level.ASK, source="our choice: cuts lie on the board, but for the bit's own width")
def _zero_suspect(facts: Facts) -> Iterator[Finding]:
    """The cuts lie off the board from the stated zero, and on it from another."""
    cut = facts.program.cut
    if cut is None:
        return
    for finding in filter(None, (_sideways(facts), _height(facts, cut))):
        yield on_lines(finding, facts.program.moves.line[:1])


def _sideways(facts: Facts) -> Finding | None:
    board, zero = facts.job.board, facts.job.zero
    width = max(bit.diameter_mm.value for bit in facts.job.bits) + limit("lead_in").value
    size_x, size_y = board.size_x_mm.value, board.size_y_mm.value
    moves = facts.program.moves
    deep = moves.feeds & (moves.low_mm[:, 2] < facts.top_mm)
    for doubt in (*moves.start_doubt.T, *moves.end_doubt.T):
        deep &= doubt == Doubt.NONE
    if not deep.any():
        return None
    low, high = (
        np.array([reach(column[deep]) for column in columns.T])
        for reach, columns in ((np.min, moves.low_mm), (np.max, moves.high_mm))
    )
    cut = Extents(low_mm=point(low), high_mm=point(high))
    stated = _overhang(cut, (zero.from_left_mm, zero.from_front_mm), (size_x, size_y))
    if stated <= width:
        return None
    others = {
        " ".join(dict.fromkeys((x_word, y_word))): _overhang(cut, (x, y), (size_x, size_y))
        for (x_word, x), (y_word, y) in product(
            (("left", 0.0), ("centre", size_x / 2), ("right", size_x)),
            (("front", 0.0), ("centre", size_y / 2), ("back", size_y)),
        )
    }
    better = min(others, key=lambda name: others[name])
    case = "sideways" if others[better] <= width else "off-board"
    said = " ".join(dict.fromkeys((zero.x_said, zero.y_said)))
    numbers: Numbers = {"value": stated, "limit": width, "unit": "mm", "said": said, "better": better}
    return Finding(id="zero-suspect", level=Level.ASK, case=case, about="x, y", numbers=numbers)


def _overhang(cut: Extents, zero: tuple[float, float], size: tuple[float, float]) -> float:
    """Return how far the bit's axis goes beyond the board's edges, most of the four [mm]."""
    beyond = [max(-(cut.low_mm[k] + zero[k]), cut.high_mm[k] + zero[k] - size[k]) for k in (0, 1)]
    return max(beyond)


def _height(facts: Facts, cut: Extents) -> Finding | None:
    """Return evidence that Z was zeroed on the other face of the board."""
    thickness, moves = facts.job.board.thickness_mm.value, facts.program.moves
    low = cut.low_mm[2]
    if facts.job.zero.z == "top":
        wrong = low >= 0 and cut.high_mm[2] > 0 and low <= thickness
    else:
        lowest = moves.low_mm[facts.in_board & moves.feeds, 2]
        wrong = -low > limit("spoilboard_cut").value and lowest.size > 0 and bool(np.median(lowest) < 0)
    if not wrong:
        return None
    better = "bottom" if facts.job.zero.z == "top" else "top"
    numbers: Numbers = {"value": low, "limit": 0.0, "unit": "mm", "said": facts.job.zero.z, "better": better}
    return Finding(id="zero-suspect", level=Level.ASK, case="height", about="z", numbers=numbers)

"""Evidence that a file is not what it should be: cut short, or made in the other unit."""

import re

import numpy as np

from cutworthy.model.program import Kind, Level, Track
from cutworthy.program.problems import Numbers, Problems
from cutworthy.program.size import Size
from cutworthy.program.text import Text
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH

__all__ = ["bit_down", "see_cut_number", "see_units"]

NUMBER = re.compile(r"([XYZIJ])[ \t]*[-+]?\d*\.?(\d*)", re.IGNORECASE)
TAIL = 1 << 14  # bytes at the file's end, or its begin, that are looked at: some hundred lines
INCH_DECIMALS = 4  # what programs in inches are written with, as three are in millimetres (common practice, no source)


def see_cut_number(text: Text, problems: Problems) -> bool:
    """Say when the file's last number has fewer decimals than all numbers of its letter before it.

    Programs that write every number with the same decimals are cut short so. Returns whether it was said.
    """
    if text.ends_with_newline:
        return False
    tail = text.data[-TAIL:].decode(text.encoding, "replace")
    found = [(number[1].upper(), len(number[2]), number.end()) for number in NUMBER.finditer(tail)]
    if not found or found[-1][2] != len(tail):
        return False
    letter, decimals, _ = found.pop()
    others = [count for name, count, _ in found if name == letter]
    enough = limit("cut_number_lines").value
    if len(others) < enough or min(others) != max(others) or decimals >= others[0]:
        return False
    numbers: Numbers = {"letter": letter, "value": decimals, "limit": others[0], "count": len(others)}
    problems.add("truncated", Level.NO_GO, "number", numbers=numbers)
    return True


def bit_down(track: Track) -> tuple[float, float] | None:
    """Return the last height and that of the last travel, when the path ends in a cut below it [mm]."""
    if not len(track) or track.kind[-1] not in (Kind.LINE, Kind.ARC):
        return None
    sideways = (track.start_mm[:, :2] != track.end_mm[:, :2]).any(axis=1)
    travels = np.flatnonzero((track.kind == Kind.RAPID) & sideways)
    if not len(travels):
        return None
    last, travel = float(track.end_mm[-1, 2]), float(track.end_mm[travels[-1], 2])
    return (last, travel) if last < travel else None


def see_units(units: str, size: Size, track: Track, text: Text, problems: Problems) -> None:
    """Say when the size of the cuts speaks for the other unit than the program states."""
    if size.cut is None or units not in ("mm", "inch"):
        return
    span = max(high - low for low, high in zip(size.cut.low_mm[:2], size.cut.high_mm[:2], strict=True))
    numbers: dict[str, float | str] = {"value": span, "unit": "mm"}
    if units == "inch" and span > limit("largest_job").value:
        problems.add("units-suspect", Level.ASK, "read-inch", {**numbers, "other": f"{span / MM_PER_INCH:.4g} mm"})
    if units == "inch" or not 0 < span < MM_PER_INCH:
        return
    numbers["other"] = f"{span:.4g} in ({span * MM_PER_INCH:.4g} mm)"
    feeds = track.feed_mm_min[track.feeds & ~np.isnan(track.feed_mm_min)]
    if _usual_decimals(text) >= INCH_DECIMALS:
        problems.add("units-suspect", Level.ASK, "read-mm", {**numbers, "decimals": INCH_DECIMALS})
    elif len(feeds) and feeds.max() < limit("slow_feed").value:
        problems.add("units-suspect", Level.ASK, "read-slow", {**numbers, "feed_mm_min": float(feeds.max())})


def _usual_decimals(text: Text) -> int:
    """Return how many decimals most of the first coordinates have."""
    head = text.data[:TAIL].decode(text.encoding, "replace")
    counts = [len(number[2]) for number in NUMBER.finditer(head) if number[2]]
    return max(set(counts), key=counts.count, default=0)

"""Where a program's zero lies among its cuts, in plain words."""

from typing import Literal

from cutworthy.model.program import Extents
from cutworthy.present.show import Display

__all__ = ["zero_says"]

Spot = Literal["low", "middle", "high", "inside", "before", "behind"]
# Our choice, as shares of the cuts' length: what counts as at an end or in the middle, and what as near it.
AT, NEAR = 0.005, 0.1
LEAST_MM = 0.01  # our choice: no zero is set so finely
ACROSS = {"before": "to the left", "behind": "to the right"}
ALONG = {"before": "in front", "behind": "at the back"}
SIDES = {"low": ("left", "front"), "high": ("right", "back")}


def zero_says(cut: Extents, display: Display) -> str:
    """Return where X0 Y0 lies among the cuts, and from where to where they go.

    Parameters
    ----------
    cut
        The box of the cuts in the zero frame [mm].
    display
        The unit to tell it in.
    """
    ends = list(zip(cut.low_mm[:2], cut.high_mm[:2], strict=True))
    spans = ", ".join(
        f"{axis} {display.place(low)} to {display.place(high)}" for axis, (low, high) in zip("XY", ends, strict=True)
    )
    return f"{_place(ends)} (they go from {spans})"


def _place(ends: list[tuple[float, float]]) -> str:
    """Return where 0, 0 lies: at or near a place that has a name, else beside the cuts or among them."""
    for word, share in (("at", AT), ("near", NEAR)):
        across, along = (_spot(low, high, share) for low, high in ends)
        if not {"inside", "before", "behind"} & {across, along}:
            return f"{word} {_named(across, along)}"
    across, along = (_spot(low, high, AT) for low, high in ends)
    sides = [words[spot] for words, spot in ((ALONG, along), (ACROSS, across)) if spot in words]
    return f"{' and '.join(sides)} of the cuts" if sides else "inside the cuts, at no corner and not at the centre"


def _spot(low: float, high: float, share: float) -> Spot:
    """Return where 0 lies between two ends; the middle counts only where it is not an end as well."""
    room = max(share * (high - low), LEAST_MM)
    if abs(low + high) / 2 <= room:
        return "middle"
    if abs(low) <= room:
        return "low"
    if abs(high) <= room:
        return "high"
    return "before" if low > 0 else "behind" if high < 0 else "inside"


def _named(across: Spot, along: Spot) -> str:
    """Return the corner, the middle of a side, or the centre of the cuts."""
    if across == "middle" and along == "middle":
        return "the centre of the cuts"
    if across == "middle":
        return f"the middle of the {SIDES[along][1]} side of the cuts"
    if along == "middle":
        return f"the middle of the {SIDES[across][0]} side of the cuts"
    return f"the {SIDES[along][1]} {SIDES[across][0]} corner of the cuts"

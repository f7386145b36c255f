"""Words beside their places, so that none hides another."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes

__all__ = ["Label", "shorten", "write_labels"]

FONT = 8
LETTER, LINE = 4.6, 11.0  # about how wide and how high a letter is [pt]
AWAY = 9.0  # from a place to its words [pt]
POINTS = 72.0  # in an inch
SIDES = ((1, 1), (1, -1), (-1, 1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))
FARTHER = (1.0, 2.5, 4.5)
Spot = tuple[float, float, float, float]  # left, right, bottom, top [pt]


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words and their place [mm]; ``centred``: over or near the place, wherever that is free."""

    text: str
    at_mm: tuple[float, float]
    centred: bool = False


def shorten(text: str, most: int) -> str:
    """Return a text of at most so many letters, with dots in place of the rest."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


def write_labels(
    axes: Axes,
    window: tuple[float, float, float, float],
    labels: Sequence[Label],
    *,
    keep_free: Sequence[tuple[float, float]],
) -> None:
    """Write labels whose places lie in the window, each where it hides no other; where none is free, not at all.

    The first come first. Nothing is written over the places to ``keep_free`` [mm].
    """
    left, right, front, back = window
    figure, place = axes.figure, axes.get_position()
    wide = place.width * figure.get_figwidth() * POINTS  # type: ignore[union-attr]  # ours is a Figure
    scale = wide / (right - left)
    inside = [each for each in labels if left <= each.at_mm[0] <= right and front <= each.at_mm[1] <= back]
    taken = [_around((x - left) * scale, (y - front) * scale, AWAY * 0.6) for x, y in keep_free]
    edge: Spot = (0.0, wide, 0.0, (back - front) * scale)
    box: dict[str, Any] = {"facecolor": "white", "edgecolor": "none", "pad": 1.5, "alpha": 0.85}
    for label in inside:
        at = (label.at_mm[0] - left) * scale, (label.at_mm[1] - front) * scale
        spot = _free(label, at, taken, edge)
        if spot is None:
            continue
        taken.append(spot)
        middle = ((spot[0] + spot[1]) / 2 - at[0], (spot[2] + spot[3]) / 2 - at[1])
        axes.annotate(
            label.text,
            label.at_mm,
            xytext=middle,
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=FONT,
            bbox=box,
            parse_math=False,
            zorder=8,
        )


def _free(label: Label, at: tuple[float, float], taken: Sequence[Spot], edge: Spot) -> Spot | None:
    """Return the first spot about a place that is free."""
    lines = label.text.split("\n")
    half_wide, half_high = max(map(len, lines)) * LETTER / 2, len(lines) * LINE / 2
    spots = [(0.0, 0.0)] if label.centred else []
    spots += [(x * (half_wide + AWAY), y * (half_high + AWAY * far - AWAY / 2)) for far in FARTHER for x, y in SIDES]
    for x, y in spots:
        across, up = at[0] + x, at[1] + y
        if label.centred:  # moved inside, where it reaches over the edge
            across = max(min(across, edge[1] - half_wide), edge[0] + half_wide)
            up = max(min(up, edge[3] - half_high), edge[2] + half_high)
        spot = (across - half_wide, across + half_wide, up - half_high, up + half_high)
        within = spot[0] >= edge[0] and spot[1] <= edge[1] and spot[2] >= edge[2] and spot[3] <= edge[3]
        if within and not any(_meet(spot, other) for other in taken):
            return spot
    return None


def _around(x: float, y: float, reach: float) -> Spot:
    return x - reach, x + reach, y - reach, y + reach


def _meet(one: Spot, other: Spot) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]

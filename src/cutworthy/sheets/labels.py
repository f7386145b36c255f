"""Words beside their places, so that none hides another."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes

__all__ = ["Label", "shorten", "write_labels"]

FONT = 8
LETTER, LINE = 4.6, 11.0  # about how wide and how high a letter is [pt]
AWAY = 9.0  # from a place to its words [pt]
POINTS = 72.0  # in an inch
SIDES = ((1, 1), (1, -1), (-1, 1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))
BESIDE = ((0, 1), (0, -1), (1, 0), (-1, 0))  # of what is too small for its name
FARTHER = (1.0, 2.5, 4.5)
CLOSE = 3.0  # from a thing to the name beside it [pt]
LEADER: dict[str, Any] = {"arrowstyle": "-", "linewidth": 0.8, "color": "black"}  # to words that stand off
Spot = tuple[float, float, float, float]  # left, right, bottom, top [pt]


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words and their place [mm]; ``centred``: over or near the place, wherever that is free.

    ``room_mm``: of the thing that a centred label names, along x and y. Words that do not fit into it give way to the
    ``short`` ones, and these, or words without, stand beside it.
    """

    text: str
    at_mm: tuple[float, float]
    centred: bool = False
    short: str = ""
    room_mm: tuple[float, float] | None = None


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
        room = None if label.room_mm is None else (label.room_mm[0] * scale, label.room_mm[1] * scale)
        text = label.text if not label.short or room is None or _fits(label.text, room) else label.short
        spot = _free(_spots(label, text, room, at, edge), taken, edge)
        if spot is None:
            continue
        taken.append(spot)
        far = room is None and max(spot[0] - at[0], at[0] - spot[1], spot[2] - at[1], at[1] - spot[3]) > 1.2 * AWAY
        middle = ((spot[0] + spot[1]) / 2 - at[0], (spot[2] + spot[3]) / 2 - at[1])
        axes.annotate(
            text,
            label.at_mm,
            xytext=middle,
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=FONT,
            bbox=box,
            arrowprops=LEADER if far else None,
            parse_math=False,
            zorder=8,
        )


def _size(text: str) -> tuple[float, float]:
    """Return half the width and half the height of a text, about [pt]."""
    lines = text.split("\n")
    return max(map(len, lines)) * LETTER / 2, len(lines) * LINE / 2


def _fits(text: str, room: tuple[float, float]) -> bool:
    half_wide, half_high = _size(text)
    return 2 * half_wide <= room[0] and 2 * half_high <= room[1]


def _spots(
    label: Label, text: str, room: tuple[float, float] | None, at: tuple[float, float], edge: Spot
) -> Iterator[Spot]:
    """Yield where the words may be, the best first."""
    half_wide, half_high = _size(text)

    def spot(x: float, y: float, *, held: tuple[bool, bool]) -> Spot:
        """Return a spot at an offset, moved along x and y into the plot where it is held there."""
        across, up = at[0] + x, at[1] + y
        if held[0]:
            across = max(min(across, edge[1] - half_wide), edge[0] + half_wide)
        if held[1]:
            up = max(min(up, edge[3] - half_high), edge[2] + half_high)
        return across - half_wide, across + half_wide, up - half_high, up + half_high

    if room is not None and not _fits(text, room):
        away = room[0] / 2 + half_wide + CLOSE, room[1] / 2 + half_high + CLOSE
        yield from (spot(x * away[0], y * away[1], held=(x == 0, y == 0)) for x, y in BESIDE)
    if label.centred:
        yield spot(0.0, 0.0, held=(True, True))
    held = label.centred, label.centred
    for far in FARTHER:
        for x, y in SIDES:
            yield spot(x * (half_wide + AWAY), y * (half_high + AWAY * far - AWAY / 2), held=held)


def _free(spots: Iterator[Spot], taken: Sequence[Spot], edge: Spot) -> Spot | None:
    """Return the first spot in the plot that is free."""
    for spot in spots:
        within = spot[0] >= edge[0] and spot[1] <= edge[1] and spot[2] >= edge[2] and spot[3] <= edge[3]
        if within and not any(_meet(spot, other) for other in taken):
            return spot
    return None


def _around(x: float, y: float, reach: float) -> Spot:
    return x - reach, x + reach, y - reach, y + reach


def _meet(one: Spot, other: Spot) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]

"""What all pictures of a job show: the board, clamps, zero, marks and names, and how much around them."""

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle as Box

from cutworthy.present.scene import Mark, Rectangle, Scene
from cutworthy.sheets.labels import Label, shorten, write_labels

__all__ = ["FAULT", "PLACE", "WARN", "Window", "board_window", "box", "furnish", "named", "window_over"]

Window = tuple[float, float, float, float]  # left, right, front, back [mm]

CLAMP, WARN = "#6f7f8f", "#a4161a"
CLAMP_HATCH = "///"
FAULT: dict[str, Any] = {"marker": "X", "markersize": 12, "color": WARN, "markeredgecolor": "white"}
PLACE: dict[str, Any] = {"marker": "o", "markersize": 9, "markerfacecolor": "white", "markeredgecolor": "black"}
# Of the board's longer side: how much of what stands beside it is seen, and the room around all that is.
BESIDE, AROUND = 0.2, 0.03
NARROWEST = 0.16  # a side of what is shown, as a share of the other
NAME = 24  # letters of a name


def board_window(scene: Scene, shown: Sequence[tuple[float, float]] = ()) -> Window:
    """Return the board with some room around it, and whatever else is to be shown."""
    board = scene.board
    (left, front), (right, back) = board.low_mm, board.high_mm
    beside, around = (share * max(right - left, back - front) for share in (BESIDE, AROUND))
    corners = [corner for clamp in scene.clamps for corner in (clamp.low_mm, clamp.high_mm)]
    near = [
        (min(max(x, left - beside), right + beside), min(max(y, front - beside), back + beside)) for x, y in corners
    ]
    x, y = zip(board.low_mm, board.high_mm, *near, *shown, strict=True)
    return window_over(list(zip(x, y, strict=True)), around)


def window_over(places: Sequence[tuple[float, float]], around: float) -> Window:
    """Return what shows some places and so much around them [mm], wide and high enough for words."""
    x, y = zip(*places, strict=True)
    around = max(around, AROUND * max(max(x) - min(x), max(y) - min(y)))
    wide, high = max(x) - min(x) + 2 * around, max(y) - min(y) + 2 * around
    wide, high = max(wide, high * NARROWEST), max(high, wide * NARROWEST)
    middle_x, middle_y = (min(x) + max(x)) / 2, (min(y) + max(y)) / 2
    return middle_x - wide / 2, middle_x + wide / 2, middle_y - high / 2, middle_y + high / 2


def furnish(axes: Axes, scene: Scene, window: Window, marks: Sequence[Mark], names: Sequence[Label] = ()) -> None:
    """Draw what every picture of a job shows: clamps, zero, marks and names, as far as they lie in the window."""
    labels = list(names)
    for clamp in scene.clamps:
        axes.add_patch(box(clamp, facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, zorder=4))
        labels.append(named(clamp, window))
    axes.plot(*scene.zero.at_mm, marker="+", markersize=16, color="black", markeredgewidth=2, zorder=6)
    for mark in marks:
        axes.plot(*mark.at_mm, **(FAULT if mark.fault else PLACE), zorder=7)
    told = [mark for mark in (*marks, scene.zero) if mark is not scene.nearest]  # the legend tells of the nearest miss
    words = [Label(text=mark.text, at_mm=mark.at_mm) for mark in told]
    write_labels(axes, window, [*words, *labels], keep_free=[mark.at_mm for mark in (*marks, scene.zero)])


def box(rectangle: Rectangle, **look: Any) -> Box:  # noqa: ANN401 - what a patch takes
    """Return a rectangle to draw."""
    (left, front), (right, back) = rectangle.low_mm, rectangle.high_mm
    return Box((left, front), right - left, back - front, **look)


def named(thing: Rectangle, window: Window) -> Label:
    """Return the name of what is seen of a thing."""
    left, right, front, back = window
    (low_x, low_y), (high_x, high_y) = thing.low_mm, thing.high_mm
    low, high = (max(low_x, left), max(low_y, front)), (min(high_x, right), min(high_y, back))
    return Label(
        text=shorten(thing.name, NAME),
        at_mm=((low[0] + high[0]) / 2, (low[1] + high[1]) / 2),
        centred=True,
        room_mm=(high[0] - low[0], high[1] - low[1]),
    )

"""Panels of a picture of a job: paper, frame, legend, and what all of them show. Colour only as a help."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from textwrap import wrap
from typing import Any, Literal

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle as Box
from matplotlib.ticker import FuncFormatter, MaxNLocator

from cutworthy.present.scene import MAKER, Mark, Rectangle, Scene
from cutworthy.sheets.labels import Label, shorten, write_labels
from cutworthy.units import MM_PER_INCH

__all__ = [
    "FAULT",
    "PLACE",
    "WARN",
    "Form",
    "Panel",
    "Window",
    "board_window",
    "box",
    "draw_panels",
    "furnish",
    "scale",
    "wrapped",
    "written",
]

Form = Literal["png", "svg"]
Window = tuple[float, float, float, float]  # left, right, front, back [mm]

CLAMP, WARN = "#6f7f8f", "#a4161a"
CLAMP_HATCH = "///"
FAULT: dict[str, Any] = {"marker": "X", "markersize": 12, "color": WARN, "markeredgecolor": "white"}
PLACE: dict[str, Any] = {"marker": "o", "markersize": 9, "markerfacecolor": "white", "markeredgecolor": "black"}
DPI = 140
CHUNK = 10_000  # places of a line that are drawn at once: the drawing library gives up on longer ones
# Of the board's longer side: how much of what stands beside it is seen, and the room around all.
BESIDE, AROUND = 0.12, 0.03
NARROWEST = 0.25  # a side of what is shown, as a share of the other
UPRIGHT = 0.65  # height over width from which two panels stand side by side
# Of the paper [in]: plots, the room beside and around them, a line of a legend, letters of such a line.
PLOT_WIDTH, MOST_HEIGHT, BESIDE_WIDTH, WORDS_WIDTH, LEFT, LEGEND_WIDTH = 6.3, 6.3, 4.6, 4.4, 0.75, 2.75
HEAD, TITLE, UNDER, FOOT, LINE = 0.45, 0.3, 0.66, 0.25, 0.19
LETTERS, NAME, BROAD, FONT = 34, 24, 58, 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One plot: the part of the board that it shows, its words, and what draws it.

    ``signs``: what the legend explains; ``notes``: sentences below it.
    """

    window: Window
    title: str
    legend_title: str
    signs: Sequence[Any]
    notes: Sequence[str]
    draw: Callable[[Axes, Window], None]

    @property
    def ratio(self) -> float:
        """Height over width."""
        left, right, front, back = self.window
        return (back - front) / (right - left)

    @property
    def rows(self) -> int:
        """Lines of the legend."""
        return 1 + sum(1 + str(sign.get_label()).count("\n") for sign in self.handles())

    def handles(self) -> list[Any]:
        """Return the signs of the legend, and its sentences as signs without a picture."""
        notes = [Line2D([], [], linestyle="none", label=wrapped(note)) for note in self.notes]
        return [*self.signs, *notes]


def draw_panels(scene: Scene, panels: Sequence[Panel], form: Form) -> bytes:
    """Return one picture of panels, PNG or SVG, which names us as its maker."""
    figure = Figure()
    FigureCanvasAgg(figure)
    beside = len(panels) > 1 and all(panel.ratio > UPRIGHT for panel in panels)
    for panel, axes in zip(panels, (_beside if beside else _below)(figure, panels), strict=True):
        panel.draw(axes, panel.window)
        _frame(axes, panel, scene, below=beside)
    height = figure.get_figheight()
    left = LEFT / figure.get_figwidth()
    figure.suptitle(
        scene.title, x=left, y=1 - 0.12 / height, ha="left", fontsize=14, fontweight="bold", parse_math=False
    )
    figure.supxlabel(scene.footer, x=left, y=0.08 / height, ha="left", fontsize=FONT, parse_math=False)
    return written(figure, form, DPI)


def written(figure: Figure, form: Form, dpi: int) -> bytes:
    """Return a figure as PNG or SVG, which names us as its maker."""
    maker = {"Date": None, "Creator": MAKER} if form == "svg" else {"Software": MAKER}
    picture = BytesIO()
    with rc_context({"svg.hashsalt": MAKER, "agg.path.chunksize": CHUNK}):
        figure.savefig(picture, format=form, dpi=dpi, metadata=maker)
    return picture.getvalue()


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
    wide, high = max(x) - min(x) + 2 * around, max(y) - min(y) + 2 * around
    wide, high = max(wide, high * NARROWEST), max(high, wide * NARROWEST)
    middle_x, middle_y = (min(x) + max(x)) / 2, (min(y) + max(y)) / 2
    return middle_x - wide / 2, middle_x + wide / 2, middle_y - high / 2, middle_y + high / 2


def furnish(axes: Axes, scene: Scene, window: Window, marks: Sequence[Mark], names: Sequence[Label] = ()) -> None:
    """Draw what every picture of a job shows: clamps, zero, marks and names, as far as they lie in the window."""
    left, right, front, back = window
    labels = list(names)
    for clamp in scene.clamps:
        axes.add_patch(box(clamp, facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, zorder=4))
        x = (max(clamp.low_mm[0], left) + min(clamp.high_mm[0], right)) / 2
        y = (max(clamp.low_mm[1], front) + min(clamp.high_mm[1], back)) / 2
        labels.append(Label(text=shorten(clamp.name, NAME), at_mm=(x, y), centred=True))
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


def wrapped(text: str) -> str:
    """Return text in lines that are short enough for a legend."""
    return "\n".join(wrap(text, LETTERS))


def _below(figure: Figure, panels: Sequence[Panel]) -> list[Axes]:
    """Return plots one below the other, each with room for its legend on the right."""
    width = LEFT + PLOT_WIDTH + LEGEND_WIDTH
    highs = [min(PLOT_WIDTH * panel.ratio, MOST_HEIGHT) for panel in panels]
    rooms = [max(high, panel.rows * LINE) for high, panel in zip(highs, panels, strict=True)]
    height = HEAD + FOOT + sum(TITLE + room + UNDER for room in rooms)
    figure.set_size_inches(width, height)
    plots, top = [], height - HEAD
    for panel, high, room in zip(panels, highs, rooms, strict=True):
        top -= TITLE
        wide = high / panel.ratio
        plots.append(figure.add_axes((LEFT / width, (top - high) / height, wide / width, high / height)))
        top -= room + UNDER
    return plots


def _beside(figure: Figure, panels: Sequence[Panel]) -> list[Axes]:
    """Return plots side by side, each with room for its legend below."""
    highs = [min(BESIDE_WIDTH * panel.ratio, MOST_HEIGHT) for panel in panels]
    wides = [high / panel.ratio for high, panel in zip(highs, panels, strict=True)]
    column = LEFT + max(WORDS_WIDTH, *wides)
    width = column * len(panels) + LEFT / 3
    legend = max(panel.rows for panel in panels) * LINE
    height = HEAD + TITLE + max(highs) + UNDER + legend + FOOT
    figure.set_size_inches(width, height)
    plots = []
    for number, (wide, high) in enumerate(zip(wides, highs, strict=True)):
        left, low = LEFT + number * column, height - HEAD - TITLE - high
        plots.append(figure.add_axes((left / width, low / height, wide / width, high / height)))
    return plots


def _frame(axes: Axes, panel: Panel, scene: Scene, *, below: bool) -> None:
    """Scale the plot, and say what it is and what its signs are."""
    scale(axes, panel.window, scene.units)
    axes.set_title(shorten(panel.title, BROAD), fontsize=10, parse_math=False, loc="left")
    high = axes.get_position().height * axes.figure.get_figheight()  # type: ignore[union-attr]  # ours is a Figure
    legend = axes.legend(
        handles=panel.handles(),
        title=panel.legend_title,
        title_fontproperties={"size": FONT + 1, "weight": "bold"},
        alignment="left",
        fontsize=FONT,
        loc="upper left",
        bbox_to_anchor=(0.0, -(UNDER - 0.1) / high) if below else (1.01, 1.0),
        frameon=False,
        handlelength=2.6,
        handleheight=1.4,
        borderaxespad=0.0,
    )
    for text in legend.get_texts():
        text.set_parse_math(False)


def scale(axes: Axes, window: Window, units: Literal["mm", "inch"]) -> None:
    """Show a part of the board, and name the axes as a person stands before them."""
    axes.set_xlim(window[0], window[1])
    axes.set_ylim(window[2], window[3])
    inch = units == "inch"
    for axis in (axes.xaxis, axes.yaxis):
        steps = [1, 2, 5, 10]
        axis.set_major_locator(_Inches(nbins=7, steps=steps) if inch else MaxNLocator(nbins=7, steps=steps))
        if inch:
            axis.set_major_formatter(FuncFormatter(lambda place, _: f"{place / MM_PER_INCH:g}"))
    unit = "in" if inch else "mm"
    axes.tick_params(labelsize=FONT)
    axes.set_xlabel(f"{unit} from the board's left edge", fontsize=9)
    axes.set_ylabel(f"{unit} from its front edge", fontsize=9)


class _Inches(MaxNLocator):
    """Round places in inches, for an axis that counts millimetres."""

    def tick_values(self, vmin: float, vmax: float) -> Any:  # noqa: ANN401 - as the base class has it
        return np.asarray(super().tick_values(vmin / MM_PER_INCH, vmax / MM_PER_INCH)) * MM_PER_INCH

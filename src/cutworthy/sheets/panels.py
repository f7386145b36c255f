"""Panels of a picture of a job: paper, head, plots and their legends."""

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
from matplotlib.ticker import FuncFormatter, MaxNLocator

from cutworthy.present.places_view import PlacesView
from cutworthy.present.scene import MAKER, Scene
from cutworthy.sheets.board import Window
from cutworthy.sheets.labels import shorten
from cutworthy.units import MM_PER_INCH

__all__ = ["Form", "Panel", "draw_panels", "wrapped", "written"]

Form = Literal["png", "svg"]
Sheet = Scene | PlacesView  # what has a title, what it is about, why, and the units of the axes
Where = Literal["right", "below", "below in columns"]  # a legend, of its plot

DPI = 140
CHUNK = 10_000  # places of a line that are drawn at once: the drawing library gives up on longer ones
# Height over width: from which two panels stand side by side, of a plot as wide as the paper, of a narrow one.
UPRIGHT, LONG, NARROW = 0.65, 0.3, 3.0
# Of the paper [in]: plots, the room beside and around them, a line of a legend, and of the head.
PLOT_WIDTH, MOST_HEIGHT, BESIDE_WIDTH, WORDS_WIDTH, LEFT, LEGEND_WIDTH = 6.3, 6.3, 4.6, 4.4, 0.75, 2.75
HEAD, TITLE, UNDER, FOOT, LINE, SENTENCE, GAP, TICK = 0.5, 0.3, 0.66, 0.25, 0.19, 0.17, 0.1, 0.42
COLUMNS = 3  # of a legend below a long plot
FONT = 8
# Letters of a legend's line, of a bold one, of a title, in an inch.
LETTERS, BOLD, BROAD, INCH = 34, 28, 58, 14.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One plot: the part of the board that it shows, its words, and what draws it.

    ``signs``: what the legend explains; ``notes``: sentences below it; ``most_high``: the plot at most [in].
    """

    window: Window
    title: str
    legend_title: str
    signs: Sequence[Any]
    notes: Sequence[str]
    draw: Callable[[Axes, Window], None]
    most_high: float = MOST_HEIGHT

    @property
    def ratio(self) -> float:
        """Height over width."""
        left, right, front, back = self.window
        return (back - front) / (right - left)

    def rows(self, columns: int = 1) -> int:
        """Return how many lines the legend has in so many columns."""
        lines = [1 + str(sign.get_label()).count("\n") for sign in self.handles()]
        return 2 + self.heading.count("\n") + int(max(part.sum() for part in np.array_split(lines, columns)))

    @property
    def heading(self) -> str:
        """Title of the legend."""
        return "\n".join(wrap(self.legend_title, BOLD))

    def handles(self) -> list[Any]:
        """Return the signs of the legend, and its sentences as signs without a picture."""
        notes = [Line2D([], [], linestyle="none", label=wrapped(note)) for note in self.notes]
        return [*self.signs, *notes]


def draw_panels(sheet: Sheet, panels: Sequence[Panel], form: Form) -> bytes:
    """Return one picture of panels, PNG or SVG, which names us as its maker."""
    figure = Figure()
    FigureCanvasAgg(figure)
    beside = len(panels) > 1 and all(panel.ratio > UPRIGHT for panel in panels)
    width = (LEFT + WORDS_WIDTH + 0.2) * len(panels) + LEFT / 3 if beside else LEFT + PLOT_WIDTH + LEGEND_WIDTH
    head = _head(sheet, round((width - LEFT) * INCH))
    for panel, (axes, where) in zip(panels, (_beside if beside else _below)(figure, panels, width, head), strict=True):
        panel.draw(axes, panel.window)
        _frame(axes, panel, sheet, where)
    high, left = figure.get_figheight(), LEFT / width
    words = "\n".join(head)
    top: dict[str, Any] = {"x": left, "ha": "left", "va": "top", "parse_math": False}
    figure.suptitle(sheet.title, y=1 - 0.12 / high, fontsize=14, fontweight="bold", **top)
    figure.text(y=1 - HEAD / high, s=words, fontsize=FONT + 0.5, linespacing=1.35, **top)
    figure.supxlabel(sheet.footer, x=left, y=0.08 / high, ha="left", fontsize=FONT, parse_math=False)
    return written(figure, form, DPI)


def _head(sheet: Sheet, letters: int) -> list[str]:
    """Return the lines below the title."""
    lines = [shorten(sheet.board_says, letters)]
    for sentence in sheet.because:
        lines += wrap(sentence, letters, initial_indent="• ", subsequent_indent="   ")
    return lines


def written(figure: Figure, form: Form, dpi: int) -> bytes:
    """Return a figure as PNG or SVG, which names us as its maker."""
    maker = {"Date": None, "Creator": MAKER} if form == "svg" else {"Software": MAKER}
    picture = BytesIO()
    with rc_context({"svg.hashsalt": MAKER, "agg.path.chunksize": CHUNK}):
        figure.savefig(picture, format=form, dpi=dpi, metadata=maker)
    return picture.getvalue()


def wrapped(text: str) -> str:
    """Return text in lines that are short enough for a legend."""
    return "\n".join(wrap(text, LETTERS))


def _below(figure: Figure, panels: Sequence[Panel], width: float, head: Sequence[str]) -> list[tuple[Axes, Where]]:
    """Return plots one below the other, each with its legend on the right; a long one has it below."""
    places: list[tuple[float, float, float, Where]] = []
    low = HEAD + len(head) * SENTENCE + GAP
    for panel in panels:
        long = panel.ratio < LONG
        wide = width - LEFT - 0.25 if long else PLOT_WIDTH
        high = min(wide * panel.ratio, panel.most_high)
        legend = panel.rows(COLUMNS if long else 1) * LINE
        low += TITLE
        places.append((low + high, high / panel.ratio, high, "below in columns" if long else "right"))
        low += high + UNDER + legend + GAP if long else max(high, legend) + UNDER
    height = low + FOOT
    figure.set_size_inches(width, height)
    return [
        (figure.add_axes((LEFT / width, 1 - bottom / height, wide / width, high / height)), where)
        for bottom, wide, high, where in places
    ]


def _beside(figure: Figure, panels: Sequence[Panel], width: float, head: Sequence[str]) -> list[tuple[Axes, Where]]:
    """Return plots side by side, each with its legend below; narrow ones have it on their right."""
    narrow = all(panel.ratio > NARROW for panel in panels)
    highs = [MOST_HEIGHT * 1.3 if narrow else min(BESIDE_WIDTH * panel.ratio, panel.most_high) for panel in panels]
    top = HEAD + len(head) * SENTENCE + GAP + TITLE
    legend = 0.0 if narrow else max(panel.rows() for panel in panels) * LINE
    height = top + max(highs) + UNDER + legend + FOOT
    figure.set_size_inches(width, height)
    column = (width - LEFT / 3) / len(panels)
    return [
        (
            figure.add_axes(
                (
                    (LEFT + number * column) / width,
                    1 - (top + high) / height,
                    high / panel.ratio / width,
                    high / height,
                )
            ),
            "right" if narrow else "below",
        )
        for number, (panel, high) in enumerate(zip(panels, highs, strict=True))
    ]


def _frame(axes: Axes, panel: Panel, sheet: Sheet, where: Where) -> None:
    """Scale the plot, and say what it is and what its signs are."""
    _scale(axes, panel.window, sheet.units)
    axes.set_title(shorten(panel.title, BROAD), fontsize=10, parse_math=False, loc="left")
    figure, place = axes.figure, axes.get_position()
    high = place.height * figure.get_figheight()  # type: ignore[union-attr]  # ours is a Figure
    wide = place.width * figure.get_figwidth()  # type: ignore[union-attr]
    legend = axes.legend(
        handles=panel.handles(),
        title=panel.heading,
        title_fontproperties={"size": FONT + 1, "weight": "bold"},
        alignment="left",
        fontsize=FONT,
        loc="upper left",
        bbox_to_anchor=(1 + GAP / wide, 1.0) if where == "right" else (0.0, -(UNDER - GAP) / high),
        ncols=COLUMNS if where == "below in columns" else 1,
        frameon=False,
        handlelength=2.6,
        handleheight=1.4,
        borderaxespad=0.0,
    )
    for text in (*legend.get_texts(), legend.get_title()):
        text.set_parse_math(False)


def _scale(axes: Axes, window: Window, units: Literal["mm", "inch"]) -> None:
    """Show a part of the board, and name the axes as a person stands before them."""
    axes.set_xlim(window[0], window[1])
    axes.set_ylim(window[2], window[3])
    inch, steps = units == "inch", [1, 2, 5, 10]
    wide = axes.get_position().width * axes.figure.get_figwidth()  # type: ignore[union-attr]  # ours is a Figure
    for axis, most in ((axes.xaxis, max(2, min(7, int(wide / TICK)))), (axes.yaxis, 7)):
        axis.set_major_locator(_Inches(nbins=most, steps=steps) if inch else MaxNLocator(nbins=most, steps=steps))
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

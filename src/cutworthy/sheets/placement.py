"""Draws where zero and clamps may stand: two plans, one above the other; colour only as a help."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from cutworthy.model.placement import Side
from cutworthy.present.places_view import Area, PlacesView
from cutworthy.present.scene import Mark, Rectangle
from cutworthy.sheets.panels import Form, Window, box, scale, written

__all__ = ["draw_places"]

# Told apart by lightness too: a pale ground, a middle green with a dark rim, hatching where nothing may be.
WOOD, CLAMP, ALLOWED, RIM, NO, CUT = "#f4ecdf", "#6f7f8f", "#9fd3c3", "#0b4f42", "#7a1f3d", "#1b4965"
HATCH, CLAMP_HATCH = "////", "..."
DPI, WIDTH, LEFT, PLOT_WIDTH, MOST_HEIGHT = 130, 9.0, 0.75, 5.7, 4.4  # [in]
EDGE, TITLE, BETWEEN = 0.4, 0.3, 0.95  # at top and bottom, over a plot, and from one plot to the next [in]
AROUND = 0.35  # of the region's size: how much of the board is shown beside it
LEAST_AROUND_MM = 12.0
CENTRED: dict[str, Any] = {"xytext": (0, 0), "ha": "center", "va": "center"}
BEYOND: dict[Side, dict[str, Any]] = {
    "left": {"xytext": (-4, 0), "ha": "right", "va": "center"},
    "right": {"xytext": (4, 0), "ha": "left", "va": "center"},
    "front": {"xytext": (0, -4), "ha": "center", "va": "top"},
    "back": {"xytext": (0, 4), "ha": "center", "va": "bottom"},
}


def draw_places(view: PlacesView, form: Form) -> bytes:
    """Return the picture as PNG or SVG, which names us as its maker."""
    figure = Figure()
    FigureCanvasAgg(figure)
    windows = (_region_window(view), _clamp_window(view))
    upper, lower = _plots(figure, windows)
    _draw_zero(upper, view, windows[0])
    _draw_clamp(lower, view, windows[1])
    height = figure.get_figheight()
    figure.suptitle(view.title, y=1 - 0.12 / height, fontsize=14, fontweight="bold", parse_math=False)
    figure.supxlabel(view.footer, y=0.1 / height, fontsize=8, parse_math=False)
    return written(figure, form, DPI)


def _plots(figure: Figure, windows: Sequence[Window]) -> list[Axes]:
    """Return axes one below the other, each as wide or as high as there is room, with room for words on their right."""
    sizes = []
    for window in windows:
        high = min(PLOT_WIDTH * _ratio(window), MOST_HEIGHT)
        sizes.append((high / _ratio(window), high))
    height = 2 * EDGE + sum(high + BETWEEN for _, high in sizes)
    figure.set_size_inches(WIDTH, height)
    plots, top = [], height - EDGE
    for wide, high in sizes:
        low = top - TITLE - high
        plots.append(figure.add_axes((LEFT / WIDTH, low / height, wide / WIDTH, high / height)))
        top -= high + BETWEEN
    return plots


def _draw_zero(axes: Axes, view: PlacesView, window: Window) -> None:
    _ground(axes, view, window)
    _fill(axes, view.blocked, facecolor="white", edgecolor=NO, hatch=HATCH)
    _fill(axes, view.allowed, facecolor=ALLOWED, edgecolor=RIM, hatch=None)
    for clamp in view.clamps:
        _clamp(axes, clamp)
    if view.window is not None:
        axes.add_patch(box(view.window, fill=False, linestyle="dashed", linewidth=1.2, edgecolor="black", zorder=4))
    for arrow in view.arrows:
        axes.annotate(
            "", arrow.end_mm, arrow.start_mm, arrowprops={"arrowstyle": "->", "lw": 1.3, "color": "black"}, zorder=5
        )
        _tell(axes, Mark(text=arrow.text, at_mm=arrow.end_mm), BEYOND[arrow.side])
    if view.best is not None:
        axes.plot(*view.best.at_mm, marker="D", markersize=7, color="white", markeredgecolor="black", zorder=6)
    _zero(axes, view)
    if view.window is None:
        axes.plot(*view.cuts.T, color=CUT, linewidth=0.6, alpha=0.7, zorder=1)
    if view.reason:
        place = {"xytext": (6, -6), "ha": "left", "va": "top"}
        _tell(axes, Mark(text=view.reason, at_mm=(window[0], window[3])), place)
    _frame(axes, view, window, view.subtitle, _zero_handles(view))


def _zero_handles(view: PlacesView) -> list[Any]:
    """Return what the signs of the first plan are."""
    handles: list[Any] = []
    if view.allowed.chosen.any():
        handles.append(Patch(facecolor=ALLOWED, edgecolor=RIM, linewidth=1.4, label="X0 Y0 may stand here"))
    if view.blocked_says:
        handles.append(Patch(facecolor="white", edgecolor=NO, hatch=HATCH, label=view.blocked_says))
    if view.window is not None:
        beyond = "beyond: a cut leaves the board,\nor the machine its travel"
        handles.append(Patch(fill=False, linestyle="dashed", edgecolor="black", label=beyond))
    handles.append(_handle("+", "X0 Y0 as on your card", markeredgewidth=2, markersize=12))
    if view.best is not None:
        handles.append(_handle("D", "most room all around", markerfacecolor="white", markeredgecolor="black"))
    return handles


def _draw_clamp(axes: Axes, view: PlacesView, window: Window) -> None:
    _ground(axes, view, window)
    axes.plot(*view.cuts.T, color=CUT, linewidth=0.6, alpha=0.7, zorder=1)
    _fill(axes, view.keep_out, facecolor="none", edgecolor=NO, hatch=HATCH)
    for clamp in view.clamps:
        _clamp(axes, clamp)
    for clamp in view.reaching:
        axes.add_patch(box(clamp, fill=False, linestyle="dotted", linewidth=1.8, edgecolor="black", zorder=5))
    _zero(axes, view)
    handles: list[Any] = [Patch(facecolor="white", edgecolor=NO, hatch=HATCH, label="no part of such a clamp in here")]
    if view.reaching:
        farthest = "such a clamp, as far over\neach edge as it may reach"
        handles.append(Patch(fill=False, linestyle="dotted", edgecolor="black", linewidth=1.8, label=farthest))
    if view.clamps:
        handles.append(Patch(facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, label="clamps on your card"))
    handles += [Line2D([], [], color=CUT, label="cuts"), _handle("+", "X0 Y0 as on your card", markeredgewidth=2)]
    _frame(axes, view, window, view.clamp_title, handles)


def _ground(axes: Axes, view: PlacesView, window: Window) -> None:
    """Draw the board, and its name in the back right corner of what is seen of it."""
    axes.add_patch(box(view.board, facecolor=WOOD, edgecolor="black", linewidth=1.4, zorder=0))
    right, back = min(view.board.high_mm[0], window[1]), min(view.board.high_mm[1], window[3])
    if right > window[0] and back > window[2]:
        place = {"xytext": (-4, -4), "ha": "right", "va": "top"}
        _tell(axes, Mark(text=view.board.name, at_mm=(right, back)), place)


def _clamp(axes: Axes, clamp: Rectangle) -> None:
    axes.add_patch(box(clamp, facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, alpha=0.55, zorder=3))
    middle = [(low + high) / 2 for low, high in zip(clamp.low_mm, clamp.high_mm, strict=True)]
    _tell(axes, Mark(text=clamp.name, at_mm=(middle[0], middle[1])), CENTRED)


def _zero(axes: Axes, view: PlacesView) -> None:
    axes.plot(*view.zero.at_mm, marker="+", markersize=16, color="black", markeredgewidth=2.2, zorder=7)


def _fill(axes: Axes, area: Area, *, facecolor: str, edgecolor: str, hatch: str | None) -> None:
    """Fill the chosen cells and draw their rim."""
    if not area.chosen.any():
        return
    chosen = np.pad(area.chosen, 1).astype(np.float64)
    rows, columns = chosen.shape
    x = area.low_mm[0] + (np.arange(columns) - 0.5) * area.pitch_mm[0]
    y = area.low_mm[1] + (np.arange(rows) - 0.5) * area.pitch_mm[1]
    filled = axes.contourf(x, y, chosen, levels=[0.5, 1.5], colors=[facecolor], hatches=[hatch], zorder=1)
    filled.set_edgecolor(edgecolor)
    filled.set_linewidth(0.0)
    axes.contour(x, y, chosen, levels=[0.5], colors=[edgecolor], linewidths=1.4, zorder=2)


def _handle(marker: str, label: str, **look: Any) -> Line2D:  # noqa: ANN401 - what a line takes
    return Line2D([], [], marker=marker, color="black", linestyle="none", label=label, **look)


def _tell(axes: Axes, mark: Mark, place: dict[str, Any]) -> None:
    box = {"facecolor": "white", "edgecolor": "none", "pad": 1.2, "alpha": 0.85}
    axes.annotate(
        mark.text,
        mark.at_mm,
        textcoords="offset points",
        fontsize=8,
        bbox=box,
        parse_math=False,
        zorder=8,
        clip_on=True,
        annotation_clip=True,
        **place,
    )


def _frame(axes: Axes, view: PlacesView, window: Window, title: str, handles: Sequence[Any]) -> None:
    """Scale, name the axes as a person stands before them, and say what the signs are."""
    scale(axes, window, view.units)
    axes.set_title(title, fontsize=10, parse_math=False, loc="left")
    legend = axes.legend(
        handles=handles,
        fontsize=8,
        loc="upper left",
        bbox_to_anchor=(1.01, 1.0),
        frameon=False,
        handlelength=2.6,
        handleheight=1.6,
        borderaxespad=0.0,
    )
    for text in legend.get_texts():
        text.set_parse_math(False)


def _region_window(view: PlacesView) -> Window:
    """Return what the first plan shows: the region and some of the board beside it, all of it where there is none."""
    if view.window is None:
        return _clamp_window(view)
    shown = [view.zero.at_mm] + ([] if view.window is None else [view.window.low_mm, view.window.high_mm])
    around = max(LEAST_AROUND_MM, *(AROUND * (max(at[i] for at in shown) - min(at[i] for at in shown)) for i in (0, 1)))
    return _window(shown, around)


def _clamp_window(view: PlacesView) -> Window:
    area = view.keep_out
    rows, columns = np.nonzero(area.chosen)
    shown = [view.board.low_mm, view.board.high_mm, view.zero.at_mm]
    for each in (*view.clamps, *view.reaching):
        shown += [each.low_mm, each.high_mm]
    if len(rows):
        ends = ((columns.min(), rows.min()), (columns.max() + 1, rows.max() + 1))
        shown += [
            (area.low_mm[0] + float(c) * area.pitch_mm[0], area.low_mm[1] + float(r) * area.pitch_mm[1])
            for c, r in ends
        ]
    return _window(shown, LEAST_AROUND_MM)


def _window(shown: Sequence[tuple[float, float]], around: float) -> Window:
    x, y = zip(*shown, strict=True)
    return min(x) - around, max(x) + around, min(y) - around, max(y) + around


def _ratio(window: Window) -> float:
    return (window[3] - window[2]) / (window[1] - window[0])

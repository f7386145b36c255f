"""Draws where zero and clamps may stand: two plans, one above the other; colour only as a help."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from cutworthy.model.placement import Side
from cutworthy.present.places_view import Area, PlacesView
from cutworthy.present.scene import Mark
from cutworthy.present.ways import MANY
from cutworthy.sheets.board import Window, box, named, window_over
from cutworthy.sheets.labels import write_labels
from cutworthy.sheets.panels import Form, Panel, draw_panels, wrapped

__all__ = ["draw_places"]

# Told apart by lightness too: a pale ground, a middle green with a dark rim, hatching where nothing may be.
WOOD, CLAMP, ALLOWED, RIM, NO, CUT = "#f4ecdf", "#6f7f8f", "#9fd3c3", "#0b4f42", "#7a1f3d", "#1b4965"
CUTS: dict[str, Any] = {"color": CUT, "linewidth": 0.8, "alpha": 0.8}
HATCH, CLAMP_HATCH = "////", "..."
MOST_HEIGHT = 4.4  # of a plot [in]
AROUND = 0.35  # of the region's size: how much of the board is shown beside it
LEAST_AROUND_MM = 12.0
BEYOND: dict[Side, dict[str, Any]] = {
    "left": {"xytext": (-4, 0), "ha": "right", "va": "center"},
    "right": {"xytext": (4, 0), "ha": "left", "va": "center"},
    "front": {"xytext": (0, -4), "ha": "center", "va": "top"},
    "back": {"xytext": (0, 4), "ha": "center", "va": "bottom"},
}


def draw_places(view: PlacesView, form: Form) -> bytes:
    """Return the picture as PNG or SVG, which names us as its maker."""
    zero = Panel(
        window=_region_window(view),
        title="Where X0 Y0 may stand",
        legend_title="Zero",
        signs=_zero_handles(view),
        notes=(),
        draw=lambda axes, window: _draw_zero(axes, view, window),
        most_high=MOST_HEIGHT,
    )
    clamp = Panel(
        window=_clamp_window(view),
        title="Where a clamp may stand: all of it outside the hatching",
        legend_title=view.clamp_says,
        signs=_clamp_handles(view),
        notes=(),
        draw=lambda axes, window: _draw_clamp(axes, view, window),
        most_high=MOST_HEIGHT,
    )
    return draw_panels(view, [zero, clamp], form)


def _draw_zero(axes: Axes, view: PlacesView, window: Window) -> None:
    _ground(axes, view)
    _fill(axes, view.blocked, facecolor="white", edgecolor=NO, hatch=HATCH)
    _fill(axes, view.allowed, facecolor=ALLOWED, edgecolor=RIM, hatch=None)
    _clamps(axes, view, window)
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
        _cuts(axes, view)


def _zero_handles(view: PlacesView) -> list[Any]:
    """Return what the signs of the first plan are."""
    handles: list[Any] = [_board()]
    if view.allowed.chosen.any():
        handles.append(Patch(facecolor=ALLOWED, edgecolor=RIM, linewidth=1.4, label="X0 Y0 may stand here"))
    if view.blocked_says:
        handles.append(Patch(facecolor="white", edgecolor=NO, hatch=HATCH, label=wrapped(view.blocked_says)))
    if view.window is not None:
        beyond = "beyond: a cut leaves the board,\nor the machine its travel"
        handles.append(Patch(fill=False, linestyle="dashed", edgecolor="black", label=beyond))
    elif len(view.cuts):
        handles.append(Line2D([], [], label="cuts", **CUTS))
    handles.append(_cross())
    if view.best is not None:
        handles.append(_handle("D", "most room all around", markerfacecolor="white", markeredgecolor="black"))
    return handles


def _draw_clamp(axes: Axes, view: PlacesView, window: Window) -> None:
    _ground(axes, view)
    _cuts(axes, view)
    _fill(axes, view.keep_out, facecolor="none", edgecolor=NO, hatch=HATCH)
    _clamps(axes, view, window)
    for clamp in view.reaching:
        axes.add_patch(box(clamp, fill=False, linestyle="dotted", linewidth=1.8, edgecolor="black", zorder=5))
    _zero(axes, view)


def _clamp_handles(view: PlacesView) -> list[Any]:
    """Return what the signs of the second plan are."""
    handles: list[Any] = [
        _board(),
        Patch(facecolor="white", edgecolor=NO, hatch=HATCH, label="no part of such a clamp in here"),
    ]
    if view.reaching:
        farthest = "such a clamp, as far over\neach edge as it may reach"
        handles.append(Patch(fill=False, linestyle="dotted", edgecolor="black", linewidth=1.8, label=farthest))
    if view.clamps:
        handles.append(Patch(facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, label="clamps on your card"))
    if len(view.cuts):
        handles.append(Line2D([], [], label="cuts", **CUTS))
    return [*handles, _cross()]


def _board() -> Patch:
    return Patch(facecolor=WOOD, edgecolor="black", linewidth=1.4, label="board")


def _cross() -> Line2D:
    return _handle("+", "X0 Y0 as on your card", markeredgewidth=2, markersize=12)


def _ground(axes: Axes, view: PlacesView) -> None:
    axes.add_patch(box(view.board, facecolor=WOOD, edgecolor="black", linewidth=1.4, zorder=0))


def _clamps(axes: Axes, view: PlacesView, window: Window) -> None:
    """Draw the clamps of the card with their names, none of which hides zero or another."""
    for clamp in view.clamps:
        axes.add_patch(box(clamp, facecolor=CLAMP, edgecolor="black", hatch=CLAMP_HATCH, alpha=0.55, zorder=3))
    write_labels(axes, window, [named(clamp, window) for clamp in view.clamps], keep_free=[view.zero.at_mm])


def _cuts(axes: Axes, view: PlacesView) -> None:
    axes.plot(*view.cuts.T, **CUTS, zorder=1, rasterized=len(view.cuts) > MANY)


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


def _region_window(view: PlacesView) -> Window:
    """Return what the first plan shows: the region and some of the board beside it, all of it where there is none."""
    if view.window is None:
        return _clamp_window(view)
    shown = [view.zero.at_mm] + ([] if view.window is None else [view.window.low_mm, view.window.high_mm])
    around = max(LEAST_AROUND_MM, *(AROUND * (max(at[i] for at in shown) - min(at[i] for at in shown)) for i in (0, 1)))
    return window_over(shown, around)


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
    return window_over(shown, LEAST_AROUND_MM)

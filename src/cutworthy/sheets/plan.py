"""Draws the plan: black and white enough to print, colour only as a help."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from cutworthy.model.columns import Floats
from cutworthy.present.cuts import Colour, Cuts
from cutworthy.present.plan import PlanView
from cutworthy.present.ways import MANY
from cutworthy.sheets.board import FAULT, PLACE, Window, board_window, box, furnish
from cutworthy.sheets.panels import Form, Panel, draw_panels, wrapped

__all__ = ["draw_plan", "plan_panel"]

WOOD = "#f1e7d6"
TRAVELS: dict[str, Any] = {"color": "#8a8a8a", "linewidth": 0.8, "linestyle": "dashed"}
AIR: dict[str, Any] = {"color": "#6b7785", "linewidth": 1.0, "linestyle": "dotted"}
# What comes later lies on top, so it is thinner; darker too, so that grey print tells sorts apart. By speed the slow
# places are to strike the eye instead: they come last and widest.
FIVE = (4.2, 3.3, 2.5, 1.7, 1.0)  # [pt]
LOOKS: dict[Colour, tuple[tuple[str, float], ...]] = {
    "speed": (("#1b4965", 1.0), ("#d98200", 2.4), ("#c2185b", 4.0)),
    "depth": tuple(zip(("#e3b34f", "#d0803a", "#a8513a", "#6d2f4b", "#2b1a3d"), FIVE, strict=True)),
    "margin": (("#1b4965", 1.0), ("#d98200", 2.4), ("#c2185b", 4.0)),
    "chip": (("#1b4965", 1.0), ("#d98200", 2.4), ("#c2185b", 4.0)),
    "order": tuple(zip(("#9cc9b4", "#5fa8a0", "#357f92", "#22567f", "#162b55"), FIVE, strict=True)),
}
# From which share of their ground lines would hide each other, and how thin they become at most.
CROWDED, THINNEST = 0.7, 0.5
POINTS_ALONG = 450  # the board's longer side, about, as widths of lines count [pt]
TINY = 1e-9

Look = dict[str, Any]


def draw_plan(view: PlanView, form: Form = "png") -> bytes:
    """Return the plan as a picture, PNG or SVG, which names us as its maker."""
    return draw_panels(view.scene, [plan_panel(view)], form)


def plan_panel(view: PlanView) -> Panel:
    """Return the plan as a part of a picture."""
    nearest = view.scene.nearest
    marks = view.scene.faults if nearest is None else (nearest, *view.scene.faults)
    looks = _looks(view)
    thinner = _thinner(view, looks)
    shown = [view.scene.zero.at_mm, *(mark.at_mm for mark in marks)]
    for cuts, _ in looks:
        shown += [_corner(cuts.way, np.nanmin), _corner(cuts.way, np.nanmax)]

    def draw(axes: Axes, window: Window) -> None:
        axes.add_patch(box(view.scene.board, facecolor=WOOD, edgecolor="black", linewidth=1.2, zorder=0))
        _line(axes, view.travels, TRAVELS | {"zorder": 1})
        if view.cuts.in_the_air is not None:
            _line(axes, view.cuts.in_the_air.way, AIR | {"zorder": 1})
        for cuts, look in looks:
            _line(axes, cuts.way, look | {"linewidth": look["linewidth"] * thinner, "zorder": 2})
        furnish(axes, view.scene, window, marks)

    return Panel(
        window=board_window(view.scene, shown),
        title="The way of the bit",
        legend_title=view.cuts.says,
        signs=_signs(view, looks),
        notes=view.cuts.notes,
        draw=draw,
    )


def _looks(view: PlanView) -> list[tuple[Cuts, Look]]:
    """Return the sorts that have cuts, with their looks; few sorts are as far apart as many."""
    sorts, looks = view.cuts.sorts, LOOKS[view.cuts.colour]
    step = (len(looks) - 1) / max(len(sorts) - 1, 1)
    chosen = [looks[round(number * step)] for number in range(len(sorts))]
    return [
        (cuts, {"color": colour, "linewidth": width})
        for cuts, (colour, width) in zip(sorts, chosen, strict=True)
        if len(cuts.way)
    ]


def _thinner(view: PlanView, looks: Sequence[tuple[Cuts, Look]]) -> float:
    """Return the share of their widths that lines are drawn in: less than all where many share little ground."""
    if not looks:
        return 1.0
    low = np.min([np.nanmin(cuts.way, axis=0) for cuts, _ in looks], axis=0)
    high = np.max([np.nanmax(cuts.way, axis=0) for cuts, _ in looks], axis=0)
    point_mm = max(view.scene.board.high_mm) / POINTS_ALONG
    steps = [np.diff(cuts.way, axis=0) for cuts, _ in looks]
    lengths = [float(np.nansum(np.hypot(step[:, 0], step[:, 1]))) for step in steps]
    covered = sum(
        length * float(look["linewidth"]) * point_mm for length, (_, look) in zip(lengths, looks, strict=True)
    )
    return min(1.0, max(THINNEST, CROWDED * float(np.prod(high - low)) / max(covered, TINY)))


def _signs(view: PlanView, looks: Sequence[tuple[Cuts, Look]]) -> list[Any]:
    """Return what the signs of the plan are."""
    signs = [Line2D([], [], label=cuts.name, **look) for cuts, look in looks]
    air, nearest = view.cuts.in_the_air, view.scene.nearest
    if air is not None and len(air.way):
        signs.append(Line2D([], [], label=air.name, **AIR))
    if len(view.travels):
        signs.append(Line2D([], [], label="fast travel", **TRAVELS))
    if nearest is not None:
        signs.append(Line2D([], [], linestyle="none", label=wrapped(f"nearest miss: {nearest.text}"), **PLACE))
    if view.scene.faults:
        signs.append(Line2D([], [], linestyle="none", label="this forbids the cut", **FAULT))
    return signs


def _line(axes: Axes, way: Floats, look: Look) -> None:
    axes.plot(*way.T, solid_capstyle="butt", solid_joinstyle="round", rasterized=len(way) > MANY, **look)


def _corner(way: Floats, extreme: Callable[..., Any]) -> tuple[float, float]:
    x, y = extreme(way, axis=0)
    return float(x), float(y)

"""Draws the board as the bits leave it, in shaded relief."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from cutworthy.present.loose import PartView
from cutworthy.present.plan import PlanView
from cutworthy.present.relief import ReliefView
from cutworthy.sheets.board import FAULT, WARN, Window, board_window, box, furnish
from cutworthy.sheets.labels import Label
from cutworthy.sheets.panels import Form, Panel, draw_panels, wrapped
from cutworthy.sheets.plan import plan_panel
from cutworthy.sheets.shading import RIM, TABLE, shaded, wood

__all__ = ["draw_relief"]

STYLES: dict[bool, Any] = {False: "--", True: (0, (1, 1.2))}  # of the edge of what nothing holds, or something thin
EDGE_WIDTH = {False: 1.4, True: 1.8}
UNDER_EDGE: dict[str, Any] = {"colors": "white", "linewidths": 2.8, "linestyles": "-"}
FAR = 0.5  # of the board's longer side: as far beside it a place of what forbids the cut is shown
TRAIL: dict[str, Any] = {"marker": "x", "markersize": 5, "color": WARN, "markeredgewidth": 1.6, "linestyle": "none"}


def draw_relief(view: ReliefView, plan: PlanView | None = None, form: Form = "png") -> bytes:
    """Return the relief as a picture, PNG or SVG, together with the plan where there is one."""
    panels = [_panel(view), *([] if plan is None else [plan_panel(plan)])]
    return draw_panels(view.scene, panels, form)


def _panel(view: ReliefView) -> Panel:
    rows, columns = view.depth_mm.shape
    left, front = view.low_mm
    corners = (left, left + columns * view.pitch_mm, front, front + rows * view.pitch_mm)
    deepest = view.steps[-1].depth_mm
    reach = FAR * max(view.scene.board.high_mm)
    near = [
        mark.at_mm
        for mark in view.scene.faults
        if all(-reach <= at <= high + reach for at, high in zip(mark.at_mm, view.scene.board.high_mm, strict=True))
    ]

    def draw(axes: Axes, window: Window) -> None:
        axes.set_facecolor(TABLE)
        edge = axes.add_patch(box(view.scene.board, fill=False, edgecolor="black", linewidth=1.2, zorder=3))
        colours = shaded(view.depth_mm, view.cut_mm, view.through, view.pitch_mm, deepest)
        image = axes.imshow(colours, extent=corners, origin="lower", zorder=1, aspect="auto", interpolation="auto")
        image.set_clip_path(edge)
        axes.plot(*view.wood_met_mm.T, **TRAIL, zorder=5)
        for part in view.parts:
            _outline(axes, part, view)
        names = [
            Label(text=part.name, short=part.number, at_mm=part.at_mm, centred=True, room_mm=(part.room_mm,) * 2)
            for part in view.parts
        ]
        furnish(axes, view.scene, window, view.scene.faults, names)

    return Panel(
        window=board_window(view.scene, near),
        title=view.subtitle,
        legend_title="How deep the board is cut",
        signs=_signs(view, deepest),
        notes=view.notes,
        draw=draw,
    )


def _outline(axes: Axes, part: PartView, view: ReliefView) -> None:
    """Draw the edge of a part over the cells that it covers, with a light line below so that it shows on dark wood."""
    (left, front), pitch = view.low_mm, view.pitch_mm
    inside = np.pad(part.cells.astype(np.float32), 1)
    x, y = (low + pitch * (np.arange(size) - 0.5) for low, size in zip((left, front), inside.shape[::-1], strict=True))
    edge = {"colors": "black", "linewidths": EDGE_WIDTH[part.is_held], "linestyles": [STYLES[part.is_held]]}
    for look in (UNDER_EDGE, edge):
        axes.contour(x, y, inside, levels=[0.5], zorder=5, **look)


def _signs(view: ReliefView, deepest_mm: float) -> list[Any]:
    """Return what the tones and signs of the relief are."""
    tones = wood(np.array([step.depth_mm for step in view.steps], dtype=np.float32), deepest_mm)
    signs: list[Any] = [
        Patch(facecolor=tuple(tone.tolist()), edgecolor="black", linewidth=0.6, label=step.says)
        for step, tone in zip(view.steps, tones, strict=True)
    ]
    if view.through.any():
        signs.append(Patch(facecolor=TABLE, edgecolor=RIM, linewidth=1.2, label="cut through: the table shows"))
    signs += [
        Line2D([], [], color="black", linewidth=EDGE_WIDTH[held], linestyle=STYLES[held], label=wrapped(says))
        for held, says in view.parts_say
    ]
    if len(view.wood_met_mm):
        signs.append(Line2D([], [], label="fast travel through wood", **TRAIL))
    if view.scene.faults:
        signs.append(Line2D([], [], linestyle="none", label="this forbids the cut", **FAULT))
    return signs

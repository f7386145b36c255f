"""Draws what an axis can do over its speed, in black and white: for paper, and for a photocopier."""

import re
from functools import partial
from io import BytesIO

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from cutworthy.present.numbers import AxisNumbers, CurveView, NumbersView
from cutworthy.present.scene import MAKER

__all__ = ["as_svg", "draw_limits", "draw_torque", "pictures"]

INK, SHADE = "black", "0.85"
WIDTH, TORQUE_HEIGHT, LIMITS_HEIGHT = 2.45, 1.55, 1.35  # [in]
SMALL = 7.5  # [pt]
REACH = 2.2  # a limit farther than this many times the nearest one, or the entry, runs off the picture
HEADROOM = 1.25
BAR = 0.22  # of the way from one bar to the next; its name stands above it
_RANDOM_ID = re.compile(rb"\b[a-z][0-9a-f]{10}\b")


def pictures(view: NumbersView) -> dict[str, bytes]:
    """Return the pictures of all axes that have a curve, as SVG, by ``X torque``, ``X limits`` and so on."""
    drawn = {}
    for axis in view.axes:
        if axis.curve is not None:
            drawn[f"{axis.name} torque"] = draw_torque(axis, axis.curve)
            drawn[f"{axis.name} limits"] = draw_limits(axis, axis.curve)
    return drawn


def draw_torque(axis: AxisNumbers, curve: CurveView) -> bytes:
    """Return torque over speed as an SVG picture: what is counted on, what is needed, what is entered."""
    figure, axes = _figure(TORQUE_HEIGHT)
    speeds, counted, needed = zip(*curve.points, strict=True)
    axes.fill_between(speeds, needed, counted, where=[c > n for c, n in zip(counted, needed, strict=True)], color=SHADE)
    axes.plot(speeds, counted, color=INK, linewidth=1.4)
    axes.plot(speeds, needed, color=INK, linewidth=1.0, linestyle=(0, (4, 2)))
    axes.axvline(curve.entered, color=INK, linewidth=1.0, linestyle=(0, (1, 1)))
    top = max(*counted, *needed) * HEADROOM
    axes.set_xlim(0, speeds[-1])
    axes.set_ylim(0, top)
    # The names stand where the line of the entry does not.
    x, across = (speeds[-1], "right") if curve.entered < speeds[-1] / 2 else (0, "left")
    _tell(axes, f" {axis.name} can ", x, counted[0], "bottom", across)
    _tell(axes, " needs ", x, needed[0], "bottom", across)
    _tell(axes, " entered ", curve.entered, top / 2, "center", "left" if across == "right" else "right")
    _scales(axes, curve)
    axes.set_ylabel("N·m", fontsize=SMALL)
    return as_svg(figure)


def draw_limits(axis: AxisNumbers, curve: CurveView) -> bytes:
    """Return the limits of the speed as bars; an arrow ends a bar that runs off the picture."""
    figure, axes = _figure(LIMITS_HEIGHT)
    limits = sorted(curve.limits, key=lambda each: each.speed)
    reach = REACH * max(curve.entered, limits[0].speed)
    axes.axvline(curve.entered, color=INK, linewidth=1.0, linestyle=(0, (1, 1)))
    for row, each in enumerate(limits):
        axes.barh(row, min(each.speed, reach), height=BAR, align="edge", facecolor=SHADE, edgecolor=INK, linewidth=0.6)
        # The entry lies left of the middle, so names at the right edge stay clear of it.
        _tell(axes, f"{each.name}{' →' if each.speed > reach else ''} ", reach, row, "bottom", "right")
    _tell(axes, " entered ", curve.entered, -0.95, "top", "left" if curve.entered < reach / 4 else "right")
    axes.set_xlim(0, reach)
    axes.set_ylim(len(limits) - BAR, -1)
    axes.set_yticks([])
    axes.set_xlabel(f"{axis.name}: {curve.unit}", fontsize=SMALL)
    return as_svg(figure)


def _figure(height: float) -> tuple[Figure, Axes]:
    figure = Figure(figsize=(WIDTH, height), layout="constrained")
    FigureCanvasSVG(figure)
    axes = figure.add_subplot()
    axes.tick_params(labelsize=SMALL, width=0.6, length=2.5)
    axes.locator_params(axis="x", nbins=4)
    for spine in axes.spines.values():
        spine.set_linewidth(0.6)
    return figure, axes


def _scales(axes: Axes, curve: CurveView) -> None:
    """Show the speed in the machine's units below and in the others above."""
    factor = curve.other_factor
    above = axes.secondary_xaxis("top", functions=(partial(np.multiply, factor), partial(np.multiply, 1 / factor)))
    above.tick_params(labelsize=SMALL, width=0.6, length=2.5)
    above.set_xlabel(curve.other_unit, fontsize=SMALL)
    axes.set_xlabel(curve.unit, fontsize=SMALL)


def _tell(axes: Axes, text: str, x: float, y: float, up: str, across: str = "left") -> None:
    axes.text(x, y, text, fontsize=SMALL, ha=across, va=up, parse_math=False)


def as_svg(figure: Figure) -> bytes:
    """Return a figure as SVG without date and without random names, so that the same figure makes the same bytes."""
    picture = BytesIO()
    figure.savefig(picture, format="svg", metadata={"Date": None, "Creator": MAKER})
    names: dict[bytes, bytes] = {}
    return _RANDOM_ID.sub(lambda found: names.setdefault(found[0], b"id%d" % len(names)), picture.getvalue())

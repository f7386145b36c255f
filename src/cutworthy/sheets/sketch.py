"""Draws board, clamps, zero and the way of the bit in black and white, for the job ticket."""

from typing import Any

from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from cutworthy.present.show import Display
from cutworthy.present.ticket import Sketch
from cutworthy.sheets.board import board_window, box, furnish
from cutworthy.sheets.curves import as_svg

__all__ = ["draw_sketch"]

WIDE, HIGH = 5.4, 2.5  # [in] at most, as it is drawn; on paper it is set larger
MARGINS = 0.5  # [in] for the numbers beside the edges
LARGE = 9  # [pt]
CUTS: dict[str, Any] = {"color": "0.45", "linewidth": 0.9}


def draw_sketch(sketch: Sketch) -> bytes:
    """Return the sketch as an SVG picture: the board to scale, places told from its front left corner."""
    scene = sketch.scene
    window = board_window(scene, [scene.zero.at_mm])
    wide, high = window[1] - window[0], window[3] - window[2]
    scale = min((WIDE - MARGINS) / wide, (HIGH - MARGINS) / high)
    figure = Figure(figsize=(wide * scale + MARGINS, high * scale + MARGINS))
    FigureCanvasSVG(figure)
    size = figure.get_size_inches()
    axes = figure.add_axes((MARGINS / size[0], MARGINS / size[1], wide * scale / size[0], high * scale / size[1]))
    axes.add_patch(box(scene.board, facecolor="white", edgecolor="black", linewidth=2.0, zorder=1))
    axes.plot(*sketch.cuts.T, **CUTS, zorder=2)
    furnish(axes, scene, window, [])
    axes.set_xlim(window[0], window[1])
    axes.set_ylim(window[2], window[3])
    display = Display(scene.units)
    for axis, places in ((axes.xaxis, (0.0, scene.board.high_mm[0])), (axes.yaxis, (0.0, scene.board.high_mm[1]))):
        axis.set_ticks(places, labels=[display.place(place) for place in places], fontsize=LARGE)
    axes.set_xlabel("in" if scene.units == "inch" else "mm", fontsize=LARGE, labelpad=-8)
    for side in axes.spines.values():
        side.set_visible(False)
    return as_svg(figure)

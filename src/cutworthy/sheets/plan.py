"""Draws the plan: black and white enough to print, colour only as a help."""

from io import BytesIO
from typing import Any, Literal

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle as Patch
from matplotlib.ticker import FuncFormatter, MultipleLocator

from cutworthy.present.plan import MAKER, Mark, PlanView, Rectangle
from cutworthy.units import MM_PER_INCH

__all__ = ["draw_plan"]

WOOD, CLAMP, TRAVEL, WARN = "#efe3cf", "#6f7f8f", "#8a8a8a", "#a4161a"
# Cuts by how near they come to their feed: darker and thinner where nearer, so that grey print tells them apart too.
CUTS: tuple[dict[str, Any], ...] = (
    {"color": "#1b4965", "lw": 1.0},
    {"color": "#d98200", "lw": 2.4},
    {"color": "#c2185b", "lw": 4.0},
)
DPI = 130
# Of the picture, its plot, and what stands above and below the plot [in].
WIDTH, PLOT_WIDTH, AROUND, LEAST_HEIGHT, MOST_HEIGHT = 9.0, 7.4, 1.6, 3.0, 11.0
INCHES_A_TICK = 2
FAULT: dict[str, Any] = {"marker": "X", "markersize": 12, "color": WARN, "markeredgecolor": "white"}
PLACE: dict[str, Any] = {"marker": "o", "markersize": 9, "markerfacecolor": "white", "markeredgecolor": "black"}
CENTRED: dict[str, Any] = {"xytext": (0, 0), "ha": "center", "va": "center"}
BESIDE: dict[str, Any] = {"xytext": (8, 8)}


def draw_plan(view: PlanView, form: Literal["png", "svg"] = "png") -> bytes:
    """Return the plan as a picture, PNG or SVG, which names us as its maker."""
    figure = Figure(layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot(aspect="equal")
    axes.add_patch(_patch(view.board, facecolor=WOOD, linewidth=1.2))
    axes.add_collection(LineCollection(list(view.travels), colors=TRAVEL, linewidths=0.8, linestyles="dashed"))
    for cuts, look in zip(view.cuts, CUTS, strict=True):
        axes.add_collection(LineCollection(list(cuts.strokes), colors=look["color"], linewidths=look["lw"]))
    for clamp in view.clamps:
        axes.add_patch(_patch(clamp, facecolor=CLAMP, hatch="///"))
        middle = [(low + high) / 2 for low, high in zip(clamp.low_mm, clamp.high_mm, strict=True)]
        _tell(axes, Mark(text=clamp.name, at_mm=(middle[0], middle[1])), CENTRED)
    axes.plot(*view.zero.at_mm, marker="+", markersize=16, color="black", markeredgewidth=2)
    _tell(axes, view.zero, BESIDE)
    for mark in view.marks:
        axes.plot(*mark.at_mm, **(FAULT if mark.fault else PLACE))
        _tell(axes, mark, BESIDE)
    _frame(axes, view)
    (left, right), (front, back) = axes.get_xlim(), axes.get_ylim()
    height = PLOT_WIDTH * (back - front) / (right - left) + AROUND
    figure.set_size_inches(WIDTH, min(max(height, LEAST_HEIGHT), MOST_HEIGHT))
    figure.suptitle(view.title, fontsize=14, fontweight="bold", parse_math=False)
    figure.supxlabel(view.footer, fontsize=8, parse_math=False)
    picture = BytesIO()
    if form == "svg":
        with rc_context({"svg.hashsalt": MAKER}):
            figure.savefig(picture, format="svg", metadata={"Date": None, "Creator": MAKER})
    else:
        figure.savefig(picture, dpi=DPI, metadata={"Software": MAKER})
    return picture.getvalue()


def _patch(rectangle: Rectangle, **look: Any) -> Patch:  # noqa: ANN401 - what a patch takes
    (left, front), (right, back) = rectangle.low_mm, rectangle.high_mm
    return Patch((left, front), right - left, back - front, edgecolor="black", **look)


def _tell(axes: Axes, mark: Mark, place: dict[str, Any]) -> None:
    box = {"facecolor": "white", "edgecolor": "none", "pad": 1.5, "alpha": 0.85}
    axes.annotate(
        mark.text, mark.at_mm, textcoords="offset points", fontsize=8, bbox=box, parse_math=False, zorder=5, **place
    )


def _frame(axes: Axes, view: PlanView) -> None:
    """Scale, name the axes as a person stands before them, and say what the lines are."""
    axes.autoscale_view()
    axes.margins(0.06)
    if view.units == "inch":
        for axis in (axes.xaxis, axes.yaxis):
            axis.set_major_locator(MultipleLocator(MM_PER_INCH * INCHES_A_TICK))
            axis.set_major_formatter(FuncFormatter(lambda place, _: f"{place / MM_PER_INCH:g}"))
    unit = "in" if view.units == "inch" else "mm"
    axes.set_xlabel(f"{unit} from the board's left edge", fontsize=9)
    axes.set_ylabel(f"{unit} from its front edge", fontsize=9)
    axes.set_title(view.subtitle, fontsize=10, parse_math=False)
    handles = [
        Line2D([], [], label=cuts.name, **look) for cuts, look in zip(view.cuts, CUTS, strict=True) if len(cuts.strokes)
    ]
    handles.append(Line2D([], [], color=TRAVEL, ls="dashed", label="fast travel"))
    axes.legend(
        handles=handles,
        title="How fast the bit really goes",
        title_fontsize=8,
        fontsize=8,
        loc="upper left",
        bbox_to_anchor=(1.0, 1.0),
        frameon=False,
    )

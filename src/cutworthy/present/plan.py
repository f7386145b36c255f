"""The view record of the plan-view picture: board, zero, path, clamps, nearest miss."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.kernels import shapes
from cutworthy.model.columns import Floats
from cutworthy.model.findings import Outcome
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING, VERDICTS
from cutworthy.present.show import Display
from cutworthy.reference.tables import limit

__all__ = ["MAKER", "Cuts", "Mark", "PlanView", "Rectangle", "plan_view"]

MAKER = "cutworthy"  # written into each picture, so that we replace no others
# An arc is drawn with a corner at least this often, as a share of a full turn.
ARC_STEP = 1 / 72
SECONDS = 60.0  # in a minute
PACES = ("cut at the feed asked for", "slower than asked", "less than half of it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A named rectangle by two corners (x, y) [mm]."""

    name: str
    low_mm: tuple[float, float]
    high_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place with its words (x, y) [mm]; ``fault``: what is there forbids the cut."""

    text: str
    at_mm: tuple[float, float]
    fault: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cuts:
    """Cuts that come equally near to their feed: what they are called, and their strokes (n, 2, 2) [mm]."""

    name: str
    strokes: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanView:
    """What the plan shows, seen from above, in the board's frame [mm].

    ``cuts``: by how near they come to the feed asked for, nearest first; ``travels``: straight strokes
    (n, 2, 2). ``marks``: the nearest miss and what forbids the cut.
    """

    title: str
    subtitle: str
    footer: str
    units: Literal["mm", "inch"]
    board: Rectangle
    clamps: tuple[Rectangle, ...]
    zero: Mark
    marks: tuple[Mark, ...]
    cuts: tuple[Cuts, Cuts, Cuts]
    travels: Floats


def plan_view(outcome: Outcome, job: Job, machine: Machine) -> PlanView:
    """Return what the plan of a proven job shows."""
    offset = np.array(outcome.place.on_board_mm[:2])
    moves = outcome.program.moves
    known = ((moves.start_doubt[:, :2] | moves.end_doubt[:, :2]) == Doubt.NONE).all(axis=1)
    feeds = moves.feeds & known
    board = job.board
    display = Display(machine.units)
    size = f"{display.length(board.size_x_mm.value)} by {display.length(board.size_y_mm.value)}"
    return PlanView(
        title=f"{outcome.verdict.upper()}: {VERDICTS[outcome.verdict]}",
        subtitle=f"{size} of {plain(board.material)} on {plain(machine.name)}, seen from above",
        footer=CLOSING,
        units=machine.units,
        board=Rectangle(name="board", low_mm=(0.0, 0.0), high_mm=(board.size_x_mm.value, board.size_y_mm.value)),
        clamps=tuple(
            Rectangle(
                name=plain(clamp.name),
                low_mm=(clamp.from_x_mm, clamp.from_y_mm),
                high_mm=(clamp.to_x_mm, clamp.to_y_mm),
            )
            for clamp in job.clamps
        ),
        zero=Mark(text="X0 Y0", at_mm=(float(offset[0]), float(offset[1]))),
        marks=_marks(outcome, offset, display),
        cuts=_cuts(outcome, feeds, offset),
        travels=_strokes(outcome, (moves.kind == Kind.RAPID) & known) + offset,
    )


def _cuts(outcome: Outcome, feeds: npt.NDArray[np.bool_], offset: Floats) -> tuple[Cuts, Cuts, Cuts]:
    """Return the cuts in three sorts, by how much of the feed asked for they reach on average."""
    moves, seconds = outcome.program.moves, outcome.timing.timeline.seconds
    with np.errstate(divide="ignore", invalid="ignore"):  # travels, and cuts before any F, ask for no feed
        reached = np.nan_to_num(moves.length_mm / seconds * SECONDS / moves.feed_mm_min, nan=0.0)
    near, half = limit("reached_feed").value, limit("half_feed").value
    sorts = (reached >= near, (reached < near) & (reached >= half), reached < half)
    whole = float(moves.length_mm[feeds].sum())
    first, second, third = (
        Cuts(
            name=f"{name}: {_share(float(moves.length_mm[feeds & sort].sum()), whole)}",
            strokes=_strokes(outcome, feeds & sort) + offset,
        )
        for name, sort in zip(PACES, sorts, strict=True)
    )
    return first, second, third


def _share(part: float, whole: float) -> str:
    """Return a share of the cutting, in words where the percent would be none."""
    percent = 100 * part / whole if whole else 0.0
    return f"{percent:.0f} %" if percent >= 1 or part == 0 else "under 1 %"


def _marks(outcome: Outcome, offset: Floats, display: Display) -> tuple[Mark, ...]:
    """Return the nearest clamp, unless it is hit, and the places of what forbids the cut."""
    marks = []
    nearest = outcome.nearest_clamp
    if nearest is not None and nearest.clearance_mm > 0:
        gap = display.length(nearest.clearance_mm)
        text = f"{nearest.part} {gap} clear of “{plain(nearest.thing)}”, line {nearest.line}"
        marks.append(Mark(text=text, at_mm=_on_board(nearest.at_mm, offset)))
    return *marks, *(
        Mark(text=f"{finding.id}, line {finding.worst_line}", at_mm=_on_board(finding.at_mm, offset), fault=True)
        for finding in outcome.findings
        if finding.level == Level.NO_GO and finding.at_mm is not None
    )


def _on_board(at_mm: tuple[float, float, float], offset: Floats) -> tuple[float, float]:
    return at_mm[0] + float(offset[0]), at_mm[1] + float(offset[1])


def _strokes(outcome: Outcome, chosen: npt.NDArray[np.bool_]) -> Floats:
    """Return the chosen moves as straight strokes seen from above, arcs cut into short ones."""
    cut = outcome.program.moves.take(chosen)
    turns = np.nan_to_num(np.abs(cut.turns))
    pieces = np.maximum(1, np.ceil(turns / ARC_STEP)).astype(np.int64)
    rows = np.repeat(np.arange(len(cut)), pieces)
    number = np.arange(len(rows)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    ends = []
    for step in (number, number + 1):
        share = step / pieces[rows]
        place = shapes.points(
            cut.start_mm[rows], cut.end_mm[rows], cut.centre_mm[rows], cut.plane[rows], cut.turns[rows], share
        )
        ends.append(place[:, :2])
    return np.stack(ends, axis=1)

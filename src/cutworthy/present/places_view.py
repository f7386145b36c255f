"""The view record of the picture of places: where zero may stand, and where a clamp may."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.placement import SIDES, ClampRegion, Grid, Placement, Side, ZeroRegion
from cutworthy.model.program import Doubt, ProgramMoves
from cutworthy.present.cuts import FINEST_SEEN
from cutworthy.present.placement import ANSWERS, answer, clamp_name, room_text, why
from cutworthy.present.plain import plain
from cutworthy.present.scene import Mark, Rectangle
from cutworthy.present.sentences import CLOSING
from cutworthy.present.show import Display
from cutworthy.present.ways import thinned, way_from_above

__all__ = ["Area", "Arrow", "PlacesView", "places_view"]

MOST_NAMED = 2  # things in a line of the legend
MOST_ALONG = 700  # cells of an area along a side: more cannot be seen


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Area:
    """A rectangle in cells, chosen or not, (rows, columns): its front left corner and a cell's size [mm]."""

    low_mm: tuple[float, float]
    pitch_mm: tuple[float, float]
    chosen: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """How far zero may move to one side: from, to (x, y) [mm], and its length in words."""

    side: Side
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlacesView:
    """What the picture shows, seen from above, in the board's frame [mm].

    ``board_says``: which board, on which machine. ``because``: why zero does not fit where it is, nothing when it does.
    ``clamp_says``: of which clamp. ``allowed``: where X0 Y0 may stand; ``blocked``: where something would come too near
    to something, though travel and board would allow it; ``window``: where these allow it, None for nowhere.
    ``keep_out``: where no part of the clamp may be; ``reaching``: that clamp as far over each edge as it may go.
    ``cuts``: (n, 2), a row of NaN between two cuts.
    """

    title: str
    board_says: str
    because: tuple[str, ...]
    footer: str
    clamp_says: str
    blocked_says: str
    units: Literal["mm", "inch"]
    board: Rectangle
    clamps: tuple[Rectangle, ...]
    zero: Mark
    best: Mark | None
    arrows: tuple[Arrow, ...]
    allowed: Area
    blocked: Area
    window: Rectangle | None
    keep_out: Area
    reaching: tuple[Rectangle, ...]
    cuts: Floats


def places_view(placement: Placement, moves: ProgramMoves, job: Job, machine: Machine) -> PlacesView:
    """Return what the picture of places shows."""
    zero, board, display = placement.zero, job.board, Display(machine.units)
    size = f"{display.length(board.size_x_mm.value)} by {display.length(board.size_y_mm.value)}"
    at = zero.zero_mm
    best = None if zero.best_mm is None else Mark(text="most room", at_mm=_plus(at, zero.best_mm))
    low, high = zero.grid.low_mm, zero.grid.high_mm
    window = Rectangle(name="", low_mm=_plus(at, low), high_mm=_plus(at, high)) if zero.grid.cells.size else None
    free = (zero.grid.cells == 0) & np.array(not zero.everywhere)
    return PlacesView(
        title=ANSWERS[answer(zero)],
        board_says=f"{size} of {plain(board.material)} on {plain(machine.name)}, seen from above",
        because=() if zero.margins is not None else tuple(_sentence(each) for each in why(zero, display)),
        footer=CLOSING,
        clamp_says=clamp_name(placement.clamp, display).rstrip(","),
        blocked_says=_blocked_says(zero),
        units=machine.units,
        board=Rectangle(name="board", low_mm=(0.0, 0.0), high_mm=(board.size_x_mm.value, board.size_y_mm.value)),
        clamps=tuple(
            Rectangle(name=plain(c.name), low_mm=(c.from_x_mm, c.from_y_mm), high_mm=(c.to_x_mm, c.to_y_mm))
            for c in job.clamps
        ),
        zero=Mark(text="X0 Y0 on your card", at_mm=at, fault=zero.margins is None),
        best=best,
        arrows=_arrows(zero, display),
        allowed=_area(zero.grid, free, at, whole=True),
        blocked=_area(zero.grid, zero.grid.cells != 0, at, whole=False),
        window=window,
        keep_out=_area(placement.clamp.keep_out, placement.clamp.keep_out.cells != 0, (0.0, 0.0), whole=False),
        reaching=_reaching(placement.clamp, job),
        cuts=thinned(_cuts(moves, at), FINEST_SEEN * max(board.size_x_mm.value, board.size_y_mm.value)),
    )


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _plus(at: tuple[float, float], by: tuple[float, float]) -> tuple[float, float]:
    return at[0] + by[0], at[1] + by[1]


def _blocked_says(zero: ZeroRegion) -> str:
    """Return what the hatching in the first picture means."""
    things = list(dict.fromkeys("the board" if o.clamp is None else f"“{plain(str(o.thing))}”" for o in zero.obstacles))
    near = " or ".join(things) if len(things) <= MOST_NAMED else f"one of {len(things)} things"
    return f"not here: the tool comes too near to {near}" if things else ""


def _arrows(zero: ZeroRegion, display: Display) -> tuple[Arrow, ...]:
    if zero.margins is None:
        return ()
    ways: dict[Side, tuple[int, int]] = {"left": (-1, 0), "right": (1, 0), "front": (0, -1), "back": (0, 1)}
    found = []
    for side in SIDES:
        room, (x, y) = zero.margins[side].room_mm, ways[side]
        if np.isfinite(room) and room > 0:
            end = _plus(zero.zero_mm, (x * room, y * room))
            found.append(Arrow(side=side, start_mm=zero.zero_mm, end_mm=end, text=room_text(room, display)))
    return tuple(found)


def _area(grid: Grid, chosen: npt.NDArray[np.bool_], at: tuple[float, float], *, whole: bool) -> Area:
    """Return chosen cells as an area; many small ones are put together, chosen when all (``whole``) or any are."""
    by = max(1, -(-max(chosen.shape) // MOST_ALONG))
    rows, columns = (-(-size // by) for size in chosen.shape)
    padded = np.zeros((rows * by, columns * by), dtype=bool)
    padded[: chosen.shape[0], : chosen.shape[1]] = chosen
    blocks = padded.reshape(rows, by, columns, by)
    return Area(
        low_mm=_plus(at, grid.low_mm),
        pitch_mm=(grid.pitch_mm[0] * by, grid.pitch_mm[1] * by),
        chosen=np.asarray(blocks.all(axis=(1, 3)) if whole else blocks.any(axis=(1, 3))),
    )


def _reaching(clamp: ClampRegion, job: Job) -> tuple[Rectangle, ...]:
    """Return the clamp at its best place over each edge, as far over it as it may go."""
    wide, deep = clamp.size.along_x_mm, clamp.size.along_y_mm
    right, back = job.board.size_x_mm.value, job.board.size_y_mm.value
    found = []
    for side in SIDES:
        edge = clamp.edges[side]
        if edge is None:
            continue
        corner = {
            "left": (edge.reach_mm - wide, edge.at_mm - deep / 2),
            "right": (right - edge.reach_mm, edge.at_mm - deep / 2),
            "front": (edge.at_mm - wide / 2, edge.reach_mm - deep),
            "back": (edge.at_mm - wide / 2, back - edge.reach_mm),
        }[side]
        found.append(Rectangle(name=side, low_mm=corner, high_mm=_plus(corner, (wide, deep))))
    return tuple(found)


def _cuts(moves: ProgramMoves, at: tuple[float, float]) -> Floats:
    """Return the known feed moves as one line, broken where the bit does not cut."""
    doubt = (moves.start_doubt[:, :2] | moves.end_doubt[:, :2]) != Doubt.NONE
    return way_from_above(moves, moves.feeds & ~doubt.any(axis=1), np.array(at))

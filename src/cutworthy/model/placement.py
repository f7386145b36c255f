"""Where zero may stand on the board, and where a clamp may stand beside the tool."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.model.clearance import Part
from cutworthy.model.machine import AxisName

__all__ = ["SIDES", "ClampRegion", "ClampSize", "Edge", "Grid", "Margin", "Obstacle", "Placement", "Side", "ZeroRegion"]

Side = Literal["left", "right", "front", "back"]
SIDES: tuple[Side, ...] = ("left", "right", "front", "back")
Span = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Why zero may not stand somewhere.

    ``travel``: ``axis`` would leave its travel. ``off-board``: a cut would leave the board along
    ``axis``. ``contact``: ``part`` would come too near to ``thing``, a clamp (``clamp`` its place on
    the card) or the board. ``tied``: at another zero the program makes other moves, so that none
    but the card's can be judged. ``line``: of the program, where there is one to point at.
    """

    kind: Literal["travel", "off-board", "contact", "tied"]
    axis: AxisName | None = None
    part: Part | None = None
    thing: str | None = None
    clamp: int | None = None
    line: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """A rectangle in cells: its front left corner and the size of a cell [mm], and a code for each.

    ``cells``: shape (rows from front to back, columns from left to right), read-only; 0 is free,
    any other code says why not.
    """

    low_mm: tuple[float, float]
    pitch_mm: tuple[float, float]
    cells: npt.NDArray[np.uint16]

    def __post_init__(self) -> None:
        """Freeze the cells."""
        self.cells.flags.writeable = False

    @property
    def high_mm(self) -> tuple[float, float]:
        """The back right corner [mm]."""
        rows, columns = self.cells.shape
        return self.low_mm[0] + columns * self.pitch_mm[0], self.low_mm[1] + rows * self.pitch_mm[1]

    def code_at(self, x_mm: float, y_mm: float) -> int | None:
        """Return the code of the cell at a place [mm], None outside the rectangle."""
        rows, columns = self.cells.shape
        column, row = (x_mm - self.low_mm[0]) / self.pitch_mm[0], (y_mm - self.low_mm[1]) / self.pitch_mm[1]
        if not (0 <= column <= columns and 0 <= row <= rows and self.cells.size):
            return None
        return int(self.cells[min(int(row), rows - 1), min(int(column), columns - 1)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """How far zero may move to one side [mm], at least, and what it meets then; None when nothing is known to."""

    room_mm: float
    then: Obstacle | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ZeroRegion:
    """The shifts (dx, dy) of zero, counted from the card's zero, at which a program fits [mm].

    Exact where they are intervals: ``travel_mm`` and ``board_mm`` hold for x and y the least and
    greatest shift that the travel and the board allow; infinite where nothing bounds it, the least
    above the greatest where none is allowed. ``grid`` covers the shifts that both allow; its codes
    are places in ``obstacles``, counted from 1: what comes too near to what. A free cell is free all
    over; one that is not may be free too, by no more than ``error_mm`` from its nearest limit.

    ``everywhere``: what no shift avoids; with one of them none is allowed. ``margins``: from the
    card's zero, None when it is not allowed itself. ``nearest_mm``: the least shift that is allowed,
    (0, 0) when the card's zero is. ``best_mm``: the one with the most room around it,
    ``best_room_mm``. ``zero_mm``: the card's zero in the board's frame. ``spare_mm``: how much longer
    than the cuts, and than all moves, board and travel are: for x and y, negative where too short,
    infinite where nothing is known. ``travel_judged``: whether the cards tell where x and y lie.

    ``unknown_line``: the first line with a place that nobody knows, left out; ``machine_line``: the
    first that goes to a place of the machine, which stays when zero moves; ``start_line``: the first
    travel, where it may meet a clamp from where the bit may stand at the start, whatever zero is.
    """

    zero_mm: tuple[float, float]
    travel_mm: tuple[Span, Span]
    board_mm: tuple[Span, Span]
    grid: Grid
    obstacles: tuple[Obstacle, ...]
    everywhere: tuple[Obstacle, ...]
    error_mm: float
    margins: Mapping[Side, Margin] | None
    nearest_mm: tuple[float, float] | None
    best_mm: tuple[float, float] | None
    best_room_mm: float
    spare_mm: Mapping[Literal["board", "travel"], tuple[float, float]]
    travel_judged: tuple[bool, bool]
    unknown_line: int | None
    machine_line: int | None
    start_line: int | None

    def why_not(self, dx_mm: float, dy_mm: float) -> Obstacle | None:
        """Return what forbids a shift, None when it is allowed."""
        shift = (dx_mm, dy_mm)
        if self.everywhere:
            return self.everywhere[0]
        axes: tuple[AxisName, AxisName] = ("x", "y")
        kinds: tuple[tuple[Literal["travel", "off-board"], tuple[Span, Span]], ...] = (
            ("travel", self.travel_mm),
            ("off-board", self.board_mm),
        )
        for kind, spans in kinds:
            for axis, at, (low, high) in zip(axes, shift, spans, strict=True):
                if not low <= at <= high:
                    return Obstacle(kind=kind, axis=axis)
        code = self.grid.code_at(*shift)
        return self.obstacles[code - 1] if code else None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampSize:
    """A clamp to be placed: along x, along y, above the board's underside [mm].

    ``given_by``: the person, the first clamp of the card, or our guess of a common one.
    ``plus_minus_mm``: how far it may stand off its place.
    """

    along_x_mm: float
    along_y_mm: float
    height_mm: float
    plus_minus_mm: float
    given_by: Literal["asked", "card", "guess"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """How far a clamp may reach over one edge of the board [mm], and the middle of where it may so far.

    ``reach_mm``: at most half of the clamp, which holds as well as more. ``at_mm``: along the edge,
    from the board's front left corner.
    """

    reach_mm: float
    at_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClampRegion:
    """Where a clamp is never met, with zero where the card has it; in the board's frame.

    ``keep_out``: where no part of such a clamp may stand; its own errors and those of zero are in it,
    so that it holds for the clamp as it is drawn, turned any way. ``middles``: where its middle may
    not stand when it is not turned. Codes are places in ``parts``, counted from 1: what would meet
    it. ``edges``: None where the clamp may not reach over that edge at all.
    """

    size: ClampSize
    keep_out: Grid
    middles: Grid
    parts: tuple[Part, ...]
    edges: Mapping[Side, Edge | None]
    error_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where zero may stand, and where a clamp may. ``guessed``: parts that are not on the card, taken as wide."""

    zero: ZeroRegion
    clamp: ClampRegion
    guessed: tuple[Part, ...]

"""Where the tool comes near things, leaves the travel, or goes deep."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cutworthy.model.machine import AxisName

__all__ = ["BOARD", "Contact", "Depths", "Meeting", "Part", "Place", "Point", "Reach", "Sweep"]

Part = Literal["bit", "nut", "body", "shoe"]
Point = tuple[float, float, float]
BOARD = "board"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where program zero lies.

    ``on_board_mm``: program zero in the board's frame (front left corner, underside at z = 0).
    ``machine_mm``: program zero in machine coordinates, an axis None when the cards do not say.
    ``range_mm``: the ends of each axis in machine coordinates, None likewise. ``underside_mm``, ``thickness_mm``:
    points with x, y and the height of the board's underside, and its thickness there; x, y and heights in the zero
    frame. One point alone holds everywhere.
    """

    on_board_mm: tuple[float, float, float]
    machine_mm: Mapping[AxisName, float | None]
    range_mm: Mapping[AxisName, tuple[float, float] | None]
    underside_mm: tuple[Point, ...]
    thickness_mm: tuple[Point, ...]

    @property
    def is_flat(self) -> bool:
        """Whether the board is taken for one thickness on a flat table."""
        return len(self.underside_mm) == len(self.thickness_mm) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Rows of ``Moves`` that meet a thing, and the worst of them.

    ``worst_mm`` is the clearance there, negative = overlap; ``at_mm`` the tip's place, zero frame.
    """

    rows: tuple[int, ...]
    worst_row: int
    worst_mm: float
    at_mm: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One part of the tool against one thing, over the whole program.

    ``thing`` is a clamp's name or ``BOARD``; ``clamp`` its place on the card, None for the board.
    ``clearance_mm``: the least over all moves for entered sizes, before any growth, negative =
    overlap; ``nearest_row`` and ``nearest_at_mm``: on which move, and the tip's place. ``hit``: moves
    that meet the thing as entered. ``near``: moves that meet it only when it is grown by its own and
    the zero's error. ``box``: rapids that only the box between their ends would make meet it. None
    when there are none.
    """

    part: Part
    thing: str
    clamp: int | None
    clearance_mm: float
    nearest_row: int
    nearest_at_mm: tuple[float, float, float]
    hit: Meeting | None
    near: Meeting | None
    box: Meeting | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """Travel at a height from a start that is only known as a set, against one thing.

    ``row``: of ``Moves``. ``lowest_mm``: the tip's least height over the thing's top during the
    move, for the lowest start allowed; negative when the thing can be met.
    """

    part: Part
    thing: str
    clamp: int | None
    row: int
    lowest_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far one axis goes, in the zero frame, and how much room is left.

    ``low_mm`` and ``high_mm``: least and greatest known coordinate; where the travel has its place,
    those of Z are where the first bit's tip would be. ``limits_mm``: the ends of the travel in the
    zero frame, None when the cards do not say where zero lies. ``rows``: rows of ``Moves`` that go
    beyond, ``worst_row`` the farthest. ``room_mm``: room left, negative beyond; None when neither the
    place nor an excess over the whole travel is known.
    """

    axis: AxisName
    low_mm: float
    high_mm: float
    travel_mm: float
    limits_mm: tuple[float, float] | None
    rows: tuple[int, ...]
    worst_row: int
    room_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Depths:
    """How deep one bit goes.

    ``tool``: as in the moves. ``lowest_mm``: least z of its moves, zero frame, ``lowest_row`` where.
    ``below_top_mm``: the greatest depth below the board's top over the board, ``deep_row`` where; 0
    when it is nowhere below it. Rows are those of the record that was looked at.
    ``below_underside_mm``: the greatest depth below the board's underside anywhere, negative above, ``through_row``
    where. ``skin_mm``: where the board or the table is uneven and the bit goes through somewhere, the greatest height
    of the tip above the underside on moves that go as deep, None otherwise; ``skin_row`` and ``skin_at_mm`` where.
    """

    tool: int
    lowest_mm: float
    lowest_row: int
    below_top_mm: float
    deep_row: int
    below_underside_mm: float
    through_row: int
    skin_mm: float | None = None
    skin_row: int = -1
    skin_at_mm: Point = (0.0, 0.0, 0.0)

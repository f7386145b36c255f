"""The job, as its card describes it: board, zero, holding, bits, clamps."""

from dataclasses import dataclass
from typing import Literal

from cutworthy.model.machine import MapPoint, Unknown
from cutworthy.model.quantity import Quantity

__all__ = ["Bit", "BitKind", "Board", "Clamp", "Holding", "Job", "Start", "Zero"]

BitKind = Literal["flat", "ball", "bull", "vee", "taper", "drill"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """The board: sizes along x, y and z (thickness), and where it lies.

    ``at_x_mm``, ``at_y_mm``: its front left corner in machine coordinates. ``bottom_z_mm``: what
    the control shows for Z when the first bit's tip touches the underside. ``room_above_mm``: from
    that tip, Z fully up, down to the board's top.
    """

    material: str
    size_x_mm: Quantity
    size_y_mm: Quantity
    thickness_mm: Quantity
    spread_mm: Quantity
    at_x_mm: Quantity | None
    at_y_mm: Quantity | None
    bottom_z_mm: Quantity | None
    room_above_mm: Quantity | None
    grain: Literal["x", "y"] | Unknown
    density_kg_m3: Quantity | None
    thickness_map: tuple[MapPoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Zero:
    """Where the program's X0 Y0 Z0 sits on the board.

    ``from_left_mm`` and ``from_front_mm`` are resolved from the words of the card, which
    ``x_said`` and ``y_said`` keep. ``plus_minus_mm`` holds for x and y.
    """

    x_said: str
    y_said: str
    from_left_mm: float
    from_front_mm: float
    z: Literal["top", "bottom"]
    system: str
    plus_minus_mm: Quantity
    plus_minus_z_mm: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where the bit may stand when the job starts: anywhere, at least this far above the board."""

    above_top_mm: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What holds the board. ``force_n`` is for each clamp or screw."""

    by: Literal["clamps", "screws", "tape", "vacuum", "nothing above the board"]
    force_n: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bit:
    """A bit; ``tool`` is the T number that calls it, 0 when its card does not say.

    ``corner_radius_mm``: of a bull bit, or the ball at the tip of a taper. ``angle_rad``: the
    included angle of a vee or taper. ``tip_mm``: the flat on a vee's tip. ``stickout_mm``: tip to
    the face of the collet nut.
    """

    tool: int
    kind: BitKind
    diameter_mm: Quantity
    corner_radius_mm: Quantity | None
    angle_rad: Quantity | None
    tip_mm: Quantity | None
    flutes: int
    spiral: Literal["up", "down", "compression", "straight"] | Unknown
    centre_cutting: bool | None
    cutting_length_mm: Quantity
    stickout_mm: Quantity
    shank_mm: Quantity | None
    material: Literal["carbide", "steel"] | Unknown
    chip_low_mm: Quantity | None
    chip_high_mm: Quantity | None
    max_rpm: Quantity | None
    runout_mm: Quantity | None
    speed_rpm: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp:
    """A box that stands on the table; places from the board's front left corner.

    ``height_mm`` is above the board's underside; ``plus_minus_mm`` holds for every side.
    """

    name: str
    from_x_mm: float
    from_y_mm: float
    to_x_mm: float
    to_y_mm: float
    height_mm: Quantity
    plus_minus_mm: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One job on one board. ``start`` and ``holding`` are None when the card has none."""

    board: Board
    zero: Zero
    start: Start | None
    holding: Holding | None
    bits: tuple[Bit, ...]
    clamps: tuple[Clamp, ...]

    def is_over_board(self, clamp: Clamp) -> bool:
        """Return whether a clamp reaches over the board: one beside it holds nothing."""
        over_x = clamp.from_x_mm < self.board.size_x_mm.value and clamp.to_x_mm > 0
        return over_x and clamp.from_y_mm < self.board.size_y_mm.value and clamp.to_y_mm > 0

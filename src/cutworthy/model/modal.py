"""What a control holds between two lines of a program."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cutworthy.model.program import PathMode, Plane

__all__ = ["CalledPart", "ModalState"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledPart:
    """A part of the program that is being run: its number, the line that called it, the runs it has left."""

    name: int
    called_on: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ModalState:
    """Everything modal, just before a line is read for the first time.

    Places and shifts in the zero frame [mm]; program coordinate = ``here_mm`` - ``shift_mm``, and
    the shift is made of the system's origin, the offset of G92 and the tool's length. ``doubt`` and
    ``shift_doubt`` hold codes of ``Doubt``. ``motion`` is a code, ``G80`` when none is in force.
    ``feed``: the number of the F word in the unit in force, None when there is none, NaN when
    nobody knows it; ``speed_rpm`` likewise. ``spindle``: 1 clockwise, -1 counter-clockwise, 0 off.
    ``side``: on which side of the path the tool runs under cutter compensation, ``side_radius_mm``
    away from it. ``length_of``: the slot whose length is in force. ``tool``: the one in the
    spindle, ``selected``: the next change brings it in. ``cycle``: the sticky numbers of a drilling
    cycle by letter, in the unit in force. ``parameters``: those that the program has set. ``parts``:
    outermost first. ``moves``: how many were made before the line.
    """

    line: int
    here_mm: tuple[float, float, float]
    doubt: tuple[int, int, int]
    shift_mm: tuple[float, float, float]
    shift_doubt: tuple[int, int, int]
    offset_mm: tuple[float, float, float]
    system: str
    units: Literal["mm", "inch"]
    motion: str
    plane: Plane
    absolute: bool
    inverse_time: bool
    absolute_centres: bool
    returns_to_old_height: bool
    path: PathMode
    side: Literal["left", "right"] | None
    side_radius_mm: float
    length_of: int | None
    feed: float | None
    spindle: int
    speed_rpm: float | None
    mist: bool
    flood: bool
    overrides: bool
    tool: int
    selected: int
    cycle: Mapping[str, float]
    parameters: Mapping[int, float]
    parts: tuple[CalledPart, ...]
    moves: int

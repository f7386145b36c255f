"""What a reading of a program has to be told."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["ListedTool", "ReadOptions"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedTool:
    """A slot of the control's tool table; None for what it does not say."""

    length_mm: float | None = None
    diameter_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadOptions:
    """How to read a program: what the control is, holds and does, and where the tool starts.

    ``units_at_start``: what the control is in when a program does not say; ``assumed_units`` what
    to go on with when that is unknown. ``home``: whether G28 and G30 send only the axes named on
    the line home (practice), or all (the report). ``g28_mm``, ``g30_mm``: machine coordinates, None
    unknown. ``origin_mm``: machine coordinates of the zero frame's origin, an axis None when
    unknown. ``start_mm``: zero frame; None unknown: the reading begins at 0, in doubt. ``system``:
    the coordinate system whose origin the zero frame has, selected at the start.
    ``other_systems_known``: True takes whatever the control holds as zero, as a program read alone
    must, and says so; False makes coordinates that rest on it doubtful. ``strict``: by the report.
    ``tools``: the tool table by slot. ``lengths``: ``listed`` takes tool lengths from it, so that
    the zero frame follows the spindle; otherwise the frame follows the tip of each tool, whose
    length the control takes from its own ``table`` or is ``touched-off``, or nobody knows.
    ``zero_tool``: the tool for whose tip ``origin_mm`` holds in Z; None for any.
    """

    units_at_start: Literal["mm", "inch", "unknown"] = "unknown"
    assumed_units: Literal["mm", "inch"] = "mm"
    arc_centres: Literal["relative", "absolute", "unknown"] = "relative"
    block_delete: bool = False
    home: Literal["named", "all"] = "named"
    g28_mm: tuple[float, float, float] | None = (0.0, 0.0, 0.0)
    g30_mm: tuple[float, float, float] | None = (0.0, 0.0, 0.0)
    origin_mm: tuple[float | None, float | None, float | None] = (0.0, 0.0, 0.0)
    start_mm: tuple[float, float, float] | None = (0.0, 0.0, 0.0)
    system: str = "G54"
    other_systems_known: bool = True
    strict: bool = False
    tools: Mapping[int, ListedTool] = field(default_factory=dict)
    lengths: Literal["listed", "table", "touched-off", "unknown"] = "listed"
    zero_tool: int | None = None

    @property
    def knows_lengths(self) -> bool:
        """Whether machine heights and those of the tool's tip part by nothing that only the control knows."""
        return self.lengths in ("listed", "touched-off")

"""What the bit does to the board: the surface that is left, and how the bit meets the wood on its way."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Codes, Columns, Floats, Ints, Lines

__all__ = ["NO_BOARD_MM", "Engagement", "Heights", "LoosePart", "Removal", "Side", "Surface"]

NO_BOARD_MM = -1e6  # the height of a cell that is no board

Heights = npt.NDArray[np.float32]


class Side(IntEnum):
    """On which side of its way the bit meets wood; the number is the code in the column ``side``.

    CLIMB and CONVENTIONAL for a bit that turns clockwise seen from above; BOTH in a slot.
    """

    NONE = 0
    CLIMB = 1
    CONVENTIONAL = 2
    BOTH = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """The board as it is left, as heights at the middles of square cells, in the zero frame.

    ``heights_mm``: (rows, columns) along y and x, ``NO_BOARD_MM`` where there is no board, and the underside's height
    where it is cut through. ``corner_mm``: x and y of the first cell's middle. Between the middles the true
    surface differs: sideways by ``edge_mm`` at most, and on floors and slopes by ``height_error_mm``.
    """

    heights_mm: Heights
    corner_mm: tuple[float, float]
    pitch_mm: float
    top_mm: float
    underside_mm: float
    edge_mm: float
    height_error_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Engagement(Columns):
    """How the bit meets the wood, stretch by stretch of its way: a few millimetres of cut or of a rapid.

    ``row``, ``last_row``: the first and the last move of ``Moves``; ``line``: of the first. ``tool``: in the spindle.
    ``rapid``: 1 for rapids, 0 for cuts. ``length_mm``: of the way. ``volume_mm3``: of the wood met, removed unless
    rapid. ``depth_mm``: the highest wood above the lowest place of the tip. ``width_mm``: of the cut across the way,
    seen from above; ``angle_rad``: how much of the bit's way round is in the wood. ``side``: code of ``Side``.
    ``rise_rad``: slope of the way, negative going down. ``at_mm`` (n, 3): where it begins. ``tip_mm``: the lowest
    place of the tip.
    """

    row: Ints
    last_row: Ints
    line: Lines
    tool: Lines
    rapid: Codes
    length_mm: Floats
    volume_mm3: Floats
    depth_mm: Floats
    width_mm: Floats
    angle_rad: Floats
    side: Codes
    rise_rad: Floats
    at_mm: Floats
    tip_mm: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoosePart:
    """A part that is cut free, or hangs on little.

    ``at_mm``: its middle, at the board's top; ``size_mm`` along x and y; ``cells``: of the surface, those that it
    covers. ``strength_n``: what its ``tabs`` bear together, each as thin as it may be, the thinnest ``tab_mm`` high.
    ``through``: rows of the engagement that cut through beside it; ``later``: rows that cut it after the last of them.
    ``push_n``: the hardest that any of these may push it; 0 until loads are known.
    """

    at_mm: tuple[float, float, float]
    size_mm: tuple[float, float]
    cells: npt.NDArray[np.bool_]
    area_mm2: float
    strength_n: float
    tabs: int
    tab_mm: float | None
    through: tuple[int, ...]
    later: tuple[int, ...]
    push_n: float = 0.0

    @property
    def freed(self) -> int | None:
        """The row of the engagement that cut through last beside it, None when that is not known."""
        return self.through[-1] if self.through else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Removal:
    """All that removal knows.

    ``air`` (n,): whether a row of ``Moves`` meets no wood but slivers; not where that is not known. ``parts``: what
    comes loose. ``volume_mm3``: of all that is cut away. ``doubtful``: rows of the engagement, rapids, that may meet
    wood too thin to be seen. ``unswept``: bits whose shape the card does not tell, by number: they cut nothing.
    """

    surface: Surface
    engagement: Engagement
    air: npt.NDArray[np.bool_]
    parts: tuple[LoosePart, ...]
    volume_mm3: float
    doubtful: tuple[int, ...]
    unswept: tuple[int, ...]

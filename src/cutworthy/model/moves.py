"""The pieces of path that the tool really sweeps."""

from dataclasses import dataclass
from enum import IntEnum

from cutworthy.model.columns import Codes, Columns, Floats, Ints, Lines

__all__ = ["Moves", "Way"]


class Way(IntEnum):
    """How a piece came to be; the number is the code in the column ``way``.

    STRAIGHT: as programmed. DOG_LEG: a piece of a rapid whose axes each run at their own speed.
    """

    STRAIGHT = 0
    DOG_LEG = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moves(Columns):
    """Straight pieces and arcs swept by the tool, in the zero frame; dwells are left out.

    A rapid whose way is unknown stands here once straight and once as its dog-leg pieces.
    ``row`` is the row of the program's move; the other columns are as in ``ProgramMoves``.
    """

    row: Ints
    line: Lines
    kind: Codes
    way: Codes
    start_mm: Floats
    end_mm: Floats
    centre_mm: Floats
    plane: Codes
    turns: Floats
    tool: Lines
    low_mm: Floats
    high_mm: Floats
    start_doubt: Codes
    end_doubt: Codes

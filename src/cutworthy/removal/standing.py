"""Where the bit stands in wood while the program waits."""

import numpy as np
import numpy.typing as npt

from cutworthy.model.job import Job
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, Kind, ProgramMoves
from cutworthy.model.removal import NO_BOARD_MM, Removal

__all__ = ["standing"]

NEAR_MM = 0.3  # wood so near to the edge of the bit, or to its tip, is taken to touch it


def standing(waits: ProgramMoves, moves: Moves, job: Job, removal: Removal) -> npt.NDArray[np.bool_]:
    """Return for each move of the program whether it waits with the bit in wood, or may do so, (n,).

    The bit touches wood where it has just cut some, and where wood is still beside it or under it at the end of
    the program. A bit whose shape or place is not known is taken to touch.

    Parameters
    ----------
    waits
        The moves of the program, dwells among them.
    moves
        What was swept, with the rows of the program.
    job
        For the bits.
    removal
        What they took from the board.
    """
    met = np.zeros(len(waits), dtype=bool)
    met[moves.row[~removal.air]] = True
    dwells = waits.kind == Kind.DWELL
    before = np.maximum.accumulate(np.where(dwells, -1, np.arange(len(waits))))
    found: npt.NDArray[np.bool_] = dwells & (before >= 0) & met[before]
    for row in np.flatnonzero(dwells & ~found).tolist():
        bit = next((bit for bit in job.bits if bit.tool == waits.tool[row]), job.bits[0])
        known = (waits.end_doubt[row] == Doubt.NONE).all() and bit.tool not in removal.unswept
        found[row] = not known or _touches(removal, waits.end_mm[row].tolist(), bit.diameter_mm.value / 2)
    return found


def _touches(removal: Removal, at_mm: list[float], radius_mm: float) -> bool:
    """Return whether wood that is left reaches up to the tip of a bit, within its radius and a little more."""
    surface, reach = removal.surface, radius_mm + NEAR_MM
    pitch, (x0, y0) = surface.pitch_mm, surface.corner_mm
    window = []
    for low, count in ((at_mm[1] - y0, surface.heights_mm.shape[0]), (at_mm[0] - x0, surface.heights_mm.shape[1])):
        first, last = ((low + side * reach) / pitch for side in (-1, 1))
        window.append(slice(min(max(int(first), 0), count), min(max(int(last) + 2, 0), count)))
    heights = surface.heights_mm[window[0], window[1]]
    x = x0 + pitch * np.arange(window[1].start, window[1].stop) - at_mm[0]
    y = y0 + pitch * np.arange(window[0].start, window[0].stop)[:, None] - at_mm[1]
    near = (np.hypot(x, y) <= reach) & (heights > NO_BOARD_MM) & (heights > surface.underside_mm)
    return bool((near & (heights > at_mm[2] - NEAR_MM)).any())

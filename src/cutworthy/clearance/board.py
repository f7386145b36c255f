"""Which moves can touch the uncut board."""

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.known import known_span
from cutworthy.model.clearance import Place
from cutworthy.model.job import Job
from cutworthy.model.program import Doubt, ProgramMoves

__all__ = ["in_board"]


def in_board(moves: ProgramMoves, job: Job, place: Place) -> npt.NDArray[np.bool_]:
    """Return for each move whether its box, as wide as its bit, meets the board as it was, (n,).

    Errs towards contact: wood that an earlier move took away still counts, an x or y that is not
    known may be anywhere, and a bit that is not on the card is taken as the widest that is. A move
    of whose height nothing is known is left out: other rules ask about it.
    """
    bits = job.bits
    widest = max(bit.diameter_mm.value for bit in bits)
    radii = {bit.tool: bit.diameter_mm.value / 2 for bit in bits} | {0: bits[0].diameter_mm.value / 2}
    tools, which = np.unique(moves.tool, return_inverse=True)
    radius = np.array([radii.get(int(tool), widest / 2) for tool in tools])[which]
    doubtful = (moves.start_doubt != Doubt.NONE) | (moves.end_doubt != Doubt.NONE)
    top = job.board.thickness_mm.value - place.on_board_mm[2]
    lowest, _ = known_span(moves, 2)
    meets: npt.NDArray[np.bool_] = lowest < top  # nothing known is NaN, which is below nothing
    sizes = (job.board.size_x_mm.value, job.board.size_y_mm.value)
    for axis, size in enumerate(sizes):
        begin = moves.low_mm[:, axis] + place.on_board_mm[axis] - radius
        end = moves.high_mm[:, axis] + place.on_board_mm[axis] + radius
        meets &= ((begin < size) & (end > 0)) | doubtful[:, axis]
    return meets

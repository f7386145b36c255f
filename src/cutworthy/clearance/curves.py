"""Pieces of arcs against a box: the least distance in plan and the least height, each for itself."""

from typing import NamedTuple

import numpy as np

from cutworthy.clearance.path import Form, Path, Pieces
from cutworthy.clearance.solid import Box, around, least_side, side
from cutworthy.model.columns import Floats, Ints

__all__ = ["Curves", "curves"]


class Curves(NamedTuple):
    """What is known of some pieces: ``piece`` their places, the rest one value for each.

    ``beside_mm``: least distance in plan from the box's sides. ``height_mm``: least height of the
    tip. ``share``: where one may try. ``tried_beside_mm``, ``tried_height_mm``: both there.
    """

    piece: Ints
    beside_mm: Floats
    height_mm: Floats
    share: Floats
    tried_beside_mm: Floats
    tried_height_mm: Floats


def curves(path: Path, pieces: Pieces, box: Box) -> Curves:
    """Return what is known of those pieces that are not straight.

    The least distance in plan is exact for arcs seen flat and for arcs seen from their edge; for
    helices across the table it is a lower bound. The least height is exact.
    """
    form = path.form[pieces.move]
    piece = np.flatnonzero(form != Form.STRAIGHT)
    bent = pieces.take(piece)
    flat = form[piece] == Form.FLAT
    low, high = bent.boxes(path)
    beside, share = least_side(box, low, high), np.full(len(bent), 0.5)
    on = bent.take(np.flatnonzero(flat))
    beside[flat], share[flat] = around(on.start, path.centre[on.move], on.turns(path), box)
    tip = path.at(bent.move, bent.along(share))
    return Curves(piece, beside, low[:, 2], share, side(box, tip[:, 0], tip[:, 1]), tip[:, 2])

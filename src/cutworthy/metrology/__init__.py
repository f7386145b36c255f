"""Readings to results with uncertainty, and to decisions."""

from collections.abc import Callable, Mapping

from cutworthy.metrology.kinds import KINDS, kind_of
from cutworthy.metrology.lengths import positions, reversal, scale
from cutworthy.metrology.piece import test_piece
from cutworthy.metrology.pulls import proof_load
from cutworthy.metrology.shapes import circle, flatness, runout, square_diagonals, square_flip, tram
from cutworthy.metrology.sitting import Sitting
from cutworthy.model.result import MeasureOutcome

__all__ = ["KINDS", "TELLERS", "Sitting", "kind_of"]

TELLERS: Mapping[str, Callable[[Sitting], MeasureOutcome]] = {
    "scale": scale,
    "reversal": reversal,
    "positioning": positions,
    "square-diagonals": square_diagonals,
    "square-flip": square_flip,
    "tram": tram,
    "flatness": flatness,
    "circle": circle,
    "proof-load": proof_load,
    "runout": runout,
    "test-piece": test_piece,
}

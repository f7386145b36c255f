"""Which places of a program go with zero, and which stay with the machine."""

from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.known import known_span
from cutworthy.model.columns import Floats
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, ProgramMoves

__all__ = ["Course", "MovedSpan"]

Flags = npt.NDArray[np.bool_]
# Two readings of one number differ by rounding only; so do places that stay.
SAME_MM = 1e-6


class MovedSpan(NamedTuple):
    """What each move reaches along an axis [mm], (n,): with what goes with zero, and with what stays; NaN for none."""

    riding_low: Floats
    riding_high: Floats
    staying_low: Floats
    staying_high: Floats


class Course(NamedTuple):
    """A program under one reading: its moves, those that the tool sweeps, and which ends go with zero.

    ``start_rides``, ``end_rides``: for x and y of each of the program's moves, (n, 2). An end stays
    when the program sends the tool to a place of the machine (G28, G30, G53, G10).
    """

    program: ProgramMoves
    swept: Moves
    start_rides: Flags
    end_rides: Flags

    @classmethod
    def of(
        cls, program: ProgramMoves, swept: Moves, elsewhere: ProgramMoves | None, moved_mm: tuple[float, float]
    ) -> Self | None:
        """Compare a program with the same one read at another zero.

        Parameters
        ----------
        program : ProgramMoves
            Its moves at the card's zero, in the zero frame.
        swept : Moves
            What the tool sweeps.
        elsewhere : ProgramMoves, optional
            Its moves with zero moved, in that zero's frame; None where nothing hangs on the machine.
        moved_mm : tuple of float
            How far zero was moved along x and y [mm].

        Returns
        -------
        Course or None
            None when the program makes other moves there, so that nothing can be said of a third zero.
        """
        if elsewhere is None:
            rides = np.ones((len(program), 2), dtype=bool)
            return cls(program, swept, rides, rides)
        if len(elsewhere) != len(program) or (elsewhere.kind != program.kind).any():
            return None
        found = []
        for here, there, doubt in (
            (program.start_mm, elsewhere.start_mm, program.start_doubt),
            (program.end_mm, elsewhere.end_mm, program.end_doubt),
        ):
            by = there[:, :2] - here[:, :2]
            rides = (np.abs(by) <= SAME_MM) | (doubt[:, :2] != Doubt.NONE)  # of the others nothing is said
            if not (rides | (np.abs(by + moved_mm) <= SAME_MM)).all():
                return None
            found.append(rides)
        start, end = found
        bends = ~np.isnan(program.turns) & (start != end).any(axis=1)
        return None if bends.any() else cls(program, swept, start, end)

    @property
    def riding(self) -> Flags:
        """Which of the program's moves go with zero as a whole, (n,)."""
        return np.asarray((self.start_rides & self.end_rides).all(axis=1))

    @property
    def staying(self) -> Flags:
        """Which of the program's moves stay with the machine as a whole, (n,)."""
        return np.asarray(~(self.start_rides | self.end_rides).any(axis=1))

    def span(self, axis: int) -> MovedSpan:
        """Return what each of the program's moves reaches along x or y, as known, by what goes with zero."""
        moves = self.program
        low, high = known_span(moves, axis)
        start, end = self.start_rides[:, axis], self.end_rides[:, axis]
        ends = [np.where(start != end, np.nan, low), np.where(start != end, np.nan, high)]
        riding = [np.where(start & end, each, np.nan) for each in ends]
        staying = [np.where(~start & ~end, each, np.nan) for each in ends]
        for places, doubt, rides in (
            (moves.start_mm[:, axis], moves.start_doubt[:, axis], start),
            (moves.end_mm[:, axis], moves.end_doubt[:, axis], end),
        ):
            known = (start != end) & (doubt == Doubt.NONE)
            for spans, mine in ((riding, rides), (staying, ~rides)):
                for k in (0, 1):
                    spans[k] = np.where(known & mine, places, spans[k])
        return MovedSpan(riding[0], riding[1], staying[0], staying[1])

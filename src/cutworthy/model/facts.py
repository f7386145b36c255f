"""Everything the rules may look at: cards, program and results, under one reading."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cutworthy.model.clearance import Contact, Depths, Place, Reach, Sweep
from cutworthy.model.job import Bit, Job
from cutworthy.model.loads import Loading
from cutworthy.model.machine import Machine
from cutworthy.model.moves import Moves
from cutworthy.model.program import Program, Reading
from cutworthy.model.removal import Removal
from cutworthy.model.timeline import Timing

__all__ = ["Facts"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Facts:
    """The facts about one job under one reading of its program.

    ``in_board``: for each row of the program's moves, whether the bit can touch the uncut board,
    shape (n,); ``standing``: whether it waits there with the bit in wood. ``if_guessed`` and
    ``sweeps_if_guessed``: contacts and sweeps of those parts around the bit that are not on the card, at the
    greatest size we guess for them.
    """

    reading: Reading
    machine: Machine
    job: Job
    program: Program
    place: Place
    moves: Moves
    contacts: tuple[Contact, ...]
    sweeps: tuple[Sweep, ...]
    if_guessed: tuple[Contact, ...]
    sweeps_if_guessed: tuple[Sweep, ...]
    reaches: tuple[Reach, ...]
    depths: tuple[Depths, ...]
    timing: Timing
    removal: Removal
    loading: Loading
    in_board: npt.NDArray[np.bool_]
    standing: npt.NDArray[np.bool_]

    @property
    def top_mm(self) -> float:
        """The board's top in the zero frame."""
        return self.job.board.thickness_mm.value - self.place.on_board_mm[2]

    @property
    def in_wood(self) -> npt.NDArray[np.bool_]:
        """Return for each row of the program's moves whether the bit may meet wood that is still there, shape (n,)."""
        known_air = np.zeros(len(self.program.moves), dtype=bool)
        known_air[self.moves.row] = True
        known_air[self.moves.row[~self.removal.air]] = False
        return self.in_board & ~known_air

    def with_bit(self, bit: Bit) -> npt.NDArray[np.bool_]:
        """Return for each row of the program's moves whether this bit makes it, shape (n,)."""
        tools = self.program.moves.tool
        return np.isin(tools, [tool for tool in np.unique(tools).tolist() if self.bit(tool) is bit])

    def bit(self, tool: int) -> Bit | None:
        """Return the bit of a T number; before the first change that is the card's first.

        A bit without a number on the card is the one that the program calls first.
        """
        first = self.job.bits[0]
        if tool == 0 or (first.tool == 0 and tool in self.program.tools[:1]):
            return first
        return next((bit for bit in self.job.bits if bit.tool == tool), None)

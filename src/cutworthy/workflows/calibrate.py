"""What the slot of a calibration asks for by the books, to be held against what the power meter showed."""

from dataclasses import dataclass

from cutworthy import clearance, loads, motion, removal
from cutworthy.model.job import Job
from cutworthy.model.loads import Loading
from cutworthy.model.settings import Settled
from cutworthy.program import read_program
from cutworthy.workflows.open import read_options
from cutworthy.working import unrecorded

__all__ = ["Slot", "slot_loading"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """The job of the slot that was cut with a power meter on the spindle, and its program."""

    job: Job
    program: bytes


def slot_loading(slot: Slot, settled: Settled) -> Loading:
    """Return the loads of the slot, as practice reads its program."""
    machine = settled.machine
    with unrecorded():  # it is no part of the job's own working
        place = clearance.place(machine, slot.job)
        program = read_program(slot.program, read_options(machine, slot.job, place), _quiet)
        moves = motion.expand(program, machine)
        timeline = motion.timing(program, machine).timeline
        removed = removal.remove(moves, slot.job, place, progress=_quiet)
    return loads.load(removed.engagement, moves, program, timeline, settled, slot.job)


def _quiet(_share: float) -> None:
    """Tell nobody: a slot is short."""

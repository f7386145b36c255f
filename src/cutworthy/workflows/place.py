"""Where may zero stand, and where may clamps?"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from cutworthy import clearance, motion

# Not from the package itself: a plain verdict loads nothing of these.
from cutworthy.clearance.clamping import clamp_region
from cutworthy.clearance.placement import zero_region
from cutworthy.clearance.riding import Course
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.placement import ClampSize, Placement
from cutworthy.model.program import Level, Program, Reading
from cutworthy.program import ReadOptions, read_program
from cutworthy.reference.tables import default
from cutworthy.workflows.open import other_readings, read_options, with_widest_parts
from cutworthy.workflows.prove import AROUND
from cutworthy.working import unrecorded

__all__ = ["PlaceRequest", "Places", "find_places"]

Progress = Callable[[float], None]
READ = 0.4  # of the work
# How far zero is moved to see which places go with it: no round number that a program would use.
MOVED_MM = (8.171875, 16.359375)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRequest:
    """Cards, program and clamp, as in ``ProveRequest``; without a size, that of the card's first clamp."""

    machine: Machine
    job: Job
    program: bytes
    clamp_mm: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """What was found, and the program that it was found for."""

    placement: Placement
    program: Program


def find_places(request: PlaceRequest, progress: Progress) -> Places:
    """Return where zero may stand on the board, and where a clamp may stand beside the tool.

    Every reading counts that the cards leave open. A collet nut or a body that is not on the card is
    taken as the widest we can think of.

    Raises
    ------
    Stopped
        When ``progress`` raises it.
    """
    job = request.job
    guessed = tuple(part for part in AROUND[:2] if getattr(request.machine.spindle, part) is None)
    machine = with_widest_parts(request.machine)
    with unrecorded():
        place = clearance.place(machine, job)
        program, courses = _courses(request, lambda done: progress(READ * done))
        zero = zero_region(courses, job, machine, place)
        progress((1 + READ) / 2)
        known = [course for course in courses if course is not None]
        clamp = clamp_region(known, job, machine, place, _size(request))
    progress(1.0)
    return Places(placement=Placement(zero=zero, clamp=clamp, guessed=guessed), program=program)


def _courses(request: PlaceRequest, progress: Progress) -> tuple[Program, list[Course | None]]:
    """Return the program as practice reads it, and its moves under each reading that the cards leave open."""
    machine, job = request.machine, request.job
    options = read_options(machine, job, clearance.place(machine, job))
    first = read_program(request.program, options, progress)
    courses = []

    def again(_share: float) -> None:
        progress(1.0)  # the share does not fall back; the work can still be stopped

    for reading, other in [(Reading.PRACTICE, options), *other_readings(machine, first, options)]:
        program = first if other is options else read_program(request.program, other, again)
        if reading is Reading.ABSOLUTE_CENTRES and any(
            problem.id == "arc-mismatch" and problem.level is Level.NO_GO for problem in program.problems
        ):
            continue  # its arcs do not close so: nobody meant it
        courses.append(_course(request, program, other, again))
    return first, courses


def _course(request: PlaceRequest, program: Program, options: ReadOptions, progress: Progress) -> Course | None:
    """Return what the tool sweeps, and which of its places go with zero: found by reading it at another one."""
    x, y, z = options.origin_mm
    elsewhere = None
    if x is not None or y is not None:  # otherwise no place of the machine is known
        moved = [None if at is None else at + by for at, by in zip((x, y), MOVED_MM, strict=True)]
        there = replace(options, origin_mm=(moved[0], moved[1], z))
        elsewhere = read_program(request.program, there, progress).moves
    return Course.of(program.moves, motion.expand(program, request.machine), elsewhere, MOVED_MM)


def _size(request: PlaceRequest) -> ClampSize:
    """Return the clamp that was asked for, the first of the card, or a common one."""
    error = default("clamp").value
    if request.clamp_mm is not None:
        along_x, along_y, height = request.clamp_mm
        return ClampSize(
            along_x_mm=along_x, along_y_mm=along_y, height_mm=height, plus_minus_mm=error, given_by="asked"
        )
    if request.job.clamps:
        first = request.job.clamps[0]
        return ClampSize(
            along_x_mm=first.to_x_mm - first.from_x_mm,
            along_y_mm=first.to_y_mm - first.from_y_mm,
            height_mm=first.height_mm.value,
            plus_minus_mm=first.plus_minus_mm.value,
            given_by="card",
        )
    along_x, along_y, height = (default(f"clamp_{name}").value for name in ("along_x", "along_y", "height"))
    return ClampSize(along_x_mm=along_x, along_y_mm=along_y, height_mm=height, plus_minus_mm=error, given_by="guess")

"""The main job: is this program, on this machine, with this set-up, fit to cut?"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from cutworthy import clearance, findings, loads, motion, removal, settings
from cutworthy.model.clearance import Contact, Part, Place, Sweep
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, NearestClamp, Outcome, TightestTravel
from cutworthy.model.job import Job
from cutworthy.model.loads import Loading
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.moves import Moves
from cutworthy.model.program import Doubt, Level, Program, Reading
from cutworthy.model.settings import Settled
from cutworthy.program import read_program
from cutworthy.workflows.calibrate import Slot, slot_loading
from cutworthy.workflows.digest import digest
from cutworthy.workflows.guesses import count_guesses
from cutworthy.workflows.open import other_readings, read_options, with_widest_parts
from cutworthy.working import unrecorded

__all__ = ["NOT_CHECKED", "Progress", "ProveRequest", "prove"]

Progress = Callable[[float], None]
GrowlSpeeds = Mapping[AxisName, tuple[float, float, float]]

# What no tool could know, in the order in which a person would look.
FIRST_READ = 0.5  # of the work, when the program is read once
AROUND: tuple[Part, ...] = ("nut", "body", "shoe")
LABEL = ("motor.holding_torque", "motor.rated_current")  # without it nobody knows where a motor growls
# What is wrong with an axis that this program moves; the other findings about a machine stay with it.
CARRIED = frozenset(
    ("steps-mismatch", "speed-too-high", "pulse-too-fast", "whip", "buckling", "current-wrong", "voltage-high")
)
NOT_CHECKED = ("bit-sharp", "bit-seated", "board-held", "metal-in-wood", "things-not-entered")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProveRequest:
    """Cards and program, as bytes: nothing else can change the outcome. ``slot``: of the machine's calibration."""

    machine: Machine
    job: Job
    program: bytes
    slot: Slot | None = None


def prove(request: ProveRequest, progress: Progress) -> Outcome:
    """Return what cutworthy finds about the request.

    The program is judged under each reading that the cards leave open; the verdict is the worst.

    Raises
    ------
    Stopped
        When ``progress`` raises it.
    """
    machine, job = request.machine, request.job
    place = clearance.place(machine, job)
    options = read_options(machine, job, place)
    program = read_program(request.program, options, _share(progress, 0.0, FIRST_READ))
    readings = [(Reading.PRACTICE, options), *other_readings(machine, program, options)]
    with unrecorded():  # the working of a machine belongs to its settings
        settled = Settled(machine=machine, settings=settings.settle(machine))
    slot = None if request.slot is None else slot_loading(request.slot, settled)
    all_facts, step = list[Facts](), (1.0 - FIRST_READ) / len(readings)
    for number, (reading, other) in enumerate(readings):
        first, second = (_share(progress, FIRST_READ + step * (number + half), step / 2) for half in (0.0, 0.5))
        again = program if other is options else read_program(request.program, other, first)
        if reading is Reading.ABSOLUTE_CENTRES and any(
            problem.id == "arc-mismatch" and problem.level is Level.NO_GO for problem in again.problems
        ):
            continue  # its arcs do not close so: nobody meant it
        all_facts.append(_facts(settled, job, place, again, reading, slot, second))
    about_job = [finding for facts in all_facts for finding in findings.judge(facts)]
    found = findings.merge([*about_job, *_about_machine(settled, all_facts)])
    progress(1.0)
    return _outcome(request, place, program, all_facts, found)


def _outcome(
    request: ProveRequest, place: Place, program: Program, all_facts: list[Facts], found: tuple[Finding, ...]
) -> Outcome:
    """Return the outcome: pictures and loads of the program as it is usually read, the least and most of all."""
    machine, job, usual = request.machine, request.job, all_facts[0]
    nearest = [clamp for facts in all_facts if (clamp := _nearest_clamp(facts)) is not None]
    rooms = [room for facts in all_facts for room in _rooms(facts)]
    return Outcome(
        verdict=findings.verdict(found),
        program=program,
        timing=usual.timing,
        removal=usual.removal,
        loading=usual.loading,
        deepest_mm=max((depth.below_top_mm for facts in all_facts for depth in facts.depths), default=None),
        time_low_s=min(facts.timing.low_s for facts in all_facts),
        time_high_s=max(facts.timing.high_s for facts in all_facts),
        place=place,
        nearest_clamp=min(nearest, key=lambda clamp: clamp.clearance_mm, default=None),
        tightest_travel=min(rooms, key=lambda travel: travel.room_mm, default=None),
        guesses=count_guesses(machine, job, found),
        findings=found,
        clamps=len(job.clamps),
        parts=("bit", *(part for part in AROUND if getattr(machine.spindle, part) is not None)),
        not_checked=NOT_CHECKED,
        digest=digest(machine, job, program.sha256, request.slot),
    )


def _about_machine(settled: Settled, all_facts: list[Facts]) -> list[Finding]:
    """Return what is wrong with the settings of the axes that the program moves, under any reading."""
    moved = [name for i, name in enumerate(AXES) if any(_is_moved(facts.moves, i) for facts in all_facts)]
    return [
        finding
        for finding in findings.judge_machine(settled)
        if finding.id in CARRIED and finding.level is not Level.NOTE and finding.about in moved
    ]


def _growl_speeds(settled: Settled) -> GrowlSpeeds:
    """Return the speeds at which the axes growl, where the motor's label was read [mm/s], as settings tells them."""
    return {
        name: axis.torques.growl_mm_s
        for name, axis in settled.settings.axes.items()
        if axis.torques is not None and not any(key.removeprefix(f"axes.{name}.") in LABEL for key in axis.guessed)
    }


def _is_moved(moves: Moves, column: int) -> bool:
    """Return whether an axis moves, be it only from wherever it stood to a first place that is known."""
    is_sent = (moves.end_doubt[:, column] != Doubt.START).any()
    return bool(is_sent or (moves.high_mm[:, column] > moves.low_mm[:, column]).any())


def _share(progress: Progress, begin: float, share: float) -> Progress:
    """Return a progress that fills a share of the whole."""
    return lambda done: progress(begin + share * done)


def _nearest_clamp(facts: Facts) -> NearestClamp | None:
    """Return the least clearance from any clamp on the card."""
    clamps = [contact for contact in facts.contacts if contact.clamp is not None]
    if not clamps:
        return None
    nearest = min(clamps, key=lambda contact: contact.clearance_mm)
    return NearestClamp(
        part=nearest.part,
        thing=nearest.thing,
        clearance_mm=nearest.clearance_mm,
        line=int(facts.moves.line[nearest.nearest_row]),
        at_mm=nearest.nearest_at_mm,
    )


def _rooms(facts: Facts) -> list[TightestTravel]:
    """Return the room left on each axis whose place on the machine is known."""
    return [
        TightestTravel(axis=reach.axis, room_mm=reach.room_mm, line=int(facts.moves.line[reach.worst_row]))
        for reach in facts.reaches
        if reach.limits_mm is not None and reach.room_mm is not None
    ]


def _if_guessed(
    moves: Moves, job: Job, machine: Machine, place: Place
) -> tuple[tuple[Contact, ...], tuple[Sweep, ...]]:
    """Return what the parts around the bit that are not on the card could meet, as wide as they may be."""
    unknown = [part for part in AROUND[:2] if getattr(machine.spindle, part) is None]
    if not unknown:
        return (), ()
    with unrecorded():  # what is only guessed is no part of the working
        guessed = with_widest_parts(machine)
        contacts = tuple(c for c in clearance.contacts(moves, job, guessed, place) if c.part in unknown)
        sweeps = tuple(s for s in clearance.sweeps(moves, job, guessed, place) if s.part in unknown)
    return contacts, sweeps


def _facts(
    settled: Settled,
    job: Job,
    place: Place,
    program: Program,
    reading: Reading,
    slot: Loading | None,
    progress: Progress,
) -> Facts:
    machine = settled.machine
    moves = motion.expand(program, machine)
    if_guessed, sweeps_if_guessed = _if_guessed(moves, job, machine, place)
    timing = motion.timing(program, machine, growl_mm_s=_growl_speeds(settled), progress=_share(progress, 0.0, 0.5))
    removed = removal.remove(moves, job, place, progress=_share(progress, 0.5, 0.5))
    loading = loads.load(removed.engagement, moves, program, timing.timeline, settled, job, slot)
    removed = replace(removed, parts=loads.may_come_loose(removed.parts, loading.loads))
    return Facts(
        reading=reading,
        machine=machine,
        job=job,
        program=program,
        place=place,
        moves=moves,
        contacts=clearance.contacts(moves, job, machine, place),
        sweeps=clearance.sweeps(moves, job, machine, place),
        if_guessed=if_guessed,
        sweeps_if_guessed=sweeps_if_guessed,
        reaches=clearance.reach(moves, machine, job, place),
        depths=clearance.depths(program.moves, job, place),
        timing=timing,
        removal=removed,
        loading=loading,
        in_board=clearance.in_board(program.moves, job, place),
        standing=removal.standing(program.moves, moves, job, removed),
    )

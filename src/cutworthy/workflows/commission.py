"""What readings tell about a machine, and what to do about it."""

from dataclasses import dataclass
from itertools import combinations

from cutworthy import metrology, motion, trials
from cutworthy.errors import ReadingsError
from cutworthy.model.fit import Decision, Estimate, RuleFit, TimeFit, TimeOutcome, Why
from cutworthy.model.machine import Control, Machine
from cutworthy.model.program import Level, ProgramMoves
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.model.reading import ReadingKind, TimedRun
from cutworthy.program import ReadOptions, read_program
from cutworthy.reference.tables import limit
from cutworthy.workflows.digest import axes_digest
from cutworthy.workflows.prove import Progress

__all__ = ["TimeRequest", "kind_of", "measure_time"]

FIRST_RUNS = 2  # that are always made
APART = 3.0  # deviations that two times must differ by to be told apart


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRequest:
    """A machine, and the runs that were timed on it."""

    machine: Machine
    runs: tuple[TimedRun, ...]


def kind_of(name: str) -> ReadingKind:
    """Return the kind of readings with a name; ReadingsError when there is none."""
    return metrology.kind_of(name)


def measure_time(request: TimeRequest, progress: Progress) -> TimeOutcome:
    """Return what timed runs tell about the control of a machine.

    Raises
    ------
    ReadingsError
        When a program cannot have been run as it stands, or was made for another machine.
    Stopped
        When ``progress`` raises it.
    """
    machine = request.machine
    other_card = _other_card(request)
    moves = [_run_moves(run, machine) for run in request.runs]
    progress(0.2)
    habits = motion.expected_habits(machine)
    fit = motion.fit_times([(each, run.seconds) for each, run in zip(moves, request.runs, strict=True)], habits)
    progress(0.8)
    alike = tuple(rule for rule in fit.rules if rule.odds >= limit("odds_least").value)
    following = _next_run(request, alike)
    why = _why(request, fit, alike if following else alike[:1])
    decision: Decision = "repeat" if why else "leave" if _says_so(machine.control, fit.best) else "change"
    progress(1.0)
    return TimeOutcome(
        fit=fit,
        decision=decision,
        why=why,
        alike=alike,
        next_run=following[0] if following and why in {"one-run", "rules-alike"} else None,
        next_s=following[1] if following else (),
        other_card=other_card,
        guessed=_guessed(machine),
    )


def _run_moves(run: TimedRun, machine: Machine) -> ProgramMoves:
    """Return the moves of a run."""
    control = machine.control
    options = ReadOptions(
        units_at_start=control.units_at_start, assumed_units=machine.units, arc_centres=control.arc_centres
    )
    program = read_program(run.program, options, lambda _share: None)
    if unread := [problem for problem in program.problems if problem.level is Level.NO_GO]:
        msg = f"{run.place}: {run.name}, line {unread[0].line}, cannot be read; name the program that was run"
        raise ReadingsError(msg)
    if not len(program.moves):
        msg = f"{run.place}: {run.name} moves nothing; name the program that was run"
        raise ReadingsError(msg)
    return program.moves


def _why(request: TimeRequest, fit: TimeFit, alike: tuple[RuleFit, ...]) -> Why:
    """Return why the readings do not decide, empty when they do."""
    more = len(fit.measured_s) - FIRST_RUNS
    if fit.best.misfit > limit("misfit_most").value + limit("misfit_more").value * more:
        return "no-rule"
    if len({run.program for run in request.runs}) < FIRST_RUNS:
        return "one-run"
    return "rules-alike" if len(alike) > 1 else ""


def _says_so(control: Control, best: RuleFit) -> bool:
    """Return whether the card already has what was found."""
    if control.corners != best.corners:
        return False
    if best.tolerance_mm is not None and not _agrees(control.corner_tolerance_mm, best.tolerance_mm):
        return False
    return _agrees(control.block_rate_hz, best.block_rate_hz)


def _agrees(stated: Quantity | None, found: Estimate) -> bool:
    if stated is None:
        return found.high is None  # nothing is known above a bound that holds for the usual number too
    return (found.low is None or stated.value >= found.low) and (found.high is None or stated.value <= found.high)


def _next_run(request: TimeRequest, alike: tuple[RuleFit, ...]) -> tuple[int, tuple[float, ...]] | None:
    """Return the run not timed yet that parts the likely rules best, and how long it takes by each [s]."""
    machine = request.machine
    habits, timed = motion.expected_habits(machine), {_as_written(run.program) for run in request.runs}
    offers = list[tuple[float, int, tuple[float, ...]]]()
    for number in trials.RUNS:
        (trial,) = trials.timing(machine, axes_digest(machine), (number,))
        if trial.text in timed:
            continue
        run = TimedRun(name=trial.name, place="", program=trial.text.encode("ascii"), seconds=0.0)
        moves = _run_moves(run, machine)
        seconds = tuple(motion.time_by(moves, habits, rule) for rule in alike)
        if len(timed) < FIRST_RUNS and number <= FIRST_RUNS:
            return number, seconds
        offers.append((min((_apart(*pair) for pair in combinations(seconds, 2)), default=0.0), number, seconds))
    best = max(offers, default=(0.0, 0, ()))
    return best[1:] if best[0] > APART else None


def _apart(one_s: float, other_s: float) -> float:
    """Return how many deviations of a reading two times lie apart."""
    return abs(one_s - other_s) / max(limit("thumb").value, limit("plan_share").value * max(one_s, other_s))


def _as_written(program: bytes) -> str:
    """Return the text of a program as it was when it was written: other systems change the ends of its lines."""
    return program.decode("utf-8", errors="replace").replace("\r\n", "\n")


def _other_card(request: TimeRequest) -> tuple[str, ...]:
    """Return the runs that carry the mark of another state of the card.

    Raises
    ------
    ReadingsError
        When one was made for another machine, or is not as it was written.
    """
    machine, named = request.machine, list[str]()
    own = trials.timing(machine, axes_digest(machine), trials.RUNS)
    name, mark = trials.made_for(own[0].text) or ("", "")
    for run in request.runs:
        text = _as_written(run.program)
        made = trials.made_for(text)
        if made is None:
            continue
        if made[0] != name:
            whose = f"was made for {made[0]}, this card is {name}'s"
            msg = f"{run.place}: {run.name} {whose}; name the card of the machine it ran on"
            raise ReadingsError(msg)
        if made[1] != mark:
            named.append(run.name)
        elif text.startswith(trials.TIMING) and text not in {trial.text for trial in own}:
            cure = "make it again with cutworthy trial, and time it again"
            msg = f"{run.place}: {run.name} is not as cutworthy wrote it; {cure}"
            raise ReadingsError(msg)
    return tuple(named)


def _guessed(machine: Machine) -> tuple[str, ...]:
    """Return what the times rest on and is only guessed on the card."""
    return tuple(
        each.key
        for name in ("x", "y")
        for each in (machine.axes[name].speed_mm_s, machine.axes[name].acceleration_mm_s2)
        if each.origin is Origin.GUESSED
    )

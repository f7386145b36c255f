"""What readings tell about a machine, and what to do about it."""

from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from cutworthy import metrology, motion, trials
from cutworthy.errors import ReadingsError, TrialError
from cutworthy.model.fit import Decision, Entry, Estimate, RuleFit, TimeFit, TimeOutcome, Why
from cutworthy.model.machine import Control, Machine
from cutworthy.model.program import Level, ProgramMoves
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.model.reading import ReadingKind, TimedRun
from cutworthy.model.trial import Trial
from cutworthy.program import ReadOptions, read_program
from cutworthy.reference.tables import limit
from cutworthy.workflows.digest import axes_digest
from cutworthy.workflows.prove import Progress

__all__ = ["TimeRequest", "kind_of", "measure_time"]

FIRST_RUNS = 2  # that are always made
APART = 3.0  # deviations that two times must differ by to be told apart
LEAST_SHARE = 0.03  # of accelerations: one standard deviation of what stands on a card
NEARLY = 0.05  # accelerations that are off by less are not worth a word
FAR_DOWN = 10.0  # a number of which only the highest is known may be so much less
SKEWED = 0.95  # of a number: if its band goes farther up, or nearly to 0 down, its middle is entered


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
    moves = {run.program: _run_moves(run, machine) for run in request.runs}
    progress(0.2)
    read = {program: [run.seconds for run in request.runs if run.program == program] for program in moves}
    habits = motion.expected_habits(machine)
    fit = motion.fit_times([(moves[each], read[each]) for each in moves], habits, _acceleration_share(machine))
    progress(0.8)
    said = dict(zip(moves, fit.best.seconds, strict=True))
    alike = tuple(rule for rule in fit.rules if rule.odds >= limit("odds_least").value)
    why = _why(fit, alike)
    following = _next_run(request, alike) if why in {"one-run", "rules-alike"} else None
    decision: Decision = "repeat" if why else "leave" if _says_so(machine.control, fit.best) else "change"
    if why == "rules-alike" and following is None:
        decision = "leave"  # no run of ours parts them: what is not known is better left open
    progress(1.0)
    guessed = _guessed(machine)
    return TimeOutcome(
        fit=fit,
        said_s=tuple(said[run.program] for run in request.runs),
        deviations_s=tuple(motion.deviations_s(np.array([run.seconds for run in request.runs])).tolist()),
        decision=decision,
        why=why,
        alike=alike,
        next_run=following[0] if following else None,
        next_s=following[1] if following else (),
        enter=_entries(machine.control, fit.best, is_guess=bool(guessed)) if decision == "change" else (),
        other_card=other_card,
        guessed=guessed,
    )


def _entries(control: Control, best: RuleFit, *, is_guess: bool) -> tuple[Entry, ...]:
    """Return what is to stand on the card."""
    entries = [Entry(key="control.corners", value=best.corners)]
    if best.tolerance_mm is not None:
        entries.append(_entry("control.corner_tolerance", best.tolerance_mm, is_guess=is_guess))
    rate = best.block_rate_hz
    if rate.low is not None:
        entries.append(_entry("control.block_rate", rate, is_guess=is_guess))
    elif control.block_rate_hz is not None and not _agrees(control.block_rate_hz, rate):
        entries.append(Entry(key="control.block_rate", value=None))
    return tuple(entries)


def _entry(key: str, estimate: Estimate, *, is_guess: bool) -> Entry:
    """Return a number whose band, as far up as down, holds the estimate's; an open side reaches as far as the other.

    Where the estimate lies far from the middle of its interval, the middle is entered.
    """
    value = estimate.taken
    low = value / FAR_DOWN if estimate.low is None else estimate.low
    high = 2 * value - low if estimate.high is None else estimate.high
    off = max(high - value, value - low)
    if off > SKEWED * value:
        value, off = (low + high) / 2, (high - low) / 2
    return Entry(key=key, value=value, plus_minus=off, unit=estimate.unit, is_guess=is_guess or estimate.value is None)


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


def _why(fit: TimeFit, alike: tuple[RuleFit, ...]) -> Why:
    """Return why the readings do not decide, empty when they do."""
    more = len(fit.measured_s) - FIRST_RUNS
    if fit.best.misfit > limit("misfit_most").value + limit("misfit_more").value * max(more, 0):
        return "no-rule"
    if more < 0:
        return "one-run"
    if abs(fit.best.acceleration_factor - 1) > NEARLY:
        return "acceleration"
    return "rules-alike" if len(alike) > 1 else ""


def _acceleration_share(machine: Machine) -> float:
    """Return how far the accelerations of the card may be off, as a share: one standard deviation."""
    numbers = [machine.axes[name].acceleration_mm_s2 for name in ("x", "y")]
    return max(LEAST_SHARE, *(number.plus_minus / number.value / 2 for number in numbers))


def _says_so(control: Control, best: RuleFit) -> bool:
    """Return whether the card already has what was found."""
    if control.corners != best.corners:
        return False
    if best.tolerance_mm is not None and not _agrees(control.corner_tolerance_mm, best.tolerance_mm):
        return False
    return _agrees(control.block_rate_hz, best.block_rate_hz)


def _agrees(stated: Quantity | None, found: Estimate) -> bool:
    if stated is None:
        return found.low is None and found.high is None
    return (found.low is None or stated.value >= found.low) and (found.high is None or stated.value <= found.high)


def _next_run(request: TimeRequest, alike: tuple[RuleFit, ...]) -> tuple[int, tuple[float, ...]] | None:
    """Return the run not timed yet that parts the likely rules best, and how long it takes by each [s]."""
    machine = request.machine
    habits, timed = motion.expected_habits(machine), {_without_comments(run.program) for run in request.runs}
    offers = list[tuple[float, int, tuple[float, ...]]]()
    for number, trial in _own_runs(machine).items():
        program = trial.text.encode("ascii")
        if _without_comments(program) in timed:
            continue
        moves = _run_moves(TimedRun(name=trial.name, place="", program=program, seconds=0.0), machine)
        seconds = tuple(motion.time_by(moves, habits, rule) for rule in alike)
        if len(timed) < FIRST_RUNS and number <= FIRST_RUNS:
            return number, seconds
        offers.append((min((_apart(*pair) for pair in combinations(seconds, 2)), default=0.0), number, seconds))
    best = max(offers, default=(0.0, 0, ()))
    return best[1:] if best[0] > APART else None


def _apart(one_s: float, other_s: float) -> float:
    """Return how many deviations of a reading two times lie apart."""
    return abs(one_s - other_s) / float(motion.deviations_s(np.array([one_s, other_s])).max())


def _own_runs(machine: Machine) -> dict[int, Trial]:
    """Return the timing runs that this machine has the travel for, by number."""
    made = dict[int, Trial]()
    for number in trials.RUNS:
        with suppress(TrialError):
            (made[number],) = trials.timing(machine, axes_digest(machine), (number,))
    return made


def _without_comments(program: bytes) -> tuple[str, ...]:
    """Return the lines of a program that do something, whatever ends them."""
    lines = program.decode("utf-8", errors="replace").splitlines()
    return tuple(line for line in lines if line.strip() and not line.startswith("("))


def _other_card(request: TimeRequest) -> tuple[str, ...]:
    """Return the runs that carry the mark of another state of the card.

    Raises
    ------
    ReadingsError
        When one was made for another machine, or is not as it was written.
    """
    machine, named = request.machine, list[str]()
    name, mark = trials.mark_of(machine, axes_digest(machine))
    own = {_without_comments(trial.text.encode("ascii")) for trial in _own_runs(machine).values()}
    for run in request.runs:
        text = run.program.decode("utf-8", errors="replace")
        made = trials.made_for(text)
        if made is None:
            continue
        if made[0] != name:
            whose = f"was made for {made[0]}, this card is {name}'s"
            msg = f"{run.place}: {run.name} {whose}; name the card of the machine it ran on"
            raise ReadingsError(msg)
        if made[1] != mark:
            named.append(run.name)
        elif text.startswith(trials.TIMING) and _without_comments(run.program) not in own:
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

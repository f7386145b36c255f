"""Which corner rule, which rounding and which line rate explain the times of some runs.

Each rule says how long each run takes, given the rounding e (for ``tolerance``) and the line rate N. The
difference from what was read is taken as normal, with the person's thumb and a small share of the
time, for what no rule has in it, as its variance. A rule's odds are its likelihood averaged over all
e and N, evenly spread over their logarithms: a rule that needs no number to fit is worth more than
one that can be bent. Intervals hold all values whose likelihood is at least exp(-3.84/2) of the best,
which is 95 % for a normal one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.fit import Estimate, RuleFit, TimeFit
from cutworthy.model.program import ProgramMoves
from cutworthy.model.timeline import RULES, Corners
from cutworthy.motion.drive import Route
from cutworthy.motion.habits import Habits
from cutworthy.reference.tables import default, limit

__all__ = ["fit_times", "time_by"]

TOLERANCES_MM = np.geomspace(0.001, 1.0, 61)  # planned for; between them times are interpolated
FINE_MM = np.geomspace(0.001, 1.0, 1801)
RATES_HZ = np.geomspace(20.0, 20000.0, 1201)
OPEN_FACTOR = 2.0  # where all beyond a bound fits alike, the usual number is taken, or one this far beyond the bound
ALIKE = 1e-6  # of the misfit
CHI_95 = 3.841  # 95 % of chi-square with one degree of freedom; NIST/SEMATECH e-Handbook, 1.3.6.7.4


def fit_times(runs: Sequence[tuple[ProgramMoves, float]], habits: Habits) -> TimeFit:
    """Return what timed runs tell about a control.

    Parameters
    ----------
    runs
        The moves of each program, and the seconds that it took.
    habits
        The machine as its card has it; its own corner rule and line rate are not looked at.
    """
    read = np.array([seconds for _, seconds in runs])
    deviations = np.hypot(limit("thumb").value, limit("plan_share").value * read)
    grids = {rule: np.stack([_times(moves, habits, rule) for moves, _ in runs]) for rule in RULES}
    misfits = {
        rule: (((grid - read[:, None, None]) / deviations[:, None, None]) ** 2).sum(axis=0)
        for rule, grid in grids.items()
    }
    least = min(float(misfit.min()) for misfit in misfits.values())
    weights = {rule: float(np.exp(-(misfit - least) / 2).mean()) for rule, misfit in misfits.items()}
    rules = [_rule(rule, grids[rule], misfits[rule], weights[rule] / sum(weights.values())) for rule in RULES]
    return TimeFit(
        rules=tuple(sorted(rules, key=lambda rule: -rule.odds)),
        measured_s=tuple(read.tolist()),
        deviations_s=tuple(deviations.tolist()),
    )


def time_by(moves: ProgramMoves, habits: Habits, rule: RuleFit) -> float:
    """Return how long a program takes by a rule at its best [s]."""
    tolerance = habits.tolerance_mm if rule.tolerance_mm is None else rule.tolerance_mm.taken
    known = replace(habits, corners=rule.corners, tolerance_mm=tolerance, block_rate_hz=rule.block_rate_hz.taken)
    return Route(moves).drive(known).timeline.total_s


def _times(moves: ProgramMoves, habits: Habits, rule: Corners) -> Floats:
    """Return how long a run takes for each rounding and each line rate [s], (roundings, rates)."""
    route = Route(moves)
    if rule != "tolerance":
        return _by_rate(moves, route, [replace(habits, corners=rule)])
    coarse = _by_rate(moves, route, (replace(habits, corners=rule, tolerance_mm=float(e)) for e in TOLERANCES_MM))
    at, steps = np.log(FINE_MM), np.log(TOLERANCES_MM)
    return np.stack([np.interp(at, steps, column) for column in coarse.T], axis=1)


def _by_rate(moves: ProgramMoves, route: Route, every: Iterable[Habits]) -> Floats:
    """Return the total time under each of some habits, at every line rate [s], (habits, rates)."""
    first = np.flatnonzero(np.diff(moves.line, prepend=-1))
    rows = []
    for habits in every:
        timeline = route.drive(replace(habits, block_rate_hz=np.inf)).timeline
        lines = np.sort(np.add.reduceat(timeline.seconds, first)) if len(first) else np.zeros(0)
        summed = np.concatenate([[0.0], np.cumsum(lines)])
        short = np.searchsorted(lines, 1 / RATES_HZ)
        rows.append(short / RATES_HZ + summed[-1] - summed[short] + timeline.wait_s.sum())
    return np.array(rows)


def _rule(rule: Corners, times: Floats, misfit: Floats, odds: float) -> RuleFit:
    best = np.unravel_index(int(misfit.argmin()), misfit.shape)
    return RuleFit(
        corners=rule,
        odds=odds,
        misfit=float(misfit[best]),
        tolerance_mm=_estimate(misfit.min(axis=1), FINE_MM, "mm", "corner_tolerance") if rule == "tolerance" else None,
        block_rate_hz=_estimate(misfit.min(axis=0), RATES_HZ, "1/s", "block_rate"),
        seconds=tuple(times[:, best[0], best[1]].tolist()),
    )


def _estimate(misfit: Floats, values: Floats, unit: str, usual_name: str) -> Estimate:
    """Return the value that fits best, and the interval; a side that runs off the values looked at is open."""
    inside = np.flatnonzero(misfit <= misfit.min() + CHI_95)
    low = None if inside[0] == 0 else float(values[inside[0] - 1])  # the end itself lies between two that were tried
    high = None if inside[-1] == len(values) - 1 else float(values[inside[-1] + 1])
    best = float(values[misfit.argmin()])
    if low is not None and high is not None:
        return Estimate(value=best, taken=best, low=low, high=high, unit=unit)
    usual = default(usual_name).value
    if high is None and misfit[-1] <= misfit.min() + ALIKE:
        best = max(usual, OPEN_FACTOR * low) if low is not None else usual
    elif low is None and misfit[0] <= misfit.min() + ALIKE:
        best = min(usual, high / OPEN_FACTOR) if high is not None else usual
    return Estimate(value=None, taken=best, low=low, high=high, unit=unit)

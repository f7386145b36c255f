"""Which corner rule, which rounding and which line rate explain the times of some runs.

Each rule says how long each run takes, given the rounding e (for ``tolerance``), the line rate N and the
accelerations of the axes, which may all be off from the card by one factor. The difference from what was read is
taken as normal, with the person's thumb and a small share of the time, for what no rule has in it, as its variance;
the factor likewise, about 1. A rule's odds are its likelihood averaged over all e, N and factors, e and N evenly
spread over their logarithms: a rule that needs no number to fit is worth more than one that can be bent. Intervals
hold all values whose likelihood, at the best of the other numbers, is at least exp(-3.84/2) of the best, which is
95 % for a normal one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats
from cutworthy.model.fit import Estimate, RuleFit, TimeFit
from cutworthy.model.program import ProgramMoves
from cutworthy.model.timeline import RULES, Corners
from cutworthy.motion.drive import Route
from cutworthy.motion.habits import Habits
from cutworthy.reference.tables import default, limit

__all__ = ["deviations_s", "fit_times", "time_by"]

TOLERANCES_MM = np.geomspace(0.001, 1.0, 46)  # planned for; between them times are interpolated
FINE_MM = np.geomspace(0.001, 1.0, 601)
RATES_HZ = np.geomspace(20.0, 20000.0, 1201)
FACTORS = np.linspace(0.8, 1.2, 17)  # of the accelerations
OPEN_FACTOR = 10.0  # a line rate of which only the least is known is gone on with so far beyond it
CHI_95 = 3.841  # 95 % of chi-square with one degree of freedom; NIST/SEMATECH e-Handbook, 1.3.6.7.4


def fit_times(runs: Sequence[tuple[ProgramMoves, Sequence[float]]], habits: Habits, share: float) -> TimeFit:
    """Return what timed runs tell about a control.

    Parameters
    ----------
    runs
        The moves of each program, and the seconds that it took, each time that it was timed.
    habits
        The machine as its card has it; its own corner rule and line rate are not looked at.
    share
        How far the accelerations of the card may be off, as a share: one standard deviation.
    """
    read = np.array([np.mean(seconds) for _, seconds in runs])
    deviations = deviations_s(read, np.array([len(seconds) for _, seconds in runs]))
    routes = [(moves, Route(moves, often=True)) for moves, _ in runs]
    sums = {rule: _misfits(rule, routes, read, deviations, habits, share) for rule in RULES}
    least = min(each.least for each in sums.values())
    weights = {rule: each.weight * np.exp(-(each.least - least) / 2) for rule, each in sums.items()}
    rules = [_rule(each, float(weights[rule] / sum(weights.values()))) for rule, each in sums.items()]
    return TimeFit(
        rules=tuple(sorted(rules, key=lambda rule: -rule.odds)),
        measured_s=tuple(read.tolist()),
        deviations_s=tuple(deviations.tolist()),
    )


def deviations_s(seconds: Floats, times: float | npt.NDArray[np.int64] = 1) -> Floats:
    """Return one standard deviation of the mean of some readings against what the right rule says [s], (n,)."""
    deviations: Floats = np.hypot(limit("thumb").value / np.sqrt(times), limit("plan_share").value * seconds)
    return deviations


def time_by(moves: ProgramMoves, habits: Habits, rule: RuleFit) -> float:
    """Return how long a program takes by a rule at its best [s]."""
    tolerance = habits.tolerance_mm if rule.tolerance_mm is None else rule.tolerance_mm.taken
    known = replace(habits, corners=rule.corners, tolerance_mm=tolerance, block_rate_hz=rule.block_rate_hz.taken)
    return Route(moves).drive(known).timeline.total_s


@dataclass(slots=True, kw_only=True)
class _Misfits:
    """What is kept of the misfits of one rule over all e, N and factors.

    ``over_e``, ``over_n``: the least over all else. ``weight``: the mean likelihood, over the greatest. ``best``: rows
    of e and N where the misfit is least, with the accelerations of the card unless these are ruled out; ``seconds``:
    what the rule then says of the runs; ``factor``: the likeliest, 1 unless that is ruled out.
    """

    rule: Corners
    least: float
    over_e: Floats
    over_n: Floats
    weight: float
    best: tuple[int, int]
    factor: float
    seconds: tuple[float, ...]


def _misfits(
    rule: Corners,
    routes: Sequence[tuple[ProgramMoves, Route]],
    read: Floats,
    deviations: Floats,
    habits: Habits,
    share: float,
) -> _Misfits:
    over_e, over_n, weight, least = np.inf, np.inf, 0.0, np.inf
    places = dict[float, tuple[float, tuple[int, int], tuple[float, ...]]]()
    for factor in FACTORS.tolist():
        slower = replace(habits, accel_mm_s2=_times(habits.accel_mm_s2, factor))
        grids = [_times_of(moves, route, slower, rule) for moves, route in routes]
        misfit: Floats = np.full(grids[0].shape, ((factor - 1) / share) ** 2)
        for grid, seconds, deviation in zip(grids, read, deviations, strict=True):
            misfit += ((grid - seconds) / deviation) ** 2
        here = float(misfit.min())
        row, column = np.unravel_index(int(misfit.argmin()), misfit.shape)
        places[factor] = (here, (int(row), int(column)), tuple(float(grid[row, column]) for grid in grids))
        before, least = least, min(least, here)
        weight = weight * np.exp((least - before) / 2 if before < np.inf else 0.0)
        weight += float(np.exp(-(misfit - least) / 2).mean()) / len(FACTORS)
        over_e, over_n = np.minimum(over_e, misfit.min(axis=1)), np.minimum(over_n, misfit.min(axis=0))
    likeliest = min(places, key=lambda factor: places[factor][0])
    as_said = min(places, key=lambda factor: abs(factor - 1))
    factor = as_said if places[as_said][0] <= least + CHI_95 else likeliest
    return _Misfits(
        rule=rule,
        least=least,
        over_e=np.asarray(over_e),
        over_n=np.asarray(over_n),
        weight=float(weight),
        best=places[factor][1],
        factor=1.0 if factor == as_said else factor,
        seconds=places[factor][2],
    )


def _times(accelerations: tuple[float, float, float], factor: float) -> tuple[float, float, float]:
    x, y, z = accelerations
    return x * factor, y * factor, z * factor


def _times_of(moves: ProgramMoves, route: Route, habits: Habits, rule: Corners) -> Floats:
    """Return how long a run takes for each rounding and each line rate [s], (roundings, rates)."""
    if rule != "tolerance":
        return _by_rate(moves, route, [replace(habits, corners=rule)])
    coarse = _by_rate(moves, route, (replace(habits, corners=rule, tolerance_mm=float(e)) for e in TOLERANCES_MM))
    at = np.interp(np.log(FINE_MM), np.log(TOLERANCES_MM), np.arange(len(TOLERANCES_MM)))
    low = np.minimum(at.astype(np.int64), len(TOLERANCES_MM) - 2)
    part = (at - low)[:, None]
    fine: Floats = coarse[low] * (1 - part) + coarse[low + 1] * part
    return fine


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


def _rule(found: _Misfits, odds: float) -> RuleFit:
    row, column = found.best
    rate = _estimate(found.over_n, RATES_HZ, column, "1/s")
    if rate.high is None:  # whatever is well beyond the bound fits alike
        rate = replace(rate, taken=default("block_rate").value if rate.low is None else OPEN_FACTOR * rate.low)
    return RuleFit(
        corners=found.rule,
        odds=odds,
        misfit=found.least,
        tolerance_mm=_estimate(found.over_e, FINE_MM, row, "mm") if found.rule == "tolerance" else None,
        block_rate_hz=rate,
        acceleration_factor=found.factor,
        seconds=found.seconds,
    )


def _estimate(misfit: Floats, values: Floats, best: int, unit: str) -> Estimate:
    """Return the best value and the interval; a side that runs off the values looked at is open."""
    inside: npt.NDArray[np.int64] = np.flatnonzero(misfit <= misfit.min() + CHI_95)
    low = None if inside[0] == 0 else float(values[inside[0] - 1])  # the end itself lies between two that were tried
    high = None if inside[-1] == len(values) - 1 else float(values[inside[-1] + 1])
    taken = float(values[best])
    value = None if low is None or high is None else taken
    return Estimate(value=value, taken=taken, low=low, high=high, unit=unit)

"""How fast the bit goes along its way, and how fast it turns, on each stretch."""

from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Floats, Ints
from cutworthy.model.job import Bit
from cutworthy.model.machine import Machine
from cutworthy.model.moves import Moves
from cutworthy.model.program import Kind, ProgramMoves
from cutworthy.model.removal import Engagement
from cutworthy.model.timeline import Timeline
from cutworthy.reference.tables import default

__all__ = ["Pace", "pace_of", "turning"]

SAME = 1 - 1e-9
SLOWEST = 1e-6  # mm/s


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pace:
    """Of each stretch: the program's moves it begins and ends on, its mean speed and its greatest [mm/s].

    ``shares`` (n, 3): of each axis in its direction, 0 to 1; of an arc 1 within its plane. ``ramps``: whether its
    moves speed up or brake.
    """

    first: Ints
    last: Ints
    mean_mm_s: Floats
    best_mm_s: Floats
    shares: Floats
    ramps: Floats

    def take(self, rows: Ints) -> "Pace":
        """Return the pace of some of the stretches."""
        return Pace(
            first=self.first[rows],
            last=self.last[rows],
            mean_mm_s=self.mean_mm_s[rows],
            best_mm_s=self.best_mm_s[rows],
            shares=self.shares[rows],
            ramps=self.ramps[rows],
        )


def pace_of(met: Engagement, rows: Ints, moves: Moves, program: ProgramMoves, timeline: Timeline) -> Pace:
    """Return the pace of some stretches: that of the whole moves they lie on."""
    first, last = moves.row[met.row[rows]], moves.row[met.last_row[rows]]
    length, seconds = (np.concatenate([[0.0], np.cumsum(each)]) for each in (program.length_mm, timeline.seconds))
    mean = (length[last + 1] - length[first]) / np.maximum(seconds[last + 1] - seconds[first], 1e-12)
    best = np.maximum(timeline.cruise_mm_s[first], timeline.cruise_mm_s[last])
    ramps = (timeline.entry_mm_s[first] < best * SAME) | (timeline.exit_mm_s[last] < best * SAME)
    way = np.abs(program.end_mm[last] - program.start_mm[first])
    shares = way / np.maximum(np.sqrt((way**2).sum(axis=1)), 1e-12)[:, None]
    arcs = np.flatnonzero((program.kind[first] == Kind.ARC) | (program.kind[last] == Kind.ARC))
    shares[arcs] = np.where(program.high_mm[first[arcs]] > program.low_mm[first[arcs]], 1.0, 0.0)
    return Pace(
        first=first,
        last=last,
        mean_mm_s=np.maximum(mean, SLOWEST),
        best_mm_s=np.maximum(best, SLOWEST),
        shares=shares,
        ramps=ramps.astype(np.float64),
    )


def turning(machine: Machine, bit: Bit, commanded_rpm: Floats) -> tuple[Floats, Floats]:
    """Return the slowest and the fastest that the bit may turn on each stretch [rpm].

    By the program's S words, by the dial, or either where the card does not say which of them rules; where neither
    tells, anything that the spindle can do.
    """
    spindle, usual = machine.spindle, default("turning")
    low = usual.low if spindle.slowest_rpm is None else spindle.slowest_rpm.value
    high = usual.high if spindle.fastest_rpm is None else spindle.fastest_rpm.value
    told: list[Floats] = []
    if spindle.speed_by != "program" and bit.speed_rpm is not None:
        told.append(np.full(len(commanded_rpm), bit.speed_rpm.value))
    if spindle.speed_by != "dial":
        told.append(np.where(commanded_rpm == 0, np.nan, np.abs(commanded_rpm)))
    if not told:
        return np.full(len(commanded_rpm), low), np.full(len(commanded_rpm), high)
    every = np.stack(told)
    unknown = np.isnan(every)
    slow = np.where(unknown.all(axis=0), low, np.fmin.reduce(every))
    fast = np.where(unknown.all(axis=0), high, np.fmax.reduce(every))
    return slow, fast

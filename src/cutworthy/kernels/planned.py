"""The passes of ``planning``, compiled: for programs of many moves."""

from functools import cache

import numpy as np

from cutworthy.kernels import planning
from cutworthy.kernels.compiling import compiled, prepare

__all__ = ["join_up", "lay_out", "plan", "ready"]

lay_out = compiled(planning.lay_out)
join_up = compiled(planning.join_up)
plan = compiled(planning.plan)


@cache
def ready() -> None:
    """Compile or load the passes, once in a process: here a person may have to wait."""
    prepare(_use)


def _use() -> None:
    """Call each pass as it is called in earnest: types decide what is compiled."""
    place, end = np.zeros(3), np.array([1.0, 0.0, 0.0])
    codes, one, two = np.zeros(1, dtype=np.uint8), np.ones(1), np.ones(2)
    flags = np.zeros(1, dtype=np.bool_)
    limits = np.ones(3)
    for given in (place, end, codes, one, flags, limits):
        given.flags.writeable = False
    cap, along, bend, turn, side, ahead = np.zeros((6, 1))
    lay_out(place, end, place, codes, codes, one, one, limits, limits, cap, along, bend, turn, side)
    join_up(planning.STOP, 0.05, 0.01, flags, codes, one, cap, bend, turn, side, ahead, two)
    plan(one, cap, along, bend, two, np.zeros(2), *np.zeros((6, 1)))

"""The functions of ``pieces``, compiled: for programs of many moves."""

from functools import cache

import numpy as np

from cutworthy.kernels import pieces
from cutworthy.kernels.compiling import callable_from_kernels, compiled, prepare

__all__ = ["count", "gather", "lay", "ready", "share_out", "window"]

for part in (pieces.arm, pieces.chords, pieces.draw, pieces.stays):
    callable_from_kernels(part)

count = compiled(pieces.count)
lay = compiled(pieces.lay)
window = compiled(pieces.window)
share_out = compiled(pieces.share_out)
gather = compiled(pieces.gather)


@cache
def ready() -> None:
    """Compile or load the functions, once in a process: here a person may have to wait."""
    prepare(_use)


def _use() -> None:
    """Call each function as it is called in earnest: types decide what is compiled."""
    kind, turns, apart = np.ones(1, dtype=np.uint8), np.zeros(1), np.zeros(1, dtype=np.bool_)
    start, end = np.zeros((1, 3)), np.ones((1, 3))
    for given in (kind, turns, apart, start, end):
        given.flags.writeable = False
    path = (kind, start, end, start, kind, turns)
    most = count(*path, 0.005, 3.0)
    ends, marks, rows = np.empty((most, 6)), np.empty(most, dtype=np.uint8), np.empty((most, 2), dtype=np.int64)
    lay(*path, apart, 0.002, 0.005, 3.0, ends, marks, rows)
    found = np.empty(most, dtype=np.int64)
    window(ends, marks, 2.0, found)
    sizes, edges = np.zeros(1, dtype=np.int64), np.array([0, 4])
    share_out(ends, 0, 1, 1.0, 1.0, 0.0, 1.0, edges, sizes, np.empty((1, 1), dtype=np.int64))
    gather(found[:0], found, np.empty((0, 5), dtype=np.float32), np.zeros((1, 5)))

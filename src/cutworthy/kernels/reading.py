"""The kernels that read a long program, ready to be used."""

from functools import cache

import numpy as np

from cutworthy.kernels import census, lines
from cutworthy.kernels.compiling import prepare

__all__ = ["ready"]

SAMPLE = np.frombuffer(b"G1 X1.5 Y2\n" + lines.MARGIN * b" ", dtype=np.uint8)


@cache
def ready() -> None:
    """Compile or load what reading needs, once in a process: here a person may have to wait."""
    prepare(_use)


def _use() -> None:
    """Call each kernel as it is called in earnest: types decide what is compiled."""
    census.count_bytes(SAMPLE, 0, len(SAMPLE))
    census.count_line_feeds(SAMPLE, 0, len(SAMPLE))
    kinds = np.zeros(1, dtype=np.uint8)
    kinds.flags.writeable = False
    census.measure(kinds, np.zeros((2, 3)), np.zeros((4, 3)))
    powers, codes, doubts = np.ones(2), np.zeros(1, dtype=np.uint8), np.zeros((1, 3), dtype=np.uint8)
    whole = np.zeros(1, dtype=np.int32)
    lines.obey_lines(
        SAMPLE, 0, 1, 1, 0, 1, powers, powers, np.zeros(5, dtype=np.int64), np.ones(11), np.zeros(6, dtype=np.uint8), 0,
        whole, codes, codes, np.zeros((2, 3)), powers, powers, whole, doubts, doubts, np.zeros((1, 6)),
    )  # fmt: skip

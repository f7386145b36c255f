"""Test programs made for one machine."""

from cutworthy.trials.drawn import circle, reversal, square
from cutworthy.trials.timing import RUNS, TIMING, timing
from cutworthy.trials.writer import made_for, mark_of

__all__ = ["RUNS", "TIMING", "circle", "made_for", "mark_of", "reversal", "square", "timing"]

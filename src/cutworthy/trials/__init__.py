"""Test programs made for one machine."""

from cutworthy.trials.drawn import circle, reversal, square
from cutworthy.trials.slot import DEEP_MM, DIAMETER_MM, RPM, SLOT_MM, calibration
from cutworthy.trials.timing import RUNS, TIMING, timing
from cutworthy.trials.writer import made_for, mark_of

__all__ = [
    "DEEP_MM",
    "DIAMETER_MM",
    "RPM",
    "RUNS",
    "SLOT_MM",
    "TIMING",
    "calibration",
    "circle",
    "made_for",
    "mark_of",
    "reversal",
    "square",
    "timing",
]

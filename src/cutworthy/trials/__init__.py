"""Test programs made for one machine."""

from cutworthy.trials.carved import Feature, features, piece, surfacing
from cutworthy.trials.drawn import circle, reversal, square
from cutworthy.trials.slot import DEEP_MM, DIAMETER_MM, RPM, SLOT_MM, calibration
from cutworthy.trials.timing import RUNS, TIMING, timing
from cutworthy.trials.tried import heights, repeat, travel
from cutworthy.trials.writer import made_for, mark_of

__all__ = [
    "DEEP_MM",
    "DIAMETER_MM",
    "RPM",
    "RUNS",
    "SLOT_MM",
    "TIMING",
    "Feature",
    "calibration",
    "circle",
    "features",
    "heights",
    "made_for",
    "mark_of",
    "piece",
    "repeat",
    "reversal",
    "square",
    "surfacing",
    "timing",
    "travel",
]

"""Program and machine to moves, speeds and time."""

from cutworthy.motion.expand import expand
from cutworthy.motion.fit import deviations_s, fit_times, time_by
from cutworthy.motion.habits import expected_habits
from cutworthy.motion.timing import timing

__all__ = ["deviations_s", "expand", "expected_habits", "fit_times", "time_by", "timing"]

"""Program and machine to moves, speeds and time."""

from cutworthy.motion.expand import expand
from cutworthy.motion.timing import timing

__all__ = ["expand", "timing"]

"""Program and machine to moves, speeds and time."""

from cutworthy.motion.expand import expand
from cutworthy.motion.pace import pace

__all__ = ["expand", "pace"]

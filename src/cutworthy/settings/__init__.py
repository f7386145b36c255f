"""Machine in, limits and settings of each axis out: drives, motors, supply, wiring."""

from cutworthy.settings.machine import settle

__all__ = ["settle"]

"""Readings to results with uncertainty, and to decisions."""

from cutworthy.metrology.kinds import KINDS, kind_of

__all__ = ["KINDS", "kind_of"]

"""Where the tool goes: travel, depth, and how near its parts come to clamps and board."""

from cutworthy.clearance.board import in_board
from cutworthy.clearance.contacts import contacts
from cutworthy.clearance.depth import depths
from cutworthy.clearance.place import axis_range, place
from cutworthy.clearance.sweeps import sweeps
from cutworthy.clearance.travel import reach

__all__ = ["axis_range", "contacts", "depths", "in_board", "place", "reach", "sweeps"]

"""What the cut asks of bit, spindle, axes and holding."""

from cutworthy.loads.holding import may_come_loose
from cutworthy.loads.load import load

__all__ = ["load", "may_come_loose"]

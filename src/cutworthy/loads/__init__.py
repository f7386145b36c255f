"""What the cut asks of bit, spindle, axes and holding."""

from cutworthy.loads.load import load

__all__ = ["load"]

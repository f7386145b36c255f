"""What an edge may take: the range of a bit's card, or what is usual for its size."""

import numpy as np

from cutworthy.model.job import Bit
from cutworthy.reference.tables import limit

__all__ = ["chip_range_mm"]

# Greatest feed for each edge that any maker lists, by the diameter of the bit [mm]; from memory.
DIAMETERS_MM, MOST_MM = (3.175, 6.35, 9.525, 12.7), (0.152, 0.406, 0.584, 0.686)
SMALL_MM, LARGE_MM = 3.0, 6.0


def chip_range_mm(bit: Bit, across_mm: float) -> tuple[float, float]:
    """Return the least feed for each edge below which it rubs, and the greatest [mm].

    ``across_mm``: how wide the bit is where it cuts, of a cone less than at its shoulder.
    """
    diameter = min(bit.diameter_mm.value, across_mm)
    ends = (limit("chip_thin_small").value, limit("chip_thin_large").value)
    least = float(np.interp(diameter, (SMALL_MM, LARGE_MM), ends))
    most = float(np.interp(diameter, DIAMETERS_MM, MOST_MM)) if bit.chip_high_mm is None else bit.chip_high_mm.value
    return least, most

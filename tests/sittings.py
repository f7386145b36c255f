"""Readings made up in a test, as a sitting."""

import numpy as np

from cutworthy.metrology import Sitting, kind_of
from cutworthy.model.reading import Readings
from cutworthy.reference.instruments import Instrument


def tool(each=0.0, common=0.0, share=0.0, step=0.0):
    """Return an instrument by its standard uncertainties."""
    return Instrument(name="tool", each_mm=each, common_mm=common, share=share, step_mm=step, decides="", cannot="")


def sitting_of(kind, columns, instrument, **more):
    """Return a sitting of columns of equal length, which may be numpy's."""
    names = list(columns)
    rows = tuple(
        dict(zip(names, (cell.item() if isinstance(cell, np.generic) else cell for cell in row), strict=True))
        for row in zip(*columns.values(), strict=True)
    )
    readings = Readings(kind=kind_of(kind), facts={}, rows=rows, lines=tuple(range(2, 2 + len(rows))))
    given = {"axis": None, "steps_per_mm": None, "thrust_n": None, "bolts_mm": {}} | more
    return Sitting(readings=readings, instrument=instrument, **given)

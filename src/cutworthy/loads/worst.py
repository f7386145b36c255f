"""Which lines come nearest to a limit of bit, spindle, axes or chip."""

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.loads import Loads, WorstLine
from cutworthy.model.machine import AXES
from cutworthy.model.removal import Engagement

__all__ = ["worst_lines"]

SHOWN = 20


def worst_lines(loads: Loads, met: Engagement, most_mm: Floats, *, power_known: bool) -> tuple[WorstLine, ...]:
    """Return the twenty worst lines, each with the limit that it comes nearest to, the worst first.

    Parameters
    ----------
    loads, met
        Of the job.
    most_mm
        The greatest feed for each edge that each stretch may have, (n,).
    power_known
        Whether the spindle's power is on the card; else it is no limit here.
    """
    names, shares = ["bit", "chip", *AXES], [np.maximum(loads.strain(), loads.bending()), loads.chip_mm[:, 1] / most_mm]
    shares += list(loads.pushing().T)
    if power_known:
        names, shares = [*names, "spindle"], [*shares, loads.spindle()]
    every = np.stack(shares, axis=1)
    worst = every.max(axis=1)
    found: list[WorstLine] = []
    seen = set[int]()
    for row in np.argsort(-worst, kind="stable").tolist():
        line = int(loads.line[row])
        if line in seen:
            continue
        seen.add(line)
        at = met.at_mm[loads.stretch[row]]
        found.append(
            WorstLine(
                line=line,
                at_mm=(float(at[0]), float(at[1]), float(at[2])),
                by=names[int(every[row].argmax())],
                share=float(worst[row]),
            )
        )
        if len(found) == SHOWN:
            break
    return tuple(found)

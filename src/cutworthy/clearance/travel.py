"""Does the program fit into the travel of each axis?"""

import numpy as np

from cutworthy.clearance.known import known_span
from cutworthy.clearance.solid import TOUCH_MM
from cutworthy.model.clearance import Place, Reach
from cutworthy.model.columns import Floats
from cutworthy.model.job import Job
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.moves import Moves

__all__ = ["reach"]


def reach(moves: Moves, machine: Machine, job: Job, place: Place) -> tuple[Reach, ...]:
    """Return how far each axis goes and how much room is left, in the zero frame.

    Parameters
    ----------
    moves : Moves
        What the tool sweeps; coordinates in doubt are left out.
    machine : Machine
        Gives the travel of each axis.
    job : Job
        Gives each bit's stick-out: when a bit sticks out more than the first, Z stands that much higher for
        the same place of the tip, and its room above is that much less.
    place : Place
        Where zero lies. On an axis without a place only a span greater than the whole travel is
        too much, and ``room_mm`` is then the travel less the span.

    Returns
    -------
    tuple of Reach
        In the order x, y, z; an axis of which nothing is known is left out. Exact.
    """
    found = []
    for column, name in enumerate(AXES):
        low, high = known_span(moves, column)
        if np.isnan(low).all():
            continue
        travel, limits = machine.axes[name].travel_mm.value, _limits(name, place)
        if limits is None:
            found.append(_unplaced(name, low, high, travel))
        else:
            longer = _longer(moves, job) if name == "z" else 0.0
            found.append(_placed(name, low + longer, high + longer, travel, limits))
    return tuple(found)


def _longer(moves: Moves, job: Job) -> Floats:
    """Return how much more than the first bit each move's bit sticks out [mm], (n,); an unknown bit not at all."""
    first = job.bits[0].stickout_mm.value
    more = {bit.tool: bit.stickout_mm.value - first for bit in job.bits}
    tools, which = np.unique(moves.tool, return_inverse=True)
    longer: Floats = np.array([more.get(tool, 0.0) for tool in tools.tolist()])[which]
    return longer


def _limits(name: AxisName, place: Place) -> tuple[float, float] | None:
    zero, ends = place.machine_mm[name], place.range_mm[name]
    return None if zero is None or ends is None else (ends[0] - zero, ends[1] - zero)


def _placed(name: AxisName, low: Floats, high: Floats, travel: float, limits: tuple[float, float]) -> Reach:
    """Judge each move by the ends of the travel, which are known in the zero frame."""
    room = np.minimum(low - limits[0], limits[1] - high)
    room[np.abs(room) <= TOUCH_MM] = 0.0  # at the end of the travel, but for rounding
    worst = int(np.nanargmin(room))
    return Reach(
        axis=name,
        low_mm=float(np.nanmin(low)),
        high_mm=float(np.nanmax(high)),
        travel_mm=travel,
        limits_mm=limits,
        rows=tuple(np.flatnonzero(room < 0).tolist()),
        worst_row=worst,
        room_mm=float(room[worst]),
    )


def _unplaced(name: AxisName, low: Floats, high: Floats, travel: float) -> Reach:
    """Judge the span by the whole travel: too long for it is too long from every zero."""
    first, last = sorted((int(np.nanargmin(low)), int(np.nanargmax(high))))
    least, most = float(np.nanmin(low)), float(np.nanmax(high))
    room = travel - (most - least)
    too_long = room < -TOUCH_MM
    return Reach(
        axis=name,
        low_mm=least,
        high_mm=most,
        travel_mm=travel,
        limits_mm=None,
        rows=tuple(sorted({first, last})) if too_long else (),
        worst_row=last,
        room_mm=room if too_long else None,
    )

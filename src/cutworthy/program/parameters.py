"""Parameters: numbers that the program keeps, and those in which the control keeps its own (NISTIR 6556, 3.2.1).

A parameter that the program has not set holds whatever the control held: read alone it counts as
zero, on a machine nobody knows it. Either way the reading says so.
"""

from collections.abc import Sequence
from math import isnan, nan

from cutworthy.model.program import Doubt, Level
from cutworthy.program.groups import HOMES, SYSTEMS
from cutworthy.program.options import ReadOptions
from cutworthy.program.problems import Problems
from cutworthy.program.state import CERTAIN, NOWHERE, REMEMBERED, Doubts, Place, Point, State

__all__ = ["Parameters"]

AXES = 3  # of six: rotary axes do not exist here
HEIGHT = 2  # the axis of Z
SYSTEM = 5220  # the number of the system in force
PROBED, OFFSET = "probed", "offset"
# Table 2: of each place that the control keeps in numbers, the number of X; Y and Z follow it.
FIRST = {PROBED: 5061, "G28": 5161, "G30": 5181, OFFSET: 5211}
FIRST |= {system: 5221 + 20 * place for place, system in enumerate(SYSTEMS)}
OWN = {first + axis: (what, axis) for what, first in FIRST.items() for axis in range(AXES)}
# Numbers that place things and outlast the program.
LASTING = {SYSTEM, *(key for key, (what, _) in OWN.items() if what != PROBED)}


class Parameters(dict[int, float]):
    """What the program has set; any other number is asked of the control's state."""

    def __init__(self, options: ReadOptions, problems: Problems, state: State) -> None:
        """Begin with none set."""
        super().__init__()
        self._options = options
        self._problems = problems
        self._state = state
        self._forgotten = False

    def __missing__(self, key: int) -> float:
        """Return a number that the program has not set, NaN when nobody knows it."""
        state, options = self._state, self._options
        if key == SYSTEM:
            return SYSTEMS.index(state.system) + 1.0 if state.system_number is None else state.system_number
        what, axis = OWN.get(key, ("", 0))
        place = self._kept(what) if what else None
        known_mm = None if place is None or self._forgotten else place[axis]
        if known_mm is not None and not isnan(known_mm):
            return known_mm / state.scale
        # By the report every number begins at zero. Places that the control keeps count as zero in a
        # program read alone; any other number nobody knows.
        as_zero = options.strict or (what != "" and options.other_systems_known)
        if place is None and as_zero and not self._forgotten:
            self._problems.add("memory-needed", Level.ASK, "parameter-zero", numbers={"number": str(key)})
            return 0.0
        self._problems.add("memory-needed", Level.ASK, "parameter", numbers={"number": str(key)})
        return nan

    def forget(self) -> None:
        """Know none of them any more: one was set, and nobody knows which."""
        self.clear()
        self._forgotten = True
        self._state.origins = dict.fromkeys(SYSTEMS, (NOWHERE, REMEMBERED))

    def _kept(self, what: str) -> Sequence[float | None] | None:
        """Return a place that the control keeps [mm], None for what only it knows."""
        state, options = self._state, self._options
        if what == PROBED:
            return state.probed
        if what in HOMES:
            return self.home(what) if what in state.homes or not options.other_systems_known else None
        if what == OFFSET:
            return None if state.stored_offset is None else _sure(*state.stored_offset, NOWHERE)
        if what in state.origins or not options.other_systems_known:
            return _sure(*state.origin_of(what, options), options.origin_mm)
        return None

    def home(self, code: str) -> tuple[float | None, ...]:
        """Return the machine place of G28 or G30 [mm], None for an axis that nobody knows."""
        options = self._options
        told = options.g28_mm if code == "G28" else options.g30_mm
        return self._state.homes.get(code, told or (None, None, None))

    def take_own(self, settings: list[tuple[int, float]]) -> list[tuple[int, float]]:
        """Set the numbers that the control keeps for itself, with what they change; return the others."""
        others = []
        for key, value in settings:
            if key == SYSTEM:
                self._state.system_number = value
            elif key in OWN:
                self._set_kept(*OWN[key], value * self._state.scale)
            else:
                others.append((key, value))
            if key in LASTING:
                self._problems.add("stale-offset", Level.ASK, "parameter", numbers={"number": str(key)})
        return others

    def _set_kept(self, what: str, axis: int, value_mm: float) -> None:
        """Change one coordinate of a place that the control keeps; NaN is one that nobody knows."""
        state = self._state
        if what == PROBED:
            probed = list(state.probed or (nan, nan, nan))
            probed[axis] = value_mm
            state.probed = (probed[0], probed[1], probed[2])
        elif what in HOMES:
            home = list(self.home(what))
            home[axis] = None if isnan(value_mm) else value_mm
            state.homes = {**state.homes, what: tuple(home)}
        elif what == OFFSET:
            state.stored_offset = _changed(state.stored_offset or (NOWHERE, CERTAIN), axis, value_mm)
        else:
            origin = self._options.origin_mm[axis]
            unknown = origin is None or (axis == HEIGHT and not self._options.knows_lengths)
            in_frame = nan if origin is None or unknown else value_mm - origin
            place = _changed(state.origin_of(what, self._options), axis, in_frame)
            state.origins = {**state.origins, what: place}


def _sure(place: Point, doubts: Doubts, beside: Sequence[float | None]) -> list[float | None]:
    """Return the coordinates that are in no doubt, counted from another place [mm]."""
    return [None if doubt or by is None else value + by for value, doubt, by in zip(place, doubts, beside, strict=True)]


def _changed(place: Place, axis: int, value: float) -> Place:
    """Return a place with another number on one axis."""
    new, rests = list(place[0]), list(place[1])
    new[axis], rests[axis] = (0.0, Doubt.MEMORY) if isnan(value) else (value, Doubt.NONE)
    return (new[0], new[1], new[2]), (rests[0], rests[1], rests[2])

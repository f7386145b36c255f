"""What a line sets before anything moves: items 2 to 18 of the order of execution (NISTIR 6556, 3.8)."""

from collections.abc import Callable, Mapping
from math import isnan

from cutworthy.model.program import Doubt, Kind, Level, Plane
from cutworthy.program.control import Control
from cutworthy.program.grammar import Block
from cutworthy.program.groups import NEAR
from cutworthy.program.problems import LineError, Numbers
from cutworthy.program.record import Move
from cutworthy.program.state import CERTAIN, State

__all__ = ["select_system", "set_modes", "whole"]

LONG_DWELL_S = 60.0  # our choice: longer pauses are meant in milliseconds more often than not
UNITS = {"G20": "inch", "G21": "mm", "G70": "inch", "G71": "mm"}
PLANES = {"G17": Plane.XY, "G18": Plane.XZ, "G19": Plane.YZ}
TURNS = {"M3": 1, "M4": -1, "M5": 0}


def set_modes(control: Control, block: Block) -> None:
    """Carry out the line's items 2 to 18, in the order of the report's Table 8."""
    state, words, codes = control.state, block.words, block.codes
    if "feed-mode" in codes:
        _feed_mode(state, codes["feed-mode"])
    if "F" in words:
        feed = _not_negative("F", words["F"])
        if not state.inverse_time:
            state.feed = feed
    if "S" in words:
        state.speed = _not_negative("S", words["S"])
    if "T" in words and not isnan(words["T"]):
        state.selected = whole("T", _not_negative("T", words["T"]))
    if codes:
        if not state.moved:
            state.stated |= codes.keys()
        for group, act in ORDER:
            if group in codes:
                act(control, codes[group], words)


def _not_negative(letter: str, value: float) -> float:
    """Return the value, which may not be negative."""
    if value < 0:
        raise LineError(case="negative", numbers={"letter": letter, "value": value})
    return value


def whole(letter: str, value: float) -> int:
    """Return the value as a whole number."""
    if abs(value - round(value)) > NEAR:
        raise LineError(case="not-whole", numbers={"letter": letter, "value": value})
    return round(value)


def select_system(control: Control, code: str) -> None:
    """Make program coordinates those of this system."""
    control.state.system = code
    unknown = code != control.options.system and not control.options.other_systems_known
    control.state.cloud("system", (Doubt.MEMORY, Doubt.MEMORY, Doubt.MEMORY) if unknown else CERTAIN)


def _feed_mode(state: State, code: str) -> None:
    inverse_time = code == "G93"
    if state.inverse_time and not inverse_time:
        state.feed, state.why_no_feed = None, "after-inverse"
    state.inverse_time = inverse_time


def _change(control: Control, _code: str, _words: Mapping[str, float]) -> None:
    state = control.state
    state.tool, state.spindle = state.selected, 0
    control.changes.append((control.problems.line, state.tool))


def _spindle(control: Control, code: str, _words: Mapping[str, float]) -> None:
    control.state.spindle = TURNS[code]


def _dwell(control: Control, code: str, words: Mapping[str, float]) -> None:
    if code != "G4":
        return
    if "P" not in words:
        raise LineError(problem="number-missing", case="dwell")
    seconds = _not_negative("P", words["P"])
    if seconds > LONG_DWELL_S:
        control.problems.practice("dwell-long", Level.ASK, numbers={"seconds_s": seconds})
    if seconds > 0:
        control.pending.append(Move(Kind.DWELL, control.state.here, control.state.doubt, time=seconds))


def _plane(control: Control, code: str, _words: Mapping[str, float]) -> None:
    state = control.state
    if PLANES[code] != state.plane:
        state.plane, state.series = PLANES[code], None


def _units(control: Control, code: str, words: Mapping[str, float]) -> None:
    state = control.state
    new, old = UNITS[code], state.units
    if code in ("G70", "G71"):
        control.problems.practice("eia-units", Level.ASK, numbers={"code": code})
    if new != old:
        feed = state.feed
        if feed and not isnan(feed) and "F" not in words and (state.units_stated or state.moved):
            numbers: Numbers = {"first": old, "second": new, "feed": feed}
            control.problems.add("units-changed", Level.ASK, "feed-in-force", numbers=numbers)
        elif state.moved:
            control.problems.add("units-changed", Level.ASK, "mid-program", numbers={"first": old, "second": new})
    state.inches = new == "inch"
    state.units_stated |= {new}


def _side(control: Control, code: str, _words: Mapping[str, float]) -> None:
    if code != "G40":
        control.not_supported("code", code)
    lost = Doubt.NONE if code == "G40" else Doubt.LOST
    control.state.cloud("side", (lost, lost, Doubt.NONE))


def _length(control: Control, code: str, _words: Mapping[str, float]) -> None:
    if code != "G49":
        control.not_supported("code", code)
    control.state.cloud("length", (Doubt.NONE, Doubt.NONE, Doubt.NONE if code == "G49" else Doubt.LOST))


def _system(control: Control, code: str, _words: Mapping[str, float]) -> None:
    if code not in (control.options.system, control.state.system):
        control.problems.add("memory-needed", Level.ASK, "system", numbers={"code": code})
    select_system(control, code)


def _path(control: Control, code: str, _words: Mapping[str, float]) -> None:
    if code == "G61.1":
        control.not_supported("code", code)


def _arc_centres(control: Control, code: str, _words: Mapping[str, float]) -> None:
    if code == "G90.1":
        control.state.centres = "absolute"
        control.problems.practice("absolute-centres", Level.ASK)
    else:
        control.state.centres = "relative"
        control.problems.practice("relative-centres")


def _distance(control: Control, code: str, _words: Mapping[str, float]) -> None:
    control.state.absolute = code == "G90"


def _return(control: Control, code: str, _words: Mapping[str, float]) -> None:
    control.state.old_height = code == "G98"


ORDER: tuple[tuple[str, Callable[[Control, str, Mapping[str, float]], None]], ...] = (
    ("tool-change", _change),
    ("spindle", _spindle),
    ("once", _dwell),
    ("plane", _plane),
    ("units", _units),
    ("side", _side),
    ("length", _length),
    ("system", _system),
    ("path", _path),
    ("arc-centres", _arc_centres),
    ("distance", _distance),
    ("return", _return),
)

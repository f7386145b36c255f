"""What a line sets before anything moves: items 2 to 18 of the order of execution (NISTIR 6556, 3.8)."""

from collections.abc import Callable, Mapping
from math import isnan

from cutworthy.model.program import Kind, Level, PathMode, Plane
from cutworthy.program.control import Control
from cutworthy.program.grammar import Block
from cutworthy.program.problems import LineError, Numbers
from cutworthy.program.real import NEAR
from cutworthy.program.record import Move
from cutworthy.program.state import CERTAIN, NOWHERE, REMEMBERED, Side, State

__all__ = ["refuse_with_side", "see_long_dwell", "select_system", "set_modes", "slot", "whole"]

LONG_DWELL_S = 60.0  # our choice: longer pauses are meant in milliseconds more often than not
UNITS = {"G20": "inch", "G21": "mm", "G70": "inch", "G71": "mm"}
PLANES = {"G17": Plane.XY, "G18": Plane.XZ, "G19": Plane.YZ}
TURNS = {"M3": 1, "M4": -1, "M5": 0}
PATHS = {"G61": PathMode.EXACT_PATH, "G61.1": PathMode.EXACT_STOP, "G64": PathMode.CONTINUOUS}
SLOTS = 68  # of the report's own control (NISTIR 6556, B.5.4); others have more


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
    if "T" in words:
        _select(control, words["T"])
    if codes:
        if not state.moved:
            state.stated |= codes.keys()
        for group, act in ORDER:
            if group in codes:
                act(control, codes[group], words)


def _select(control: Control, number: float) -> None:
    """Take note of the tool that the next change brings in."""
    if isnan(number):
        control.problems.add("memory-needed", Level.ASK, "bit", numbers={"tool": str(control.state.selected)})
    else:
        control.state.selected = slot(control, "T", number)


def see_long_dwell(control: Control, seconds: float) -> None:
    """Ask about a pause that may be meant in milliseconds."""
    if seconds > LONG_DWELL_S:
        control.problems.practice("dwell-long", Level.ASK, numbers={"seconds_s": seconds})


def _not_negative(letter: str, value: float) -> float:
    """Return the value, which may not be negative."""
    if value < 0:
        raise LineError(case="negative", numbers={"letter": letter, "value": value})
    return value


def whole(letter: str, value: float) -> int:
    """Return the value as a whole number."""
    if isnan(value):
        raise LineError(problem="not-supported", case="value-unknown", level=Level.ASK, quote=letter)
    if abs(value - round(value)) > NEAR:
        raise LineError(case="not-whole", numbers={"letter": letter, "value": value})
    return round(value)


def slot(control: Control, letter: str, value: float) -> int:
    """Return the number of a slot of the tool table."""
    number = whole(letter, _not_negative(letter, value))
    if control.options.strict and number > SLOTS:
        raise LineError(case="no-slot", numbers={"letter": letter, "value": number, "limit": SLOTS})
    return number


def select_system(control: Control, code: str) -> None:
    """Make program coordinates those of this system."""
    state = control.state
    state.system, state.system_number = code, None
    state.origin = state.origin_of(code, control.options)
    state.settle()


def refuse_with_side(control: Control, code: str) -> None:
    """Refuse what may not be done while the cutter's radius is compensated (NISTIR 6556, B.5)."""
    if control.state.side is not None:
        raise LineError(case="side-on", numbers={"code": code})


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
    see_long_dwell(control, seconds)
    if seconds > 0:
        control.pending.append(Move(Kind.DWELL, control.state.here, control.state.doubt, time=seconds))


def _plane(control: Control, code: str, _words: Mapping[str, float]) -> None:
    state = control.state
    if code != "G17":
        refuse_with_side(control, code)
    if PLANES[code] != state.plane:
        state.plane, state.series = PLANES[code], None


def _units(control: Control, code: str, words: Mapping[str, float]) -> None:
    state = control.state
    refuse_with_side(control, code)
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


def _side(control: Control, code: str, words: Mapping[str, float]) -> None:
    """G40, G41, G42 (NISTIR 6556, 3.5.10): a negative diameter changes sides."""
    state = control.state
    if code == "G40":
        state.side = None
        return
    refuse_with_side(control, code)
    if state.plane != Plane.XY:
        raise LineError(case="side-plane", numbers={"code": code})
    number = slot(control, "D", words["D"]) if "D" in words else state.tool
    told = None if "D" in words and number == 0 else control.options.tools.get(number)
    diameter_mm = 0.0 if told is None or told.diameter_mm is None else told.diameter_mm
    empty = "D" in words and number == 0  # D0 is no tool, by the report
    if not empty and (told is None or told.diameter_mm is None):
        control.problems.add("memory-needed", Level.ASK, "diameter-none", numbers={"number": str(number)})
    elif not empty and control.options.lengths != "listed":
        numbers: Numbers = {"number": str(number), "value": diameter_mm, "unit": "mm"}
        control.problems.add("memory-needed", Level.ASK, "diameter", numbers=numbers)
    state.side = Side(left=(code == "G41") == (diameter_mm >= 0), radius_mm=abs(diameter_mm) / 2)


def _length(control: Control, code: str, words: Mapping[str, float]) -> None:
    """G43 and G49 (NISTIR 6556, 3.5.11)."""
    state, options = control.state, control.options
    length_mm, state.length_of = 0.0, None
    if code == "G43":
        if "H" not in words:
            raise LineError(problem="number-missing", case="length")
        number = state.length_of = slot(control, "H", words["H"])
        told = options.tools.get(number)
        if options.lengths == "listed":
            if told is not None and told.length_mm is not None:
                length_mm = told.length_mm
            elif number:
                control.problems.add("memory-needed", Level.ASK, "length", numbers={"number": str(number)})
        elif number and (options.lengths != "table" or number != state.tool):
            case = "length-other" if options.lengths == "table" else "length-twice"
            control.problems.add(
                "memory-needed", Level.ASK, case, numbers={"number": str(number), "tool": str(state.tool)}
            )
    state.length = ((0.0, 0.0, length_mm), CERTAIN)
    state.settle()


def _system(control: Control, code: str, _words: Mapping[str, float]) -> None:
    refuse_with_side(control, code)
    unset = control.state.origin_of(code, control.options) in UNSET
    if unset and code not in (control.options.system, control.state.system):
        control.problems.add("memory-needed", Level.ASK, "system", numbers={"code": code})
    select_system(control, code)


def _path(control: Control, code: str, _words: Mapping[str, float]) -> None:
    control.state.path = PATHS[code]


def _coolant(control: Control, code: str, _words: Mapping[str, float]) -> None:
    state = control.state
    state.mist = code == "M7" or (state.mist and code == "M8")
    state.flood = code == "M8" or (state.flood and code == "M7")


def _overrides(control: Control, code: str, _words: Mapping[str, float]) -> None:
    control.state.overrides = code == "M48"


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


# Origins of systems that the program has not set itself.
UNSET = ((NOWHERE, CERTAIN), (NOWHERE, REMEMBERED))
ORDER: tuple[tuple[str, Callable[[Control, str, Mapping[str, float]], None]], ...] = (
    ("tool-change", _change),
    ("spindle", _spindle),
    ("coolant", _coolant),
    ("overrides", _overrides),
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

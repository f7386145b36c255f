"""Codes about places rather than ways: G10, G28, G30, G53, G92 and their kin (NISTIR 6556, 3.5)."""

from collections.abc import Collection, Mapping

from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.program.control import Control
from cutworthy.program.grammar import Block
from cutworthy.program.groups import SYSTEMS
from cutworthy.program.modes import refuse_with_side, select_system, whole
from cutworthy.program.problems import LineError, Numbers
from cutworthy.program.record import Move
from cutworthy.program.state import CERTAIN, NOWHERE, REMEMBERED, Doubts, Place, Point

__all__ = ["go_home", "in_machine", "set_offset"]

AXES = "XYZ"
L_SYSTEM = 2  # the only L of G10 in the report


def go_home(control: Control, code: str, block: Block) -> None:
    """G28 and G30: by way of the words' place to the place that the control holds."""
    state, options = control.state, control.options
    refuse_with_side(control, code)
    named = [axis for axis in AXES if axis in block.words]
    place, doubt = state.here, state.doubt
    if named:
        place, doubt = state.target(block.words)
        control.pending.append(Move(Kind.RAPID, place, doubt))
        if state.absolute:
            control.problems.practice("home-by-way", numbers={"code": code})
    home = control.parameters.home(code)
    if None in home or (options.other_systems_known and code not in state.homes):
        control.problems.add("memory-needed", Level.ASK, "home", numbers={"code": code})
    home_mm = {axis: at for axis, at in zip(AXES, home, strict=True) if at is not None}
    all_home = _at_machine(control, home_mm, place, doubt, AXES)
    some_home = _at_machine(control, home_mm, place, doubt, named or AXES)
    if all_home != some_home:
        control.problems.practice("home-some-axes", Level.ASK, numbers={"code": code})
    state.homes_some_axes |= 0 < len(named) < len(AXES)
    to_all = options.home == "all" or options.strict
    control.pending.append(Move(Kind.RAPID, *(all_home if to_all else some_home)))
    _ask_for_zero(control, AXES if to_all else named or AXES)


def in_machine(control: Control, block: Block) -> tuple[Point, Doubts]:
    """Return where the axis words of a G53 line lead."""
    state = control.state
    named = [axis for axis in AXES if axis in block.words]
    if not named:
        raise LineError(case="no-axis-words", numbers={"code": "G53"})
    refuse_with_side(control, "G53")
    if not state.absolute:
        control.problems.practice("machine-incremental")
    _ask_for_zero(control, named)
    if control.options.other_systems_known:  # a program read alone: the machine's zero is taken as the program's
        control.problems.add("memory-needed", Level.ASK, "machine-zero", numbers={"axes": "".join(named)})
    places = {axis: block.words[axis] * state.scale for axis in named}
    return _at_machine(control, places, state.here, state.doubt, named)


def set_offset(control: Control, code: str, block: Block) -> None:
    """G10, G92 and its kin."""
    state = control.state
    if code == "G10":
        _set_system(control, block.words)
        return
    refuse_with_side(control, code)
    if code == "G92":
        _shift(control, _here_is(control, block.words))
        state.stored_offset = state.offset
    elif code == "G92.3":
        if state.stored_offset is None:
            control.problems.add("memory-needed", Level.ASK, "stored-offset")
        known = control.options.other_systems_known
        _shift(control, state.stored_offset or (NOWHERE, CERTAIN if known else REMEMBERED))
    else:
        _shift(control, (NOWHERE, CERTAIN))
        if code == "G92.1":
            state.stored_offset = state.offset


def _here_is(control: Control, words: Mapping[str, float]) -> Place:
    """Return the offset by which the tool's place has the coordinates of the words; other axes keep theirs."""
    state = control.state
    if words.keys().isdisjoint(AXES):
        raise LineError(case="no-axis-words", numbers={"code": "G92"})
    place, doubts = list(state.offset[0]), list(state.offset[1])
    for axis, letter in enumerate(AXES):
        if letter in words:
            beside = state.origin[0][axis] + state.length[0][axis]
            place[axis] = state.here[axis] - words[letter] * state.scale - beside
            doubts[axis] = state.doubt[axis]
    return (place[0], place[1], place[2]), (doubts[0], doubts[1], doubts[2])


def _shift(control: Control, offset: Place) -> None:
    control.state.offset = offset
    control.state.settle()


def _set_system(control: Control, words: Mapping[str, float]) -> None:
    """G10 L2: set the origin of a coordinate system, in machine coordinates (NISTIR 6556, 3.5.5)."""
    state, options = control.state, control.options
    if "L" not in words or "P" not in words:
        raise LineError(problem="number-missing", case="system-data")
    if whole("L", words["L"]) != L_SYSTEM:
        control.not_supported("code", f"G10 L{words['L']:g}")
        state.origins = dict.fromkeys(SYSTEMS, (NOWHERE, REMEMBERED))
        select_system(control, state.system)
        return
    number = whole("P", words["P"])
    if not 1 <= number <= len(SYSTEMS):
        raise LineError(case="no-system", numbers={"value": number, "limit": len(SYSTEMS)})
    name = SYSTEMS[number - 1]
    if name == state.system:
        refuse_with_side(control, "G10")
    named = {axis: words[axis] * state.scale for axis in AXES if axis in words}
    origin, rests = _at_machine(control, named, *state.origin_of(name, options), tuple(named))
    if "Z" in named and not options.knows_lengths:
        rests = (rests[0], rests[1], Doubt.MEMORY)  # the tip's height has the tool's length in it
    _ask_for_zero(control, tuple(named))
    state.origins = {**state.origins, name: (origin, rests)}
    if name == state.system:
        select_system(control, name)
    control.problems.add("stale-offset", Level.ASK, "system", numbers={"code": name})


def _is_other_bit(control: Control) -> bool:
    """Return whether machine heights are known for another bit's tip than that in the spindle."""
    return control.options.zero_tool is not None and control.state.tool not in (0, control.options.zero_tool)


def _at_machine(
    control: Control, machine_mm: Mapping[str, float], place: Point, doubt: Doubts, axes: Collection[str]
) -> tuple[Point, Doubts]:
    """Return the place with these axes at machine coordinates; an axis stays, in doubt, where they are unknown."""
    new_place, new_doubt = list(place), list(doubt)
    for axis, origin in enumerate(control.options.origin_mm):
        name = AXES[axis]
        if name not in axes:
            continue
        if origin is None or name not in machine_mm or (name == "Z" and _is_other_bit(control)):
            new_doubt[axis] = Doubt.MEMORY
        else:
            new_place[axis], new_doubt[axis] = machine_mm[name] - origin, Doubt.NONE
    return (new_place[0], new_place[1], new_place[2]), (new_doubt[0], new_doubt[1], new_doubt[2])


def _ask_for_zero(control: Control, axes: Collection[str]) -> None:
    """Say when machine coordinates are used without knowing where zero lies in them."""
    unknown = "".join(
        axis for axis, origin in zip(AXES, control.options.origin_mm, strict=True) if origin is None and axis in axes
    )
    if unknown:
        control.problems.add("memory-needed", Level.ASK, "zero-place", numbers={"axes": unknown})
    if "Z" in axes and _is_other_bit(control):
        numbers: Numbers = {"tool": str(control.state.tool), "first": str(control.options.zero_tool)}
        control.problems.add("memory-needed", Level.ASK, "other-bit", numbers=numbers)

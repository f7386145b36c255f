"""Codes about places rather than ways: G10, G28, G30, G53, G92 and their kin (NISTIR 6556, 3.5)."""

from collections.abc import Collection, Mapping

from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.program.control import ALL_LOST, Control
from cutworthy.program.grammar import Block
from cutworthy.program.problems import LineError
from cutworthy.program.record import Move
from cutworthy.program.state import CERTAIN, NOWHERE, Doubts, Point

__all__ = ["go_home", "in_machine", "set_offset"]

AXES = "XYZ"


def go_home(control: Control, code: str, block: Block) -> None:
    """G28 and G30: by way of the words' place to the place that the control holds."""
    state, options = control.state, control.options
    named = [axis for axis in AXES if axis in block.words]
    place, doubt = state.here, state.doubt
    if named:
        place, doubt = state.target(block.words)
        control.pending.append(Move(Kind.RAPID, place, doubt))
        if state.absolute:
            control.problems.practice("home-by-way", numbers={"code": code})
    home = options.g28_mm if code == "G28" else options.g30_mm
    if home is None or options.other_systems_known:
        control.problems.add("memory-needed", Level.ASK, "home", numbers={"code": code})
    home_mm = dict(zip(AXES, home, strict=True)) if home else {}
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
    if not state.absolute:
        control.problems.practice("machine-incremental")
    _ask_for_zero(control, named)
    places = {axis: block.words[axis] * state.scale for axis in named}
    return _at_machine(control, places, state.here, state.doubt, named)


def set_offset(control: Control, code: str, block: Block) -> None:
    """G92 and its kin, and what G10 leaves in doubt."""
    state = control.state
    if code == "G10":
        control.not_supported("code", code)
        state.cloud("table", ALL_LOST)
    elif code == "G92":
        named = [axis in block.words for axis in AXES]
        if not any(named):
            raise LineError(case="no-axis-words", numbers={"code": code})
        x, y, z = (
            here - block.words[axis] * state.scale if axis in block.words else old
            for axis, here, old in zip(AXES, state.here, state.shift, strict=True)
        )
        old_doubt = state.clouds.get("offset", CERTAIN)
        a, b, c = (now if new else old for new, now, old in zip(named, state.doubt, old_doubt, strict=True))
        _shift(control, (x, y, z), (a, b, c))
        state.stored_shift, state.stored_doubt = state.shift, (a, b, c)
    elif code == "G92.3":
        if state.stored_shift is None:
            control.problems.add("memory-needed", Level.ASK, "stored-offset")
        unknown = Doubt.NONE if control.options.other_systems_known else Doubt.MEMORY
        known = state.stored_shift is not None
        _shift(control, state.stored_shift or NOWHERE, state.stored_doubt if known else (unknown, unknown, unknown))
    else:
        _shift(control, NOWHERE, CERTAIN)
        if code == "G92.1":
            state.stored_shift, state.stored_doubt = NOWHERE, CERTAIN


def _shift(control: Control, shift: Point, doubts: Doubts) -> None:
    control.state.shift = shift
    control.state.cloud("offset", doubts)


def _at_machine(
    control: Control, machine_mm: Mapping[str, float], place: Point, doubt: Doubts, axes: Collection[str]
) -> tuple[Point, Doubts]:
    """Return the place with these axes at machine coordinates; an axis stays, in doubt, where they are unknown."""
    new_place, new_doubt = list(place), list(doubt)
    for axis, origin in enumerate(control.options.origin_mm):
        name = AXES[axis]
        if name not in axes:
            continue
        if origin is None or name not in machine_mm:
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

"""Obeys one line, wholly or not at all, in the report's order of execution (NISTIR 6556, 3.8)."""

from collections.abc import Mapping

from cutworthy.model.program import Kind, Level, Plane
from cutworthy.program.control import Control
from cutworthy.program.cycles import unknown_series
from cutworthy.program.grammar import Block, worked_out
from cutworthy.program.groups import AXIS_USERS, CYCLES, HOMES, PRACTICE_ONLY, SYSTEMS, USES
from cutworthy.program.modes import select_system, set_modes
from cutworthy.program.motion import has_axes, move
from cutworthy.program.places import go_home, set_offset
from cutworthy.program.problems import LineError
from cutworthy.program.record import Record
from cutworthy.program.state import CERTAIN, NOWHERE, REMEMBERED

__all__ = ["may_move", "obey"]

# Letters that need no code of their own.
ALWAYS = frozenset("XYZFST")
# Letters whose number a drilling cycle keeps, so that even a zero means something (hole H8 of the report).
STICKY = frozenset("LPQR")
# Letters whose number may stay unknown without any axis going astray.
STILL = frozenset("FST")
# Letters whose number may stay unknown in a straight move: it leads nobody knows where.
PLACED = STILL | frozenset("XYZ")
# Codes that act once and set no offset.
MOVERS = ("G4", "G53")
# Motions that move no axis but those named.
SIMPLE = ("G0", "G1", "G2", "G3", "G80")
# What a program leans on where it does not say so, by group (NISTIR 6556, 3.6.1).
START_STATE = {"plane": "G17", "distance": "G90", "feed-mode": "G94"}


def obey(control: Control, record: Record, block: Block) -> Block:
    """Carry out a line and record its moves; return the line with its values worked out.

    Raises
    ------
    LineError
        When the line cannot be obeyed. Then it has changed nothing, except that in a reading which
        goes on the axes that it may have moved are lost, and parameters that it may have set.
    """
    state, before = control.state, control.mark()
    control.pending.clear()
    settings: list[tuple[int, float]] = []
    try:
        if block.values or block.settings:
            block, settings = worked_out(block, control.parameters)
            settings = control.parameters.take_own(settings)
        if block.codes or block.words or block.rules or block.opaque:
            _carry_out(control, block)
    except LineError as error:
        astray = may_move(control, block)
        control.back_to(before)
        if not control.options.strict:
            state.lose(astray)
            if error.case == "parameter-unknown":
                control.parameters.forget()
        raise
    control.parameters.update(settings)
    for planned in control.pending:
        record.add(control.problems.line, planned, state)
    if "stopping" in block.codes:
        _stop(control, block.codes["stopping"])
    return block


def _carry_out(control: Control, block: Block) -> None:
    """Plan everything the line asks for."""
    state, codes = control.state, block.codes
    for rule, numbers in block.rules:
        control.problems.practice(rule, numbers=numbers)
    if codes:
        _check_codes(control, block)
    if not block.words.keys() <= ALWAYS:
        _check_uses(control, block)
    set_modes(control, block)
    stated = codes.get("motion")
    if stated and stated != state.motion:
        state.motion, state.series = stated, None
    straight = state.motion in ("G0", "G1") and codes.get("once") in (None, "G4")
    if block.opaque <= STILL or (straight and block.opaque <= PLACED):
        _go(control, block)
    else:
        state.lose(may_move(control, block))
        if codes.get("once") not in (None, *HOMES, *MOVERS) or not block.opaque.isdisjoint("GM"):
            state.unsure = REMEMBERED  # from here on, where words lead rests on something nobody knows
            state.settle()
        if state.motion in CYCLES:
            state.series = unknown_series(state)
    if control.lacks_length:
        _length_off(control)
    if not state.moved and any(planned.kind != Kind.DWELL for planned in control.pending):
        _first_move(control)


def _go(control: Control, block: Block) -> None:
    """Plan items 19 and 20: home, offsets, motion."""
    once = block.codes.get("once")
    if once in HOMES:
        go_home(control, once, block)
        return
    if once == "G53" and control.state.motion not in ("G0", "G1"):
        raise LineError(case="machine-needs-line")
    if once and once not in MOVERS:
        set_offset(control, once, block)
    if once not in AXIS_USERS and ("motion" in block.codes or once == "G53" or has_axes(block.words)):
        move(control, block)


def _check_codes(control: Control, block: Block) -> None:
    """Refuse codes that the report does not have, and two codes that both want the axis words."""
    codes = block.codes
    unknown = PRACTICE_ONLY.intersection(codes.values())
    if unknown and control.options.strict:
        code = min(unknown)
        raise LineError(problem="unknown-word", case="beyond", quote=code, numbers={"code": code})
    once, motion = codes.get("once"), codes.get("motion", "G80")
    if once in AXIS_USERS and motion != "G80":
        if once not in HOMES or motion not in ("G0", "G1"):
            raise LineError(case="two-users", numbers={"first": once, "second": motion})
        control.problems.practice("home-with-motion", numbers={"code": motion})


def _check_uses(control: Control, block: Block) -> None:
    """Refuse words that nothing on the line takes, unless they can do no harm."""
    words, codes = block.words, block.codes
    users = list(codes.values())
    if has_axes(words) and codes.get("once") not in AXIS_USERS:
        users.append(codes.get("motion", control.state.motion))
    used = ALWAYS.union(*(USES.get(code, "") for code in users))
    if "M98" in users:
        _check_call(users, words)
    for letter in sorted(words.keys() - used - block.opaque):
        value = words[letter]
        if letter in "PQ" and "path" in codes:
            control.not_supported("code", f"{codes['path']} {letter}{value:g}")
        elif letter in "ABC" and value == 0:
            if not control.options.strict:  # the report lets a rotary axis be where it is (hole H14)
                control.problems.practice("word-harmless", numbers={"letter": letter})
        elif letter in "DH" or (value == 0 and not (letter in STICKY and control.state.motion in CYCLES)):
            control.problems.practice("word-harmless", numbers={"letter": letter})
        elif letter in "ABC":
            raise LineError(case="rotary", numbers={"letter": letter})
        else:
            raise LineError(case="word-unused", numbers={"letter": letter, "value": value})


def _check_call(users: list[str], words: Mapping[str, float]) -> None:
    """Refuse a call whose P or L another code of the line takes too."""
    shared = words.keys() & set(USES["M98"])
    for code in users:
        if code != "M98" and shared.intersection(USES.get(code, "")):
            raise LineError(case="two-users", numbers={"first": code, "second": "M98"})


def may_move(control: Control, block: Block) -> str:
    """Return the axes that the line may move, whatever its numbers."""
    motion = block.codes.get("motion", control.state.motion)
    open_letters = {letter for letter, _ in block.values} | block.opaque
    if motion in SIMPLE and block.codes.get("once") not in AXIS_USERS and open_letters.isdisjoint("GM"):
        return "".join(axis for axis in "XYZ" if axis in block.words or axis in open_letters)
    return "XYZ"


def _length_off(control: Control) -> None:
    """Say once for each tool that it moves along Z without its length."""
    height, tool = control.state.here[2], control.state.tool
    if any(move.end[2] != height for move in control.pending):
        control.without_length |= {tool}
        control.problems.add("memory-needed", Level.ASK, "length-off", numbers={"tool": str(tool)})


def _first_move(control: Control) -> None:
    """Say what the program has left unsaid when it first moves."""
    state, options = control.state, control.options
    state.moved = True
    if not state.units_stated:
        # Even where the card knows what the control starts in: the job before may have switched it.
        case = "assumed" if options.units_at_start == "unknown" else "as-at-start"
        control.problems.add("units-unstated", Level.ASK, case, numbers={"assumed": state.units})
    unsaid = [code for group, code in START_STATE.items() if group not in state.stated]
    if "system" not in state.stated:
        unsaid.append(options.system)
    if unsaid:
        control.problems.practice("start-state", numbers={"codes": " ".join(unsaid)})


def _stop(control: Control, code: str) -> None:
    """Item 21: stop, or end and put the modes back (NISTIR 6556, 3.6.1)."""
    state = control.state
    if code not in ("M2", "M30"):
        return
    if state.offset[0] != NOWHERE:
        x, y, z = state.offset[0]
        control.problems.add("stale-offset", Level.ASK, "kept", numbers={"x_mm": x, "y_mm": y, "z_mm": z})
    state.offset, state.side = (NOWHERE, CERTAIN), None
    select_system(control, SYSTEMS[0])
    state.plane, state.absolute, state.inverse_time = Plane.XY, True, False
    state.spindle, state.motion, state.series = 0, "G1", None
    state.mist = state.flood = False
    state.overrides = True
    state.ended = True

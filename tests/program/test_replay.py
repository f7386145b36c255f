"""The state before a line: what a program cut off there leaves behind."""

import dataclasses
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from programs import options, scraps

from cutworthy.model.modal import CalledPart, ModalState
from cutworthy.model.program import Doubt, PathMode, Plane
from cutworthy.program import ListedTool, ReadOptions, state_before

ROUTINE = """\
G20 G17 G90 G94 G54 G64
T3 M6
S12000 M3 M8
G43 H3 G0 X1 Y2 Z1
F30 G61 G1 Z-0.1
G41 D3 X3
#7=2.5
G40
G18 G91 G99 G21 M7 M49
G81 Y-2 X-1 Z1 R3
G2 X5 I2.5
M30
"""
TOOLS = {3: ListedTool(length_mm=10.0, diameter_mm=6.0)}


def before(text: str, line: int, **chosen: Any) -> ModalState:
    state = state_before(text.encode(), line, ReadOptions(**{"tools": TOOLS, **chosen}), lambda _share: None)
    assert state is not None
    return state


def test_everything_modal_line_by_line() -> None:
    two = before(ROUTINE, 2)
    assert (two.units, two.tool, two.motion, two.plane, two.absolute) == ("inch", 0, "G80", Plane.XY, True)
    five = before(ROUTINE, 5)
    assert (five.tool, five.selected, five.spindle, five.speed_rpm) == (3, 3, 1, 12000)
    assert (five.flood, five.mist) == (True, False)
    assert (five.length_of, five.shift_mm, five.feed) == (3, (0, 0, 10), None)
    assert five.here_mm == pytest.approx((25.4, 50.8, 35.4))
    seven = before(ROUTINE, 7)
    assert (seven.side, seven.side_radius_mm, seven.path, seven.feed) == ("left", 3.0, PathMode.EXACT_PATH, 30)
    assert seven.moves == 3
    assert before(ROUTINE, 8).parameters == {7: 2.5}
    eleven = before(ROUTINE, 11)
    assert (eleven.units, eleven.plane, eleven.absolute, eleven.returns_to_old_height) == ("mm", Plane.XZ, False, False)
    assert (eleven.side, eleven.mist, eleven.flood, eleven.overrides, eleven.motion) == (None, True, True, False, "G81")
    assert eleven.cycle == {"Y": -2, "R": 3}


def test_shifts() -> None:
    state = before("G21 G10 L2 P2 X100\nG55 G0 X5 Y6 Z7\nG92 X0\nG43 H3\nM2", 5)
    assert (state.system, state.here_mm, state.offset_mm) == ("G55", (105, 6, 7), (5, 0, 0))
    assert state.shift_mm == (105, 0, 10)


def test_doubts_are_kept() -> None:
    state = before("G0 X1 Y1 Z1\nX2 X3\nY5\nM2", 4)
    assert state.doubt == (Doubt.LOST, Doubt.NONE, Doubt.LOST)


def test_a_line_in_a_called_part() -> None:
    text = "G0 X1\nM98 P7 L3\nM2\nO7\nG91 X1\nM98 P8\nM99\nO8\nY1\nM99\n"
    state = before(text, 9)
    assert state.parts == (
        CalledPart(name=7, called_on=2, left=3),
        CalledPart(name=8, called_on=6, left=1),
    )
    assert state.here_mm == (2, 0, 0)


@pytest.mark.parametrize(
    ("text", "line"),
    [("G0 X1\nM2\nG0 X2\n", 3), ("G0 X1\n", 9), ("M2\nO7\nX1\nM99", 3), ("%\nG0 X1\n%\nG0 X2", 4), ("", 1)],
)
def test_lines_that_are_never_reached(text: str, line: int) -> None:
    assert state_before(text.encode(), line, ReadOptions(), lambda _share: None) is None


@settings(max_examples=300, deadline=None)
@given(scraps, st.integers(1, 12), options)
def test_a_program_cut_off_there_leaves_the_same(text: str, line: int, chosen: ReadOptions) -> None:
    if "M98" in text.upper() or "%" in text:  # these depend on what stands behind
        return
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    marked = "\n".join([*lines[: line - 1], "(here)"]).encode()
    whole = state_before(text.encode(), line, chosen, lambda _share: None)
    cut_off = state_before(marked, line, chosen, lambda _share: None)
    if whole is None or not text.strip():
        return
    assert repr(whole) == repr(cut_off)


def test_a_long_program_is_replayed_by_the_kernel_too() -> None:
    body = "".join(f"G1 X{row} Y{row % 7} Z-1\n" for row in range(80_000))
    state = before("G21 G90 G17 G94 G54\nG0 X0 Y0 Z5 F900\n" + body, 70_000)
    assert state.here_mm == (69_996, 69_996 % 7, -1)
    assert state.moves == 69_998
    assert dataclasses.replace(state, line=1).motion == "G1"

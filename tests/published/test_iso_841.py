"""ISO 841: a right-handed system, turns counter-clockwise seen from the positive end of the axis.

ISO 841, "Industrial automation systems and integration - Numerical control of machines - Coordinate
system and motion nomenclature", seen as catalogue abstract and through NISTIR 6556, sections
2.1.1.2, 2.1.2.1 and 4.3.6.1, which restate its rules.
"""

import numpy as np
import pytest

from cutworthy.kernels import shapes
from cutworthy.program import ReadOptions, read_program

# Plane code, a quarter from the first axis to the second, and the axis that it turns about.
QUARTERS = [
    ("G17", "G0 X10\n{} X0 Y10 I-10 F9", 2),
    ("G18", "G0 Z10\n{} Z0 X10 K-10 F9", 1),
    ("G19", "G0 Y10\n{} Y0 Z10 J-10 F9", 0),
]


@pytest.mark.parametrize(("plane", "text", "axis"), QUARTERS)
@pytest.mark.parametrize(("code", "turns"), [("G3", 0.25), ("G2", -0.75)])
def test_turns_follow_the_right_hand(plane: str, text: str, axis: int, code: str, turns: float) -> None:
    program = f"G21 {plane}\n{text.format(code)}\nM2"
    moves = read_program(program.encode(), ReadOptions(), lambda _share: None).moves
    assert moves.turns[1] == pytest.approx(turns)
    arc = moves.take(np.array([1]))
    first = shapes.points(arc.start_mm, arc.end_mm, arc.centre_mm, arc.plane, arc.turns, np.array([0.01]))
    spoke, way = arc.start_mm[0] - arc.centre_mm[0], first[0] - arc.start_mm[0]
    about = np.cross(spoke, way)
    # The right hand's thumb along the turn's axis: positive for counter-clockwise.
    assert np.argmax(np.abs(about)) == axis
    assert np.sign(about[axis]) == np.sign(turns)


def test_positive_z_leaves_the_work() -> None:
    moves = read_program(b"G21 G91 G0 Z5\nM2", ReadOptions(), lambda _share: None).moves
    assert moves.end_mm[0, 2] > moves.start_mm[0, 2]

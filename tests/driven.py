"""Programs driven on paper, for tests of the planner: from text to moves, and what is supposed of the machine."""

import math
from typing import Any

from cutworthy.model.program import ProgramMoves
from cutworthy.motion.drive import Drive, Route
from cutworthy.motion.habits import Habits
from cutworthy.program import ReadOptions, read_program

Place = tuple[float, float, float]

# What the numbers of ``tests/published/test_motion_textbook.py`` are worked out for.
USUAL: dict[str, Any] = {
    "speed_mm_s": (50.0, 50.0, 50.0),
    "accel_mm_s2": (500.0, 500.0, 500.0),
    "travel_mm": (820.0, 560.0, 95.0),
    "corners": "tolerance",
    "tolerance_mm": 0.05,
    "block_rate_hz": math.inf,
    "rapids": "straight",
    "spin_up_s": 0.0,
    "unknown_way": 0.0,
}


def moves_of(text: str, start: Place = (0.0, 0.0, 0.0)) -> ProgramMoves:
    """Return the moves of a program in mm, which begins at the given place."""
    program = read_program(f"G21 G90 G17\n{text}\nM2\n".encode(), ReadOptions(start_mm=start), lambda _share: None)
    assert not [problem for problem in program.problems if problem.level == "no-go"], program.problems
    return program.moves


def habits(**changes: Any) -> Habits:
    """Return 50 mm/s and 500 mm/s^2 on every axis, and no limit to the lines a second, with changes."""
    return Habits(**(USUAL | changes))


def driven(text: str, **changes: Any) -> Drive:
    """Return how a program is driven."""
    return Route(moves_of(text)).drive(habits(**changes))

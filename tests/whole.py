"""What holds of any program whatever was read, and of the two ways to read it: for properties and for fuzz."""

import re
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import ExitStack, contextmanager
from typing import Any
from unittest import mock

import numpy as np

from cutworthy.model.program import Level, Program
from cutworthy.program import ReadOptions, calls, fast, read_program
from cutworthy.program.reader import Reading
from cutworthy.program.text import read_text


def assert_whole(program: Program) -> None:
    """Assert what holds of the columns whatever was read."""
    moves = program.moves
    assert (moves.start_mm[1:] == moves.end_mm[:-1]).all()
    for column in (moves.start_mm, moves.end_mm, moves.low_mm, moves.high_mm, moves.length_mm):
        assert np.isfinite(column).all()
    assert (moves.low_mm <= np.minimum(moves.start_mm, moves.end_mm)).all()
    assert (moves.high_mm >= np.maximum(moves.start_mm, moves.end_mm)).all()
    assert ((moves.line >= 1) & (moves.line <= program.lines)).all()
    assert (np.isnan(moves.turns) == np.isnan(moves.centre_mm[:, 0])).all()
    assert (np.abs(moves.turns[~np.isnan(moves.turns)]) <= 1).all()
    assert [place is None for place in (program.end_mm, program.end_machine_mm)] in ([True, True], [False, False])
    assert np.isfinite([*(program.end_mm or ()), *(program.end_machine_mm or ())]).all()
    for problem in program.problems:
        assert 1 <= problem.line <= max(program.lines, 1)
        assert all(isinstance(number, str) or np.isfinite(number) for number in problem.numbers.values())


def assert_reads(data: bytes, chosen: ReadOptions) -> Program:
    """Read, assert what holds of any reading, and return the program."""
    program = read_program(data, chosen, lambda _share: None)
    assert_whole(program)
    if chosen.strict:
        assert sum(problem.level is Level.NO_GO for problem in program.problems) <= 1
    return program


@contextmanager
def short_stretches() -> Iterator[None]:
    """Let stretches be so short, and their margin with them, that small programs hold many of them."""
    with ExitStack() as patches:
        for name, value in (("SLICE", 300), ("LEAST_SLICE", 50), ("ARCS", 3), ("LINE_BYTES", 50)):
            patches.enter_context(mock.patch.object(fast, name, value))
        patches.enter_context(mock.patch.object(calls, "MOST_CALLED", 40))
        yield


def both(data: bytes, chosen: ReadOptions, helpers: Executor) -> tuple[list[Any], list[Any]]:
    """Return what the complete reader and the quick way make of a program."""
    made = []
    for quick in (False, True):
        reading = Reading(read_text(data + b"\n" + 200 * b" "), chosen)
        if quick:
            reading.speed_up(helpers)
        reading.run(lambda _share: None)
        program = reading.program("")
        made.append([told(program), state(reading), reading.control.parameters])
    return made[0], made[1]


def told(program: Program) -> list[Any]:
    """Return everything about a program that can be compared."""
    moves = program.moves
    return [
        program.lines, program.units, program.end_mm, program.end_machine_mm, program.changes, program.cut,
        program.everything, program.problems, program.has_block_delete,
        *(getattr(moves, name).tobytes() for name in moves.__dataclass_fields__),
    ]  # fmt: skip


def state(reading: Reading) -> dict[str, Any]:
    """Return every mode and number of the control."""
    return {
        name: re.sub(r"<\w+\.\w+: (\d)>", r"\1", repr(value)) for name, value in vars(reading.control.state).items()
    }

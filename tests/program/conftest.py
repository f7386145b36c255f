"""Reads small programs."""

from collections.abc import Callable
from typing import Any

import pytest

from cutworthy.model.program import Program
from cutworthy.program import ReadOptions, read_program

Read = Callable[..., Program]


@pytest.fixture(scope="session")
def read() -> Read:
    """Return a function that reads a program by practice, on a control that starts in millimetres."""

    def read_it(program: str | bytes, **options: Any) -> Program:
        data = program.encode() if isinstance(program, str) else program
        chosen = ReadOptions(**{"units_at_start": "mm", **options})
        return read_program(data, chosen, lambda _share: None)

    return read_it

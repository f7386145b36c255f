"""Shows the working: each number with its formula, inputs, result and source.

The recorder is off by default and costs one look-up. A caller who wants to open a number
wraps the call::

    with recording() as steps:
        settle(machine)
    steps[0].formula
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

__all__ = ["Input", "Step", "is_recording", "record", "recording", "unrecorded"]

_steps: ContextVar[list["Step"] | None] = ContextVar("cutworthy_working", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input of a step: its value, and where it comes from.

    ``origin`` is ``label``, ``measured``, ``guessed``, ``constant``, ``computed`` or ``program``.
    """

    value: float | str
    unit: str
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the working: ``name = formula(inputs) = value unit``, with its source."""

    name: str
    formula: str
    inputs: Mapping[str, Input]
    value: float
    unit: str
    source: str


@contextmanager
def recording() -> Iterator[list[Step]]:
    """Collect the steps recorded inside the ``with`` block, in order."""
    steps: list[Step] = []
    token = _steps.set(steps)
    try:
        yield steps
    finally:
        _steps.reset(token)


@contextmanager
def unrecorded() -> Iterator[None]:
    """Keep what is worked out inside the ``with`` block out of any recording."""
    token = _steps.set(None)
    try:
        yield
    finally:
        _steps.reset(token)


def is_recording() -> bool:
    """Return whether anybody collects steps; who has many to record may ask first."""
    return _steps.get() is not None


def record(name: str, formula: str, inputs: Mapping[str, Input], value: float, *, unit: str, source: str) -> None:
    """Add a step to the recording in progress; do nothing when there is none."""
    steps = _steps.get()
    if steps is not None:
        steps.append(Step(name=name, formula=formula, inputs=inputs, value=value, unit=unit, source=source))

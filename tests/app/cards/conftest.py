"""Small cards of the Tidewater Workshop, and ways to read them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cutworthy.app.cards import JobCard, MachineCard, job_from_text, machine_from_text
from cutworthy.errors import CardError, Mistake

MACHINE = """\
[machine]
name = "Plover"
units = "mm"

[axes.x]
travel = "820 mm"
speed = "3000 mm/min"
acceleration = "400 mm/s^2"

[axes.y]
travel = "560 mm"
speed = "3000 mm/min"
acceleration = "400 mm/s^2"

[axes.z]
travel = "95 mm"
speed = "1200 mm/min"
acceleration = "200 mm/s^2"
"""
JOB = """\
program = "plaque.nc"
machine = "plover.toml"

[board]
material = "white oak"
size = ["300 mm", "140 mm", "18 mm"]

[zero]
x = "left"
y = "front"
z = "top"

[[bits]]
kind = "flat"
diameter = "6 mm"
flutes = 2
stickout = "35 mm"
"""
Edit = Callable[..., Any]


def _edited(text: str, edits: dict[str, str], more: str) -> str:
    for old, new in edits.items():
        assert old in text, old
        text = text.replace(old, new, 1)
    return text + more


@pytest.fixture
def machine() -> Edit:
    """Return the smallest machine card with edits, and with more text at its end, read."""

    def read(more: str = "", **edits: dict[str, str]) -> MachineCard:
        return machine_from_text(_edited(MACHINE, edits.get("edits", {}), more), Path("shop/plover.toml"))

    return read


@pytest.fixture
def job() -> Edit:
    """Return the smallest job card with edits, and with more text at its end, read."""

    def read(more: str = "", **edits: dict[str, str]) -> JobCard:
        return job_from_text(_edited(JOB, edits.get("edits", {}), more), Path("shop/plaque.toml"))

    return read


@pytest.fixture
def mistakes() -> Callable[..., tuple[Mistake, ...]]:
    """Return the mistakes that a reader of cards finds."""

    def find(read: Callable[..., object], *args: object, **more: object) -> tuple[Mistake, ...]:
        with pytest.raises(CardError) as caught:
            read(*args, **more)
        return caught.value.mistakes

    return find

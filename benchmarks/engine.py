"""How fast the engine goes through a long program."""

import math
import time
from collections.abc import Callable, Iterator
from typing import TypeVar

from benchmarks.commands import DEMO
from benchmarks.table import Row

from cutworthy import clearance, motion
from cutworthy.app.cards import load_job, load_machine
from cutworthy.program import ReadOptions, read_program

__all__ = ["rows"]

T = TypeVar("T")

LINES = 200_000
SPLIT = "splitting and converting the same text"


def rows() -> Iterator[Row]:
    """Yield how long the clearance of a long program takes [s]."""
    data = relief(LINES)
    _, bare = _timed(split_and_convert, data)
    program = read_program(data, ReadOptions(), lambda _share: None)
    job = load_job(DEMO)
    machine = load_machine(job.machine)
    moves = motion.expand(program, machine.record)
    place = clearance.place(machine.record, job.record)
    _, clear = _timed(clearance.contacts, moves, job.record, machine.record, place)
    yield Row(what=f"clearance of {len(moves):,} moves", value=clear, unit="s", ratio=clear / bare, beside=SPLIT)


def _timed(work: Callable[..., T], *given: object) -> tuple[T, float]:
    """Return what some work returns, and how long it took [s]."""
    begin = time.perf_counter()
    done = work(*given)
    return done, time.perf_counter() - begin


def relief(lines: int) -> bytes:
    """Return a program that carves waves row by row: one straight move a line."""
    words = ["G21 G90 G17 G54", "G0 Z5", "S18000 M3", "F1200"]
    for number in range(lines - len(words) - 2):
        row, step = divmod(number, 500)
        x = 0.2 * (step if row % 2 == 0 else 499 - step)
        words.append(f"G1 X{x:.3f} Y{0.2 * row:.3f} Z{-1 + math.sin(x / 7) * math.cos(row / 40):.3f}")
    return "\n".join([*words, "G0 Z5", "M2", ""]).encode()


def split_and_convert(data: bytes) -> float:
    """Do the least that any reader does, and add the numbers up so that nothing is skipped."""
    return sum(float(word[1:]) for line in data.split(b"\n") for word in line.split())

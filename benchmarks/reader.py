"""How fast programs are read: beside a library that reads bare numbers, and beside finding the words only."""

import io
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import polars as pl
from benchmarks.table import Row

from cutworthy.program import ReadOptions, read_program

__all__ = ["rows"]

LINES = 1_000_000
RUNS = 7
WORDS = re.compile(rb"([A-Z])([-+]?[\d.]+)")
MOST_BESIDE_NUMBERS, MOST_BESIDE_WORDS, MOST_FOR_TEN_TIMES = 2.0, 1 / 20, 11.0
LEAST_CALLED = 200_000  # lines in a second
MOST_RESIDENT = 400.0  # megabytes
RUNS_OF_PART = 40_000
CALLS = f"""\
G21 G90 G17 G94 G54
G0 X0 Y0 Z5
#1=0 #4=0
M98 P100 L{RUNS_OF_PART}
M30
O100
#1=[#1+0.25]
#2=[SIN[#1]*20]
G1 X#1 Y[#2+1] F[900+#2]
#3=[#1 MOD 7]
Z[0-#3/10]
M98 P200 L2
M99
O200
#4=[#4+1]
G0 Z[#4 MOD 3]
M99
""".encode()
LINES_OF_PART = 8 + 2 * 4

NUMBERS = f"bare numbers of {LINES:,} lines by polars"
FOUND = "finding the words by re.findall"
ONCE = f"reading {LINES:,} lines"


def rows() -> Iterator[Row]:
    """Yield the times of reading, in turn with what they stand beside, so that a busy moment falls on all."""
    program, numbers = carved(LINES), bare(LINES)
    works: dict[str, Callable[[], object]] = {
        NUMBERS: lambda: pl.read_csv(io.BytesIO(numbers), has_header=False),
        ONCE: lambda: _read(program),
        FOUND: lambda: WORDS.findall(program),
    }
    first = _seconds(works[ONCE])  # compiled here, when nothing was kept
    times = _in_turn(works)
    read, beside = times[ONCE], times[NUMBERS]
    yield Row(what=ONCE, value=read, unit="s", ratio=read / beside, beside=NUMBERS, most_ratio=MOST_BESIDE_NUMBERS)
    yield Row(what=ONCE, value=read, unit="s", ratio=read / times[FOUND], beside=FOUND, most_ratio=MOST_BESIDE_WORDS)
    yield Row(what="the same for the first time here", value=first, unit="s", ratio=first / read, beside=ONCE)
    yield _compiled_anew(read)
    yield _ten_times(works[ONCE])
    works.clear()
    called = RUNS_OF_PART * LINES_OF_PART / statistics.median(_seconds(lambda: _read(CALLS)) for _ in range(3))
    per_second = LINES / read
    yield Row(
        what="lines a second in called parts full of parameters", value=called, unit="1/s", ratio=called / per_second,
        beside=ONCE, least=LEAST_CALLED,
    )  # fmt: skip
    yield _resident(program)


def carved(lines: int) -> bytes:
    """Return a program of straight moves, one a line, three coordinates each."""
    moves = "".join(f"G1 X{x:.4f} Y{y:.4f} Z{z:.4f}\n" for x, y, z in _places(lines))
    return ("G21 G90 G17 G94 G54\nG0 X0 Y0 Z5\nS18000 M3\nF1200\n" + moves + "G0 Z5\nM2\n").encode()


def bare(lines: int) -> bytes:
    """Return the same coordinates with commas between them."""
    return "".join(f"{x:.4f},{y:.4f},{z:.4f}\n" for x, y, z in _places(lines)).encode()


def _places(lines: int) -> Iterator[tuple[float, float, float]]:
    for number in range(lines):
        yield number * 0.0737 % 300, number * 1.3173 % 200, -(number * 0.7177 % 8)


def _read(data: bytes) -> object:
    return read_program(data, ReadOptions(), lambda _share: None)


def _seconds(work: Callable[[], object]) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def _in_turn(works: dict[str, Callable[[], object]]) -> dict[str, float]:
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(RUNS):
        for name, work in works.items():
            times[name].append(_seconds(work))
    return {name: statistics.median(each) for name, each in times.items()}


def _ten_times(once: Callable[[], object]) -> Row:
    """Return how much longer ten times the lines take, each at its best.

    A virtual machine is slow to hand over memory that it has not used before, and ten million lines need much.
    """
    program = carved(10 * LINES)
    long, short = (min(_seconds(work) for _ in range(5)) for work in (lambda: _read(program), once))
    return Row(
        what=f"reading {10 * LINES:,} lines, at best", value=long, unit="s", ratio=long / short,
        beside=f"{ONCE}, at best", most_ratio=MOST_FOR_TEN_TIMES,
    )  # fmt: skip


def _command(program: bytes, code: str, **variables: str) -> str:
    """Return what a fresh interpreter prints that reads the program from a file."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "program.nc"
        file.write_bytes(program)
        done = subprocess.run(  # noqa: S603 - our own
            [sys.executable, "-c", code, str(file)],
            env=os.environ | {"FOLDER": folder} | {name: value.format(folder) for name, value in variables.items()},
            capture_output=True,
            text=True,
            check=True,
        )
    return done.stdout


READS = """
import pathlib, sys, time
from cutworthy.program import ReadOptions, read_program
begin = time.perf_counter()
program = read_program(pathlib.Path(sys.argv[1]).read_bytes(), ReadOptions(), lambda share: None)
"""


def _compiled_anew(read: float) -> Row:
    """Return how long it takes where nothing that was compiled is kept."""
    code = READS + "print(time.perf_counter() - begin)"
    seconds = float(_command(carved(LINES), code, XDG_CACHE_HOME="{}", LOCALAPPDATA="{}", HOME="{}"))
    return Row(
        what="the same with all kernels compiled anew", value=seconds, unit="s", ratio=seconds / read, beside=ONCE
    )


def _resident(program: bytes) -> Row:
    """Return the most memory that a process has held which read the program; Linux tells it of itself."""
    code = READS + "print(pathlib.Path('/proc/self/status').read_text())"
    told = _command(program, code) if sys.platform == "linux" else ""
    kilobytes = next((float(line.split()[1]) for line in told.splitlines() if line.startswith("VmHWM")), float("nan"))
    return Row(
        what=f"memory of a process that has read {LINES:,} lines", value=kilobytes * 1024 / 1e6, unit="MB",
        ratio=kilobytes * 1024 / len(program), beside="the file's size", most=MOST_RESIDENT,
    )  # fmt: skip

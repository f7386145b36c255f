"""How long a person waits for the verdict on a long program, and how much memory that takes."""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks.commands import ROOT
from benchmarks.table import Row

__all__ = ["rows"]

RELIEF = ROOT / "examples" / "tidewater" / "relief.py"
LINES, RUNS = 1_000_000, 3
MOST_S, MOST_MB = 2.5, 1000.0
MB = 1024.0  # the system counts in kB
READING = "reading the same program, as a command"


def rows() -> Iterator[Row]:
    """Yield the time of a whole command [s], and the most memory that it held at a time [MB] where that is told."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, str(RELIEF), "--to", folder, "--lines", str(LINES)], check=True)  # noqa: S603
        job = next(Path(folder).glob("*relief.toml"))
        program = next(Path(folder).glob("*.nc"))
        _run("prove", job)  # kernels are kept
        proved = [_run("prove", job) for _ in range(RUNS)]
        read = statistics.median(_run("read", program)[0] for _ in range(RUNS))
    seconds = statistics.median(each for each, _ in proved)
    what = f"cutworthy prove on a relief of {LINES:,} lines"
    yield Row(what=what, value=seconds, unit="s", ratio=seconds / read, beside=READING, most=MOST_S)
    held = max(each for _, each in proved)
    if held:
        size = held / (LINES / 1000)
        yield Row(what="the most memory it holds", value=held, unit="MB", ratio=size, beside="kB a line", most=MOST_MB)


def _run(word: str, file: Path) -> tuple[float, float]:
    """Return how long a command takes [s], and the most memory that it held [MB], 0 where the system does not tell."""
    begin = time.perf_counter()
    command = [sys.executable, "-m", "cutworthy", word, str(file)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as running:  # noqa: S603 - our own
        if not hasattr(os, "wait4"):
            running.wait()
            return time.perf_counter() - begin, 0.0
        _, status, used = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
    if running.returncode not in {0, 1, 3}:  # a verdict: go, no-go or ask
        raise SystemExit(running.returncode)
    return time.perf_counter() - begin, used.ru_maxrss / MB

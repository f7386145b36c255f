"""How long a person waits for a command, beside what the interpreter alone takes."""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks.table import Row

__all__ = ["DEMO", "rows"]

ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "examples" / "tidewater" / "plaque.toml"
RUNS = 9
PROVE_S = 1.0
IMPORTS_S = 0.45

BARE = "python -c pass"
COMMANDS = {
    BARE: [sys.executable, "-c", "pass"],
    "cutworthy --help": [sys.executable, "-m", "cutworthy", "--help"],
    "cutworthy prove": [sys.executable, "-m", "cutworthy", "prove", str(DEMO)],
    "cutworthy demo": [sys.executable, "-m", "cutworthy", "demo"],
}
BUDGETS = {"cutworthy prove": PROVE_S}


def rows() -> Iterator[Row]:
    """Yield the median time of each command [s], and of the imports in a ``prove``."""
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(RUNS):  # in turn, so that a busy moment of the machine falls on all of them
            for name, command in COMMANDS.items():
                times[name].append(_seconds(command, folder))
        imports = statistics.median(_imports_s(folder) for _ in range(RUNS))
    bare = statistics.median(times[BARE])
    for name, measured in times.items():
        median = statistics.median(measured)
        yield Row(what=name, value=median, unit="s", ratio=median / bare, beside=BARE, most=BUDGETS.get(name))
    yield Row(what="imports of a prove", value=imports, unit="s", ratio=imports / bare, beside=BARE, most=IMPORTS_S)


def _seconds(command: list[str], folder: str) -> float:
    begin = time.perf_counter()
    _run(command, folder)
    return time.perf_counter() - begin


def _imports_s(folder: str) -> float:
    """Return the time inside imports, which the interpreter lists in microseconds, each without its own imports."""
    lines = _run([sys.executable, "-X", "importtime", *COMMANDS["cutworthy prove"][1:]], folder).splitlines()
    listed = [line.removeprefix("import time:").split("|")[0] for line in lines if line.startswith("import time:")]
    return sum(int(text) for text in listed if text.strip().isdigit()) * 1e-6


def _run(command: list[str], folder: str) -> str:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)  # noqa: S603 - our own
    if done.returncode not in {0, 1, 3}:  # a verdict: go, no-go or ask
        raise SystemExit(done.stderr)
    return done.stderr

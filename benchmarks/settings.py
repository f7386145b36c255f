"""How fast the numbers of a machine are worked out: once, and for a thousand machines that nobody has built."""

import statistics
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from itertools import product

from benchmarks.commands import BARE, COMMANDS, ROOT, RUNS
from benchmarks.table import Row

from cutworthy.app.cards import MachineCard, changed_machine, load_machine
from cutworthy.workflows.settle import SettingsOutcome, SettleRequest, settle

__all__ = ["rows"]

CARD = ROOT / "examples" / "tidewater" / "plover.toml"
ONE_S = 0.2
TIMES = 50
TOML = "reading the same card as TOML"
ONE = "settings for one machine"

DRIVES = tuple(product(("2", "4", "8", "16", "32"), ("36 V", "48 V")))
LEADS = ("4 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm", "16 mm", "20 mm", "25 mm", "32 mm")
SPANS = tuple(f"{1000 + 200 * number} mm" for number in range(10))


def rows() -> Iterator[Row]:
    """Yield the median time for one machine [s], as a call and as a command, and that of a grid of machines."""
    text = CARD.read_text(encoding="utf-8")
    bare, one = _medians(lambda: tomllib.loads(text), lambda: _settle(load_machine(CARD)))
    yield Row(what=ONE, value=one, unit="s", ratio=one / bare, beside=TOML, most=ONE_S)
    empty, command = _medians(
        lambda: _run(COMMANDS[BARE]),
        lambda: _run([sys.executable, "-m", "cutworthy", "settings", str(CARD)]),
        times=RUNS,
    )
    yield Row(what="cutworthy settings", value=command, unit="s", ratio=command / empty, beside=BARE)
    begin = time.perf_counter()
    count = grid(load_machine(CARD))
    whole = time.perf_counter() - begin
    yield Row(what=f"a what-if grid of {count:,} machines", value=whole, unit="s", ratio=whole / one, beside=ONE)
    each = whole / count
    yield Row(what="one machine of the grid", value=1000 * each, unit="ms", ratio=each / one, beside=ONE)


def grid(card: MachineCard) -> int:
    """Settle a machine with every microstep setting, supply, screw and length, and return how many that were."""
    found = [
        _settle(
            changed_machine(
                card,
                {
                    "axes.x.driver.microsteps": microsteps,
                    "supply.voltage": voltage,
                    "axes.x.drive.lead": lead,
                    "axes.x.drive.span": span,
                },
            )
        )
        for (microsteps, voltage), lead, span in product(DRIVES, LEADS, SPANS)
    ]
    return len(found)


def _settle(card: MachineCard) -> SettingsOutcome:
    return settle(SettleRequest(machine=card.record))


def _medians(*works: Callable[[], object], times: int = TIMES) -> list[float]:
    """Return the median time of each [s]; in turn, so that a busy moment of the machine falls on all of them."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(times):
        for work, seconds in zip(works, taken, strict=True):
            begin = time.perf_counter()
            work()
            seconds.append(time.perf_counter() - begin)
    return [statistics.median(seconds) for seconds in taken]


def _run(command: list[str]) -> None:
    done = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603 - our own
    if done.returncode not in {0, 1, 3}:  # a level: go, no-go or ask
        raise SystemExit(done.stderr)

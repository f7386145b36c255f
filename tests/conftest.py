"""A small workshop for tests: Plover, one plain board, one bit, one clamp, one clean program."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from cutworthy.app.cards import load_machine
from cutworthy.app.proofs import Proof, prove_job
from cutworthy.model.machine import Machine

TIDEWATER = Path(__file__).parents[1] / "examples" / "tidewater"

JOB = """\
program = "board.nc"
machine = "plover.toml"

[board]
material = "white oak"
size = ["200 mm", "150 mm", "18 mm"]
at = ["100 mm", "100 mm"]
bottom = "-80 mm"
spread = "0.3 mm"

[zero]
x = "left"
y = "front"
z = "top"
plus_minus = "0.5 mm"
plus_minus_z = "0.2 mm"

[start]
above_top = "10 mm"

[holding]
by = "clamps"

[[bits]]
tool = 1
kind = "flat"
diameter = "6 mm"
flutes = 1
centre_cutting = true
cutting_length = "22 mm"
stickout = "35 mm"
max_rpm = "24000 rpm"
speed = "18000 rpm"

[[clamps]]
name = "left"
from = ["-40 mm", "60 mm"]
to = ["10 mm", "90 mm"]
height = "25 mm"
"""

CLEAN = """\
G21 G90 G17 G94 G54 G40 G49
S18000 M3
G0 Z20
G0 X50 Y50
G0 Z2
G1 Z-3 F300
G1 X150 F1500
G3 X150 Y90 I0 J20
G1 X50
G0 Z20
G0 X0 Y0
M5
M30
"""

Edits = Mapping[str, str]


def edited(text: str, edits: Edits) -> str:
    """Return the text with each key replaced by its value; a key that is not there is a mistake of the test."""
    for old, new in edits.items():
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


@dataclass(frozen=True)
class Workshop:
    """A folder with a machine card, a job card and a program."""

    folder: Path

    def write(self, *, program: str | bytes = CLEAN, job: Edits | None = None, machine: Edits | None = None) -> Path:
        """Write the files, with edits, and return the job card's path."""
        data = program.encode() if isinstance(program, str) else program
        (self.folder / "board.nc").write_bytes(data)
        plover = (TIDEWATER / "plover.toml").read_text(encoding="utf-8")
        (self.folder / "plover.toml").write_text(edited(plover, machine or {}), encoding="utf-8")
        card = self.folder / "board.toml"
        card.write_text(edited(JOB, job or {}), encoding="utf-8")
        return card

    def machine(self, edits: Edits) -> Machine:
        """Return Plover with edits of its card."""
        self.write(machine=edits)
        return load_machine(self.folder / "plover.toml").record

    def proof(self, **edits: Any) -> Proof:
        """Prove the job with edits."""
        self.write(**edits)
        return self.proof_again()

    def proof_again(self) -> Proof:
        """Prove the job as its files stand."""
        (proof,) = prove_job(self.folder / "board.toml", progress=lambda _share: None)
        return proof

    def prove(self, **edits: Any) -> dict[str, Any]:
        """Prove the job with edits and return the document, as JSON would carry it."""
        self.write(**edits)
        return self.again()

    def again(self) -> dict[str, Any]:
        """Prove the job as its files stand and return the document."""
        told: dict[str, Any] = json.loads(json.dumps(self.proof_again().document, allow_nan=False))
        return told


@pytest.fixture(scope="session")
def plover() -> Machine:
    return load_machine(TIDEWATER / "plover.toml").record


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.fixture
def found(workshop: Workshop) -> Callable[..., dict[str, Any] | None]:
    """Prove with edits and return the first finding of an id, None when there is none."""

    def find(rule_id: str, **edits: Any) -> dict[str, Any] | None:
        return next((f for f in workshop.prove(**edits)["findings"] if f["id"] == rule_id), None)

    return find


@pytest.fixture
def clean() -> Callable[[Edits], str]:
    """The clean program with edits."""
    return lambda edits: edited(CLEAN, edits)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the score of the corpus in tests/golden, in whatever process its tests ran.

    It stands here because the process that prints loads no deeper conftest.
    """
    told: dict[str, list[tuple[bool, object]]] = {"corpus-fault": [], "corpus-asks": []}
    for outcome in ("passed", "failed"):
        for report in terminalreporter.getreports(outcome):
            for name, value in getattr(report, "user_properties", ()):
                if name in told and report.when == "call":
                    told[name].append((outcome == "passed", value))
    faults, clean = told["corpus-fault"], told["corpus-asks"]
    if faults and clean:
        found, passed = (sum(good for good, _ in each) for each in (faults, clean))
        asks = sum(int(str(count)) for _, count in clean)
        kinds = len({value for _, value in faults})
        terminalreporter.write_line(
            f"corpus: {found} of {len(faults)} faults of {kinds} kinds found with id and line; "
            f"{passed} of {len(clean)} clean jobs passed, with {asks} asks in all"
        )

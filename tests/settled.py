"""Machines of the Tidewater Workshop with edits, settled, for the tests of pages and sheets."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutworthy.app.cards import machine_from_text
from cutworthy.model.machine import Machine
from cutworthy.model.settings import MachineSettings
from cutworthy.present.document import finding_document
from cutworthy.present.show import Display
from cutworthy.workflows.settle import SettleRequest, settle

TIDEWATER = Path(__file__).parents[1] / "examples" / "tidewater"
EXAMPLES = ("plover", "heron", "heron-with-labels")

# Plover with a rack on X and Y, whose travel has pi in it, through a reduction.
RACK = {
    'kind = "screw"\nthread = "ball"\npitch = "10 mm"\nstarts = 1\ndiameter = "16 mm"\nroot_diameter = "13.2 mm"\n': (
        'kind = "rack"\nmodule = "1 mm"\nteeth = 15\nreduction = 3\n'
    ),
    'span = "1000 mm"\nends = "fixed-simple"\nfriction = 0.01\n': "",
    '[axes.y.drive]\nspan = "720 mm"\n': "",
    "steps_per_mm = 160\n": "",
}
# Plover's X and Y with screws of half an inch, and with a lead that no decimal ends.
HALF_INCH = {'pitch = "10 mm"': 'pitch = "1/2 in"', "steps_per_mm = 160": "steps_per_mm = 126"}
REDUCED = {"starts = 1\n": "starts = 1\nreduction = 3\n", "steps_per_mm = 160\n": ""}
# Nobody knows how far Plover's X and Y go for a turn, nor how they home.
NO_LEAD = {'pitch = "10 mm"\n': "", 'homes_to = "minus"\n': ""}
VARIANTS: tuple[tuple[str, Mapping[str, str]], ...] = (
    *((name, {}) for name in EXAMPLES),
    ("plover", RACK),
    ("plover", HALF_INCH),
    ("plover", REDUCED),
    ("plover", NO_LEAD),
)


@dataclass(frozen=True, kw_only=True)
class Settled:
    """A machine, what its parts allow, and what was found about it, as documents."""

    machine: Machine
    settings: MachineSettings
    findings: list[dict[str, Any]]


def settled(name: str, edits: Mapping[str, str] | None = None) -> Settled:
    """Return an example machine with edits of its card, settled."""
    text = (TIDEWATER / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in (edits or {}).items():
        assert old in text, old
        text = text.replace(old, new, 1)
    machine = machine_from_text(text, Path(f"{name}.toml")).record
    outcome = settle(SettleRequest(machine=machine, curves=True))
    display = Display(machine.units)
    return Settled(
        machine=machine,
        settings=outcome.settings,
        findings=[finding_document(finding, display) for finding in outcome.findings],
    )

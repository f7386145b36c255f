"""One digest for a question: same cards, same program, same version, same digest."""

import hashlib
import json
from dataclasses import asdict
from typing import Any

import cutworthy
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.workflows.calibrate import Slot

__all__ = ["axes_digest", "digest"]


def digest(machine: Machine, job: Job, program_sha256: str, slot: Slot | None) -> str:
    """Return the SHA-256 of the canonical JSON of version, cards and program: no paths, no clock.

    ``slot``: of the machine's calibration, where it has one.
    """
    question: dict[str, Any] = {
        "engine": cutworthy.__version__,
        "job": asdict(job),
        "machine": asdict(machine),
        "program": program_sha256,
    }
    if slot is not None:
        question["slot"] = {"job": asdict(slot.job), "program": hashlib.sha256(slot.program).hexdigest()}
    return _sha256(question)


def axes_digest(machine: Machine) -> str:
    """Return the SHA-256 of what a test program is made for: the name, the units and the axes of a machine card."""
    return _sha256({"axes": asdict(machine)["axes"], "name": machine.name, "units": machine.units})


def _sha256(question: dict[str, Any]) -> str:
    text = json.dumps(question, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode("ascii")).hexdigest()

"""One digest for a question: same cards, same program, same version, same digest."""

import hashlib
import json
from dataclasses import asdict

import cutworthy
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine

__all__ = ["digest"]


def digest(machine: Machine, job: Job, program_sha256: str) -> str:
    """Return the SHA-256 of the canonical JSON of version, cards and program: no paths, no clock."""
    question = {
        "engine": cutworthy.__version__,
        "job": asdict(job),
        "machine": asdict(machine),
        "program": program_sha256,
    }
    text = json.dumps(question, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode("ascii")).hexdigest()

"""How much of a verdict rests on guesses."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass

from cutworthy.model.findings import Finding, Guesses
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.quantity import Quantity

__all__ = ["count_guesses"]


def count_guesses(machine: Machine, job: Job, findings: Iterable[Finding]) -> Guesses:
    """Count the numbers of both cards, each key once, and the guesses among them, and name those that matter.

    A number matters when a finding asks for it by its key.
    """
    numbers = {number.key: number for number in (*_numbers(machine), *_numbers(job))}.values()
    asked = [key for finding in findings for key in _asked(finding)]
    return Guesses(
        count=sum(number.is_guess for number in numbers), of=len(numbers), matter=tuple(dict.fromkeys(asked))
    )


def _asked(finding: Finding) -> Iterator[str]:
    """Yield the keys that a finding asks for; those of an axis are told without its tables."""
    if finding.about and (finding.id == "number-needed" or finding.case == "centre-unknown"):
        yield finding.about
    for key in str(finding.numbers.get("keys") or "").split(", "):
        if key:
            yield key if key.startswith(("supply.", "control.")) else f"axes.{finding.about}.{key}"


def _numbers(record: object) -> Iterator[Quantity]:
    if isinstance(record, Quantity):
        yield record
    elif is_dataclass(record):
        for field in fields(record):
            yield from _numbers(getattr(record, field.name))
    elif isinstance(record, Mapping):
        for value in record.values():
            yield from _numbers(value)
    elif isinstance(record, tuple):
        for value in record:
            yield from _numbers(value)

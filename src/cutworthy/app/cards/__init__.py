"""Cards: what a person wrote about a machine or a job, as records of the model."""

from cutworthy.app.cards.changes import changed_machine, parse_change, parse_changes, value_text
from cutworthy.app.cards.load import (
    CardKind,
    JobCard,
    MachineCard,
    Remark,
    card_keys,
    job_from_text,
    load_job,
    load_machine,
    machine_from_text,
)
from cutworthy.app.cards.starter import starter
from cutworthy.app.cards.tables import CardKey

__all__ = [
    "CardKey",
    "CardKind",
    "JobCard",
    "MachineCard",
    "Remark",
    "card_keys",
    "changed_machine",
    "job_from_text",
    "load_job",
    "load_machine",
    "machine_from_text",
    "parse_change",
    "parse_changes",
    "starter",
    "value_text",
]

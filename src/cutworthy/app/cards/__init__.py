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
    load_tools,
    machine_from_text,
    tools_from_text,
)
from cutworthy.app.cards.starter import starter
from cutworthy.app.cards.tables import CardKey
from cutworthy.app.cards.tools import ListedBit

__all__ = [
    "CardKey",
    "CardKind",
    "JobCard",
    "ListedBit",
    "MachineCard",
    "Remark",
    "card_keys",
    "changed_machine",
    "job_from_text",
    "load_job",
    "load_machine",
    "load_tools",
    "machine_from_text",
    "parse_change",
    "parse_changes",
    "starter",
    "tools_from_text",
    "value_text",
]

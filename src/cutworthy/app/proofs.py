"""Proves the job on a card: cards and program in, document and page out."""

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutworthy.app.cards import JobCard, MachineCard, load_job, load_machine
from cutworthy.app.files import named, read_program, write_document
from cutworthy.errors import InputError
from cutworthy.model.findings import Outcome
from cutworthy.present.document import CardRemark, document, working_document
from cutworthy.present.page import Line, one_line, page
from cutworthy.workflows.calibrate import Slot
from cutworthy.workflows.prove import ProveRequest, prove
from cutworthy.working import recording

__all__ = ["Answer", "Proof", "prove_and_save", "prove_job"]

WORST_FIRST = ("no-go", "ask", "go")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A job proved on one machine: the cards, the outcome, and its words."""

    card: JobCard
    machine_card: MachineCard
    outcome: Outcome
    document: dict[str, Any]
    page: list[Line]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a face shows: the worst verdict, one document, one page; and the proofs behind them."""

    verdict: str
    document: dict[str, Any]
    page: list[Line]
    proofs: list[Proof]


def prove_and_save(
    job: Path,
    *,
    program: Path | None,
    machines: Sequence[Path],
    save: Path | None,
    working: bool,
    worst: bool,
    progress: Callable[[float], None],
) -> Answer:
    """Prove a job and write the document to ``save`` when that is asked for; ``worst`` for the worst lines too.

    With several machines the document is a list of outcomes, and the page has a line for each.
    """
    proofs = prove_job(job, program=program, machines=machines, working=working, worst=worst, progress=progress)
    first = proofs[0]
    several = len(machines) > 1
    told = {"outcomes": [proof.document for proof in proofs]} if several else first.document
    if save is not None:
        write_document(save, told)
    return Answer(
        verdict=min((proof.document["verdict"] for proof in proofs), key=WORST_FIRST.index),
        document=told,
        page=[one_line(p.document, p.machine_card.record.name) for p in proofs] if several else first.page,
        proofs=proofs,
    )


def prove_job(
    job: Path,
    *,
    program: Path | None = None,
    machines: Sequence[Path] = (),
    working: bool = False,
    worst: bool = False,
    progress: Callable[[float], None],
) -> list[Proof]:
    """Prove a job on the machine of its card, or on each of ``machines`` in the order given.

    Parameters
    ----------
    job
        The job card.
    program
        A program to take instead of the card's.
    machines
        Machine cards to take instead of the card's.
    working
        Whether the document carries the working.
    worst
        Whether the page tells the worst lines.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    InputError
        When a card or file cannot be used.
    """
    card = load_job(job)
    file = program or card.program
    data = read_program(file)
    return [
        _prove(card, load_machine(path), file.name, data, progress, working=working, worst=worst)
        for path in machines or [card.machine]
    ]


def _slot(machine: MachineCard) -> Slot | None:
    """Return the job that the machine's power meter watched, None without one.

    Raises
    ------
    InputError
        When its card or its program cannot be used; the message begins with the key that names it.
    """
    if machine.cut_job is None:
        return None
    try:
        card = load_job(machine.cut_job)
        return Slot(job=card.record, program=read_program(card.program))
    except InputError as error:
        msg = f"{named(machine.path)}, calibration.cut_job: {error}"
        raise InputError(msg) from None


def _prove(
    card: JobCard,
    machine: MachineCard,
    name: str,
    data: bytes,
    progress: Callable[[float], None],
    *,
    working: bool,
    worst: bool,
) -> Proof:
    units = machine.record.units
    with ExitStack() as stack:
        steps = stack.enter_context(recording()) if working else []
        request = ProveRequest(machine=machine.record, job=card.record, program=data, slot=_slot(machine))
        outcome = prove(request, progress)
    remarks = [
        CardRemark(card=source.path.name, line=remark.line, key=remark.key, says=remark.says)
        for source in (machine, card)
        for remark in source.remarks
    ]
    told = document(outcome, units, remarks)
    if working:
        told["working"] = working_document(steps)
    lines = page(told, job=name, machine=machine.record.name, units=units, worst=worst)
    return Proof(card=card, machine_card=machine, outcome=outcome, document=told, page=lines)

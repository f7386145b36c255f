"""Settles the machine on a card: card in, document and page out."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutworthy.app import variants
from cutworthy.app.cards import MachineCard, load_machine, parse_changes
from cutworthy.model.machine import Machine
from cutworthy.present.document import CardRemark
from cutworthy.present.page import Line
from cutworthy.present.settings_document import settings_document
from cutworthy.present.settings_page import settings_page
from cutworthy.present.variants import (
    upgrades_document,
    upgrades_page,
    variations_document,
    variations_page,
    what_if_document,
    what_if_page,
)
from cutworthy.workflows.settle import SettingsOutcome, SettleRequest, settle, verdict_of
from cutworthy.working import recording

__all__ = ["SettingsAnswer", "settle_card"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsAnswer:
    """What a face shows of a machine: the worst level, one document, one page."""

    verdict: str
    document: dict[str, Any]
    page: list[Line]


def settle_card(
    path: Path,
    *,
    changes: Sequence[str] = (),
    upgrades: bool = False,
    variations: bool = False,
    working: bool = False,
) -> SettingsAnswer:
    """Return what to enter for the machine on a card, and why.

    Parameters
    ----------
    path
        The machine card, which is not changed.
    changes
        What to try, each as ``KEY=VALUE``; the level is then that of the changed machine.
    upgrades, variations
        Whether single changes are ranked by what they buy, and whether the machine is told with other parts.
    working
        Whether the page carries the working; the document always does.

    Raises
    ------
    InputError
        When the card or a change cannot be used.
    """
    tries = parse_changes(changes)
    card = load_machine(path)
    units = card.record.units
    with recording() as steps:
        outcome = _settle(card.record)
    told = settings_document(card.record, outcome.settings, outcome.findings, remarks=_remarks(card), steps=steps)
    pages: list[list[Line]] = []
    judged = outcome
    if tries:
        tried = variants.what_if(card, tries, _settle)
        told["what_if"], judged = what_if_document(tried.told, units), tried.after
        pages.append(what_if_page(tried.told, units))
    if upgrades:
        ranked = variants.upgrades(card, _settle)
        told["upgrades"] = upgrades_document(ranked, units)
        pages.append(upgrades_page(ranked, units))
    if variations:
        rows = variants.variations(card, _settle)
        told["variations"] = variations_document(rows)
        pages.append(variations_page(rows, units))
    if not pages or working:
        verdict = verdict_of(outcome).value
        pages.append(settings_page(told, card.record, outcome.settings, verdict=verdict, working=working))
    lines = [line for page in pages for line in (*page, Line(text=""))][:-1]
    return SettingsAnswer(verdict=verdict_of(judged).value, document=told, page=lines)


def _settle(machine: Machine) -> SettingsOutcome:
    return settle(SettleRequest(machine=machine))


def _remarks(card: MachineCard) -> list[CardRemark]:
    return [CardRemark(card=card.path.name, line=r.line, key=r.key, says=r.says) for r in card.remarks]

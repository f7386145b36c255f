"""Every rule about machines has wording, a card that it finds and a card that it leaves alone.

The cards stand in ``planted_machine``.
"""

import re

import pytest
from planted_machine import MACHINE_FAULTS

from cutworthy.findings import registered
from cutworthy.present.sentences import says_and_do, wording_keys
from cutworthy.present.show import Display
from cutworthy.workflows.settle import SettleRequest, settle

IDS = {rule.id for rule in registered() if rule.subject == "machine"}
FAULTS = [(key, fault) for key, faults in MACHINE_FAULTS.items() for fault in faults]


def found_on(workshop, fault):
    """Return what is found on Plover's card with the edits of a fault."""
    return settle(SettleRequest(machine=workshop.machine(fault.machine))).findings


def test_every_rule_has_a_planted_fault():
    assert set(MACHINE_FAULTS) == IDS


@pytest.mark.parametrize(("rule_id", "fault"), FAULTS, ids=lambda value: getattr(value, "case", value))
def test_a_planted_fault_is_found(workshop, rule_id, fault):
    findings = found_on(workshop, fault)
    matching = [f for f in findings if (f.id, f.about, f.case) == (rule_id, fault.about, fault.case)]
    assert matching, [(f.id, f.about, f.case) for f in findings]
    assert matching[0].level == fault.level
    assert matching[0].source


def test_plover_has_one_ask_only(workshop):
    findings = settle(SettleRequest(machine=workshop.machine({}))).findings
    assert [(f.id, f.level) for f in findings] == [("z-falls", "ask")]


def test_every_sentence_is_said_and_whole(workshop):
    said = {(f.id, f.case): f for _, fault in FAULTS for f in found_on(workshop, fault)}
    assert {key for key in wording_keys() if key[0] in IDS} - set(said) == set()
    for finding in said.values():
        for units in ("mm", "inch"):
            for sentence in says_and_do(finding, Display(units)):
                assert sentence.endswith((".", "?"))
                assert not re.search(r"[{}]|nan|None|inf\b|  |\.\.", sentence), sentence

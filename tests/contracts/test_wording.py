"""Each sentence is said by some planted fault."""

import pytest
from planted import FAULTS

from cutworthy.findings import registered
from cutworthy.findings.reading import RULES
from cutworthy.present.sentences import wording_keys

# The reader's own sentences are said over its own examples, in the tests of the program.
MACHINES = {rule.id for rule in registered() if rule.subject == "machine"}  # said over cards, in their own test
READERS = {rule_id for rule_id, _, _ in RULES} | {"not-supported", "memory-needed"}
# What is said of a program read alone; with a board there is better evidence.
ALONE = {("units-suspect", case) for case in ("read-inch", "read-mm", "read-slow")}
# What is said of a test program, which has no job card, and of a slot, which is a job of its own.
ALONE |= {("number-needed", "room"), ("number-needed", "meter"), ("number-needed", "meter-swapped")}


@pytest.fixture
def said(workshop, clean):
    """Return id and case of what the planted faults make us say.

    That a fault is found with its case, and that every sentence then is whole, is the contract of rules: proved anew
    are only the faults that name no case.
    """
    found = {(rule_id, fault.case) for rule_id, faults in FAULTS.items() for fault in faults if fault.case}
    for fault in (fault for faults in FAULTS.values() for fault in faults if not fault.case):
        proof = workshop.proof(program=clean(fault.program), job=fault.job, machine=fault.machine)
        found |= {(finding.id, finding.case) for finding in proof.outcome.findings}
    return found


def test_every_sentence_is_said(said):
    wanted = {key for key in wording_keys() if key[0] not in READERS | MACHINES} - ALONE
    assert wanted - said == set()

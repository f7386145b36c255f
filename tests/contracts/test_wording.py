"""Each sentence is said by some planted fault, in millimetres and in inches, with nothing left in braces."""

import re

import pytest
from planted import FAULTS

from cutworthy.findings import registered
from cutworthy.findings.reading import RULES
from cutworthy.present.sentences import says_and_do, wording_keys
from cutworthy.present.show import Display

# The reader's own sentences are said over its own examples, in the tests of the program.
MACHINES = {rule.id for rule in registered() if rule.subject == "machine"}  # said over cards, in their own test
READERS = {rule_id for rule_id, _, _ in RULES} | {"not-supported", "memory-needed"}
# What is said of a program read alone; with a board there is better evidence.
ALONE = {("units-suspect", case) for case in ("read-inch", "read-mm", "read-slow")}
# What is said of a test program, which has no job card.
ALONE |= {("number-needed", "room")}


@pytest.fixture
def said(workshop, clean):
    """Return what all planted faults make us say: id and case with the findings."""
    found = {}
    for faults in FAULTS.values():
        for fault in faults:
            proof = workshop.proof(program=clean(fault.program), job=fault.job, machine=fault.machine)
            for finding in proof.outcome.findings:
                found.setdefault((finding.id, finding.case), finding)
    return found


def test_every_sentence_is_said_and_whole(said):
    wanted = {key for key in wording_keys() if key[0] not in READERS | MACHINES} - ALONE
    assert wanted - set(said) == set()
    for finding in said.values():
        for units in ("mm", "inch"):
            for sentence in says_and_do(finding, Display(units)):
                assert sentence.endswith(".")
                assert not re.search(r"[{}]|nan|None|inf\b", sentence), sentence

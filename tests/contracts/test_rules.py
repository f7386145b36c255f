"""Every rule has wording, whole in millimetres and in inches, a job that it finds and a job that it leaves alone.

The jobs stand in ``planted``.
"""

import json
import re
from string import Formatter

import pytest
from planted import FAULTS

from cutworthy.findings import registered
from cutworthy.present.sentences import says_and_do, wording, wording_keys
from cutworthy.present.show import Display
from cutworthy.reference.tables import limits_file

IDS = [rule.id for rule in registered() if rule.subject == "job"]


def test_every_rule_has_a_planted_fault():
    assert set(FAULTS) == set(IDS)


@pytest.mark.parametrize(
    ("rule_id", "fault"),
    [(key, fault) for key, faults in FAULTS.items() for fault in faults],
    ids=lambda v: getattr(v, "case", v),
)
def test_a_planted_fault_is_found_with_its_line_and_what_is_said_is_whole(workshop, clean, rule_id, fault):
    proof = workshop.proof(program=clean(fault.program), job=fault.job, machine=fault.machine)
    document = json.loads(json.dumps(proof.document, allow_nan=False))
    found = [f for f in document["findings"] if f["id"] == rule_id]
    matching = [f for f in found if fault.about in (None, f["about"]) and fault.case in (None, f["case"])]
    assert matching, [(f["id"], f["about"], f["case"], f["line"]) for f in document["findings"]]
    (finding,) = matching[:1]
    assert (finding["level"], finding["line"]) == (fault.level, fault.line)
    assert finding["says"]
    assert finding["do"]
    assert finding["source"]
    for each in proof.outcome.findings:
        for units in ("mm", "inch"):
            for sentence in says_and_do(each, Display(units)):
                assert sentence.endswith(".")
                assert not re.search(r"[{}]|nan|None|inf\b", sentence), sentence


def test_the_clean_job_is_a_go_with_one_reminder(workshop):
    document = workshop.prove()
    assert document["verdict"] == "go"
    assert [(f["id"], f["level"]) for f in document["findings"]] == [("spindle-off", "note")]


@pytest.mark.parametrize("rule", registered(), ids=lambda rule: rule.id)
def test_a_rule_states_its_limit_and_has_wording(rule):
    assert rule.limit_key is None or rule.limit_key in limits_file()["limits"]
    cases = [case for key, case in wording_keys() if key == rule.id]
    assert cases
    for case in cases:
        for template in wording(rule.id, case):
            assert template.endswith((".", "?", "{slip}"))
            assert all(name is None or name.isidentifier() for _, name, _, _ in Formatter().parse(template))

"""``prove`` tells what is wrong with the settings of the axes that the program moves, and of no others."""

import pytest
from planted_machine import MACHINE_FAULTS

CARRIED = ("steps-mismatch", "speed-too-high", "pulse-too-fast", "whip", "buckling", "current-wrong", "voltage-high")
STAYS = sorted(set(MACHINE_FAULTS) - set(CARRIED))
ONLY_Z = "G21 G90 G17 G94 G54\nS18000 M3\nG0 Z20\nG0 Z2\nG1 Z-3 F300\nG0 Z20\nM5\nM30\n"


def ids(document):
    return {finding["id"] for finding in document["findings"]}


@pytest.mark.parametrize("rule_id", CARRIED)
def test_a_fault_of_a_moved_axis_is_carried(workshop, rule_id):
    for fault in MACHINE_FAULTS[rule_id]:
        document = workshop.prove(machine=fault.machine)
        if fault.level == "note":
            assert rule_id not in ids(document)
            continue
        found = [
            f for f in document["findings"] if (f["id"], f["about"], f["case"]) == (rule_id, fault.about, fault.case)
        ]
        assert [f["level"] for f in found] == [fault.level], fault.case
        assert found[0]["line"] is None
        assert document["verdict"] == fault.level or document["verdict"] == "no-go"


@pytest.mark.parametrize("rule_id", CARRIED)
def test_a_fault_of_an_axis_at_rest_is_not(workshop, rule_id):
    fault = next(fault for fault in MACHINE_FAULTS[rule_id] if fault.about == "x")
    document = workshop.prove(program=ONLY_Z, machine=fault.machine)
    assert not [f for f in document["findings"] if (f["id"], f["about"]) == (rule_id, "x")]


@pytest.mark.parametrize("rule_id", STAYS)
def test_the_other_findings_stay_with_the_machine(workshop, rule_id):
    for fault in MACHINE_FAULTS[rule_id]:
        assert rule_id not in ids(workshop.prove(machine=fault.machine))


def test_an_axis_that_only_comes_from_where_it_stood_is_moved(workshop):
    program = "G21 G90 G17 G94 G54\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\nX100 F1500\nG0 Z20\nM5\nM30\n"
    document = workshop.prove(program=program, machine={"steps_per_mm = 160": "steps_per_mm = 320"})
    assert [f["about"] for f in document["findings"] if f["id"] == "steps-mismatch"] == ["x", "y"]

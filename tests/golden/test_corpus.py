"""The corpus: clean jobs that must pass, and faults that people make, each with the line at which it is to be found.

Where a fault lies is known from the program as it was planted, never from what was found. Common practice, no source.
"""

import pytest
from conftest import TIDEWATER
from faults import FAULTS
from jobs import CLEAN

from cutworthy.app.proofs import prove_job

GRAVE = {"no-go": 2, "ask": 1, "note": 0}


def prove(job, folder):
    """Return what is found, and the line of what was planted."""
    text, line = job.style.write(job.lines)
    (folder / "job.nc").write_bytes(text.encode("ascii"))
    machine = (TIDEWATER / f"{job.machine}.toml").read_text(encoding="utf-8")
    for old, new in job.edits:
        assert old in machine, old
        machine = machine.replace(old, new, 1)
    (folder / "machine.toml").write_text(machine, encoding="utf-8")
    (folder / "job.toml").write_text(job.card(), encoding="utf-8")
    (proof,) = prove_job(folder / "job.toml", progress=lambda _share: None)
    return proof.document, line


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_job_passes(name, tmp_path, record_property):
    told, _ = prove(CLEAN[name], tmp_path)
    asks = [(found["id"], found["says"]) for found in told["findings"] if found["level"] == "ask"]
    record_property("corpus-asks", len(asks))
    assert [(found["id"], found["says"]) for found in told["findings"] if found["level"] == "no-go"] == []
    assert asks == []


@pytest.mark.parametrize("number", range(len(FAULTS)), ids=[f"{fault.id}: {fault.why}" for fault in FAULTS])
def test_a_fault_is_found_with_its_line(number, tmp_path, record_property):
    fault = FAULTS[number]
    record_property("corpus-fault", fault.id)
    told, line = prove(fault.job, tmp_path)
    found = [each for each in told["findings"] if each["id"] == fault.id]
    seen = [(each["id"], each["level"], each["line"]) for each in told["findings"] if each["level"] != "note"]
    assert found, seen
    assert max(GRAVE[each["level"]] for each in found) >= GRAVE[fault.level], seen
    if fault.on_line:
        assert line is not None
        assert any(line in each["lines"] for each in found), (line, [each["lines"] for each in found])

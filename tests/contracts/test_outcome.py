"""The outcome has the keys of the contract, null where nothing is computed, and a digest that is no accident."""

import copy
import math
import re

import pytest

from cutworthy.workflows.prove import ProveRequest, prove

KEYS = {
    "verdict", "program", "time_s", "removal", "clearance_mm", "margin", "chip_mm", "override_pct", "guesses",
    "findings", "not_checked", "digest",
}  # fmt: skip
PROGRAM_KEYS = {
    "lines", "moves", "units", "end_mm", "end_machine_mm", "tools", "extents_mm", "length_mm", "problems",
}  # fmt: skip
FINDING_KEYS = {
    "id", "level", "about", "line", "worst_line", "count", "lines", "at_mm", "reading", "numbers", "says", "do",
    "source",
}  # fmt: skip


def test_the_keys_of_the_contract(workshop):
    document = workshop.prove()
    assert document.keys() >= KEYS
    assert document["program"].keys() == PROGRAM_KEYS
    assert document["time_s"].keys() == {"low", "expected", "high"}
    assert document["time_s"]["low"] <= document["time_s"]["expected"] <= document["time_s"]["high"]
    assert document["clearance_mm"].keys() == {"clamp", "travel"}
    assert document["guesses"].keys() == {"count", "of", "matter"}
    assert document["program"]["extents_mm"].keys() == {"cut", "all"}
    assert document["program"]["length_mm"].keys() == {"cut", "rapid"}
    for finding in document["findings"]:
        assert finding.keys() >= FINDING_KEYS
    for row in document["not_checked"]:
        assert row.keys() == {"id", "says"}


def test_what_is_not_computed_is_null(workshop):
    high = workshop.prove(program="G21 G90 G54\nG0 Z20\nG1 X50 F1000\nM30\n")  # it cuts nothing
    assert high["margin"] == {"x": None, "y": None, "z": None}
    assert [high[key] for key in ("chip_mm", "override_pct")] == [None] * 2
    bare = workshop.prove(
        job={'[[clamps]]\nname = "left"\nfrom = ["-40 mm", "60 mm"]\nto = ["10 mm", "90 mm"]\nheight = "25 mm"\n': ""}
    )
    assert bare["clearance_mm"]["clamp"] is None


def test_the_wood_that_is_cut_away(workshop):
    """By hand: a slot of two sides of 100 mm and half a circle of 20 mm, 6 mm wide and 3 mm deep, with round ends."""
    removal = workshop.prove()["removal"]
    slot = 3 * (6 * (200 + math.pi * 20) + math.pi * 3**2)
    assert removal["volume_mm3"] == pytest.approx(slot, rel=removal["pitch_mm"] / 6)  # rows of a wall may flip at once
    assert removal["deepest_mm"] == pytest.approx(3)
    assert removal["edge_mm"] == pytest.approx(removal["pitch_mm"] / math.sqrt(2), abs=0.01)
    assert removal["height_error_mm"] < 0.01


def numbers_of(value):
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return [number for each in value for number in numbers_of(each)]
    return [value] if isinstance(value, float) else []


def test_nine_significant_digits(workshop):
    numbers = numbers_of(workshop.prove(machine={'"820 mm"': '"820.123456789123 mm"'}))
    assert numbers
    assert all(number == float(f"{number:.9g}") for number in numbers)


def test_the_digest_knows_cards_and_program_and_nothing_else(workshop, tmp_path):
    first = workshop.proof()
    again = workshop.proof()
    assert first.outcome.digest == again.outcome.digest
    assert re.fullmatch(r"[0-9a-f]{64}", first.outcome.digest)
    others = [
        workshop.proof(program=b"(a)\n" + (workshop.folder / "board.nc").read_bytes()),
        workshop.proof(job={'"18 mm"]': '"18.1 mm"]'}),
        workshop.proof(machine={'"820 mm"': '"821 mm"'}),
    ]
    assert len({first.outcome.digest, *(proof.outcome.digest for proof in others)}) == 4
    assert str(tmp_path) not in str(first.document)


def test_the_same_request_gives_the_same_outcome(workshop):
    proof = workshop.proof()
    request = ProveRequest(
        machine=proof.machine_card.record,
        job=copy.deepcopy(proof.card.record),
        program=(workshop.folder / "board.nc").read_bytes(),
    )
    outcome = prove(request, lambda _share: None)
    assert outcome.findings == proof.outcome.findings
    assert outcome.digest == proof.outcome.digest
    assert outcome.program.moves.digest() == proof.outcome.program.moves.digest()


def test_progress_is_told_and_may_stop(workshop):
    class Enough(Exception):  # noqa: N818 - stands for a person
        pass

    def stop(_share):
        raise Enough

    proof = workshop.proof()
    request = ProveRequest(
        machine=proof.machine_card.record, job=proof.card.record, program=b"G21 G90\n" + b"G0 X1\nG0 X2\n" * 20_000
    )
    shares = []
    prove(request, shares.append)
    assert shares == sorted(shares)
    assert 0 < shares[0] <= shares[-1] <= 1
    with pytest.raises(Enough):
        prove(request, stop)

"""What is said of loads is true: remedies clear, the knob's range holds, worst lines are worst, sizes add up."""

import itertools
import re

import pytest
from planted import FAULTS

IDS = ("bit-overload", "chip-thick", "hold-down-short", "lost-step-risk", "power-short")
REMEDIES = [(rule_id, fault) for rule_id in IDS for fault in FAULTS[rule_id]]
STEP = 5  # % of the knob
# Room at every limit but the chip's, so that chips alone decide how far the knob goes.
EASY = {'stickout = "35 mm"': 'stickout = "15 mm"', 'cutting_length = "22 mm"': 'cutting_length = "12 mm"'}


def numbers_of(told, rule_id):
    """Return the numbers of the first finding of an id, None without one."""
    return next((finding["numbers"] for finding in told["findings"] if finding["id"] == rule_id), None)


def fed(program, ratio):
    """Return a program with all its feeds so many times as fast."""
    return re.sub(r"F(\d+)", lambda word: f"F{float(word[1]) * ratio:.4f}", program)


def test_a_feed_that_is_offered_clears_what_it_is_offered_for(workshop, clean):
    tried = 0
    for rule_id, fault in REMEDIES:
        cards = {"job": fault.job, "machine": fault.machine}
        program = clean(fault.program or {})
        numbers = numbers_of(workshop.prove(program=program, **cards), rule_id)
        most = numbers.get("most_feed_mm_min")
        if most is None:
            continue
        tried += 1
        slower = re.sub(r"F(\d+)", lambda word, most=most: f"F{min(float(word[1]), most - 1e-3):.4f}", program)
        outcome = workshop.proof(program=slower, **cards).outcome
        assert (rule_id, fault.case) not in {(found.id, found.case) for found in outcome.findings}
    assert tried > 1


def test_the_depth_that_is_offered_clears_it(workshop, clean):
    deep = {"Z-3": "Z-12"}
    numbers = numbers_of(workshop.prove(program=clean(deep)), "bit-overload")
    shallow = {"Z-3": f"Z-{numbers['clear_depth_mm'] * (1 - 1e-6):.5f}"}
    assert numbers_of(workshop.prove(program=clean(shallow)), "bit-overload") is None
    step = 12 / 20  # remedies go by twentieths of the depth that is too much
    deeper = {"Z-3": f"Z-{numbers['clear_depth_mm'] + step:.5f}"}
    assert numbers_of(workshop.prove(program=clean(deeper)), "bit-overload") is not None


@pytest.mark.parametrize("flutes", [1, 2])
def test_at_both_ends_of_the_knob_nothing_is_found_and_beyond_chips_are(workshop, clean, flutes):
    """The program is proved anew with other feeds: what the knob does, but for travels.

    The bit's own range ends before forces do, which the knob takes to grow as feeds; it is met to the last place.
    """
    chips = f'flutes = {flutes}\nchip = ["0.05 mm", "0.0875 mm"]'
    job = {**EASY, "flutes = 1": chips, 'speed = "18000 rpm"': f'speed = "{18000 // flutes} rpm"'}
    knob = workshop.prove(program=clean({}), job=job)["override_pct"]
    watched = {*IDS, "chip-thin"}

    def found(percent):
        told = workshop.prove(program=fed(clean({}), percent / 100), job=job)
        return [each["id"] for each in told["findings"] if each["id"] in watched and each["level"] != "note"]

    assert (found(knob["low"] * (1 + 1e-4)), found(knob["high"] * (1 - 1e-4))) == ([], [])
    assert (found(knob["low"] - STEP), found(knob["high"] + STEP)) == (["chip-thin"], ["chip-thick"])
    assert knob["low"] < 100 < knob["high"] < 200


def test_the_worst_lines_are_told_worst_first_and_each_once(workshop, clean):
    told = workshop.prove(program=clean({"G1 X150 F1500": "G1 X150 F1500\nG1 X151 F2400"}), job=EASY)
    rows = told["worst_lines"]
    shares = [row["share"] for row in rows]
    assert shares == sorted(shares, reverse=True)
    assert len({row["line"] for row in rows}) == len(rows)
    assert all(first["share"] >= second["share"] for first, second in itertools.pairwise(rows))
    # Nothing there is beyond its limit, so nothing is found; the axes' least margin stands on the list.
    assert shares[0] < 1
    worst = min((own for own in told["margin"].values() if own), key=lambda own: own["low"])
    axis = next(row for row in rows if row["by"] in told["margin"])
    assert axis["share"] == pytest.approx(1.5 / worst["low"])


def test_sizes_are_the_ends_of_what_is_known_added_up(workshop, clean):
    """Plover's ball screws may be 173 um/m off, its steps are right; the bit, its runout and bending are told."""
    job = {
        'diameter = "6 mm"': 'diameter = { value = "6 mm", plus_minus = "0.02 mm", origin = "measured" }',
        "flutes = 1": 'flutes = 1\nrunout = { value = "0.03 mm", plus_minus = "0.01 mm", origin = "measured" }',
    }
    proof = workshop.proof(program=clean({}), job=job)
    (sizes,) = proof.document["sizes_mm"]
    loads = proof.outcome.loading.loads
    bend = max(loads.bend_mm[loads.down == 0, 1])  # the whole cut is one slot of one depth
    aside = 2 * bend + 100 * 173e-6
    wider, narrower = 0.02 + 0.04, -0.02 + 0.02
    assert sizes["pocket"]["high"] == pytest.approx(wider + aside - 0.02, abs=2e-4)
    assert sizes["pocket"]["low"] == pytest.approx(narrower - aside - 0.15, abs=2e-4)
    assert sizes["plug"]["high"] == pytest.approx(-narrower + aside - 0.02, abs=2e-4)
    assert sizes["room"] == pytest.approx(sizes["plug"]["high"] - sizes["pocket"]["low"])

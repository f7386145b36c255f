"""A power meter on the spindle narrows what the books tell, and is set aside where the two cannot both be right."""

import json
import re
import shutil

import pytest

from cutworthy.app.proofs import prove_job
from cutworthy.app.trials import make_trials
from cutworthy.errors import InputError

# The slot's card, filled in: MDF, a bit of 6 mm with two edges at 15,000 turns a minute.
FILLED = {
    'material = "?"': 'material = "MDF"',
    'size = ["?", "?", "?"]': 'size = ["300 mm", "100 mm", "18 mm"]',
    'x = "?"': 'x = "25 mm"',
    'y = "?"': 'y = "50 mm"',
    'by = "?"': 'by = "clamps"',
    'diameter = "?"': 'diameter = "6 mm"',
    'flutes = "?"': "flutes = 2",
    'cutting_length = "?"': 'cutting_length = "22 mm"',
    'stickout = "?"': 'stickout = "35 mm"',
    'speed = "?"': 'speed = "15000 rpm"',
}
IDLE, SHARE = 240.0, 0.7
# By hand: 4 mm deep at 30 mm/s; k Q + i S of the printed line for MDF, 31.44 h + 3.36 N/mm ([@goli], quoted
# second-hand), where S is what both edges sweep in half of each of the 250 turns a second.
EXPECTED = 0.9  # of the printed line, our own middle of its band
BY_HAND_W = EXPECTED * (31.44 * 6 * 4 * 30 + 3.36 * 2 * 250 * 3 * 3.14159265 * 4) / 1000


@pytest.fixture
def calibrated(workshop):
    """Return a job on Plover with a slot that a meter watched, by what it showed in the cut [W]."""

    def proof(watts, material="MDF", idle=IDLE, **edits):
        job = workshop.write(job={'material = "white oak"': f'material = "{material}"'}, **edits)
        shutil.rmtree(workshop.folder / "cal", ignore_errors=True)
        card = workshop.folder / "plover.toml"
        make_trials("calibration", card, to=workshop.folder / "cal", runs=(), progress=lambda _share: None)
        slot = workshop.folder / "cal" / "slot.toml"
        text = slot.read_text(encoding="utf-8")
        for old, new in FILLED.items():
            assert old in text, old
            text = text.replace(old, new, 1)
        slot.write_text(text, encoding="utf-8")
        told = f'\n[calibration]\nidle_power = "{idle} W"\ncut_power = "{watts:.4f} W"\ncut_job = "cal/slot.toml"\n'
        card.write_text(card.read_text(encoding="utf-8") + told, encoding="utf-8")
        (found,) = prove_job(job, progress=lambda _share: None)
        return found

    return proof


def test_what_the_meter_showed_over_what_is_expected_is_told(calibrated):
    for ratio in (0.7, 1.0, 1.2):
        narrowing = calibrated(IDLE + ratio * BY_HAND_W / SHARE).outcome.loading.narrowing
        assert narrowing.expected == pytest.approx(ratio, rel=2e-3)
        assert narrowing.low < ratio < narrowing.high
        assert narrowing.is_same_wood


def test_it_moves_margins_and_narrows_their_bands(calibrated, workshop):
    workshop.write(job={'material = "white oak"': 'material = "MDF"'})
    plain = workshop.again()["margin"]["x"]
    little = calibrated(IDLE + 0.75 * BY_HAND_W / SHARE).document["margin"]["x"]
    much = calibrated(IDLE + 1.25 * BY_HAND_W / SHARE).document["margin"]["x"]
    assert much["expected"] < plain["expected"] < little["expected"]
    for narrowed in (little, much):
        assert narrowed["high"] / narrowed["low"] < plain["high"] / plain["low"]
        assert (
            plain["low"] - 1e-9 <= narrowed["low"] <= narrowed["expected"] <= narrowed["high"] <= plain["high"] + 1e-9
        )


def test_in_another_wood_it_is_worth_less(calibrated):
    same = calibrated(IDLE + BY_HAND_W / SHARE).outcome.loading.narrowing
    other = calibrated(IDLE + BY_HAND_W / SHARE, material="white oak").outcome.loading.narrowing
    assert not other.is_same_wood
    assert other.high / other.low > same.high / same.low


@pytest.mark.parametrize(
    ("watts", "case", "words"),
    [(IDLE - 5, "meter-swapped", "the two may be swapped"), (IDLE + 20 * BY_HAND_W, "meter", "does not fit the slot")],
)
def test_a_meter_that_cannot_be_right_is_set_aside_and_asked_about(calibrated, workshop, watts, case, words):
    proof = calibrated(watts)
    asked = [(found.case, found.about) for found in proof.outcome.findings if found.id == "number-needed"]
    assert (case, "calibration") in asked
    text = " ".join(line.text for line in proof.page)
    assert words in text
    workshop.write(job={'material = "white oak"': 'material = "MDF"'})
    assert proof.document["margin"] == workshop.again()["margin"]


def test_another_slot_is_another_question(calibrated, workshop):
    first = calibrated(IDLE + BY_HAND_W / SHARE).outcome.digest
    slot = workshop.folder / "cal" / "slot.nc"
    slot.write_text(slot.read_text(encoding="ascii").replace("F1800", "F1700"), encoding="ascii")
    (second,) = prove_job(workshop.folder / "board.toml", progress=lambda _share: None)
    assert second.outcome.digest != first


def test_a_slot_that_is_not_there_is_named_with_its_key(calibrated, workshop):
    calibrated(IDLE + BY_HAND_W / SHARE)
    (workshop.folder / "cal" / "slot.nc").unlink()
    with pytest.raises(InputError, match=re.escape("plover.toml, calibration.cut_job:")):
        prove_job(workshop.folder / "board.toml", progress=lambda _share: None)


def test_the_slots_own_card_proves_it(calibrated, workshop):
    calibrated(IDLE + BY_HAND_W / SHARE)
    (proof,) = prove_job(workshop.folder / "cal" / "slot.toml", progress=lambda _share: None)
    assert json.dumps(proof.document, allow_nan=False)
    assert proof.document["verdict"] != "no-go"
    assert proof.document["force"]["by_meter"]["same_wood"]

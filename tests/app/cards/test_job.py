"""Job cards to job records. Expected numbers are the card's own, converted by hand."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cutworthy.app.cards import job_from_text, load_job
from cutworthy.model.quantity import Origin, Quantity

FULL = Path(__file__).parent / "full-job.toml"


def test_the_smallest_card(job: Callable[..., Any]) -> None:
    card = job()
    assert (card.program, card.machine) == (Path("shop/plaque.nc"), Path("shop/plover.toml"))
    record, bit = card.record, card.record.bits[0]
    assert (record.board.size_x_mm.value, record.board.thickness_mm.value) == (300, 18)
    assert record.board.thickness_mm.key == "board.size[3]"
    assert (record.board.at_x_mm, record.board.bottom_z_mm, record.board.room_above_mm) == (None,) * 3
    assert (record.start, record.holding, record.clamps) == (None, None, ())
    assert (bit.tool, bit.flutes, bit.spiral, bit.centre_cutting, bit.chip_low_mm) == (0, 2, "unknown", None, None)
    assert (record.zero.system, record.zero.x_said, record.zero.from_left_mm) == ("G54", "left", 0)


def test_the_full_card() -> None:
    card = load_job(FULL)
    record = card.record
    assert card.program == FULL.parent / "programs" / "plaque.nc"
    assert card.machine == FULL.parent / ".." / "plover.toml"
    assert (record.board.at_x_mm.value, record.board.at_y_mm.value, record.board.bottom_z_mm.value) == (40, 60, -80)
    assert record.board.thickness_map[1].value_mm == 17.9
    assert (record.zero.y_said, record.zero.from_front_mm, record.zero.system) == ("1/2 in", 12.7, "G55")
    assert record.zero.plus_minus_z_mm.value == 0.1
    assert record.holding.force_n.value == 90 * 9.80665  # standard gravity
    bull, vee = record.bits
    assert (bull.corner_radius_mm.value, bull.chip_low_mm.value, bull.chip_high_mm.value) == (1, 0.05, 0.15)
    assert vee.angle_rad.value == math.radians(60)
    assert vee.diameter_mm.key == "bits[2].diameter"
    clamp = record.clamps[0]
    assert (clamp.from_x_mm, clamp.from_y_mm, clamp.to_x_mm, clamp.to_y_mm) == (-20, -10, 15, 30)
    assert (clamp.height_mm.value, clamp.plus_minus_mm.value) == (25, 2)
    assert [remark.key for remark in card.remarks] == ["holding.force"]


def test_the_record_knows_no_files() -> None:
    text = FULL.read_text(encoding="utf-8")
    moved = text.replace("programs/plaque.nc", "other.nc").replace("../plover.toml", "heron.toml")
    assert job_from_text(moved, Path("b.toml")).record == job_from_text(text, Path("a.toml")).record


@pytest.mark.parametrize(
    ("x", "y", "place"),
    [
        ("left", "front", (0, 0)),
        ("centre", "centre", (150, 70)),
        ("right", "back", (300, 140)),
        ("12 mm", "-1 in", (12, -25.4)),
    ],
)
def test_zero(job: Callable[..., Any], x: str, y: str, place: tuple[float, float]) -> None:
    zero = job(edits={'x = "left"': f'x = "{x}"', 'y = "front"': f'y = "{y}"'}).record.zero
    assert (zero.from_left_mm, zero.from_front_mm) == place
    assert (zero.x_said, zero.y_said) == (x, y)


def test_zero_as_a_table(job: Callable[..., Any]) -> None:
    zero = job(edits={'x = "left"': 'x = { value = "12 mm", origin = "measured" }'}).record.zero
    assert (zero.from_left_mm, zero.x_said) == (12, "12 mm")


def _guess(key: str, value: float, low: float, high: float) -> Quantity:
    return Quantity(value=value, low=low, high=high, origin=Origin.GUESSED, key=key, stated=False)


def test_defaults_are_wide_and_marked(job: Callable[..., Any]) -> None:
    """The card leaves these out; the bands are those that the guide promises."""
    clamp = "[[clamps]]\nname = 'a'\nfrom = ['0 mm', '0 mm']\nto = ['1 mm', '1 mm']\nheight = '20 mm'\n"
    record = job(clamp + "[holding]\nby = 'screws'\n").record
    assert record.board.spread_mm == _guess("board.spread", 0.5, 0, 0.5)
    assert record.zero.plus_minus_mm == _guess("zero.plus_minus", 0.5, 0, 0.5)
    assert record.zero.plus_minus_z_mm == _guess("zero.plus_minus_z", 0.2, 0, 0.2)
    assert record.clamps[0].plus_minus_mm == _guess("clamps[1].plus_minus", 3, 0, 3)
    assert record.holding.force_n == _guess("holding.force", 900, 400, 2000)
    assert record.bits[0].cutting_length_mm == _guess("bits[1].cutting_length", 20.5, 6, 35)


def test_a_wide_bit_is_no_longer_than_its_stickout(job: Callable[..., Any]) -> None:
    length = job(edits={'diameter = "6 mm"': 'diameter = "50 mm"'}).record.bits[0].cutting_length_mm
    assert (length.low, length.value, length.high) == (35, 35, 35)


@pytest.mark.parametrize("by", ["tape", "vacuum", "nothing above the board"])
def test_what_is_not_tightened_has_no_force_to_guess(job: Callable[..., Any], by: str) -> None:
    assert job(f"[holding]\nby = '{by}'\n").record.holding.force_n is None
    assert job(f"[holding]\nby = '{by}'\nforce = '500 N'\n").record.holding.force_n.value == 500


def test_keys_of_another_kind_of_bit_are_remarked(job: Callable[..., Any]) -> None:
    card = job("angle = '60 deg'\ntip = '0.2 mm'\ncorner_radius = '1 mm'\n")
    bit = card.record.bits[0]
    assert (bit.angle_rad, bit.tip_mm, bit.corner_radius_mm) == (None, None, None)
    assert {remark.says for remark in card.remarks} == {"says nothing of a flat bit"}
    assert sorted((remark.key, remark.line) for remark in card.remarks) == [
        ("bits[1].angle", 18),
        ("bits[1].corner_radius", 20),
        ("bits[1].tip", 19),
    ]

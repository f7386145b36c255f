"""The walk through the first day, and pencil forms: whole, in a safe order, for every machine."""

import io

import pypdf
import pytest
from settled import EXAMPLES, VARIANTS, settled

from cutworthy.metrology import KINDS
from cutworthy.present.forms import form_view
from cutworthy.present.sentences import CLOSING
from cutworthy.present.walk import walk_view
from cutworthy.sheets.paper import print_sheet

PLOVER = EXAMPLES.index("plover")
DATE = "2025-03-01"


def walk(variant, days=1):
    made = settled(*VARIANTS[variant])
    return walk_view(made.machine, made.settings, days=days, date=DATE)


def steps_of(view):
    return [step for day in view.days for part in day.parts for step in part.steps]


def text(printed):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(printed)).pages).split())


@pytest.mark.parametrize("variant", range(len(VARIANTS)))
def test_every_machine_has_its_walk_with_nothing_left_open_in_the_text(variant):
    view = walk(variant)
    assert [step.number for step in steps_of(view)] == list(range(1, len(steps_of(view)) + 1))
    for step in steps_of(view):
        for told in (step.do, step.expect, step.stop):
            assert "{" not in told
            assert not {"None", "nan", "inf"} & set(told.replace(";", " ").split())


def position(view, words):
    (found,) = [step.number for step in steps_of(view) if words in step.do]
    return found


def test_the_order_is_safe():
    view = walk(PLOVER)
    block, power, y, z = (
        position(view, words) for words in ("Block under Z. Power on", "The supply alone", "Jog Y", "Jog Z")
    )
    stop, travel, load, chips = (
        position(view, words) for words in ("stop button", "measure the travel", "weight on a cord", "Clamps as")
    )
    assert power < block < y < z  # what cannot fall goes first
    assert stop < travel < load < chips
    assert position(view, "emergency stop") < block
    assert position(view, "Runout") < chips


def test_what_is_expected_is_the_cards():
    told = {step.number: step for step in steps_of(walk(PLOVER))}
    every = " ".join(step.expect for step in told.values())
    for number in ("1.1 ohm", "36 V", "160 steps per mm", "10 mm (0.3937 in)", "820 mm", "3000 mm/min", "353, 706"):
        assert number in every
    load = told[position(walk(PLOVER), "weight on a cord")].expect
    # X: 532 N at speed, at its low end less; half of that over 9.80665, and never over 25 kg.
    assert load.startswith("X up to 2")
    assert "26 kg" not in load


def test_a_machine_without_switches_is_not_asked_to_try_them():
    made = settled("plover", {'homes_to = "minus"': 'homes_to = "none"', 'homes_to = "plus"': 'homes_to = "none"'})
    homeless = walk_view(made.machine, made.settings, days=1, date=DATE)
    assert not any("home switch" in step.do for step in steps_of(homeless))
    assert any("home switch" in step.do for step in steps_of(walk(PLOVER)))


def test_two_and_three_days_hold_the_same_steps_and_are_alike_in_length():
    whole = [step.do for step in steps_of(walk(PLOVER))]
    for days in (2, 3):
        view = walk(PLOVER, days)
        assert len(view.days) == days
        assert [step.do for step in steps_of(view)] == whole
        assert max(day.minutes for day in view.days) < 0.75 * sum(day.minutes for day in view.days)


def test_where_the_card_leaves_numbers_open_the_steps_that_tell_them_are_named():
    bare = EXAMPLES.index("heron")
    view = walk(bare)
    assert view.telling
    per_minute = [each.minutes / len(each.tells.split(", ")) for each in view.telling]
    assert min(per_minute) >= 0
    by_number = {step.number: step for step in steps_of(view)}
    assert all(by_number[each.step].tells > 0 for each in view.telling)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_printed_whole(paper):
    printed = print_sheet(walk(PLOVER, 3), paper)
    told = text(printed)
    assert "Day 3" in told
    assert CLOSING in told
    assert len(pypdf.PdfReader(io.BytesIO(printed)).pages) <= 4
    for step in steps_of(walk(PLOVER, 3)):
        assert step.do.split(":")[0][:30] in told


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_a_form_of_one_page(kind):
    view = form_view(KINDS[kind])
    printed = print_sheet(view, "a4")
    (page,) = pypdf.PdfReader(io.BytesIO(printed)).pages
    told = " ".join(page.extract_text().split())
    for column in KINDS[kind].columns:
        assert column.name in told
    assert f"cutworthy measure {kind}" in told

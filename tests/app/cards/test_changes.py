"""Changes that are tried: they read as if they stood on the card, and the card stays as it is."""

import copy
import tomllib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutworthy.app.cards import (
    MachineCard,
    card_keys,
    changed_machine,
    load_machine,
    machine_from_text,
    parse_change,
    parse_changes,
    value_text,
)
from cutworthy.app.cards.changes import OPTION
from cutworthy.app.cards.like import follow
from cutworthy.app.cards.load import machine_from_keys
from cutworthy.errors import InputError
from cutworthy.model.quantity import Origin

TIDEWATER = Path(__file__).resolve().parents[3] / "examples" / "tidewater"
CARDS = [
    Path(__file__).with_name("full-machine.toml"),
    TIDEWATER / "plover.toml",
    TIDEWATER / "heron.toml",
    TIDEWATER / "heron-with-labels.toml",
]
PLOVER = load_machine(TIDEWATER / "plover.toml")
Read = Callable[..., MachineCard]


def _said(changes: Mapping[str, str], card: MachineCard = PLOVER) -> str:
    """Return what is said of changes that cannot be made."""
    with pytest.raises(InputError) as caught:
        changed_machine(card, changes)
    return str(caught.value)


def _edited(**edits: str) -> MachineCard:
    """Return Plover's card with lines of its text replaced: the other way to change it."""
    text = PLOVER.text
    for old, new in edits["lines"]:  # type: ignore[misc]
        assert old in text, old
        text = text.replace(old, new, 1)
    return machine_from_text(text, PLOVER.path)


# The change, and the edits of the card's text that say the same.
@pytest.mark.parametrize(
    ("key", "value", "lines"),
    [
        ("supply.voltage", "48 V", [('voltage = "36 V"', 'voltage = "48 V"')]),
        ("axes.x.driver.microsteps", "16", [("microsteps = 8", "microsteps = 16")]),
        ("axes.x.drive.ends", "fixed-fixed", [('ends = "fixed-simple"', 'ends = "fixed-fixed"')]),
        ("axes.x.drive.friction", "0.02", [("friction = 0.01", "friction = 0.02")]),
        ("axes.y.drive.span", "900 mm", [('span = "720 mm"', 'span = "900 mm"')]),
        ("axes.y.motors", "2", [('like = "x"', 'like = "x"\nmotors = 2')]),
        ("estop.holds_z", "true", [("holds_z = false", "holds_z = true")]),
        ("estop.cuts", '["motors"]', [('cuts = ["spindle", "motors"]', 'cuts = ["motors"]')]),
        ("axes.x.drag", '{ value = "9 N", origin = "measured" }',
         [('value = "12 N", plus_minus = "3 N"', 'value = "9 N"')]),
        ("axes.x.drag.plus_minus", "1 N", [('"12 N", plus_minus = "3 N"', '"12 N", plus_minus = "1 N"')]),
        ("axes.x.travel.plus_minus", "2 mm", [('"820 mm"', '{ value = "820 mm", plus_minus = "2 mm" }')]),
        ("machine.name", '"48"', [('name = "Plover"', 'name = "48"')]),
        # What says the same thing in another way gives way.
        ("axes.x.drive.lead", "20 mm", [('pitch = "10 mm"\nstarts = 1', 'lead = "20 mm"')]),
        ("axes.x.steps_per_inch", "4064", [("steps_per_mm = 160", "steps_per_inch = 4064")]),
        ("axes.x.range", '["-1 m", "0 mm"]', [('travel = "820 mm"', 'range = ["-1 m", "0 mm"]')]),
        # A table that the card does not have is made.
        ("axes.z.drive.collar", '{ diameter = "9 mm", friction = 0.1 }',
         [("friction = 0.15", 'friction = 0.15\ncollar = { diameter = "9 mm", friction = 0.1 }')]),
        ("spindle.shoe", '{ diameter = "9 cm", below_nut = "5 mm" }',
         [("[estop]", '[spindle.shoe]\ndiameter = "9 cm"\nbelow_nut = "5 mm"\n[estop]')]),
    ],
)  # fmt: skip
def test_a_change_reads_as_if_it_stood_on_the_card(key, value, lines):
    assert changed_machine(PLOVER, {key: value}).record == _edited(lines=lines).record


def test_a_missing_table_is_made(machine: Read):
    small = machine()
    assert small.record.supply is None
    changed = changed_machine(small, {"supply.voltage": "48 V", "axes.x.motor.holding_torque": "1.8 N*m"})
    assert changed.record == machine('[axes.x.motor]\nholding_torque = "1.8 N*m"\n[supply]\nvoltage = "48 V"\n').record


def _leaves(value: Any, place: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    """Yield the keys of a card, tables included, with ``like`` followed."""
    for key, inner in value.items():
        yield ".".join((*place, key)), inner
        if isinstance(inner, dict):
            yield from _leaves(inner, (*place, key))


def _toml(value: Any) -> str:
    """Return a value as it may stand on a card."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            return "'" + value + "'"
        case list():
            return f"[{', '.join(map(_toml, value))}]"
        case dict():
            return "{ " + ", ".join(f"{key} = {_toml(each)}" for key, each in value.items()) + " }"
        case _:
            return str(value)


@pytest.mark.parametrize("path", CARDS, ids=lambda path: path.stem)
def test_a_key_that_is_set_to_its_present_value_changes_nothing(path):
    card = load_machine(path)
    whole = {**card.keys, "axes": follow(dict(card.keys["axes"]), [])}
    leaves = list(_leaves(whole))
    assert len(leaves) > 30
    for key, value in leaves:
        changed = changed_machine(card, {key: _toml(value)})
        assert (changed.record, changed.keys) == (card.record, card.keys), key
        if isinstance(value, str):
            assert changed_machine(card, {key: value}).record == card.record, key


def test_a_quantity_keeps_what_is_known_of_it_when_its_value_stays():
    drag = changed_machine(PLOVER, {"axes.x.drag": "12 N"}).record.axes["x"].drag_n
    assert drag is not None
    assert (drag.origin, drag.plus_minus) == (Origin.MEASURED, 3.0)
    drag = changed_machine(PLOVER, {"axes.x.drag": "13 N"}).record.axes["x"].drag_n
    assert drag is not None
    assert drag.origin is Origin.GUESSED


def test_a_lead_that_stays_keeps_pitch_and_starts(machine: Read):
    more = '[axes.x.drive]\nkind = "screw"\nlead = "8 mm"\npitch = "2 mm"\nstarts = 4\n'
    card = machine(more)
    assert changed_machine(card, {"axes.x.drive.lead": "8 mm"}).record == card.record
    drive = changed_machine(card, {"axes.x.drive.lead": "10 mm"}).record.axes["x"].drive
    assert drive is not None
    assert (drive.pitch_mm, drive.starts) == (None, None)


def test_keys_that_are_changed_together_do_not_give_way_to_each_other():
    changes = {"axes.z.drive.lead": "12 mm", "axes.z.drive.pitch": "3 mm", "axes.z.drive.starts": "4"}
    for order in (list(changes), list(changes)[::-1]):
        drive = changed_machine(PLOVER, {key: changes[key] for key in order}).record.axes["z"].drive
        assert drive is not None
        assert drive.lead_mm is not None
        assert drive.pitch_mm is not None
        assert (drive.lead_mm.value, drive.pitch_mm.value, drive.starts) == (12.0, 3.0, 4)
    assert "is not pitch times starts" in _said({"axes.z.drive.lead": "12 mm", "axes.z.drive.pitch": "2 mm",
                                                 "axes.z.drive.starts": "4"})  # fmt: skip
    assert "cannot stand beside travel" in _said({"axes.x.range": '["0 mm", "1 m"]', "axes.x.travel": "1001 mm"})


class TestLike:
    def test_an_axis_that_is_like_another_changes_with_it(self):
        axes = changed_machine(PLOVER, {"axes.x.driver.microsteps": "16"}).record.axes
        assert [axes[name].driver.microsteps for name in axes] == [16, 16, 8]  # type: ignore[union-attr]

    def test_a_value_of_its_own_stays(self):
        axes = changed_machine(PLOVER, {"axes.x.drive.span": "2 m", "axes.x.travel": "1.9 m"}).record.axes
        assert axes["y"] == PLOVER.record.axes["y"]

    def test_a_change_of_the_axis_gives_it_a_value_of_its_own(self):
        axes = changed_machine(PLOVER, {"axes.y.driver.microsteps": "16"}).record.axes
        assert axes["x"] == PLOVER.record.axes["x"]
        assert axes["y"].driver is not None
        assert axes["y"].driver.microsteps == 16

    @pytest.mark.parametrize("order", [1, -1])
    def test_a_value_that_is_asked_to_stay_stays(self, order):
        asked = [("axes.x.drive.lead", "20 mm"), ("axes.y.drive.pitch", "10 mm")][::order]
        axes = changed_machine(PLOVER, dict(asked)).record.axes
        leads = [axes[name].drive.lead_mm for name in ("x", "y")]  # type: ignore[union-attr]
        assert leads[0] is not None
        assert leads[0].value == 20.0
        assert leads[1] is None, "a pitch without starts is no lead: x has none any more"


def test_the_card_and_its_file_stay_as_they_are(tmp_path):
    path = tmp_path / "plover.toml"
    path.write_text(PLOVER.text, encoding="utf-8")
    card = load_machine(path)
    keys, record = copy.deepcopy(card.keys), copy.deepcopy(card.record)
    changes = {"axes.x.drive.lead": "20 mm", "axes.y.motor.holding_torque": "3 N*m", "supply.voltage": "48 V"}
    changed = changed_machine(card, changes)
    assert changed.record != record
    assert (card.keys, card.record) == (keys, record)
    assert (changed.text, changed.path) == (card.text, path)
    assert path.read_text(encoding="utf-8") == PLOVER.text
    assert [each.name for each in tmp_path.iterdir()] == ["plover.toml"]


def test_changes_may_follow_on_changes():
    once = changed_machine(PLOVER, {"axes.x.drive.lead": "20 mm"})
    twice = changed_machine(once, {"supply.voltage": "48 V"})
    both = changed_machine(PLOVER, {"axes.x.drive.lead": "20 mm", "supply.voltage": "48 V"})
    assert twice.record == both.record
    back = changed_machine(twice, {"axes.x.drive.pitch": "10 mm", "axes.x.drive.starts": "1", "supply.voltage": "36 V"})
    assert back.record == PLOVER.record


MOVES = [
    ("axes.x.driver.microsteps", "16"), ("axes.x.drive.lead", "20 mm"), ("axes.x.drive.pitch", "5 mm"),
    ("axes.x.like", "z"), ("axes.y.like", "z"), ("axes.z.drive.nut", "plain"), ("axes.x.drive.kind", "belt"),
    ("axes.x.steps_per_inch", "4064"), ("axes.y.steps_per_mm", "80"), ("axes.x.motor", '{ holding_torque = "2 N*m" }'),
    ("supply", '{ voltage = "48 V" }'), ("supply.current", "9 A"), ("control.g30", '["0 mm", "0 mm", "1 mm"]'),
    ("spindle.collet_nut.diameter", "20 mm"), ("estop.cuts", "[]"), ("machine.units", "inch"), ("wiring", "[]"),
    ("axes.z.drag", "2 kg"), ("axes.y.motor.detent_torque", "0.05 N*m"), ("control", "{ }"),
]  # fmt: skip


@given(st.lists(st.sampled_from(MOVES), min_size=1, max_size=6, unique_by=lambda move: move[0]))
@settings(deadline=None, max_examples=60)
@example([("supply", '{ voltage = "48 V" }'), ("supply.current", "9 A")])
def test_what_is_not_checked_again_is_what_has_not_changed(moves):
    try:
        changed = changed_machine(PLOVER, dict(moves))
    except InputError:
        return
    fresh = machine_from_keys(copy.deepcopy(changed.keys), PLOVER.text, PLOVER.path)
    assert changed.record == fresh.record
    assert changed.tables == fresh.tables


class TestMistakes:
    # The change, and how the line about it goes on behind its key.
    @pytest.mark.parametrize(
        ("change", "says"),
        [
            ("axes.x.motr.x=1", "there is no such key; did you mean motor?"),
            ("axes.x.motor.holding_tork=1", "there is no such key; did you mean holding_torque?"),
            ("axes.w.speed=1", "there is no such key; the keys here are x, y, z"),
            ("axis.x.speed=3000 mm/min", "there is no such key; did you mean axes?"),
            ("axes.x.sp\x1beed=1", "there is no such key; did you mean speed?"),
            ("axes.x.travel.low=1", "there is no such key; the keys here are value, plus_minus, origin, date, with"),
            ("supply.voltage=48", '48 has no unit; write supply.voltage="48 V"'),
            ("supply.voltage=48 mm", '"48 mm" is a length, and a voltage is needed; write for example "36 V"'),
            ("supply.voltage=", 'the text is empty; write for example "36 V"'),
            ("supply.voltage=?", 'is not filled in yet; write supply.voltage="36 V"'),
            ("supply.voltage=24000 V", '"24000 V" is absurd; check number and unit, 3 V to 500 V is sensible'),
            ("supply.voltage=1 V\nx = 2", '"1 V\\nx = 2" has a unit that is not known; write one of V'),
            ("supply.voltage=[1]", 'a list is no quantity; write supply.voltage="36 V"'),
            ("estop.holds_z=1", "1 is neither true nor false; write true or false, without quotes"),
            ("estop.hardwired=1", "1 is neither true nor false; write true or false, without quotes"),
            ("axes.x.driver.microsteps=16\nx = 2", '"16\\nx = 2" is no whole number'),
            ("axes.x.driver.microsteps=true", "true is no whole number; write axes.x.driver.microsteps=8, without"),
            ("axes.x.driver.microsteps=1/8", '"1/8" is no whole number; write axes.x.driver.microsteps=8, without'),
            ("axes.x.driver.microsteps=99999", "99999 is absurd; check the number, 1 to 1024 is sensible"),
            ("axes.x.drive.friction=nan", "nan is no plain number; write axes.x.drive.friction=0.15, without quotes"),
            ("axes.x.drive.ends=fixed", '"fixed" is not one of the choices; write "fixed-fixed", "fixed-simple"'),
            ("axes.x.motor=3", "is a table; name one of its keys, as axes.x.motor.steps_per_turn"),
            ("axes=3", "is a table; name one of its keys, as axes.x"),
            ("wiring=3", "3 is no table; write the table [[wiring]] with signal, pin"),
            ("wiring.pin=3", "stands in a list; change it on the card"),
            ("axes.x.drag.origin=sure", '"sure" is no origin; write one of label, measured, guessed'),
            ("axes.y.like=y", "goes round in a circle; name an axis that has values of its own"),
        ],
    )  # fmt: skip
    def test_a_mistake_names_the_option(self, change, says):
        key, value = parse_change(change)
        lines = _said({key: value}).splitlines()
        told = key.replace("\x1b", "\\x1b")  # what could act on a terminal is shown as an escape
        assert any(line.startswith(f"{OPTION} {told}: {says}") for line in lines), lines

    @pytest.mark.parametrize(
        ("change", "says"),
        [
            # What a change makes wrong elsewhere is said of the change.
            ("axes.x.drive.diameter=12 mm", "axes.x.drive.root_diameter: is not smaller than diameter; check it"),
            ("calibration.idle_power=240 W", 'calibration.cut_power: is missing; write calibration.cut_power="240 W"'),
        ],
    )
    def test_a_mistake_elsewhere_names_both(self, change, says):
        key, value = parse_change(change)
        assert _said({key: value}).splitlines()[0].startswith(f"{OPTION} {key}: {says}")

    def test_one_mistake_is_one_line(self):
        assert _said({"axes.x.motr.x": "1"}) == "--what-if axes.x.motr.x: there is no such key; did you mean motor?"

    def test_all_mistakes_at_once_each_by_its_change(self):
        lines = _said({"axes.x.motr.x": "1", "supply.voltage": "48", "axes.z.speed": "1 m"}).splitlines()
        assert [line.split(":")[0] for line in sorted(lines)] == [
            "--what-if axes.x.motr.x",
            "--what-if axes.z.speed",
            "--what-if supply.voltage",
        ]

    def test_the_axis_that_is_like_it_does_not_repeat_the_mistake(self):
        assert len(_said({"axes.x.driver.microsteps": "no"}).splitlines()) == 1

    @pytest.mark.parametrize("keys", [["", "supply.voltage"], [".x"], ["axes..x"], [" . "]])
    def test_an_empty_key(self, keys):
        assert "a part of the key is empty; write KEY=VALUE" in _said(dict.fromkeys(keys, "48 V"))

    def test_one_key_in_two_spellings(self):
        assert _said({"supply.voltage": "48 V", " supply . voltage": "24 V"}) == (
            "--what-if supply.voltage: is given twice; keep one"
        )

    def test_very_deep_and_very_long_values(self):
        assert "is no quantity" in _said({"supply.voltage": "[" * 50 + "]" * 50})
        assert "is not one number" in _said({"supply.voltage": "[" * 100_000})
        assert "is not one number" in _said({"supply.voltage": "9" * 100_000})

    KEYS = st.one_of(
        st.sampled_from([".".join(key.path) for key in card_keys("machine")]),
        st.text(max_size=30),
        st.lists(st.sampled_from(["axes", "x", "y", "like", "drive", "lead", "value"]), max_size=5).map(".".join),
    )  # fmt: skip
    VALUES = st.one_of(
        st.text(max_size=20),
        st.sampled_from(["48 V", "3", "true", "x", "{ }", "[]", "[{}]", "{ x = 1 }", "{ value = 1 }", "1e999", "-0"]),
    )  # fmt: skip

    @given(st.dictionaries(KEYS, VALUES, max_size=4))
    @settings(deadline=None, max_examples=300)
    @example({"axes": "{ x = 3 }"})
    @example({"control": "{ g28 = 3 }", "control.g28.x": "1"})
    @example({"calibration": "{ cut_job = 'a' }"})
    def test_nothing_but_an_input_error_comes_out(self, changes):
        try:
            changed = changed_machine(PLOVER, changes)
        except InputError as error:
            lines = str(error).splitlines()
            assert lines
            assert all(line.startswith(f"{OPTION} ") for line in lines)
            assert all(line.isprintable() for line in lines)
        else:
            assert changed.text == PLOVER.text


class TestReading:
    @pytest.mark.parametrize(
        ("text", "key", "value"),
        [
            ("supply.voltage=48 V", "supply.voltage", "48 V"),
            (" supply . voltage = 48 V ", "supply.voltage", "48 V"),
            ('a.b={ value = "x=y" }', "a.b", '{ value = "x=y" }'),
            ("a=", "a", ""),
        ],
    )
    def test_key_and_value(self, text, key, value):
        assert parse_change(text) == (key, value)

    @pytest.mark.parametrize(
        ("text", "says"),
        [
            ("supply.voltage", "--what-if supply.voltage: there is no = in it; write KEY=VALUE, as supply.voltage=48V"),
            ("=48 V", "--what-if =48 V: a part of the key is empty; write KEY=VALUE, as supply.voltage=48V"),
            ("", "--what-if : there is no = in it; write KEY=VALUE, as supply.voltage=48V"),
        ],
    )
    def test_what_is_no_change(self, text, says):
        with pytest.raises(InputError) as caught:
            parse_change(text)
        assert str(caught.value) == says

    def test_several_and_the_same_twice(self):
        assert parse_changes(["a.b=1", "c = 2"]) == {"a.b": "1", "c": "2"}
        with pytest.raises(InputError, match=r"^--what-if a\.b: is given twice; keep one$"):
            parse_changes(["a.b=1", "c=2", "a . b=3"])

    def test_the_example_in_the_messages_is_a_good_change(self):
        key, value = parse_change("supply.voltage=48V")
        supply = changed_machine(PLOVER, {key: value}).record.supply
        assert supply is not None
        assert supply.voltage_v is not None
        assert supply.voltage_v.value == 48.0


def test_a_remark_on_a_changed_key_has_no_line():
    (remark,) = changed_machine(PLOVER, {"axes.z.drag": "2 kg"}).remarks
    assert (remark.key, remark.line) == ("axes.z.drag", None)
    assert "is read as a weight" in remark.says
    belt = changed_machine(PLOVER, {"axes.z.drive.kind": "belt"}).remarks
    lines = PLOVER.text.split("\n")
    assert {each.key: lines[(each.line or 0) - 1] for each in belt}["axes.z.drive.span"] == 'span = "160 mm"'


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("supply.voltage", "36 V"),
        ("axes.x.driver.microsteps", "8"),
        ("axes.y.driver.microsteps", "8"),
        ("axes.y.drive.span", "720 mm"),
        ("axes.x.moving_mass", "14 kg"),
        ("estop.holds_z", "false"),
        ("estop.cuts", "a list"),
        ("axes.x.drive", "a table"),
        ("axes.x.drive.lead", None),
        ("axes.x.travel.value.more", None),
        ("no.such.key", None),
    ],
)
def test_what_stands_on_a_card(key, text):
    assert value_text(PLOVER, key) == text


def test_the_keys_of_a_card_are_those_of_its_text():
    assert PLOVER.keys == tomllib.loads(PLOVER.text)

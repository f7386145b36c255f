"""What if, upgrades and variations: each number is that of a machine settled anew.

Golden numbers of Plover are computed from its card in six digits: see the tests of the physics for their formulae.
"""

import copy
import tomllib
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy.app.cards import MachineCard, card_keys, changed_machine, load_machine, machine_from_text
from cutworthy.app.variants import holding_back, upgrades, variations, what_if
from cutworthy.errors import InputError
from cutworthy.model.findings import Finding
from cutworthy.model.machine import AXES, Machine
from cutworthy.model.program import Level
from cutworthy.model.settings import AxisSettings
from cutworthy.model.variants import Upgrade, Upgrades, Variant
from cutworthy.units import Kind, parse
from cutworthy.workflows.settle import SettingsOutcome, SettleRequest
from cutworthy.workflows.settle import settle as settle_request

TIDEWATER = Path(__file__).resolve().parents[2] / "examples" / "tidewater"
NAMES = ["plover", "heron", "heron-with-labels"]
DATA = tomllib.loads((files("cutworthy.reference") / "upgrades.toml").read_text(encoding="utf-8"))
MINUTE = 60.0


def settle(machine: Machine) -> SettingsOutcome:
    return settle_request(SettleRequest(machine=machine))


def _card(name: str, **changes: str) -> MachineCard:
    """Return a card of the workshop with changes; two underscores stand for a dot."""
    card = load_machine(TIDEWATER / f"{name}.toml")
    return changed_machine(card, {key.replace("__", "."): value for key, value in changes.items()})


PLOVER = _card("plover")


def _row(found: Upgrades, end: str) -> Upgrade | None:
    return next((row for row in found.rows if row.change.key.endswith(end)), None)


def _variant(rows: tuple[Variant, ...], axis: str, key: str, to: str) -> Variant:
    return next(
        row for row in rows if row.axis == axis and row.change and row.change.key == key and row.change.to == to
    )


class TestWhatIf:
    def test_before_and_after_are_those_of_the_two_machines(self):
        changes = {"supply.voltage": "48 V", "axes.x.drive.span": "2500 mm"}
        tried = what_if(PLOVER, changes, settle)
        assert tried.before == settle(PLOVER.record)
        assert tried.after == settle(changed_machine(PLOVER, changes).record)
        assert [(each.key, each.was, each.to) for each in tried.told.changes] == [
            ("supply.voltage", "36 V", "48 V"),
            ("axes.x.drive.span", "1000 mm", "2500 mm"),
        ]

    def test_which_numbers_changed(self):
        tried = what_if(PLOVER, {"supply.voltage": "48 V"}, settle)
        by_key = {each.key: each for each in tried.told.differences}
        corner = by_key["axes.x.full_torque_rpm"]
        assert (corner.before, corner.after) == (pytest.approx(456.016, abs=5e-4), pytest.approx(617.613, abs=5e-4))
        assert "axes.x.speed_mm_min.limits.whip" not in by_key
        assert "axes.x.steps_per_mm" not in by_key
        assert {"axes.z.full_torque_rpm", "axes.y.speed_mm_min.advised"} <= set(by_key)

    def test_what_it_brings_and_what_it_cures(self):
        long = what_if(PLOVER, {"axes.x.drive.span": "2500 mm"}, settle)
        assert {(each.id, each.about, each.level.value) for each in long.told.brings} == {
            ("whip", "x", "ask"),
            ("buckling", "x", "ask"),
        }
        assert long.told.cures == ()
        longer = what_if(long.card, {"axes.x.drive.span": "3000 mm"}, settle)
        assert {(each.id, each.level.value) for each in longer.told.brings} == {
            ("whip", "no-go"),
            ("buckling", "no-go"),
        }
        assert longer.told.cures == (), "what was asked is refused now, not gone"
        back = what_if(longer.card, {"axes.x.drive.span": "1 m"}, settle)
        assert back.told.brings == ()
        assert [each.id for each in back.told.cures] == [each.id for each in longer.told.brings]

    @pytest.mark.parametrize("name", NAMES)
    def test_the_present_value_changes_no_number(self, name):
        card = _card(name)
        tried = what_if(
            card, {"machine.units": card.record.units, "axes.x.travel": card.keys["axes"]["x"]["travel"]}, settle
        )
        assert (tried.told.differences, tried.told.brings, tried.told.cures) == ((), (), ())
        assert tried.before == tried.after

    def test_neither_card_nor_file_is_touched(self, tmp_path):
        path = tmp_path / "plover.toml"
        path.write_text(PLOVER.text, encoding="utf-8")
        card = load_machine(path)
        was = copy.deepcopy(card)
        what_if(card, {"axes.x.drive.lead": "20 mm"}, settle)
        upgrades(card, settle)
        variations(card, settle)
        assert (card.text, card.keys, card.record) == (was.text, was.keys, was.record)
        assert path.read_text(encoding="utf-8") == PLOVER.text
        assert [each.name for each in tmp_path.iterdir()] == ["plover.toml"]

    def test_a_key_that_says_nothing_here_is_remarked(self):
        tried = what_if(_card("heron"), {"axes.x.drive.span": "3 m"}, settle)
        assert tried.told.remarks == (("axes.x.drive.span", "says nothing of a belt"),)
        assert tried.told.differences == ()

    def test_a_mistake_names_the_option(self):
        with pytest.raises(
            InputError, match=r"^--what-if axes\.x\.motr\.x: there is no such key; did you mean motor\?$"
        ):
            what_if(PLOVER, {"axes.x.motr.x": "1"}, settle)


class TestUpgrades:
    @pytest.mark.parametrize(
        "card",
        [
            PLOVER,
            _card("heron-with-labels"),
            _card("plover", control__pulse_rate="9 kHz"),
            _card("plover", axes__x__drive__span="3 m", axes__x__travel="2.8 m"),
            _card("heron-with-labels", axes__x__speed="900 in/min"),
        ],
    )
    def test_a_gain_is_that_of_a_full_run_with_the_part_changed(self, card):
        found = upgrades(card, settle)
        assert found.axis is not None
        assert found.rows
        before = settle(card.record).settings.axes[found.axis].speed_mm_s.advised
        assert before == found.advised_mm_s
        for row in found.rows:
            # As somebody would do it who writes the rows of the document on the card.
            changed = changed_machine(card, {each.key: each.to for each in (row.change, *row.others)})
            after = settle(changed.record).settings.axes[found.axis].speed_mm_s
            assert after.advised == row.advised_mm_s
            assert after.ruled_by == row.ruled_by
            assert row.gain_pct == 100 * (row.advised_mm_s / before - 1)

    def test_the_next_supply_by_the_text_of_the_card(self):
        text = PLOVER.text.replace('voltage = "36 V"', 'voltage = "48 V"', 1)
        more = settle(machine_from_text(text, PLOVER.path).record).settings.axes["x"].speed_mm_s.advised
        row = _row(upgrades(PLOVER, settle), "supply.voltage")
        assert row is not None
        assert more == row.advised_mm_s
        # The last speed with full torque: 456.016 rpm at 36 V, 617.613 rpm at 48 V.
        assert row.gain_pct == pytest.approx(100 * (617.613 / 456.016 - 1), abs=2e-4)
        assert row.used_pct == 0, "3000 mm/min is entered, and reached already"

    def test_a_lead_of_twice_as_much_by_the_text_of_the_card(self):
        text = PLOVER.text.replace('pitch = "10 mm"\nstarts = 1', 'lead = "20 mm"', 1)
        text = text.replace("steps_per_mm = 160", "steps_per_mm = 80", 1)
        again = settle(machine_from_text(text, PLOVER.path).record)
        row = _row(upgrades(PLOVER, settle), "drive.lead")
        assert row is not None
        assert (row.change.was, row.change.to) == ("10 mm", "20 mm")
        assert again.settings.axes["x"].speed_mm_s.advised == row.advised_mm_s
        assert row.gain_pct == pytest.approx(100)
        # Y is like X, so it gets the screw and the steps too.
        assert {each.key: each.to for each in row.others} == {"axes.x.steps_per_mm": "80", "axes.y.steps_per_mm": "80"}
        assert not any(finding.id == "steps-mismatch" for finding in row.brings)

    def test_best_first(self):
        gains = [row.gain_pct for row in upgrades(PLOVER, settle).rows]
        assert gains == sorted(gains, reverse=True)
        assert len(gains) >= 3

    def test_where_pulses_rule_a_supply_buys_nothing_and_that_is_said(self):
        found = upgrades(_card("plover", control__pulse_rate="9 kHz"), settle)
        assert (found.axis, found.ruled_by) == ("x", "pulse-rate")
        by_key = {row.change.key: row for row in found.rows}
        assert [row.gain_pct for row in found.rows[-2:]] == [0, 0]
        assert {row.change.key for row in found.rows[-2:]} == {"supply.voltage", "axes.x.motor.holding_torque"}
        # 60 x 9000 pulses / 160 steps x 0.8: at half the steps, or with twice the pulses, full torque rules.
        assert found.advised_mm_s * MINUTE == pytest.approx(0.8 * 9000 / 160 * 60)
        for key in ("axes.x.driver.microsteps", "control.pulse_rate", "axes.x.drive.lead"):
            assert by_key[key].gain_pct > 60, key
            assert by_key[key].used_pct == pytest.approx(100 * (3000 / 2700 - 1)), key
        assert "axes.x.moving_mass" not in by_key
        assert "axes.x.drive.ends" not in by_key

    def test_where_whip_rules_the_screw_is_what_counts(self):
        found = upgrades(_card("plover", axes__x__drive__span="3 m", axes__x__travel="2.8 m"), settle)
        assert found.ruled_by == "whip"
        assert found.advised_mm_s * MINUTE == pytest.approx(0.9 * 2212.41, abs=5e-3)
        ends, thick = _row(found, "drive.ends"), _row(found, "drive.diameter")
        assert ends is not None
        # Roots of the beam's frequency equation, fixed-fixed over fixed-simple: Thomson, Theory of Vibration with
        # Applications, table 9.5-1, from memory.
        assert ends.gain_pct == pytest.approx(100 * ((4.73004 / 3.92660) ** 2 - 1), abs=1e-3)
        assert thick is not None
        assert (thick.change.to, [each.to for each in thick.others]) == ("20 mm", ["17.2 mm"])
        assert thick.gain_pct == pytest.approx(100 * (17.2 / 13.2 - 1)), "critical speed goes with the root"
        assert [row.change.key for row in found.rows[:3]] == [
            "axes.x.drive.lead",
            "axes.x.drive.ends",
            "axes.x.drive.diameter",
        ]

    def test_where_the_torque_is_not_enough_what_makes_it_enough_comes_first(self):
        card = _card("plover", axes__x__moving_mass="150 kg", axes__x__acceleration="1500 mm/s^2")
        found = upgrades(card, settle)
        assert (found.axis, found.ruled_by, found.advised_mm_s) == ("x", "torque", 0)
        helps = {row.change.key: row for row in found.rows if row.gain_pct is None}
        assert {"axes.x.drive.lead", "axes.x.motors", "axes.x.moving_mass", "axes.x.motor.holding_torque"} == set(helps)
        assert [row.gain_pct for row in found.rows[: len(helps)]] == [None] * len(helps)
        for row in helps.values():
            changed = changed_machine(card, {each.key: each.to for each in (row.change, *row.others)})
            assert settle(changed.record).settings.axes["x"].speed_mm_s.advised == row.advised_mm_s > 0
            assert row.used_pct is None
        assert helps["axes.x.drive.lead"].change.to == "5 mm", "half the lead pushes twice as hard"
        supply = _row(found, "supply.voltage")
        assert supply is not None
        assert supply.gain_pct == 0, "more volts push no harder from rest"

    def test_a_supply_that_the_drivers_do_not_bear_is_not_offered(self):
        assert _row(upgrades(_card("plover", axes__z__driver__max_voltage="47 V"), settle), "voltage") is None
        row = _row(upgrades(_card("plover", axes__z__driver__max_voltage="48 V"), settle), "voltage")
        assert row is not None
        assert any((each.id, each.about) == ("voltage-high", "z") for each in row.brings)

    def test_what_brings_a_no_go_is_not_offered(self):
        # Over 2.8 m the screw bears 791 N before it bows: enough for 760 N, not for half again as much.
        card = _card("plover", axes__x__drive__span="2.8 m", axes__x__travel="2.6 m")
        bigger = what_if(card, {"axes.x.motor.holding_torque": "2.7 N*m"}, settle)
        assert ("buckling", Level.NO_GO) in {(each.id, each.level) for each in bigger.told.brings}
        assert _row(upgrades(card, settle), "holding_torque") is None

    def test_the_larger_motor_is_several_of_the_same_side_by_side(self):
        row = _row(upgrades(PLOVER, settle), "holding_torque")
        assert row is not None
        assert {each.key.split(".")[-1]: each.to for each in row.others} == {
            "rated_current": "4.5 A", "current": "4.5 A", "resistance": "0.733333 ohm", "inductance": "2.53333 mH",
            "rotor_inertia": "690 g*cm^2",
        }  # fmt: skip
        changed = changed_machine(PLOVER, {each.key: each.to for each in (row.change, *row.others)})
        old, new = (settle(card.record).settings.axes["x"].torques for card in (PLOVER, changed))
        assert old is not None
        assert new is not None
        # At any speed it pulls half again as much, so full torque ends where it did.
        assert new.standing_n_m.expected == pytest.approx(1.5 * old.standing_n_m.expected)
        assert new.full_torque_rpm == pytest.approx(old.full_torque_rpm, rel=1e-5)

    def test_sizes_are_those_of_the_machines_own_unit(self):
        rows = upgrades(_card("heron-with-labels"), settle).rows
        (lead,) = [row for row in rows if row.change.key.endswith("lead")]
        assert (lead.change.was, lead.change.to) == ("0.5 in", "1 in")
        assert {each.key: each.to for each in lead.others} == {"axes.y.steps_per_inch": "1600"}

    def test_a_belt_is_geared_otherwise(self):
        card = _card("heron-with-labels", axes__x__speed="900 in/min")
        found = upgrades(card, settle)
        assert found.axis == "x"
        row = _row(found, "drive.reduction")
        assert row is not None
        assert (row.change.was, row.change.to, row.gain_pct) == ("3", "1.5", pytest.approx(100))
        assert not any("screw" in row.change.key or ".drive.ends" in row.change.key for row in found.rows)

    def test_without_a_number_on_the_card_nothing_is_offered_for_it(self):
        found = upgrades(_card("heron", supply__current="5 A"), settle)
        assert all(row.change.key not in {"supply.voltage", "control.pulse_rate"} for row in found.rows)


class TestHoldingBack:
    def test_least_room_first(self):
        assert holding_back(settle(_card("plover", axes__y__speed="4000 mm/min").record)) == "y"
        assert holding_back(settle(_card("plover", axes__z__speed="4000 mm/min").record)) == "z"

    def test_of_axes_with_the_same_room_the_one_with_least_torque_left(self):
        outcome = settle(PLOVER.record)
        x, y = (outcome.settings.axes[name] for name in ("x", "y"))
        assert x.speed_mm_s.advised == y.speed_mm_s.advised
        assert x.torques is not None
        assert y.torques is not None
        assert x.torques.cautious_ratio < y.torques.cautious_ratio
        assert holding_back(outcome) == "x"
        assert holding_back(settle(_card("plover", axes__y__moving_mass="70 kg").record)) == "y"

    def test_an_axis_without_an_advised_speed_is_no_candidate(self):
        outcome = settle(PLOVER.record)
        bare = {
            name: replace(axis, speed_mm_s=replace(axis.speed_mm_s, advised=None, ruled_by=None))
            for name, axis in outcome.settings.axes.items()
        }

        def with_axes(axes: dict[str, AxisSettings]) -> SettingsOutcome:
            return replace(outcome, settings=replace(outcome.settings, axes=axes))

        assert holding_back(with_axes(bare | {"z": outcome.settings.axes["z"]})) == "z"
        assert holding_back(with_axes(bare)) is None
        assert upgrades(PLOVER, lambda _machine: with_axes(bare)) == Upgrades()


def _fake(
    speed_of: Callable[[Machine], float], found: Callable[[Machine], tuple[Finding, ...]]
) -> Callable[[Machine], SettingsOutcome]:
    """Return a way to settle machines that gives X a speed [mm/s] of our own making."""

    def fake(machine: Machine) -> SettingsOutcome:
        outcome = settle(machine)
        axes = {
            name: replace(axis, speed_mm_s=replace(axis.speed_mm_s, advised=speed_of(machine) if name == "x" else 1e6))
            for name, axis in outcome.settings.axes.items()
        }
        return SettingsOutcome(machine=machine, settings=replace(outcome.settings, axes=axes), findings=found(machine))

    return fake


class TestWithAnotherWayToSettle:
    """Ranks by whatever it is told, and knows nothing of its own about machines."""

    def test_ranks(self):
        def speed(machine: Machine) -> float:
            mass = machine.axes["x"].moving_mass_kg
            assert mass is not None
            return 1000 / mass.value + machine.axes["x"].motors

        found = upgrades(PLOVER, _fake(speed, lambda _machine: ()))
        gains = {row.change.key: row.gain_pct for row in found.rows}
        before = 1000 / 14 + 1
        assert gains["axes.x.moving_mass"] == pytest.approx(100 * ((1000 / 11.2 + 1) / before - 1))
        assert gains["axes.x.motors"] == pytest.approx(100 / before)
        assert list(gains) == ["axes.x.moving_mass", "axes.x.motors", "supply.voltage", "axes.x.motor.holding_torque"]
        assert list(gains.values())[2:] == [0, 0]

    def test_what_makes_it_slower_is_told_only_where_everybody_asks(self):
        def speed(machine: Machine) -> float:
            assert machine.supply is not None
            assert machine.supply.voltage_v is not None
            mass = machine.axes["x"].moving_mass_kg
            assert mass is not None
            return 100 * 36 / machine.supply.voltage_v.value + mass.value

        found = upgrades(PLOVER, _fake(speed, lambda _machine: ()))
        assert [row.change.key for row in found.rows] == ["axes.x.motor.holding_torque", "supply.voltage"]
        assert found.rows[1].gain_pct == pytest.approx(100 * ((75 + 14) / 114 - 1))

    def test_a_no_go_is_left_out_and_an_ask_is_told(self):
        def found(machine: Machine) -> tuple[Finding, ...]:
            two = machine.axes["x"].motors == 2
            level = Level.NO_GO if two else Level.ASK
            light = machine.axes["x"].moving_mass_kg
            assert light is not None
            asks = Finding(id="whip", level=Level.ASK, case="near", about="x")
            return (Finding(id="buckling", level=level, case="near", about="x"), *([asks] if light.value < 14 else []))

        got = upgrades(
            PLOVER,
            _fake(lambda machine: 100 / machine.axes["x"].moving_mass_kg.value + machine.axes["x"].motors, found),
        )  # type: ignore[union-attr]
        keys = [row.change.key for row in got.rows]
        assert "axes.x.motors" not in keys
        assert [each.id for each in got.rows[keys.index("axes.x.moving_mass")].brings] == ["whip"]


class TestVariations:
    ROWS = variations(PLOVER, settle)

    # Plover X as a longer machine: 0.8 of the critical speed of the screw at that free length.
    @pytest.mark.parametrize(("span", "limit"), [("2000 mm", 4977.92), ("2500 mm", 3185.87), ("3000 mm", 2212.41)])
    def test_the_whip_limit_of_a_longer_screw(self, span, limit):
        row = _variant(self.ROWS, "x", "axes.x.drive.span", span)
        assert row.whip_mm_s is not None
        assert row.whip_mm_s * MINUTE == pytest.approx(limit, abs=5e-3)

    @pytest.mark.parametrize(("span", "level"), [("2000 mm", None), ("2500 mm", "ask"), ("3000 mm", "no-go")])
    def test_a_longer_screw_at_the_speed_entered(self, span, level):
        row = _variant(self.ROWS, "x", "axes.x.drive.span", span)
        found = [(each.level.value, each.case) for each in row.brings if each.id == "whip"]
        assert found == ([(level, "little-room" if level == "ask" else "beyond")] if level else [])

    @pytest.mark.parametrize("name", NAMES)
    def test_each_axis_begins_as_it_is_and_each_row_is_a_full_run(self, name):
        card = _card(name)
        rows = variations(card, settle)
        assert [row.axis for row in rows if row.change is None] == list(AXES)
        for row in rows:
            changes = {each.key: each.to for each in (row.change, *row.others) if each}
            axis = settle(changed_machine(card, changes).record).settings.axes[row.axis]
            assert axis.steps is not None
            assert (row.steps_per_mm, row.steps_per_inch) == (axis.steps.per_mm, axis.steps.per_inch)
            assert row.advised_mm_s == axis.speed_mm_s.advised
            assert row.ruled_by == axis.speed_mm_s.ruled_by
            assert row.whip_mm_s == axis.speed_mm_s.limits["whip"]
            assert axis.steps.slip is None, "the steps to enter follow the parts"

    def test_inch_and_metric_agree(self):
        for row in (*self.ROWS, *variations(_card("heron-with-labels"), settle)):
            assert isinstance(row.steps_per_mm, Fraction)
            assert row.steps_per_inch == row.steps_per_mm * Fraction("25.4")

    def test_what_is_varied(self):
        keys = {(row.axis, row.change.key, row.change.to) for row in self.ROWS if row.change}
        assert {
            ("x", "axes.x.driver.microsteps", "4"), ("x", "axes.x.driver.microsteps", "16"),
            ("x", "axes.x.drive.lead", "5 mm"), ("x", "axes.x.drive.lead", "20 mm"),
            ("x", "supply.voltage", "24 V"), ("x", "supply.voltage", "48 V"),
            ("x", "axes.x.motor.holding_torque", "2.7 N*m"), ("x", "axes.x.drive.span", "1250 mm"),
            ("y", "axes.y.drive.span", "2160 mm"), ("z", "axes.z.drive.lead", "16 mm"),
        } <= keys  # fmt: skip
        belts = {row.change.key for row in variations(_card("heron"), settle) if row.axis == "x" and row.change}
        # A belt has no lead and no span, and Heron has no labels yet.
        assert belts == {"axes.x.driver.microsteps", "axes.x.drive.teeth"}

    def test_a_value_that_no_card_may_have_is_left_out(self):
        rows = variations(_card("plover", axes__x__drive__span="9 m", axes__x__travel="8 m"), settle)
        spans = [row.change.to for row in rows if row.change and row.change.key == "axes.x.drive.span"]
        assert spans == ["11.25 m", "13.5 m", "18 m"], "more than 20 m is refused on any card"
        rows = variations(_card("plover", axes__x__driver__microsteps="1"), settle)
        steps = [row.change.to for row in rows if row.change and row.change.key == "axes.x.driver.microsteps"]
        assert steps == ["2"], "there is no half a microstep"
        rows = variations(_card("plover", axes__z__driver__max_voltage="47 V"), settle)
        assert {row.change.to for row in rows if row.change and row.change.key == "supply.voltage"} == {"24 V"}
        rows = variations(_card("plover", axes__x__drive__lead="50 mm"), settle)
        leads = [row.change.to for row in rows if row.change and row.change.key == "axes.x.drive.lead"]
        assert leads == ["25 mm"], "no screw is coarser"


def _percent(before: float, after: float) -> float | None:
    if before == 0:
        return 0.0 if after == 0 else None
    return 0.0 if after == before else 100 * (after / before - 1)


@given(
    st.dictionaries(
        st.sampled_from(["axes.x.drive.span", "axes.x.drive.lead", "axes.z.drive.diameter", "axes.x.travel"]),
        st.floats(20, 4000).map(lambda size: f"{size:.4g} mm"),
        max_size=2,
    ),
    st.sampled_from(["18 V", "24 V", "36 V", "50 V"]),
    st.sampled_from(["1", "5", "8", "64"]),
)
@settings(deadline=None, max_examples=25)
def test_on_any_machine_a_gain_is_a_full_run(sizes, voltage, microsteps):
    try:
        card = changed_machine(PLOVER, sizes | {"supply.voltage": voltage, "axes.x.driver.microsteps": microsteps})
    except InputError:
        return
    found = upgrades(card, settle)
    if found.axis is None:
        return
    before = settle(card.record).settings.axes[found.axis].speed_mm_s.advised
    for row in found.rows:
        changed = changed_machine(card, {each.key: each.to for each in (row.change, *row.others)})
        after = settle(changed.record).settings.axes[found.axis].speed_mm_s
        assert before is not None
        assert (after.advised, after.entered) == (row.advised_mm_s, found.entered_mm_s)
        assert row.gain_pct == (_percent(before, row.advised_mm_s))
        assert row.used_pct == _percent(min(before, after.entered), min(row.advised_mm_s, after.entered))


class TestData:
    """The file of what is tried: no slip of the pen in it."""

    ROWS = (*DATA["upgrades"], *DATA["variations"])
    KEYS = frozenset(".".join(key.path) for key in card_keys("machine"))

    def test_every_row_has_its_source(self):
        for row in (*self.ROWS, *DATA["sizes"].values(), *DATA["others"].values()):
            assert row["source"].split(":")[0].split(",")[0] in {
                "our choice", "common practice", "ISO 3408-2", "ISO 2902", "ASME B1.5-1997",
            }  # fmt: skip

    def test_every_key_may_stand_on_a_card(self):
        others = [row for each in DATA["others"].values() for row in each["keys"]]
        keys = [row["key"] for row in (*self.ROWS, *others)] + [
            f"axes.*.{row['most']}" for row in self.ROWS if "most" in row
        ]
        assert {key.replace("*", axis) for key in keys for axis in AXES} <= self.KEYS

    def test_every_row_says_in_one_way_what_the_new_value_is(self):
        for row in self.ROWS:
            assert len({"to", "step", "times"} & set(row)) == 1, row["key"]
            assert ("step" not in row) or ("sizes" in row), row["key"]
            assert "sizes" not in row or row["sizes"] in DATA["sizes"], row["key"]
            assert row.get("others", "motor") in DATA["others"], row["key"]

    def test_sizes_rise_and_have_units(self):
        for name, row in DATA["sizes"].items():
            kind = Kind.VOLTAGE if name == "supply_voltage" else Kind.LENGTH
            for unit in set(row) - {"source"}:
                assert parse(f"1 {unit}", kind).value > 0
                assert row[unit] == sorted(set(row[unit]))
                assert len(row[unit]) > 3


def test_coils_in_series_reach_less_than_half_the_speed():
    # The same motor with four times R and L and half the current ends its full pull at 212.793 turns a minute.
    rows = [
        row
        for row in variations(load_machine(TIDEWATER / "plover.toml"), settle)
        if row.change and row.change.key == "axes.x.motor.inductance"
    ]
    parallel, series = sorted(rows, key=lambda row: -(row.advised_mm_s or 0.0))
    assert series.advised_mm_s is not None
    assert series.advised_mm_s * MINUTE == pytest.approx(2127.93, rel=5e-6)
    assert {other.key: other.to for other in series.others} == {
        "axes.x.motor.resistance": "4.4 ohm",
        "axes.x.motor.rated_current": "1.5 A",
        "axes.x.driver.current": "1.5 A",
    }
    assert parallel.ruled_by == series.ruled_by == "full-torque"

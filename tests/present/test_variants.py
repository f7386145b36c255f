"""Machines with other parts, as documents and as pages that fit a terminal of 80 columns."""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.app.cards import changed_machine, load_machine
from cutworthy.app.variants import upgrades, variations, what_if
from cutworthy.model.machine import Machine
from cutworthy.model.settings import Limit
from cutworthy.model.variants import Change, Upgrade, Upgrades, Variant
from cutworthy.present.page import Line
from cutworthy.present.settings_document import settings_document
from cutworthy.present.variants import (
    NUMBERS,
    RULES,
    WORDS,
    differing,
    upgrades_document,
    upgrades_page,
    variations_document,
    variations_page,
    what_if_document,
    what_if_page,
)
from cutworthy.workflows.settle import SettingsOutcome, SettleRequest
from cutworthy.workflows.settle import settle as settle_request

TIDEWATER = Path(__file__).resolve().parents[2] / "examples" / "tidewater"
CARDS = {name: load_machine(TIDEWATER / f"{name}.toml") for name in ("plover", "heron", "heron-with-labels")}
PLOVER = CARDS["plover"]
WIDE = 80
INCH = 25.4


def settle(machine: Machine) -> SettingsOutcome:
    return settle_request(SettleRequest(machine=machine))


def _texts(lines: list[Line]) -> list[str]:
    return [line.text for line in lines]


def _strict(document: Any) -> Any:
    return json.loads(json.dumps(document, allow_nan=False))


# X of Plover on a control that is too slow for its speed.
SLOW = changed_machine(PLOVER, {"control.pulse_rate": "9 kHz"})


class TestUpgrades:
    def test_the_keys_of_the_contract_and_those_added(self):
        rows = _strict(upgrades_document(upgrades(PLOVER, settle), "mm"))
        assert rows
        for row in rows:
            assert list(row)[:5] == ["key", "from", "to", "axis", "gain_pct"]
            assert set(row) - {"key", "from", "to", "axis", "gain_pct"} == {
                "used_pct", "with", "advised_mm_min", "ruled_by", "brings", "says",
            }  # fmt: skip
        (supply,) = [row for row in rows if row["key"] == "supply.voltage"]
        assert (supply["from"], supply["to"], supply["axis"]) == ("36 V", "48 V", "x")
        assert supply["gain_pct"] == pytest.approx(35.4366, abs=1e-4)
        assert {"id": "voltage-high", "level": "ask", "about": "x"} in supply["brings"]

    def test_what_is_fast_enough_already_gains_nothing_from_more_volts(self):
        rows = upgrades_document(upgrades(PLOVER, settle), "mm")
        (says,) = [row["says"] for row in rows if row["key"] == "supply.voltage"]
        assert says == "X may go 6176 mm/min instead of 4560 mm/min. At the 3000 mm/min entered it buys nothing."

    def test_what_another_rule_decides_buys_no_speed(self):
        rows = {row["key"]: row["says"] for row in upgrades_document(upgrades(SLOW, settle), "mm")}
        assert rows["supply.voltage"] == "It buys no speed: X stays at 2700 mm/min, ruled by pulse rate."
        assert rows["control.pulse_rate"] == "X may go 4560 mm/min instead of 2700 mm/min, then ruled by full pull."

    def test_inches(self):
        rows = upgrades_document(upgrades(SLOW, settle), "inch")
        (says,) = [row["says"] for row in rows if row["key"] == "control.pulse_rate"]
        assert says == "X may go 179.5 in/min instead of 106.3 in/min, then ruled by full pull."

    def test_the_page(self):
        texts = _texts(upgrades_page(upgrades(PLOVER, settle), "mm"))
        assert texts[0] == "What to change next"
        assert texts[1] == "  X has the least room: 3000 mm/min entered, 4560 mm/min advised, by full pull."
        assert texts[2] == "  More than is entered: enter more before you buy anything."
        assert "   100 %  lead 20 mm, now 10 mm                       9120 mm/min  full pull" in texts
        assert "          with axes.x.steps_per_mm = 80" in texts
        (ask,) = [text for text in texts if "the driver bears" in text]
        assert ask.startswith("          [?] X: ")
        assert ask.endswith(" So on Y, Z.")
        assert texts[[text.startswith("    none") for text in texts].index(True)].endswith("4560 mm/min  full pull")
        assert not any("enter more" in text for text in _texts(upgrades_page(upgrades(SLOW, settle), "mm")))

    def test_columns_are_in_line_and_fit(self):
        for card in (*CARDS.values(), SLOW):
            lines = upgrades_page(upgrades(card, settle), card.record.units)
            table = [line.text for line in lines if line.indent == 0 and line.text.startswith("    ")]
            assert all(len(text) <= WIDE for text in table)
            assert {text[64] for text in table} <= {"n", "d"}, "the unit of the speed ends there, as does its head"
            assert all(text[65:67] == "  " for text in table)

    def test_a_change_that_is_too_long_for_its_column_leaves_out_what_was(self):
        change = Change(key="axes.x.drive.ends", was="x" * 40, to="fixed-fixed")
        row = Upgrade(
            change=change, others=(), gain_pct=5.0, used_pct=5.0, advised_mm_s=50.0, ruled_by="whip", brings=()
        )
        found = Upgrades(axis="x", entered_mm_s=60, advised_mm_s=47, ruled_by="whip", rows=(row,))
        assert f"     5 %  {'screw ends fixed-fixed':<42}  3000 mm/min  whip" in _texts(upgrades_page(found, "mm"))

    def test_where_there_was_no_speed(self):
        row = Upgrade(
            change=Change(key="axes.x.motors", was="1", to="2"),
            others=(), gain_pct=None, used_pct=None, advised_mm_s=50.0, ruled_by="full-torque", brings=(),
        )  # fmt: skip
        found = Upgrades(axis="x", entered_mm_s=60, advised_mm_s=0, ruled_by="torque", rows=(row,))
        (told,) = _strict(upgrades_document(found, "mm"))
        assert (told["gain_pct"], told["used_pct"]) == (None, None)
        assert told["says"] == "X may go 3000 mm/min; without it there is not torque enough at any speed."
        assert any(text.startswith("  from 0  motors 2, now 1 ") for text in _texts(upgrades_page(found, "mm")))

    @pytest.mark.parametrize(
        ("found", "says"),
        [
            (Upgrades(), "Nobody can tell"),
            (Upgrades(axis="x", entered_mm_s=9, advised_mm_s=8, ruled_by="whip"), "None of the changes"),
            (
                Upgrades(axis="x", entered_mm_s=9, advised_mm_s=0, ruled_by="torque"),
                "None of them makes the torque enough",
            ),
        ],
    )
    def test_without_a_row_the_page_says_why(self, found, says):
        assert says in _texts(upgrades_page(found, "mm"))[-1]
        assert upgrades_document(found, "mm") == []


class TestVariations:
    ROWS = variations(PLOVER, settle)
    BOTH = (*ROWS, *variations(CARDS["heron-with-labels"], settle))

    def test_the_document_has_both_units_to_seven_digits(self):
        for row, told in zip(self.BOTH, _strict(variations_document(self.BOTH)), strict=True):
            for name in ("entered", "advised", "whip"):
                mm, inch = told["speed_mm_min"][name], told["speed_in_min"][name]
                if mm is None:
                    assert inch is None
                else:
                    assert inch * INCH == pytest.approx(mm, rel=1e-8)
            assert isinstance(row.steps_per_mm, Fraction)
            assert float(told["steps_per_inch"]) == pytest.approx(float(told["steps_per_mm"]) * INCH, rel=1e-9)
            assert float(told["steps_per_mm"]) == pytest.approx(float(row.steps_per_mm), rel=1e-9)

    def test_the_row_of_the_card_has_no_change(self):
        first = _strict(variations_document(self.ROWS))[0]
        assert (first["axis"], first["key"], first["from"], first["to"], first["with"]) == ("x", None, None, None, {})
        assert (first["steps_per_mm"], first["steps_per_inch"], first["ruled_by"]) == ("160", "4064", "full-torque")

    def test_what_is_not_known_is_null_and_a_dash(self):
        row = Variant(
            axis="x", change=None, entered_mm_s=50, steps_per_mm=None, steps_per_inch=None, advised_mm_s=None,
            ruled_by=None, whip_mm_s=None,
        )  # fmt: skip
        (told,) = _strict(variations_document([row]))
        assert told["steps_per_mm"] is None
        assert told["speed_mm_min"] == {"entered": 3000, "advised": None, "whip": None}
        assert variations_page([row], "mm")[-1].text.split() == ["as", "on", "the", "card", "-", "-", "-", "-"]

    @staticmethod
    def _columns(rows: tuple[Variant, ...], units: Any) -> list[list[str]]:
        """Return the columns of the lines of the table by their places alone."""
        lines = variations_page(rows, units)
        table = [
            line.text for line in lines if line.indent == 0 and len(line.text) > 70 and "steps/mm" not in line.text
        ]
        assert len(table) == len(rows)
        assert all(len(text) <= WIDE for text in table)
        cuts = [(4, 26), (26, 36), (36, 46), (46, 56), (58, 71), (71, 80)]
        assert all(text[place] == " " for text in table for place in (26, 36, 46, 56, 57, 71)), "columns do not touch"
        return [[text[start:end].strip() for start, end in cuts] for text in table]

    @pytest.mark.parametrize("units", ["mm", "inch"])
    def test_the_table_says_what_the_rows_say(self, units):
        factor = 60 / INCH if units == "inch" else 60
        for row, (name, per_mm, per_inch, advised, rule, whip) in zip(
            self.BOTH, self._columns(self.BOTH, units), strict=True
        ):
            assert name.endswith(row.change.to if row.change else "as on the card")
            assert float(per_mm) == float(f"{float(row.steps_per_mm or 0):.7g}")
            assert float(per_inch) == float(f"{float(row.steps_per_inch or 0):.7g}")
            assert float(advised) == float(f"{(row.advised_mm_s or 0) * factor:.7g}")
            assert rule == RULES[row.ruled_by or ""]
            assert whip == "-" if row.whip_mm_s is None else float(whip) == float(f"{row.whip_mm_s * factor:.7g}")

    def test_inch_and_metric_tables_agree_to_seven_digits(self):
        for mm, inch in zip(self._columns(self.BOTH, "mm"), self._columns(self.BOTH, "inch"), strict=True):
            for column in (3, 5):
                if mm[column] != "-":
                    assert float(inch[column]) * INCH == pytest.approx(float(mm[column]), rel=1e-6)

    def test_a_longer_screw_is_marked_and_told_why(self):
        texts = _texts(variations_page(self.ROWS, "mm"))
        at = next(i for i, text in enumerate(texts) if "span 2500 mm" in text)
        assert texts[at].startswith("[?] span 2500 mm")
        assert texts[at].endswith("3185.869")
        assert any("little room" in text for text in texts[at + 1 : at + 3])
        at = next(i for i, text in enumerate(texts) if "span 3000 mm" in text)
        assert texts[at].startswith("[X] span 3000 mm")
        assert texts[at].endswith("2212.409")

    def test_each_axis_has_its_head(self):
        texts = _texts(variations_page(self.ROWS, "mm"))
        assert [text for text in texts if text.endswith("entered")] == [
            "X, 3000 mm/min entered",
            "Y, 3000 mm/min entered",
            "Z, 1200 mm/min entered",
        ]
        heads = [text for text in texts if "steps/mm" in text]
        assert len(heads) == 3
        assert all(text[26:36].strip() == "steps/mm" and text[58:71].strip() == "by" for text in heads)


class TestWhatIf:
    def test_the_document(self):
        tried = what_if(PLOVER, {"axes.x.drive.lead": "20 mm", "axes.x.steps_per_mm": "80"}, settle)
        told = _strict(what_if_document(tried.told, "mm"))
        assert {"changes", "axes", "findings"} <= set(told)
        assert told["changes"] == {"axes.x.drive.lead": "20 mm", "axes.x.steps_per_mm": "80"}
        assert told["from"] == {"axes.x.drive.lead": None, "axes.x.steps_per_mm": "160"}
        after = _strict(settings_document(tried.after.machine, tried.after.settings, tried.after.findings))
        assert told["axes"] == after["axes"]
        assert told["findings"] == after["findings"]
        assert {"key": "axes.x.steps_per_mm", "before": "160", "after": "80"} in told["differs"]

    def test_the_differences_lead_from_one_document_to_the_other(self):
        tried = what_if(PLOVER, {"axes.x.drive.lead": "20 mm", "supply.voltage": "48 V"}, settle)
        before, after = (
            _strict(settings_document(each.machine, each.settings, ())) for each in (tried.before, tried.after)
        )
        for each in tried.told.differences:
            assert _at(before, each.key) == each.before
            assert _at(after, each.key) == each.after
            _put(before, each.key, each.after)
        assert before == after

    def test_the_page(self):
        changes = {"supply.voltage": "48 V", "axes.x.drive.span": "3000 mm", "axes.x.drag": "1 kg"}
        texts = _texts(what_if_page(what_if(PLOVER, changes, settle).told, "mm"))
        assert texts[:5] == [
            "What if",
            "  supply.voltage = 48 V, was 36 V",
            "  axes.x.drive.span = 3000 mm, was 1000 mm",
            "  axes.x.drag = 1 kg, was 12 N",
            '  axes.x.drag: "1 kg" is read as a weight, 9.807 N',
        ]
        assert "                                                     now                then" in texts
        assert "X   speed advised                            4560 mm/min         1991 mm/min" in texts
        assert "X   which is ruled by                          full pull                whip" in texts
        assert "Y   full pull up to                              456 rpm           617.6 rpm" in texts
        assert "New:" in texts
        assert any(text.startswith("  [X] NO-GO  X: ") for text in texts)
        assert "Gone:" not in texts

    def test_what_is_gone(self):
        long = changed_machine(PLOVER, {"axes.x.drive.span": "3000 mm"})
        texts = _texts(what_if_page(what_if(long, {"axes.x.drive.span": "1000 mm"}, settle).told, "mm"))
        assert "Gone:" in texts
        assert "New:" not in texts

    def test_inches(self):
        card = CARDS["heron-with-labels"]
        texts = _texts(what_if_page(what_if(card, {"axes.y.driver.microsteps": "16"}, settle).told, "inch"))
        assert any(text.split()[:4] == ["Y", "steps", "per", "inch"] for text in texts)
        assert not any("steps per mm" in text for text in texts if text.startswith("Y "))

    def test_nothing_changed(self):
        texts = _texts(what_if_page(what_if(PLOVER, {"supply.voltage": "36 V"}, settle).told, "mm"))
        assert texts == ["What if", "  supply.voltage = 36 V, was 36 V", "  It changes none of the numbers."]

    @pytest.mark.parametrize(
        "changes",
        [
            {"axes.x.drive.lead": "20 mm"}, {"axes.z.moving_mass": "40 kg"}, {"supply.voltage": "24 V"},
            {"axes.x.drive.kind": "belt", "axes.x.drive.tooth_pitch": "5 mm", "axes.x.drive.teeth": "20"},
            {"axes.x.driver.microsteps": "1024", "axes.x.steps_per_mm": "20480"},
        ],
    )  # fmt: skip
    def test_columns_are_in_line_and_fit(self, changes):
        for units in ("mm", "inch"):
            lines = what_if_page(what_if(PLOVER, changes, settle).told, units)  # type: ignore[arg-type]
            table = [line.text for line in lines if line.indent == 0 and line.text[:4].strip() in {"X", "Y", "Z"}]
            assert table
            assert all(len(text) == 76 for text in table)
            assert all(text[36] == text[56] == " " for text in table)

    def test_what_a_person_wrote_cannot_act_on_a_page(self):
        tried = what_if(PLOVER, {"supply.voltage": "48 V"}, settle)
        evil = "\x1b[31m48 V\u202e"
        told = replace(tried.told, changes=(Change(key="supply.voltage", was=evil, to=evil),), remarks=((evil, evil),))
        shown = json.dumps(what_if_document(told, "mm"), ensure_ascii=False) + "\n".join(
            _texts(what_if_page(told, "mm"))
        )
        assert "\x1b" not in shown
        assert "\u202e" not in shown
        assert "\\x1b[31m48 V\\u202e" in shown


class TestDiffering:
    def test_numbers_texts_and_lists(self):
        before = {"a": {"b": 1.0, "c": "x", "same": 3}, "list": [1, 2], "names": ["p"], "none": None}
        after = {"a": {"b": 2.0, "c": "y", "same": 3}, "list": [1, 5], "names": [], "none": 4}
        assert [(each.key, each.before, each.after) for each in differing(before, after)] == [
            ("a.b", 1.0, 2.0),
            ("a.c", "x", "y"),
            ("list[2]", 2, 5),
            ("names", "p", None),
            ("none", None, 4),
        ]

    @given(
        st.dictionaries(
            st.sampled_from("abc"), st.one_of(st.none(), st.integers(), st.lists(st.integers(), max_size=3))
        )
    )
    def test_the_same_is_no_difference(self, document):
        assert differing(document, json.loads(json.dumps(document))) == ()


class TestWords:
    def test_every_rule_of_a_speed_has_its_word_which_fits_its_column(self):
        assert set(RULES) == set(get_args(Limit))
        assert max(map(len, RULES.values())) <= 13

    def test_every_key_that_is_tried_has_its_word(self):
        data = tomllib.loads((files("cutworthy.reference") / "upgrades.toml").read_text(encoding="utf-8"))
        for row in (*data["upgrades"], *data["variations"]):
            key = row["key"].replace("axes.*.", "")
            assert key in WORDS

    def test_every_number_that_is_shown_is_in_the_document(self):
        outcome = settle(PLOVER.record)
        whole = settings_document(outcome.machine, outcome.settings, ())
        for key, words, _ in NUMBERS:
            assert _at(whole["supply"] if key == "needed_a" else whole["axes"]["z"], key) is not None
            assert len(words) < 32


def _at(document: Mapping[str, Any], key: str) -> Any:
    """Return what stands under a dotted key, lists counted from 1."""
    value: Any = document
    for part in key.replace("]", "").replace("[", ".").split("."):
        value = value[int(part) - 1] if isinstance(value, list) else value[part]
    return value


def _put(document: dict[str, Any], key: str, new: Any) -> None:
    outer, _, last = key.replace("]", "").replace("[", ".").rpartition(".")
    place = _at(document, outer)
    place[int(last) - 1 if isinstance(place, list) else last] = new

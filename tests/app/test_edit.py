"""A card is changed as a careful person would: the lines that were meant, and not a byte of the others."""

import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from simulated import Control, drive

from cutworthy.app.cards import machine_from_text
from cutworthy.app.cards.edit import changed_text
from cutworthy.app.files import write_new
from cutworthy.app.measure import measure
from cutworthy.app.trials import make_trials
from cutworthy.errors import FileError
from cutworthy.model.quantity import Origin
from cutworthy.program import ReadOptions, read_program

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
DAY = date(2026, 3, 14)
RATE = {"value": "240 1/s", "plus_minus": "5 1/s", "origin": "measured", "date": DAY, "with": "timed runs, timing.csv"}
RATE_LINE = (
    'block_rate = { value = "240 1/s", plus_minus = "5 1/s", origin = "measured", date = 2026-03-14, '
    'with = "timed runs, timing.csv" }'
)
ENTRIES = {"control.corners": "overlap", "control.block_rate": RATE}

CARD = """\
# Plover, as it stands in the Tidewater Workshop.
[machine]
name = "Plover"      # painted grey
units = "mm"

[control]   # bought used
corners = "unknown"      # nobody knows
rapids   =   'straight'
\t# the seller said so:
block_delete = "off"

# Two supplies were tried.
[supply]
voltage = "36 V"
"""


def lines_of(text):
    return text.splitlines(keepends=True)


def gone_and_new(old, new):
    """Return the lines that are only in the old text and only in the new, and assert that the rest kept its order."""
    before, after = lines_of(old), lines_of(new)
    gone = [line for line in before if line not in after]
    fresh = [line for line in after if line not in before]
    assert [line for line in before if line not in gone] == [line for line in after if line not in fresh]
    return gone, fresh


def test_a_value_is_replaced_and_its_remark_stays():
    new = changed_text(CARD, {"control.corners": "overlap"})
    assert new == CARD.replace('"unknown"', '"overlap"')


def test_every_other_line_is_kept_byte_for_byte():
    gone, fresh = gone_and_new(CARD, changed_text(CARD, ENTRIES))
    assert gone == ['corners = "unknown"      # nobody knows\n']
    assert fresh == ['corners = "overlap"      # nobody knows\n', f"{RATE_LINE}\n"]


def test_a_new_key_stands_with_its_table_and_not_under_the_heading_of_the_next():
    lines = changed_text(CARD, ENTRIES).splitlines()
    assert lines.index(RATE_LINE) == lines.index('block_delete = "off"') + 1
    assert lines[lines.index("[supply]") - 1] == "# Two supplies were tried."


@pytest.mark.parametrize("name", ["plover", "heron", "heron-with-labels"])
def test_the_cards_of_the_workshop_keep_every_line_but_the_rule(name):
    text = (TIDEWATER / f"{name}.toml").read_text(encoding="utf-8")
    gone, fresh = gone_and_new(text, changed_text(text, ENTRIES))
    assert gone == (['corners = "unknown"\n'] if name == "plover" else [])
    assert fresh == ['corners = "overlap"\n', f"{RATE_LINE}\n"]


@pytest.mark.parametrize("end", ["\n", "", "\n\n", "\n# the end\n"])
def test_a_table_that_is_missing_is_added(end):
    text = f'# a card\n[machine]\nname = "Plover"{end}'
    new = changed_text(text, ENTRIES)
    assert new.startswith(text)
    assert tomllib.loads(new) == {**tomllib.loads(text), "control": {"corners": "overlap", "block_rate": RATE}}


@pytest.mark.parametrize(
    "control",
    [
        '[control]\ncorners = "stop"\nblock_rate = "100 1/s"\nrapids = "straight"\n',
        '[control]\ncorners = "stop"\nblock_rate = { value = "100 1/s", origin = "guessed" }\nrapids = "straight"\n',
        '[control]\nblock_rate.value = "100 1/s"\nblock_rate.origin = "guessed"\nrapids = "straight"\n',
        '[control]\nrapids = "straight"\n[control.block_rate]\nvalue = "100 1/s"\n',
        '["control"]\n"corners" = "stop"\n\'rapids\' = "straight"\n',
        '[control]\nrapids = "straight"\n',
    ],
)
def test_however_the_table_is_written_the_rest_says_the_same(control):
    says = tomllib.loads(changed_text(f'[machine]\nname = "Plover"\n{control}[supply]\nvoltage = "36 V"\n', ENTRIES))
    assert says == {
        "machine": {"name": "Plover"},
        "control": {"corners": "overlap", "block_rate": RATE, "rapids": "straight"},
        "supply": {"voltage": "36 V"},
    }


@pytest.mark.parametrize("control", ['control = { corners = "stop" }\n', 'control.corners = "stop"\n'])
def test_a_table_in_one_line_stays_where_it_is(control):
    text = f'{control}[machine]\nname = "Plover"\n'
    new = changed_text(text, ENTRIES)
    assert new.endswith('[machine]\nname = "Plover"\n')
    assert tomllib.loads(new)["control"] == {"corners": "overlap", "block_rate": RATE}


def test_line_ends_of_a_card_from_another_editor_are_kept():
    new = changed_text(CARD.replace("\n", "\r\n"), ENTRIES)
    assert new.count("\n") == new.count("\r\n") == CARD.count("\n") + 1


def test_text_in_any_language_is_kept():
    text = CARD.replace("painted grey", "grün lackiert, möwengrau, 灰")
    assert changed_text(text, {"control.corners": "overlap"}) == text.replace('"unknown"', '"overlap"')


def test_text_with_quotes_stays_text():
    entry = {"value": "240 1/s", "with": 'timed runs, our "best" \\ worst.csv'}
    assert tomllib.loads(changed_text(CARD, {"control.block_rate": entry}))["control"]["block_rate"] == entry


def test_setting_what_is_there_already_changes_nothing():
    text = changed_text(CARD, ENTRIES)
    assert changed_text(text, ENTRIES) == text


@pytest.mark.parametrize("name", ["plover", "heron"])
def test_the_changed_card_loads_and_differs_only_where_said(name):
    path = TIDEWATER / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    old, new = (machine_from_text(each, path).record for each in (text, changed_text(text, ENTRIES)))
    rate = new.control.block_rate_hz
    assert (rate.value, rate.low, rate.high) == pytest.approx((240, 235, 245))
    assert (rate.origin, rate.date, rate.instrument) == (Origin.MEASURED, "2026-03-14", "timed runs, timing.csv")
    assert replace(new.control, corners="unknown", block_rate_hz=None) == old.control
    assert replace(new, control=old.control) == old


def test_a_file_that_is_there_is_never_written_over(tmp_path):
    file = tmp_path / "plover-2026-03-14.toml"
    write_new(file, CARD)
    with pytest.raises(FileError, match="plover-2026-03-14"):
        write_new(file, "other")
    assert file.read_text(encoding="utf-8") == CARD
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileError):
        write_new(tmp_path / "folder", "other")


@pytest.fixture
def timed(workshop):
    """Return a function that measures two runs of a control that keeps its speed around corners."""
    workshop.write()
    make_trials("timing", workshop.folder / "plover.toml", to=workshop.folder, runs=(), progress=lambda _share: None)
    control = Control(speeds=(50.0, 50.0, 20.0), accels=(400.0, 400.0, 200.0), corners="constant")
    rows = ""
    for file in sorted(workshop.folder.glob("timing-*.nc")):
        moves = read_program(file.read_bytes(), ReadOptions(), lambda _share: None).moves
        rows += f"{file.name},{drive(moves, control):.1f}\n"
    (workshop.folder / "timing.csv").write_text(f"program,seconds\n{rows}", encoding="utf-8")

    def run(day=DAY, card="plover.toml"):
        return measure(
            "time",
            workshop.folder / "timing.csv",
            machine=workshop.folder / card,
            axis=None,
            write=True,
            today=day,
            progress=lambda _share: None,
        )

    return run


@pytest.mark.slow
def test_the_new_card_is_dated_and_the_next_day_there_is_another_and_both_leave_the_old_ones_alone(workshop, timed):
    old = workshop.folder / "plover.toml"
    bytes_before = old.read_bytes()
    assert timed().decision == "change"
    new = workshop.folder / "plover-2026-03-14.toml"
    assert old.read_bytes() == bytes_before
    gone, fresh = gone_and_new(old.read_text(encoding="utf-8"), new.read_text(encoding="utf-8"))
    assert gone == ['corners = "unknown"\n']
    assert fresh[0] == 'corners = "constant"\n'
    assert all("date = 2026-03-14" in line for line in fresh[1:])
    was, now = (machine_from_text(file.read_text(encoding="utf-8"), file).record for file in (old, new))
    assert replace(now, control=was.control) == was

    first = new.read_bytes()
    timed(date(2026, 3, 15))
    assert (old.read_bytes(), new.read_bytes()) == (bytes_before, first)
    assert (workshop.folder / "plover-2026-03-15.toml").exists()

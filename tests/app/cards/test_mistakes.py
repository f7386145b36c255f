"""Mistakes on cards: all at once, each with its line, what is wrong and what to write."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutworthy.app.cards import job_from_text, machine_from_text
from cutworthy.app.cards.job import JobFile
from cutworthy.app.cards.machine import MachineFile
from cutworthy.app.cards.tables import Table, table_in
from cutworthy.errors import CardError, Mistake

Find = Callable[..., Sequence[Mistake]]
Read = Callable[..., Any]


def test_all_mistakes_of_a_machine_card_at_once(mistakes: Find) -> None:
    text = """\
[machine]
nam = "Plover"
units = "cm"
spoilboard = 18
[supply]
voltage = "24000 V"
[spindle]
speed = ["24000 rpm", "8000 rpm"]
collet_nut = { diameter = "22 mm", lenght = "20 mm" }
[estop]
holds_z = "no"
[axes.x]
travel = "0.03 mm"
acceleration = "?"
[axes.x.drive]
kind = "screw"
friction = nan
root_diameter = "9 mm"
[axes.y]
like = "x"
range = ["5 mm", "-5 mm"]
"""
    found = mistakes(machine_from_text, text, Path("plover.toml"))
    assert [(each.line, each.key) for each in found] == [
        (1, "machine.name"),
        (2, "machine.nam"),
        (3, "machine.units"),
        (4, "machine.spoilboard"),
        (6, "supply.voltage"),
        (8, "spindle.speed"),
        (9, "spindle.collet_nut.length"),
        (9, "spindle.collet_nut.lenght"),
        (11, "estop.holds_z"),
        (12, "axes.x.speed"),
        (12, "axes.z"),
        (13, "axes.x.travel"),
        (14, "axes.x.acceleration"),
        (17, "axes.x.drive.friction"),
        (21, "axes.y.range"),
    ]


def test_the_message_has_file_line_key_and_advice(machine: Read) -> None:
    with pytest.raises(CardError) as caught:
        machine(edits={'"820 mm"': "820"})
    plover = Path("shop/plover.toml")
    assert str(caught.value) == f'{plover}, line 6: axes.x.travel: 820 has no unit; write travel = "820 mm"'


# What is put on the smallest machine card, in [axes.z], and what is said of it.
@pytest.mark.parametrize(
    ("line", "key", "wrong", "write"),
    [
        ("drag = 12", "drag", "12 has no unit", 'write drag = "12 N"'),
        ("drag = '12'", "drag", '"12" has no unit', '"12 N"'),
        ("drag = true", "drag", "true is no quantity", 'write drag = "12 N"'),
        ("drag = []", "drag", "a list is no quantity", 'write drag = "12 N"'),
        ("drag = 1979-05-27", "drag", "1979-05-27 is no quantity", 'write drag = "12 N"'),
        ("drag = '12 mm'", "drag", "is a length, and a force is needed", '"12 N"'),
        ("drag = '1,5 N'", "drag", "has a comma", '"1.5 N"'),
        ("drag = '-5 N'", "drag", '"-5 N" is absurd', "0 N to 3000 N is sensible"),
        ("moving_mass = '0 kg'", "moving_mass", '"0 kg" is absurd', "0.05 kg to 3000 kg is sensible"),
        ("moving_mass = '0 lb'", "moving_mass", '"0 lb" is absurd', "0.11 lb to 6610 lb is sensible"),
        ("steps_per_mm = 0.03", "steps_per_mm", "0.03 is absurd", "0.5 to 100000 is sensible"),
        (
            "steps_per_mm = '160'",
            "steps_per_mm",
            '"160" is no plain number',
            "write steps_per_mm = 160, without quotes",
        ),
        ("steps_per_mm = nan", "steps_per_mm", "nan is no plain number", "160"),
        ("steps_per_mm = -inf", "steps_per_mm", "-inf is no plain number", "160"),
        (f"steps_per_mm = {10**400}", "steps_per_mm", "that number is no plain number", "160"),
        ("steps_per_mm = 1\nsteps_per_inch = 25.4", "steps_per_inch", "cannot stand beside", "only one"),
        ("range = ['0 mm', '1 mm']", "range", "cannot stand beside travel", "only one"),
        ("motors = 2.0", "motors", "2.0 is no whole number", "write motors = 2, without quotes"),
        ("motors = true", "motors", "true is no whole number", "without quotes"),
        ("motors = 0", "motors", "0 is absurd", "1 to 4 is sensible"),
        ("motors = '?'", "motors", "not filled in yet", "write motors = 2"),
        ("homes_to = 'left'", "homes_to", '"left" is not one of', 'write "minus", "plus", "none" or "unknown"'),
        ("homes_to = '?'", "homes_to", "not filled in yet", 'write "minus", "plus"'),
        ("homes_to = 1", "homes_to", "1 is not one of the choices", '"minus"'),
        ("motor = 3", "motor", "3 is no table", "[axes.z.motor]"),
        ("drive = {}", "drive.kind", "is missing", 'write kind = "screw"'),
        (
            "drive = { kind = 'belt', tooth_pitch = '1 mm', module = '1 mm' }",
            "drive.module",
            "cannot stand",
            "only one",
        ),
        ("drive = { kind = 'screw', lead = '9 mm', pitch = '2 mm', starts = 4 }", "drive.lead", "not pitch", "alone"),
        (
            "drive = { kind = 'screw', diameter = '8 mm', root_diameter = '8 mm' }",
            "drive.root_diameter",
            "not smaller",
            "",
        ),
        ("drive = { kind = 'screw', brake = 'yes' }", "drive.brake", "neither true nor false", "without quotes"),
        ("drag = { plus_minus = '1 N' }", "drag.value", "is missing", 'write value = "12 N"'),
        ("drag = { value = '9 N', plus_minus = '-1 N' }", "drag.plus_minus", "absurd", "without a sign"),
        ("drag = { value = '9 N', plus_minus = '1 mm' }", "drag.plus_minus", "is a length", "12 N"),
        ("drag = { value = '9 N', origin = 'felt' }", "drag.origin", '"felt" is no origin', "label, measured, guessed"),
        ("drag = { value = '9 N', origin = [] }", "drag.origin", "a list is no origin", "label, measured, guessed"),
        ("drag = { value = '9 N', date = '2026-03-14' }", "drag.date", "is no date", "2026-03-14, without quotes"),
        ("drag = { value = '9 N', date = 2026-03-14T10:00:00 }", "drag.date", "is no date", "without quotes"),
        ("drag = { value = '9 N', with = '' }", "drag.with", "is empty", "bathroom scale"),
        ("drag = { value = '9 N', plusminus = '1 N' }", "drag.plusminus", "no such key", "did you mean plus_minus?"),
        ("accelerration = 1", "accelerration", "there is no such key", "did you mean acceleration?"),
        ("qqq = 1", "qqq", "there is no such key", "the keys here are travel, range, speed"),
    ],
)
def test_mistakes_on_an_axis(machine: Read, mistakes: Find, line: str, key: str, wrong: str, write: str) -> None:
    (found,) = mistakes(machine, f"{line}\n")
    assert (found.key, found.line) == (f"axes.z.{key}", 20 if "\n" in line else 19)
    assert wrong in found.wrong
    assert write in found.write


# What is put in place of what on the smallest job card, and what is said of it.
@pytest.mark.parametrize(
    ("old", "new", "key", "wrong", "write"),
    [
        ('"plaque.nc"', '""', "program", "is empty", 'write program = "plaque.nc"'),
        ('"plaque.nc"', '"?"', "program", "not filled in yet", 'write program = "plaque.nc"'),
        ('"plaque.nc"', "3", "program", "3 is no text", '"plaque.nc", in quotes'),
        ('"plaque.nc"', "'a\\b.nc'", "program", "has a backslash", "write / between folders"),
        ('"plaque.nc"', '"a\\u0000b"', "program", "control characters", "plaque.nc"),
        ('"white oak"', f'"{"x" * 300}"', "board.material", "is too long", "white oak"),
        ('["300 mm", "140 mm", "18 mm"]', '"300 mm"', "board.size", "needs 3 values", '["300 mm", "140 mm", "18 mm"]'),
        ('["300 mm", "140 mm", "18 mm"]', '["300 mm", "140 mm"]', "board.size", "needs 3 values", "write size"),
        ('"140 mm"', "140", "board.size[2]", "140 has no unit", 'write "140 mm"'),
        ('"140 mm"', '"?"', "board.size[2]", "not filled in yet", 'write "300 mm"'),
        ('"18 mm"', '"18 km"', "board.size[3]", "a unit that is not known", "write m"),
        ('"18 mm"', '"1800 mm"', "board.size[3]", "absurd", "0.1 mm to 1000 mm is sensible"),
        ('"left"', '"center"', "zero.x", "no place on the board", '"left", "centre", "right", or a length'),
        ('"front"', '"left"', "zero.y", "no place on the board", "a length from the front edge"),
        ('"left"', '"5"', "zero.x", "has no unit", '"5 mm"'),
        ('"left"', "5", "zero.x", "5 has no unit", 'write x = "5 mm"'),
        ('"left"', '{ value = "5 mm", plus_minus = "1 mm" }', "zero.x.plus_minus", "has no use here", "of its own"),
        ('"top"', '"middle"', "zero.z", "not one of the choices", 'write "top" or "bottom"'),
        ('z = "top"', 'z = "top"\nsystem = "G53"', "zero.system", "not one of the choices", '"G54"'),
        ('"flat"', '"flatt"', "bits[1].kind", "not one of the choices", '"flat", "ball"'),
        ("flutes = 2", 'flutes = "2"', "bits[1].flutes", '"2" is no whole number', "write flutes = 2, without quotes"),
        ("flutes = 2", "flutes = 0", "bits[1].flutes", "absurd", "1 to 12"),
        ("flutes = 2", "flutes = 2\ntool = 0", "bits[1].tool", "absurd", "1 to 99999"),
        ("flutes = 2", "flutes = 2\ncorner_radius = '4 mm'", "bits[1].corner_radius", "more than half", "check"),
        ("flutes = 2", "flutes = 2\ntip = '6 mm'", "bits[1].tip", "not smaller than diameter", "diameter"),
        ("flutes = 2", "flutes = 2\nchip = ['0.2 mm', '0.1 mm']", "bits[1].chip", "from more to less", "smaller"),
        ("[board]", "clamps = 3\n[board]", "clamps", "3 is no table", "[[clamps]] with name, from, to, height"),
    ],
)
def test_mistakes_on_a_job(job: Read, mistakes: Find, old: str, new: str, key: str, wrong: str, write: str) -> None:
    (found,) = mistakes(job, edits={old: new})
    assert found.key == key
    assert wrong in found.wrong
    assert write in found.write
    assert found.line is not None


BIT = "[[bits]]\n{tool}kind = 'flat'\ndiameter = '6 mm'\nflutes = 2\nstickout = '35 mm'\n"
CLAMP = "[[clamps]]\nname = '{name}'\nfrom = ['{x} mm', '0 mm']\nto = ['20 mm', '20 mm']\nheight = '20 mm'\n"


def test_two_bits_with_one_number(job: Read, mistakes: Find) -> None:
    (found,) = mistakes(job, BIT.format(tool="tool = 3\n"), edits={"[[bits]]": "[[bits]]\ntool = 3"})
    assert (found.key, found.line, found.wrong) == ("bits[2].tool", 20, "stands at bits[1] too")


def test_several_bits_need_numbers(job: Read, mistakes: Find) -> None:
    (found,) = mistakes(job, BIT.format(tool="tool = 3\n"))
    assert (found.key, found.wrong) == ("bits[1].tool", "is missing, and there are several bits")


def test_two_clamps_with_one_name(job: Read, mistakes: Find) -> None:
    (found,) = mistakes(job, CLAMP.format(name="left", x=0) + CLAMP.format(name=" left ", x=0))
    assert (found.key, found.wrong) == ("clamps[2].name", "stands at clamps[1] too")


def test_a_clamp_inside_out(job: Read, mistakes: Find) -> None:
    (found,) = mistakes(job, CLAMP.format(name="left", x=20))
    assert (found.key, found.wrong) == ("clamps[1].to", "is not behind and to the right of from")


def test_faults_between_tables_are_found_beside_others(job: Read, mistakes: Find) -> None:
    found = mistakes(job, CLAMP.format(name="a", x=20) + CLAMP.format(name="a", x=0).replace("'20 mm'\n", "'?'\n"))
    assert {each.key for each in found} == {"clamps[1].to", "clamps[2].name", "clamps[2].height"}


@pytest.mark.parametrize(
    ("y", "z", "expected"),
    [
        ("y", "y", {("axes.y.like", "goes round in a circle")}),
        ("x", "z", {("axes.z.like", "goes round in a circle")}),
        ("z", "y", {("axes.y.like", "goes round in a circle"), ("axes.z.like", "goes round in a circle")}),
        ("w", "x", {("axes.y.like", '"w" is not one of the choices')}),
    ],
)
def test_like_in_circles(machine: Read, mistakes: Find, y: str, z: str, expected: set[tuple[str, str]]) -> None:
    found = mistakes(machine, edits={"[axes.y]": f"[axes.y]\nlike = '{y}'", "[axes.z]": f"[axes.z]\nlike = '{z}'"})
    assert {(each.key, each.wrong) for each in found} == expected


def test_like_an_axis_that_is_not_there(machine: Read, mistakes: Find) -> None:
    found = mistakes(machine, "like = 'y'\n", edits={"[axes.y]": "[axes.x.motor]"})
    assert ("axes.z.like", "there is no [axes.y]") in {(each.key, each.wrong) for each in found}


def test_a_fault_is_told_once_though_another_axis_is_like_it(machine: Read, mistakes: Find) -> None:
    edits = {"[axes.x]\ntravel": "[axes.x]\ndrag = '9 mm'\ntravel", "[axes.y]": "[axes.y]\nlike = 'x'"}
    assert [each.key for each in mistakes(machine, edits=edits)] == ["axes.x.drag"]
    edits["[axes.y]"] = "[axes.y]\nlike = 'x'\ndrag = '9 mm'"
    assert [each.key for each in mistakes(machine, edits=edits)] == ["axes.x.drag", "axes.y.drag"]


@pytest.mark.parametrize(
    ("read", "text", "wrong"),
    [
        (
            machine_from_text,
            'program = "a.nc"\nmachine = "b.toml"\n',
            "this is a job card, and a machine card is needed",
        ),
        (machine_from_text, "[[bits]]\ntool = 1\n", "this is a job card"),
        (machine_from_text, 'job = "a.toml"\n[seen]\n', "this is an evidence card, and a machine card is needed"),
        (job_from_text, '[machine]\nname = "Plover"\n', "this is a machine card, and a job card is needed"),
        (job_from_text, "[axes.x]\n", "this is a machine card"),
        (job_from_text, "[seen]\n", "this is an evidence card, and a job card is needed"),
    ],
)
def test_the_wrong_card_is_told_in_one_sentence(mistakes: Find, read: Read, text: str, wrong: str) -> None:
    (found,) = mistakes(read, text, Path("card.toml"))
    assert wrong in found.wrong
    assert found.write


@pytest.mark.parametrize("text", ["# nothing yet\n", "x = 1\n"])
def test_a_card_without_anything(mistakes: Find, text: str) -> None:
    found = mistakes(job_from_text, text, Path("card.toml"))
    assert {each.key for each in found if each.wrong == "is missing"} == {"program", "machine", "board", "zero", "bits"}
    says = {each.key: each.write for each in found}
    assert says["bits"] == "write the table [[bits]] with kind, diameter, flutes, stickout"
    found = mistakes(machine_from_text, "[axes]\n", Path("card.toml"))
    says = {each.key: each.write for each in found}
    assert says["axes.x"] == "write the table [axes.x] with travel or range, speed, acceleration"


@pytest.mark.parametrize(
    ("line", "write"),
    [
        ("travel = 820 mm", "in quotes"),
        ('size = "3/4""', "single quotes"),
        ("name = Plover", "in quotes"),
        ('name = "Plover', "close the quotes"),
        ('name = """Plover', "close the quotes"),
        ("size = [1, 2", "close the bracket"),
        ("name", "write key = value"),
        ("= 5", "begin the line with a key"),
        ('program = "shop\\plaque.nc"', "write / between folders"),
        ("good = 2", "stands twice"),
        ("good.inner = 2", "stands twice"),
        ("a = 1_", "in quotes"),
        ("\x00", "begin the line with a key"),
    ],
)
def test_what_is_no_toml(mistakes: Find, line: str, write: str) -> None:
    (found,) = mistakes(job_from_text, f"good = 1\n{line}\n", Path("card.toml"))
    assert (found.line, found.key) == (2, "")
    assert "cannot be read" in found.wrong
    assert write in found.write


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 5000])
def test_what_is_beyond_the_reader(mistakes: Find, value: str) -> None:
    (found,) = mistakes(job_from_text, f"a = {value}\n", Path("card.toml"))
    assert (found.line, found.key, found.wrong) == (None, "", "the text cannot be read")


def test_two_tables_of_one_name(mistakes: Find) -> None:
    (found,) = mistakes(job_from_text, "[board]\n[board]\n", Path("card.toml"))
    assert (found.line, found.write) == (
        2,
        "this table stands twice: keep one; bits and clamps stand in two brackets, as [[clamps]]",
    )


VALUES = st.one_of(
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=8),
    st.just("?"),
    st.dates(),
    st.lists(st.integers(), max_size=3),
)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])  # a card has some 150 keys to draw for
@given(st.data())
def test_any_value_is_read_or_told(data: st.DataObject) -> None:
    """Whatever a card holds, the answer is a record or mistakes with advice, never anything else."""
    shape = data.draw(st.sampled_from([MachineFile, JobFile]))
    text = "\n".join(_scrawl(shape, data, ()))
    read = machine_from_text if shape is MachineFile else job_from_text
    try:
        answer = [read(text, Path("card.toml")).record]
    except CardError as error:
        answer = [mistake.wrong and mistake.write for mistake in error.mistakes]
    assert answer
    assert all(answer)


def _scrawl(table: type[Table], data: st.DataObject, path: tuple[str, ...]) -> list[str]:
    """Return lines of a card with any values under real keys."""
    lines, inner = [], []
    for key, field in table.by_key().items():
        if (below := table_in(field.annotation)) and data.draw(st.booleans()):
            inner += [f"[{'.'.join((*path, key))}]", *_scrawl(below, data, (*path, key))]
        elif data.draw(st.booleans()):
            lines.append(f"{key} = {_toml(data.draw(VALUES))}")
    return lines + inner


def _toml(value: object) -> str:
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(each):08x}" for each in value if not 0xD800 <= ord(each) <= 0xDFFF) + '"'
    return str(value).lower() if isinstance(value, bool | float) else str(value)


def _choices(annotation: object) -> set[str]:
    if get_origin(annotation) is Literal:
        return set(get_args(annotation))
    return {each for inner in get_args(annotation) for each in _choices(inner)}


def _tables(table: type[Table]) -> list[type[Table]]:
    inner = [below for field in table.by_key().values() if (below := table_in(field.annotation))]
    return [table, *(each for below in inner for each in _tables(below))]


RECORDS = {each for card in (MachineFile, JobFile) for each in _tables(card) if hasattr(each, "makes")}


@pytest.mark.parametrize("table", sorted(RECORDS, key=str), ids=lambda table: table.__name__)
def test_choices_are_those_of_the_record(table: type[Table]) -> None:
    hints = get_type_hints(table.makes)
    for key, field in table.by_key().items():
        if key in hints and _choices(field.annotation):
            assert _choices(field.annotation) == _choices(hints[key])


def test_a_number_without_quotes_is_found_on_its_line(mistakes: Find) -> None:
    (found,) = mistakes(job_from_text, "[board]\nspread = 32 mm\n\n[zero]\nx = 1\n", Path("card.toml"))
    assert found.line == 2
    assert "quotes" in found.write

"""What a person gets from ``cutworthy measure time``, and another program with ``--json``."""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest
from once import once
from printed import joined, numbers_of, told
from simulated import Control, drive

import cutworthy.app.measure  # noqa: F401 - its work is looked up in what is loaded
from cutworthy import trials
from cutworthy.app.cards import load_machine
from cutworthy.program import ReadOptions, read_program
from cutworthy.workflows.digest import axes_digest

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
RULES = {
    "stop": "stops at the end of every move",
    "tolerance": "rounds corners",
    "overlap": "starts each move while the one before still brakes",
    "constant": "does not slow down for corners",
}
NAMES = {1: "timing-1-corners.nc", 2: "timing-2-short-lines.nc", 3: "timing-3-longer-lines.nc"}
HIDDEN = {
    "stop": {"corners": "stop"},
    "tolerance": {"corners": "tolerance", "tolerance_mm": 0.05},
    "overlap": {"corners": "overlap"},
    "constant": {"corners": "constant"},
}
CLOSING = "It does not watch the machine: eyes, ears, hand on the stop."
JARGON = r"(?i)\b(nan|none|null|inf|infinity|chi|likelihood|misfit|sigma)\b|\de[+-]?\d|\w_\w|[{}<>]"


@cache
def seconds(number, rule):
    """Return what the simulated control needs for a run on Plover, as a phone shows it."""
    record = load_machine(TIDEWATER / "plover.toml").record
    (trial,) = trials.timing(record, axes_digest(record), (number,))
    moves = read_program(trial.text.encode("ascii"), ReadOptions(), lambda _share: None).moves
    control = Control(speeds=(50.0, 50.0, 20.0), accels=(400.0, 400.0, 200.0), **HIDDEN[rule])
    return f"{drive(moves, control):.1f}"


def times_of(rule):
    return [(number, seconds(number, rule)) for number in (1, 3)]


@cache
def runs():
    """Return the first runs for Plover."""
    record = load_machine(TIDEWATER / "plover.toml").record
    return trials.timing(record, axes_digest(record), (1, 3))


@pytest.fixture(scope="module", autouse=True)
def each_measured_once():
    """Decide once about the same machine and the same runs; cards are read, and answers told, each time."""
    with pytest.MonkeyPatch.context() as patch:
        once(patch, "app.measure", "measure_time", lambda request, _progress: repr(request))
        yield


@pytest.fixture
def times(workshop):
    """Write Plover, its runs and a file of readings; return the function that writes other readings."""
    workshop.write()
    for trial in runs():
        (workshop.folder / trial.name).write_text(trial.text, encoding="ascii")

    def write(rows, header="program,seconds"):
        text = "\n".join([header, *(f"{NAMES.get(run, run)},{seconds}" for run, seconds in rows), ""])
        (workshop.folder / "timing.csv").write_text(text, encoding="utf-8")

    return write


@pytest.fixture
def measure(command, times):
    """Measure the runs of a rule, or rows of readings, with more words."""

    def run(readings, *words, card="plover.toml"):
        times(times_of(readings) if isinstance(readings, str) else readings)
        return command("measure", "time", "timing.csv", "--machine", card, *words)

    return run


@pytest.mark.parametrize("rule", HIDDEN)
def test_the_page_says_what_the_control_does_and_what_to_enter(measure, rule):
    code, page, err = measure(rule)
    assert (code, err) == (0, "")
    assert page.startswith("[+] CHANGE: At corners your control does this: ")
    first, *_ = page.partition("\n\n")
    assert RULES[rule] in joined(first)
    assert f'Enter under [control]: corners = "{rule}"' in joined(page)
    assert ("corner_tolerance" in page) == (rule == "tolerance")
    assert joined(page).endswith(CLOSING)
    assert all(len(line) <= 80 for line in page.splitlines())
    for run in (1, 3):
        assert NAMES[run] in page


@pytest.mark.parametrize("rule", ["tolerance", "constant"])
def test_the_page_is_in_plain_words_and_plain_numbers(measure, rule):
    _, page, _ = measure(rule)
    words = page.replace("corner_tolerance", "").replace("block_rate", "")  # as they stand on a card
    assert not re.search(JARGON, words), re.search(JARGON, words)[0]


def test_a_rounding_is_told_in_the_units_of_the_card(measure, workshop):
    assert re.search(r"about 0\.05 mm", joined(measure("tolerance")[1]))
    text = (workshop.folder / "plover.toml").read_text(encoding="utf-8")
    (workshop.folder / "inches.toml").write_text(text.replace('units = "mm"', 'units = "inch"'), encoding="utf-8")
    assert re.search(r"about 0\.00(19|2) in", joined(measure("tolerance", card="inches.toml")[1]))


@pytest.mark.parametrize("rule", ["tolerance", "overlap"])
def test_the_document_has_the_keys_of_the_contract(measure, rule):
    code, out, err = measure(rule, "--json")
    document = told(out)
    assert (code, err) == (0, "")
    assert document.keys() >= {
        "kind", "axis", "results", "decision", "enter", "says", "do", "source", "working",
    }  # fmt: skip
    assert (document["kind"], document["axis"], document["decision"]) == ("time", None, "change")
    results = document["results"]
    assert results.keys() == {"corner_rule", "corner_tolerance_mm", "block_rate_hz"}
    for name, result in results.items():
        if name == "corner_tolerance_mm" and rule != "tolerance":
            assert result is None
        else:
            assert result.keys() >= {"value", "u", "dof", "low", "high", "unit"}
    assert results["corner_rule"]["value"] == rule
    assert results["corner_rule"]["odds"].keys() == set(HIDDEN)
    assert document["enter"]["corners"] == rule
    assert [row["program"] for row in document["runs"]] == [NAMES[1], NAMES[3]]
    for step in document["working"]:
        assert {"name", "formula", "inputs", "value", "unit", "source"} <= step.keys()
    numbers = numbers_of(document)
    assert numbers
    assert all(number == float(f"{number:.9g}") for number in numbers)


def test_page_and_document_say_the_same(measure):
    page, document = joined(measure("overlap")[1]), told(measure("overlap", "--json")[1])
    assert joined(document["says"]) in page
    assert joined(document["do"]) in page


def test_minutes_and_seconds_are_the_same_time(measure):
    one, other = (told(measure([(1, said), (3, "96.5")], "--json")[1]) for said in ("128.5", "2:08.5"))
    assert one == other


def test_write_puts_a_dated_card_beside_the_old_one_and_leaves_that_alone(measure, workshop):
    old = (workshop.folder / "plover.toml").read_bytes()
    code, page, _ = measure("tolerance", "--write")
    (new,) = workshop.folder.glob("plover-????-??-??.toml")
    assert code == 0
    assert (workshop.folder / "plover.toml").read_bytes() == old
    assert f"Written: {new.name}" in joined(page)
    assert "old card was left as it is" in joined(page)
    assert '-corners = "unknown"' in page
    assert '+corners = "tolerance"' in page
    control = tomllib.loads(new.read_text(encoding="utf-8"))["control"]
    assert control["corners"] == "tolerance"
    assert control["corner_tolerance"]["origin"] == "measured"
    assert control["corner_tolerance"]["date"].isoformat() in new.name
    assert "timing.csv" in control["corner_tolerance"]["with"]


def test_numbers_on_the_new_card_are_written_as_people_write_them(measure, workshop):
    measure("constant", "--write")
    (new,) = workshop.folder.glob("plover-*.toml")
    lines = [line for line in new.read_text(encoding="utf-8").splitlines() if line.startswith("block_rate")]
    assert not [line for line in lines if re.search(r"\de[+-]?\d", line)]


def test_without_write_nothing_is_written(measure, workshop):
    files = {file.name for file in workshop.folder.iterdir()}
    measure("constant")
    assert {file.name for file in workshop.folder.iterdir()} == files | {"timing.csv"}


def test_with_json_the_card_is_written_too(measure, workshop):
    code, out, err = measure("constant", "--write", "--json")
    assert (code, err) == (0, "")
    assert told(out)["decision"] == "change"
    assert len(list(workshop.folder.glob("plover-*.toml"))) == 1


def test_the_second_time_on_the_same_day_makes_a_second_card_unless_it_says_the_same(measure, workshop):
    measure("constant", "--write")
    (new,) = workshop.folder.glob("plover-*.toml")
    first = new.read_bytes()
    assert f"Written: {new.name}" in joined(measure("constant", "--write")[1])
    assert list(workshop.folder.glob("plover-*.toml")) == [new]
    code, out, _ = measure("overlap", "--write")
    assert code == 0
    assert f"Written: {new.stem}-2.toml" in joined(out)
    assert new.read_bytes() == first


def test_a_dated_card_gets_a_new_date_and_not_a_second_one(measure, workshop):
    dated = "plover-2026-03-14.toml"
    (workshop.folder / dated).write_bytes((workshop.folder / "plover.toml").read_bytes())
    _, out, _ = measure("constant", "--write", card=dated)
    (written,) = set(workshop.folder.glob("plover-*.toml")) - {workshop.folder / dated}
    assert re.fullmatch(r"plover-\d{4}-\d\d-\d\d\.toml", written.name)
    assert f"Written: {written.name}" in joined(out)


def test_a_card_that_says_so_already_is_left_and_no_other_is_written(measure, workshop):
    text = (workshop.folder / "plover.toml").read_text(encoding="utf-8")
    known = text.replace('corners = "unknown"', 'corners = "constant"\nblock_rate = "800 1/s"')
    (workshop.folder / "known.toml").write_text(known, encoding="utf-8")
    code, page, _ = measure("constant", "--write", card="known.toml")
    assert code == 0
    assert page.startswith("[+] LEAVE: ")
    assert "The card says so already" in joined(page)
    assert "Enter " not in page
    assert sorted(file.name for file in workshop.folder.glob("known*")) == ["known.toml"]
    assert told(measure("constant", "--json", card="known.toml")[1])["enter"] is None


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("first", "One run alone"),
        ("half", "None of the four rules explains"),
    ],
)
def test_readings_that_do_not_decide_are_to_be_repeated_and_nothing_is_written(measure, workshop, rows, said):
    (_, first), (_, second) = times_of("constant")
    half = [(1, f"{float(first) / 2:.1f}"), (3, f"{float(second) / 2:.1f}")]  # with the knob at 200 %
    rows = {"first": [(1, first)], "half": half}[rows]
    code, page, err = measure(rows, "--write")
    assert (code, err) == (3, "")
    assert page.startswith("[?] REPEAT: ")
    assert said in joined(page)
    assert "No card was written" in joined(page)
    assert "Enter " not in page
    assert not list(workshop.folder.glob("plover-*.toml"))
    code, out, _ = measure(rows, "--json")
    document = told(out)
    assert code == 3
    assert (document["decision"], document["enter"]) == ("repeat", None)


def test_two_rules_that_fit_alike_name_the_run_that_parts_them_and_what_to_type(measure, command, workshop):
    circles = (workshop.folder / NAMES[3]).read_text(encoding="ascii")
    (workshop.folder / "circles-too.nc").write_text(f"(once more)\n{circles}", encoding="ascii")
    rows = [(3, seconds(3, "constant")), ("circles-too.nc", seconds(3, "constant"))]
    code, page, _ = measure(rows)
    assert code == 3
    assert "These runs fit 2 rules" in joined(page)
    (run,) = re.findall(r"cutworthy trial timing .*--run (\d)", joined(page))
    assert run in "124"
    assert told(measure(rows, "--json")[1])["next_run"] == int(run)
    (words,) = re.findall(rf"cutworthy (trial timing .*?--run {run} --to .*?) writes it", joined(page))
    code, _, err = command(*words.split())
    assert (code, err) == (3, "")


def test_a_run_of_another_state_of_the_card_is_named(measure, workshop):
    text = (workshop.folder / "plover.toml").read_text(encoding="utf-8")
    other = text.replace('travel = "95 mm"', 'travel = "90 mm"')
    (workshop.folder / "other.toml").write_text(other, encoding="utf-8")
    _, page, _ = measure("constant", card="other.toml")
    assert f"{NAMES[1]} was made for another state of this card" in joined(page)
    assert told(measure("constant", "--json", card="other.toml")[1])["other_card"] == [NAMES[1], NAMES[3]]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["time"], "READINGS.csv"),
        (["time", "timing.csv"], "--machine"),
        (["tim", "timing.csv", "--machine", "plover.toml"], "'time'"),
        (["time", "timing.csv", "--machine", "no.toml"], "no.toml"),
        (["time", "timing.csv", "--machine", "."], "folder"),
        (["time", "timing.csv", "--machine", "timing.csv"], "timing.csv"),
        (["time", "timing.csv", "--machine", "board.toml"], "machine"),
        (["time", "no.csv", "--machine", "plover.toml"], "no.csv"),
        (["time", ".", "--machine", "plover.toml"], "folder"),
        (["time", "timing.csv/deeper.csv", "--machine", "plover.toml"], "timing.csv"),
        (["time", "timing.csv", "--machine", "plover.toml", "--axis", "x"], "--axis"),
        (["time", "timing.csv", "--machine", "plover.toml", "--axis", "w"], "--axis"),
        (["time", "timing.csv", "--machine", "plover.toml", "--run", "3"], "--run"),
    ],
)
def test_what_cannot_be_done_is_refused_in_plain_words(command, times, workshop, words, said):
    times(times_of("constant"))
    before = sorted(workshop.folder.iterdir())
    code, out, err = command("measure", *words)
    assert (code, out) == (2, "")
    assert said in err
    assert not re.search("Traceback|Errno", err)
    assert sorted(workshop.folder.iterdir()) == before


def test_every_mistake_in_the_readings_is_told_with_file_and_line(measure):
    code, out, err = measure([(1, "soon"), (3, "96.5"), ("", "12"), (3, "-1"), (1, "")])
    assert (code, out) == (2, "")
    assert [line.split(": ")[0] for line in err.splitlines()] == [f"timing.csv, line {n}" for n in (2, 4, 5)]


def test_programs_that_are_not_there_are_told_all_at_once_with_their_lines(measure, workshop):
    (workshop.folder / "inner").mkdir()
    code, out, err = measure([("gone.nc", "100"), (1, "128.6"), ("inner", "50"), ("gone-too.nc", "60")])
    assert (code, out) == (2, "")
    assert [line.split(": ")[0] for line in err.splitlines()] == [f"timing.csv, line {n}" for n in (2, 4, 5)]
    assert "gone.nc" in err.splitlines()[0]
    assert "folder" in err.splitlines()[1]


@pytest.mark.parametrize(
    "data", [b"", b"\x89PNG\r\n\x1a\n" + bytes(range(256)), b"program,seconds\na.nc,5\n", b"(a)\nM2\n"]
)
def test_a_file_that_moves_nothing_is_no_timed_run(measure, workshop, data):
    (workshop.folder / "photo.png").write_bytes(data)
    code, out, err = measure([(1, seconds(1, "constant")), ("photo.png", "96.5")])
    assert (code, out) == (2, "")
    assert "timing.csv, line 3" in err
    assert "photo.png" in err


@pytest.mark.parametrize("name", ["[bold red]a.nc", "a\u202eb.nc", "a\x1b[31m.nc"])
def test_names_of_programs_are_data(measure, workshop, name):
    (workshop.folder / name).write_bytes((workshop.folder / NAMES[1]).read_bytes())
    rows = [(name, seconds(1, "constant")), (3, seconds(3, "constant"))]
    code, page, _ = measure(rows)
    assert code == 0
    assert not set(page) & {"\x1b", "\u202e"}
    assert re.split("[\x1b\u202e]", name)[0] in page


def test_programs_lie_beside_the_readings_and_not_where_one_stands(command, times, workshop):
    times(times_of("constant"))
    runs = workshop.folder / "runs"
    runs.mkdir()
    for name in ("timing.csv", NAMES[1], NAMES[3]):
        (workshop.folder / name).rename(runs / name)
    code, page, _ = command("measure", "time", "runs/timing.csv", "--machine", "plover.toml", "--write")
    assert code == 0
    assert "CHANGE" in page
    assert len(list(workshop.folder.glob("plover-*.toml"))) == 1
    assert not list(runs.glob("*.toml"))


def test_stopped_means_nothing_was_written(measure, workshop, monkeypatch):
    def interrupted(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("cutworthy.app.measure.measure_time", interrupted)
    code, out, err = measure("constant", "--write")
    assert (code, out, err) == (130, "", "Stopped.\n")
    assert not list(workshop.folder.glob("plover-*.toml"))

"""What a person gets from ``cutworthy trial``, and another program with ``--json``."""

import re
from itertools import chain
from pathlib import Path

import pytest
from printed import joined, numbers_of, told

from cutworthy.program import ReadOptions, read_program

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
FILES = {
    "circle": ["circle-both-ways.nc"],
    "reversal": ["out-and-back.nc"],
    "square": ["square-at-speed.nc"],
}
CLOSING = "It does not watch the machine: eyes, ears, hand on the stop."


@pytest.fixture
def trial(command, workshop):
    """Write Plover with edits of its card, and make test programs."""

    def run(*words, **edits):
        workshop.write(machine=edits.get("machine"))
        return command("trial", *words)

    return run


def programs_in(folder):
    return sorted(file.name for file in folder.glob("*.nc") if file.name != "board.nc")


@pytest.mark.parametrize("kind", FILES)
def test_the_page_asks_for_room_and_says_where_the_program_is_and_what_to_do(trial, workshop, kind):
    code, page, err = trial(kind, "plover.toml", "--to", "runs")
    assert (code, err) == (3, "")
    assert page.startswith("[?] ASK: Look at these first.")
    assert "Test programs for Plover (plover.toml)" in page
    assert "Jog that far first, to all four corners" in joined(page)
    assert joined(page).endswith(CLOSING)
    assert all(len(line) <= 80 for line in page.splitlines())
    assert programs_in(workshop.folder / "runs") == FILES[kind]
    for name in FILES[kind]:
        assert f"Written runs/{name}" in joined(page)
    assert "read its head first. Router unplugged, bit out, hand on the stop." in joined(page)


def test_the_page_tells_no_number_as_a_machine_would(trial):
    for kind in FILES:
        _, page, _ = trial(kind, "plover.toml", "--to", kind)
        assert not re.search(r"(?i)\b(nan|none|null|inf)\b|\de[+-]?\d|\d\.\d{4}|[{}<>]", page)


def test_timing_writes_the_first_two_runs_and_says_how_to_go_on(trial, workshop):
    code, page, _ = trial("timing", "plover.toml", "--to", "runs")
    assert code == 3
    assert programs_in(workshop.folder / "runs") == ["timing-1-corners.nc", "timing-2-short-lines.nc"]
    assert "phone" in page
    assert "cutworthy measure time" in joined(page)


@pytest.mark.parametrize(
    ("runs", "made"),
    [
        (["4"], ["timing-4-fast-corners.nc"]),
        (["3", "4", "3"], ["timing-3-longer-lines.nc", "timing-4-fast-corners.nc"]),
    ],
)
def test_runs_are_chosen_by_number(trial, workshop, runs, made):
    words = chain.from_iterable(("--run", number) for number in runs)
    code, out, _ = trial("timing", "plover.toml", "--to", "runs", *words, "--json")
    assert code == 3
    assert [row["name"] for row in told(out)["programs"]] == made
    assert programs_in(workshop.folder / "runs") == made


def test_without_a_folder_it_writes_where_one_stands(trial, workshop):
    trial("square", "plover.toml")
    assert programs_in(workshop.folder) == FILES["square"]


def test_folders_that_are_not_there_are_made(trial, workshop):
    trial("square", "plover.toml", "--to", "runs/of/march")
    assert programs_in(workshop.folder / "runs" / "of" / "march") == FILES["square"]


@pytest.mark.parametrize("kind", FILES)
def test_the_document_tells_what_was_made_and_what_was_found(trial, workshop, kind):
    code, out, err = trial(kind, "plover.toml", "--to", "runs", "--json")
    document = told(out)
    assert (code, err) == (3, "")
    assert document.keys() >= {"kind", "verdict", "files", "programs", "findings"}
    assert (document["kind"], document["verdict"]) == (kind, "ask")
    assert [Path(file) for file in document["files"]] == [Path("runs", name) for name in FILES[kind]]
    for row in document["programs"]:
        assert row.keys() >= {"name", "room_mm", "time_s", "digest"}
        assert row["time_s"].keys() == {"low", "expected", "high"}
        assert 0 < row["time_s"]["low"] <= row["time_s"]["expected"] <= row["time_s"]["high"]
        assert re.fullmatch("[0-9a-f]{64}", row["digest"])
        text = (workshop.folder / "runs" / row["name"]).read_bytes()
        goes = read_program(text, ReadOptions(), lambda _share: None).everything
        assert row["room_mm"] == pytest.approx(goes.high_mm, abs=3e-4)  # ends are written to 0.0001 mm
    for finding in document["findings"]:
        assert finding.keys() >= {"id", "level", "about", "line", "numbers", "says", "do", "source"}
    assert max(finding["level"] == "ask" for finding in document["findings"])
    assert all(number == float(f"{number:.9g}") for number in numbers_of(document))


def test_page_and_document_say_the_same(trial):
    page = joined(trial("square", "plover.toml", "--to", "a")[1])
    for finding in told(trial("square", "plover.toml", "--to", "b", "--json")[1])["findings"]:
        assert joined(finding["says"]) in page
        assert joined(finding["do"]) in page


def test_inches_are_told_in_inches(command):
    _, page, _ = command("trial", "square", TIDEWATER / "heron.toml", "--to", "runs")
    (goes,) = re.findall(r"goes from its zero (.*?);", joined(page))
    assert re.fullmatch(r"7\.6 in to the right, 1\.6 in to the back, 0\.4 in up", goes)
    assert " mm" not in page
    assert "G20" in Path("runs/square-at-speed.nc").read_text(encoding="ascii")


def test_the_same_again_is_written_over_what_we_wrote(trial, workshop):
    first = trial("square", "plover.toml", "--to", "runs")
    text = (workshop.folder / "runs" / "square-at-speed.nc").read_bytes()
    assert trial("square", "plover.toml", "--to", "runs") == first
    assert (workshop.folder / "runs" / "square-at-speed.nc").read_bytes() == text


@pytest.mark.parametrize("there", [b"my own notes", b""])
def test_a_file_of_another_hand_is_left_alone(trial, workshop, there):
    mine = workshop.folder / "runs" / "square-at-speed.nc"
    mine.parent.mkdir()
    mine.write_bytes(there)
    code, out, err = trial("square", "plover.toml", "--to", "runs")
    assert (code, out) == (2, "")
    assert "square-at-speed.nc is there already" in err
    assert mine.read_bytes() == there


def test_after_a_change_of_the_card_the_refusal_says_what_can_be_done(trial, workshop):
    trial("square", "plover.toml", "--to", "runs")
    before = (workshop.folder / "runs" / "square-at-speed.nc").read_bytes()
    faster = {'speed = "3000 mm/min"': 'speed = "2800 mm/min"'}
    code, _, err = trial("square", "plover.toml", "--to", "runs", machine=faster)
    assert code == 2
    assert "--to" in err  # its name is not for the person to choose, its folder is
    assert (workshop.folder / "runs" / "square-at-speed.nc").read_bytes() == before
    assert trial("square", "plover.toml", "--to", "others", machine=faster)[0] == 3


@pytest.mark.parametrize("kind", [*FILES, "timing"])
def test_at_no_go_it_says_why_and_writes_nothing(trial, workshop, kind):
    words = ["--run", "4"] if kind == "timing" else []
    steps = {"steps_per_mm = 160": "steps_per_mm = 80"}
    code, page, err = trial(kind, "plover.toml", "--to", "runs", *words, machine=steps)
    assert (code, err) == (1, "")
    assert page.startswith("[X] NO-GO: Not written")
    assert "(steps-mismatch)" in page
    assert "Written  " not in page
    assert not (workshop.folder / "runs").exists()
    document = told(trial(kind, "plover.toml", "--to", "runs", *words, "--json", machine=steps)[1])
    assert (document["verdict"], document["files"]) == ("no-go", [])


def test_a_machine_without_the_room_is_refused_with_the_key_of_its_card(trial, workshop):
    code, out, err = trial("square", "plover.toml", "--to", "runs", machine={'"820 mm"': '"150 mm"'})
    assert (code, out) == (2, "")
    assert "190 mm" in err
    assert "axes.x.travel" in err
    assert not (workshop.folder / "runs").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "circle"),
        (["timing"], "MACHINE.toml"),
        (["squaer", "plover.toml"], "squaer"),
        (["square", "no.toml"], "no.toml"),
        (["square", "."], "folder"),
        (["square", "board.toml"], "machine"),
        (["square", "board.nc"], "board.nc"),
        (["square", "plover.toml", "--run", "1"], "--run"),
        (["timing", "plover.toml", "--run", "9"], "run 9"),
        (["timing", "plover.toml", "--run", "0"], "run 0"),
        (["timing", "plover.toml", "--run", "-1"], "run -1"),
        (["timing", "plover.toml", "--run", "first"], "--run"),
        (["square", "plover.toml", "--to", "board.nc"], "board.nc"),
        (["square", "plover.toml", "--to", "board.nc/runs"], "board.nc"),
        (["square", "plover.toml", "--to"], "--to"),
        (["square", "plover.toml", "--machine", "plover.toml"], "--machine"),
    ],
)
@pytest.mark.parametrize("json_too", [False, True])
def test_what_cannot_be_done_is_refused_and_nothing_is_written(trial, workshop, words, said, json_too):
    code, out, err = trial(*(["--json"] if json_too else []), *words)
    assert (code, out) == (2, "")
    assert said in err
    assert not re.search("Traceback|Errno", err)
    assert sorted(file.name for file in workshop.folder.iterdir()) == ["board.nc", "board.toml", "plover.toml"]


def test_an_unknown_run_is_answered_with_those_there_are(trial):
    assert "1, 2, 3, 4" in trial("timing", "plover.toml", "--run", "9")[2]


@pytest.mark.parametrize("name", ["[bold red]Plover[/]", "{0} %s", "(G0 X500) ; %"])
def test_the_name_of_a_machine_is_data(trial, workshop, name):
    code, page, _ = trial("square", "plover.toml", "--to", "runs", machine={'name = "Plover"': f'name = "{name}"'})
    assert code == 3
    assert name in joined(page)
    text = (workshop.folder / "runs" / "square-at-speed.nc").read_text(encoding="ascii")
    assert text.count("Machine: ") == 1
    read = read_program(text.encode("ascii"), ReadOptions(strict=True), lambda _share: None)
    assert read.problems == ()
    assert read.everything.high_mm == pytest.approx((190, 40, 10))


def test_stopped_means_nothing_was_written(trial, workshop, monkeypatch):
    def interrupted(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("cutworthy.app.trials.prove_trials", interrupted)
    assert trial("square", "plover.toml", "--to", "runs") == (130, "", "Stopped.\n")
    assert not (workshop.folder / "runs").exists()


def test_written_programs_are_measured_without_a_word_in_between(trial, command, workshop):
    trial("timing", "plover.toml", "--to", "runs", "--run", "4")
    (workshop.folder / "runs" / "mine.csv").write_text(
        "program,seconds\ntiming-4-fast-corners.nc,2:00\n", encoding="utf-8"
    )
    code, page, err = command("measure", "time", "runs/mine.csv", "--machine", "plover.toml")
    assert (code, err) == (3, "")
    assert "REPEAT" in page
    assert "another state" not in page

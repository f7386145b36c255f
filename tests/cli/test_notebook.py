"""The notebook at the terminal: kept only when asked, told in words, out to plain files and back."""

import csv
import json

import pytest
from conftest import TIDEWATER

from cutworthy.store import open_notebook

PLAQUE, PLOVER = TIDEWATER / "plaque.toml", TIDEWATER / "plover.toml"
READINGS = "# instrument: dial indicator\n# unit: mm\n# axis: x\nplace,from_minus,from_plus\n" + "1,0.1,0.15\n" * 3


@pytest.fixture
def book(monkeypatch, tmp_path):
    monkeypatch.setenv("CUTWORTHY_NOTEBOOK", str(tmp_path / "book" / "n.sqlite"))
    return tmp_path / "book" / "n.sqlite"


def kept_some(command, tmp_path):
    (tmp_path / "r.csv").write_text(READINGS, encoding="utf-8")
    assert command("prove", PLAQUE, "--keep")[0] == 0
    assert command("measure", "reversal", "r.csv", "--machine", PLOVER, "--keep")[0] == 0
    assert command("note", "new belt, “X”; 50 % tighter", "--machine", "Plover")[0] == 0


def test_nothing_is_kept_unasked(command, book):
    assert command("prove", PLAQUE)[0] == 0
    assert not book.exists()
    code, out, _ = command("history")
    assert code == 0
    assert "has nothing yet" in out


def test_a_long_history_says_that_there_is_more(command, book):
    notebook = open_notebook(book)
    for n in range(1, 201):
        notebook.keep_note(f"note {n}", machine=None, at=f"2026-01-01T{n // 60:02d}:{n % 60:02d}:00+00:00")
    assert "Older entries" not in command("history")[1]
    notebook.keep_note("note 201", machine=None, at="2026-01-02T00:00:00+00:00")
    out = command("history")[1]
    assert "note 201" in out
    assert "note 1\n" not in out
    assert "Older entries stand in the notebook too" in out
    assert len(json.loads(command("history", "--json")[1])["entries"]) == 200


def test_what_is_kept_is_told_in_words(command, book, tmp_path):
    kept_some(command, tmp_path)
    assert book.exists()
    _, out, _ = command("history", "Plover")
    told = " ".join(out.split())
    for words in ("[+] GO plaque.toml (plaque.nc)", "measured reversal of X, leave", "new belt, “X”; 50 % tighter"):
        assert words in told
    entries = json.loads(command("history", "--json")[1])["entries"]
    assert [entry["what"] for entry in entries] == ["note", "sitting", "card", "proof"]  # one card: it did not change
    assert "has nothing of Heron yet" in command("history", "Heron")[1]


def test_with_json_there_is_one_document_only(command, book):
    code, out, _ = command("prove", PLAQUE, "--keep", "--json")
    assert (code, json.loads(out)["verdict"]) == (0, "go")
    assert book.exists()


@pytest.mark.usefixtures("book")
def test_what_changed_between_two_cards(command, tmp_path):
    changed = tmp_path / "plover.toml"
    text = PLOVER.read_text(encoding="utf-8")
    changed.write_text(text.replace('voltage = "36 V"', 'voltage = "48 V"').replace('power_is = "input"\n', ""))
    code, out, _ = command("diff", PLOVER, changed)
    assert code == 0
    assert "supply.voltage: was 36 V, is 48 V" in out
    assert "spindle.power_is: gone, it was input" in out
    assert "Nothing changed." in command("diff", PLOVER, PLOVER)[1]
    for card in (PLOVER, changed):
        assert command("prove", PLAQUE, "--machine", card, "--keep")[0] in {0, 1, 3}
    _, out, _ = command("diff", "Plover")
    assert "supply.voltage: was 36 V, is 48 V" in out
    code, _, err = command("diff", "Heron")
    assert code == 2
    assert "has 0 cards" in err


@pytest.mark.usefixtures("book")
def test_out_to_plain_files_and_back(command, tmp_path, monkeypatch):
    kept_some(command, tmp_path)
    assert command("export", "out")[0] == 0
    rows = list(csv.DictReader((tmp_path / "out" / "proofs.csv").open(encoding="utf-8", newline="")))
    assert [row["verdict"] for row in rows] == ["go"]
    assert (tmp_path / "out" / "cards" / "000001.toml").read_text(encoding="utf-8") == PLOVER.read_text(
        encoding="utf-8"
    )
    assert (tmp_path / "out" / "sittings" / "000001.csv").read_text(encoding="utf-8") == READINGS
    before = json.loads(command("history", "--json")[1])
    code, _, err = command("export", "out")
    assert code == 2
    assert "not empty" in err
    monkeypatch.setenv("CUTWORTHY_NOTEBOOK", str(tmp_path / "other.sqlite"))
    assert command("import", "out")[0] == 0
    assert json.loads(command("history", "--json")[1]) == before
    assert json.loads(command("import", "out", "--json")[1])["added"]["proofs"] == 0


@pytest.mark.usefixtures("book")
def test_a_damaged_export_is_not_taken_in(command, tmp_path):
    kept_some(command, tmp_path)
    command("export", "out")
    (tmp_path / "out" / "proofs" / "000001.json").write_text("{", encoding="utf-8")
    before = command("history", "--json")[1]
    code, _, err = command("import", "out")
    assert code == 2
    assert "nothing was taken in" in err
    assert command("history", "--json")[1] == before


def test_a_notebook_that_cannot_be_is_told_and_the_verdict_stands(command, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    monkeypatch.setenv("CUTWORTHY_NOTEBOOK", str(tmp_path / "file" / "n.sqlite"))
    code, out, err = command("prove", PLAQUE, "--keep")
    assert code == 2
    assert out.startswith("[+] GO")
    assert "another place" in err


@pytest.mark.usefixtures("book")
def test_a_note_has_words(command):
    code, _, err = command("note", "  ")
    assert code == 2
    assert "nothing to note" in err

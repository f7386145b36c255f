"""The notebook keeps what it was given: through crashes, full disks, two hands, and the way out and back in."""

import json
import multiprocessing
import os
import signal
import sqlite3
import subprocess
import sys
import time

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutworthy.errors import StoreError
from cutworthy.store import open_notebook
from cutworthy.store.tables import METADATA

AT = "2025-03-01T12:00:0{}.000000+00:00"
WORDS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), min_size=1, max_size=60)


@pytest.fixture
def place(tmp_path):
    return tmp_path / "notebook.sqlite"


@pytest.fixture
def notebook(place):
    return open_notebook(place)


def proof(number, verdict="go"):
    return {
        "job": "board.toml", "job_text": "x = 1\n", "program": "board.nc", "program_sha256": "0" * 64,
        "verdict": verdict, "digest": f"{number:064x}", "outcome": {"verdict": verdict, "findings": [number]},
    }  # fmt: skip


def test_a_card_is_kept_once_until_it_changes(notebook):
    first = notebook.keep_card("Plover", "a = 1\n", at=AT.format(0), reason="new")
    assert notebook.keep_card("Plover", "a = 1\n", at=AT.format(1), reason="again") == first
    second = notebook.keep_card("Plover", "a = 2\n", at=AT.format(2), reason="belt")
    third = notebook.keep_card("Plover", "a = 1\n", at=AT.format(3), reason="back again")
    assert len({first, second, third}) == 3
    assert [text for _, _, text in notebook.cards("Plover")] == ["a = 1\n", "a = 2\n", "a = 1\n"]
    assert notebook.cards("Heron") == []


def test_the_history_is_the_newest_first_and_of_one_machine(notebook):
    notebook.keep_note("first", machine="Plover", at=AT.format(1))
    notebook.keep_proof(machine="Heron", card="b = 1\n", at=AT.format(2), proof=proof(1, "no-go"))
    notebook.keep_sitting(
        machine="Plover", card="a = 1\n", at=AT.format(3), kind="scale", axis="x", text="commanded\n",
        outcome={"decision": "leave", "says": "nothing"},
    )  # fmt: skip
    assert [entry.what for entry in notebook.history("Plover")] == ["card", "sitting", "note"]
    assert {entry.what for entry in notebook.history("Heron")} == {"card", "proof"}
    assert [entry.at for entry in notebook.history()] == sorted((e.at for e in notebook.history()), reverse=True)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(machine=WORDS, text=WORDS)
def test_any_words_come_back_as_they_were(tmp_path_factory, machine, text):
    own = open_notebook(tmp_path_factory.mktemp("words") / "n.sqlite")
    own.keep_note(text, machine=machine, at=AT.format(0))
    (entry,) = own.history(machine)
    assert (entry.machine, entry.told["text"]) == (machine, text)


def test_the_steps_make_just_the_tables_that_are_written_down(place, notebook):
    assert notebook.history() == []
    engine = sa.create_engine(f"sqlite:///{place}")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []
    engine.dispose()


def test_half_a_proof_is_none(place, notebook):
    """Its card is written with it, or not at all."""
    bad = proof(1) | {"verdict": None}
    with pytest.raises(StoreError):
        notebook.keep_proof(machine="Plover", card="a = 1\n", at=AT.format(0), proof=bad)
    assert notebook.history() == []
    assert notebook.cards("Plover") == []
    assert open_notebook(place).history() == []


WRITER = """
import sys
from cutworthy.store import open_notebook
own = open_notebook(sys.argv[1])
print("open", flush=True)
for number in range(100_000):
    own.keep_proof(machine="Plover", card=f"a = {number}\\n", at=f"{number:08d}", proof={
        "job": "j", "job_text": "t", "program": "p", "program_sha256": "0", "verdict": "go", "digest": str(number),
        "outcome": {"n": list(range(500))}})
    print(number, flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="a process there is not killed by a signal")
def test_what_was_said_to_be_kept_survives_a_killed_process(place):
    with subprocess.Popen([sys.executable, "-c", WRITER, str(place)], stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout.readline() == "open\n"
        for _ in range(20):
            told = int(writer.stdout.readline())
        os.kill(writer.pid, signal.SIGKILL)
        told = max([told, *map(int, writer.stdout.read().split("\n")[:-1])])
    own = open_notebook(place)
    kept = {row["digest"] for row in own.rows()["proofs"]}
    assert {str(number) for number in range(told + 1)} <= kept
    assert len(own.rows()["cards"]) == len(kept)  # each with its card, none without
    assert sqlite3.connect(place).execute("PRAGMA integrity_check").fetchone() == ("ok",)


def write_notes(place, name):
    own = open_notebook(place)
    for number in range(25):
        own.keep_note(f"{name} {number}", machine=None, at=f"{time.time():.6f}")


def test_two_hands_at_once(place):
    spawn = multiprocessing.get_context("spawn")
    hands = [spawn.Process(target=write_notes, args=(place, name)) for name in ("left", "right")]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
        assert hand.exitcode == 0
    told = [entry.told["text"] for entry in open_notebook(place).history()]
    assert sorted(told) == sorted(f"{name} {number}" for name in ("left", "right") for number in range(25))


def test_a_full_disk_says_so_and_loses_nothing(place, notebook):
    notebook.keep_note("before", machine=None, at=AT.format(0))
    pages = sqlite3.connect(place).execute("PRAGMA page_count").fetchone()[0]
    with notebook._engine.connect() as connection:  # noqa: SLF001 - a disk cannot be filled in a test
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreError, match="full; nothing was written"):
        notebook.keep_note("x" * 400_000, machine=None, at=AT.format(1))
    assert [entry.told["text"] for entry in open_notebook(place).history()] == ["before"]


def test_a_newer_notebook_is_not_touched(place, notebook):
    notebook.keep_note("mine", machine=None, at=AT.format(0))
    with sqlite3.connect(place) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    with pytest.raises(StoreError, match="written by a newer cutworthy"):
        open_notebook(place)


@pytest.mark.parametrize(
    "content", [b"no database at all, only words that are long enough to be looked at" * 40, b"SQL"]
)
def test_a_file_of_something_else_is_not_written_over(place, content):
    place.write_bytes(content)
    with pytest.raises(StoreError):
        open_notebook(place)
    assert place.read_bytes() == content


def test_a_database_of_something_else_is_left_alone(place):
    with sqlite3.connect(place) as connection:
        connection.execute("CREATE TABLE recipes (id INTEGER)")
    connection.close()
    with pytest.raises(StoreError, match="database of something else"):
        open_notebook(place)


def test_a_place_that_cannot_be_is_told(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(StoreError, match="another place"):
        open_notebook(tmp_path / "file" / "n.sqlite")


def test_all_of_it_goes_into_another_notebook_once(tmp_path, notebook):
    notebook.keep_proof(machine="Plover", card="a = 1\n", at=AT.format(0), proof=proof(1))
    notebook.keep_proof(machine="Plover", card="a = 2\n", at=AT.format(1), proof=proof(2, "ask"))
    notebook.keep_note("words", machine=None, at=AT.format(2))
    other = open_notebook(tmp_path / "other.sqlite")
    other.keep_card("Heron", "h = 1\n", at=AT.format(0), reason="its own")
    rows = json.loads(json.dumps(notebook.rows()))
    assert other.take_in(rows) == {"cards": 2, "sittings": 0, "proofs": 2, "notes": 1}
    assert other.take_in(rows) == dict.fromkeys(("cards", "sittings", "proofs", "notes"), 0)
    texts = {row["id"]: row["text"] for row in other.rows()["cards"]}
    assert [texts[row["card"]] for row in other.rows()["proofs"]] == ["a = 1\n", "a = 2\n"]

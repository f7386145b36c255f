"""The notebook, for a face: what is kept, what stands in it, what changed, out to files and back in."""

import csv
import io
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import platformdirs

from cutworthy.app.cards import load_machine, machine_from_text
from cutworthy.app.cards.files import Wanted, read_card
from cutworthy.app.files import named
from cutworthy.app.proofs import Proof
from cutworthy.errors import FileError, InputError
from cutworthy.present.notebook import card_changes, changes_page, history_page, local
from cutworthy.present.page import Line
from cutworthy.store import Notebook, open_notebook

__all__ = [
    "NotebookAnswer",
    "compare",
    "export",
    "history",
    "import_folder",
    "keep_note",
    "keep_proofs",
    "keep_sitting",
    "notebook_place",
]

PLACE = "CUTWORTHY_NOTEBOOK"  # a file, or a database's URL
FILE = "notebook.sqlite"
README = """What stands here was written by cutworthy and can be read without it.

cards/      the card of each machine as it stood, one file for each change; cards.csv tells when and why
sittings/   readings as they stood in their files, and beside each what was told of them
proofs/     jobs as they were proved: the card, and the outcome
notes.csv   a few words, with their dates

cutworthy import FOLDER takes it into a notebook again.
"""
TABLES: Mapping[str, Sequence[str]] = {
    "cards": ("id", "machine", "at", "reason", "sha256"),
    "sittings": ("id", "machine", "card", "at", "kind", "axis"),
    "proofs": ("id", "machine", "card", "at", "job", "program", "program_sha256", "verdict", "digest"),
    "notes": ("id", "machine", "at", "text"),
}
# Columns that stand in a file of their own, with what the file's name ends in.
LONG: Mapping[str, Mapping[str, str]] = {
    "cards": {"text": ".toml"},
    "sittings": {"text": ".csv", "outcome": ".json"},
    "proofs": {"job_text": ".toml", "outcome": ".json"},
    "notes": {},
}
NUMBERS = ("id", "card")
SHOWN = 200  # entries of a history at most
WANTED = Wanted("export", "name the folder that cutworthy export has written")


@dataclass(frozen=True, slots=True, kw_only=True)
class NotebookAnswer:
    """What a face shows: one document, one page."""

    document: dict[str, Any]
    page: list[Line]


def notebook_place() -> str:
    """Return where the notebook is: as CUTWORTHY_NOTEBOOK says, else in the person's own data folder."""
    return os.environ.get(PLACE) or str(Path(platformdirs.user_data_path("cutworthy")) / FILE)


def keep_proofs(proofs: Sequence[Proof], *, at: datetime) -> str:
    """Keep proofs in the notebook; return where that is.

    Raises
    ------
    StoreError
        When the notebook cannot be opened or written; nothing is kept then.
    """
    notebook = _open()
    for proof in proofs:
        card, machine, document = proof.card, proof.machine_card, proof.document
        row = {
            "job": card.path.name,
            "job_text": card.text,
            "program": card.program.name,
            "program_sha256": proof.outcome.program.sha256,
            "verdict": document["verdict"],
            "digest": document["digest"],
            "outcome": dict(document),
        }
        notebook.keep_proof(machine=machine.record.name, card=machine.text, at=_when(at), proof=row)
    return notebook_place()


def keep_sitting(path: Path, machine: Path | None, document: Mapping[str, Any], *, at: datetime) -> str:
    """Keep readings and what was told of them in the notebook; return where that is.

    Raises
    ------
    StoreError
        When the notebook cannot be opened or written; nothing is kept then.
    """
    card = None if machine is None else load_machine(machine)
    _open().keep_sitting(
        machine=None if card is None else card.record.name,
        card=None if card is None else card.text,
        at=_when(at),
        kind=document["kind"],
        axis=document["axis"],
        text=path.read_text(encoding="utf-8-sig", errors="replace"),
        outcome=document,
    )
    return notebook_place()


def keep_note(text: str, *, machine: str | None, at: datetime) -> str:
    """Keep a few words in the notebook; return where that is."""
    if not text.strip():
        msg = "there is nothing to note; write a few words between quotes"
        raise InputError(msg)
    _open().keep_note(text.strip(), machine=machine, at=_when(at))
    return notebook_place()


def history(machine: str | None) -> NotebookAnswer:
    """Return what stands in the notebook, the newest first."""
    entries = _open().history(machine, most=SHOWN + 1)
    told = [{"at": e.at, "what": e.what, "machine": e.machine, **_short(e.told)} for e in entries[:SHOWN]]
    page = history_page(told, machine, has_older=len(entries) > SHOWN)
    return NotebookAnswer(document={"entries": told}, page=page)


def compare(first: str, second: Path | None) -> NotebookAnswer:
    """Return what changed between two machine cards, or between the last two of a machine in the notebook.

    Raises
    ------
    InputError
        When a card cannot be used, or the notebook has not two of that machine.
    """
    if second is not None:
        old, new = load_machine(Path(first)), load_machine(second)
        names = (named(Path(first)), named(second))
        reason = ""
    else:
        kept = _open().cards(first)
        if len(kept) < 2:  # noqa: PLR2004 - before and after
            msg = f"the notebook has {len(kept)} cards of a machine called {first}; two are needed, or name two files"
            raise InputError(msg)
        (before, _, old_text), (after, reason, new_text) = kept[-2:]
        old, new = (machine_from_text(text, Path(f"{first}.toml")) for text in (old_text, new_text))
        names = (local(before), local(after))
    rows = card_changes(old.keys, new.keys)
    document = {"from": names[0], "to": names[1], "reason": reason, "changes": rows}
    return NotebookAnswer(document=document, page=changes_page(document))


def export(folder: Path) -> NotebookAnswer:
    """Write the whole notebook into a folder, as plain text and tables that any program reads.

    Raises
    ------
    FileError
        When the folder holds anything already, or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        msg = f"{named(folder)} is there already and is not empty; name a new folder"
        raise FileError(msg)
    rows = _open().rows()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "README.txt").write_text(README, encoding="utf-8")
        for table, columns in TABLES.items():
            _write_table(folder, table, columns, rows[table])
    except OSError as error:
        msg = f"{named(folder)} cannot be written ({error.strerror}); name another place"
        raise FileError(msg) from None
    counts = {table: len(own) for table, own in rows.items()}
    told = ", ".join(f"{count} {table}" for table, count in counts.items())
    return NotebookAnswer(
        document={"folder": folder.as_posix(), "rows": counts},
        page=[Line(text=f"Written: {named(folder)}: {told}. It can be read without cutworthy: see README.txt there.")],
    )


def import_folder(folder: Path) -> NotebookAnswer:
    """Take an export into the notebook; what stands there already is not added again.

    Raises
    ------
    InputError
        When the folder is no export, or is damaged; nothing is taken in then.
    """
    rows = {table: _read_table(folder, table) for table in TABLES}
    added = _open().take_in(rows)
    told = ", ".join(f"{count} {table}" for table, count in added.items())
    return NotebookAnswer(
        document={"added": added}, page=[Line(text=f"Taken in: {told}. What stood there already was not added again.")]
    )


def _open() -> Notebook:
    return open_notebook(notebook_place())


def _when(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def _short(told: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is shown of an entry: of readings only what was decided and said."""
    outcome = told.get("outcome")
    if outcome is None:
        return dict(told)
    rest = {key: value for key, value in told.items() if key != "outcome"}
    return rest | {"decision": outcome.get("decision"), "says": outcome.get("says")}


def _write_table(folder: Path, table: str, columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> None:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow(["" if row[name] is None else row[name] for name in columns])
        for name, ending in LONG[table].items():
            (folder / table).mkdir(exist_ok=True)
            value = row[name]
            long = value if isinstance(value, str) else json.dumps(value, indent=1, ensure_ascii=False)
            with (folder / table / f"{row['id']:06d}{ending}").open("w", encoding="utf-8", newline="") as file:
                file.write(long)
    (folder / f"{table}.csv").write_text(text.getvalue(), encoding="utf-8", newline="")


def _read_table(folder: Path, table: str) -> list[dict[str, Any]]:
    found = list[dict[str, Any]]()
    text = read_card(folder / f"{table}.csv", WANTED)
    try:
        for row in csv.DictReader(io.StringIO(text)):
            own: dict[str, Any] = {name: value or None for name, value in row.items()}
            for name in NUMBERS:
                if name in own:
                    own[name] = None if own[name] is None else int(own[name])
            for name, ending in LONG[table].items():
                with (folder / table / f"{own['id']:06d}{ending}").open(encoding="utf-8", newline="") as file:
                    long = file.read()
                own[name] = json.loads(long) if ending == ".json" else long
            found.append({name: own[name] for name in (*TABLES[table], *LONG[table])})
    except (OSError, ValueError, KeyError, TypeError) as error:
        msg = f"{named(folder)}: {table} cannot be read as an export ({error}); nothing was taken in: export again"
        raise FileError(msg) from None
    return found

"""Opens a notebook, writes into it and reads it: SQLite by default, PostgreSQL by its URL."""

import hashlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from alembic.util.exc import CommandError
from sqlalchemy.exc import DatabaseError, SQLAlchemyError

from cutworthy.errors import StoreError
from cutworthy.store.tables import CARDS, NOTES, PROOFS, SITTINGS

__all__ = ["Entry", "Notebook", "open_notebook"]

WAIT_S = 10  # for another hand that is writing


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the history. ``what``: card, sitting, proof or note; ``told``: its own row, without long texts."""

    at: str
    what: str
    machine: str | None
    told: Mapping[str, Any]


class Notebook:
    """An open notebook. Everything that is written is there, or nothing of it is."""

    def __init__(self, engine: sa.Engine, name: str) -> None:
        self._engine, self._name = engine, name

    def keep_card(self, machine: str, text: str, *, at: str, reason: str) -> int:
        """Keep the card of a machine, unless it stands so already as its newest; return the number of its row."""
        with self._writing() as connection:
            return self._card(connection, machine, text, at=at, reason=reason)

    def keep_sitting(
        self, *, machine: str | None, card: str | None, at: str, kind: str, axis: str | None, text: str,
        outcome: Mapping[str, Any],
    ) -> None:  # fmt: skip
        """Keep readings with what was told of them; ``card``: the text of the machine's card, where there was one."""
        with self._writing() as connection:
            number = None
            if machine is not None and card is not None:
                number = self._card(connection, machine, card, at=at, reason=f"measured: {kind}")
            row = {"machine": machine, "card": number, "at": at, "kind": kind, "axis": axis, "text": text}
            connection.execute(sa.insert(SITTINGS).values(**row, outcome=dict(outcome)))

    def keep_proof(self, *, machine: str, card: str, at: str, proof: Mapping[str, Any]) -> None:
        """Keep a proof: ``proof`` has the other columns of its table, by name."""
        with self._writing() as connection:
            number = self._card(connection, machine, card, at=at, reason="proved a job")
            connection.execute(sa.insert(PROOFS).values(machine=machine, card=number, at=at, **proof))

    def keep_note(self, text: str, *, machine: str | None, at: str) -> None:
        """Keep a few words."""
        with self._writing() as connection:
            connection.execute(sa.insert(NOTES).values(machine=machine, at=at, text=text))

    def history(self, machine: str | None = None, *, most: int | None = None) -> list[Entry]:
        """Return what stands in the notebook, the newest first, of one machine or of all; ``most``: so much of it."""
        told = {
            "card": (CARDS, ("reason", "sha256")),
            "sitting": (SITTINGS, ("kind", "axis", "outcome")),
            "proof": (PROOFS, ("job", "program", "verdict", "digest")),
            "note": (NOTES, ("text",)),
        }
        found = list[Entry]()
        with self._reading() as connection:
            for what, (table, names) in told.items():
                asked = sa.select(table).order_by(table.c.id.desc()).limit(most)
                if machine is not None:
                    asked = asked.where(table.c.machine == machine)
                for row in connection.execute(asked).mappings():
                    own = {name: row[name] for name in names}
                    found.append(Entry(at=row["at"], what=what, machine=row["machine"], told=own))
        return sorted(found, key=lambda entry: entry.at, reverse=True)[:most]

    def cards(self, machine: str) -> list[tuple[str, str, str]]:
        """Return all cards of a machine: when, why, and the text, the oldest first."""
        with self._reading() as connection:
            asked = sa.select(CARDS).where(CARDS.c.machine == machine).order_by(CARDS.c.id)
            return [(row["at"], row["reason"], row["text"]) for row in connection.execute(asked).mappings()]

    def rows(self) -> dict[str, list[dict[str, Any]]]:
        """Return all that stands in the notebook, table by table, to be written out."""
        with self._reading() as connection:
            return {
                table.name: [dict(row) for row in connection.execute(sa.select(table).order_by(table.c.id)).mappings()]
                for table in (CARDS, SITTINGS, PROOFS, NOTES)
            }

    def take_in(self, rows: Mapping[str, list[dict[str, Any]]]) -> dict[str, int]:
        """Add rows of another notebook, but for those that stand here already; return how many of each table."""
        added = dict[str, int]()
        with self._writing() as connection:
            numbers: dict[int | None, int | None] = {None: None}
            for table in (CARDS, SITTINGS, PROOFS, NOTES):
                added[table.name] = 0
                for given in rows.get(table.name, []):
                    row = {name: value for name, value in given.items() if name != "id"}
                    if "card" in row:
                        row["card"] = numbers.get(row["card"])
                    same = self._same(connection, table, row)
                    if same is None:
                        same = connection.execute(sa.insert(table).values(**row)).inserted_primary_key[0]  # type: ignore[index]
                        added[table.name] += 1
                    if table is CARDS:
                        numbers[given["id"]] = same
        return added

    @staticmethod
    def _same(connection: sa.Connection, table: sa.Table, row: Mapping[str, Any]) -> int | None:
        """Return the number of a row that says the same, None where there is none."""
        plain = [table.c[name] == value for name, value in row.items() if name not in {"outcome", "card"}]
        found: int | None = connection.execute(sa.select(table.c.id).where(*plain)).scalar()
        return found

    @staticmethod
    def _card(connection: sa.Connection, machine: str, text: str, *, at: str, reason: str) -> int:
        digest = hashlib.sha256(text.encode("utf-8")).hexdigest()
        newest = sa.select(CARDS.c.id, CARDS.c.sha256).where(CARDS.c.machine == machine).order_by(CARDS.c.id.desc())
        row = connection.execute(newest.limit(1)).first()
        if row is not None and row.sha256 == digest:
            return int(row.id)
        values = {"machine": machine, "at": at, "reason": reason, "text": text, "sha256": digest}
        return int(connection.execute(sa.insert(CARDS).values(**values)).inserted_primary_key[0])  # type: ignore[index]

    @contextmanager
    def _writing(self) -> Iterator[sa.Connection]:
        with self._told(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _reading(self) -> Iterator[sa.Connection]:
        with self._told(), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Turn what the database refuses into a message with what to do."""
        try:
            yield
        except SQLAlchemyError as error:
            raise StoreError(_message(self._name, error)) from None


def open_notebook(where: str | Path) -> Notebook:
    """Return the notebook in a file, or at a URL; it is made, or brought up to date, where that is needed.

    Raises
    ------
    StoreError
        When it cannot be opened, was written by a newer version, or is no notebook.
    """
    is_url = isinstance(where, str) and "://" in where
    name = sa.make_url(str(where)).render_as_string() if is_url else str(where)
    try:
        if not is_url:
            Path(where).parent.mkdir(parents=True, exist_ok=True)
        engine = sa.create_engine(str(where) if is_url else f"sqlite:///{Path(where)}")
        if engine.dialect.name == "sqlite":
            sa.event.listen(engine, "connect", _careful)
            sa.event.listen(engine, "begin", _begin)
        _bring_up_to_date(engine, name)
    except OSError as error:
        msg = f"{name} cannot be made ({error.strerror}); name another place for the notebook"
        raise StoreError(msg) from None
    except SQLAlchemyError as error:
        raise StoreError(_message(name, error)) from None
    return Notebook(engine, name)


def _careful(connection: Any, _record: object) -> None:  # noqa: ANN401 - whatever the driver gives
    """Let SQLite write through to the disk, hold to its keys, wait for another hand, and leave beginnings to us."""
    connection.isolation_level = None  # else its driver ends a transaction at each change of a table
    for word in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", f"busy_timeout = {WAIT_S * 1000}"):
        connection.execute(f"PRAGMA {word}")


def _begin(connection: sa.Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _bring_up_to_date(engine: sa.Engine, name: str) -> None:
    with as_file(files("cutworthy.store") / "migrations") as folder, engine.connect() as connection:
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.attributes["connection"] = connection
        known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
        tables = sa.inspect(connection).get_table_names()
        if tables and "alembic_version" not in tables:
            msg = f"{name} is a database of something else; name another place for the notebook"
            raise StoreError(msg)
        if tables:
            stands = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
            if stands is not None and stands not in known:
                msg = f"{name} was written by a newer cutworthy; install that one, or name another notebook"
                raise StoreError(msg)
        try:
            command.upgrade(config, "head")
        except CommandError as error:
            msg = f"{name} cannot be brought up to date ({error}); keep a copy of it, and name another notebook"
            raise StoreError(msg) from None
        connection.commit()


def _message(name: str, error: SQLAlchemyError) -> str:
    told = str(getattr(error, "orig", error)).splitlines()[0].lower()
    if "locked" in told:
        return f"{name} is being written by another cutworthy for longer than {WAIT_S} seconds; try again"
    if "full" in told:
        return f"the disk that holds {name} is full; nothing was written: make room, and try again"
    if "not a database" in told or "malformed" in told:
        return f"{name} is no notebook, or is damaged; keep a copy of it, and name another, or import an export"
    if "readonly" in told or "read-only" in told or "unable to open" in told:
        return f"{name} cannot be written or opened; name another place for the notebook"
    kind = "database" if isinstance(error, DatabaseError) else "notebook"
    return f"{name}: the {kind} says: {told}; nothing was written"

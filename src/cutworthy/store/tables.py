"""The tables of the notebook. Rows are only ever added."""

from sqlalchemy import JSON, Column, ForeignKey, Integer, MetaData, String, Table, Text, UniqueConstraint

__all__ = ["CARDS", "METADATA", "NOTES", "PROOFS", "SITTINGS"]

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
    }
)


def _of(table: str) -> Column[int]:
    return Column("card", Integer, ForeignKey(f"{table}.id"), nullable=True)


# The card of a machine as it stood: a new row for each change. Times are ISO 8601, with the offset from UTC.
CARDS = Table(
    "cards",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("machine", String(200), nullable=False, index=True),
    Column("at", String(40), nullable=False),
    Column("reason", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", String(64), nullable=False),
)
# Readings as they stood in their file, and what was told of them.
SITTINGS = Table(
    "sittings",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("machine", String(200), nullable=True, index=True),
    _of("cards"),
    Column("at", String(40), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("axis", String(8), nullable=True),
    Column("text", Text, nullable=False),
    Column("outcome", JSON, nullable=False),
)
# A job as it was proved: its cards, its program's digest, and the whole outcome.
PROOFS = Table(
    "proofs",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("machine", String(200), nullable=False, index=True),
    _of("cards"),
    Column("at", String(40), nullable=False),
    Column("job", String(400), nullable=False),
    Column("job_text", Text, nullable=False),
    Column("program", String(400), nullable=False),
    Column("program_sha256", String(64), nullable=False),
    Column("verdict", String(10), nullable=False),
    Column("digest", String(64), nullable=False),
    Column("outcome", JSON, nullable=False),
    UniqueConstraint("digest", "at"),
)
NOTES = Table(
    "notes",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("machine", String(200), nullable=True, index=True),
    Column("at", String(40), nullable=False),
    Column("text", Text, nullable=False),
)

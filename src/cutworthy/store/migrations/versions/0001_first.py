"""The first notebook: cards, sittings, proofs, notes."""

from typing import Any

import sqlalchemy as sa
from alembic import op

__all__ = ["down_revision", "revision", "upgrade"]

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables of the first notebook."""
    op.create_table("cards", *_common(), _long("reason"), _long("text"), _short("sha256", 64))
    op.create_table(
        "sittings",
        *_common(may_lack_machine=True),
        _card("sittings"),
        _short("kind", 40),
        sa.Column("axis", sa.String(8), nullable=True),
        _long("text"),
        sa.Column("outcome", sa.JSON, nullable=False),
    )
    op.create_table(
        "proofs",
        *_common(),
        _card("proofs"),
        _short("job", 400),
        _long("job_text"),
        _short("program", 400),
        _short("program_sha256", 64),
        _short("verdict", 10),
        _short("digest", 64),
        sa.Column("outcome", sa.JSON, nullable=False),
        sa.UniqueConstraint("digest", "at", name="uq_proofs_digest"),
    )
    op.create_table("notes", *_common(may_lack_machine=True), _long("text"))
    for table in ("cards", "sittings", "proofs", "notes"):
        op.create_index(f"ix_{table}_machine", table, ["machine"])


def _common(*, may_lack_machine: bool = False) -> list[sa.Column[Any]]:
    return [
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("machine", sa.String(200), nullable=may_lack_machine),
        _short("at", 40),
    ]


def _short(name: str, length: int) -> sa.Column[str]:
    return sa.Column(name, sa.String(length), nullable=False)


def _long(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False)


def _card(table: str) -> sa.Column[int]:
    return sa.Column("card", sa.Integer, sa.ForeignKey("cards.id", name=f"fk_{table}_card"), nullable=True)

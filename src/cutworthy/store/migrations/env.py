"""Runs the steps that bring a notebook of an older version up to date; Alembic asks for this file."""

from alembic import context

from cutworthy.store.tables import METADATA

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=METADATA, transaction_per_migration=True)
with context.begin_transaction():
    context.run_migrations()

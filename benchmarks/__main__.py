"""Measures what people wait for: ``python -m benchmarks``, or ``make bench``."""

import sys

from benchmarks import commands, engine, planner, reader, removal, settings
from benchmarks.table import table

rows = [*commands.rows(), *engine.rows(), *planner.rows(), *reader.rows(), *removal.rows(), *settings.rows()]
print(table(rows))
sys.exit(any(row.is_over for row in rows))

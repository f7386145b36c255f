"""Measures what people wait for: ``python -m benchmarks``, or ``make bench``."""

import sys

from benchmarks import commands, engine, planner, reader, removal, settings, whole
from benchmarks.table import table

PARTS = (commands, whole, engine, planner, reader, removal, settings)

rows = [row for part in PARTS for row in part.rows()]
print(table(rows))
sys.exit(any(row.is_over for row in rows))

"""A row of the table that the benchmarks print."""

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Row", "table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measurement: its median, its ratio to a measure of this machine, and the most it may be."""

    what: str
    value: float
    unit: str
    ratio: float
    beside: str
    most: float | None = None

    @property
    def is_over(self) -> bool:
        """Whether the budget is spent."""
        return self.most is not None and self.value > self.most


def table(rows: Iterable[Row]) -> str:
    """Return the rows as a Markdown table, which reads well on a terminal too."""
    lines = ["| what | median | ratio | beside | at most |", "| --- | ---: | ---: | --- | ---: |"]
    for row in rows:
        most = "" if row.most is None else f"{row.most:g} {row.unit}{' OVER' if row.is_over else ''}"
        lines.append(f"| {row.what} | {row.value:,.4g} {row.unit} | {row.ratio:.3g} | {row.beside} | {most} |")
    return "\n".join(lines)

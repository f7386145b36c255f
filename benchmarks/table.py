"""A row of the table that the benchmarks print."""

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Row", "table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measurement: its median, its ratio to a measure of this machine, and what either may be."""

    what: str
    value: float
    unit: str
    ratio: float
    beside: str
    most: float | None = None
    least: float | None = None
    most_ratio: float | None = None

    @property
    def is_over(self) -> bool:
        """Whether the budget is spent."""
        over = self.most is not None and self.value > self.most
        under = self.least is not None and self.value < self.least
        return over or under or (self.most_ratio is not None and self.ratio > self.most_ratio)

    @property
    def budget(self) -> str:
        """What it may be, and whether it is more."""
        told = ""
        if self.most is not None:
            told = f"{self.most:g} {self.unit}"
        elif self.least is not None:
            told = f"at least {self.least:,g} {self.unit}"
        elif self.most_ratio is not None:
            told = f"ratio {self.most_ratio:g}"
        return told + (" OVER" if self.is_over else "")


def table(rows: Iterable[Row]) -> str:
    """Return the rows as a Markdown table, which reads well on a terminal too."""
    lines = ["| what | median | ratio | beside | at most |", "| --- | ---: | ---: | --- | ---: |"]
    told = (
        f"| {row.what} | {row.value:,.4g} {row.unit} | {row.ratio:.3g} | {row.beside} | {row.budget} |" for row in rows
    )
    return "\n".join([*lines, *told])

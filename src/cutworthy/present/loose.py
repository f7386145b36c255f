"""The parts that come loose, for a picture: where each has room for its name, and what is said of them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cutworthy.model.removal import LoosePart

__all__ = ["PartView", "name_place", "numbers_text", "parts_say"]

Mask = npt.NDArray[np.bool_]

MOST_ALONG = 120  # cells of a part along a side among which room for its name is looked for


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PartView:
    """A part that comes loose: its name and number as the page gives them, and which cells of the relief it covers.

    ``at_mm``: where on it is the most room; ``room_mm``: the side of the square about that place. ``is_held``: whether
    something thin still holds it.
    """

    name: str
    number: str
    at_mm: tuple[float, float]
    room_mm: float
    cells: Mask
    is_held: bool


def name_place(cells: Mask) -> tuple[float, float, int]:
    """Return the row and column in whose middle a part has the most room, and how many cells that room measures.

    Of places with the same room it is the one nearest to the part's middle; so it lies on a ring, not in its hole.
    """
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    own = cells[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    by = max(1, -(-max(own.shape) // MOST_ALONG))
    left = np.pad(own[::by, ::by], 1)
    if not left.any():  # all of it lies between the cells looked at
        return float(rows.mean()), float(columns.mean()), 1
    middle, rounds = np.argwhere(left).mean(axis=0), 0
    while True:
        less = left.copy()
        for axis in (0, 1):  # one cell from each side, and from the corners
            lines, whole = np.moveaxis(less, axis, 0), np.moveaxis(less.copy(), axis, 0)
            lines[1:-1] &= whole[:-2] & whole[2:]
        if not less.any():
            break
        left, rounds = less, rounds + 1
    inner = np.argwhere(left)
    row, column = inner[((inner - middle) ** 2).sum(axis=1).argmin()] - 1
    return float(rows[0] + row * by), float(columns[0] + column * by), (2 * rounds + 1) * by


def parts_say(parts: Sequence[LoosePart]) -> tuple[tuple[bool, str], ...]:
    """Return what is said of the parts that something thin holds, and of those that nothing does: held, and words."""
    found = []
    for held, says in ((False, "cut free"), (True, "what holds it is too thin")):
        numbers = [number for number, part in enumerate(parts, start=1) if (part.tabs > 0) == held]
        if numbers:
            many = len(numbers) > 1
            words = says.replace("holds it", "holds them") if many else says
            found.append((held, f"{'parts' if many else 'part'} {numbers_text(numbers)}: {words}"))
    return tuple(found)


def numbers_text(numbers: Sequence[int]) -> str:
    """Return rising numbers as people say them: ``1, 2 and 5 to 9``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [
        text
        for run in runs
        for text in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(each) for each in run])  # noqa: PLR2004 - a pair
    ]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"

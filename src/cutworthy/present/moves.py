"""The moves of a program in words, one line for each."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutworthy.model.program import Doubt, Kind, Plane, ProgramMoves
from cutworthy.present.show import Display

__all__ = ["move_lines"]

ACROSS = {Plane.XY: 2, Plane.XZ: 1, Plane.YZ: 0}  # the axis across the plane of an arc
SEEN = {Plane.XY: "", Plane.XZ: " seen from the back", Plane.YZ: " seen from the right"}
ENOUGH = 1e-6  # turns: what the last digit of a centre makes of a full circle
DEGREES = 360  # in a turn
SMALL_MM = 1e-9  # what adding up coordinates can leave


def move_lines(moves: ProgramMoves, display: Display, *, begins: bool) -> Iterator[str]:
    """Yield each move as ``line 5: cuts straight down to Z -0.5 at 20 mm/min``.

    Places carry no unit: they are in that of the display, as the program's own are.

    Parameters
    ----------
    moves
        What to tell.
    display
        The unit to tell it in.
    begins
        Whether the first of them is the program's first, to which the bit comes from nobody knows where.
    """
    columns = {name: getattr(moves, name).tolist() for name in _Row.__dataclass_fields__}
    for number in range(len(moves)):
        row = _Row(**{name: column[number] for name, column in columns.items()})
        yield f"line {row.line}: {_says(row, display, lone=begins and number == 0)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One move; the columns of ``ProgramMoves`` that its words are made of."""

    line: int
    kind: int
    start_mm: Sequence[float]
    end_mm: Sequence[float]
    centre_mm: Sequence[float]
    plane: int
    turns: float
    feed_mm_min: float
    seconds: float
    start_doubt: Sequence[int]
    end_doubt: Sequence[int]


def _says(row: _Row, display: Display, *, lone: bool) -> str:
    """Return what a move does. ``lone``: where it begins is not known."""
    if row.kind == Kind.DWELL:
        return "waits, nobody knows how long" if math.isnan(row.seconds) else f"waits {display.pause(row.seconds)}"
    if row.kind == Kind.RAPID:
        return f"travels {_way(row, display, lone=lone)}{_doubt(row)}"
    shape = f"{_curve(row, display)} " if row.kind == Kind.ARC else ""
    way = _arc_way(row, display) if row.kind == Kind.ARC else _way(row, display, lone=lone)
    feed = ", no feed given" if math.isnan(row.feed_mm_min) else f" at {display.feed(row.feed_mm_min)}"
    return f"cuts {shape}{way}{feed}{_doubt(row)}"


def _way(row: _Row, display: Display, *, lone: bool) -> str:
    """Return where a straight move leads; straight up and down are named, because they matter most."""
    (x, y, z), (to_x, to_y, to_z) = row.start_mm, row.end_mm
    sideways = abs(to_x - x) > SMALL_MM or abs(to_y - y) > SMALL_MM
    if lone or sideways or max(row.end_doubt[:2]) > max(row.start_doubt[:2]):
        return f"to {_place(row, display)}"
    return f"straight {'down' if to_z < z else 'up'} to Z {display.place(to_z)}"


def _arc_way(row: _Row, display: Display) -> str:
    """Return where an arc leads; the plain one is level."""
    axis = ACROSS[Plane(row.plane)]
    rise = row.end_mm[axis] - row.start_mm[axis]
    if abs(rise) <= SMALL_MM and _whole(row):
        return f"back to {_place(row, display)}"
    up_or_down = ("down " if rise < 0 else "up ") if axis == ACROSS[Plane.XY] and abs(rise) > SMALL_MM else ""
    return f"{up_or_down}to {_place(row, display)}"


def _curve(row: _Row, display: Display) -> str:
    """Return the shape of an arc: how far round, and which way."""
    plane = Plane(row.plane)
    level = abs(row.end_mm[ACROSS[plane]] - row.start_mm[ACROSS[plane]]) <= SMALL_MM
    upright = "" if plane == Plane.XY else "upright "
    shape = _circle(row, display) if level and _whole(row) else _swept(row, level=level)
    article = "an" if (upright or shape)[0] in "aeiou" else "a"
    counted = shape[0].isdigit()
    way = "counter-clockwise" if row.turns > 0 else "clockwise"
    return f"{'' if counted else f'{article} {upright}'}{shape} {way}{SEEN[plane]}"


def _circle(row: _Row, display: Display) -> str:
    """Return a full circle, or several, with its radius: where it ends says nothing."""
    radius = math.dist(row.start_mm, row.centre_mm)
    circles = "full circle" if _whole(row) == 1 else f"{_whole(row)} full circles"
    return f"{circles} of radius {display.place(radius)}"


def _swept(row: _Row, *, level: bool) -> str:
    """Return an arc or a helix with its angle; from one turn on a helix is counted in turns."""
    turns = abs(row.turns)
    if level or turns < 1 - ENOUGH:
        angle = _short(turns * DEGREES)
        return f"{'arc' if level else 'helix'} of {angle} degree{'' if angle == '1' else 's'}"
    return "helix of one turn" if _whole(row) == 1 else f"helix of {_short(turns)} turns"


def _whole(row: _Row) -> int:
    """Return how many whole circles an arc makes, 0 when there is a part of one besides."""
    turns = abs(row.turns)
    return round(turns) if abs(turns - round(turns)) < ENOUGH else 0


def _place(row: _Row, display: Display) -> str:
    return " ".join(f"{axis} {display.place(value)}" for axis, value in zip("XYZ", row.end_mm, strict=True))


def _doubt(row: _Row) -> str:
    """Return which coordinates rest on what nobody but the control knows, or on a line that could not be read."""
    axes = [axis for axis, doubt in zip("XYZ", row.end_doubt, strict=True) if doubt >= Doubt.MEMORY]
    return f" ({' and '.join(axes)} in doubt)" if axes else ""


def _short(number: float) -> str:
    """Return a number with one decimal, or with two digits where that would hide it."""
    return f"{number:.2g}" if number < 1 else f"{number:.1f}".removesuffix(".0")

"""Drilling cycles as the moves they make (NISTIR 6556, 3.5.16)."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, nan
from typing import TypeVar

from cutworthy.model.program import Kind
from cutworthy.program.arcs import AXES_OF
from cutworthy.program.grammar import LARGEST
from cutworthy.program.problems import LineError
from cutworthy.program.record import Move
from cutworthy.program.state import Point, SeriesOfHoles, State

__all__ = ["Holes", "holes_of", "moves_of", "series_of"]

# How far above the last bottom the rapid back into the hole stops: from memory, 0.010 inch.
BACK_OFF_MM = 0.254
Number = TypeVar("Number", int, float)
ROUNDING = 1e-9  # of a peck: what is left over by rounding is no peck of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """The holes that one line drills, in the zero frame [mm].

    ``first``: above the first hole, at the height of R; ``step``: the way from hole to hole, of
    which there are ``times``. ``bottom_mm``, ``return_mm`` and ``clear_mm``: heights along the
    hole's axis. ``place_doubt``, ``high_doubt``: what these and ``clear_mm`` rest on.
    """

    first: Point
    step: Point
    times: int
    bottom_mm: float
    return_mm: float
    clear_mm: float
    place_doubt: tuple[int, int, int]
    high_doubt: int
    pecks: int

    @property
    def most_moves(self) -> int:
        """An upper bound of the number of moves."""
        return 1 + self.times * (4 + 3 * self.pecks)


def series_of(state: State, code: str, words: Mapping[str, float]) -> SeriesOfHoles:
    """Return the sticky numbers of a cycle after the words of this line.

    Raises
    ------
    LineError
        When the first line of a cycle lacks one, or one cannot be.
    """
    old = state.series if state.series is not None and state.series.code == code else None
    hole = AXES_OF[state.plane][2]
    series = SeriesOfHoles(
        code=code,
        bottom=_sticky(words, "XYZ"[hole], old.bottom if old else None, "cycle-bottom"),
        back_to=_sticky(words, "R", old.back_to if old else None, "cycle-return"),
        dwell_s=_sticky(words, "P", old.dwell_s if old else None, "dwell") if code == "G82" else 0.0,
        peck=_sticky(words, "Q", old.peck if old else None, "cycle-peck") if code == "G83" else 0.0,
        height_mm=old.height_mm if old else state.here[hole],
    )
    if series.dwell_s < 0:
        raise LineError(case="negative", numbers={"letter": "P", "value": series.dwell_s})
    if code == "G83" and series.peck <= 0:
        raise LineError(case="cycle-peck", numbers={"value": series.peck})
    return series


def _sticky(words: Mapping[str, float], letter: str, old: float | None, case: str) -> float:
    value = words.get(letter, old)
    if value is None:
        raise LineError(problem="number-missing", case=case)
    return value


def holes_of(state: State, series: SeriesOfHoles, words: Mapping[str, float], times: int) -> Holes:
    """Return the holes of a line, heights worked out.

    Under G91, R counts from the height before the line and the bottom from R.

    Raises
    ------
    LineError
        When R lies below the bottom.
    """
    first, second, hole = AXES_OF[state.plane]
    place, doubt = state.target({letter: words[letter] for letter in ("XYZ"[first], "XYZ"[second]) if letter in words})
    height = state.here[hole]
    if state.absolute:
        return_mm = series.back_to * state.scale + state.shift[hole]
        bottom_mm = series.bottom * state.scale + state.shift[hole]
        low_doubt = state.shift_doubt[hole]
    else:
        return_mm = series.back_to * state.scale + height
        bottom_mm = series.bottom * state.scale + return_mm
        low_doubt = state.doubt[hole]
    if return_mm < bottom_mm:
        raise LineError(case="cycle-below", numbers={"bottom_mm": bottom_mm, "return_mm": return_mm})
    # The height before the line and that before the cycle can differ; the lower one is the worse.
    old_mm = min(height, series.height_mm)
    high = state.old_height and old_mm > return_mm
    peck_mm = series.peck * state.scale
    return Holes(
        first=_with(place, hole, return_mm),
        step=(0.0, 0.0, 0.0) if state.absolute else _with(_way(state.here, place), hole, 0.0),
        times=times,
        bottom_mm=bottom_mm,
        return_mm=return_mm,
        clear_mm=old_mm if high else return_mm,
        place_doubt=_with(doubt, hole, low_doubt),
        high_doubt=state.doubt[hole] if high else low_doubt,
        pecks=max(1, ceil(min((return_mm - bottom_mm) / peck_mm, LARGEST) - ROUNDING)) if peck_mm else 1,
    )


def moves_of(holes: Holes, series: SeriesOfHoles, state: State, feed_mm_min: float) -> Iterator[Move]:
    """Yield the moves of the holes, some of them of no length."""
    hole = AXES_OF[state.plane][2]
    at, sure = state.here, state.doubt

    def go(kind: Kind, height_mm: float, height_doubt: int, time: float | None = None) -> Move:
        feed = feed_mm_min if kind == Kind.LINE else nan
        return Move(kind, _with(at, hole, height_mm), _with(sure, hole, height_doubt), feed, time)

    low, high = holes.place_doubt[hole], holes.high_doubt
    height, doubt = at[hole], sure[hole]
    if height < holes.return_mm:
        height, doubt = holes.return_mm, low
        yield go(Kind.RAPID, height, doubt)
    sure = holes.place_doubt
    for time in range(holes.times):
        x, y, z = (begin + time * way for begin, way in zip(holes.first, holes.step, strict=True))
        at = (x, y, z)
        yield go(Kind.RAPID, height, doubt)
        yield go(Kind.RAPID, holes.return_mm, low)
        for peck in range(1, holes.pecks):
            depth = holes.return_mm - peck * series.peck * state.scale
            yield go(Kind.LINE, depth, low)
            yield go(Kind.RAPID, holes.clear_mm, high)
            yield go(Kind.RAPID, min(holes.clear_mm, depth + BACK_OFF_MM), low)
        yield go(Kind.LINE, holes.bottom_mm, low)
        if series.dwell_s:
            yield go(Kind.DWELL, holes.bottom_mm, low, series.dwell_s)
        height, doubt = holes.clear_mm, high
        yield go(Kind.RAPID, height, doubt)


def _way(begin: Point, end: Point) -> Point:
    x, y, z = (to - start for start, to in zip(begin, end, strict=True))
    return x, y, z


def _with(point: tuple[Number, Number, Number], axis: int, value: Number) -> tuple[Number, Number, Number]:
    changed = list(point)
    changed[axis] = value
    return changed[0], changed[1], changed[2]

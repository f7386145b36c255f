"""Drilling cycles as the moves they make (NISTIR 6556, 3.5.16)."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, nan
from typing import TypeVar

from cutworthy.model.program import Kind, PathMode
from cutworthy.program.arcs import AXES_OF
from cutworthy.program.problems import LineError
from cutworthy.program.real import LARGEST
from cutworthy.program.record import Move
from cutworthy.program.state import NOWHERE, Point, SeriesOfHoles, State

__all__ = ["Holes", "holes_of", "moves_of", "series_of", "unknown_series"]

# How far above the last bottom the rapid back into the hole stops: from memory, 0.010 inch.
BACK_OFF_MM = 0.254
# How far G73 backs off to break the chip: a setting of the control, usually about 0.005 inch
# (common practice, no source).
BREAK_MM = 0.127
Number = TypeVar("Number", int, float)
ROUNDING = 1e-9  # of a peck: what is left over by rounding is no peck of its own

# By what they do beyond feeding down and travelling out (NISTIR 6556, 3.5.16).
WITH_DWELL = frozenset(("G82", "G86", "G88", "G89"))
WITH_PECK = frozenset(("G73", "G83"))
FEED_OUT = frozenset(("G84", "G85", "G89"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """The holes that one line drills, in the zero frame [mm].

    ``first``: above the first hole, at the height of R; ``step``: the way from hole to hole, of
    which there are ``times``. ``bottom_mm``, ``return_mm`` and ``clear_mm``: heights along the
    hole's axis. ``place_doubt``, ``high_doubt``: what these and ``clear_mm`` rest on. ``aside`` and
    ``up_to_mm``: how far G87 stands aside to pass the hole, and the height that it bores up to.
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
    aside: Point = NOWHERE
    up_to_mm: float = nan

    @property
    def most_moves(self) -> int:
        """An upper bound of the number of moves."""
        return 1 + self.times * (8 + 3 * self.pecks)


def series_of(state: State, code: str, words: Mapping[str, float]) -> SeriesOfHoles:
    """Return the sticky numbers of a cycle after the words of this line.

    Raises
    ------
    LineError
        When the first line of a cycle lacks one, or one cannot be.
    """
    old = state.series if state.series is not None and state.series.code == code else None
    first, second, hole = AXES_OF[state.plane]
    series = SeriesOfHoles(
        code=code,
        bottom=_sticky(words, "XYZ"[hole], old.bottom if old else None, "cycle-bottom"),
        back_to=_sticky(words, "R", old.back_to if old else None, "cycle-return"),
        dwell_s=_sticky(words, "P", old.dwell_s if old else None, "dwell") if code in WITH_DWELL else 0.0,
        peck=_sticky(words, "Q", old.peck if old else None, "cycle-peck") if code in WITH_PECK else 0.0,
        aside=(
            words.get("IJK"[first], old.aside[0] if old else 0.0),
            words.get("IJK"[second], old.aside[1] if old else 0.0),
        ),
        up_to=_sticky(words, "IJK"[hole], old.up_to if old else None, "cycle-back") if code == "G87" else 0.0,
        height_mm=old.height_mm if old else state.here[hole],
    )
    if series.dwell_s < 0:
        raise LineError(case="negative", numbers={"letter": "P", "value": series.dwell_s})
    if code in WITH_PECK and series.peck <= 0:
        raise LineError(case="cycle-peck", numbers={"value": series.peck})
    if (code == "G84" and state.spindle != 1) or (code == "G86" and not state.spindle):
        raise LineError(case="cycle-spindle", numbers={"code": code})
    return series


def unknown_series(state: State) -> SeriesOfHoles:
    """Return the numbers of a cycle whose first line rests on something nobody knows."""
    height = state.here[AXES_OF[state.plane][2]]
    return SeriesOfHoles(
        code=state.motion, bottom=nan, back_to=nan, dwell_s=nan, peck=nan, aside=(nan, nan), up_to=nan, height_mm=height
    )


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
        aside=_with(_with(NOWHERE, first, series.aside[0] * state.scale), second, series.aside[1] * state.scale),
        up_to_mm=series.up_to * state.scale + (state.shift[hole] if state.absolute else bottom_mm),
    )


def moves_of(holes: Holes, series: SeriesOfHoles, state: State, feed_mm_min: float) -> Iterator[Move]:
    """Yield the moves of the holes, some of them of no length."""
    hole = AXES_OF[state.plane][2]
    height, doubt = state.here[hole], state.doubt[hole]
    if height < holes.return_mm:
        height, doubt = holes.return_mm, holes.place_doubt[hole]
        yield Move(Kind.RAPID, _with(state.here, hole, height), _with(state.doubt, hole, doubt))
    for time in range(holes.times):
        x, y, z = (begin + time * way for begin, way in zip(holes.first, holes.step, strict=True))
        pen = _Pen(holes, hole, (x, y, z), feed_mm_min)
        yield pen.rapid(height, doubt)
        yield pen.rapid(holes.return_mm)
        yield from _one_hole(pen, holes, series, state)
        if series.code == "G88":  # it stays where the hand takes over
            height, doubt = holes.bottom_mm, holes.place_doubt[hole]
        else:
            height, doubt = holes.clear_mm, holes.high_doubt


class _Pen:
    """Writes moves along the axis of one hole."""

    def __init__(self, holes: Holes, hole: int, at: Point, feed_mm_min: float) -> None:
        self.holes, self.hole, self.at, self.mm_min = holes, hole, at, feed_mm_min

    def rapid(self, height_mm: float, doubt: int | None = None, *, rpm: float | None = None) -> Move:
        return self._go(Kind.RAPID, height_mm, doubt, rpm=rpm)

    def feed(self, height_mm: float, doubt: int | None = None, *, rpm: float | None = None) -> Move:
        return self._go(Kind.LINE, height_mm, doubt, rpm=rpm, feed_mm_min=self.mm_min)

    def dwell(self, seconds: float) -> Move:
        return self._go(Kind.DWELL, self.holes.bottom_mm, None, time=seconds)

    def aside(self, by: Point) -> None:
        x, y, z = (here + way for here, way in zip(self.at, by, strict=True))
        self.at = (x, y, z)

    def _go(
        self,
        kind: Kind,
        height_mm: float,
        doubt: int | None,
        *,
        rpm: float | None = None,
        time: float | None = None,
        feed_mm_min: float = nan,
    ) -> Move:
        sure = self.holes.place_doubt
        end = _with(self.at, self.hole, height_mm)
        rests = sure if doubt is None else _with(sure, self.hole, doubt)
        # Once a cycle is under way the path is kept exactly (NISTIR 6556, Table 10, lines 17 and 24).
        return Move(kind, end, rests, feed_mm_min, time, rpm=rpm, path=PathMode.EXACT_PATH)


def _one_hole(pen: _Pen, holes: Holes, series: SeriesOfHoles, state: State) -> Iterator[Move]:
    """Yield what a cycle does from above the hole at R (NISTIR 6556, 3.5.16)."""
    code, high = series.code, holes.high_doubt
    if code == "G87":
        yield from _bored_from_below(pen, holes)
        return
    for peck in range(1, holes.pecks):
        depth = holes.return_mm - peck * series.peck * state.scale
        yield pen.feed(depth)
        if code == "G73":
            yield pen.rapid(min(holes.return_mm, depth + BREAK_MM))
        else:
            yield pen.rapid(holes.clear_mm, high)
            yield pen.rapid(min(holes.clear_mm, depth + BACK_OFF_MM))
    yield pen.feed(holes.bottom_mm)
    if series.dwell_s:
        yield pen.dwell(series.dwell_s)
    if code in FEED_OUT:
        yield pen.feed(holes.clear_mm, high, rpm=-state.rpm if code == "G84" else None)
    elif code != "G88":
        yield pen.rapid(holes.clear_mm, high, rpm=0.0 if code == "G86" else None)


def _bored_from_below(pen: _Pen, holes: Holes) -> Iterator[Move]:
    """Yield G87: past the hole with the spindle standing, then up into it, and out the same way."""
    back: Point = (-holes.aside[0], -holes.aside[1], -holes.aside[2])
    pen.aside(holes.aside)
    yield pen.rapid(holes.return_mm)
    yield pen.rapid(holes.bottom_mm, rpm=0.0)
    pen.aside(back)
    yield pen.rapid(holes.bottom_mm, rpm=0.0)
    yield pen.feed(holes.up_to_mm)
    yield pen.feed(holes.bottom_mm)
    pen.aside(holes.aside)
    yield pen.rapid(holes.bottom_mm, rpm=0.0)
    yield pen.rapid(holes.clear_mm, holes.high_doubt, rpm=0.0)
    pen.aside(back)
    yield pen.rapid(holes.clear_mm, holes.high_doubt, rpm=0.0)


def _way(begin: Point, end: Point) -> Point:
    x, y, z = (to - start for start, to in zip(begin, end, strict=True))
    return x, y, z


def _with(point: tuple[Number, Number, Number], axis: int, value: Number) -> tuple[Number, Number, Number]:
    changed = list(point)
    changed[axis] = value
    return changed[0], changed[1], changed[2]

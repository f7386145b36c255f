"""How fast a bit is carried through the wood on paper, beside the same sweep without the compiler."""

import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from benchmarks.table import Row

from cutworthy.kernels import laid
from cutworthy.removal import path, plain
from cutworthy.removal.carve import FOUND, Cutting, Field, carve
from cutworthy.removal.engagement import engagement
from cutworthy.removal.grid import grid_over
from cutworthy.removal.profiles import BALL, FLAT, Profile

__all__ = ["rows"]

MILLION, RUNS = 1_000_000, 3
SMALL, LARGE = (500.0, 300.0), (1500.0, 1000.0)
PITCH_MM, FINE_MM = 0.25, 0.125
STEP_MM, STEPOVER_MM = 0.5, 0.3
SAMPLE = MILLION // 100
LONG_MOVES, DEEP_MM = 2_000, 6.0
MOST_RAW_S, MOST_S, MOST_TEN_S, MOST_LONG_S = 1.0, 0.3, 4.0, 0.1
LEAST_TIMES, MOST_FOR_TEN_TIMES, MOST_FOR_FOUR_TIMES = 200.0, 11.0, 4.4
BALL_BIT = Profile(
    shape=BALL, inner_mm=0.0, round_mm=3.175, slope=0.0, edge_mm=0.0, radius_mm=3.175
)  # of 6.35 mm, a quarter of an inch
FLAT_BIT = Profile(shape=FLAT, inner_mm=0.0, round_mm=0.0, slope=0.0, edge_mm=0.0, radius_mm=3.0)

PLAIN = "the same moves one by one without the compiler, from one in a hundred"
AS_THEY_COME = f"removal by {MILLION:,} moves of a ball as they come"
JOINED = f"removal by {MILLION:,} moves of a ball, joined within 2 um"


@dataclass(frozen=True, eq=False)
class Lines:
    """Straight cuts, with no more than removal asks of moves."""

    kind: npt.NDArray[np.uint8]
    start_mm: npt.NDArray[np.float64]
    end_mm: npt.NDArray[np.float64]
    centre_mm: npt.NDArray[np.float64]
    plane: npt.NDArray[np.uint8]
    turns: npt.NDArray[np.float64]
    tool: npt.NDArray[np.int32]
    line: npt.NDArray[np.int32]
    start_doubt: npt.NDArray[np.uint8]
    end_doubt: npt.NDArray[np.uint8]

    def __len__(self) -> int:
        """Return the number of moves."""
        return len(self.kind)

    @classmethod
    def through(cls, corners: npt.NDArray[np.float64]) -> "Lines":
        """Return the lines from corner to corner, given (n, 3) [mm]."""
        count = len(corners) - 1
        none = np.zeros((count, 3), dtype=np.uint8)
        return cls(
            kind=np.ones(count, dtype=np.uint8), start_mm=corners[:-1], end_mm=corners[1:],
            centre_mm=np.zeros((count, 3)), plane=np.zeros(count, dtype=np.uint8), turns=np.zeros(count),
            tool=np.ones(count, dtype=np.int32), line=np.arange(count, dtype=np.int32),
            start_doubt=none, end_doubt=none,
        )  # fmt: skip


def rows() -> Iterator[Row]:
    """Yield the times of removal with all that is told of the bit's way, on a field of 0.25 mm unless it is said."""
    _remove(_raster(SAMPLE, SMALL), BALL_BIT, SMALL, PITCH_MM)  # the compiler is waited for once
    _remove(Lines.through(_zigzag(10)), FLAT_BIT, SMALL, PITCH_MM)
    yield from _million()
    yield _long()
    yield _ten_million()


def _million() -> Iterator[Row]:
    ball = _raster(MILLION, SMALL)
    without = _plain_s(_raster(SAMPLE, SMALL)) * MILLION / SAMPLE
    raw = _median(lambda: _remove(ball, BALL_BIT, SMALL, PITCH_MM, joined=False))
    joined = _median(lambda: _remove(ball, BALL_BIT, SMALL, PITCH_MM))
    yield Row(what=AS_THEY_COME, value=raw, unit="s", ratio=raw / without, beside=PLAIN, most=MOST_RAW_S)
    yield Row(what=JOINED, value=joined, unit="s", ratio=joined / raw, beside=AS_THEY_COME, most=MOST_S)
    yield Row(
        what="times as fast as without the compiler", value=without / joined, unit="", ratio=joined / without,
        beside=PLAIN, least=LEAST_TIMES,
    )  # fmt: skip
    fine = _median(lambda: _remove(ball, BALL_BIT, SMALL, FINE_MM))
    yield Row(
        what="the same on four times as many cells", value=fine, unit="s", ratio=fine / joined, beside=JOINED,
        most_ratio=MOST_FOR_FOUR_TIMES,
    )  # fmt: skip
    laying = _median(lambda: path.way_of(ball, np.zeros(len(ball), dtype=np.int64)))
    yield Row(what=f"of which joining {MILLION:,} moves", value=laying, unit="s", ratio=laying / joined, beside=JOINED)


def _long() -> Row:
    long, few = Lines.through(_zigzag(LONG_MOVES)), Lines.through(_zigzag(LONG_MOVES // 10))
    flat, tenth = (_median(lambda each=each: _remove(each, FLAT_BIT, SMALL, PITCH_MM)) for each in (long, few))
    return Row(
        what=f"removal by {LONG_MOVES:,} long moves of a flat bit", value=flat, unit="s", ratio=flat / tenth,
        beside=f"{LONG_MOVES // 10:,} of them", most=MOST_LONG_S,
    )  # fmt: skip


def _ten_million() -> Row:
    """Return the time of ten times as many moves, and its ratio to that of as many."""
    many, one = _raster(10 * MILLION, LARGE), _raster(MILLION, LARGE)
    long, short = (
        [_seconds(lambda each=each: _remove(each, BALL_BIT, LARGE, PITCH_MM)) for _ in range(RUNS)]
        for each in (many, one)
    )
    return Row(
        what=f"removal by {10 * MILLION:,} moves of a ball, joined, on 1500 x 1000 mm", value=statistics.median(long),
        unit="s", ratio=min(long) / min(short), beside=f"{MILLION:,} of them, both at best", most=MOST_TEN_S,
        most_ratio=MOST_FOR_TEN_TIMES,
    )  # fmt: skip


def _raster(moves: int, size: tuple[float, float]) -> Lines:
    """Return moves to and fro over waves, row by row; five of them in a row, more or less, are one line within 2 um."""
    across = int(size[0] / STEP_MM)
    number = np.arange(moves + 1)
    row, step = np.divmod(number, across)
    x = STEP_MM * np.where(row % 2 == 0, step, across - 1 - step)
    y = STEPOVER_MM * row
    z = -3.0 + 1.5 * np.sin(x / 20) * np.cos(y / 15)
    return Lines.through(np.stack([x, y, z], axis=1).round(3))


def _zigzag(moves: int) -> npt.NDArray[np.float64]:
    """Return corners of diagonals across the small board, in three passes."""
    number = np.arange(moves + 1)
    share = number * 3.0 / moves % 1.0
    return np.stack([5 + 480 * share, np.where(number % 2, 292.0, 8.0), -DEEP_MM * np.ceil(share + 1e-9)], axis=1)


def _remove(moves: Lines, bit: Profile, size: tuple[float, float], pitch: float, *, joined: bool = True) -> object:
    """Carry a bit through a board, from moves to what is told of each stretch."""
    none = np.zeros(len(moves), dtype=np.int64)
    way = path.way_of(moves, none) if joined else _one_by_one(moves)
    grid = grid_over((0.0, 0.0), size, bit.radius_mm, pitch)
    field = Field(grid=grid, heights=grid.field(0.0), top_mm=0.0, floor_mm=-18.0)
    bits = np.zeros(len(way.marks), dtype=np.int64)
    cutting = Cutting(way=way, bits=bits, profiles=[bit], compiled=True)
    totals = carve(field, cutting, lambda _share: None)
    return engagement(moves, none, way, bits, [bit], totals, pitch)


def _one_by_one(moves: Lines) -> path.Way:
    """Return a way whose pieces are the moves."""
    ends = np.hstack([moves.start_mm, moves.end_mm])
    marks = np.zeros(len(moves), dtype=np.uint8)
    marks[0] = plain.ENTERING
    rows = np.repeat(np.arange(len(moves))[:, None], 2, axis=1)
    window = np.empty(len(moves), dtype=np.int64)
    laid.ready()
    windows = laid.window(ends, marks, path.WINDOW_MM, window)
    return path.Way(ends_mm=ends, marks=marks, rows=rows, window=window, windows=windows)


def _plain_s(moves: Lines) -> float:
    """Return how long some moves take without the compiler [s]."""
    way = _one_by_one(moves)
    grid = grid_over((0.0, 0.0), SMALL, BALL_BIT.radius_mm, PITCH_MM)
    given = ((0.0, -18.0), (way.ends_mm, way.marks, np.arange(len(moves))), (BALL_BIT, BALL_BIT))
    found = np.empty((len(moves), FOUND), dtype=np.float32)
    return _seconds(lambda: plain.sweep(grid.square(grid.field(0.0)), grid, *given, found))


def _median(work: Callable[[], object]) -> float:
    return statistics.median(_seconds(work) for _ in range(RUNS))


def _seconds(work: Callable[[], object]) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin

"""Carries the bits through the wood, one after the other, over a field of heights."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt

import numpy as np

from cutworthy.kernels import pieces
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.removal import Heights
from cutworthy.removal import plain
from cutworthy.removal.grid import Grid
from cutworthy.removal.path import MERGE_MM, SAGITTA_MM, Way
from cutworthy.removal.profiles import Profile

__all__ = ["FOUND", "ROUNDING_MM", "Cutting", "Field", "Progress", "carve", "sideways_mm"]

Progress = Callable[[float], None]
Pair = tuple[Profile, Profile]  # for pieces that cut, and for those that look

FOUND = 5  # columns: volume, highest wood above the tip, cells, lateral span
BANDS, THREADS = 16, 2
SLICE = 200_000  # pieces between two looks at whether to stop
ENOUGH = 20_000  # pieces to tell by where the work lies
ROUNDING_MM = 0.0005  # half of the last place of programs in mm
# Rounding, chords and joined lines make a bit in its own slot touch the walls.
TEST_SHRUNK_MM = 0.01 + SAGITTA_MM + MERGE_MM


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Field:
    """A field of heights being carved: nothing stands above ``top_mm``, nothing is cut below ``floor_mm``."""

    grid: Grid
    heights: Heights
    top_mm: float
    floor_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cutting:
    """What is carried through the wood: a way, and for each piece (n,) which of the bits cuts; None cuts nothing.

    ``compiled``: whether to load the compiler, which is worth it for long ways.
    """

    way: Way
    bits: Ints
    profiles: list[Profile | None]
    compiled: bool

    def taken(self, which: Ints | slice) -> "Cutting":
        """Return some of the pieces, each a window of its own."""
        way, bits = self.way, self.bits[which]
        window = np.arange(len(bits))
        taken = Way(
            ends_mm=way.ends_mm[which], marks=way.marks[which], rows=way.rows[which], window=window, windows=len(bits)
        )
        return replace(self, way=taken, bits=bits)


def sideways_mm(grid: Grid) -> float:
    """Return how far the surface may be moved sideways, from the middles of cells to any place within them."""
    return grid.pitch_mm / sqrt(2) + SAGITTA_MM + MERGE_MM + ROUNDING_MM


def carve(field: Field, cutting: Cutting, progress: Progress, *, looking: list[Profile | None] | None = None) -> Floats:
    """Lower a field by a way, and return what was found in each window, (windows, ``FOUND``).

    Parameters
    ----------
    field
        Its heights are lowered in place.
    cutting
        The way and the bits.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.
    looking
        The bits of those pieces that look and lower nothing; those that cut, hardly smaller, when it is None.
    """
    way, bits = cutting.way, cutting.bits
    totals = np.zeros((way.windows, FOUND))
    totals[:, 3], totals[:, 4] = plain.FAR, -plain.FAR
    looking = looking or [None if each is None else each.shrunk(TEST_SHRUNK_MM) for each in cutting.profiles]
    edges = _bands(field.grid, way, max((each.radius_mm for each in cutting.profiles if each), default=0.0))
    with ThreadPoolExecutor(THREADS) as pool:
        for low, high in _slices(bits):
            profile, look = cutting.profiles[int(bits[low])], looking[int(bits[low])]
            if profile is not None and look is not None:
                both = (profile, look)
                if cutting.compiled:
                    _carve_bands(field, way, both, np.array([low, high]), edges, pool, totals)
                else:
                    _carve_plainly(field, way, both, np.arange(low, high), totals)
            progress(high / len(bits))
    return totals


def _slices(bits: Ints) -> Iterator[tuple[int, int]]:
    """Yield runs of pieces of one bit, none of them too long to wait for."""
    if not len(bits):
        return
    changes = np.flatnonzero(np.diff(bits)) + 1
    for low, high in pairwise([0, *changes.tolist(), len(bits)]):
        for begin in range(low, high, SLICE):
            yield begin, min(begin + SLICE, high)


def _bands(grid: Grid, way: Way, reach_mm: float) -> Ints:
    """Return at which rows bands begin that are swept about equally, (``BANDS`` + 1,)."""
    some = way.ends_mm[:: 1 + len(way.ends_mm) // ENOUGH]
    low = np.minimum(some[:, 1], some[:, 4]) - reach_mm
    high = np.maximum(some[:, 1], some[:, 4]) + reach_mm
    load = np.zeros(grid.rows + 1)
    for places, sign in ((low, 1.0), (high, -1.0)):
        rows = np.clip((places - grid.y0_mm) / grid.pitch_mm, 0, grid.rows).astype(np.int64)
        load += sign * np.bincount(rows, minlength=grid.rows + 1)
    work = np.concatenate([[0.0], np.cumsum(np.cumsum(load[:-1]) + 1e-9)])
    edges: Ints = np.searchsorted(work, np.linspace(0, work[-1], BANDS + 1)).astype(np.int64)
    edges[0], edges[-1] = 0, grid.rows
    return edges


def _carve_plainly(field: Field, way: Way, both: Pair, which: Ints, totals: Floats) -> None:
    """Carve one run of pieces without the compiler."""
    found = np.empty((len(which), FOUND), dtype=np.float32)
    heights = field.grid.square(field.heights)
    plain.sweep(heights, field.grid, (field.top_mm, field.floor_mm), (way.ends_mm, way.marks, which), both, found)
    pieces.gather(which, way.window, found, totals)


def _carve_bands(
    field: Field, way: Way, both: Pair, run: Ints, edges: Ints, pool: ThreadPoolExecutor, totals: Floats
) -> None:
    """Carve one run of pieces, bands side by side; what was found is added in the order of the bands."""
    from cutworthy.kernels import laid, sweeping  # noqa: PLC0415 - bring the compiler

    grid, low, high = field.grid, int(run[0]), int(run[1])
    sizes = np.zeros(BANDS, dtype=np.int64)
    given = (
        way.ends_mm,
        low,
        high,
        max(each.radius_mm for each in both),
        field.top_mm,
        grid.y0_mm,
        grid.pitch_mm,
        edges,
        sizes,
    )
    laid.share_out(*given, np.empty((BANDS, 0), dtype=np.int64))
    lists = np.empty((BANDS, int(sizes.max(initial=0))), dtype=np.int64)
    laid.share_out(*given, lists)
    numbers = np.stack([each.numbers() for each in both])
    kernel = sweeping.ready(both[0].shape)

    def lower(band: int) -> tuple[Ints, Heights]:
        which = lists[band, : sizes[band]]
        found = np.empty((len(which), FOUND), dtype=np.float32)
        kernel(
            field.heights, grid.stride, int(edges[band]), int(edges[band + 1]), grid.x0_mm, grid.y0_mm, grid.pitch_mm,
            field.top_mm, field.floor_mm, way.ends_mm, way.marks, which, numbers, found,
        )  # fmt: skip
        return which, found

    for which, found in pool.map(lower, range(BANDS)):
        laid.gather(which, way.window, found, totals)

"""Moves, board and bits to the surface that is left and how the bit met the wood."""

import numpy as np
import numpy.typing as npt

from cutworthy.kernels.pieces import TESTING
from cutworthy.model.clearance import Place
from cutworthy.model.columns import Floats, Ints, together
from cutworthy.model.job import Job
from cutworthy.model.moves import Moves
from cutworthy.model.removal import Engagement, Heights, Removal, Surface
from cutworthy.removal.board import uncut
from cutworthy.removal.carve import Cutting, Field, Progress, carve, sideways_mm
from cutworthy.removal.doubts import doubtful
from cutworthy.removal.engagement import engagement
from cutworthy.removal.grid import PITCHES_MM, grid_over, pitch_for
from cutworthy.removal.parts import loose_parts
from cutworthy.removal.path import COMPILED_PIECES, MERGE_MM, SAGITTA_MM, Way, way_of
from cutworthy.removal.profiles import FLAT, VEE, Profile, profile_of

__all__ = ["BUDGET", "remove"]

BUDGET = 64_000_000  # cells
# Cells that are looked at sooner than the compiler is loaded, and from which pitch on a short way is looked at so; and
# cells of a long way, which take a second or so.
PLAIN_VISITS, PLAIN_PITCH_MM, MOST_VISITS = 600_000, 0.25, 400_000_000
MANY = 100_000  # moves
CARVING = 0.8  # of the work, where something is to be looked at again


def remove(moves: Moves, job: Job, place: Place, *, budget: int = BUDGET, progress: Progress) -> Removal:
    """Return what the bits take from the board.

    Parameters
    ----------
    moves
        All that is swept, rapids expanded. What starts or ends at a place in doubt is left out.
    job
        For board and bits.
    place
        Where zero lies on the board.
    budget
        Most cells of the field.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Returns
    -------
    Removal
        The surface: between the middles of its cells exact for a bit moved sideways by at most ``edge_mm``; see
        docs/methods.md.
    """
    profiles = [profile_of(bit) for bit in job.bits]
    board = uncut(job, place)
    rows = np.flatnonzero(moves.low_mm[:, 2] < board.top_mm)  # all else is above any wood
    if len(rows) > MANY:
        rows = np.arange(rows[0], rows[-1] + 1)  # with what is above in between, they need not be copied
    low = moves.take(together(rows))
    bit = _bits(low, job)
    way = way_of(low, bit)
    bits = bit[way.rows[:, 0]]
    swept, widest, thinnest = _swept(way, bits, profiles)
    is_long = len(way.marks) >= COMPILED_PIECES or swept / PLAIN_PITCH_MM**2 > PLAIN_VISITS
    visits = MOST_VISITS if is_long else PLAIN_VISITS
    pitch = pitch_for(board.size_mm, swept, thinnest, budget, visits) if swept else PITCHES_MM[-1]
    grid = grid_over(board.low_mm, board.size_mm, widest / 2, pitch)
    field, (bottom, before) = board.field(grid), board.levels(grid)
    cutting = Cutting(way=way, bits=bits, profiles=profiles, compiled=is_long)
    totals = carve(field, cutting, lambda done: progress(CARVING * done))
    doubts = doubtful(cutting, board, grid, totals, lambda done: progress(CARVING + (1 - CARVING) * done))
    progress(1.0)
    told = engagement(low, rows, way, bits, profiles, totals, pitch)
    surface = _surface(field, bottom, _steepest(way, profiles, bits))
    widths = np.array([0.0 if each is None else each.radius_mm for each in profiles])
    radius = widths[bits[np.flatnonzero(np.diff(way.window, prepend=-1))]]
    return Removal(
        surface=surface,
        engagement=told,
        air=_air(moves, rows, told, radius),
        parts=loose_parts(surface, bottom, told, radius, job, place),
        volume_mm3=float((before - np.maximum(surface.heights_mm, bottom)).sum(dtype=np.float64)) * pitch**2,
        doubtful=tuple(doubts.tolist()),
        unswept=tuple(bit.tool for bit, profile in zip(job.bits, profiles, strict=True) if profile is None),
    )


def _air(moves: Moves, low: Ints, told: Engagement, radius_mm: Floats) -> npt.NDArray[np.bool_]:
    """Return which moves meet no wood: those above the board, and those that were swept and met none, (n,).

    A bit whose shape is not known, which has no radius here, leaves nothing known.
    """
    air = np.ones(len(moves), dtype=bool)
    air[low] = False
    for is_wood in (False, True):
        chosen = ((told.volume_mm3 > 0) | (radius_mm == 0)) == is_wood
        span = np.zeros(len(moves) + 1, dtype=np.int64)
        np.add.at(span, told.row[chosen], 1)
        np.add.at(span, told.last_row[chosen] + 1, -1)
        air[np.cumsum(span[:-1]) > 0] = not is_wood
    return air


def _surface(field: Field, bottom: Heights, slope: float) -> Surface:
    """Return the board's part of a field, and how far off it may be; what is cut through is as low as any underside."""
    grid, (rows, columns) = field.grid, field.grid.inside
    heights = grid.square(field.heights)[grid.inside]
    heights = np.where(heights <= bottom, np.float32(field.floor_mm), heights)
    edge = sideways_mm(grid)
    return Surface(
        heights_mm=heights,
        corner_mm=(grid.x0_mm + columns.start * grid.pitch_mm, grid.y0_mm + rows.start * grid.pitch_mm),
        pitch_mm=grid.pitch_mm,
        top_mm=field.top_mm,
        underside_mm=field.floor_mm,
        edge_mm=edge,
        height_error_mm=slope * edge + MERGE_MM + SAGITTA_MM,
    )


def _steepest(way: Way, profiles: list[Profile | None], bits: Ints) -> float:
    """Return the greatest slope that a height is promised for: of flanks, of ramps, and 1 where a bit is round.

    A round bit leaves every slope up to that of a wall; what is steeper than one in one counts as a wall.
    """
    ends = way.ends_mm
    cut = way.marks & TESTING == 0
    across = np.hypot(ends[:, 3] - ends[:, 0], ends[:, 4] - ends[:, 1])
    ramps = np.abs(ends[:, 5] - ends[:, 2])[cut & (across > 0)] / across[cut & (across > 0)]
    used = [profiles[each] for each in np.unique(bits[cut]).tolist()]
    flanks = [each.slope if each.shape == VEE else 1.0 for each in used if each is not None and each.shape != FLAT]
    return max(float(ramps[ramps <= 1].max(initial=0.0)), *flanks, 0.0)


def _bits(moves: Moves, job: Job) -> Ints:
    """Return for each move which bit of the card is in the spindle; the first where the card does not know it, (n,)."""
    called = np.where(moves.tool == 0, job.bits[0].tool, moves.tool)
    bit = np.zeros(len(moves), dtype=np.int64)
    for number, each in reversed(list(enumerate(job.bits))):
        bit[called == each.tool] = number
    return bit


def _swept(way: Way, bits: Ints, profiles: list[Profile | None]) -> tuple[float, float, float]:
    """Return how much of the field is looked at [mm^2], and the diameters of the widest and the thinnest bit [mm]."""
    ends = way.ends_mm
    length = np.hypot(ends[:, 3] - ends[:, 0], ends[:, 4] - ends[:, 1])
    width: Floats = np.array([0.0 if each is None else 2 * each.radius_mm for each in profiles])
    used = width[np.unique(bits)]
    thinnest = used[used > 0].min(initial=np.inf)
    swept = length * width[bits] + np.where(length > 0, 0.0, width[bits] ** 2)
    return float(swept.sum()), float(used.max(initial=0.0)), float(thinnest)

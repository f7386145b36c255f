"""Fields, bits and ways for the tests of removal, and two more twins of the sweep beside ``naive``.

``lowest`` and ``highest`` bound the true surface by very many places of the bit. ``searched`` finds the lowest place of
the bit over each cell by narrowing, which needs nothing but that a bit's surface is convex.
"""

from dataclasses import dataclass, replace
from math import ceil, hypot, radians, tan

import numpy as np
from removal import naive

from cutworthy.kernels import sweeping
from cutworthy.model.removal import NO_BOARD_MM
from cutworthy.removal import plain
from cutworthy.removal.grid import Grid, grid_over
from cutworthy.removal.profiles import BALL, BULL, FLAT, TAPER, VEE, Profile

ENTERING, TESTING = sweeping.ENTERING, sweeping.TESTING
CHUNK = 2_000_000  # numbers at a time
GOLDEN = (5**0.5 - 1) / 2
NARROWINGS = 60
TIE_MM = 2e-6  # of a disc's edge: which side of it a cell lies on is decided by rounding


def profile(shape, radius, **numbers):
    given = {"inner_mm": 0.0, "round_mm": 0.0, "slope": 0.0, "edge_mm": 0.0} | numbers
    return Profile(shape=shape, radius_mm=radius, **given)


def flat(radius=1.5):
    return profile(FLAT, radius)


def ball(radius=1.5):
    return profile(BALL, radius, round_mm=radius)


def bull(radius=3.0, corner=1.0):
    return profile(BULL, radius, inner_mm=radius - corner, round_mm=corner)


def vee(radius=3.0, included=90.0, tip=0.0):
    return profile(VEE, radius, inner_mm=tip, slope=1 / tan(radians(included / 2)))


def taper(radius=3.0, corner=0.5, included=30.0):
    half = radians(included / 2)
    return profile(TAPER, radius, round_mm=corner, slope=1 / tan(half), edge_mm=corner * np.cos(half))


# Bits, and by how much the surface may be too high where the place of the bit is found in steps [mm]. The numbers for
# bull bits were measured outside the project on a prototype.
BITS = {
    "flat": (flat(), 0.0),
    "ball": (ball(), 0.0),
    "vee": (vee(), 0.0),
    "vee with a tip": (vee(tip=0.4, included=60.0), 0.0),
    "taper": (taper(), 0.0),
    "bull": (bull(3.0, 1.0), 1.2e-3),
    "bull, small corner": (bull(3.0, 0.5), 3.3e-3),
}
# Heights of 10 mm in float32 are 1e-6 apart, and places of 3 mm 2e-7, which a bit turns into heights where it is steep:
# from 1e-4 mm beside its rim on by a hundred times as much, and at its very rim by what was measured on the prototype.
ROUNDING_MM = 2e-5
RIM_MM = 3e-4


@dataclass(frozen=True, eq=False)
class Pieces:
    ends: np.ndarray
    marks: np.ndarray

    def __len__(self):
        return len(self.marks)

    @property
    def cuts(self):
        return self.ends[self.marks & TESTING == 0]

    def all_entering(self):
        return replace(self, marks=self.marks | np.uint8(ENTERING))

    def taken(self, which):
        return Pieces(self.ends[which], self.marks[which])


def through(*corners, testing=()):
    """Return straight pieces through corners, those with the numbers ``testing`` lowering nothing."""
    corners = np.array(corners, dtype=float)
    marks = np.zeros(len(corners) - 1, dtype=np.uint8)
    marks[list(testing)] = TESTING
    marks[0] |= ENTERING
    marks[1:] |= np.where((marks[:-1] & TESTING != 0) & (marks[1:] == 0), ENTERING, 0).astype(np.uint8)
    return Pieces(np.hstack([corners[:-1], corners[1:]]), marks)


def wild(seed, pieces, *, size=(12.0, 10.0), top=0.0, deepest=-4.0, testing=False):
    """Return a way of all kinds of pieces over a board: it crosses itself and is retraced too.

    Of pieces that test, if there are any, no two follow each other.
    """
    chance = np.random.default_rng(seed)
    x, y, z = chance.uniform(1, size[0] - 1), chance.uniform(1, size[1] - 1), chance.uniform(deepest, top)
    corners, tested = [(x, y, z)], []
    for number in range(pieces):
        x, y, z = corners[-1]
        there = (chance.uniform(-1, size[0] + 1), chance.uniform(-1, size[1] + 1))
        share = chance.uniform(0.02, 0.7)
        near = (x + share * (there[0] - x), y + share * (there[1] - y))
        run = hypot(near[0] - x, near[1] - y)
        kind = chance.choice(["level", "rise", "fall", "ramp", "steep", "down", "up", "nowhere", "back", "along"])
        if kind == "back" and len(corners) > 1:
            corners.append(corners[-2])
        elif kind in ("down", "up"):
            corners.append((x, y, chance.uniform(deepest, z) if kind == "down" else chance.uniform(z, top + 1)))
        elif kind == "nowhere":
            corners.append((x, y, z))
        elif kind == "along":
            corners.append((there[0], y, z) if chance.random() < 0.5 else (x, there[1], z))
        else:
            slope = {"rise": 0.4, "fall": -0.4, "ramp": -0.05, "steep": -4.0}.get(kind, 0.0) * chance.uniform(0.2, 1)
            corners.append((*near, float(np.clip(z + slope * run, deepest, top + 1))))
        if testing and number - 1 not in tested and chance.random() < 0.4:
            tested.append(number)
    return through(*corners, testing=tested)


def board(size=(12.0, 10.0), pitch=0.5, reach=3.0):
    return grid_over((0.0, 0.0), size, reach, pitch)


def middles(grid):
    """Return x (1, columns) and y (rows, 1) of the middles of the cells of the board."""
    rows, columns = grid.inside
    x = grid.x0_mm + grid.pitch_mm * np.arange(columns.start, columns.stop)[None, :]
    y = grid.y0_mm + grid.pitch_mm * np.arange(rows.start, rows.stop)[:, None]
    return x, y


def compiled_sweep(bit, pieces, grid, *, top=0.0, floor=-6.0, heights=None, told=True, test_bit=None):
    """Return the heights of the board and what was found, by the kernel."""
    heights = grid.field(top) if heights is None else heights
    numbers = np.stack([bit.numbers(), (test_bit or bit).numbers()])
    found = np.empty((len(pieces), sweeping.OUTPUTS), dtype=np.float32)
    sweeping.sweep(bit.shape, told=told)(
        heights, grid.stride, 0, grid.rows, grid.x0_mm, grid.y0_mm, grid.pitch_mm, top, floor, pieces.ends,
        pieces.marks, np.arange(len(pieces)), numbers, found,
    )  # fmt: skip
    untouched(grid, heights)
    return grid.square(heights)[grid.inside], found


def plain_sweep(bit, pieces, grid, *, top=0.0, floor=-6.0, heights=None, test_bit=None):
    """Return the heights of the board and what was found, without the compiler."""
    heights = grid.field(top) if heights is None else heights
    found = np.empty((len(pieces), sweeping.OUTPUTS), dtype=np.float32)
    way = (pieces.ends, pieces.marks, np.arange(len(pieces)))
    plain.sweep(grid.square(heights), grid, (top, floor), way, (bit, test_bit or bit), found)
    untouched(grid, heights)
    return grid.square(heights)[grid.inside], found


def untouched(grid, heights):
    """Assert that nothing but the board was changed."""
    around = np.ones((grid.rows, grid.stride), dtype=bool)
    around[grid.inside] = False
    assert (grid.square(heights)[around] == NO_BOARD_MM).all()
    assert (heights[grid.rows * grid.stride :] == NO_BOARD_MM).all()


SWEEPS = {"compiled": compiled_sweep, "plain": plain_sweep}


def _stamped(bit, ends, x, y, step, wider):
    """Return the least over places of a bit, each at most ``step`` from the next, wider all around by so much."""
    flat_x, flat_y = (each.ravel() for each in np.broadcast_arrays(x, y))
    least = np.full(flat_x.shape, np.inf)
    for piece in ends:
        run = hypot(*(piece[3:5] - piece[:2]))
        count = ceil(max(run, 1e-12) / step) + 1
        shares = np.linspace(0, 1, count) if run > 0 else np.array([float(piece[5] < piece[2])])
        places = piece[:3] + shares[:, None] * (piece[3:] - piece[:3])
        for part in np.array_split(places, ceil(len(places) * len(flat_x) / CHUNK)):
            r = np.hypot(flat_x - part[:, :1], flat_y - part[:, 1:2])
            r = np.maximum(r - wider, 0.0) if wider > 0 else r - wider
            least = np.minimum(least, (part[:, 2:] + naive.above_tip(bit, r)).min(axis=0))
    return least.reshape(np.broadcast_shapes(x.shape, y.shape))


def highest(bit, ends, x, y, *, top=0.0, floor=-6.0, step=0.02):
    """Return what the true surface is never above: the places looked at are places of the bit."""
    return np.clip(_stamped(bit, ends, x, y, step, -TIE_MM), floor, top)


def lowest(bit, ends, x, y, *, top=0.0, floor=-6.0, step=0.02):
    """Return what the true surface is never below.

    Each place of the bit has one that is looked at within half a step along the way: seen from there a bit that is
    wider by half a step all around covers it, and it is lower by half a step's slope at most.
    """
    run = np.hypot(ends[:, 3] - ends[:, 0], ends[:, 4] - ends[:, 1])
    slope = np.divide(abs(ends[:, 5] - ends[:, 2]), run, out=np.zeros_like(run), where=run > 0)
    least = np.full(np.broadcast_shapes(x.shape, y.shape), np.inf)
    for piece, m in zip(ends, slope, strict=True):
        least = np.minimum(least, _stamped(bit, piece[None], x, y, step, step / 2 + TIE_MM) - m * step / 2)
    return np.clip(least, floor, top)


def searched(bit, ends, x, y, *, top=0.0, floor=-6.0):
    """Return the heights after a way, the lowest place of the bit over each cell found by narrowing."""
    x, y = np.broadcast_arrays(x, y)
    heights = np.full(x.shape, float(top))
    for ax, ay, az, bx, by, bz in ends:
        run = hypot(bx - ax, by - ay)
        if run < sweeping.UPRIGHT:
            heights = np.minimum(heights, min(az, bz) + naive.above_tip(bit, np.hypot(x - ax, y - ay)))
            continue
        ex, ey, m = (bx - ax) / run, (by - ay) / run, (bz - az) / run
        u, q = (x - ax) * ex + (y - ay) * ey, (y - ay) * ex - (x - ax) * ey
        rp = np.sqrt(np.maximum(bit.radius_mm**2 - q**2, 0))
        low, high = np.maximum(u - rp, 0), np.minimum(u + rp, run)
        reached = (abs(q) <= bit.radius_mm) & (low <= high)

        def over(c, az=az, m=m, u=u, q=q):
            r = np.minimum(np.hypot(q, u - c), bit.radius_mm)
            return az + m * c + naive.above_tip(bit, r)

        least = np.minimum(over(low), over(high))
        for _ in range(NARROWINGS):
            a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
            left = over(a) < over(b)
            low, high = np.where(left, low, a), np.where(left, b, high)
        least = np.minimum(least, over((low + high) / 2))
        heights = np.where(reached, np.minimum(heights, least), heights)
    return np.maximum(heights, floor)


def far_from_rims(bit, ends, x, y, margin=1e-4):
    """Return which cells lie on no edge of what is swept, where rounding would decide whether they are reached."""
    x, y = np.broadcast_arrays(x, y)
    far = np.ones(x.shape, dtype=bool)
    for ax, ay, _, bx, by, _ in ends:
        square = (bx - ax) ** 2 + (by - ay) ** 2
        share = np.clip(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / (square or 1.0), 0, 1)
        beside = np.hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay))
        far &= abs(beside - bit.radius_mm) > margin
    return far


__all__ = [
    "BITS", "ENTERING", "RIM_MM", "ROUNDING_MM", "SWEEPS", "TESTING", "Grid", "Pieces", "ball", "board", "bull",
    "compiled_sweep", "far_from_rims", "flat", "highest", "lowest", "middles", "plain_sweep", "profile", "searched",
    "taper", "through", "vee", "wild",
]  # fmt: skip

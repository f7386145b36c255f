"""Writes a long job of the Tidewater Workshop: a relief of a heron, ``python relief.py --to FOLDER``.

The heron is modelled by formulas, as heights above the floor of a sunk panel. A flat bit takes most of the
wood away in level passes, then a ball bit goes over the panel in rows. The program has 200,000 lines and
more, so it is no part of the examples: this script writes it, with its cards, into a folder.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

HERE = Path(__file__).parent
LINES, FEWEST, MOST = 210_000, 4_000, 2_000_000
ROUGH_LINES = 950  # of them, about, before the ball's

Heights = npt.NDArray[np.float32]  # one row for each x, one column for each y [mm]
Floats = npt.NDArray[np.float64]
Places = list[tuple[float, ...]]

# The panel sunk into the board [mm]. Its own x and y count from its front left corner.
PANEL = (120.0, 180.0)
MARGIN = 30.0  # from the board's edges to the panel
FLOOR = 5.6  # depth of the panel's floor
CORNER = 16.0  # radius of the panel's corners
COVE = 9.0  # width of the slope from the board's top down to the floor
FINE = 0.11  # how far apart heights are known, at most
SOFT = 0.22  # how far the knife's edge is taken off the model

# The bits and how they are driven [mm, mm/min].
FLAT_RADIUS = 3.0
BALL_RADIUS = 1.5
LEFT_ON = 0.5  # wood that roughing leaves for the finish
LEVEL = 1.3  # from one level of roughing to the next, at most
ROUGH_STEP = 3.0  # from row to row
ACROSS = 6  # places between two rows at which the way from one to the other is looked at
SAFE, NEAR, AIR = 15.0, 2.0, 0.2  # heights above the board, and above what is cut already
ROUGH_FEED, FINISH_FEED, PLUNGE_FEED = 2000, 1300, 300
RAMP = 0.05  # how steep the flat bit goes down into wood: so much for each millimetre along
SHY = 3  # places that a run ends short of where it might, so that the way to the next is free more often
SHORTEST = 5.0  # a shorter run is left to the ball
LEAST = 0.005  # a cut that is not deeper is none


class Field:
    """Heights over a part of the panel, and the shapes that are laid on them."""

    def __init__(self, xs: Floats, ys: Floats) -> None:
        """Begin with a flat floor."""
        self.xs, self.ys = xs.astype(np.float32), ys.astype(np.float32)
        self.z: Heights = np.zeros((len(xs), len(ys)), dtype=np.float32)

    def window(self, x: float, y: float, reach: float) -> tuple[slice, slice, Heights, Heights]:
        """Return the part within reach of a place: its two slices, and its distances from the place in x and y."""
        across = slice(*np.searchsorted(self.xs, (x - reach, x + reach)))
        along = slice(*np.searchsorted(self.ys, (y - reach, y + reach)))
        return across, along, (self.xs[across] - np.float32(x))[:, None], (self.ys[along] - np.float32(y))[None, :]

    def stroke(self, places: Places, *, fullness: float = 0.65, every: float = 0.2) -> "Field":
        """Lay a rounded stroke through places (x, y, half its width, its height); return this field."""
        for x, y, radius, height in curve(places, every):
            across, along, dx, dy = self.window(x, y, radius)
            inside = np.maximum(1 - (dx * dx + dy * dy) / np.float32(radius * radius), 0)
            part = self.z[across, along]
            np.maximum(part, np.float32(height) * inside ** np.float32(fullness), out=part)
        return self

    def new(self) -> "Field":
        """Return an empty field of the same size."""
        return Field(self.xs, self.ys)


def curve(places: Places, every: float) -> Floats:
    """Return points along a smooth curve through places, so far apart; what follows x and y is drawn out alike."""
    knots = np.array(places)
    knots = np.vstack([2 * knots[0] - knots[1], knots, 2 * knots[-1] - knots[-2]])
    found = [knots[1:2]]
    for a, b, c, d in zip(knots, knots[1:], knots[2:], knots[3:], strict=False):
        count = max(2, int(np.hypot(*(c - b)[:2]) / every))
        t = (np.arange(1, count + 1) / count)[:, None]
        found.append(b + t / 2 * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * b - a - 3 * c + d))))
    points = np.vstack(found)
    points[:, 2:] = np.maximum(points[:, 2:], 0.05)
    return points


def joined(one: Heights, other: Heights, soft: float) -> Heights:
    """Return the higher of two heights, with a fillet where they meet."""
    width = np.clip(np.minimum(one, other), np.float32(0.001), np.float32(soft))  # none where there is nothing
    meet = np.maximum(width - np.abs(one - other), 0)
    return np.maximum(one, other) + meet * meet / (4 * width)


def rising(values: Heights, low: float, high: float) -> Heights:
    """Return 0 below low and 1 above high, smoothly between."""
    t = np.clip((values - np.float32(low)) / np.float32(high - low), 0, 1)
    return t * t * (3 - 2 * t)


# The heron, facing left. Places are (x, y, half the width, height above the floor).
BELLY = [
    (51, 104, 8, 2.6),
    (54, 97, 12.5, 3.4),
    (63, 87, 15, 3.8),
    (75, 77, 12.5, 3.4),
    (86, 68, 7.5, 2.6),
    (95, 60, 3.5, 1.8),
]
WING = [
    (55, 108, 4.5, 2.2),
    (62, 101, 10.5, 3.8),
    (74, 88, 12.5, 4.2),
    (87, 73, 9, 3.8),
    (98, 59, 5.5, 3.0),
    (105.5, 47, 1.8, 2.2),
]
NECK = [
    (60, 100, 11, 3.2),
    (50, 104, 9, 3.5),
    (43.5, 112, 6.6, 3.6),
    (44.5, 121, 5.2, 3.6),
    (51, 129, 4.6, 3.5),
    (56, 137, 4.2, 3.4),
    (55, 146, 4.0, 3.5),
    (49, 152, 4.4, 3.7),
]
HEAD = [(51, 152, 4.3, 3.6), (46.5, 154.3, 5.2, 4.0), (41, 154, 4.0, 3.6), (36, 153, 2.6, 3.0)]
BILL = [(40, 153.8, 3.3, 3.3), (34, 152.8, 2.6, 3.1), (24, 150.4, 1.9, 2.7), (10.5, 147, 0.7, 2.0)]
THIGHS = [
    [(72, 84, 9, 3.6), (72.5, 72, 5.6, 3.4), (72, 62, 2.6, 2.6), (71.5, 54, 1.7, 2.2)],
    [(78, 80, 8, 3.0), (82, 68, 4.6, 2.6), (83.5, 59, 2.2, 2.0), (84, 53, 1.6, 1.7)],
]
LEGS = [
    [
        (71.5, 56, 1.6, 2.3),
        (71.8, 52.5, 2.1, 2.6),
        (71, 49, 1.5, 2.3),
        (68.6, 36, 1.4, 2.3),
        (67, 27, 1.4, 1.9),
        (66.6, 24.5, 1.4, 0.9),
    ],
    [
        (84, 55, 1.5, 1.8),
        (84.3, 51.8, 1.9, 2.0),
        (83.8, 48, 1.35, 1.8),
        (82.8, 38, 1.25, 1.8),
        (82.2, 32, 1.3, 1.5),
        (82, 30, 1.3, 0.9),
    ],
]
CREST = [
    [
        (45.5, 157.2, 0.6, 3.6),
        (49, 158.6, 1.5, 4.2),
        (57, 159.0, 1.4, 3.8),
        (66, 154.5, 1.1, 3.0),
        (74, 146.5, 0.7, 2.2),
    ],
    [(49, 157, 1.6, 3.8), (57, 156.5, 2.2, 3.2), (63.5, 152.5, 1.7, 2.3), (68, 147, 0.5, 1.2)],
    [
        (47, 156.2, 0.6, 3.6),
        (53, 155.8, 1.4, 4.0),
        (59, 152.6, 1.2, 3.4),
        (64.5, 146, 1.0, 2.8),
        (67.5, 138.5, 0.6, 2.0),
    ],
]
WATERLINE = 46.0
FEET = ((66.8, 25.5), (82.0, 31.0))


def heron(field: Field) -> Heights:
    """Return the heron's heights above the floor."""
    belly = field.new().stroke(BELLY, fullness=0.55).z
    for thigh in THIGHS:
        belly = joined(belly, field.new().stroke(thigh).z, 1.2)
    neck = joined(field.new().stroke(NECK).z, field.new().stroke(HEAD).z, 1.0)
    neck += furrows(field, neck)
    body = joined(belly, neck, 1.6)
    body = plumed(field, body)
    bare = field.new()
    for line in LEGS:
        bare.stroke(line, fullness=0.5, every=0.15)
    body = np.maximum(body, bare.z)
    return face(field, body)


def plumed(field: Field, body: Heights) -> Heights:
    """Return the body with its wing on it, feather over feather, and plumes at breast and back."""
    wing = field.new().stroke(WING, fullness=0.5).z
    feathers = field.new()
    for feather in wing_feathers():
        feather.paint(feathers)
    body = joined(body, wing, 0.8)
    body += feathers.z * rising(body, 0.3, 1.2)
    plumes = field.new()
    for line in plume_lines():
        plumes.stroke(line, fullness=0.8)
    return body + plumes.z * rising(body, 0.3, 2.0)


@dataclass(frozen=True)
class Feather:
    """One feather: its root, its direction, its length and half its width, and how far its tip stands off."""

    x: float
    y: float
    angle: float
    length: float
    half: float
    lift: float

    def paint(self, field: Field) -> None:
        """Lay it over what is there."""
        c, s = np.cos(self.angle), np.sin(self.angle)
        middle = self.length / 2
        across, along, dx, dy = field.window(self.x + c * middle, self.y + s * middle, middle + self.half)
        u = ((dx * np.float32(c) + dy * np.float32(s)) + np.float32(middle)) / np.float32(self.length)
        v = (dy * np.float32(c) - dx * np.float32(s)) / np.float32(self.half)
        out = np.maximum(u - np.float32(0.6), 0) / np.float32(0.4)
        rim = 1 - np.sqrt(v * v + out * out)  # 0 at its edge, 1 on its middle line
        inside = rising(rim, 0.0, 0.12) * (u > 0)
        quill = np.float32(0.16) * rising(1 - np.abs(v), 0.80, 1.0)
        shape = np.float32(self.lift) * (np.clip(u, 0, 1) * (1 - np.float32(0.45) * v * v) + quill)
        part = field.z[across, along]
        part += (shape - part) * inside


def wing_feathers() -> Iterator[Feather]:
    """Yield the wing's feathers, from the long ones at the tail up to the small ones at the shoulder."""
    axis = curve(WING, 0.1)
    way = np.gradient(axis[:, :2], axis=0)
    angles = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
    share = np.linspace(0, 1, len(axis))
    # Rows: where they begin along the wing, how many, how long and how wide, how far their tips stand off.
    rows = [
        (0.60, 4, 27.0, 2.5, 0.75),
        (0.44, 5, 25.0, 2.5, 0.8),
        (0.34, 7, 15.0, 2.1, 0.65),
        (0.25, 8, 9.0, 1.75, 0.6),
        (0.18, 8, 7.5, 1.6, 0.55),
        (0.11, 7, 6.5, 1.5, 0.5),
        (0.045, 6, 5.8, 1.4, 0.45),
        (0.0, 4, 5.0, 1.3, 0.4),
    ]
    for number, (begin, count, length, half, lift) in enumerate(rows):
        x, y, radius = (np.interp(begin, share, axis[:, k]) for k in range(3))
        angle = np.interp(begin, share, angles)
        for place in np.linspace(-0.86, 0.86, count):
            side = place + (0.06 if number % 2 else -0.06)
            back = -0.28 * radius * side * side
            yield Feather(
                x - np.sin(angle) * radius * side + np.cos(angle) * back,
                y + np.cos(angle) * radius * side + np.sin(angle) * back,
                angle - side * 0.26,
                length * (1 - 0.12 * abs(side)),
                half,
                lift,
            )


def plume_lines() -> Iterator[Places]:
    """Yield the long thin plumes that hang from breast and back."""
    for k, (begin, drop) in enumerate([(108, 17), (104, 21), (106.5, 24), (102, 20), (104.5, 19), (101, 15)]):
        x = 41.8 + 2.1 * k
        yield [(x, begin, 0.6, 0.1), (x + 0.3, begin - drop / 2, 1.15, 0.75), (x + 3.2, begin - drop, 0.4, 0.2)]
    for k in range(6):
        x, y = 59.5 + 2.1 * k, 108 - 1.2 * k
        yield [
            (x, y, 0.8, 0.2),
            (x + 9, y - 10, 1.05, 0.75),
            (x + 19 - k, y - 23 + k, 0.95, 0.8),
            (x + 26 - 2 * k, y - 36 + 2 * k, 0.4, 0.5),
        ]


def furrows(field: Field, neck: Heights) -> Heights:
    """Return the streaks along the neck."""
    line = curve(NECK, 0.4)
    way = np.gradient(line[:, :2], axis=0)
    way /= np.hypot(way[:, 0], way[:, 1])[:, None]
    found = np.zeros_like(neck)
    near = np.full_like(neck, np.inf)
    for (x, y, radius, _), (c, s) in zip(line, way, strict=True):
        across, along, dx, dy = field.window(x, y, radius)
        square = dx * dx + dy * dy
        part, best = found[across, along], near[across, along]
        closer = square < best
        side = (dy * np.float32(c) - dx * np.float32(s)) / np.float32(radius)
        part[closer] = side[closer]
        best[closer] = square[closer]
    return np.float32(0.16) * np.cos(np.float32(13) * found) * rising(neck, 0.8, 2.6)


def face(field: Field, body: Heights) -> Heights:
    """Return the bird with its bill, crest and eye."""
    bill = field.new().stroke(BILL, fullness=0.6, every=0.1).z
    slit = field.new().stroke([(41, 153.0, 0.5, 1), (34, 152.2, 0.45, 1), (24, 150.0, 0.4, 1), (14, 147.8, 0.3, 1)]).z
    head = joined(body, bill - np.float32(0.35) * slit, 0.4)
    crest = field.new()
    for line in CREST:
        crest.stroke(line, every=0.12)
    head = np.maximum(head, crest.z)
    across, along, dx, dy = field.window(43.2, 154.9, 5)
    away = np.hypot(dx, dy)
    ring = np.exp(-(((away - np.float32(2.5)) / np.float32(0.8)) ** 2))
    part = head[across, along]
    part += np.float32(0.75) * np.sqrt(np.maximum(1 - (away / np.float32(1.8)) ** 2, 0)) - np.float32(0.45) * ring
    return head


def background(field: Field) -> Heights:
    """Return the low sun, the far bank and the water with its ripples."""
    x, y = field.xs[:, None], field.ys[None, :]
    sun = np.hypot(x - np.float32(76), y - np.float32(134))
    heights = np.float32(0.75) * rising(-sun, -25.5, -24.0) - np.float32(0.25) * rising(-sun, -24, -4)
    bank = WATERLINE + 4.5 + 2.2 * np.sin(x / 15 + 0.6) + 1.1 * np.sin(x / 5.3)
    heights = np.where(y < bank, np.maximum(heights, np.float32(0.9) * rising(bank - y, 0, 1.5)), heights)
    depth = WATERLINE - y  # how far in front of the water's far edge
    water = np.float32(0.14) * np.sin(
        np.maximum(depth, 0) ** 1.12 * np.float32(1.1) + np.float32(1.3) * np.sin(x / 11 + depth / 9)
    )
    for foot_x, foot_y in FEET:
        away = np.hypot(x - np.float32(foot_x), (y - np.float32(foot_y)) * np.float32(2.3))
        ring = np.exp(-((away / np.float32(17)) ** 2))
        water = water * (1 - ring) + np.float32(0.32) * np.cos(away * np.float32(0.95)) * ring
    shore = rising(depth, -0.5, 2.5)
    return heights * (1 - shore) + (np.float32(0.35) + water) * shore


# Reeds: foot, tip, how far the stalk bows to the right, half its width at the foot, height above the floor.
BEHIND = [
    (96, 33, 99, 128, 2.5, 1.1, 1.3),
    (104, 28, 108, 146, -3, 1.1, 1.4),
    (14, 32, 10, 116, -2.5, 1.1, 1.4),
    (18, 28, 21, 98, 2, 1.0, 1.2),
]
TAILS = ((99, 128), (108, 146), (10, 116), (21, 98))
BLADES = [
    (101, 26, 88, 108, -7, 1.7, 1.5),
    (107, 24, 115, 112, 7, 1.8, 1.7),
    (100, 22, 113, 82, 4, 1.7, 1.6),
    (110, 21, 104, 94, -3, 1.7, 1.8),
    (15, 25, 29, 86, 6, 1.7, 1.6),
    (11, 22, 5, 88, -4, 1.7, 1.6),
    (20, 20, 14, 74, -3, 1.6, 1.8),
    (18, 18, 36, 56, 7, 1.6, 1.8),
]
FRONT = [
    (91, 2, 98, 62, 5, 1.9, 2.5),
    (95, 2, 86, 49, -4, 1.8, 2.6),
    (99, 2, 112, 46, 6, 1.8, 2.4),
    (88, 2, 77, 24, -4, 1.6, 2.5),
    (25, 2, 32, 50, 4, 1.8, 2.4),
    (29, 2, 20, 42, -4, 1.8, 2.5),
    (33, 2, 46, 30, 5, 1.7, 2.4),
    (106, 2, 104, 30, -2, 1.6, 2.5),
    (17, 2, 11, 34, -3, 1.7, 2.4),
]


def reeds(field: Field, some: list[tuple[float, ...]], *, blade: bool) -> Heights:
    """Return stalks, or blades that end in a point."""
    for x, y, tip_x, tip_y, bow, half, height in some:
        middle = ((x + tip_x) / 2 - bow, (y + tip_y) / 2)
        widths = (half * 0.8, half, 0.35) if blade else (half, half * 0.85, half * 0.6)
        places = [(x, y), middle, (tip_x, tip_y)]
        tall = (0.5, height, height)  # they come up out of the water
        line = [(*place, width, high) for place, width, high in zip(places, widths, tall, strict=True)]
        field.stroke(line, every=0.25, fullness=0.7)
    return field.z


def surface(xs: Floats, ys: Floats) -> Heights:
    """Return the finished relief at places of the panel [mm, 0 at the board's top, downwards minus]."""
    field = Field(xs, ys)
    heights = background(field)
    heights = np.maximum(heights, reeds(field.new(), BEHIND, blade=False))
    heights = np.maximum(heights, reeds(field.new(), BLADES, blade=True))
    for x, y in TAILS:
        tail = [(x, y - 2, 1.4, 1.6), (x, y + 1, 2.5, 2.2), (x + 0.3, y + 13, 2.5, 2.2), (x + 0.4, y + 16, 1.0, 1.4)]
        heights = np.maximum(heights, field.new().stroke(tail, fullness=0.5).z)
    heights = np.maximum(heights, heron(field))
    heights = np.maximum(heights, reeds(field.new(), FRONT, blade=True))
    inside = within(xs, ys)
    cove = np.float32(FLOOR) * (np.float32(0.5) + np.float32(0.5) * np.cos(np.pi * np.clip(inside / COVE, 0, 1)))
    heights = joined(heights, cove.astype(np.float32), 0.8)
    heights = softened(heights, SOFT, xs[1] - xs[0], ys[1] - ys[0])
    heights = np.where(inside > 0, heights, FLOOR)
    return np.minimum(heights - np.float32(FLOOR), 0)


def within(xs: Floats, ys: Floats) -> Heights:
    """Return how far places lie inside the panel's edge, minus outside [mm]."""
    half = np.array(PANEL) / 2
    x = np.abs(xs - half[0])[:, None] - (half[0] - CORNER)
    y = np.abs(ys - half[1])[None, :] - (half[1] - CORNER)
    beyond = np.hypot(np.maximum(x, 0), np.maximum(y, 0)) + np.minimum(np.maximum(x, y), 0)
    return (CORNER - beyond).astype(np.float32)


def softened(heights: Heights, sigma: float, step_x: float, step_y: float) -> Heights:
    """Return heights with their sharp edges rounded off."""
    for axis, step in enumerate((step_x, step_y)):
        reach = int(np.ceil(3 * sigma / step))
        weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) * step / sigma) ** 2)
        weights = (weights / weights.sum()).astype(np.float32)
        padded = np.pad(heights, [(reach, reach) if k == axis else (0, 0) for k in (0, 1)], mode="edge")
        size = heights.shape[axis]
        parts = [np.take(padded, range(k, k + size), axis=axis) * weight for k, weight in enumerate(weights)]
        heights = np.sum(parts, axis=0, dtype=np.float32)
    return heights


class Panel(NamedTuple):
    """The relief on a grid that reaches beyond the panel by a bit's radius on every side."""

    heights: Heights
    step_x: float
    step_y: float
    rim_x: int  # places beyond the panel on either side
    rim_y: int

    def lowest_tips(self, radius: float, *, ball: bool, every: int) -> Heights:
        """Return how low the tip of a bit may go, at every so manieth row, so that no part of it cuts too deep.

        It is the highest of all places under the bit, each lowered by how far the bit's edge lies above its tip.
        """
        apart = np.hypot(self.step_x, self.step_y) / 2  # what stands between places is as near as this to one
        reach_x, reach_y = (int((radius + apart) / step) for step in (self.step_x, self.step_y))
        size_x, size_y = (n - 2 * rim for n, rim in zip(self.heights.shape, (self.rim_x, self.rim_y), strict=True))
        found = np.full(((size_x + every - 1) // every, size_y), -np.inf, dtype=np.float32)
        for i in range(-reach_x, reach_x + 1):
            rows = self.heights[self.rim_x + i : self.rim_x + i + size_x : every]
            for j in range(-reach_y, reach_y + 1):
                away = max(np.hypot(i * self.step_x, j * self.step_y) - apart, 0.0)
                if away <= radius:
                    rise = np.float32(radius - (radius**2 - away**2) ** 0.5 if ball else 0)
                    np.maximum(found, rows[:, self.rim_y + j : self.rim_y + j + size_y] - rise, out=found)
        return found


def spacing(lines: int) -> tuple[int, int, int]:
    """Return for a program of so many lines: steps across, steps along, and the parts of each step."""
    area = PANEL[0] * PANEL[1] - (4 - np.pi) * CORNER**2
    step = (area / (lines - ROUGH_LINES)) ** 0.5
    return round(PANEL[0] / step), round(PANEL[1] / step), int(np.ceil(step / FINE))


def panel(rows: int, count: int, parts: int) -> Panel:
    """Return the relief for so many steps across and along, each of them in so many parts."""
    step_x, step_y = PANEL[0] / (rows * parts), PANEL[1] / (count * parts)
    rim_x, rim_y = (int(FLAT_RADIUS / step) + 2 for step in (step_x, step_y))
    xs = np.arange(-rim_x, rows * parts + rim_x + 1) * step_x
    ys = np.arange(-rim_y, count * parts + rim_y + 1) * step_y
    return Panel(surface(xs, ys), step_x, step_y, rim_x, rim_y)


def line(x: float, y: float, z: float, feed: int | None = None) -> str:
    """Return a cut to a place of the panel, from the board's front left corner."""
    words = f"G1 X{x + MARGIN:.3f} Y{y + MARGIN:.3f} Z{z:.3f}"
    return words if feed is None else f"{words} F{feed}"


def above(x: float, y: float) -> list[str]:
    """Return the way through the air to a place of the panel."""
    return [f"G0 Z{SAFE:.3f}", f"G0 X{x + MARGIN:.3f} Y{y + MARGIN:.3f}", f"G0 Z{NEAR:.3f}"]


class Run(NamedTuple):
    """A straight cut along one row."""

    row: int
    first: int
    last: int


def runs_at(free: npt.NDArray[np.bool_], shortest: int) -> list[Run]:
    """Return where the bit may run along the rows."""
    runs = []
    for row, places in enumerate(free):
        edges = np.flatnonzero(np.diff(np.concatenate([[False], places, [False]]).astype(np.int8)))
        ends = ((a + SHY, b - 1 - SHY) for a, b in edges.reshape(-1, 2).tolist())
        runs += [Run(row, first, last) for first, last in ends if last - first >= shortest]
    return runs


class Leg(NamedTuple):
    """A run as it is cut: the place in the row before where it is left for this one, then from end to end."""

    run: Run
    turn: int
    begin: int
    end: int


class Roughing(NamedTuple):
    """The level passes of the flat bit."""

    tips: Heights  # how low its tip may go, with the wood that is left on; several places across from row to row
    step_x: float
    step_y: float

    def lines(self) -> Iterator[str]:
        """Yield the passes, level by level."""
        deepest = float(self.tips.min())
        count = int(np.ceil(-deepest / LEVEL))
        above_it = 0.0
        for number in range(1, count + 1):
            level = np.ceil(deepest * number / count * 1000) / 1000
            yield f"(level {number} of {count})"
            free = self.tips[::ACROSS] <= level
            for chain in self.chains(runs_at(free, int(SHORTEST / self.step_y)), level):
                yield from self.cut(chain, above_it, level)
            above_it = level

    def chains(self, runs: list[Run], level: float) -> Iterator[list[Leg]]:
        """Yield runs that are cut without lifting the bit."""
        left = dict.fromkeys(runs)
        while left:
            run = next(iter(left))
            leg: Leg | None = Leg(run, run.first, run.first, run.last)
            chain = []
            while leg:
                chain.append(leg)
                left.pop(leg.run)
                ways = (self.way(leg, run, level) for run in left if run.row == leg.run.row + 1)
                leg = min(filter(None, ways), key=lambda way: abs(way.begin - way.turn), default=None)
            yield chain

    def way(self, leg: Leg, run: Run, level: float) -> Leg | None:
        """Return how to go on along a run of the next row, where there is a free way to it."""
        for begin in sorted((run.first, run.last), key=lambda place: abs(place - leg.end)):
            turn = min(max(begin, leg.run.first), leg.run.last)
            if self.is_free(leg.run.row, turn, begin, level):
                return Leg(run, turn, begin, run.first + run.last - begin)
        return None

    def is_free(self, row: int, begin: int, end: int, level: float) -> bool:
        """Return whether the bit can go straight from a place in a row to one in the next."""
        places = np.linspace(begin, end, ACROSS + 1)
        for k, (one, other) in enumerate(pairwise(places), start=row * ACROSS):
            low, high = int(min(one, other)), int(max(one, other)) + 2
            if self.tips[k : k + 2, low:high].max() > level:
                return False
        return True

    def cut(self, chain: list[Leg], above_it: float, level: float) -> Iterator[str]:
        """Yield the cuts of a chain: down to what is cut already, down along the first run, then all of them."""
        run = chain[0].run
        x, first, last = run.row * ACROSS * self.step_x, run.first * self.step_y, run.last * self.step_y
        yield from above(x, first)
        yield line(x, first, above_it + AIR, PLUNGE_FEED)
        deep = above_it + AIR - level
        there = min(last, first + deep / RAMP / 2)
        count = 2 * int(np.ceil(deep / RAMP / (there - first) / 2 - 1e-9))
        for number in range(1, count + 1):
            feed = ROUGH_FEED if number == 1 else None
            yield line(x, there if number % 2 else first, above_it + AIR - deep * number / count, feed)
        yield line(x, last, level)
        for before, leg in pairwise(chain):
            if leg.turn != before.end:
                yield line(x, leg.turn * self.step_y, level)
            x = leg.run.row * ACROSS * self.step_x
            yield line(x, leg.begin * self.step_y, level)
            yield line(x, leg.end * self.step_y, level)


def finish(tips: Heights, parts: int, step_x: float, step_y: float) -> Iterator[str]:
    """Yield the rows of the ball bit, to and fro; tips are known at several parts of each step along."""
    ends = tips[:, ::parts].astype(np.float64)
    lift = np.zeros_like(ends)
    for k in range(1, parts):  # a straight step must not dip under a rounded top: both its ends are lifted
        short = tips[:, k::parts] - (ends[:, :-1] * (1 - k / parts) + ends[:, 1:] * (k / parts))
        for side in (lift[:, :-1], lift[:, 1:]):
            np.maximum(side, short, out=side)
    ends = np.ceil((ends + lift) * 1000) / 1000 + 0.0
    backwards, begun = False, False
    for row, heights in enumerate(ends):
        deep = np.flatnonzero(heights < -LEAST)
        if not len(deep):
            continue
        places = np.arange(deep[0] - 1, deep[-1] + 2)[:: -1 if backwards else 1]
        x, ys = row * step_x, (places * step_y).tolist()
        if not begun:
            yield from above(x, ys[0])
            yield line(x, ys[0], heights[places[0]], PLUNGE_FEED)
        zs = heights[places].tolist()
        yield line(x, ys[0], zs[0], FINISH_FEED)
        yield from (line(x, y, z) for y, z in zip(ys[1:], zs[1:], strict=True))
        backwards, begun = not backwards, True


def program(lines: int) -> list[str]:
    """Return the program, of about so many lines."""
    rows, count, parts = spacing(lines)
    relief = panel(rows, count, parts)
    rough = rough_tips(relief)
    fine = relief.lowest_tips(BALL_RADIUS, ball=True, every=parts)
    return [
        "(Relief of a heron, 180 x 240 x 20 lime)",
        "(Zero: front left corner, top of the board)",
        "G21 G90 G17 G94 G54 G40 G49 G80",
        "(Bit 1: flat 6 mm, most of the wood, 0.5 mm left on)",
        "T1 M6",
        "S18000 M3",
        *rough.lines(),
        f"G0 Z{SAFE:.3f}",
        "G0 X-20.000 Y120.000",
        "G0 Z40.000",
        "M5",
        "(Bit 2: ball 3 mm, the finish in rows along the grain)",
        "T2 M6",
        "S18000 M3",
        *finish(fine, parts, relief.step_x * parts, relief.step_y * parts),
        "G0 Z40.000",
        "G0 X0.000 Y0.000",
        "M5",
        "M2",
    ]


def rough_tips(relief: Panel) -> Roughing:
    """Return how low the flat bit may go: at its rows, and at some places from each to the next."""
    every = max(1, round(ROUGH_STEP / ACROSS / relief.step_x))
    tips = relief.lowest_tips(FLAT_RADIUS, ball=False, every=every)
    return Roughing(tips + np.float32(LEFT_ON), relief.step_x * every, relief.step_y)


CARD = """\
# A relief of a heron, cut on Plover: roughed with a flat bit, finished with a ball bit. Written by relief.py.

program = "heron-relief.nc"
machine = "plover.toml"

[board]
material = "lime"
size = ["180 mm", "240 mm", "20 mm"]
at = ["120 mm", "90 mm"]
bottom = "-80 mm"
spread = "0.3 mm"
grain = "y"

[zero]
x = "left"
y = "front"
z = "top"
plus_minus = "0.5 mm"
plus_minus_z = "0.2 mm"

[start]
above_top = "10 mm"

[holding]
by = "clamps"
force = "900 N"

[[bits]]
tool = 1
kind = "flat"
diameter = "6 mm"
flutes = 2
spiral = "down"
centre_cutting = true
cutting_length = "22 mm"
stickout = "35 mm"
shank = "6 mm"
material = "carbide"
max_rpm = "24000 rpm"
runout = "0.03 mm"
speed = "15000 rpm"

[[bits]]
tool = 2
kind = "ball"
diameter = "3 mm"
flutes = 2
spiral = "up"
cutting_length = "12 mm"
stickout = "26 mm"
shank = "3 mm"
material = "carbide"
max_rpm = "24000 rpm"
runout = "0.03 mm"
speed = "15000 rpm"

[[clamps]]
name = "left"
from = ["-40 mm", "100 mm"]
to = ["12 mm", "140 mm"]
height = "27 mm"
plus_minus = "3 mm"

[[clamps]]
name = "right"
from = ["168 mm", "100 mm"]
to = ["220 mm", "140 mm"]
height = "27 mm"
plus_minus = "3 mm"
"""


def main() -> None:
    """Write the program and its cards into a folder."""
    parser = argparse.ArgumentParser(description="Write a relief of a heron, with its cards, into a folder.")
    parser.add_argument("--to", type=Path, required=True, metavar="FOLDER", help="where to write; made if need be")
    parser.add_argument("--lines", type=int, default=LINES, help="about how many lines, %(default)s if not said")
    told = parser.parse_args()
    if not FEWEST <= told.lines <= MOST:
        parser.error(f"--lines: between {FEWEST:,} and {MOST:,}")
    told.to.mkdir(parents=True, exist_ok=True)
    files = {
        "heron-relief.nc": "\n".join(program(told.lines)) + "\n",
        "heron-relief.toml": CARD,
        "plover.toml": (HERE / "plover.toml").read_text(encoding="utf-8"),
    }
    for name, text in files.items():
        (told.to / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

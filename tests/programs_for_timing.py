"""Ten programs of the Tidewater Workshop, a minute to five long, to compare times on.

Millimetres, X0 Y0 at a corner of a board of 300 x 200, Z0 on its top; they start at X0 Y0 Z0.
Each function here yields the lines of one, without its beginning and end.
"""

from collections.abc import Callable, Iterator
from math import cos, exp, hypot, pi, radians, sin

Lines = Iterator[str]

# Strokes of letters on a field 4 wide and 6 high: a start, then (x, y) for a line or (x, y, i, j) for a G3.
STROKES: dict[str, tuple[tuple[tuple[float, ...], ...], ...]] = {
    "A": (((0, 0), (2, 6), (4, 0)), ((1, 3), (3, 3))),
    "C": (((4, 5), (2, 6, -1.5, -0.5), (0, 4, 0, -2), (0, 2), (2, 0, 2, 0), (4, 1, 0.5, 1.5)),),
    "D": (((0, 0), (2, 0), (4, 2, 0, 2), (4, 4), (2, 6, -2, 0), (0, 6), (0, 0)),),
    "E": (((4, 0), (0, 0), (0, 6), (4, 6)), ((0, 3), (3, 3))),
    "H": (((0, 0), (0, 6)), ((4, 0), (4, 6)), ((0, 3), (4, 3))),
    "I": (((2, 0), (2, 6)),),
    "L": (((0, 6), (0, 0), (4, 0)),),
    "N": (((0, 0), (0, 6), (4, 0), (4, 6)),),
    "O": (((4, 2), (4, 4), (2, 6, -2, 0), (0, 4, 0, -2), (0, 2), (2, 0, 2, 0), (4, 2, 0, 2)),),
    "P": (((0, 0), (0, 6), (2.5, 6)), ((0, 3), (2.5, 3), (2.5, 6, 0, 1.5))),
    "R": (((0, 0), (0, 6), (2.5, 6)), ((0, 3), (2.5, 3), (2.5, 6, 0, 1.5)), ((2.5, 3), (4, 0))),
    "S": (((0, 1), (2, 0, 1.5, 0.5), (2, 3, 0, 1.5), (1.1, 3.3)), ((4, 5), (2, 6, -1.5, -0.5), (1.1, 3.3, 0, -1.5))),
    "T": (((2, 0), (2, 6)), ((0, 6), (4, 6))),
    "V": (((0, 6), (2, 0), (4, 6)),),
    "W": (((0, 6), (1, 0), (2, 4), (3, 0), (4, 6)),),
}


def ten_programs() -> dict[str, str]:
    """Return the programs by name."""
    made: dict[str, Callable[[], Lines]] = {
        "heron-relief": heron_relief,
        "shell-relief": shell_relief,
        "round-tray": round_tray,
        "boat-names": boat_names,
        "board-surfacing": board_surfacing,
        "peg-holes": peg_holes,
        "rope-holes": rope_holes,
        "coaster-spiral": coaster_spiral,
        "tray-rims": tray_rims,
        "door-plaque": door_plaque,
    }
    head, tail = ["G21 G90 G17", "M3 S18000", "G0 Z5"], ["G0 Z5", "G0 X0 Y0", "M5", "M30"]
    return {name: "\n".join([*head, *lines(), *tail, ""]) for name, lines in made.items()}


def heron_relief() -> Lines:
    """Cut rows along X, there and back, in lines of 0.4 mm over gentle waves and a body."""
    yield from ("G0 X40 Y50", "G1 Z-2 F600", "F1500")
    for row in range(30):
        y = 50 + 1.2 * row
        for step in range(151):
            x = 40 + 0.4 * (step if row % 2 == 0 else 150 - step)
            body = 3 * exp(-(((x - 70) / 14) ** 2) - ((y - 68) / 9) ** 2)
            yield _to(1, x, y, body - 3.5 - 0.5 * sin(x / 3 + y / 5))


def shell_relief() -> Lines:
    """Cut rows along Y, there and back, in lines of 0.25 to 0.6 mm over the steep ribs of a shell."""
    yield from ("G0 X150 Y40", "G1 Z-3 F600", "F1800")
    for row in range(25):
        x, gone, way = 150 + 1.5 * row, 0.0, [0.0]
        while gone < 70:
            gone += 0.39 + 0.13 * sin(1.7 * len(way) + row)
            way.append(gone)
        for along in way if row % 2 == 0 else reversed(way):
            y = 40 + along
            far = hypot(x - 169, y - 30)
            yield _to(1, x, y, -4 + 0.9 * sin(far / 1.6) + 1.5 * cos((y - 75) / 20))


def round_tray() -> Lines:
    """Clear a round pocket by rings from the middle, twice, going down on a helix."""
    x, y = 150.0, 100.0
    for level in (-2.0, -4.0):
        yield from (_to(0, x + 3, y), _to(0, z=level + 2.5), f"{_to(1, z=level + 2)} F900")
        for turn in range(1, 5):
            yield f"{_to(3, x + 3, y, level + 2 - 0.5 * turn)} I-3 J0"
        yield "F2400"
        for ring in range(1, 13):
            yield _to(1, x + 3 * ring, y)
            yield f"{_to(3, x - 3 * ring, y)} I{-3 * ring} J0"
            yield f"{_to(3, x + 3 * ring, y)} I{3 * ring} J0"
        yield "G0 Z5"


def boat_names() -> Lines:
    """Engrave small letters, line by line."""
    for row, words in enumerate(("SWALLOW", "OLD HERON", "CORAL STAR", "WHITE TERN", "SALTHAVEN", "PRINCESS DORA")):
        for place, letter in enumerate(words):
            for stroke in STROKES.get(letter, ()):
                yield from _stroke(stroke, 60 + 6.2 * place, 160 - 11 * row, 0.9)


def board_surfacing() -> Lines:
    """Skim a board with a broad bit: long lines, short ones between them."""
    yield from ("G0 X5 Y10", "G1 Z-0.6 F600", "F3000")
    for row in range(16):
        yield _to(1, 295 if row % 2 == 0 else 5)
        if row < 15:
            yield _to(1, y=10 + 12 * (row + 1))


def peg_holes() -> Lines:
    """Drill rows of holes, each in three goes."""
    for row in range(5):
        for hole in range(10):
            yield _to(0, 30 + 24 * (hole if row % 2 == 0 else 9 - hole), 30 + 32 * row)
            yield "G0 Z1"
            for depth in (3.0, 6.0, 9.0):
                yield f"{_to(1, z=-depth)} F600"
                yield "G0 Z1"
                if depth < 9:
                    yield _to(0, z=0.5 - depth)
            yield "G0 Z3"


def rope_holes() -> Lines:
    """Bore holes on helices, cut slots on ramps, and flutes with arcs that dive into the wood."""
    for hole in range(4):
        x, radius = 40 + 60 * hole, 2.5 + hole
        yield from (_to(0, x + radius, 40), "G0 Z0.5", "G1 Z0 F600", "F1200")
        for turn in range(1, 9):
            yield f"{_to(2, x + radius, 40, -0.8 * turn)} I{-radius:g} J0"
        yield from (f"{_to(2, x + radius, 40)} I{-radius:g} J0", "G0 Z5")
    for slot in range(3):
        x, y = 40 + 80 * slot, 80
        yield from (_to(0, x, y), "G0 Z0.5", "G1 Z0 F600", "F1800")
        for ramp in range(1, 11):
            yield _to(1, x + 50 * (ramp % 2), y + 20 * (ramp % 2), -0.6 * ramp)
        yield from (_to(1, x + 50, y + 20), "G0 Z5")
    for flute in range(12):
        x, y = 40 + 18 * flute, 130
        yield from (_to(0, x, y), "G0 Z0.5", "G1 Z0 F600", "G18 F1500")
        yield from (
            f"{_to(2, x + 12, z=0)} I6 K8",
            f"{_to(1, x + 12, y + 40)}",
            f"{_to(3, x, z=0)} I-6 K8",
            "G17 G0 Z5",
        )


def coaster_spiral() -> Lines:
    """Cut outwards on a spiral of chords of 0.8 mm."""
    yield from ("G0 X152 Y100", "G1 Z-1.5 F600", "F2400")
    angle = 0.0
    while (radius := 2 + 1.6 * angle / (2 * pi)) < 36:
        yield _to(1, 150 + radius * cos(angle), 100 + radius * sin(angle))
        angle += 0.8 / radius


def tray_rims() -> Lines:
    """Cut rectangles with round corners at three depths: two counter-clockwise (G3), two clockwise (G2)."""
    wide, high = 55.0, 32.5
    for tray in range(4):
        x, y, turn = 85 + 130 * (tray % 2), 52.5 + 85 * (tray // 2), 3.0 + 4 * tray
        g, side = (3, 1) if tray % 2 == 0 else (2, -1)
        corners = ((side, -1), (side, 1), (-side, 1), (-side, -1))
        headings = ((side, 0), (0, 1), (-side, 0), (0, -1), (side, 0))
        yield from (_to(0, x, y - high), "G0 Z1")
        for depth in (1.5, 3.0, 4.5):
            yield from (f"{_to(1, z=-depth)} F600", "F2100")
            for (right, up), (come_x, come_y), (go_x, go_y) in zip(corners, headings, headings[1:], strict=False):
                i, j = turn * go_x, turn * go_y
                corner_x, corner_y = x + right * wide, y + up * high
                yield _to(1, corner_x - turn * come_x, corner_y - turn * come_y)
                yield f"{_to(g, corner_x + i, corner_y + j)} I{i:g} J{j:g}"
            yield _to(1, x, y - high)
        yield "G0 Z5"


def door_plaque() -> Lines:
    """Cut a star that must be sharp (G61), with dwells, a wavy border, letters and a frame of straight stops."""
    yield from ("G0 X150 Y145", "G4 P2.5", "G0 Z1", "G1 Z-1 F600", "G4 P0.5", "G61 F1500")
    for depth in (1, 2, 3):
        yield f"{_to(1, z=-depth)} F600"
        for point in range(1, 21):
            reach, angle = (45 if point % 2 == 0 else 20), radians(90 + 18 * point)
            yield f"{_to(1, 150 + reach * cos(angle), 100 + reach * sin(angle))} F1500"
    yield from ("G64", "G0 Z5", "G0 X20 Y20", "G4 P1", "G1 Z-1.5 F600", "F2700")
    for x in range(1, 521):
        yield _to(1, 20 + x / 2, 20 + 4 * sin(x / 9) ** 3)
    yield from ("G0 Z5", "G61.1", "G0 X20 Y170", "G1 Z-2 F800")
    for side in range(1, 13):
        yield _to(1, 20 + 20 * side, 170 + 10 * (side % 2))
    yield from ("G64", "G0 Z5", "G4 P0.75")
    for place, letter in enumerate("TIDEWATER"):
        for stroke in STROKES[letter]:
            yield from _stroke(stroke, 235 + 6 * (place % 5), 110 - 12 * (place // 5), 1.1)


def _stroke(stroke: tuple[tuple[float, ...], ...], left: float, low: float, size: float) -> Lines:
    """Engrave a stroke of a letter whose field begins at left and low, ``size`` mm to its unit."""
    (x, y), *rest = stroke
    yield from (_to(0, left + size * x, low + size * y), "G0 Z0.5", "G1 Z-0.4 F600", "F1000")
    for x, y, *centre in rest:
        arc = f" I{size * centre[0]:g} J{size * centre[1]:g}" if centre else ""
        yield _to(3 if centre else 1, left + size * x, low + size * y) + arc
    yield "G0 Z2"


def _to(g: int, x: float | None = None, y: float | None = None, z: float | None = None) -> str:
    """Return a line that moves to the given places [mm], to 0.001 as programs have them."""
    words = [
        f"{axis}{round(place, 3) + 0:g}" for axis, place in zip("XYZ", (x, y, z), strict=True) if place is not None
    ]
    return f"G{g} {' '.join(words)}"

"""Writes the programs of the Tidewater Workshop's examples: ``python make_programs.py`` in this folder.

A program here is a list of lines, made by a few plain functions. Numbers are written with as many
decimals as the unit needs, so that the text is the same on every machine.
"""

from pathlib import Path

HERE = Path(__file__).parent

Lines = list[str]


def words(digits: int, **letters: float) -> str:
    """Return words as ``X12.5 Y-3``, without needless zeros."""
    return " ".join(f"{letter.upper()}{_number(value, digits)}" for letter, value in letters.items())


def _number(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def plaque(park_z: float) -> Lines:
    """Return the house-number plaque in millimetres: a vee bit for the number, a flat bit for the outline.

    ``park_z`` is how high the bit travels to the place where it is changed.
    """
    lines = [
        "(House number plaque, 300 x 140 x 18 white oak)",
        "(Zero: front left corner, top of the board)",
        "G21 G90 G17 G94 G54 G40 G49 G80",
        "(Bit 1: vee 60 degrees, the number)",
        "T1 M6",
        "S18000 M3",
        "G0 Z20",
    ]
    lines += _number_27()
    lines += [
        f"G0 Z{_number(park_z, 3)}",
        "G0 X-20 Y70",
        "G0 Z40",
        "M5",
        "(Bit 2: flat 6 mm, the outline with four tabs)",
        "T2 M6",
        "S18000 M3",
        "G0 Z20",
    ]
    lines += _outline(left=24.0, front=17.0, right=276.0, back=123.0, corner=13.0)
    return [*lines, "G0 Z40", "G0 X0 Y0", "M5", "M30"]


def _number_27() -> Lines:
    deep = -1.5
    return [
        "G0 X88 Y88",
        "G0 Z2",
        f"G1 Z{deep} F300",
        "G2 X124 Y88 I18 J0 F1800",
        "G2 X118.7279 Y75.2721 I-18 J0",
        "G1 X88 Y40",
        "G1 X126 Y40",
        "G0 Z20",
        "G0 X160 Y106",
        "G0 Z2",
        f"G1 Z{deep} F300",
        "G1 X204 Y106 F1800",
        "G1 X178 Y40",
        "G0 Z20",
    ]


def _outline(*, left: float, front: float, right: float, back: float, corner: float) -> Lines:
    """Return six passes round a rounded rectangle, clockwise, the last with tabs."""
    passes = [-3.1 * number for number in range(1, 7)]
    middle = (left + right) / 2
    lines = [f"G0 {words(3, x=left, y=front + corner)}", "G0 Z2", "G1 Z0 F300"]
    for number, deep in enumerate(passes, start=1):
        tab = deep if number < len(passes) else -15.0
        lines += [
            f"(pass {number})",
            f"G1 {words(3, y=back - corner, z=deep)} F1900",
            f"G2 {words(3, x=left + corner, y=back, i=corner, j=0)} F2000",
            *_side(right - corner, middle, deep, tab),
            f"G2 {words(3, x=right, y=back - corner, i=0, j=-corner)}",
            f"G1 {words(3, y=front + corner)}",
            f"G2 {words(3, x=right - corner, y=front, i=-corner, j=0)}",
            *_side(left + corner, middle, deep, tab),
            f"G2 {words(3, x=left, y=front + corner, i=0, j=corner)}",
        ]
    # The first side was a ramp down: once more along it, at full depth.
    return [*lines, f"G1 {words(3, y=back - corner)}", "G0 Z20"]


def _side(end: float, middle: float, deep: float, tab: float) -> Lines:
    """Return a side along X, with two tabs of 12 mm when ``tab`` lies above ``deep``."""
    if tab == deep:
        return [f"G1 {words(3, x=end)}"]
    way = 1 if end > middle else -1
    lines = []
    for place in (middle - way * 60, middle + way * 60):
        lines += [
            f"G1 {words(3, x=place - way * 6)} F2000",
            f"G1 {words(3, z=tab)} F600",
            f"G1 {words(3, x=place + way * 6)} F2000",
            f"G1 {words(3, z=deep)} F300",
        ]
    return [*lines, f"G1 {words(3, x=end)} F2000"]


def tray() -> Lines:
    """Return the tray in inches: two round-cornered pockets and a round one, quarter inch flat bit."""
    lines = [
        "%",
        "(Tray, 14 x 8 x 3/4 walnut)",
        "(Zero: front left corner, top of the board)",
        "G20 G90 G17 G94 G54 G40 G49 G80",
        "(Bit 1: flat 1/4 in)",
        "T1 M6",
        "S20000 M3",
        "G0 Z0.75",
    ]
    lines += _pocket(left=1.0, front=1.0, right=6.0, back=7.0)
    lines += _pocket(left=6.75, front=4.25, right=13.0, back=7.0)
    lines += _round(x=9.875, y=2.375, radius=1.375)
    return [*lines, "G0 Z1.5", "G0 X0 Y0", "M5", "M30", "%"]


def _pocket(*, left: float, front: float, right: float, back: float) -> Lines:
    """Return a pocket cut from the inside out by round-cornered loops, in three layers."""
    radius, step, corner = 0.125, 0.1, 0.25
    layers = (-0.12, -0.24, -0.36)
    inset_most = min(right - left, back - front) / 2 - radius
    insets = [radius + step * number for number in range(int(inset_most / step), -1, -1)]
    lines: Lines = []
    for deep in layers:
        first = insets[0]
        lines += [
            f"G0 {words(4, x=left + first, y=front + first)}",
            "G0 Z0.1",
            f"G1 {words(4, z=deep + 0.12)} F15",
            f"G1 {words(4, x=right - first, z=deep)} F30",
        ]
        for inset in insets:
            lines += _loop(left + inset, front + inset, right - inset, back - inset, corner if inset < corner else 0)
        lines += ["G0 Z0.75"]
    return lines


def _loop(left: float, front: float, right: float, back: float, corner: float) -> Lines:
    """Return a loop against the clock from the front left corner, with round corners or square ones."""
    lines = [f"G1 {words(4, x=left + corner, y=front)} F80", f"G1 {words(4, x=right - corner)}"]
    if corner:
        return [
            *lines,
            f"G3 {words(4, x=right, y=front + corner, i=0, j=corner)}",
            f"G1 {words(4, y=back - corner)}",
            f"G3 {words(4, x=right - corner, y=back, i=-corner, j=0)}",
            f"G1 {words(4, x=left + corner)}",
            f"G3 {words(4, x=left, y=back - corner, i=0, j=-corner)}",
            f"G1 {words(4, y=front + corner)}",
            f"G3 {words(4, x=left + corner, y=front, i=corner, j=0)}",
        ]
    return [*lines, f"G1 {words(4, y=back)}", f"G1 {words(4, x=left)}", f"G1 {words(4, y=front)}"]


def _round(*, x: float, y: float, radius: float) -> Lines:
    """Return a round pocket: a helix down in the middle, then wider and wider circles."""
    bit, step = 0.125, 0.1
    lines: Lines = []
    for deep in (-0.12, -0.24, -0.36):
        inner = 0.1
        lines += [
            f"G0 {words(4, x=x + inner, y=y)}",
            "G0 Z0.1",
            f"G1 {words(4, z=deep + 0.12)} F15",
            f"G3 {words(4, x=x + inner, y=y, z=deep, i=-inner, j=0)} F30",
            f"G3 {words(4, x=x + inner, y=y, i=-inner, j=0)}",  # once more at full depth, or a nub is left
        ]
        reach = inner
        while reach < radius - bit - 1e-9:
            reach = min(reach + step, radius - bit)
            lines += [f"G1 {words(4, x=x + reach)} F60", f"G3 {words(4, x=x + reach, y=y, i=-reach, j=0)} F80"]
        lines += ["G0 Z0.75"]
    return lines


def main() -> None:
    """Write the programs beside this file."""
    programs = {"plaque.nc": plaque(park_z=20.0), "plaque-spoilt.nc": plaque(park_z=3.0), "tray.nc": tray()}
    for name, lines in programs.items():
        (HERE / name).write_text("\n".join(lines) + "\n", encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()

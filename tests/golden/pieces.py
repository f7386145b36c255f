"""Programs as lists of lines, so that a planted line keeps its number through every way of writing them."""

import math
from dataclasses import dataclass, replace

Word = tuple[str, float]


@dataclass(frozen=True)
class Line:
    """A line: its words, or text as it stands; ``planted``: the line at which the fault is to be found."""

    words: tuple[Word, ...] = ()
    text: str = ""
    planted: bool = False


Program = list[Line]
LENGTHS = "XYZIJKRQF"


def line(text):
    """Return a line of words, as ``G1 X10 F1500``; a comment or anything else stays text."""
    parts = text.split()
    if (
        not parts
        or text.startswith(("(", ";", "%", "O", "o", "#"))
        or any("[" in part or "#" in part for part in parts)
    ):
        return Line(text=text)
    return Line(words=tuple((part[0], float(part[1:])) for part in parts))


def program(text):
    return [line(row) for row in text.strip().splitlines()]


def number(value, digits):
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else str(round(value))
    return "0" if text in {"-0", ""} else text


@dataclass(frozen=True, kw_only=True)
class Style:
    """A way in which programs come: units, spaces, numbers, case, what frames them, how lines end."""

    inch: bool = False
    spaces: bool = True
    numbered: bool = False
    lower: bool = False
    percent: bool = False
    bare_zero: bool = False  # .5 for 0.5
    decimals: int = 3
    ends: str = "\n"
    last_end: bool = True
    comments: str = "()"

    def write(self, lines):
        """Return the text, and the number of the planted line, None without one."""
        rows, planted = list[str](), None
        if self.percent:
            rows.append("%")
        for own in lines:
            row = self._comment(own.text) if not own.words else self._words(own.words)
            if self.numbered and own.words:
                row = f"N{10 * (len(rows) + 1)} {row}"
            rows.append(row.lower() if self.lower and own.words else row)
            if own.planted:
                planted = len(rows)
        if self.percent:
            rows.append("%")
        text = self.ends.join(rows) + (self.ends if self.last_end else "")
        return text, planted

    def _comment(self, text):
        if self.comments == ";" and text.startswith("("):
            return f"; {text.strip('()')}"
        return text

    def _words(self, words):
        told = [self._word(letter, value) for letter, value in words]
        return (" " if self.spaces else "").join(told)

    def _word(self, letter, value):
        if letter == "G" and value in {20, 21}:
            return "G20" if self.inch else "G21"
        if letter not in LENGTHS:
            return f"{letter}{number(value, 1)}"
        if self.inch:
            value /= 25.4
        text = number(value, self.decimals + (1 if self.inch else 0) if letter != "F" else 2 if self.inch else 0)
        if self.bare_zero and text.startswith(("0.", "-0.")):
            text = text.replace("0.", ".", 1)
        return letter + text


def find(lines, text, nth=1):
    """Return where a line stands, its nth time."""
    wanted = line(text)
    rows = [row for row, own in enumerate(lines) if own.words == wanted.words and own.text == wanted.text]
    return rows[nth - 1]


def put(lines, after, *rows, planted=0, nth=1):
    """Return the program with lines after a line; ``planted``: which of them is the fault, None for none."""
    at = find(lines, after, nth) + 1
    new = [replace(line(row), planted=index == planted) for index, row in enumerate(rows)]
    return [*lines[:at], *new, *lines[at:]]


def swap(lines, old, new, *, nth=1, planted=True):
    """Return the program with a line changed."""
    at = find(lines, old, nth)
    return [*lines[:at], replace(line(new), planted=planted), *lines[at + 1 :]]


def drop(lines, old, *, nth=1):
    """Return the program without a line; the fault shows on the one after it."""
    at = find(lines, old, nth)
    after = replace(lines[at + 1], planted=True) if at + 1 < len(lines) else None
    return [*lines[:at], *([after] if after else []), *lines[at + 2 :]]


def mark(lines, text, nth=1):
    """Return the program with the fault on a line that is there."""
    at = find(lines, text, nth)
    return [*lines[:at], replace(lines[at], planted=True), *lines[at + 1 :]]


def moved(lines, x=0.0, y=0.0, z=0.0):
    """Return the program about another zero: every absolute place shifted, centres and radii as they are."""
    by = {"X": x, "Y": y, "Z": z, "R": 0.0}
    return [replace(own, words=tuple((k, v + by.get(k, 0.0)) for k, v in own.words)) for own in lines]


HEAD = "G21 G90 G17 G94 G54 G40 G49\nS16000 M3\n"
FOOT = "G0 Z30\nG0 X0 Y0\nM5\nM30\n"


def pocket():
    """A pocket of 90 by 50 mm, 6 mm deep, in three layers from the middle out, ramped in."""
    rows = ["(pocket)"]
    for deep in (-2, -4, -6):
        rows += ["G0 X50 Y50", "G0 Z2", f"G1 Z{deep + 2} F300", f"G1 X80 Z{deep} F600"]
        for step in range(6):
            left, front, right, back = 50 - 5 * step + 3, 50 - 5 * step + 3, 90 + 5 * step - 3, 50 + 5 * step - 3
            if back <= front:
                continue
            rows += [f"G1 X{left} Y{front} F1800", f"G1 X{right}", f"G1 Y{back}", f"G1 X{left}", f"G1 Y{front}"]
        rows += ["G0 Z15"]
    return program(HEAD + "G0 Z20\n" + "\n".join(rows) + "\n" + FOOT)


def outline():
    """A plate of 100 by 60 mm cut out of 12 mm in four passes, with four tabs of 12 mm way, 4.5 mm high."""
    rows = ["(outline)", "G0 X40 Y40", "G0 Z2"]
    for deep in (-3.2, -6.4, -9.6, -12.5):
        tab = max(deep, -7.5)
        rows += [f"G1 Z{deep} F300", "G1 Y57 F1800", f"G1 Z{tab} F300", "G1 Y69 F1800", f"G1 Z{deep} F300"]
        rows += ["G1 Y97 F1800", "G2 X43 Y100 I3 J0", "G1 X84", f"G1 Z{tab} F300", "G1 X96 F1800"]
        rows += [f"G1 Z{deep} F300", "G1 X137 F1800", "G2 X140 Y97 I0 J-3", "G1 Y69", f"G1 Z{tab} F300"]
        rows += ["G1 Y57 F1800", f"G1 Z{deep} F300", "G1 Y43 F1800", "G2 X137 Y40 I-3 J0", "G1 X96"]
        rows += [f"G1 Z{tab} F300", "G1 X84 F1800", f"G1 Z{deep} F300", "G1 X43 F1800", "G2 X40 Y43 I0 J3", "G1 Y40"]
    return program(HEAD + "G0 Z20\n" + "\n".join(rows) + "\nG0 Z15\n" + FOOT)


def letters():
    """A V and an L, 40 mm high, with a vee bit 2 mm deep."""
    return program(
        HEAD + "G0 Z20\n(letters)\nG0 X40 Y90\nG0 Z2\nG1 Z-2 F300\nG1 X55 Y50 F1900\nG1 X70 Y90\nG0 Z15\n"
        "G0 X85 Y90\nG0 Z2\nG1 Z-2 F300\nG1 Y50 F1900\nG1 X110\nG0 Z15\n" + FOOT
    )


def surfacing():
    """Half a millimetre off 160 by 90 mm with a bit of 20 mm, 12 mm from row to row."""
    rows, right = ["(surfacing)", "G0 X-15 Y0", "G0 Z2", "G1 Z-0.5 F300", "G1 X0 F2000"], True
    for step in range(9):
        rows += [f"G1 X{175 if right else -15} F2000", f"G1 Y{12 * (step + 1)}"]
        right = not right
    return program(HEAD.replace("16000", "12000") + "G0 Z30\n" + "\n".join(rows) + "\nG0 Z15\n" + FOOT)


def drilling():
    """Twelve holes of 5 mm, 9 mm deep, in pecks, and four shallow ones."""
    rows = ["(holes)", "G0 X30 Y30", "G99 G83 X30 Y30 Z-9 R2 Q3 F300"]
    rows += [f"X{x} Y{y}" for y in (30, 60, 90) for x in (30, 70, 110, 150)][1:]
    rows += ["G80", "G0 Z15", "G99 G81 X50 Y45 Z-3 R2 F300", "X90", "Y75", "X50", "G80"]
    return program(HEAD + "G0 Z20\n" + "\n".join(rows) + "\nG0 Z15\n" + FOOT)


def bores():
    """Two ring grooves of 30 mm by helices, 10 mm deep, then a full circle along their floor."""
    rows = ["(bores)"]
    for x in (50, 120):
        rows += [f"G0 X{x - 12} Y60", "G0 Z2", "G1 Z0 F300"]
        rows += [f"G2 X{x - 12} Y60 Z{-2 * turn} I12 J0 F1800" for turn in range(1, 6)]
        rows += [f"G2 X{x - 12} Y60 I12 J0", "G0 Z15"]
    return program(HEAD + "G0 Z20\n" + "\n".join(rows) + "\n" + FOOT)


def relief():
    """Waves 5 mm deep at most, cut by a ball bit in rows 1 mm apart and steps of 2 mm."""
    rows = ["(waves)", "G0 X40 Y40", "G0 Z2", "G1 Z-2.2 F300"]
    for step in range(26):
        xs = range(40, 101, 2)
        for x in xs if step % 2 == 0 else reversed(xs):
            deep = -1.5 - 1.2 * math.sin(x / 9) - 0.8 * math.cos((40 + step) / 5)
            rows.append(f"G1 X{x} Y{40 + step} Z{deep:.3f} F1800")
    rows.remove(rows[4])  # the plunge stands for the first of them
    return program(HEAD + "G0 Z20\n" + "\n".join(rows) + "\nG0 Z15\n" + FOOT)


def two_bits():
    """Holes with a drill, then a groove with a flat bit: a change in between."""
    return program(
        "G21 G90 G17 G94 G54 G40 G49\nT1 M6\nS16000 M3\nG0 Z20\n(holes)\nG0 X40 Y40\n"
        "G99 G83 X40 Y40 Z-9 R2 Q3 F300\nX120\nG80\nG0 Z40\nM5\nT2 M6\nS16000 M3\nG0 Z20\n(groove)\n"
        "G0 X40 Y70\nG0 Z2\nG1 Z-3 F300\nG1 X140 F1800\nG0 Z20\n" + FOOT
    )


def arcs():
    """A rounded slot by R words, then one more by I and J, 3 mm deep."""
    return program(
        HEAD + "G0 Z20\n(slots)\nG0 X40 Y50\nG0 Z2\nG1 Z-3 F300\nG1 X80 F1800\nG3 X80 Y70 R10\nG1 X40\nG3 X40 Y50 R10\n"
        "G0 Z15\nG0 X110 Y50\nG0 Z2\nG1 Z-3 F300\nG2 X130 Y70 I0 J20 F1800\nG1 X140\nG0 Z15\n" + FOOT
    )


def steps():
    """A groove in relative steps, layer by layer."""
    rows = ["(relative)", "G0 X40 Y60", "G0 Z2", "G1 Z0 F300", "G91"]
    for _ in range(3):
        rows += ["G1 Z-1.5 F300", "G1 X60 F1800", "G1 Y8", "G1 X-60", "G1 Y-8"]
    return program(HEAD + "G0 Z20\n" + "\n".join([*rows, "G90", "G0 Z15"]) + "\n" + FOOT)


def fluting():
    """Round grooves that dive in and out along arcs in the XZ plane, with a ball bit."""
    rows = ["(flutes)", "G18"]
    for y in (45, 60, 75):
        rows += [f"G0 X40 Y{y}", "G0 Z2", "G1 Z0 F300", "G3 X60 Z-2 R101 F1800", "G1 X120", "G3 X140 Z0 R101", "G0 Z15"]
    return program(HEAD + "G0 Z20\n" + "\n".join([*rows, "G17"]) + "\n" + FOOT)


def parts():
    """A groove that is written once and called three times, with numbers worked out."""
    return program(
        "O1\n" + HEAD + "G0 Z20\n(called parts)\n#1=45\nM98 P2 L3\nG0 Z30\nG0 X0 Y0\nM5\nM30\nO2\nG0 X40 Y#1\nG0 Z2\n"
        "G1 Z-2.5 F300\nG1 X[40+80] F1800\nG0 Z15\n#1=[#1+12]\nM99\n"
    )

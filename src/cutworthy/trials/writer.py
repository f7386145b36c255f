"""Writes the text of a test program: absolute places in the machine's own units, comments that a person reads first."""

from collections.abc import Iterable
from math import ceil
from typing import Literal, get_args

from cutworthy.errors import TrialError
from cutworthy.model.machine import AXES, Machine
from cutworthy.model.trial import Trial
from cutworthy.units import MM_PER_INCH, S_PER_MIN

__all__ = ["WAYS", "Way", "Writer", "made_for", "mark_of", "round_size"]

Way = Literal["ccw", "cw"]  # round a circle, seen from above
WAYS: tuple[Way, ...] = get_args(Way)
NAME_MARK, CARD_MARK = "Machine:", "made for card"
MARK_LENGTH = 16  # of the digest: enough to tell states of one card apart, short enough to be no riddle
LIFT_MM = 10.0  # the first thing that every test program does is to raise Z by this
ROUND_INCH_MM = 25.0
LONGEST = 70  # characters of a comment: some controls show no more
DECIMALS = {"mm": 4, "inch": 5}
ROUNDED = 1e-2  # of the last place: what quarters of a circle with rounded ends go beyond it

READ = "READ THIS FIRST, and only run it when you have read it to its end."
WATCH = "One hand on the stop, eyes on the machine. Nobody else near it."
IN_THE_AIR = "Router unplugged, bit out, nothing on the table."
IN_WOOD = "THIS ONE CUTS WOOD: eyes and ears covered, dust collector on, the board held at its ends, nobody near."
START = (
    "Set X, Y and Z to zero there, in G54, with no tool length in force, and press start from there. Z must go up "
    "first. If it does anything else, stop."
)


class Writer:
    """Collects the lines of one test program and how far it goes.

    Parameters
    ----------
    machine
        Whose units it is written in.
    digest
        Of the machine's card.
    cuts
        Whether it cuts wood.
    """

    def __init__(self, machine: Machine, digest: str, *, cuts: bool = False) -> None:
        self._machine, self._digest = machine, digest
        self._caution = IN_WOOD if cuts else IN_THE_AIR
        self._per_mm = 1.0 if machine.units == "mm" else 1 / MM_PER_INCH
        self._decimals = DECIMALS[machine.units]
        self._lines: list[str] = []
        self.lift_mm = round_size(machine, LIFT_MM)
        self._far = [0.0, 0.0, self.lift_mm]
        self._feed: str | None = None
        self._stops: list[str] = []
        self._down_mm = 0.0

    def say(self, *sentences: str) -> None:
        """Add comments, one to a line."""
        self._lines += [f"({_plain(part)})" for sentence in sentences for part in _wrapped(sentence)]

    def turn_spindle(self, rpm: float) -> None:
        """Let the program turn the spindle, where it can; a router is switched on by hand."""
        if self._machine.spindle.switched_by == "program":
            self._lines.append(f"S{rpm:.0f} M3")
            self._stops = ["M5"]

    def lift(self) -> None:
        """Raise Z above its zero."""
        self._lines.append(f"G0 Z{self._number(self.lift_mm)}")

    def travel(self, x_mm: float, y_mm: float) -> None:
        """Go fast, raised as it is."""
        self._reach(x_mm, y_mm)
        self._lines.append(f"G0 X{self._number(x_mm)} Y{self._number(y_mm)}")

    def go(
        self, speed_mm_s: float, *, x_mm: float | None = None, y_mm: float | None = None, z_mm: float | None = None
    ) -> None:
        """Feed straight to a place; an axis left out stays."""
        self._reach(x_mm or 0.0, y_mm or 0.0)
        self._down_mm = max(self._down_mm, -(z_mm or 0.0))
        words = [
            f"{name}{self._number(at)}" for name, at in zip("XYZ", (x_mm, y_mm, z_mm), strict=True) if at is not None
        ]
        self._lines.append(" ".join(["G1", *words, *self._at(speed_mm_s)]))

    def turn(self, speed_mm_s: float, way: Way, x_mm: float, y_mm: float, radius_mm: float) -> None:
        """Feed along an arc of less than half a turn to a place; what I and J count from plays no part then."""
        word = "G2" if way == "cw" else "G3"
        place = f"X{self._number(x_mm)} Y{self._number(y_mm)} R{self._number(radius_mm)}"
        self._lines.append(" ".join([word, place, *self._at(speed_mm_s)]))

    def wait(self, seconds: float) -> None:
        """Stand still, so that something can be read."""
        self._lines.append(f"G4 P{seconds:g}")

    def room(self, x_mm: float, y_mm: float) -> None:
        """Note how far the program goes where its ends do not tell."""
        self._reach(x_mm, y_mm)

    def trial(self, name: str, title: str, what: Iterable[str]) -> Trial:
        """Return the program, with its heading and its end.

        Raises
        ------
        TrialError
            When it needs more travel than the card has.
        """
        self._refuse_long_ways()
        body, self._lines = self._lines, []
        unit = "mm" if self._machine.units == "mm" else "inch"
        wide, deep, high = (f"{self._rounded_up(far):g} {unit}" for far in self._far)
        self.say(title, READ, self._caution, WATCH)
        self.say(
            f"Jog to a place from which X can go {wide} to the right, Y {deep} to the back and Z {high} up. "
            "Turn every knob for speed to 100 percent.",
            START,
            *what,
        )
        self.say(f"{NAME_MARK} {self._machine.name}", f"{CARD_MARK} {self._digest[:MARK_LENGTH]}")
        head = [*self._lines, "G21" if unit == "mm" else "G20", "G90 G17 G94 G54 G40 G49 G64"]
        text = "\n".join([*head, *body, *self._stops, "M2", ""])
        x, y, z = (self._rounded_up(far) / self._per_mm for far in self._far)
        return Trial(name=name, text=text, room_mm=(x, y, z))

    def length(self, value_mm: float) -> str:
        """Return a length in the machine's unit."""
        return f"{self._number(value_mm)} {'mm' if self._machine.units == 'mm' else 'inch'}"

    def _at(self, speed_mm_s: float) -> list[str]:
        feed = f"F{self._number(speed_mm_s * S_PER_MIN)}"
        if feed == self._feed:
            return []
        self._feed = feed
        return [feed]

    def _reach(self, x_mm: float, y_mm: float) -> None:
        self._far[0], self._far[1] = max(self._far[0], x_mm), max(self._far[1], y_mm)

    def _refuse_long_ways(self) -> None:
        x, y, up = self._far
        for name, far in zip(AXES, (x, y, up + self._down_mm), strict=True):
            travel = self._machine.axes[name].travel_mm
            if far > travel.low:
                unit = "mm" if self._machine.units == "mm" else "in"
                less = f", {self._number(travel.low)} {unit} for sure" if travel.low < travel.value else ""
                msg = (
                    f"this test needs {self._number(far)} {unit} along {name.upper()}, and axes.{name}.travel on the "
                    f"card is {self._number(travel.value)} {unit}{less}; if the machine goes farther, correct it, "
                    "else this test cannot be run on this machine"
                )
                raise TrialError(msg)

    def _rounded_up(self, value_mm: float) -> float:
        """Return a length as a person jogs it, in the machine's unit: to 1 mm or 0.1 in, and never less."""
        fine = 1 if self._machine.units == "mm" else 10
        return ceil(value_mm * self._per_mm * fine - ROUNDED) / fine

    def _number(self, value_mm: float) -> str:
        text = f"{value_mm * self._per_mm:.{self._decimals}f}".rstrip("0").rstrip(".")
        return "0" if text in {"-0", ""} else text


def round_size(machine: Machine, size_mm: float) -> float:
    """Return a size [mm] that is a round number in the machine's units: an inch is taken for 25 mm."""
    return size_mm if machine.units == "mm" else size_mm / ROUND_INCH_MM * MM_PER_INCH


def mark_of(machine: Machine, digest: str) -> tuple[str, str]:
    """Return the name and the mark that programs made for a machine carry."""
    return _plain(_wrapped(f"{NAME_MARK} {machine.name}")[0]).removeprefix(NAME_MARK).strip(), digest[:MARK_LENGTH]


def made_for(program: str) -> tuple[str, str] | None:
    """Return the name and the mark of the card that a program was made for; None when it is none of ours."""
    lines = [line.strip("() ") for line in program.splitlines()]
    name = next((line.removeprefix(NAME_MARK).strip() for line in lines if line.startswith(NAME_MARK)), None)
    mark = next((line.removeprefix(CARD_MARK).strip() for line in lines if line.startswith(CARD_MARK)), None)
    return None if name is None or mark is None else (name, mark)


def _wrapped(sentence: str) -> list[str]:
    """Return a sentence in pieces that fit into comments."""
    lines, line = [], ""
    for word in sentence.split():
        if line and len(line) + 1 + len(word) > LONGEST:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def _plain(text: str) -> str:
    """Return text as any control takes it between round brackets: the machine's name may hold anything."""
    return "".join(c if c.isascii() and c.isprintable() and c not in "()%;" else " " for c in text)

"""What a control remembers from line to line (NISTIR 6556, 2.1.2 and 3.6.1)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from cutworthy.model.program import Doubt, Plane
from cutworthy.program.options import ReadOptions
from cutworthy.units import MM_PER_INCH

__all__ = ["CERTAIN", "NOWHERE", "Doubts", "Point", "SeriesOfHoles", "State"]

Point = tuple[float, float, float]
Doubts = tuple[int, int, int]

NOWHERE: Point = (0.0, 0.0, 0.0)
CERTAIN: Doubts = (Doubt.NONE, Doubt.NONE, Doubt.NONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesOfHoles:
    """The sticky numbers of the drilling cycle in force, in program units (NISTIR 6556, 3.5.16)."""

    code: str
    bottom: float
    back_to: float
    dwell_s: float
    peck: float
    height_mm: float


@dataclass
class State:
    """Everything that one line leaves to the next. Values are replaced, never changed in place.

    ``here``: where the tool's tip is, in the zero frame [mm], and what each coordinate rests on in
    ``doubt``. Program coordinate = ``here`` - ``shift``. ``clouds``: for each cause what it does to
    the certainty of ``shift``; ``shift_doubt`` is the worst of them. ``feed``: the number of the F
    word, None when there is none, NaN when it cannot be worked out; ``why_no_feed``: the case of
    ``feed-missing``. ``stored_shift``: what G92.3 brings back, None before any G92.
    """

    here: Point
    doubt: Doubts
    system: str
    inches: bool
    shift: Point = NOWHERE
    clouds: Mapping[str, Doubts] = field(default_factory=dict)
    shift_doubt: Doubts = CERTAIN
    stored_shift: Point | None = None
    stored_doubt: Doubts = CERTAIN
    units_stated: frozenset[str] = frozenset()
    stated: frozenset[str] = frozenset()
    moved: bool = False
    motion: str = "G80"
    plane: Plane = Plane.XY
    absolute: bool = True
    inverse_time: bool = False
    old_height: bool = True
    centres: str = "relative"
    series: SeriesOfHoles | None = None
    feed: float | None = None
    why_no_feed: str = "never"
    speed: float | None = None
    spindle: int = 0
    selected: int = 0
    tool: int = 0
    homes_some_axes: bool = False
    ended: bool = False

    @classmethod
    def at_start(cls, options: ReadOptions) -> "State":
        """Return the state in which the control begins the program."""
        start = options.start_mm
        units = options.assumed_units if options.units_at_start == "unknown" else options.units_at_start
        return cls(
            here=start or NOWHERE,
            doubt=CERTAIN if start else (Doubt.START, Doubt.START, Doubt.START),
            system=options.system,
            inches=units == "inch",
            centres="relative" if options.strict else options.arc_centres,
        )

    @property
    def units(self) -> Literal["mm", "inch"]:
        """The unit in force."""
        return "inch" if self.inches else "mm"

    @property
    def scale(self) -> float:
        """Millimetres in the unit in force."""
        return MM_PER_INCH if self.inches else 1.0

    @property
    def rpm(self) -> float:
        """What the program commands: negative for M4, 0 off, NaN on without any S."""
        if not self.spindle:
            return 0.0
        return float("nan") if self.speed is None else self.spindle * self.speed

    def cloud(self, cause: str, doubts: Doubts) -> None:
        """Say what this cause does to the certainty of program coordinates."""
        self.clouds = {**self.clouds, cause: doubts}
        x, y, z = zip(*self.clouds.values(), strict=True)
        self.shift_doubt = (max(x), max(y), max(z))

    def lose(self, axes: str) -> None:
        """Say that these axes may be anywhere, as ``"XZ"``."""
        x, y, z = (Doubt.LOST if axis in axes else old for axis, old in zip("XYZ", self.doubt, strict=True))
        self.doubt = (x, y, z)

    def target(self, words: Mapping[str, float]) -> tuple[Point, Doubts]:
        """Return where the axis words lead, in the zero frame [mm], and what that rests on."""
        scale = MM_PER_INCH if self.inches else 1.0
        place, doubt = list(self.here), list(self.doubt)
        for axis, letter in enumerate("XYZ"):
            if letter not in words:
                continue
            if self.absolute:
                place[axis] = words[letter] * scale + self.shift[axis]
                doubt[axis] = self.shift_doubt[axis]
            else:
                place[axis] += words[letter] * scale
        return (place[0], place[1], place[2]), (doubt[0], doubt[1], doubt[2])

    def shown(self) -> Point:
        """Return the program coordinates of the tool [mm]."""
        x, y, z = (here - shift for here, shift in zip(self.here, self.shift, strict=True))
        return x, y, z

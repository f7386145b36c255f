"""What a control remembers from line to line (NISTIR 6556, 2.1.2 and 3.6.1)."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from cutworthy.model.program import Doubt, PathMode, Plane
from cutworthy.program.options import ReadOptions
from cutworthy.units import MM_PER_INCH

__all__ = ["CERTAIN", "NOWHERE", "REMEMBERED", "Doubts", "Place", "Point", "SeriesOfHoles", "Side", "State"]

Point = tuple[float, float, float]
Doubts = tuple[int, int, int]
Place = tuple[Point, Doubts]

NOWHERE: Point = (0.0, 0.0, 0.0)
CERTAIN: Doubts = (Doubt.NONE, Doubt.NONE, Doubt.NONE)
STARTING: Doubts = (Doubt.START, Doubt.START, Doubt.START)
REMEMBERED: Doubts = (Doubt.MEMORY, Doubt.MEMORY, Doubt.MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesOfHoles:
    """The sticky numbers of the drilling cycle in force, in program units (NISTIR 6556, 3.5.16)."""

    code: str
    bottom: float
    back_to: float
    dwell_s: float
    peck: float
    aside: tuple[float, float]
    up_to: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """Cutter radius compensation in force (NISTIR 6556, 3.5.10 and Appendix B).

    ``left``: the tool runs left of the programmed path, ``radius_mm`` away from it, never negative.
    ``corner``: the end of the programmed path so far, zero frame [mm], None before the first move;
    ``rests``: what its coordinates rest on.
    """

    left: bool
    radius_mm: float
    corner: tuple[float, float] | None = None
    rests: tuple[int, int] = (Doubt.NONE, Doubt.NONE)


@dataclass
class State:
    """Everything that one line leaves to the next. Values are replaced, never changed in place.

    ``here``: where the tool's tip is, in the zero frame [mm], and what each coordinate rests on in
    ``doubt``. Program coordinate = ``here`` - ``shift``, and ``shift`` is the sum of ``origin`` (of
    the system in force), ``offset`` (G92) and ``length`` (of the tool, in Z), each a place with its
    doubts. ``origins``: of the systems that the program has set. ``stored_offset``: what G92.3
    brings back, None before any G92. ``unsure``: what all words rest on after a code that nobody
    knows. ``system_number``: what #5220 was set to. ``homes``: machine places of G28 and G30 that the program has
    set. ``feed``: the number of the F word, None when there is none, NaN when it cannot be worked
    out; ``why_no_feed``: the case of ``feed-missing``.
    """

    here: Point
    doubt: Doubts
    system: str
    inches: bool
    origin: Place = (NOWHERE, CERTAIN)
    offset: Place = (NOWHERE, CERTAIN)
    length: Place = (NOWHERE, CERTAIN)
    unsure: Doubts = CERTAIN
    system_number: float | None = None
    shift: Point = NOWHERE
    shift_doubt: Doubts = CERTAIN
    origins: Mapping[str, Place] = field(default_factory=dict)
    stored_offset: Place | None = None
    homes: Mapping[str, tuple[float | None, ...]] = field(default_factory=dict)
    probed: Point | None = None
    units_stated: frozenset[str] = frozenset()
    stated: frozenset[str] = frozenset()
    moved: bool = False
    motion: str = "G80"
    plane: Plane = Plane.XY
    absolute: bool = True
    inverse_time: bool = False
    old_height: bool = True
    path: PathMode = PathMode.CONTINUOUS
    centres: str = "relative"
    series: SeriesOfHoles | None = None
    side: Side | None = None
    length_of: int | None = None
    feed: float | None = None
    why_no_feed: str = "never"
    speed: float | None = None
    spindle: int = 0
    mist: bool = False
    flood: bool = False
    overrides: bool = True
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
            doubt=CERTAIN if start else STARTING,
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

    @property
    def begin(self) -> Point:
        """Where the programmed path stands: beside the tool when the cutter's radius is compensated."""
        if self.side is None or self.side.corner is None:
            return self.here
        return (*self.side.corner, self.here[2])

    def origin_of(self, system: str, options: ReadOptions) -> Place:
        """Return the origin of a coordinate system in the zero frame."""
        if system in self.origins:
            return self.origins[system]
        known = system == options.system or options.other_systems_known
        return NOWHERE, CERTAIN if known else REMEMBERED

    def settle(self) -> None:
        """Work out ``shift`` and its doubts anew."""
        x, y, z = map(sum, zip(self.origin[0], self.offset[0], self.length[0], strict=True))
        self.shift = (x, y, z)
        a, b, c = map(max, zip(self.origin[1], self.offset[1], self.length[1], self.unsure, strict=True))
        self.shift_doubt = (a, b, c)

    def lose(self, axes: str) -> None:
        """Say that these axes may be anywhere, as ``"XZ"``."""
        x, y, z = (Doubt.LOST if axis in axes else old for axis, old in zip("XYZ", self.doubt, strict=True))
        self.doubt = (x, y, z)
        if self.side is not None:
            along, up = (Doubt.LOST if axis in axes else old for axis, old in zip("XY", self.side.rests, strict=True))
            self.side = replace(self.side, rests=(along, up))

    def target(self, words: Mapping[str, float]) -> Place:
        """Return where the axis words lead, in the zero frame [mm], and what that rests on.

        An axis whose number nobody knows stays where it is, in doubt.
        """
        scale = MM_PER_INCH if self.inches else 1.0
        place, doubt = list(self.here), list(self.doubt)
        if self.side is not None and self.side.corner is not None:
            place[:2], doubt[:2] = self.side.corner, self.side.rests
        for axis, letter in enumerate("XYZ"):
            if letter not in words:
                continue
            number = words[letter]
            if number != number:  # noqa: PLR0124 - NaN, the quickest way to tell
                doubt[axis] = max(doubt[axis], Doubt.MEMORY)
            elif self.absolute:
                place[axis] = number * scale + self.shift[axis]
                doubt[axis] = self.shift_doubt[axis]
            else:
                place[axis] += number * scale
        return (place[0], place[1], place[2]), (doubt[0], doubt[1], doubt[2])

    def shown(self) -> Point:
        """Return the program coordinates of the tool [mm]."""
        x, y, z = (here - shift for here, shift in zip(self.here, self.shift, strict=True))
        return x, y, z

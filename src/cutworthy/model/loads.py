"""What the cut asks of bit, spindle, axes and holding, stretch by stretch."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Codes, Columns, Floats, Ints, Lines
from cutworthy.model.machine import AxisName
from cutworthy.model.settings import Band
from cutworthy.model.wood import Wood
from cutworthy.reference.tables import limit

__all__ = ["EXPECTED", "HIGH", "LOW", "Again", "AxisMargin", "Loading", "Loads", "Narrowing", "Sizes", "WorstLine"]

LOW, EXPECTED, HIGH = 0, 1, 2  # the last axis of a column with a band


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loads(Columns):
    """Those stretches of the engagement that cut wood with a bit whose shape is known.

    ``stretch``: row of the engagement; ``line``, ``length_mm``, ``depth_mm``: as there. ``tool``: of the bit that cuts.
    ``moves`` (n, 2): rows of the program's moves from which to which it goes. ``speed_mm_s``: the greatest along it.
    ``rpm`` (n, 2): the slowest and the fastest that the bit may turn. ``chip_mm`` (n, 2): feed for each edge at the
    speed reached, where the bit turns fastest and slowest that it may. ``thick_mm``: mean thickness of the chips.
    ``down``: 1 in a straight plunge, where the push is along the bit.

    Low, expected and high, (n, 3): ``push_n`` on the bit, mean of a turn; ``peak_n``: its peak; ``power_w`` of the
    cut; ``output_w``: what the spindle gives at that speed. ``lift_n``: along the bit, at most. Low and high, (n, 2):
    ``bend_mm`` and ``stress_mpa`` of the bit.

    ``margin`` (n, 3, 3): for each axis what it can turn with over what it needs, low, expected, high. ``nut`` (n, 3):
    the least force of its nut's spring over the force expected on it. Both are infinite where nothing is known.
    """

    stretch: Ints
    line: Lines
    tool: Lines
    length_mm: Floats
    depth_mm: Floats
    moves: Ints
    speed_mm_s: Floats
    rpm: Floats
    chip_mm: Floats
    thick_mm: Floats
    push_n: Floats
    peak_n: Floats
    power_w: Floats
    output_w: Floats
    lift_n: Floats
    bend_mm: Floats
    stress_mpa: Floats
    down: Codes
    margin: Floats
    nut: Floats

    def strain(self) -> Floats:
        """Return the stress of the bit at its high end over what is left for safety, (n,)."""
        return np.asarray(self.stress_mpa[:, 1] / limit("bit_stress").value)

    def bending(self) -> Floats:
        """Return the bending of the bit at its high end over the most that is good, (n,)."""
        return np.asarray(self.bend_mm[:, 1] / limit("bit_bend").value)

    def chipping(self, most_mm: float) -> Floats:
        """Return the chip at its high end over the most that a bit may take [mm], (n,); rounding is not more."""
        return np.asarray(self.chip_mm[:, 1] / (most_mm * (1 + 1e-9)))

    def spindle(self) -> Floats:
        """Return the power at its high end over what the spindle surely gives for long, (n,)."""
        return np.asarray(self.power_w[:, HIGH] / (limit("power_share").value * self.output_w[:, LOW]))

    def pushing(self) -> Floats:
        """Return for each axis the margin wanted over the margin at its low end, (n, 3): above 1 is too little."""
        with np.errstate(divide="ignore"):  # nothing at all is left of what rests on guesses
            return np.asarray(limit("torque_margin").value / self.margin[:, :, LOW])


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowing:
    """How many times the expected force a slot asked for by a power meter, and whether it was in the same wood."""

    low: float
    expected: float
    high: float
    is_same_wood: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstLine:
    """A line that comes near a limit: where, which limit, and what share of it is used at its worst; 1 is the limit.

    ``by``: ``bit``, ``spindle``, ``chip``, or an axis.
    """

    line: int
    at_mm: tuple[float, float, float]
    by: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """How much larger than drawn pockets and plugs come out that a bit cuts: from, to [mm], negative smaller.

    ``inside_mm`` of pockets, ``outside_mm`` of plugs.
    """

    tool: int
    inside_mm: tuple[float, float]
    outside_mm: tuple[float, float]

    @property
    def room_mm(self) -> float:
        """How much smaller a plug is to be drawn than its pocket to go in for sure [mm]."""
        return max(0.0, self.outside_mm[1] - self.inside_mm[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisMargin:
    """The least margin of an axis, and on which line it is expected to be least."""

    margin: Band
    line: int


# The loads of some stretches, with the feed so many times as fast and the cut so many times as deep.
Again = Callable[[Ints, float, float], Loads]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loading:
    """All that loads know.

    ``force_ratio``: what an edge asks for at least and at most, over what is expected. ``narrowing``: by a power meter,
    None without one; ``meter_fits``: whether it agrees with the books. ``power_known``: whether the spindle's power is
    on the card. ``margins``: of each axis that cuts; an axis whose drive is not known is in ``unknown_axes`` instead;
    ``guessed``: keys of the others that are not on the card. ``chip_mm``: 5th and 95th percentile of the cut length.
    ``tools``: T numbers of the bits; ``chip_range_mm``: for each the feed for each edge below which it rubs, and the
    greatest. ``knob_pct``: how far the knob for the feed may be turned, None where no setting is in order. ``worst``:
    the lines that come nearest to a limit, the worst first. ``sizes``: for each bit that leaves upright walls.
    ``again``: works some stretches out anew.
    """

    loads: Loads
    wood: Wood
    force_ratio: tuple[float, float]
    narrowing: Narrowing | None
    meter_fits: bool
    power_known: bool
    margins: Mapping[AxisName, AxisMargin]
    unknown_axes: tuple[AxisName, ...]
    guessed: Mapping[AxisName, tuple[str, ...]]
    chip_mm: tuple[float, float] | None
    tools: tuple[int, ...]
    chip_range_mm: tuple[tuple[float, float], ...]
    knob_pct: tuple[int, int] | None
    worst: tuple[WorstLine, ...]
    sizes: tuple[Sizes, ...]
    again: Again

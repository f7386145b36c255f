"""What the cut asks of bit, spindle, axes and holding, stretch by stretch."""

from collections.abc import Mapping
from dataclasses import dataclass

from cutworthy.model.columns import Codes, Columns, Floats, Ints, Lines
from cutworthy.model.machine import AxisName
from cutworthy.model.settings import Band
from cutworthy.model.wood import Wood

__all__ = ["EXPECTED", "HIGH", "LOW", "AxisMargin", "Loading", "Loads"]

LOW, EXPECTED, HIGH = 0, 1, 2  # the last axis of a column with a band


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loads(Columns):
    """Those stretches of the engagement that cut wood with a bit whose shape is known.

    ``stretch``: row of the engagement; ``line``, ``tool``, ``length_mm``: as there. ``chip_mm`` (n, 2): feed for each
    edge at the speed reached, where the bit turns fastest and slowest that it may. ``thick_mm``: mean thickness of
    the chips. ``down``: 1 in a straight plunge, where the push is along the bit.

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


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisMargin:
    """The least margin of an axis, and on which line it is expected to be least."""

    margin: Band
    line: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loading:
    """All that loads know.

    ``power_known``: whether the spindle's power is on the card. ``margins``: of each axis that cuts; an axis whose
    drive is not known is in ``unknown_axes`` instead; ``guessed``: keys of the others that are not on the card.
    ``chip_mm``: 5th and 95th percentile of the cut length. ``chip_range_mm``: for each bit of the card the feed for
    each edge below which it rubs, and the greatest. ``knob_pct``: how far the knob for the feed may be turned, None
    where no setting is in order.
    """

    loads: Loads
    wood: Wood
    power_known: bool
    margins: Mapping[AxisName, AxisMargin]
    unknown_axes: tuple[AxisName, ...]
    guessed: Mapping[AxisName, tuple[str, ...]]
    chip_mm: tuple[float, float] | None
    chip_range_mm: tuple[tuple[float, float], ...]
    knob_pct: tuple[int, int] | None

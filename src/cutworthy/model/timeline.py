"""How fast the machine really goes along a program, move by move, and how long that takes."""

from dataclasses import dataclass
from typing import Literal

from cutworthy.model.columns import Columns, Floats, Ints, Lines
from cutworthy.model.machine import AxisName

__all__ = ["RULES", "Cause", "Corners", "Growl", "KnobStep", "Stretch", "Timeline", "Timing", "TooFast"]

Corners = Literal["stop", "tolerance", "overlap", "constant"]
RULES: tuple[Corners, ...] = ("stop", "tolerance", "overlap", "constant")

# What keeps a cut below the feed that its program asks for: the speed of the axes in that direction, the
# sideways acceleration on an arc, the lines a second that the control takes, corners and short moves.
Cause = Literal["axes", "arcs", "line-rate", "corners"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timeline(Columns):
    """The speed along the path for each move of a program, in order; rows are those of its moves.

    ``entry_mm_s``, ``cruise_mm_s``, ``exit_mm_s``: at the start of the move, its greatest, at its end.
    ``seconds``: how long the move takes until the next one begins. ``wait_s``: before the move, until the
    spindle is at speed.
    """

    line: Lines
    entry_mm_s: Floats
    cruise_mm_s: Floats
    exit_mm_s: Floats
    seconds: Floats
    wait_s: Floats

    @property
    def total_s(self) -> float:
        """All of it [s]."""
        return float(self.seconds.sum() + self.wait_s.sum())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TooFast(Columns):
    """Feed moves asked to go faster than the axes can in their direction.

    ``row``: of the program's move; ``cap_mm_min``: what the axes can do there.
    """

    row: Ints
    feed_mm_min: Floats
    cap_mm_min: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Cuts that follow each other, none of which reaches its feed.

    ``moves``: how many; ``rows``: from the first to the last, others between them at their feed among
    them. ``feed_mm_min``: asked for; ``reached_mm_min``: the mean over the stretch; ``lost_s``: longer
    than at that feed all along. ``cause``: of the greatest part of the loss.
    """

    rows: tuple[int, int]
    lines: tuple[int, int]
    moves: int
    length_mm: float
    feed_mm_min: float
    reached_mm_min: float
    lost_s: float
    cause: Cause


@dataclass(frozen=True, slots=True, kw_only=True)
class KnobStep:
    """The feed override at a number: how long the program takes, and the share of its cuts that really follow.

    ``follows_ratio``: by length, the cuts whose mean speed follows the knob at least half-way; 0 at 100. ``growl_s``:
    how long axes run near speeds at which they growl, by the mean speeds of straight cuts.
    """

    percent: int
    seconds: float
    follows_ratio: float
    growl_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Growl:
    """How long an axis runs near a speed at which it growls, and the line on which it does so longest."""

    axis: AxisName
    speed_mm_s: float
    seconds: float
    line: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timing:
    """How long a program takes on a machine, and why.

    ``low_s`` to ``high_s``: over every habit of the control that the card leaves open. ``timeline``: with
    the rule ``corners``, which is the card's, or assumed where that does not know (``corners_known``);
    ``tolerance_mm`` belongs to the rule ``tolerance``. ``open_keys``: what else the card guesses or leaves out
    that times rest on. ``slow``: the stretches that lose most, worst first,
    and the worst of each cause. ``lost_s``: what all cuts together lose against their feeds, by cause.
    ``stronger_s``: the time with twice the acceleration on every axis; ``sharper_s``: with nothing lost at corners.
    """

    low_s: float
    high_s: float
    timeline: Timeline
    corners: Corners
    corners_known: bool
    tolerance_mm: float
    open_keys: tuple[str, ...]
    too_fast: TooFast
    slow: tuple[Stretch, ...]
    lost_s: dict[Cause, float]
    stronger_s: float
    sharper_s: float
    knob: tuple[KnobStep, ...]
    growls: tuple[Growl, ...]

    @property
    def expected_s(self) -> float:
        """The time with the rule ``corners``."""
        return self.timeline.total_s

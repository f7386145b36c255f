"""The cuts of a program in sorts, each with its words: by speed, depth, order, or by what they ask for."""

from dataclasses import dataclass
from math import floor, log10
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.model.columns import Floats, Ints
from cutworthy.model.findings import Outcome
from cutworthy.present.show import Display
from cutworthy.present.ways import thinned, way_from_above
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH, S_PER_MIN

__all__ = ["FINEST_SEEN", "Colour", "Cuts", "CutsByColour", "cuts_by", "depth_steps", "share_text"]

Colour = Literal["speed", "depth", "order", "margin", "chip"]
Sort = tuple[str, npt.NDArray[np.bool_]]

PACES = ("cut at the feed asked for", "slower than asked", "less than half of it")
FIFTHS = ("first", "second", "third", "fourth", "last")
NOTES: dict[Colour, tuple[str, ...]] = {
    "speed": (),
    "depth": ("The deepest lies on top.",),
    "order": ("What comes later lies on top. Bit changes take no time here.",),
    "margin": ("Of the axes of each cut the worst counts.",),
    "chip": (),
}
IN_THE_AIR = "above the board"
NO_CUTS = "The program has no cuts."
IN_NO_WOOD = "meets no wood"
MARGINS = ("much to spare", "near what is safe", "more than is safe")
CHIPS = ("the edges bite well", "they may rub and burn", "more than the bit's range")
NEAR_SAFE = 2 / 3  # of what is safe
MOST_STEPS = 5
ROUND = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)  # steps that are easily read, times a power of ten
LEAST_STEP = 0.25  # of a step: a last one that is shorter belongs to the one before it
SAME_MM = 1e-6  # depths that are the same
FINEST_SEEN = 1 / 3000  # of the board's longer side


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cuts:
    """Cuts of one sort: their name, and their way (n, 2) [mm], with a row of NaN wherever it is broken."""

    name: str
    way: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CutsByColour:
    """All cuts, sorted by what their colour tells.

    ``says``: what it tells, in words. ``sorts``: of ``speed`` the nearest to the feed first, of ``depth`` the
    shallowest, of ``order`` the earliest, of ``margin`` and ``chip`` the best; some may have no cuts. ``in_the_air``:
    feed moves above the board, or that meet no wood. ``notes``: what else is to be known.
    """

    colour: Colour
    says: str
    sorts: tuple[Cuts, ...]
    in_the_air: Cuts | None
    notes: tuple[str, ...]


def cuts_by(
    colour: Colour, outcome: Outcome, known: npt.NDArray[np.bool_], display: Display, longest_mm: float
) -> CutsByColour:
    """Return the cuts of a proven job.

    Parameters
    ----------
    colour
        What their colour is to tell.
    outcome
        Of the job.
    known
        The moves whose places are known, (moves,).
    display
        For the numbers in their names.
    longest_mm
        The longer side of the board.
    """
    moves, offset = outcome.program.moves, np.array(outcome.place.on_board_mm[:2])
    feeds = moves.feeds & known
    air: Sort | None = None
    if colour == "speed":
        says, sorts = "How fast the bit really goes", _by_speed(outcome)
    elif colour == "order":
        says, sorts = "When it is cut", _by_order(outcome, display)
    elif colour == "margin":
        says, sorts, meets = "How near the axes come to losing steps", *_by_margin(outcome)
        air = (IN_NO_WOOD, feeds & ~meets)
    elif colour == "chip":
        says, sorts, meets = "What each edge takes", *_by_chip(outcome)
        air = (IN_NO_WOOD, feeds & ~meets)
    else:
        top = outcome.removal.surface.top_mm
        air = (IN_THE_AIR, moves.low_mm[:, 2] >= top - SAME_MM)
        says, sorts = "How deep the bit goes", _by_depth(top - moves.low_mm[:, 2], feeds & ~air[1], display)
    whole = float(moves.length_mm[feeds].sum())

    def named(sort: Sort) -> Cuts:
        chosen = feeds & sort[1]
        part = share_text(float(moves.length_mm[chosen].sum()), whole)
        name = sort[0] if colour == "order" else f"{sort[0]}: {part}"
        return Cuts(name=name, way=thinned(way_from_above(moves, chosen, offset), longest_mm * FINEST_SEEN))

    chosen = tuple(named(sort) for sort in sorts)
    several = sum(len(sort.way) > 0 for sort in chosen) > 1
    return CutsByColour(
        colour=colour,
        says=says,
        sorts=chosen,
        in_the_air=None if air is None else named(air),
        notes=(NO_CUTS,) if not moves.feeds.any() else NOTES[colour] if several else (),
    )


def depth_steps(deepest_mm: float, display: Display) -> list[float]:
    """Return the depths at which sorts end [mm]: round ones in the units of the display, then the deepest.

    A round one that is hardly less than the deepest is left out.
    """
    if deepest_mm <= 0:
        return []
    unit = MM_PER_INCH if display.units == "inch" else 1.0
    least = deepest_mm / unit / MOST_STEPS * (1 - SAME_MM)
    power = 10.0 ** floor(log10(least))
    step = next(each for each in ROUND if each * power >= least) * power * unit
    count = int(np.ceil(deepest_mm / step - LEAST_STEP))
    return [*(step * number for number in range(1, count)), deepest_mm]


def share_text(part: float, whole: float) -> str:
    """Return a share of the cutting, in words where the percent would be none."""
    percent = 100 * part / whole if whole else 0.0
    return f"{percent:.0f} %" if percent >= 1 or part == 0 else "under 1 %"


def _by_speed(outcome: Outcome) -> list[Sort]:
    """Return the moves by how much of the feed asked for they reach on average."""
    moves, seconds = outcome.program.moves, outcome.timing.timeline.seconds
    with np.errstate(divide="ignore", invalid="ignore"):  # travels, and cuts before any F, ask for no feed
        reached = np.nan_to_num(moves.length_mm / seconds * S_PER_MIN / moves.feed_mm_min, nan=0.0)
    near, half = limit("reached_feed").value, limit("half_feed").value
    sorts = (reached >= near, (reached < near) & (reached >= half), reached < half)
    return list(zip(PACES, sorts, strict=True))


def _by_depth(depth_mm: Floats, cutting: npt.NDArray[np.bool_], display: Display) -> list[Sort]:
    """Return the moves by how deep below the board's top they come."""
    above, sorts = 0.0, []
    for below in depth_steps(float(depth_mm[cutting].max(initial=0.0)), display):
        name = f"{display.place(above)} to {display.length(below)} deep"
        sorts.append((name, (depth_mm > above + SAME_MM) & (depth_mm <= below + SAME_MM)))
        above = below
    return sorts


def _by_margin(outcome: Outcome) -> tuple[list[Sort], npt.NDArray[np.bool_]]:
    """Return the moves by the share of the safe margin that they use, and which meet wood at all."""
    used = _worst_of_moves(outcome, outcome.loading.loads.pushing().max(axis=1))
    sorts = (used <= NEAR_SAFE, (used > NEAR_SAFE) & (used <= 1), used > 1)
    meets = ~np.isnan(used)
    return list(zip(MARGINS, sorts, strict=True)), meets


def _by_chip(outcome: Outcome) -> tuple[list[Sort], npt.NDArray[np.bool_]]:
    """Return the moves by the feed for each edge, and which meet wood at all; plunges have no such chip."""
    loads = outcome.loading.loads
    ranges = dict(zip(outcome.loading.tools, outcome.loading.chip_range_mm, strict=True))
    least, most = np.array([ranges[tool] for tool in loads.tool.tolist()]).reshape(-1, 2).T
    across = loads.down == 0
    thin = _mean_of_moves(outcome, np.where(across, least / loads.chip_mm[:, 0], 0.0))
    thick = _worst_of_moves(outcome, np.where(across, loads.chip_mm[:, 1] / most, 0.0))
    rubs, torn = thin > 1, thick > 1
    meets = ~np.isnan(thin)
    sorts = (meets & ~rubs & ~torn, rubs & ~torn, torn)
    return list(zip(CHIPS, sorts, strict=True)), meets


def _worst_of_moves(outcome: Outcome, values: Floats) -> Floats:
    """Return for each move of the program the greatest of its stretches' values, NaN where it meets no wood."""
    rows, stretches = _moves_of_stretches(outcome)
    found = np.full(len(outcome.program.moves), -np.inf)
    np.maximum.at(found, rows, values[stretches])
    return np.where(np.isneginf(found), np.nan, found)


def _mean_of_moves(outcome: Outcome, values: Floats) -> Floats:
    """Return for each move of the program the mean of its stretches' values by length, NaN where it meets no wood."""
    rows, stretches = _moves_of_stretches(outcome)
    length, count = outcome.loading.loads.length_mm[stretches], len(outcome.program.moves)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.bincount(rows, values[stretches] * length, count) / np.bincount(rows, length, count))


def _moves_of_stretches(outcome: Outcome) -> tuple[Ints, Ints]:
    """Return the moves that each stretch goes over, and beside each the stretch."""
    first, last = outcome.loading.loads.moves.T
    spans = last - first + 1
    ahead = np.cumsum(spans) - spans
    return np.repeat(first - ahead, spans) + np.arange(spans.sum()), np.repeat(np.arange(len(spans)), spans)


def _by_order(outcome: Outcome, display: Display) -> list[Sort]:
    """Return the moves by the fifth of the time in which the middle of each comes."""
    line = outcome.timing.timeline
    spent = line.wait_s + line.seconds
    fifth = np.floor((np.cumsum(spent) - line.seconds / 2) / max(line.total_s, SAME_MM) * len(FIFTHS))
    fifth = np.clip(fifth, 0, len(FIFTHS) - 1)
    ends = (line.total_s * number / len(FIFTHS) for number in range(1, len(FIFTHS) + 1))
    return [
        (f"{name} fifth, until {display.time(end)}", fifth == number)
        for number, (name, end) in enumerate(zip(FIFTHS, ends, strict=True))
    ]

"""Parts of the board that come loose: which cut frees them, what still holds them, what is cut afterwards."""

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from cutworthy.model.clearance import Place
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.job import Job
from cutworthy.model.removal import Engagement, Heights, LoosePart, Surface
from cutworthy.reference.tables import limit
from cutworthy.removal.labels import Labels, label

__all__ = ["loose_parts"]

Mask = npt.NDArray[np.bool_]

DIRECTIONS = 16  # in which a bit looks whether a part's edge is beside it
MOST_NECK_CELLS = 250_000
LEFT_OVER_MM = 0.01  # what is thinner is cut through


def loose_parts(
    surface: Surface, bottom: Heights, told: Engagement, radius_mm: Floats, job: Job, place: Place
) -> tuple[LoosePart, ...]:
    """Return the parts that hang on less than any cut could push, the largest first.

    The board is looked at with its underside as high as it may be, so that a skin that may be cut through is none, and
    tabs are as thin as they may be. What is thicker than a tab belongs to a part or to the rest of the board; that is
    whatever a clamp holds, or the largest area where none does.

    Parameters
    ----------
    surface
        The board as it is left.
    bottom
        The underside at its cells, or one number for all [mm].
    told
        How the bits met the wood.
    radius_mm
        Of the bit of each stretch of the engagement [mm], (n,).
    job, place
        For the board, its errors, and the clamps.
    """
    error = _underside_error_mm(job)
    left = surface.heights_mm - (bottom + np.float32(error))
    if not (left <= LEFT_OVER_MM).any():
        return ()
    thick = left > limit("tab_thickness").value
    areas, count = label(thick)
    bridges = _bridges((left > LEFT_OVER_MM) & ~thick, areas, left, surface.pitch_mm)
    group = _grouped(count, bridges)
    areas = group[areas]
    rest = _held(areas, surface, job, place) or {_largest(areas)}
    found = []
    for number in np.unique(areas[areas > 0]).tolist():
        cells = areas == number
        area = float(np.count_nonzero(cells)) * surface.pitch_mm**2
        if number in rest or area < limit("part_area").value:
            continue
        holding = [
            (width * height, height) for one, other, width, height in bridges if _between(group, one, other, number)
        ]
        strength = limit("tab_shear").value * sum(section for section, _ in holding)
        if strength < limit("part_firm").value:
            cuts = _when(cells, surface, told, radius_mm, float(bottom.max()) + error)
            found.append(_part(cells, surface, area, strength, [height for _, height in holding], cuts))
    return tuple(sorted(found, key=lambda part: -part.area_mm2))


def _underside_error_mm(job: Job) -> float:
    """Return how far the underside may lie from where the zero puts it [mm]; by the spread too from a zero on top."""
    spread = job.board.spread_mm.value if job.zero.z == "top" else 0.0
    return spread + job.zero.plus_minus_z_mm.value


def _bridges(thin: Mask, areas: Labels, left: Heights, pitch: float) -> list[tuple[int, int, float, float]]:
    """Return what joins two thick areas: their numbers, its width where that is least, its least height [mm]."""
    names, count = label(thin)
    if not count:
        return []
    widths = dict[tuple[int, int], int]()
    for axis in (0, 1):
        for a, b in pairwise((slice(None, -1), slice(1, None), slice(None, -1))):
            own = names[a, :] if axis == 0 else names[:, a]
            beside = areas[b, :] if axis == 0 else areas[:, b]
            both = (own > 0) & (beside > 0)
            for (bridge, area), times in _counted(own[both], beside[both]):
                widths[bridge, area] = widths.get((bridge, area), 0) + times
    low = np.full(count + 1, np.inf)
    np.minimum.at(low, names[thin], left[thin])
    found = []
    for bridge in range(1, count + 1):
        sides = [(area, cells) for (name, area), cells in widths.items() if name == bridge]
        for number, (one, width) in enumerate(sides):
            for other, wide in sides[number + 1 :]:
                cells = min(width, wide, _neck(names == bridge, areas == one, areas == other))
                found.append((one, other, cells * pitch, float(low[bridge])))
    return found


def _neck(bridge: Mask, one: Mask, other: Mask) -> int:
    """Return how many cells wide a bridge is where it is narrowest, looked at in steps from one side to the other."""
    rows, columns = np.flatnonzero(bridge.any(axis=1)), np.flatnonzero(bridge.any(axis=0))
    least = len(rows) * len(columns)
    if least > MOST_NECK_CELLS:
        return least  # a floor, no tab
    window = slice(max(rows[0] - 1, 0), rows[-1] + 2), slice(max(columns[0] - 1, 0), columns[-1] + 2)
    ahead, front, there = bridge[window].copy(), one[window], _beside(other[window])
    while True:
        front = _beside(front) & ahead
        least = min(least, int(np.count_nonzero(front)))
        if (front & there).any() or not front.any():
            return least
        ahead &= ~front


def _beside(cells: Mask) -> Mask:
    """Return the cells that share an edge with some of these."""
    found = np.zeros_like(cells)
    found[1:] |= cells[:-1]
    found[:-1] |= cells[1:]
    found[:, 1:] |= cells[:, :-1]
    found[:, :-1] |= cells[:, 1:]
    return found


def _counted(own: Labels, beside: Labels) -> list[tuple[tuple[int, int], int]]:
    pairs, times = np.unique(np.stack([own, beside]), axis=1, return_counts=True)
    return [((int(a), int(b)), int(n)) for a, b, n in zip(*pairs, times, strict=True)]


def _grouped(count: int, bridges: list[tuple[int, int, float, float]]) -> Labels:
    """Return for each thick area the least number of those that it hangs together with firmly, (count + 1,)."""
    firm = limit("part_firm").value / limit("tab_shear").value
    group = np.arange(count + 1, dtype=np.int32)
    for one, other, width, height in bridges:
        if width * height >= firm:
            group[group == max(group[one], group[other])] = min(group[one], group[other])
    return group


def _between(group: Labels, one: int, other: int, part: int) -> bool:
    """Return whether a bridge joins a part to anything else."""
    return bool((group[one] == part) != (group[other] == part))


def _largest(areas: Labels) -> int:
    sizes = np.bincount(areas.ravel())
    sizes[0] = 0
    return int(sizes.argmax())


def _held(areas: Labels, surface: Surface, job: Job, place: Place) -> set[int]:
    """Return the areas that a clamp stands on."""
    held = set[int]()
    left, front, _ = place.on_board_mm
    for clamp in job.clamps:
        rows = _cells(clamp.from_y_mm - front, clamp.to_y_mm - front, surface.corner_mm[1], surface.pitch_mm)
        columns = _cells(clamp.from_x_mm - left, clamp.to_x_mm - left, surface.corner_mm[0], surface.pitch_mm)
        held |= set(np.unique(areas[rows, columns]).tolist())
    return held - {0}


def _cells(low: float, high: float, first: float, pitch: float) -> slice:
    return slice(max(0, round((low - first) / pitch)), max(0, round((high - first) / pitch)))


def _when(cells: Mask, surface: Surface, told: Engagement, radius_mm: Floats, through_mm: float) -> tuple[Ints, Ints]:
    """Return the stretches that cut through beside a part, and those after the last of them that cut the part."""
    cutting = (told.rapid == 0) & (told.volume_mm3 > 0)
    deep = cutting & (told.tip_mm <= through_mm + LEFT_OVER_MM)
    beside = np.zeros(len(told), dtype=bool)
    for angle in np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False).tolist():
        reach = radius_mm + 2 * surface.pitch_mm
        beside |= _over(
            cells, surface, told.at_mm[:, 0] + reach * np.cos(angle), told.at_mm[:, 1] + reach * np.sin(angle)
        )
    rows = np.flatnonzero(deep & beside)
    if not len(rows):
        return rows, rows
    over = cutting & (beside | _over(cells, surface, told.at_mm[:, 0], told.at_mm[:, 1]))
    return rows, np.flatnonzero(over & (np.arange(len(told)) > rows[-1]))


def _over(cells: Mask, surface: Surface, x: Floats, y: Floats) -> Mask:
    """Return whether places lie over a part, (n,)."""
    column = np.round((x - surface.corner_mm[0]) / surface.pitch_mm).astype(np.int64)
    row = np.round((y - surface.corner_mm[1]) / surface.pitch_mm).astype(np.int64)
    inside = (row >= 0) & (row < cells.shape[0]) & (column >= 0) & (column < cells.shape[1])
    over = np.zeros(len(x), dtype=bool)
    over[inside] = cells[row[inside], column[inside]]
    return over


def _part(
    cells: Mask,
    surface: Surface,
    area: float,
    strength: float,
    tabs: list[float],
    cuts: tuple[Ints, Ints],
) -> LoosePart:
    through, later = cuts
    rows, columns = np.nonzero(cells)
    middle = (float(columns.mean()), float(rows.mean()))
    size = [float(np.ptp(each) + 1) * surface.pitch_mm for each in (columns, rows)]
    return LoosePart(
        at_mm=(
            surface.corner_mm[0] + middle[0] * surface.pitch_mm,
            surface.corner_mm[1] + middle[1] * surface.pitch_mm,
            surface.top_mm,
        ),
        size_mm=(size[0], size[1]),
        cells=cells,
        area_mm2=area,
        strength_n=strength,
        tabs=len(tabs),
        tab_mm=min(tabs, default=None),
        through=tuple(through.tolist()),
        later=tuple(later.tolist()),
    )

"""The view record of the relief: the board as the bits leave it."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from cutworthy.kernels.levels import levels
from cutworthy.model.clearance import Place
from cutworthy.model.columns import Floats
from cutworthy.model.findings import Outcome
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.program import Doubt
from cutworthy.model.removal import Heights, LoosePart, Surface
from cutworthy.present.cuts import depth_steps
from cutworthy.present.loose import PartView, name_place, parts_say
from cutworthy.present.page import SLIVER
from cutworthy.present.scene import Scene, scene_of
from cutworthy.present.show import Display
from cutworthy.reference.tables import limit

__all__ = ["DepthStep", "ReliefView", "relief_view"]

MOST_ALONG = 1400  # cells along the longer side: more cannot be seen
TOLD_SLIVER_MM = 0.3  # thinner ones are not worth a word
SKIN_MM = 0.001  # thinner wood is none
TRAIL = 1 / 50  # of the board's longer side, about, from one mark on a travel through wood to the next


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthStep:
    """A depth below the board's top [mm], and its words."""

    depth_mm: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReliefView:
    """What the relief shows, in the board's frame [mm].

    ``subtitle``: what it is, and how much wood is cut away. ``notes``: what it does not show. ``depth_mm``: below the
    board's highest place, (rows, columns) along y and x, of a cell the deepest place in it; ``cut_mm``: below the
    board's top there, the same where the board is even; ``through``: the cells in which the board is cut through.
    ``low_mm``: the front left corner of the first cell; ``pitch_mm``: from cell to cell. ``steps``: from the board's
    top to the deepest cut that is not through. ``wood_met_mm``: (n, 2), where fast travels meet wood. ``parts``: what
    comes loose, where it was; ``parts_say``: whether something thin still holds some, and words.
    """

    scene: Scene
    subtitle: str
    notes: tuple[str, ...]
    depth_mm: Heights
    cut_mm: Heights
    through: npt.NDArray[np.bool_]
    low_mm: tuple[float, float]
    pitch_mm: float
    steps: tuple[DepthStep, ...]
    wood_met_mm: Floats
    parts: tuple[PartView, ...]
    parts_say: tuple[tuple[bool, str], ...]


def relief_view(outcome: Outcome, job: Job, machine: Machine) -> ReliefView:
    """Return what the relief of a proven job shows."""
    scene, display = scene_of(outcome, job, machine), Display(machine.units)
    surface = outcome.removal.surface
    heights, by = _lowest(surface.heights_mm)
    through = heights <= surface.underside_mm + SKIN_MM
    depth = np.maximum(surface.top_mm - heights, 0)
    cut = depth if outcome.place.is_flat else _fewer(_below_top(surface, outcome.place), by, np.maximum)
    left, front = (
        zero + middle - surface.pitch_mm / 2 for zero, middle in zip(scene.zero.at_mm, surface.corner_mm, strict=True)
    )
    pitch = surface.pitch_mm * by
    volume = outcome.removal.volume_mm3
    told = f"about {display.volume(volume)} is cut away" if volume > 0 else "no wood is cut"
    return ReliefView(
        scene=scene,
        subtitle=f"What is left of the board: {told}",
        notes=tuple(_notes(outcome, display)),
        depth_mm=depth,
        cut_mm=cut,
        through=through,
        low_mm=(left, front),
        pitch_mm=pitch,
        steps=_steps(_deepest(cut[~through], outcome), display),
        wood_met_mm=_wood_met(outcome, scene),
        parts=tuple(
            _part(number, part, _fewer(part.cells, by, np.logical_or), (left, front), pitch)
            for number, part in enumerate(outcome.removal.parts, start=1)
        ),
        parts_say=parts_say(outcome.removal.parts),
    )


def _part(
    number: int, part: LoosePart, cells: npt.NDArray[np.bool_], low_mm: tuple[float, float], pitch_mm: float
) -> PartView:
    row, column, room = name_place(cells)
    return PartView(
        name=f"part {number}",
        number=str(number),
        at_mm=(low_mm[0] + (column + 0.5) * pitch_mm, low_mm[1] + (row + 0.5) * pitch_mm),
        room_mm=room * pitch_mm,
        cells=cells,
        is_held=part.tabs > 0,
    )


def _below_top(surface: Surface, place: Place) -> Heights:
    """Return how far each cell lies below the top of a board that is uneven, or lies so [mm]."""
    rows, columns = (np.arange(size) * surface.pitch_mm for size in surface.heights_mm.shape)
    x, y = np.meshgrid(surface.corner_mm[0] + columns, surface.corner_mm[1] + rows)
    top = levels(np.array(place.underside_mm), x, y) + levels(np.array(place.thickness_mm), x, y)
    below: Heights = np.maximum(top - surface.heights_mm, 0).astype(np.float32)
    return below


def _lowest(heights_mm: Heights) -> tuple[Heights, int]:
    """Return heights few enough for a picture, of so many by so many the lowest, so that thin slots stay."""
    by = max(1, -(-max(heights_mm.shape) // MOST_ALONG))
    return _fewer(heights_mm, by, np.minimum), by


def _fewer(cells: npt.NDArray[Any], by: int, put_together: np.ufunc) -> npt.NDArray[Any]:
    """Return cells that each stand for so many by so many."""
    if by == 1:
        return cells
    rows, columns = (-(-size // by) for size in cells.shape)
    across = put_together.reduceat(cells, np.arange(rows) * by, axis=0)
    fewer: npt.NDArray[Any] = put_together.reduceat(across, np.arange(columns) * by, axis=1)
    return fewer


def _deepest(cut_mm: Heights, outcome: Outcome) -> float:
    """Return how deep the deepest cut is that is not through [mm].

    The pointed end of a bit falls between cells; so where its tip came no deeper than cells may be off, that counts.
    """
    deepest = float(cut_mm.max(initial=0.0))
    surface, met = outcome.removal.surface, outcome.removal.engagement
    cutting = (met.rapid == 0) & (met.volume_mm3 > 0)
    tip = surface.top_mm - float(met.tip_mm[cutting].min(initial=surface.top_mm))
    sure = outcome.place.is_flat and deepest <= tip <= deepest + surface.height_error_mm
    return tip if sure else deepest


def _steps(deepest_mm: float, display: Display) -> tuple[DepthStep, ...]:
    """Return the depths of the legend."""
    steps = depth_steps(deepest_mm, display) if deepest_mm > SKIN_MM else []
    top = DepthStep(depth_mm=0.0, says="top of the board")
    return top, *(DepthStep(depth_mm=step, says=f"{display.length(step)} deep") for step in steps)


def _notes(outcome: Outcome, display: Display) -> list[str]:
    """Return what the relief does not show."""
    moves, removal, notes = outcome.program.moves, outcome.removal, []
    if removal.volume_mm3 > 0:
        notes.append("Light from the upper left.")
    sliver = SLIVER * removal.surface.pitch_mm
    if sliver > TOLD_SLIVER_MM and removal.volume_mm3 > 0:
        notes.append(f"Slivers thinner than {display.length(sliver)} may be missing.")
    if removal.unswept:
        bits = " and ".join(str(tool) for tool in removal.unswept)
        notes.append(f"Not shown: what bit {bits} cuts, for the card does not tell its shape.")
    unknown = int((moves.feeds & ((moves.start_doubt | moves.end_doubt) != Doubt.NONE).any(axis=1)).sum())
    if unknown:
        notes.append(f"Not shown: {unknown} {'cut' if unknown == 1 else 'cuts'} whose place is not known.")
    return notes


def _wood_met(outcome: Outcome, scene: Scene) -> Floats:
    """Return where fast travels meet wood, few enough places to be seen one by one, (n, 2)."""
    met = outcome.removal.engagement
    if not any(finding.id == "rapid-in-wood" for finding in outcome.findings):
        return np.empty((0, 2))
    rows = (met.rapid == 1) & (met.volume_mm3 > 0) & (met.depth_mm > limit("rapid_in_wood").value)
    return _apart(met.at_mm[rows, :2] + np.array(scene.zero.at_mm), TRAIL * max(scene.board.high_mm))


def _apart(places: Floats, apart_mm: float) -> Floats:
    """Return those places that are not nearer than this to an earlier one, (n, 2)."""
    kept = dict[tuple[int, int], list[Floats]]()  # by squares as wide as that
    found = []
    for place in places:
        row, column = (int(each) for each in np.floor(place / apart_mm))
        near = [each for i in (-1, 0, 1) for j in (-1, 0, 1) for each in kept.get((row + i, column + j), ())]
        if all(np.hypot(*(place - each)) >= apart_mm for each in near):
            kept.setdefault((row, column), []).append(place)
            found.append(place)
    return np.array(found).reshape(-1, 2)

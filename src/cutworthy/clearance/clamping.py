"""Where a clamp of a given size is never met, with zero where the card has it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.known import known_rows
from cutworthy.clearance.parts import PARTS, cylinders
from cutworthy.clearance.path import Path
from cutworthy.clearance.placement import lattice_over
from cutworthy.clearance.raster import Lattice, Marks
from cutworthy.clearance.riding import Course
from cutworthy.clearance.swept import Swath, step_for, swaths
from cutworthy.clearance.things import clamps_of
from cutworthy.model.clearance import Part, Place
from cutworthy.model.job import Clamp, Job
from cutworthy.model.machine import Machine
from cutworthy.model.placement import SIDES, ClampRegion, ClampSize, Edge, Grid, Side
from cutworthy.model.quantity import Origin, Quantity

__all__ = ["clamp_region"]

Cells = npt.NDArray[np.uint16]
HOLDING = 0.5  # of a clamp over the edge: more holds no better; our choice
BESIDE = 1.5  # of the clamp's larger side: how far beyond the board it is looked for


def clamp_region(courses: Sequence[Course], job: Job, machine: Machine, place: Place, size: ClampSize) -> ClampRegion:
    """Return where on and around the board no part of the tool comes near a clamp of this size.

    Parameters
    ----------
    courses : sequence of Course
        The program under each reading.
    job : Job
        Gives board and bits, and the errors of zero; its own clamps play no part.
    machine : Machine
        Gives nut, body and shoe.
    place : Place
        Where zero lies on the board.
    size : ClampSize
        Of the clamp, with how far it may stand off its place.

    Returns
    -------
    ClampRegion
        In the board's frame. A clamp that stands clear of ``keep_out`` passes the check of
        ``contacts``, entered with the same error; one that does not may pass by no more than
        ``error_mm``.
    """
    box = clamps_of(replace(job, clamps=(_as_clamp(size),)), place)[0].grown
    off = size.plus_minus_mm + job.zero.plus_minus_mm.value
    beyond = BESIDE * max(size.along_x_mm, size.along_y_mm)
    board = (job.board.size_x_mm.value, job.board.size_y_mm.value)
    widest = max(each.radius_mm for each in cylinders(job, machine))
    lattice = lattice_over(
        ((-beyond, board[0] + beyond), (-beyond, board[1] + beyond)), (widest + box.half_x_mm, widest + box.half_y_mm)
    )
    met = _Met(lattice, ((off, off), (box.half_x_mm, box.half_y_mm)))
    met.look(courses, job, machine, place, box.top_mm)
    keep_out, middles = met.cells
    return ClampRegion(
        size=size,
        keep_out=Grid(low_mm=lattice.low, pitch_mm=lattice.pitch, cells=keep_out),
        middles=Grid(low_mm=lattice.low, pitch_mm=lattice.pitch, cells=middles),
        parts=PARTS,
        edges={side: _edge(side, keep_out, lattice, size, board) for side in SIDES},
        error_mm=met.error_mm,
    )


class _Met:
    """Which cells of the board's frame bring boxes of two sizes too near to the tool, and what then meets them."""

    def __init__(self, lattice: Lattice, halves: tuple[tuple[float, float], tuple[float, float]]) -> None:
        self.lattice, self.halves = lattice, halves
        shape = (lattice.rows, lattice.columns)
        self.cells = (np.zeros(shape, dtype=np.uint16), np.zeros(shape, dtype=np.uint16))
        self.error_mm = 0.0

    def look(self, courses: Sequence[Course], job: Job, machine: Machine, place: Place, top_mm: float) -> None:
        """Look at every part of the tool that comes below a height [mm], zero frame."""
        paths = [Path.of(course.swept, known_rows(course.swept)) for course in courses]
        step, slack = step_for(paths, self.lattice.pitch), 0.0
        for cylinder in sorted(cylinders(job, machine), key=lambda each: PARTS.index(each.part)):
            for course, path in zip(courses, paths, strict=True):
                for swath in swaths(path, course.swept.tool[path.row], cylinder, job, top_mm, step):
                    self._add(swath, place.on_board_mm, cylinder.part)
                    slack = max(slack, swath.slack_mm)
        self.error_mm = 4 * self.lattice.half_cell + step + slack

    def _add(self, swath: Swath, on_board_mm: tuple[float, float, float], part: Part) -> None:
        marks = [Marks(self.lattice, half, swath.radius_mm) for half in self.halves]
        for found in swath.spots():
            for each in marks:  # a place of a clamp less a place of the path, as a shift plus a place elsewhere
                each.add(-(found.x + on_board_mm[0]), -(found.y + on_board_mm[1]))
        for each, cells in zip(marks, self.cells, strict=True):
            cells[each.meeting() & (cells == 0)] = PARTS.index(part) + 1


def _as_clamp(size: ClampSize) -> Clamp:
    """Return a clamp of this size in the board's corner."""
    error, value = size.plus_minus_mm, size.height_mm
    height = Quantity(value=value, low=value, high=value, origin=Origin.MEASURED, key="clamp")
    return Clamp(
        name="clamp",
        from_x_mm=0.0,
        from_y_mm=0.0,
        to_x_mm=size.along_x_mm,
        to_y_mm=size.along_y_mm,
        height_mm=height,
        plus_minus_mm=replace(height, value=error, low=error, high=error),
    )


def _edge(side: Side, keep_out: Cells, lattice: Lattice, size: ClampSize, board: tuple[float, float]) -> Edge | None:
    """Return how far a clamp may reach over an edge, None where it may not at all.

    The clamp is not turned, and lies beside the board with its whole side, or at least with its middle
    where the board is too short for that.
    """
    along = 1 if side in ("left", "right") else 0  # the axis along the edge
    across = 1 - along
    cells = keep_out if along else keep_out.T  # a row for each place along the edge
    low, high, pitch = lattice.low[across], lattice.high[across], lattice.pitch[across]
    if side in ("right", "back"):  # seen from the other side, from which the board begins at 0 too
        cells, low = cells[:, ::-1], board[across] - high
    sizes = (size.along_x_mm, size.along_y_mm)
    begin = max(0, int((-sizes[across] - low) / pitch))
    blocked = cells[:, begin:] != 0
    free = np.where(blocked.any(axis=1), blocked.argmax(axis=1), blocked.shape[1])
    reach = np.minimum(low + (begin + free) * pitch, HOLDING * sizes[across])
    many = min(int(np.ceil(sizes[along] / lattice.pitch[along])) + 1, len(reach))
    least = np.lib.stride_tricks.sliding_window_view(reach, many).min(axis=1)
    middle = lattice.low[along] + np.arange(many / 2, len(least) + many / 2) * lattice.pitch[along]
    inset = min(sizes[along], board[along]) / 2
    beside = (middle >= inset - lattice.pitch[along] / 2) & (middle <= board[along] - inset + lattice.pitch[along] / 2)
    if not beside.any() or least[beside].max() <= 0:
        return None
    best = float(least[beside].max())
    return Edge(reach_mm=best, at_mm=_middle_of_longest(beside & (least >= best - pitch), middle))


def _middle_of_longest(chosen: npt.NDArray[np.bool_], places: npt.NDArray[np.floating]) -> float:
    """Return the middle of the longest run of chosen places."""
    ends = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(np.int8)))
    runs = ends.reshape(-1, 2)
    first, behind = runs[int((runs[:, 1] - runs[:, 0]).argmax())]
    return float(places[first] + places[behind - 1]) / 2

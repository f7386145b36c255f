"""Where zero may stand: in travel, on the board, off the clamps."""

from collections.abc import Sequence
from itertools import product
from math import ceil, sqrt

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.allowed import both, by_board, by_travel
from cutworthy.clearance.contacts import contacts
from cutworthy.clearance.known import known_rows
from cutworthy.clearance.parts import PARTS, Cylinder, cylinders
from cutworthy.clearance.path import Path
from cutworthy.clearance.raster import Lattice, Marks
from cutworthy.clearance.riding import Course
from cutworthy.clearance.room import margins, nearest_free, roomiest
from cutworthy.clearance.solid import TOUCH_MM, Box
from cutworthy.clearance.sweeps import sweeps
from cutworthy.clearance.swept import Swath, step_for, swaths
from cutworthy.clearance.things import Thing, board_of, clamps_of
from cutworthy.model.clearance import Place
from cutworthy.model.columns import Floats
from cutworthy.model.job import Job
from cutworthy.model.machine import AxisName, Machine
from cutworthy.model.placement import Grid, Obstacle, ZeroRegion
from cutworthy.model.program import Doubt

__all__ = ["MOST_CELLS", "lattice_over", "zero_region"]

Flags = npt.NDArray[np.bool_]
Span = tuple[float, float]
MOST_CELLS, LEAST_PITCH_MM = 1_000_000, 0.2  # of a grid of shifts: finer is of no use to a hand on a ruler
MOST_MARKED = 4_000_000  # cells of the path that are marked for one clamp
MOST_MIXED = 500  # moves between a place that goes with zero and one that stays; more are no program of a shop
PLAN: tuple[AxisName, AxisName] = ("x", "y")


def zero_region(courses: Sequence[Course | None], job: Job, machine: Machine, place: Place) -> ZeroRegion:
    """Return the shifts of zero at which a program fits under every reading.

    Parameters
    ----------
    courses : sequence of Course or None
        The program under each reading; None where it makes other moves at another zero.
    job : Job
        Gives board, clamps, bits, and the zero that shifts are counted from.
    machine : Machine
        Gives travel, nut, body and shoe.
    place : Place
        Where the card's zero lies.

    Returns
    -------
    ZeroRegion
        Travel and board as intervals, exact but for rounding. Clamps (and the board, against nut, body
        and shoe) on a grid, each grown by its own and the zero's error as in ``contacts``; it errs
        towards no, by the ``error_mm`` of the region at most.

    Notes
    -----
    A move between a place that goes with zero and one that stays with the machine counts as the box
    between its ends, at its least height.
    """
    whole = [course for course in courses if course is not None]
    travel, board = by_travel(whole, machine, job, place), by_board(whole, job, place)
    things = (*clamps_of(job, place), board_of(job, place))
    spans = both(travel, board, job, whole, place)
    lattice = lattice_over(spans, _widest(whole, things, job, machine))
    grid, obstacles, error = _clamps(whole, job, machine, things, lattice)
    everywhere = [*travel.everywhere, *board.everywhere, *_staying(whole, job, machine, place)]
    if len(whole) < len(courses) or any(len(_mixed(course)) > MOST_MIXED for course in whole):
        everywhere.insert(0, Obstacle(kind="tied"))
    free = (grid.cells == 0) & np.array(not everywhere)
    best, room = roomiest(lattice, free)
    spot = margins(grid, obstacles, {"travel": travel.spans, "off-board": board.spans}) if not everywhere else None
    nearest = (0.0, 0.0) if spot is not None else nearest_free(lattice, free)
    return ZeroRegion(
        zero_mm=(place.on_board_mm[0], place.on_board_mm[1]),
        travel_mm=travel.spans,
        board_mm=board.spans,
        grid=grid,
        obstacles=obstacles,
        everywhere=tuple(dict.fromkeys(everywhere)),
        error_mm=error,
        margins=spot,
        nearest_mm=None if nearest is None else _inside(nearest, spans),
        best_mm=None if best is None else _inside(best, spans),
        best_room_mm=room,
        spare_mm={"board": board.spare_mm, "travel": travel.spare_mm},
        travel_judged=(_is_placed(place, "x"), _is_placed(place, "y")),
        unknown_line=_unknown_line(whole),
        machine_line=min((line for course in whole for line in _machine_lines(course)), default=None),
        start_line=_start_line(whole, job, machine, place),
    )


def lattice_over(spans: tuple[Span, Span], reach_mm: tuple[float, float]) -> Lattice:
    """Return the cells over two spans [mm]; none where one is empty.

    ``reach_mm``: how far beyond them the path is marked, which must not take too many cells either.
    """
    wide, deep = (high - low for low, high in spans)
    low = spans[0][0], spans[1][0]
    if wide < 0 or deep < 0:
        return Lattice(low, (1.0, 1.0), 0, 0)
    marked = (wide + 2 * reach_mm[0]) * (deep + 2 * reach_mm[1])
    least = max(LEAST_PITCH_MM, sqrt(wide * deep / MOST_CELLS), sqrt(marked / MOST_MARKED))
    columns, rows = (max(1, ceil(size / least)) for size in (wide, deep))
    pitch = [size / many if size >= least else least for size, many in ((wide, columns), (deep, rows))]
    return Lattice(low, (pitch[0], pitch[1]), columns, rows)


def _clamps(
    courses: Sequence[Course], job: Job, machine: Machine, things: Sequence[Thing], lattice: Lattice
) -> tuple[Grid, tuple[Obstacle, ...], float]:
    """Return which shifts bring some part of the tool too near to some thing, the obstacles, and the error."""
    cells = np.zeros((lattice.rows, lattice.columns), dtype=np.uint16)
    obstacles: list[Obstacle] = []
    paths = [_riding_path(course) for course in courses]
    step = step_for(paths, lattice.pitch)
    slack = 0.0
    for thing, name in product(things, PARTS) if cells.size else ():
        if name == "bit" and thing.clamp is None:
            continue
        met = np.zeros(cells.shape, dtype=bool)
        for cylinder in (each for each in cylinders(job, machine) if each.part == name):
            for course, path in zip(courses, paths, strict=True):
                tool = course.swept.tool[path.row]
                for swath in swaths(path, tool, cylinder, job, thing.grown.top_mm, step):
                    now = _meeting(swath, thing.grown, lattice)
                    slack = max(slack, swath.slack_mm if now.any() else 0.0)
                    met |= now
                met |= _mixed_meeting(course, cylinder, job, thing.grown, lattice)
        if met.any():
            obstacles.append(Obstacle(kind="contact", part=name, thing=thing.name, clamp=thing.clamp))
            cells[met & (cells == 0)] = len(obstacles)
    error = 4 * lattice.half_cell + step + slack
    return Grid(low_mm=lattice.low, pitch_mm=lattice.pitch, cells=cells), tuple(obstacles), error


def _riding_path(course: Course) -> Path:
    swept = course.swept
    rows = known_rows(swept)
    return Path.of(swept, rows[course.riding[swept.row[rows]]])


def _meeting(swath: Swath, box: Box, lattice: Lattice) -> Flags:
    marks = Marks(lattice, (box.half_x_mm, box.half_y_mm), swath.radius_mm)
    low, high = (tuple(end[i] + (box.x_mm, box.y_mm)[i] for i in (0, 1)) for end in (marks.low, marks.high))
    for found in swath.spots(swath.within((low[0], low[1]), (high[0], high[1]))):
        marks.add(found.x - box.x_mm, found.y - box.y_mm)
    return marks.meeting()


def _mixed(course: Course) -> npt.NDArray[np.int64]:
    """Return the program's moves that neither go with zero nor stay as a whole, and of which all is known."""
    rows = known_rows(course.program)
    return rows[~course.riding[rows] & ~course.staying[rows]]


def _mixed_meeting(course: Course, cylinder: Cylinder, job: Job, box: Box, lattice: Lattice) -> Flags:
    """Return the shifts at which the box between the ends of such a move is too near to a box."""
    met = np.zeros((lattice.rows, lattice.columns), dtype=bool)
    rows = _mixed(course)[:MOST_MIXED]
    path = Path.of(course.program, rows)
    for swath in swaths(path, course.program.tool[rows], cylinder, job, box.top_mm, 0.0):
        for k in swath.moves.tolist():
            beside = [
                _beside(course, path, k, axis, at, half, lattice)
                for axis, (at, half) in enumerate(((box.x_mm, box.half_x_mm), (box.y_mm, box.half_y_mm)))
            ]
            met |= np.hypot(beside[0][None, :], beside[1][:, None]) <= swath.radius_mm + lattice.half_cell
    return met


def _beside(course: Course, path: Path, k: int, axis: int, at: float, half: float, lattice: Lattice) -> Floats:
    """Return how far a move is from a box along one axis [mm], for each shift along it, 0 where beside it."""
    row = path.row[k]
    many = lattice.rows if axis else lattice.columns
    shift = lattice.low[axis] + (np.arange(many) + 0.5) * lattice.pitch[axis]
    rides = course.start_rides[row, axis], course.end_rides[row, axis]
    ends = (path.low, path.high) if rides[0] == rides[1] else (path.start, path.end)
    places = [end[k, axis] + (shift if goes else 0.0 * shift) for end, goes in zip(ends, rides, strict=True)]
    low, high = np.minimum(*places), np.maximum(*places)
    gap: Floats = np.maximum(np.maximum(low - (at + half), (at - half) - high), 0.0)
    return gap


def _staying(courses: Sequence[Course], job: Job, machine: Machine, place: Place) -> list[Obstacle]:
    """Return what the moves meet that stay with the machine."""
    found = []
    for course in courses:
        stays = course.staying[course.swept.row]
        moves = course.swept.take(np.intersect1d(np.flatnonzero(stays), known_rows(course.swept)))
        for each in contacts(moves, job, machine, place) if len(moves) else ():
            met = each.hit or each.near
            if met is not None:
                line = int(moves.line[met.worst_row])
                found.append(Obstacle(kind="contact", part=each.part, thing=each.thing, clamp=each.clamp, line=line))
    return found


def _machine_lines(course: Course) -> list[int]:
    rows = np.flatnonzero(~course.riding)
    return [int(line) for line in course.program.line[rows[:1]]]


def _unknown_line(courses: Sequence[Course]) -> int | None:
    """Return the first line that ends where nobody knows, whatever the start."""
    lines = [
        int(course.program.line[int(lost.argmax())])
        for course in courses
        if (lost := (course.program.end_doubt > Doubt.START).any(axis=1)).any()
    ]
    return min(lines, default=None)


def _start_line(courses: Sequence[Course], job: Job, machine: Machine, place: Place) -> int | None:
    """Return the first line that may meet a clamp from where the bit may stand at the start."""
    lines = [
        int(course.swept.line[each.row])
        for course in courses
        for each in sweeps(course.swept, job, machine, place)
        if each.clamp is not None and each.lowest_mm <= TOUCH_MM
    ]
    return min(lines, default=None)


def _is_placed(place: Place, axis: AxisName) -> bool:
    return place.machine_mm[axis] is not None and place.range_mm[axis] is not None


def _inside(shift: tuple[float, float], spans: tuple[Span, Span]) -> tuple[float, float]:
    """Return the shift, moved into the spans where the cells reach beyond them."""
    x, y = (min(max(at, low), high) for at, (low, high) in zip(shift, spans, strict=True))
    return x, y


def _widest(courses: Sequence[Course], things: Sequence[Thing], job: Job, machine: Machine) -> tuple[float, float]:
    """Return how far along x and y any part of the tool is from the middle of a thing it may touch [mm]."""
    parts = cylinders(job, machine)
    radius = max(each.radius_mm for each in parts)
    lowest = min((float(course.swept.low_mm[:, 2].min(initial=np.inf)) for course in courses), default=np.inf)
    around = lowest + min((each.bottom_mm for each in parts if each.part != "bit"), default=np.inf)
    near = [each.grown for each in things if each.clamp is not None or around <= each.grown.top_mm + TOUCH_MM]
    return (
        radius + max((box.half_x_mm for box in near), default=0.0),
        radius + max((box.half_y_mm for box in near), default=0.0),
    )

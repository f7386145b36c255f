"""Programs carved into a bare board, for the tests of removal."""

from dataclasses import dataclass

import numpy as np
from driven import moves_of
from removal import swept

from cutworthy import clearance, motion
from cutworthy.app.cards import load_job, load_machine
from cutworthy.model.removal import Engagement
from cutworthy.program import ReadOptions, read_program
from cutworthy.removal import remove
from cutworthy.removal.carve import Cutting, Field, carve
from cutworthy.removal.engagement import engagement
from cutworthy.removal.grid import Grid, grid_over
from cutworthy.removal.path import Way, way_of


def quiet(_share):
    """Tell nobody how far the work is."""


@dataclass(frozen=True, eq=False)
class Carved:
    """What a program leaves of a board whose top is at z = 0, and what was told of each stretch of its way."""

    grid: Grid
    way: Way
    heights: np.ndarray
    told: Engagement
    totals: np.ndarray
    field: np.ndarray

    @property
    def cuts(self):
        return self.told.rapid == 0

    @property
    def volume(self):
        """Of what was found on the way [mm^3]."""
        return float(self.told.volume_mm3[self.cuts].sum())

    @property
    def lowered(self):
        """Of the board [mm^3]."""
        return -float(self.heights.astype(np.float64).sum()) * self.grid.pitch_mm**2

    @property
    def area(self):
        """Of what is lowered, seen from above [mm^2]."""
        return np.count_nonzero(self.heights < 0) * self.grid.pitch_mm**2


def carved(
    program,
    *bits,
    size=(60.0, 40.0),
    low=(0.0, 0.0),
    pitch=0.25,
    floor=-10.0,
    start=(0.0, 0.0, 5.0),
    compiled=True,
    tools=None,
    grid=None,
    reach=None,
):
    """Carve a program, lines of text or their moves, into a board from ``low`` on; ``tools``: the bit of each move."""
    moves = moves_of(program, start) if isinstance(program, str) else program
    bit = np.zeros(len(moves), dtype=np.int64) if tools is None else np.asarray(tools)
    way = way_of(moves, bit)
    reach = reach or max(each.radius_mm for each in bits if each)
    grid = grid or grid_over(low, size, reach, pitch)
    field = Field(grid=grid, heights=grid.field(0.0), top_mm=0.0, floor_mm=floor)
    of_piece = bit[way.rows[:, 0]]
    cutting = Cutting(way=way, bits=of_piece, profiles=list(bits), compiled=compiled)
    totals = carve(field, cutting, quiet)
    told = engagement(moves, np.arange(len(moves)), way, of_piece, list(bits), totals, grid.pitch_mm)
    swept.untouched(grid, field.heights)
    heights = grid.square(field.heights)[grid.inside]
    return Carved(grid=grid, way=way, heights=heights, told=told, totals=totals, field=field.heights)


def word(x, y, z=None):
    """Return a place as words of a program, with more digits than anybody writes."""
    return f"X{x:.9f} Y{y:.9f}" + ("" if z is None else f" Z{z:.9f}")


def lines(*corners):
    """Return a program that cuts straight from corner to corner, and down into the first from above it."""
    x, y, _ = corners[0]
    return "\n".join([f"G0 {word(x, y)}", f"G1 {word(*corners[0])} F1200", *(word(*each) for each in corners[1:])])


def removed_of(card, program=None, *, progress=quiet, **given):
    """Return what a job card's program takes from the board, or another program does there."""
    job = load_job(card)
    machine = load_machine(job.machine).record
    data = job.program.read_bytes() if program is None else program.encode()
    read = read_program(data, ReadOptions(start_mm=(0.0, 0.0, 50.0)), quiet)
    moves = motion.expand(read, machine)
    return remove(moves, job.record, clearance.place(machine, job.record), progress=progress, **given)


def removed(workshop, program, *, job=None, **given):
    """Return what a program takes from the board of the small workshop."""
    return removed_of(workshop.write(program=program, job=job), **given)

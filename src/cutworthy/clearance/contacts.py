"""Every part of the tool against every clamp, and what stands around the bit against the board."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt

from cutworthy.clearance.blocks import Blocks
from cutworthy.clearance.known import known_rows
from cutworthy.clearance.parts import PARTS, calls_bit, cylinders
from cutworthy.clearance.path import Least, Path
from cutworthy.clearance.probe import Probe
from cutworthy.clearance.solid import TOUCH_MM, Box, at_place
from cutworthy.clearance.things import Thing, board_of, clamps_of
from cutworthy.model.clearance import Contact, Meeting, Part, Place
from cutworthy.model.columns import Ints, Lines
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.moves import Moves, Way
from cutworthy.model.program import Kind
from cutworthy.working import Input, record

__all__ = ["contacts"]

Flags = npt.NDArray[np.bool_]

FORMULA = (
    "max(hypot(max(a, 0), max(b, 0)) + min(max(a, b), 0) - radius, z + bottom - top), "
    "a = |x - middle_x| - half_x, b = |y - middle_y| - half_y"
)
SOURCE = "geometry: an upright cylinder beside or above a box"


def contacts(moves: Moves, job: Job, machine: Machine, place: Place) -> tuple[Contact, ...]:
    """Return how near each part of the tool comes to each thing, and which moves meet it.

    Parameters
    ----------
    moves : Moves
        What the tool sweeps. Moves with a coordinate in doubt are left out.
    job : Job
        Gives clamps, board, bits and the errors of places.
    machine : Machine
        Gives nut, body and shoe; a part that is not on the card is left out.
    place : Place
        Where zero lies on the board.

    Returns
    -------
    tuple of Contact
        Clamps in the order of the card, then the board (against nut, body and shoe: the bit is
        meant to meet it). Clearances in mm: exact for straight moves and arcs of one height, a
        lower bound within 1e-6 for the other arcs.

    Notes
    -----
    A hit is a contact of the entered sizes. A near miss meets the thing grown sideways by its own
    and the zero's error, and upwards by the zero's error in z (and the spread of the board, where
    that moves its top). Touching is meeting. An arc whose ends lie on two circles counts as that
    much wider at least. A rapid whose way is unknown counts as the box between its ends for ``box`` only.
    """
    path = Path.of(moves, known_rows(moves))
    straight_rapid = (moves.kind[path.row] == Kind.RAPID) & (moves.way[path.row] == Way.STRAIGHT)
    loose = straight_rapid & (machine.control.rapids == "unknown")
    found, at_clamps = [], []
    for pair in _pairs(path, moves.tool[path.row], job, machine, place):
        nearest, probe = _nearest(pair.entered)
        found.append(_contact(pair, nearest, moves.row[path.row], loose))
        if pair.thing.clamp is not None:
            at_clamps.append(_Place.of(nearest, probe))
    if at_clamps:
        min(at_clamps, key=lambda each: each.clearance_mm).show()
    return tuple(found)


class _Pair(NamedTuple):
    """One part of the tool and one thing, as entered and as grown."""

    part: Part
    thing: Thing
    entered: list[Probe]
    grown: list[Probe]


class _Place(NamedTuple):
    """Where one part of the tool comes nearest to one thing, by the scalar formula."""

    tip_mm: tuple[float, float, float]
    part: Part
    radius_mm: float
    bottom_mm: float
    box: Box

    @classmethod
    def of(cls, least: Least, probe: Probe) -> Self:
        return cls(
            tip_mm=probe.path.tip(least),
            part=probe.cylinder.part,
            radius_mm=float(probe.radius_mm[np.searchsorted(probe.moves, least.move)]),
            bottom_mm=probe.cylinder.bottom_mm,
            box=probe.box,
        )

    @property
    def clearance_mm(self) -> float:
        return at_place(self.box, self.tip_mm, self.radius_mm, self.bottom_mm)

    def show(self) -> None:
        box = self.box
        tip = {
            axis: Input(value=value, unit="mm", origin="program")
            for axis, value in zip("xyz", self.tip_mm, strict=True)
        }
        lengths = {
            "radius": self.radius_mm,
            "bottom": self.bottom_mm,
            "middle_x": box.x_mm,
            "middle_y": box.y_mm,
            "half_x": box.half_x_mm,
            "half_y": box.half_y_mm,
            "top": box.top_mm,
        }
        computed = {name: Input(value=value, unit="mm", origin="computed") for name, value in lengths.items()}
        inputs = {"part": Input(value=self.part, unit="", origin="computed")} | tip | computed
        record("clearance.clamp", FORMULA, inputs, self.clearance_mm, unit="mm", source=SOURCE)


def _pairs(path: Path, tool: Lines, job: Job, machine: Machine, place: Place) -> Iterator[_Pair]:
    parts = [(part, np.flatnonzero(calls_bit(tool, job, part.bit))) for part in cylinders(job, machine)]
    if not any(len(moves) for _, moves in parts):
        return
    blocks = Blocks.of(path)
    for thing in (*clamps_of(job, place), board_of(job, place)):
        for name in PARTS if thing.clamp is not None else PARTS[1:]:
            used = [
                (part, blocks.near(part, thing.box, thing.grown, moves))
                for part, moves in parts
                if part.part == name and len(moves)
            ]
            if used:
                yield _Pair(
                    part=name,
                    thing=thing,
                    entered=[Probe.of(path, part, thing.box, moves) for part, moves in used],
                    grown=[Probe.of(path, part, thing.grown, moves) for part, moves in used],
                )


def _contact(pair: _Pair, nearest: Least, program_row: Ints, loose: Flags) -> Contact:
    path, hit = pair.entered[0].path, _met(pair.entered)
    not_hit = loose & ~np.isin(program_row, program_row[hit]) if hit.any() else loose
    return Contact(
        part=pair.part,
        thing=pair.thing.name,
        clamp=pair.thing.clamp,
        clearance_mm=nearest.value,
        nearest_row=int(path.row[nearest.move]),
        nearest_at_mm=path.tip(nearest),
        hit=_meeting(pair.entered, hit),
        near=_meeting(pair.entered, _met(pair.grown) & ~hit),
        box=_box_meeting(pair.entered, not_hit),
    )


def _met(probes: Sequence[Probe]) -> Flags:
    """Return which moves bring one of the cylinders to its box."""
    met: Flags = np.any([probe.meeting() for probe in probes], axis=0)
    return met


def _nearest(probes: Sequence[Probe]) -> tuple[Least, Probe]:
    """Return the least clearance over all moves, and the probe that has it."""
    return min(((probe.nearest(), probe) for probe in probes if len(probe.moves)), key=lambda each: each[0].value)


def _meeting(probes: Sequence[Probe], moves: Flags) -> Meeting | None:
    """Return these moves with the worst of them, None when there are none."""
    if not moves.any():
        return None
    path = probes[0].path
    worst, _ = _nearest([probe.within(moves) for probe in probes])
    return Meeting(
        rows=tuple(path.row[moves].tolist()),
        worst_row=int(path.row[worst.move]),
        worst_mm=worst.value,
        at_mm=path.tip(worst),
    )


def _box_meeting(probes: Sequence[Probe], rapids: Flags) -> Meeting | None:
    """Return those of the rapids whose whole box meets the thing, None when there are none."""
    if not rapids.any():
        return None
    path, box = probes[0].path, probes[0].box
    clearance = np.full(len(path), np.inf)
    for probe in (each.within(rapids) for each in probes):
        clearance[probe.moves] = np.minimum(clearance[probe.moves], probe.whole_box_mm)
    met = clearance <= TOUCH_MM
    if not met.any():
        return None
    worst = int(clearance.argmin())
    x, y = np.clip((box.x_mm, box.y_mm), path.low[worst, :2], path.high[worst, :2]).tolist()
    return Meeting(
        rows=tuple(path.row[met].tolist()),
        worst_row=int(path.row[worst]),
        worst_mm=float(clearance[worst]),
        at_mm=(x, y, float(path.low[worst, 2])),
    )

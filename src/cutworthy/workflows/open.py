"""What the cards leave open: how a program may be read, and how wide the parts around the bit may be."""

from dataclasses import replace

from cutworthy.model.clearance import Place
from cutworthy.model.job import Job
from cutworthy.model.machine import AXES, Body, Machine, Nut
from cutworthy.model.program import Kind, Program, Reading
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.program import ListedTool, ReadOptions
from cutworthy.reference.tables import limit

__all__ = ["other_readings", "read_options", "with_widest_parts"]


def read_options(machine: Machine, job: Job, place: Place) -> ReadOptions:
    """Return how the program of a job is read by practice."""
    control = machine.control
    x, y, z = (place.machine_mm[axis] for axis in AXES)
    return ReadOptions(
        units_at_start=control.units_at_start,
        assumed_units=machine.units,
        arc_centres=control.arc_centres,
        block_delete=control.block_delete == "on",
        g28_mm=control.g28_mm,
        g30_mm=control.g30_mm,
        origin_mm=(x, y, z),
        start_mm=None,
        system=job.zero.system,
        other_systems_known=False,
        tools={0: ListedTool(diameter_mm=job.bits[0].diameter_mm.value)}
        | {bit.tool: ListedTool(diameter_mm=bit.diameter_mm.value) for bit in job.bits},
        lengths=control.lengths,
        zero_tool=job.bits[0].tool,
    )


def other_readings(machine: Machine, program: Program, options: ReadOptions) -> list[tuple[Reading, ReadOptions]]:
    """Return the readings besides practice that the cards leave open for this program."""
    others = []
    if program.homes_some_axes:
        others.append((Reading.REPORT, replace(options, home="all")))
    if program.has_block_delete and machine.control.block_delete == "unknown":
        others.append((Reading.BLOCK_DELETE_ON, replace(options, block_delete=True)))
    if machine.control.arc_centres == "unknown" and (program.moves.kind == Kind.ARC).any():
        others.append((Reading.ABSOLUTE_CENTRES, replace(options, arc_centres="absolute")))
    return others


def with_widest_parts(machine: Machine) -> Machine:
    """Return the machine with the widest nut and body we can think of, where the card has none."""
    spindle = machine.spindle
    nut = spindle.nut or Nut(
        diameter_mm=_guess("guess_nut_diameter"), length_mm=_guess("guess_nut_length"), max_rpm=None
    )
    body = spindle.body or Body(diameter_mm=_guess("guess_body_diameter"), length_mm=None)
    return replace(machine, spindle=replace(spindle, nut=nut, body=body))


def _guess(key: str) -> Quantity:
    value = limit(key).value
    return Quantity(value=value, low=value, high=value, origin=Origin.GUESSED, key=key, stated=False)

"""What could change the verdict if a number were on the card, and what cannot be obeyed."""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.depth import bit_key
from cutworthy.findings.reading import from_reader
from cutworthy.findings.registry import on_lines, rule
from cutworthy.findings.spindle import asked_rpm, fastest
from cutworthy.model.clearance import Reach
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.machine import AXES
from cutworthy.model.program import Doubt, Level
from cutworthy.reference.tables import limit

__all__: list[str] = []


@rule("not-supported", Level.ASK, source="our own state: controls differ in these")
def _not_supported(facts: Facts) -> Iterator[Finding]:
    """A word of the program cannot be obeyed."""
    yield from from_reader(facts, "not-supported")


@rule("memory-needed", Level.ASK, source="NISTIR 6556, 3.2")
def _memory_needed(facts: Facts) -> Iterator[Finding]:
    """A cut depends on something the control holds: where the bit stands, an offset, a length."""
    moves = facts.program.moves
    from_start = (np.maximum(moves.start_doubt, moves.end_doubt) == Doubt.START).any(axis=1) & moves.feeds
    if from_start.any():
        yield on_lines(
            Finding(id="memory-needed", level=Level.ASK, case="start", about="start"), moves.line[from_start]
        )
    system = facts.job.zero.system
    if system != "G54" and any(system in str(p.numbers.get("codes", "")).split() for p in facts.program.problems):
        yield Finding(id="memory-needed", level=Level.ASK, case="start-system", about=f"start {system}", quote=system)
    yield from from_reader(facts, "memory-needed")


@rule("number-needed", Level.ASK, source="our choice: an unknown that could change the verdict is asked for")
def _number_needed(facts: Facts) -> Iterator[Finding]:
    """A number that is not on the card could change the verdict."""
    yield from _place(facts)
    yield from _depth(facts)
    yield from _around_the_bit(facts)
    yield from _clamp_heights(facts)
    if facts.machine.spoilboard_map and None in (facts.place.machine_mm["x"], facts.place.machine_mm["y"]):
        yield _needed("map", "machine.spoilboard_map")
    for bit in facts.job.bits:
        yield from _speeds(facts, bit)
        if bit.tool in facts.removal.unswept and facts.with_bit(bit).any():
            missing = "corner_radius" if bit.corner_radius_mm is None and bit.kind in ("bull", "taper") else "angle"
            yield _needed("shape", bit_key(facts, bit, missing), {"kind": bit.kind})
    yield from _holding(facts)
    if not facts.loading.meter_fits:
        meter = facts.machine.calibration
        swapped = meter is not None and meter.cut_power_w.value <= meter.idle_power_w.value
        yield _needed("meter-swapped" if swapped else "meter", "calibration")
    for name in facts.loading.unknown_axes:
        if (facts.moves.high_mm[:, AXES.index(name)] > facts.moves.low_mm[:, AXES.index(name)]).any():
            yield _needed("push", f"axes.{name}.drive", {"axis_name": name.upper()})


def _needed(case: str, key: str, numbers: Numbers | None = None) -> Finding:
    return Finding(id="number-needed", level=Level.ASK, case=case, about=key, numbers=numbers or {})


def _place(facts: Facts) -> Iterator[Finding]:
    """Without the board's place on the machine, say how far the bit goes from zero."""
    open_ended = {r.axis: r for r in facts.reaches if r.limits_mm is None and r.room_mm is None}
    level = [open_ended.get(axis) for axis in ("x", "y")]
    if any(level):
        names = (("left_mm", "right_mm"), ("front_mm", "back_mm"))
        numbers: dict[str, float | str | None] = {}
        for reach, (low, high) in zip(level, names, strict=True):
            numbers[low], numbers[high] = _both_ways(reach)
        homeless = any(facts.machine.axes[axis].homes_to == "none" for axis in ("x", "y"))
        told = facts.job.board.at_x_mm is not None
        only = "" if all(level) else "-x" if level[0] else "-y"
        yield _needed(("no-home" if homeless and told else "place") + only, "board.at", numbers)
    if "z" in open_ended:
        below, above = _both_ways(open_ended["z"])
        homeless = facts.machine.axes["z"].homes_to == "none" and facts.job.board.bottom_z_mm is not None
        case = "no-home-z" if homeless else "height"
        yield _needed(case, "board.bottom", {"below_mm": below, "above_mm": above})


def _both_ways(reach: Reach | None) -> tuple[float, float]:
    """Return how far an axis goes from zero, to smaller and to greater values [mm]."""
    if reach is None:
        return 0.0, 0.0
    return max(0.0, -reach.low_mm), max(0.0, reach.high_mm)


def _depth(facts: Facts) -> Iterator[Finding]:
    moves = facts.program.moves
    deepest = max(facts.depths, key=lambda depth: depth.below_underside_mm, default=None)
    if deepest and deepest.below_underside_mm > 0 and facts.machine.spoilboard_mm is None:
        numbers: Numbers = {"value": deepest.below_underside_mm, "limit": None, "unit": "mm"}
        yield on_lines(_needed("spoilboard", "machine.spoilboard", numbers), [int(moves.line[deepest.lowest_row])])
    for depth in facts.depths:
        bit = facts.bit(depth.tool)
        if bit and not bit.cutting_length_mm.stated and bit.cutting_length_mm.low < depth.below_top_mm:
            numbers = {"value": depth.below_top_mm, "limit": bit.cutting_length_mm.low, "unit": "mm"}
            needed = _needed("cutting-length", bit_key(facts, bit, "cutting_length"), numbers)
            yield on_lines(needed, [int(moves.line[depth.deep_row])])


def _around_the_bit(facts: Facts) -> Iterator[Finding]:
    """A collet nut or body that is not on the card, and could meet something if it were wide."""
    for contact in facts.if_guessed:
        meeting = contact.hit or contact.near
        if meeting:
            key = "spindle.collet_nut" if contact.part == "nut" else "spindle.body"
            numbers: Numbers = {"value": contact.clearance_mm, "limit": 0.0, "unit": "mm", "thing": contact.thing}
            needed = _needed(f"{contact.part}-size", key, numbers)
            yield on_lines(needed, facts.moves.line[list(meeting.rows)], int(facts.moves.line[meeting.worst_row]))
    for sweep in facts.sweeps_if_guessed:
        if sweep.lowest_mm < 0:
            key = "spindle.collet_nut" if sweep.part == "nut" else "spindle.body"
            numbers = {"value": sweep.lowest_mm, "limit": 0.0, "unit": "mm", "thing": sweep.thing}
            yield on_lines(_needed(f"{sweep.part}-size", key, numbers), [int(facts.moves.line[sweep.row])])


def _clamp_heights(facts: Facts) -> Iterator[Finding]:
    """A clamp that lies over the board and is lower than it: its height was measured from elsewhere."""
    board = facts.job.board
    for number, clamp in enumerate(facts.job.clamps, start=1):
        if facts.job.is_over_board(clamp) and clamp.height_mm.value < board.thickness_mm.value - board.spread_mm.value:
            numbers: Numbers = {
                "value": clamp.height_mm.value,
                "limit": board.thickness_mm.value,
                "unit": "mm",
                "thing": clamp.name,
            }
            yield _needed("clamp-height", f"clamps[{number}].height", numbers)


def _speeds(facts: Facts, bit: Bit) -> Iterator[Finding]:
    """A greatest or least speed that is not on the card, where the speed asked for could break it."""
    spindle = facts.machine.spindle
    for speed in asked_rpm(facts, bit):
        if np.isnan(speed):
            continue
        bounds = [
            (f"{case}-unknown", key, limit("guess_fastest_rpm" if key == "spindle.speed" else "guess_max_rpm").value)
            for case, key, cap in fastest(facts, bit)
            if cap is None
        ]
        for case, key, bound in bounds:
            if speed > bound:
                numbers: Numbers = {"value": speed, "limit": bound, "unit": "rpm"}
                yield _needed(case, key, numbers)
        bound = limit("guess_slowest_rpm").value
        if spindle.slowest_rpm is None and speed < bound:
            numbers = {"value": speed, "limit": bound, "unit": "rpm"}
            yield _needed("below-unknown", "spindle.speed", numbers)


def _holding(facts: Facts) -> Iterator[Finding]:
    """What holds the board is not told, or not where."""
    holding = facts.job.holding
    if holding is None:
        if not facts.job.clamps:
            yield _needed("holding", "holding.by")
    elif holding.by == "clamps" and not facts.job.clamps:
        yield _needed("clamps", "clamps")
    elif holding.by == "clamps" and not any(facts.job.is_over_board(clamp) for clamp in facts.job.clamps):
        yield _needed("clamps-beside", "clamps")
    elif holding.by in ("tape", "vacuum") and holding.force_n is None:
        yield _needed("force", "holding.force")

"""From how the bit meets the wood, and how fast it goes, to chip, force, power, bending and the axes' margins."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import sqrt, tan

import numpy as np
import numpy.typing as npt

from cutworthy.loads import bending, chips, force, power
from cutworthy.loads.edge import Edge, edge_in_wood, runout_mm, spiral_rad
from cutworthy.loads.knob import Turned, knob_pct
from cutworthy.loads.margin import margins_of, nuts_of
from cutworthy.loads.narrowing import narrowed, narrowing_of
from cutworthy.loads.range import chip_range_mm
from cutworthy.loads.sizes import sizes_of
from cutworthy.loads.speeds import Pace, pace_of, turning
from cutworthy.loads.wood import wood_of
from cutworthy.loads.worst import worst_lines
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.job import Bit, Job
from cutworthy.model.loads import HIGH, AxisMargin, Loading, Loads, Narrowing
from cutworthy.model.machine import AXES, AxisName, Machine
from cutworthy.model.moves import Moves
from cutworthy.model.program import Program
from cutworthy.model.removal import Engagement
from cutworthy.model.settings import Band, Pushes, Settled
from cutworthy.model.timeline import Timeline
from cutworthy.model.wood import Wood
from cutworthy.reference.cutting import cutting

__all__ = ["load"]

Flags = npt.NDArray[np.bool_]

PLUNGE_RAD = 1.4  # steeper ways count as straight down
PERCENTILES = (5, 95)
# A bit's section at its deepest, over its mean height across the way, at most: mensuration.
DEEPEST = {"flat": 1.0, "bull": 1.5, "ball": 1.5, "vee": 2.0, "taper": 2.0, "drill": 2.0}


def load(
    met: Engagement,
    moves: Moves,
    program: Program,
    timeline: Timeline,
    settled: Settled,
    job: Job,
    slot: Loading | None = None,
) -> Loading:
    """Return the loads of a program.

    Parameters
    ----------
    met
        How the bits meet the wood.
    moves
        What was swept; the rows of ``met`` are rows of this.
    program, timeline
        The moves of the program and how fast they are really driven.
    settled
        The machine, and what each axis can push and how true it goes.
    job
        For board and bits.
    slot
        The loads of the slot that a power meter watched, None without one.
    """
    machine, axes = settled.machine, settled.settings.axes
    known = _known(wood_of(job.board), machine, slot)
    pushes = {name: axis.pushes for name, axis in axes.items()}
    given = _Given(met=met, lines=known.lines, machine=machine, program=program, pushes=pushes)
    cuts = [(bit, _cuts(met, job, bit)) for bit in job.bits]
    parts = [_of_bit(given, rows, bit, pace_of(met, rows, moves, program.moves, timeline)) for bit, rows in cuts]
    loads = _joined([part.loads for part in parts])
    sizes = [sizes_of(part.loads, bit, machine, axes) for bit, part in zip(job.bits, parts, strict=True)]
    return Loading(
        loads=loads,
        wood=known.wood,
        force_ratio=known.ratio,
        narrowing=known.narrowing,
        meter_fits=known.fits,
        power_known=machine.spindle.power_w is not None,
        margins=_least(loads, pushes),
        unknown_axes=tuple(name for name in AXES if pushes[name] is None),
        guessed={name: own.guessed for name, own in pushes.items() if own is not None},
        chip_mm=_percentiles(loads),
        tools=tuple(bit.tool for bit in job.bits),
        chip_range_mm=tuple(part.chip_mm for part in parts),
        worst=worst_lines(loads, met, _most_mm(loads, parts), power_known=machine.spindle.power_w is not None),
        sizes=tuple(each for each in sizes if each is not None),
        again=partial(_again, given, job.bits, parts),
        knob_pct=knob_pct([part for part in parts if len(part.loads)], machine, pushes),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What is known of the force: lines, and the ends of their band over what is expected."""

    wood: Wood
    lines: Mapping[str, force.EdgeLine]
    ratio: tuple[float, float]
    narrowing: Narrowing | None
    fits: bool


def _known(wood: Wood, machine: Machine, slot: Loading | None) -> _Known:
    """Return what the books tell of the force in a wood, narrowed by the power meter where there is one."""
    lines, fits, meter = force.edge_line(wood), True, machine.calibration
    narrowing = None if slot is None or meter is None else narrowing_of(slot, meter, wood)
    if narrowing is not None:
        lines, fits = narrowed(lines, narrowing)
    low, expected, high = (force.usual_n_mm(lines[name]) for name in force.BANDS)
    return _Known(
        wood=wood,
        lines=lines,
        ratio=(low / expected, high / expected),
        narrowing=narrowing,
        fits=fits and (slot is None or narrowing is not None),
    )


def _most_mm(loads: Loads, parts: Sequence[Turned]) -> Floats:
    """Return the greatest feed for each edge that each stretch may have, (n,)."""
    most = np.empty(len(loads))
    for part in parts:
        most[np.searchsorted(loads.stretch, part.loads.stretch)] = part.chip_mm[1]
    return most


def _cuts(met: Engagement, job: Job, bit: Bit) -> Ints:
    """Return the stretches that this bit cuts; a T number without a bit counts as the first, as in removal."""
    numbers = {each.tool for each in job.bits}
    called = np.where((met.tool == 0) | ~np.isin(met.tool, list(numbers)), job.bits[0].tool, met.tool)
    cuts: Ints = np.flatnonzero((met.rapid == 0) & (met.volume_mm3 > 0) & (called == bit.tool))
    return cuts


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cut:
    """Stretches of one bit: area across the way [mm^2], how far round [rad], how deep [mm], edges."""

    area_mm2: Floats
    round_rad: Floats
    deep_mm: Floats
    edge: Edge
    down: Flags


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Given:
    """What is the same for all bits."""

    met: Engagement
    lines: Mapping[str, force.EdgeLine]
    machine: Machine
    program: Program
    pushes: Mapping[AxisName, Pushes | None]


def _again(
    given: _Given, bits: Sequence[Bit], parts: Sequence[Turned], stretch: Ints, feed: float, depth: float
) -> Loads:
    """Return the loads of some stretches with the feed so many times as fast and the cut as deep."""
    found = []
    for bit, part in zip(bits, parts, strict=True):
        own = np.flatnonzero(np.isin(part.loads.stretch, stretch))
        pace = part.pace.take(own)
        pace = replace(pace, mean_mm_s=pace.mean_mm_s * feed, best_mm_s=pace.best_mm_s * feed)
        found.append(_of_bit(given, part.loads.stretch[own], bit, pace, depth).loads)
    return _joined(found)


def _of_bit(given: _Given, rows: Ints, bit: Bit, pace: Pace, depth: float = 1.0) -> Turned:
    """Return the loads of one bit's stretches, or of the same so many times as deep."""
    met, cut = given.met, _cut(given.met, rows, bit, depth)
    rpm = turning(given.machine, bit, given.program.moves.rpm[pace.first])
    per_edge = [chips.feed_per_edge_mm(pace.mean_mm_s, each, bit.flutes) for each in reversed(rpm)]
    thick, push_n, peak_n, watts = _forces(given.lines, cut, bit, pace, rpm)
    along = np.array([cutting()["lift"][name] for name in force.BANDS]) * tan(spiral_rad(bit))
    on_z = np.where(cut.down[:, None], push_n, push_n * along)
    reach = cut.edge.reach_mm.max() if len(rows) else bit.diameter_mm.value / 2
    pushed = (np.where(cut.down[:, None], 0.0, push_n), on_z)
    bend, stress = _bent(bit, cut.deep_mm, peak_n, cut.down)
    loads = Loads(
        stretch=rows,
        line=met.line[rows],
        tool=np.full(len(rows), bit.tool, dtype=np.int32),
        length_mm=met.length_mm[rows],
        moves=np.stack([pace.first, pace.last], axis=1),
        speed_mm_s=pace.best_mm_s,
        rpm=np.stack(rpm, axis=1),
        chip_mm=np.stack(per_edge, axis=1),
        thick_mm=thick,
        push_n=push_n,
        peak_n=peak_n,
        power_w=watts,
        output_w=power.output_w(given.machine.spindle, rpm[0]),
        lift_n=np.where(cut.down, 0.0, peak_n[:, HIGH] * along[HIGH]),
        depth_mm=cut.deep_mm,
        bend_mm=bend,
        stress_mpa=stress,
        down=cut.down.astype(np.uint8),
        margin=margins_of(pace, pushed, given.machine, given.pushes),
        nut=nuts_of(pace, pushed, given.machine, given.pushes),
    )
    return Turned(loads=loads, pace=pace, on_z=on_z, chip_mm=chip_range_mm(bit, 2 * float(reach)))


def _forces(
    lines: Mapping[str, force.EdgeLine], cut: _Cut, bit: Bit, pace: Pace, rpm: tuple[Floats, Floats]
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the mean thickness of the chips [mm], and low, expected, high: mean push, its peak [N], power [W].

    Chips are thickest, and push hardest, where the way is fastest and the bit turns slowest. Of a bit that runs out,
    one edge takes more than its share, up to that of all.
    """
    slow, fast = rpm
    at_best = chips.feed_per_edge_mm(pace.best_mm_s, slow, bit.flutes)
    beside = cut.round_rad * cut.edge.length_mm * cut.edge.middle_mm
    swept = np.maximum(np.where(cut.down, np.pi * cut.edge.reach_mm**2, beside), 1e-9)
    thick = cut.area_mm2 * at_best / swept
    greatest = thick * cut.round_rad / np.maximum(1 - np.cos(cut.round_rad), 1e-9)
    greatest = np.minimum(greatest, np.maximum(at_best, thick))
    at_a_time = np.maximum(1.0, np.ceil(bit.flutes * cut.round_rad / (2 * np.pi) - 1e-6))
    removed = cut.area_mm2 * pace.best_mm_s
    push, peak, watts = [], [], []
    for name, runout in zip(force.BANDS, runout_mm(bit), strict=True):
        line, aside = lines[name], sqrt(1 + cutting()["push-away"][name] ** 2)
        k = line.k_at(thick)
        each = force.mean_push(k * greatest, line.i_n_mm, cut.round_rad, bit.flutes) * cut.edge.length_mm * aside
        thickest = np.minimum(greatest, at_best)
        thickest = np.minimum(thickest + runout, bit.flutes * thickest)
        most = (k * thickest + line.i_n_mm) * cut.edge.length_mm * at_a_time * aside
        straight = (k * thick + line.i_n_mm) * bit.flutes * cut.edge.reach_mm * cutting()["plunge"][name]
        push.append(np.where(cut.down, straight, each))
        peak.append(np.where(cut.down, straight, most))
        passes = swept * bit.flutes * (slow if name == "low" else fast) / 60
        watts.append(power.cutting_power_w(k, line.i_n_mm, removed, passes))
    return thick, np.stack(push, axis=1), np.stack(peak, axis=1), np.stack(watts, axis=1)


def _cut(met: Engagement, rows: Ints, bit: Bit, depth: float) -> _Cut:
    down = met.rise_rad[rows] < -PLUNGE_RAD
    area = met.volume_mm3[rows] / np.maximum(met.length_mm[rows], 1e-9)
    deep = np.where(down, met.depth_mm[rows], _deep_mm(met, rows, bit)) * depth
    return _Cut(
        area_mm2=area * depth,
        round_rad=np.where(down, 2 * np.pi, np.maximum(met.angle_rad[rows], 1e-3)),
        deep_mm=deep,
        edge=edge_in_wood(bit, deep),
        down=down,
    )


def _deep_mm(met: Engagement, rows: Ints, bit: Bit) -> Floats:
    """Return how deep the wood is that the edge meets: its mean height across, as the bit's shape has it deepest.

    The highest wood that is met at all may be a sliver along a wall: it asks for nothing.
    """
    across = np.maximum(met.width_mm[rows] * met.length_mm[rows], 1e-9)
    return np.minimum(met.depth_mm[rows], DEEPEST[bit.kind] * met.volume_mm3[rows] / across)


def _bent(bit: Bit, depth_mm: Floats, peak_n: Floats, down: Flags) -> tuple[Floats, Floats]:
    """Return how far the bit bends and its stress, low and high, both (n, 2); a plunge does not bend it."""
    stickout = bit.stickout_mm
    shank = bit.diameter_mm.value if bit.shank_mm is None else bit.shank_mm.value
    thin = bending.core_share(bit.flutes) * bit.diameter_mm.value
    soft, stiff = bending.young_mpa(bit.material)
    bent, stressed = [], []
    for force_n, out, cutting_length, young in (
        (peak_n[:, 0], stickout.low, bit.cutting_length_mm.low, stiff),
        (peak_n[:, 2], stickout.high, bit.cutting_length_mm.high, soft),
    ):
        middle = np.minimum(depth_mm, cutting_length) / 2
        flutes = np.maximum(min(cutting_length, out) - middle, 0.0)
        spans = (flutes, np.maximum(out - middle - flutes, 0.0))
        bent.append(np.where(down, 0.0, bending.deflection_mm(force_n, spans, (thin, shank), young)))
        stressed.append(np.where(down, 0.0, bending.stress_mpa(force_n, spans, (thin, shank))))
    return np.stack(bent, axis=1), np.stack(stressed, axis=1)


def _joined(parts: list[Loads]) -> Loads:
    """Return the stretches of all bits in the order in which they are cut."""
    if len(parts) == 1:
        return parts[0]
    names = Loads.__dataclass_fields__
    whole = Loads(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})
    return whole.take(np.argsort(whole.stretch, kind="stable"))


def _least(loads: Loads, pushes: Mapping[AxisName, Pushes | None]) -> dict[AxisName, AxisMargin]:
    """Return the least margin of each axis that cuts and whose drive is known."""
    found: dict[AxisName, AxisMargin] = {}
    for number, name in enumerate(AXES):
        own = loads.margin[:, number]
        if pushes[name] is None or not np.isfinite(own[:, 1]).any():
            continue
        low, expected, high = own.min(axis=0).tolist()
        worst = int(own[:, 1].argmin())
        found[name] = AxisMargin(margin=Band(low=low, expected=expected, high=high), line=int(loads.line[worst]))
    return found


def _percentiles(loads: Loads) -> tuple[float, float] | None:
    """Return the feed for each edge that a twentieth of the cut length stays below, and above; no plunges."""
    rows = np.flatnonzero(loads.down == 0)
    if not len(rows):
        return None
    ends = []
    for column, percent in enumerate(PERCENTILES):
        chip, length = loads.chip_mm[rows, column], loads.length_mm[rows]
        order = np.argsort(chip)
        share = np.cumsum(length[order]) / length.sum()
        ends.append(float(chip[order[min(int(np.searchsorted(share, percent / 100)), len(order) - 1)]]))
    return ends[0], ends[1]

"""Does the chip burn or break, can the axes push it, can the spindle turn it, does the board stay where it is?"""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from cutworthy.findings.axes import NO_TORQUE
from cutworthy.findings.depth import bit_name
from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.loads import EXPECTED, HIGH, LOW, Loads
from cutworthy.model.machine import AXES
from cutworthy.model.program import Level
from cutworthy.reference.tables import default, limit
from cutworthy.reference.woods import nearest_name
from cutworthy.units import S_PER_MIN

__all__: list[str] = []

RATIOS = tuple(percent / 100 for percent in range(95, 5, -5))  # of feed or depth, as remedies
JUST_UNDER, RPM_STEP = 0.9, 500.0
TRIED = 400  # stretches: the worst of those on which something is found


def _own(facts: Facts, bit: Bit) -> Ints:
    """Return the rows of the loads of one bit."""
    own: Ints = np.flatnonzero(facts.loading.loads.tool == bit.tool)
    return own


def _finding(facts: Facts, finding: Finding, rows: Ints, worst: int) -> Finding:
    """Return a finding with its lines, and its place on the worst of them."""
    loads = facts.loading.loads
    at = point(facts.removal.engagement.at_mm[int(loads.stretch[worst])])
    return on_lines(replace(finding, at_mm=at), loads.line[rows], int(loads.line[worst]))


def _clears(facts: Facts, rows: Ints, worst: int, over: Callable[[Loads], Floats]) -> Numbers:
    """Return up to which feed and which depth on the worst line nothing of this is found on any line.

    No feed where the chip would get too thin by it.

    Parameters
    ----------
    facts
        Of the job.
    rows, worst
        Where it is found, and where most.
    over
        Of loads what is above 1 where it is found, (n,).
    """
    loads, again = facts.loading.loads, facts.loading.again
    badly = np.sort(rows[np.argsort(-over(loads)[rows], kind="stable")[:TRIED]])
    stretch = loads.stretch[badly]
    least = min(least for least, _ in facts.loading.chip_range_mm)
    slower = next((r for r in RATIOS if over(again(stretch, r, 1.0)).max() <= 1), None)
    flatter = next((r for r in RATIOS if over(again(stretch, 1.0, r)).max() <= 1), None)
    numbers: dict[str, float | str | None] = {}
    if slower is not None and (loads.down[worst] or loads.chip_mm[worst, 0] * slower >= least):
        numbers["most_feed_mm_min"] = float(loads.speed_mm_s[worst]) * S_PER_MIN * slower
    if flatter is not None and not loads.down[worst]:
        numbers["clear_depth_mm"] = float(loads.depth_mm[worst]) * flatter
    return numbers


@rule("wood-unknown", Level.ASK, source="our choice: the widest of what it may be is taken")
def _wood_unknown(facts: Facts) -> Iterator[Finding]:
    """The board's material is not listed, may be several things, or is a metal."""
    wood = facts.loading.wood
    numbers: Numbers = {"said": wood.said, "names": "; ".join(wood.names[:4]), "count": str(len(wood.names))}
    if "metal" in wood.kinds:
        yield Finding(id="wood-unknown", level=Level.ASK, case="metal", about="board.material", numbers=numbers)
    elif not wood.is_known:
        near = nearest_name(wood.said)
        case = "unknown" if near is None else "near"
        numbers = {**numbers, "near": near or ""}
        yield Finding(id="wood-unknown", level=Level.ASK, case=case, about="board.material", numbers=numbers)
    elif len(wood.names) > 1 and not wood.stated:
        yield Finding(id="wood-unknown", level=Level.ASK, case="several", about="board.material", numbers=numbers)


@rule("chip-thin", Level.ASK, Level.NOTE, limit_key="chip_thin_share")
def _chip_thin(facts: Facts) -> Iterator[Finding]:
    """The edges take so little that they rub: the wood burns and the bit gets dull."""
    loads = facts.loading.loads
    for bit, (least, _) in zip(facts.job.bits, facts.loading.chip_range_mm, strict=True):
        own = _own(facts, bit)
        own = own[loads.down[own] == 0]
        rows = own[loads.chip_mm[own, 0] < least * limit("chip_thin_near").value]
        if not len(rows):
            continue
        share = float(loads.length_mm[rows].sum() / loads.length_mm[own].sum())
        level = Level.ASK if share >= limit("chip_thin_share").value else Level.NOTE
        worst = int(rows[loads.chip_mm[rows, 0].argmin()])
        numbers: Numbers = {
            "value": float(loads.chip_mm[worst, 0]),
            "limit": least,
            "unit": "mm",
            "share": f"{100 * share:.0f}",
            "usual_mm": _usual_mm(facts, rows),
            "slow_rpm": _slower_rpm(facts, own, least),
        }
        case = "some" if level is Level.NOTE else "rubs" if numbers["slow_rpm"] is None else "turns"
        finding = Finding(id="chip-thin", level=level, case=case, about=bit_name(bit), numbers=numbers)
        yield _finding(facts, finding, rows, worst)


def _usual_mm(facts: Facts, rows: Ints) -> float:
    """Return the feed for each edge that half of the length of some cuts stays below."""
    loads = facts.loading.loads
    order = rows[np.argsort(loads.chip_mm[rows, 0])]
    passed = np.cumsum(loads.length_mm[order])
    return float(loads.chip_mm[order[int(np.searchsorted(passed, passed[-1] / 2))], 0])


def _slower_rpm(facts: Facts, own: Ints, least_mm: float) -> float | None:
    """Return how fast the bit may turn so that it hardly rubs; None where the spindle turns no more slowly."""
    loads, slowest = facts.loading.loads, facts.machine.spindle.slowest_rpm
    order = own[np.argsort(loads.chip_mm[own, 0])]
    passed = np.cumsum(loads.length_mm[order]) / loads.length_mm[order].sum()
    row = order[int(np.searchsorted(passed, limit("chip_thin_share").value * JUST_UNDER))]
    now = float(loads.rpm[row, 1])
    wanted = math.floor(now * float(loads.chip_mm[row, 0]) / least_mm / RPM_STEP) * RPM_STEP
    return wanted if slowest is not None and slowest.value <= wanted < now else None


@rule("chip-thick", Level.ASK, source="the bit's own range, else the widest that makers list, from memory")
def _chip_thick(facts: Facts) -> Iterator[Finding]:
    """The edges take more than the bit's maker says, or than anybody lists."""
    loads = facts.loading.loads
    for bit, (_, most) in zip(facts.job.bits, facts.loading.chip_range_mm, strict=True):
        own = _own(facts, bit)
        rows = own[loads.chipping(most)[own] > 1]
        if len(rows):
            worst = int(rows[loads.chip_mm[rows, 1].argmax()])
            numbers: Numbers = {
                "value": float(loads.chip_mm[worst, 1]),
                "limit": most,
                "unit": "mm",
                "most_feed_mm_min": float(loads.speed_mm_s[worst] * most / loads.chip_mm[worst, 1]) * S_PER_MIN,
            }
            case = "trade" if bit.chip_high_mm is None else "stated"
            finding = Finding(id="chip-thick", level=Level.ASK, case=case, about=bit_name(bit), numbers=numbers)
            yield _finding(facts, finding, rows, worst)


@rule("bit-overload", Level.NO_GO, Level.ASK, limit_key="bit_stress")
def _bit_overload(facts: Facts) -> Iterator[Finding]:
    """The cut bends the bit too far, or may break it."""
    loads = facts.loading.loads
    for bit in facts.job.bits:
        own = _own(facts, bit)
        for case, column, key, over in (
            ("stress", loads.stress_mpa, "bit_stress", Loads.strain),
            ("bend", loads.bend_mm, "bit_bend", Loads.bending),
        ):
            most, found = limit(key), own[over(loads)[own] > 1]
            if len(found):
                surely = bool((column[found, 0] > most.value).any())
                worst = int(found[column[found, 1].argmax()])
                value = float(column[worst, 0 if surely else 1])
                numbers: Numbers = {"value": value, "limit": most.value, "unit": most.unit}
                numbers = {**numbers, **_clears(facts, found, worst, over)}
                level = Level.NO_GO if surely else Level.ASK
                finding = Finding(id="bit-overload", level=level, case=case, about=bit_name(bit), numbers=numbers)
                yield _finding(facts, finding, found, worst)
                break


def _pushing(axis: int) -> Callable[[Loads], Floats]:
    return lambda found: np.asarray(found.pushing()[:, axis])


def _opening(axis: int) -> Callable[[Loads], Floats]:
    return lambda found: np.asarray(1 / found.nut[:, axis])


@rule("lost-step-risk", Level.NO_GO, Level.ASK, limit_key="torque_margin")
def _lost_step_risk(facts: Facts) -> Iterator[Finding]:
    """An axis may not push as hard as the cut asks for."""
    loads, wanted = facts.loading.loads, limit("torque_margin").value
    for number, name in enumerate(AXES):
        own = loads.margin[:, number]
        for level, end, least in ((Level.NO_GO, EXPECTED, 1.0), (Level.ASK, LOW, wanted)):
            rows = np.flatnonzero(own[:, end] < least)
            if not len(rows):
                continue
            worst = int(own[:, end].argmin())
            numbers: Numbers = {
                "value": float(own[worst, end]),
                "limit": least,
                "unit": "",
                "expected": f"{own[worst, EXPECTED]:.2g}",
                "push_n": float(loads.push_n[worst, EXPECTED]),
                "most_push_n": float(loads.push_n[worst, HIGH]),
                "keys": ", ".join(key for key in facts.loading.guessed[name] if key not in NO_TORQUE),
                **_clears(facts, rows, worst, _pushing(number)),
            }
            case = "expected" if level is Level.NO_GO else "guessed" if numbers["keys"] else "low"
            finding = Finding(id="lost-step-risk", level=level, case=case, about=name, numbers=numbers)
            yield _finding(facts, finding, rows, worst)
            break
        rows = np.flatnonzero(loads.nut[:, number] < 1.0)
        if len(rows):
            worst = int(loads.nut[:, number].argmin())
            numbers = {
                "value": float(loads.nut[worst, number]),
                "limit": 1.0,
                "unit": "",
                **_clears(facts, rows, worst, _opening(number)),
            }
            finding = Finding(id="lost-step-risk", level=Level.ASK, case="nut", about=name, numbers=numbers)
            yield _finding(facts, finding, rows, worst)


@rule("power-short", Level.NO_GO, Level.ASK, limit_key="power_share")
def _power_short(facts: Facts) -> Iterator[Finding]:
    """The spindle may not have the power that the cut takes."""
    loads, known = facts.loading.loads, facts.loading.power_known
    for bit in facts.job.bits:
        own = _own(facts, bit)
        if not len(own):
            continue
        watts, has = loads.power_w[own], loads.output_w[own]
        short = known and bool((watts[:, LOW] > has[:, HIGH]).any())
        bound = has[:, HIGH] if short else limit("power_share").value * has[:, LOW]
        beyond = watts[:, LOW if short else HIGH] / bound
        rows = np.flatnonzero(beyond > 1)
        if not len(rows):
            continue
        worst = int(beyond.argmax())
        numbers: Numbers = {
            "value": float(watts[worst, LOW if short else HIGH]),
            "limit": float(bound[worst]),
            "unit": "W",
            "low": f"{watts[worst, LOW]:.0f}",
            **_clears(facts, own[rows], int(own[worst]), Loads.spindle),
        }
        case = "unknown" if not known else "short" if short else "near"
        level = Level.NO_GO if short else Level.ASK
        finding = Finding(id="power-short", level=level, case=case, about=bit_name(bit), numbers=numbers)
        yield _finding(facts, finding, own[rows], int(own[worst]))


@rule("hold-down-short", Level.ASK, limit_key="friction")
def _hold_down_short(facts: Facts) -> Iterator[Finding]:
    """The cut may push or lift the board harder than what holds it."""
    loads, held = facts.loading.loads, _held_n(facts)
    if held is None:
        return
    pressed, by_friction = held

    def holds(found: Loads) -> Floats:
        pressing = np.maximum(pressed - found.lift_n, 0.0)
        return limit("friction").value * pressing if by_friction else np.full(len(found), pressed)

    def over(found: Loads) -> Floats:
        with np.errstate(divide="ignore"):  # all of it may be lifted off
            push = found.peak_n[:, HIGH] / holds(found)
        return np.where(found.down == 1, 0.0, np.maximum(push, found.lift_n / pressed))

    rows = np.flatnonzero(over(loads) > 1)
    if len(rows):
        worst = int(rows[over(loads)[rows].argmax()])
        numbers: Numbers = {
            "value": float(loads.peak_n[worst, HIGH]),
            "limit": float(holds(loads)[worst]),
            "unit": "N",
            "lift_n": float(loads.lift_n[worst]),
            "by": "" if facts.job.holding is None else facts.job.holding.by,
            **_clears(facts, rows, worst, over),
        }
        finding = Finding(id="hold-down-short", level=Level.ASK, case="push", about="holding", numbers=numbers)
        yield _finding(facts, finding, rows, worst)


def _held_n(facts: Facts) -> tuple[float, bool] | None:
    """Return what presses or holds the board at least [N], and whether it holds by friction; None if not known."""
    holding, clamps = facts.job.holding, sum(map(facts.job.is_over_board, facts.job.clamps))
    usual = default("holding_force").low
    if holding is None:
        return (usual * clamps, True) if clamps else None
    each = usual if holding.force_n is None else holding.force_n.low
    if holding.by == "clamps":
        return (each * clamps, True) if clamps else None
    if holding.by == "screws":
        return each * limit("fewest_screws").value, False
    if holding.by in ("tape", "vacuum"):
        return None if holding.force_n is None else (holding.force_n.low, holding.by == "vacuum")
    return None

"""Does the chip burn or break, can the axes push it, can the spindle turn it, does the board stay where it is?"""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.axes import NO_TORQUE
from cutworthy.findings.depth import bit_name
from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.columns import Floats, Ints
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.job import Bit
from cutworthy.model.loads import EXPECTED, HIGH, LOW
from cutworthy.model.machine import AXES
from cutworthy.model.program import Level
from cutworthy.reference.tables import default, limit

__all__: list[str] = []


def _own(facts: Facts, bit: Bit) -> Ints:
    """Return the rows of the loads of one bit; a T number without a bit counts as the first."""
    tools, bits = facts.loading.loads.tool, facts.job.bits
    unknown = ~np.isin(tools, [each.tool for each in bits])
    own: Ints = np.flatnonzero((tools == bit.tool) | (unknown & (bit is bits[0])))
    return own


def _finding(facts: Facts, finding: Finding, rows: Ints, worst: int) -> Finding:
    """Return a finding with its lines, and its place on the worst of them."""
    loads = facts.loading.loads
    stretch = int(loads.stretch[worst])
    at = point(facts.removal.engagement.at_mm[stretch])
    placed = Finding(
        id=finding.id, level=finding.level, case=finding.case, about=finding.about, numbers=finding.numbers, at_mm=at
    )
    return on_lines(placed, loads.line[rows], int(loads.line[worst]))


@rule("wood-unknown", Level.ASK, source="our choice: the widest of what it may be is taken")
def _wood_unknown(facts: Facts) -> Iterator[Finding]:
    """The board's material is not listed, may be several things, or is a metal."""
    wood = facts.loading.wood
    numbers: Numbers = {"said": wood.said, "names": ", ".join(wood.names[:4]), "count": str(len(wood.names))}
    if "metal" in wood.kinds:
        yield Finding(id="wood-unknown", level=Level.ASK, case="metal", about="board.material", numbers=numbers)
    elif not wood.is_known:
        yield Finding(id="wood-unknown", level=Level.ASK, case="unknown", about="board.material", numbers=numbers)
    elif len(wood.names) > 1 and not wood.stated:
        yield Finding(id="wood-unknown", level=Level.ASK, case="several", about="board.material", numbers=numbers)


@rule("chip-thin", Level.ASK, Level.NOTE, limit_key="chip_thin_share")
def _chip_thin(facts: Facts) -> Iterator[Finding]:
    """The edges take so little that they rub: the wood burns and the bit gets dull."""
    loads = facts.loading.loads
    for bit, (least, _) in zip(facts.job.bits, facts.loading.chip_range_mm, strict=True):
        own = _own(facts, bit)
        own = own[loads.down[own] == 0]
        rows = own[loads.chip_mm[own, 0] < least * (1 - 1e-9)]
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
        }
        finding = Finding(id="chip-thin", level=level, case="rubs", about=bit_name(bit), numbers=numbers)
        yield _finding(facts, finding, rows, worst)


@rule("chip-thick", Level.ASK, source="the bit's own range, else the widest that makers list, from memory")
def _chip_thick(facts: Facts) -> Iterator[Finding]:
    """The edges take more than the bit's maker says, or than anybody lists."""
    loads = facts.loading.loads
    for bit, (_, most) in zip(facts.job.bits, facts.loading.chip_range_mm, strict=True):
        own = _own(facts, bit)
        rows = own[loads.chip_mm[own, 1] > most * (1 + 1e-9)]
        if len(rows):
            worst = int(rows[loads.chip_mm[rows, 1].argmax()])
            numbers: Numbers = {"value": float(loads.chip_mm[worst, 1]), "limit": most, "unit": "mm"}
            case = "trade" if bit.chip_high_mm is None else "stated"
            finding = Finding(id="chip-thick", level=Level.ASK, case=case, about=bit_name(bit), numbers=numbers)
            yield _finding(facts, finding, rows, worst)


@rule("bit-overload", Level.NO_GO, Level.ASK, limit_key="bit_stress")
def _bit_overload(facts: Facts) -> Iterator[Finding]:
    """The cut bends the bit too far, or may break it."""
    loads = facts.loading.loads
    for bit in facts.job.bits:
        own = _own(facts, bit)
        for case, column, key in (("stress", loads.stress_mpa, "bit_stress"), ("bend", loads.bend_mm, "bit_bend")):
            found = _beyond(column[own], limit(key).value)
            if found is not None:
                level, rows, worst = found
                value = float(column[own[worst], 0 if level is Level.NO_GO else 1])
                numbers: Numbers = {"value": value, "limit": limit(key).value, "unit": limit(key).unit}
                finding = Finding(id="bit-overload", level=level, case=case, about=bit_name(bit), numbers=numbers)
                yield _finding(facts, finding, own[rows], int(own[worst]))
                break


def _beyond(column: Floats, most: float) -> tuple[Level, Ints, int] | None:
    """Return how grave it is that an estimate (n, 2), low and high, is above its limit, where, and where most."""
    for level, end in ((Level.NO_GO, 0), (Level.ASK, 1)):
        rows = np.flatnonzero(column[:, end] > most)
        if len(rows):
            return level, rows, int(column[:, end].argmax())
    return None


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
            }
            case = "expected" if level is Level.NO_GO else "guessed" if numbers["keys"] else "low"
            finding = Finding(id="lost-step-risk", level=level, case=case, about=name, numbers=numbers)
            yield _finding(facts, finding, rows, worst)
            break
        rows = np.flatnonzero(loads.nut[:, number] < 1.0)
        if len(rows):
            worst = int(loads.nut[:, number].argmin())
            numbers = {"value": float(loads.nut[worst, number]), "limit": 1.0, "unit": ""}
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
        }
        case = "unknown" if not known else "short" if short else "near"
        level = Level.NO_GO if short else Level.ASK
        finding = Finding(id="power-short", level=level, case=case, about=bit_name(bit), numbers=numbers)
        yield _finding(facts, finding, own[rows], int(own[worst]))


@rule("hold-down-short", Level.ASK, limit_key="friction")
def _hold_down_short(facts: Facts) -> Iterator[Finding]:
    """The cut may push or lift the board harder than what holds it."""
    loads = facts.loading.loads
    held = _held_n(facts)
    across = np.flatnonzero(loads.down == 0)
    if held is None or not len(across):
        return
    pressed, by_friction = held
    push, lift = loads.peak_n[across, HIGH], loads.lift_n[across]
    holds = limit("friction").value * np.maximum(pressed - lift, 0.0) if by_friction else np.full(len(across), pressed)
    rows = across[(push > holds) | (lift > pressed)]
    if len(rows):
        worst = int(across[(push - holds).argmax()])
        numbers: Numbers = {
            "value": float(loads.peak_n[worst, HIGH]),
            "limit": float(holds[(push - holds).argmax()]),
            "unit": "N",
            "lift_n": float(loads.lift_n[worst]),
            "by": "" if facts.job.holding is None else facts.job.holding.by,
        }
        finding = Finding(id="hold-down-short", level=Level.ASK, case="push", about="holding", numbers=numbers)
        yield _finding(facts, finding, rows, worst)


def _held_n(facts: Facts) -> tuple[float, bool] | None:
    """Return what presses or holds the board at least [N], and whether it holds by friction; None if not known."""
    holding, clamps = facts.job.holding, len(facts.job.clamps)
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

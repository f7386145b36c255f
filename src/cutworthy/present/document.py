"""Outcomes as documents: the keys of the contract, numbers at nine digits, with the words added."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from cutworthy.model.findings import Finding, Outcome
from cutworthy.model.loads import Loading
from cutworthy.model.machine import AXES
from cutworthy.model.program import Extents, Kind, Plane, Program, ProgramMoves
from cutworthy.present.plain import plain
from cutworthy.present.sentences import not_checked, problem_says, says_and_do
from cutworthy.present.show import Display, significant
from cutworthy.units import S_PER_MIN
from cutworthy.working import Step

__all__ = [
    "CardRemark",
    "document",
    "finding_document",
    "moves_document",
    "program_document",
    "remark_document",
    "working_document",
]

Units = Literal["mm", "inch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRemark:
    """How a key of a card was read, where that may surprise its writer."""

    card: str
    line: int | None
    key: str
    says: str


def document(outcome: Outcome, units: Units, remarks: Iterable[CardRemark] = ()) -> dict[str, Any]:
    """Return the outcome of ``prove`` as a document; what is not computed is null."""
    display = Display(units)
    return {
        "verdict": outcome.verdict.value,
        "program": program_document(outcome.program, units),
        "time_s": {
            "low": significant(outcome.time_low_s),
            "expected": significant(outcome.timing.expected_s),
            "high": significant(outcome.time_high_s),
        },
        "pace": _pace(outcome),
        "removal": _removal(outcome),
        "clearance_mm": {
            "clamp": significant(outcome.nearest_clamp.clearance_mm) if outcome.nearest_clamp else None,
            "travel": significant(outcome.tightest_travel.room_mm) if outcome.tightest_travel else None,
        },
        "nearest": {"clamp": _nearest_clamp(outcome), "travel": _tightest_travel(outcome)},
        **_loads(outcome),
        "guesses": {
            "count": outcome.guesses.count,
            "of": outcome.guesses.of,
            "matter": list(outcome.guesses.matter),
        },
        "findings": [finding_document(finding, display) for finding in outcome.findings],
        "told_of": list(outcome.parts),
        "not_checked": not_checked(outcome),
        "remarks": [remark_document(remark) for remark in remarks],
        "digest": outcome.digest,
    }


def _loads(outcome: Outcome) -> dict[str, Any]:
    """Return how near the cut comes to what axes and edges can do; an axis that is never loaded is null."""
    loading = outcome.loading
    margins = {name: loading.margins.get(name) for name in AXES}
    return {
        "margin": {
            name: None
            if own is None
            else {
                "low": significant(own.margin.low),
                "expected": significant(own.margin.expected),
                "high": significant(own.margin.high),
                "line": own.line,
            }
            for name, own in margins.items()
        },
        "chip_mm": _ends(loading.chip_mm),
        "override_pct": _ends(loading.knob_pct),
        "force": _force(loading),
        "sizes_mm": [
            {
                "tool": sizes.tool,
                "pocket": _ends(sizes.inside_mm),
                "plug": _ends(sizes.outside_mm),
                "room": significant(sizes.room_mm),
            }
            for sizes in loading.sizes
        ],
        "worst_lines": [
            {"line": worst.line, "at_mm": _point(worst.at_mm), "by": worst.by, "share": _real(worst.share)}
            for worst in loading.worst
        ],
    }


def _force(loading: Loading) -> dict[str, Any]:
    """Return how well the force of the cut is known, over what is expected."""
    told = loading.narrowing
    by_meter = (
        None
        if told is None
        else {
            "low": significant(told.low),
            "expected": significant(told.expected),
            "high": significant(told.high),
            "same_wood": told.is_same_wood,
            "fits": loading.meter_fits,
        }
    )
    return {"of_expected": _ends(loading.force_ratio), "by_meter": by_meter}


def _ends(pair: tuple[float, float] | None) -> dict[str, float | None] | None:
    return None if pair is None else {"low": significant(pair[0]), "high": significant(pair[1])}


def _removal(outcome: Outcome) -> dict[str, Any]:
    """Return how much wood is removed, and how finely that was looked at."""
    surface = outcome.removal.surface
    return {
        "volume_mm3": significant(outcome.removal.volume_mm3),
        "pitch_mm": significant(surface.pitch_mm),
        "deepest_mm": significant(outcome.deepest_mm) if outcome.deepest_mm is not None else None,
        "height_error_mm": significant(surface.height_error_mm),
        "edge_mm": significant(surface.edge_mm),
    }


def _pace(outcome: Outcome) -> dict[str, Any]:
    """Return what the expected time rests on, where the program is slow, and what the feed override does."""
    timing = outcome.timing
    return {
        "corners": timing.corners,
        "corners_known": timing.corners_known,
        "corner_tolerance_mm": significant(timing.tolerance_mm) if timing.corners == "tolerance" else None,
        "open": list(timing.open_keys),
        "bit_changes_left_out": len(outcome.program.changes),
        "slowest": [
            {
                "lines": list(stretch.lines),
                "moves": stretch.moves,
                "feed_mm_min": significant(stretch.feed_mm_min),
                "reached_mm_min": significant(stretch.reached_mm_min),
                "lost_s": significant(stretch.lost_s),
                "cause": stretch.cause,
            }
            for stretch in timing.slow
        ],
        "lost_s": {cause: significant(seconds) for cause, seconds in timing.lost_s.items()},
        "knob": [
            {
                "pct": step.percent,
                "time_s": significant(step.seconds),
                "follows_ratio": significant(step.follows_ratio),
                "growl_s": significant(step.growl_s),
            }
            for step in timing.knob
        ],
        "growl": [
            {
                "axis": growl.axis,
                "speed_mm_min": significant(growl.speed_mm_s * S_PER_MIN),
                "seconds": significant(growl.seconds),
                "line": growl.line,
            }
            for growl in timing.growls
        ],
    }


def remark_document(remark: CardRemark) -> dict[str, Any]:
    """Return how a key of a card was read."""
    return {"card": plain(remark.card), "line": remark.line, "key": remark.key, "says": plain(remark.says)}


def program_document(program: Program, units: Units) -> dict[str, Any]:
    """Return what a program says, without its moves."""
    display = Display(units)
    return {
        "lines": program.lines,
        "moves": len(program.track),
        "units": program.units,
        "end_mm": _point(program.end_mm),
        "end_machine_mm": _point(program.end_machine_mm),
        "tools": list(program.tools),
        "extents_mm": {"cut": _box(program.cut), "all": _box(program.everything)},
        "length_mm": {"cut": significant(program.cut_length_mm), "rapid": significant(program.rapid_length_mm)},
        "problems": [
            {"line": p.line, "id": p.id, "level": p.level.value, "says": problem_says(p, display)}
            for p in program.problems
        ],
    }


def moves_document(moves: ProgramMoves) -> list[dict[str, Any]]:
    """Return the moves of a program one by one; what a move does not have is null."""
    columns = {name: getattr(moves, name).tolist() for name in moves.__dataclass_fields__}
    return [
        {
            "line": columns["line"][row],
            "kind": Kind(columns["kind"][row]).name.lower(),
            "start_mm": _point(columns["start_mm"][row]),
            "end_mm": _point(columns["end_mm"][row]),
            "centre_mm": _point(columns["centre_mm"][row]) if columns["plane"][row] else None,
            "plane": _PLANES[columns["plane"][row]],
            "turns": _real(columns["turns"][row]),
            "feed_mm_min": _real(columns["feed_mm_min"][row]),
            "rpm": _real(columns["rpm"][row]),
            "tool": columns["tool"][row],
            "seconds": _real(columns["seconds"][row]),
        }
        for row in range(len(moves))
    ]


def working_document(steps: Iterable[Step]) -> list[dict[str, Any]]:
    """Return the working, step by step, in the order in which it was done."""
    return [
        {
            "name": step.name,
            "formula": step.formula,
            "inputs": {
                name: {"value": _number(given.value), "unit": given.unit, "origin": given.origin}
                for name, given in step.inputs.items()
            },
            "value": _number(step.value),
            "unit": step.unit,
            "source": step.source,
        }
        for step in steps
    ]


def _nearest_clamp(outcome: Outcome) -> dict[str, Any] | None:
    """Return which part comes nearest to which clamp, and on which line."""
    near = outcome.nearest_clamp
    if near is None:
        return None
    return {"part": near.part, "thing": plain(near.thing), "line": near.line, "at_mm": _point(near.at_mm)}


def _tightest_travel(outcome: Outcome) -> dict[str, Any] | None:
    """Return which axis has the least room left, and on which line."""
    tight = outcome.tightest_travel
    return None if tight is None else {"axis": tight.axis, "line": tight.line}


def finding_document(finding: Finding, display: Display) -> dict[str, Any]:
    """Return one finding with its words."""
    says, do = says_and_do(finding, display)
    return {
        "id": finding.id,
        "level": finding.level.value,
        "about": None if finding.about is None else plain(finding.about),
        "case": finding.case,
        "line": finding.line,
        "worst_line": finding.worst_line,
        "count": finding.count,
        "lines": list(finding.lines),
        "at_mm": _point(finding.at_mm),
        "reading": finding.reading.value,
        "numbers": _numbers(finding.numbers),
        "says": says,
        "do": do,
        "source": finding.source,
    }


def _numbers(numbers: Mapping[str, float | str | None]) -> dict[str, float | str | None]:
    return {name: _number(value) for name, value in numbers.items()}


def _number(value: float | str | None) -> float | str | None:
    return plain(value) if isinstance(value, str) else significant(value)


def _real(value: float) -> float | None:
    """Return a number of a column, null where the column has none."""
    return significant(value) if math.isfinite(value) else None


def _point(point: Sequence[float] | None) -> list[float | None] | None:
    return None if point is None else [significant(value) for value in point]


def _box(box: Extents | None) -> list[list[float | None] | None] | None:
    return None if box is None else [_point(box.low_mm), _point(box.high_mm)]


_PLANES = {Plane.NONE: None, Plane.XY: "xy", Plane.XZ: "xz", Plane.YZ: "yz"}

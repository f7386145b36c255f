"""Does a part of the tool meet a thing, from where the program goes or from where it starts?"""

from collections.abc import Iterator

import numpy as np

from cutworthy.findings.registry import on_lines, point, rule
from cutworthy.model.clearance import BOARD, Contact, Meeting, Part, Sweep
from cutworthy.model.facts import Facts
from cutworthy.model.findings import Finding
from cutworthy.model.program import Doubt, Level

__all__: list[str] = []


def _hits(facts: Facts, part: Part) -> Iterator[Finding]:
    for contact in facts.contacts:
        if contact.part == part and contact.hit:
            case = "board" if contact.thing == BOARD else "clamp"
            yield _met(facts, contact, contact.hit, f"{'clamp' if part == 'bit' else part}-hit", Level.NO_GO, case)


def _met(facts: Facts, contact: Contact, meeting: Meeting, rule_id: str, level: Level, case: str) -> Finding:
    lines = facts.moves.line
    finding = Finding(
        id=rule_id,
        level=level,
        case=case,
        about=contact.thing,
        at_mm=meeting.at_mm,
        numbers={
            "value": meeting.worst_mm,
            "limit": 0.0 if level is Level.NO_GO else _errors(facts, contact),
            "unit": "mm",
            "part": contact.part,
            "upward_mm": _upward_error(facts, contact),
        },
    )
    return on_lines(finding, lines[list(meeting.rows)], int(lines[meeting.worst_row]))


def _errors(facts: Facts, contact: Contact) -> float:
    """Return how far off a place may be sideways: the clamp's error and the zero's."""
    clamp = 0.0 if contact.clamp is None else facts.job.clamps[contact.clamp].plus_minus_mm.value
    return clamp + facts.job.zero.plus_minus_mm.value


def _upward_error(facts: Facts, contact: Contact) -> float:
    """Return how far off a top may be: the zero's error, and the board's spread where that lies between."""
    spread_between = (facts.job.zero.z == "top") == (contact.clamp is not None)
    return facts.job.zero.plus_minus_z_mm.value + (facts.job.board.spread_mm.value if spread_between else 0.0)


@rule("clamp-hit", Level.NO_GO, limit_key="contact")
def _clamp_hit(facts: Facts) -> Iterator[Finding]:
    """The bit meets a clamp as it stands on the card."""
    return _hits(facts, "bit")


@rule("nut-hit", Level.NO_GO, limit_key="contact")
def _nut_hit(facts: Facts) -> Iterator[Finding]:
    """The collet nut meets a clamp or the board."""
    return _hits(facts, "nut")


@rule("body-hit", Level.NO_GO, limit_key="contact")
def _body_hit(facts: Facts) -> Iterator[Finding]:
    """The spindle's body meets a clamp or the board."""
    return _hits(facts, "body")


@rule("shoe-hit", Level.NO_GO, limit_key="contact")
def _shoe_hit(facts: Facts) -> Iterator[Finding]:
    """The dust shoe meets a clamp or the board."""
    return _hits(facts, "shoe")


@rule("clamp-near", Level.ASK, Level.NOTE, source="our choice: the errors stated on the cards, added up")
def _clamp_near(facts: Facts) -> Iterator[Finding]:
    """The clearance is smaller than the stated errors, or only the box of a rapid meets a thing."""
    # The nearest part first: a thing has one finding, which then tells of that part.
    for contact in sorted(facts.contacts, key=lambda contact: contact.clearance_mm):
        if contact.hit:
            continue
        if contact.near:
            case = "board" if contact.thing == BOARD else "near"
            yield _met(facts, contact, contact.near, "clamp-near", Level.ASK, case)
        elif contact.box:
            yield _met(facts, contact, contact.box, "clamp-near", Level.NOTE, "box")


@rule("first-move-low", Level.NO_GO, Level.ASK, source="our choice: every start that the card allows")
def _first_move_low(facts: Facts) -> Iterator[Finding]:
    """The first travel can meet a thing from a start that the card allows."""
    error = facts.job.zero.plus_minus_z_mm.value
    lowest: dict[str, Sweep] = {}
    for sweep in facts.sweeps:
        if sweep.thing not in lowest or sweep.lowest_mm < lowest[sweep.thing].lowest_mm:
            lowest[sweep.thing] = sweep
    known = facts.job.start is not None
    for sweep in lowest.values():
        meets = sweep.lowest_mm < 0 if known else sweep.lowest_mm <= 0  # an unknown start may drag along the top
        if not meets and sweep.lowest_mm >= (0.0 if sweep.thing == BOARD else error):
            continue
        sure = known and meets
        case = "sure" if sure else "start-unknown" if meets else "near"
        finding = Finding(
            id="first-move-low",
            level=Level.NO_GO if sure else Level.ASK,
            case=case,
            about=sweep.thing,
            numbers={"value": sweep.lowest_mm, "limit": error, "unit": "mm", "part": sweep.part},
        )
        yield on_lines(finding, [int(facts.moves.line[sweep.row])])


@rule("last-move-low", Level.ASK, source="common practice, no source: the bit ends above the work")
def _last_move_low(facts: Facts) -> Iterator[Finding]:
    """The program ends with the bit in the board, or travels through it at the end."""
    moves = facts.program.moves
    inside = np.flatnonzero(facts.in_board)
    cuts = inside[moves.feeds[inside]]
    if not len(cuts):
        return
    after = inside[inside > cuts[-1]]
    travels = after[(moves.start_mm[after, :2] != moves.end_mm[after, :2]).any(axis=1)]
    if len(travels):
        rows, case, lowest = travels, "crosses", float(moves.low_mm[travels, 2].min())
    elif moves.end_mm[-1, 2] < facts.top_mm and moves.end_doubt[-1, 2] == Doubt.NONE:
        rows, case, lowest = np.array([len(moves) - 1]), "ends", float(moves.end_mm[-1, 2])
    else:
        return
    finding = Finding(
        id="last-move-low",
        level=Level.ASK,
        case=case,
        at_mm=point(moves.end_mm[rows[0]]),
        numbers={"value": lowest - facts.top_mm, "limit": 0.0, "unit": "mm"},
    )
    yield on_lines(finding, moves.line[rows])

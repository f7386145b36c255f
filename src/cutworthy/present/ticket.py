"""The view record of the job ticket: all that is looked at beside the machine before the start, on one page."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.findings import Outcome, Verdict
from cutworthy.model.job import Bit, Job, Zero
from cutworthy.model.machine import Machine
from cutworthy.model.program import Kind, Level
from cutworthy.present.numbers import name_of
from cutworthy.present.plain import plain
from cutworthy.present.scene import Scene, known_from_above, scene_of
from cutworthy.present.sentences import CLOSING, VERDICTS, not_checked, says_and_do
from cutworthy.present.show import Display
from cutworthy.present.sums import Both, Shown
from cutworthy.present.touch import words
from cutworthy.present.ways import thinned, way_from_above

__all__ = ["Sketch", "TicketBit", "TicketClamp", "TicketView", "ticket_view"]

MOST_TOLD = 4  # findings
DIGITS, GROUP = 12, 4  # of the digest, as many as two people compare
FINEST_SEEN = 1 / 1000  # of the board's longer side
SAME_MM = 1e-6
CHANGE = "it waits for the bit to be changed. Router off, all still, change, touch off Z, router on, go on."
ANSWERED = "Each point at the top looked at and answered."
KINDS = {
    "flat": "flat", "ball": "ball", "bull": "flat with round corners", "vee": "vee", "taper": "tapered", "drill":
    "drill",
}  # fmt: skip
ENDS = {"x": {"left": "left edge", "centre": "middle", "right": "right edge"}} | {
    "y": {"front": "front edge", "centre": "middle", "back": "back edge"}
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sketch:
    """Board, clamps, zero and the way of the bit from above, (n, 2) [mm] with rows of NaN, in the board's frame."""

    scene: Scene
    cuts: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketBit:
    """A bit as it is told from another in the hand, how far it sticks out, and how fast it turns."""

    tool: str
    says: str
    stickout: Both
    turns: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketClamp:
    """A clamp by its edges from the board's left and front edge, and its height above the board's underside."""

    name: str
    from_left: Both
    from_front: Both
    height: Both


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketView:
    """Everything on the ticket but the sketch and the lines that are filled in by hand.

    ``because``: what the verdict rests on, gravest first. ``changes``: what is to be done where a bit is changed.
    ``start``: what is done before the start, empty where none is allowed. Lowest point, travel height, time and knob
    are empty where they are not known.
    """

    verdict: str
    verdict_says: str
    because: tuple[str, ...]
    job: str
    digest: str
    machine: str
    date: str
    board: str
    zero: tuple[str, ...]
    bits: tuple[TicketBit, ...]
    clamps: tuple[TicketClamp, ...]
    held: str
    lowest: str
    travel: str
    time: str
    knob: str
    changes: tuple[str, ...]
    start: tuple[str, ...]
    danger: str
    not_checked: str
    closing: str


def ticket_view(outcome: Outcome, job: Job, machine: Machine, *, program: str, date: str) -> tuple[TicketView, Sketch]:
    """Return what stands on the ticket of a proven job, and its sketch.

    Parameters
    ----------
    outcome, job, machine
        The job, proved.
    program
        The name of the program's file.
    date
        As it shall be printed.
    """
    shown, display = Shown(machine.units), Display(machine.units)
    board = job.board
    size = " by ".join(shown.length(side.value).first for side in (board.size_x_mm, board.size_y_mm))
    other = " by ".join(shown.length(side.value).second for side in (board.size_x_mm, board.size_y_mm))
    thick = shown.length(board.thickness_mm.value)
    low = outcome.program.cut
    told = TicketView(
        verdict=outcome.verdict.upper(),
        verdict_says=VERDICTS[outcome.verdict],
        because=_because(outcome, display),
        job=plain(program),
        digest=_grouped(outcome.digest),
        machine=name_of(machine),
        date=plain(date),
        board=f"{plain(board.material)}, {size} ({other}), {thick.text} thick",
        zero=_zero(job.zero, job, shown),
        bits=tuple(_bit(bit, outcome, shown) for bit in job.bits),
        clamps=tuple(_clamps(job, shown)),
        held="" if job.holding is None else job.holding.by,
        lowest="" if low is None else shown.length(low.low_mm[2]).text,
        travel=_travel(outcome, shown),
        time=_time(outcome, display),
        knob=_knob(outcome),
        changes=tuple(_changes(outcome)),
        start=_start(outcome),
        danger=words()["wall"]["danger"],
        not_checked="; ".join(row["says"] for row in not_checked(outcome)),
        closing=CLOSING,
    )
    return told, _sketch(outcome, job, machine)


def _because(outcome: Outcome, display: Display) -> tuple[str, ...]:
    """Return what forbids the cut or is to be looked at first, in a sentence each, and how many more there are."""
    found = [finding for finding in outcome.findings if finding.level is not Level.NOTE]
    told = [says_and_do(finding, display)[0] for finding in found[:MOST_TOLD]]
    more = len(found) - len(told)
    return (*told, f"And {more} more: see cutworthy prove.") if more else tuple(told)


def _start(outcome: Outcome) -> tuple[str, ...]:
    """Return what is done before the start; nothing leads to a start that is forbidden."""
    if outcome.verdict is Verdict.NO_GO:
        return ()
    answered = (ANSWERED,) if outcome.verdict is Verdict.ASK else ()
    return (*answered, *words()["wall"]["start"])


def _grouped(digest: str) -> str:
    short = digest[:DIGITS]
    return " ".join(short[at : at + GROUP] for at in range(0, len(short), GROUP))


def _zero(zero: Zero, job: Job, shown: Shown) -> tuple[str, ...]:
    """Return where zero is set, an axis each."""
    x = ENDS["x"].get(zero.x_said, f"{shown.length(zero.from_left_mm).text} from its left edge")
    y = ENDS["y"].get(zero.y_said, f"{shown.length(zero.from_front_mm).text} from its front edge")
    z = "top of the board" if zero.z == "top" else "underside of the board: the top of the spoilboard"
    with_bit = f", touched off with bit {job.bits[0].tool}" if len(job.bits) > 1 else ""
    return (f"X0: the board's {x}", f"Y0: the board's {y}", f"Z0: {z}{with_bit}")


def _bit(bit: Bit, outcome: Outcome, shown: Shown) -> TicketBit:
    angle = "" if bit.angle_rad is None else f" {round(np.degrees(bit.angle_rad.value))}°"
    edges = f"{bit.flutes} edge{'' if bit.flutes == 1 else 's'}"
    return TicketBit(
        tool=str(bit.tool) if bit.tool else "",
        says=f"{KINDS[bit.kind]}{angle}, {shown.length(bit.diameter_mm.value).text} across, {edges}",
        stickout=shown.length(bit.stickout_mm.value),
        turns=_turns(bit, outcome),
    )


def _turns(bit: Bit, outcome: Outcome) -> str:
    """Return how fast a bit turns, by the loads: from where it turns slowest to where it turns fastest."""
    loads = outcome.loading.loads
    own = loads.rpm[loads.tool == bit.tool]
    if not len(own):
        return "" if bit.speed_rpm is None else f"{bit.speed_rpm.value:.0f} rpm"
    slow, fast = float(own[:, 0].min()), float(own[:, 1].max())
    return f"{slow:.0f} rpm" if slow == fast else f"{slow:.0f} to {fast:.0f} rpm"


def _clamps(job: Job, shown: Shown) -> Iterator[TicketClamp]:
    for clamp in job.clamps:
        left, right, front, back = (
            shown.length(edge) for edge in (clamp.from_x_mm, clamp.to_x_mm, clamp.from_y_mm, clamp.to_y_mm)
        )
        yield TicketClamp(
            name=plain(clamp.name),
            from_left=_from_to(left, right),
            from_front=_from_to(front, back),
            height=shown.length(clamp.height_mm.value),
        )


def _from_to(low: Both, high: Both) -> Both:
    """Return two lengths with their unit once."""
    return Both(*(f"{getattr(low, side).split(' ')[0]} to {getattr(high, side)}" for side in ("first", "second")))


def _travel(outcome: Outcome, shown: Shown) -> str:
    """Return the height at which the bit travels sideways, the lowest if there are several."""
    moves = outcome.program.moves
    aside = np.abs(moves.end_mm[:, :2] - moves.start_mm[:, :2]).max(axis=1) > SAME_MM
    rows = np.flatnonzero((moves.kind == Kind.RAPID) & aside & (moves.start_doubt[:, 2] == 0))
    if not len(rows):
        return ""
    lowest, highest = float(moves.low_mm[rows, 2].min()), float(moves.low_mm[rows, 2].max())
    least = shown.length(lowest).text
    return least if highest - lowest < SAME_MM else f"{least} at its lowest"


def _time(outcome: Outcome, display: Display) -> str:
    low, expected, high = (
        display.time(seconds) for seconds in (outcome.time_low_s, outcome.timing.expected_s, outcome.time_high_s)
    )
    count = len(outcome.program.changes)
    without = f", without {count} bit change{'' if count == 1 else 's'}" if count else ""
    return f"about {expected}{without}" if low == high else f"about {expected} ({low} to {high}){without}"


def _knob(outcome: Outcome) -> str:
    knob = outcome.loading.knob_pct
    return "" if knob is None else f"{knob[0]} to {knob[1]} %"


def _changes(outcome: Outcome) -> Iterator[str]:
    """Return what is said of bit changes, those that the control waits at."""
    for finding in outcome.findings:
        if finding.id == "bit-change" and finding.level is Level.NOTE:
            yield f"Line {', '.join(map(str, finding.lines))}: {CHANGE}"


def _sketch(outcome: Outcome, job: Job, machine: Machine) -> Sketch:
    scene = scene_of(outcome, job, machine)
    moves = outcome.program.moves
    way = way_from_above(moves, moves.feeds & known_from_above(moves), np.array(scene.zero.at_mm))
    return Sketch(scene=scene, cuts=thinned(way, max(scene.board.high_mm) * FINEST_SEEN))

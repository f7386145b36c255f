"""What every picture of a job shows: board, clamps, zero, and the places of what forbids the cut."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from cutworthy.model.findings import Outcome
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.program import Doubt, Level, ProgramMoves
from cutworthy.present.placement import PARTS
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING, VERDICTS, label, says_and_do
from cutworthy.present.show import Display

__all__ = ["MAKER", "Mark", "Rectangle", "Scene", "known_from_above", "scene_of"]

MAKER = "cutworthy"  # written into each picture, so that we replace no others
MOST_TOLD = 3  # reasons
SAME_PLACE_MM = 1.0  # marks that are nearer than about this share their words


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A named rectangle by two corners (x, y) [mm]."""

    name: str
    low_mm: tuple[float, float]
    high_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place with its words (x, y) [mm]; ``fault``: what is there forbids the cut."""

    text: str
    at_mm: tuple[float, float]
    fault: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What every picture of a job shows, in the board's frame [mm].

    ``title``: the verdict. ``board_says``: which board, on which machine. ``because``: what the verdict rests on, a
    sentence each. ``faults``: what forbids the cut; ``nearest``: the nearest miss, None when there is none.
    """

    title: str
    board_says: str
    because: tuple[str, ...]
    footer: str
    units: Literal["mm", "inch"]
    board: Rectangle
    clamps: tuple[Rectangle, ...]
    zero: Mark
    faults: tuple[Mark, ...]
    nearest: Mark | None


def scene_of(outcome: Outcome, job: Job, machine: Machine) -> Scene:
    """Return what every picture of a proven job shows."""
    board, display = job.board, Display(machine.units)
    size = f"{display.length(board.size_x_mm.value)} by {display.length(board.size_y_mm.value)}"
    return Scene(
        title=f"{outcome.verdict.upper()}: {VERDICTS[outcome.verdict]}",
        board_says=f"{size} of {plain(board.material)} on {plain(machine.name)}, seen from above",
        because=_because(outcome, display),
        footer=CLOSING,
        units=machine.units,
        board=Rectangle(name="board", low_mm=(0.0, 0.0), high_mm=(board.size_x_mm.value, board.size_y_mm.value)),
        clamps=tuple(
            Rectangle(name=plain(c.name), low_mm=(c.from_x_mm, c.from_y_mm), high_mm=(c.to_x_mm, c.to_y_mm))
            for c in job.clamps
        ),
        zero=Mark(text="X0 Y0", at_mm=outcome.place.on_board_mm[:2]),
        faults=_faults(outcome),
        nearest=_nearest(outcome, display),
    )


def known_from_above(moves: ProgramMoves) -> npt.NDArray[np.bool_]:
    """Return the moves both of whose ends are known along X and Y, (moves,)."""
    known: npt.NDArray[np.bool_] = ((moves.start_doubt[:, :2] | moves.end_doubt[:, :2]) == Doubt.NONE).all(axis=1)
    return known


def _because(outcome: Outcome, display: Display) -> tuple[str, ...]:
    """Return what the verdict rests on, of each kind the first, and how many more there are; none when it is a go."""
    level = {"no-go": Level.NO_GO, "ask": Level.ASK}.get(outcome.verdict)
    found = [finding for finding in outcome.findings if finding.level == level]
    kinds = list({finding.id: finding for finding in reversed(found)}.values())[::-1]
    told = [says_and_do(finding, display)[0] for finding in kinds[:MOST_TOLD]]
    more = len(found) - len(told)
    return (
        tuple(told) if not more else (*told, f"And {more} more: cutworthy prove tells {'it' if more == 1 else 'them'}.")
    )


def _faults(outcome: Outcome) -> tuple[Mark, ...]:
    """Return the places of what forbids the cut; what is at one place has one mark."""
    places: dict[tuple[int, int], list[Mark]] = {}
    for finding in outcome.findings:
        if finding.level == Level.NO_GO and finding.at_mm is not None and np.isfinite(finding.at_mm).all():
            at = _on_board(finding.at_mm, outcome)
            mark = Mark(text=f"{label(finding.id)}, line {finding.worst_line}", at_mm=at, fault=True)
            places.setdefault((round(at[0] / SAME_PLACE_MM), round(at[1] / SAME_PLACE_MM)), []).append(mark)
    return tuple(
        Mark(text="\n".join(dict.fromkeys(mark.text for mark in marks)), at_mm=marks[0].at_mm, fault=True)
        for marks in places.values()
    )


def _nearest(outcome: Outcome, display: Display) -> Mark | None:
    """Return the nearest clamp, unless it is hit: then it is a fault."""
    nearest = outcome.nearest_clamp
    if nearest is None or nearest.clearance_mm <= 0:
        return None
    gap = display.length(nearest.clearance_mm)
    text = f"{PARTS[nearest.part].removeprefix('the ')} {gap} clear of “{plain(nearest.thing)}”, line {nearest.line}"
    return Mark(text=text, at_mm=_on_board(nearest.at_mm, outcome))


def _on_board(at_mm: tuple[float, float, float], outcome: Outcome) -> tuple[float, float]:
    left, front, _ = outcome.place.on_board_mm
    return at_mm[0] + left, at_mm[1] + front

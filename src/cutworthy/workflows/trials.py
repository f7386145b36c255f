"""Test programs for a machine, each proved before anybody writes it down."""

from collections.abc import Callable
from dataclasses import replace
from typing import Literal, get_args

from cutworthy import findings, trials
from cutworthy.model.findings import Finding
from cutworthy.model.job import Bit, Board, Job, Start, Zero
from cutworthy.model.machine import Machine
from cutworthy.model.program import Level
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.model.trial import ProvedTrial, Trial
from cutworthy.workflows.digest import axes_digest
from cutworthy.workflows.prove import Progress, ProveRequest, prove

__all__ = ["TRIAL_KINDS", "TrialKind", "piece_sizes", "prove_trials", "trial_runs"]

TrialKind = Literal[
    "calibration", "circle", "repeat", "reversal", "square", "surfacing", "test-piece", "timing", "tram", "travel"
]
TRIAL_KINDS: tuple[TrialKind, ...] = get_args(TrialKind)
CUTTING: tuple[TrialKind, ...] = ("calibration", "surfacing", "test-piece")  # all others go through the air
UNDER_MM = 1.0  # thickness of the nothing that lies under the bit
STICKOUT_MM = 30.0
# What is said of wood and forces, of feeds that are slow on purpose, and of a board, has no meaning in the air.
OF_WOOD = ("not-supported", "feed-unreachable", "zero-suspect", "wood-unknown")
OF_LOADS = (
    "bit-overload", "chip-thick", "chip-thin", "hold-down-short", "lost-step-risk", "power-short", "spindle-range",
)  # fmt: skip
PLACE_AND_HOLD = ("board.", "holding")

_MAKERS: dict[TrialKind, Callable[[Machine, str], list[Trial]]] = {
    "calibration": trials.calibration,
    "circle": trials.circle,
    "reversal": trials.reversal,
    "repeat": trials.repeat,
    "square": trials.square,
    "surfacing": trials.surfacing,
    "test-piece": trials.piece,
    "tram": trials.heights,
    "travel": trials.travel,
}


def trial_runs() -> tuple[int, ...]:
    """Return the numbers of the timing runs."""
    return trials.RUNS


def piece_sizes(machine: Machine) -> list[tuple[str, float, bool, str]]:
    """Return the sizes of the test piece: name, what it should be [mm], whether inside, axis."""
    return [(each.name, each.nominal_mm, each.inside, each.axis) for each in trials.features(machine)]


def prove_trials(
    machine: Machine, kind: TrialKind, *, runs: tuple[int, ...] = (1, 2), progress: Progress
) -> list[ProvedTrial]:
    """Return the test programs of a kind for a machine, each proved.

    What goes through the air is proved with no bit, no board, no clamps; what cuts in a common board with a common
    bit, for what is wrong whatever wood and bit are used. The slot is proved again by its own card with those.

    Parameters
    ----------
    machine
        For its travel, speeds, units and digest.
    kind
        Which test.
    runs
        Which of the timing runs; the other kinds have none.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.

    Raises
    ------
    TrialError
        When the machine has not the travel for it.
    """
    digest = axes_digest(machine)
    made = trials.timing(machine, digest, runs) if kind == "timing" else _MAKERS[kind](machine, digest)
    room = _room_needed(made)
    job_of = _in_a_board if kind in CUTTING else _in_the_air
    return [
        _proved(machine, each, job_of(each), room, _share(progress, number, len(made)))
        for number, each in enumerate(made)
    ]


def _room_needed(made: list[Trial]) -> Finding:
    """Return what is asked about the room that all the tests need together."""
    right, back, up = (max(trial.room_mm[axis] for trial in made) for axis in range(3))
    return Finding(
        id="number-needed",
        level=Level.ASK,
        case="room",
        about="zero",
        numbers={"right_mm": right, "back_mm": back, "up_mm": up},
        source="the program's own size; where zero is set is up to who runs it",
    )


def _proved(machine: Machine, trial: Trial, job: Job, room: Finding, progress: Progress) -> ProvedTrial:
    request = ProveRequest(machine=machine, job=job, program=trial.text.encode("ascii"))
    outcome = prove(request, progress)
    found = (*(each for each in outcome.findings if not _is_of_wood(each)), room)
    return ProvedTrial(trial=trial, outcome=outcome, findings=findings.merge(found), verdict=findings.verdict(found))


def _is_of_wood(finding: Finding) -> bool:
    """Return whether a finding has no meaning in the air, or rests on a board and a bit that are not known yet."""
    if finding.level is not Level.NO_GO and finding.id in OF_LOADS:
        return True
    return finding.id in OF_WOOD or (finding.id == "number-needed" and str(finding.about).startswith(PLACE_AND_HOLD))


def _share(progress: Progress, number: int, of: int) -> Progress:
    return lambda done: progress((number + done) / of)


def _in_the_air(trial: Trial) -> Job:
    """Return the job of a test: the bit stands at the program's zero, and nothing else is there."""
    wide, deep, _ = trial.room_mm
    board = Board(
        material="air",
        size_x_mm=_exact(wide),
        size_y_mm=_exact(deep),
        thickness_mm=_exact(UNDER_MM),
        spread_mm=_exact(0.0),
        at_x_mm=None,
        at_y_mm=None,
        bottom_z_mm=None,
        room_above_mm=None,
        grain="unknown",
        density_kg_m3=None,
        thickness_map=(),
    )
    zero = Zero(
        x_said="left",
        y_said="front",
        from_left_mm=0.0,
        from_front_mm=0.0,
        z="top",
        system="G54",
        plus_minus_mm=_exact(0.0),
        plus_minus_z_mm=_exact(0.0),
    )
    start = Start(above_top_mm=_exact(0.0))
    return Job(board=board, zero=zero, start=start, holding=None, bits=(_no_bit(),), clamps=())


def _in_a_board(trial: Trial) -> Job:
    """Return the job of a slot: a board of oak somewhat longer and thicker than it needs, a common bit."""
    air = _in_the_air(trial)
    wide, deep, _ = trial.room_mm
    beside = 2 * trials.DIAMETER_MM
    board = replace(
        air.board,
        material="white oak",
        size_x_mm=_exact(wide + 2 * beside),
        size_y_mm=_exact(deep + 2 * beside),
        thickness_mm=_exact(trials.DEEP_MM + trials.DIAMETER_MM),
    )
    bit = replace(
        air.bits[0],
        diameter_mm=_exact(trials.DIAMETER_MM),
        flutes=2,
        centre_cutting=True,
        cutting_length_mm=_exact(2 * trials.DEEP_MM),
        speed_rpm=_exact(trials.RPM),
    )
    zero = replace(air.zero, from_left_mm=beside, from_front_mm=beside)
    return replace(air, board=board, zero=zero, bits=(bit,))


def _no_bit() -> Bit:
    """Return the least of a bit, because a job has one; the collet is empty."""
    return Bit(
        tool=0,
        kind="flat",
        diameter_mm=_exact(1.0),
        corner_radius_mm=None,
        angle_rad=None,
        tip_mm=None,
        flutes=1,
        spiral="unknown",
        centre_cutting=None,
        cutting_length_mm=_exact(UNDER_MM),
        stickout_mm=_exact(STICKOUT_MM),
        shank_mm=None,
        material="unknown",
        chip_low_mm=None,
        chip_high_mm=None,
        max_rpm=None,
        runout_mm=None,
        speed_rpm=None,
    )


def _exact(value: float) -> Quantity:
    return Quantity(value=value, low=value, high=value, origin=Origin.LABEL, key="trial")

"""How fast a path is planned, beside a plain planner and a general library, and how near timed runs bring the time."""

import logging
import math
import statistics
import sys
import time
from collections.abc import Callable, Iterator

import numpy as np
import toppra
from benchmarks.commands import ROOT
from benchmarks.table import Row
from toppra import algorithm, constraint

from cutworthy import motion
from cutworthy.app.cards import load_machine
from cutworthy.model.program import ProgramMoves
from cutworthy.motion import drive as driving
from cutworthy.motion.fit import fit_times, time_by
from cutworthy.motion.habits import Habits, expected_habits
from cutworthy.program import ReadOptions, read_program
from cutworthy.trials import timing
from cutworthy.workflows.commission import LEAST_SHARE

sys.path.insert(0, str(ROOT / "tests"))  # the simulated control is no part of the product

from programs_for_timing import ten_programs
from simulated import Control, drive

__all__ = ["rows"]

CARD = ROOT / "examples" / "tidewater" / "plover.toml"
MILLION, RUNS, SHORT = 1_000_000, 5, 10_000
MOST_LINES_S, MOST_ARCS_S, MOST_FOR_TEN_TIMES = 0.25, 0.5, 11.0
CONTROLS, SEED, THUMB_S, MOST_OFF = 40, 20261125, 0.3, 2.0
RULES = ("stop", "tolerance", "overlap", "constant")

PLANNED = f"planning {MILLION:,} straight moves"
PLAIN = "the same passes without the compiler"
LIBRARY = "toppra on the same circle, 1,000 steps"


def rows() -> Iterator[Row]:
    """Yield the times of planning, then what is left to be off after two timed runs."""
    machine = load_machine(CARD).record
    habits = expected_habits(machine)
    lines, arcs = _moves(_relief(MILLION)), _moves(_scallops(MILLION))
    plain = _plain(lines, habits) * MILLION / SHORT
    line_s, arc_s = (statistics.median(_plan_s(each, habits) for _ in range(RUNS)) for each in (lines, arcs))
    yield Row(what=PLANNED, value=line_s, unit="s", ratio=line_s / plain, beside=PLAIN, most=MOST_LINES_S)
    yield Row(
        what=f"planning {MILLION:,} arcs", value=arc_s, unit="s", ratio=arc_s / line_s, beside=PLANNED, most=MOST_ARCS_S
    )
    ten = lines.take(np.tile(np.arange(len(lines)), 10))
    long, short = (min(_plan_s(each, habits) for _ in range(3)) for each in (ten, lines))
    yield Row(
        what=f"planning {10 * MILLION:,} straight moves, at best", value=long, unit="s", ratio=long / short,
        beside=f"{PLANNED}, at best", most_ratio=MOST_FOR_TEN_TIMES,
    )  # fmt: skip
    del ten
    program = read_program(_relief(MILLION), ReadOptions(), lambda _share: None)
    whole = _seconds(lambda: motion.timing(program, machine))
    yield Row(
        what="the time bracket and its reasons, all plans", value=whole, unit="s", ratio=whole / line_s, beside=PLANNED
    )
    circle = _moves(b"G21 G17 G1 X30 F2400\nG2 X30 Y0 I-30 J0\nM2\n")
    ours, theirs = (
        statistics.median(_seconds(work) for _ in range(RUNS)) for work in (lambda: _plan_s(circle, habits), _library)
    )
    yield Row(what="one circle", value=ours, unit="s", ratio=ours / theirs, beside=LIBRARY)
    yield from _hidden()


def _hidden() -> Iterator[Row]:
    """Let controls drive two runs by rules that the fit does not know, and say how far off it is on ten others."""
    machine = load_machine(CARD).record
    habits = expected_habits(machine)
    runs = [_moves(trial.text.encode()) for trial in timing(machine, "")]
    others = [read_program(text.encode(), ReadOptions(), lambda _share: None) for text in ten_programs().values()]
    brackets = [motion.timing(program, machine) for program in others]
    chance = np.random.default_rng(SEED)
    before, after, outside, wrong = list[float](), list[float](), 0, 0
    for number in range(CONTROLS):
        hidden = Control(
            speeds=habits.speed_mm_s, accels=habits.accel_mm_s2, corners=RULES[number % len(RULES)],
            tolerance_mm=float(np.exp(chance.uniform(np.log(0.01), np.log(0.3)))),
            block_rate=float(np.exp(chance.uniform(np.log(100), np.log(2000)))),
        )  # fmt: skip
        read = [(moves, [drive(moves, hidden) + chance.normal(0, THUMB_S)]) for moves in runs]
        best = fit_times(read, habits, LEAST_SHARE).best
        wrong += best.corners != hidden.corners
        for program, bracket in zip(others, brackets, strict=True):
            true = drive(program.moves, hidden)
            outside += not bracket.low_s * (1 - 1e-4) <= true <= bracket.high_s * (1 + 1e-4)
            before.append(abs(bracket.expected_s / true - 1))
            after.append(abs(time_by(program.moves, habits, best) / true - 1))
    told = f"before them, over {CONTROLS} hidden controls and ten programs"
    yield Row(
        what="farthest off after two timed runs", value=100 * max(after), unit="%", ratio=max(after) / max(before),
        beside=told, most=MOST_OFF,
    )  # fmt: skip
    yield Row(
        what="true times outside the bracket", value=outside, unit="", ratio=outside / len(after), beside="all", most=0
    )
    yield Row(what="rules mistaken", value=wrong, unit="", ratio=wrong / CONTROLS, beside="all", most=0)


def _relief(lines: int) -> bytes:
    """Return a program that carves waves row by row in lines of 0.25 mm."""
    words = ["G21 G90 G17 G54", "G0 Z5", "F1800"]
    for number in range(lines):
        row, step = divmod(number, 500)
        x = 0.25 * (step if row % 2 == 0 else 499 - step)
        words.append(f"G1 X{x:.3f} Y{0.25 * row:.3f} Z{-1 + math.sin(x / 2) * math.cos(row / 40):.3f}")
    return "\n".join([*words, "M2", ""]).encode()


def _scallops(arcs: int) -> bytes:
    """Return a program of small half circles, to and fro."""
    words, x = ["G21 G90 G17 G54", "G0 Z5", "F1800"], 0.0
    for number in range(arcs):
        step = (0.3 + 0.1 * (number % 7)) * (1 if number % 1000 < 500 else -1)  # noqa: PLR2004 - half of them back
        x += 2 * step
        words.append(f"G{2 + number % 2} X{x:.4f} I{step:.4f} J0")
    return "\n".join([*words, "M2", ""]).encode()


def _moves(program: bytes) -> ProgramMoves:
    return read_program(program, ReadOptions(), lambda _share: None).moves


def _seconds(work: Callable[[], object]) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def _plan_s(moves: ProgramMoves, habits: Habits) -> float:
    return _seconds(lambda: driving.Route(moves).drive(habits))


def _plain(moves: ProgramMoves, habits: Habits) -> float:
    """Return how long the plain passes take for the first moves [s]."""
    few = moves.take(np.arange(SHORT))
    return statistics.median(_plan_s(few, habits) for _ in range(RUNS))


def _library() -> float:
    """Return the time that the library finds for one circle, with as many bounds as make a norm of acceleration [s]."""
    logging.getLogger("toppra").setLevel(logging.ERROR)
    radius, accel, speed = 30.0, 400.0, 40.0
    turned = np.linspace(0, 2 * np.pi, 101)
    path = toppra.SplineInterpolator(turned * radius, radius * np.stack([np.cos(turned), -np.sin(turned)], axis=1))
    bounds = np.array([[-accel, accel]] * 2)
    limits = [
        constraint.JointVelocityConstraint(np.array([[-speed, speed]] * 2)),
        constraint.JointAccelerationConstraint(bounds),
    ]
    solver = algorithm.TOPPRA(limits, path, gridpoints=np.linspace(0, path.duration, 1001), solver_wrapper="seidel")
    profile = solver.compute_trajectory()
    return float(profile.duration)

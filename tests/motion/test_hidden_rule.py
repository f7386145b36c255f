"""A control hides its rule; two runs and a phone find it, and from then on the times of other programs are known.

The control is simulated in small steps (``tests/simulated.py``), the person stops the watch with a thumb.
"""

from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from programs_for_timing import ten_programs
from simulated import Control, drive

from cutworthy import trials
from cutworthy.app.cards import machine_from_text
from cutworthy.app.cards.edit import changed_text
from cutworthy.model.reading import TimedRun
from cutworthy.motion import expected_habits, time_by, timing
from cutworthy.present.measure import card_entries
from cutworthy.program import ReadOptions, read_program
from cutworthy.workflows.commission import TimeRequest, measure_time
from cutworthy.workflows.digest import axes_digest

CARD = Path(__file__).parents[2] / "examples" / "tidewater" / "plover.toml"
TEXT = CARD.read_text(encoding="utf-8")
PLOVER = machine_from_text(TEXT, CARD).record
THUMB_S = 0.3
WITHIN = 0.02
# The simulation ends its ramps on steps of the path, which leaves it off by so much; no end of a bracket is sharper.
STEPS = 1e-4

# Two of each rule: its rounding [mm], its lines a second, and the seed of the thumb. No rounding is outside of what a
# card without one leaves open, 0.005 to 0.5 mm, and no rate is below its 100 lines a second.
HIDDEN = {
    "stop": ("stop", 0.05, None, 11),
    "stop-slow-lines": ("stop", 0.05, 110.0, 12),
    "tolerance-fine": ("tolerance", 0.0051, None, 13),
    "tolerance-coarse-slow-lines": ("tolerance", 0.3, 150.0, 14),
    "overlap": ("overlap", 0.05, None, 16),
    "overlap-slow-lines": ("overlap", 0.05, 130.0, 17),
    "constant": ("constant", 0.05, None, 18),
    "constant-slow-lines": ("constant", 0.05, 120.0, 19),
}
pytestmark = pytest.mark.slow
of_each_rule = pytest.mark.parametrize("name", HIDDEN, scope="module")  # one after the other, so that runs are shared


def program_of(text):
    return read_program(text.encode("ascii"), ReadOptions(), lambda _share: None)


@cache
def others():
    return {name: program_of(text) for name, text in ten_programs().items()}


@cache
def runs():
    made = trials.timing(PLOVER, axes_digest(PLOVER), (1, 2))
    return [(trial, program_of(trial.text).moves) for trial in made]


def control(name, factor=1.0):
    """Return the control, with accelerations that the card has wrong by a factor."""
    rule, tolerance, rate, _ = HIDDEN[name]
    axes = [PLOVER.axes[axis] for axis in "xyz"]
    return Control(
        speeds=tuple(axis.speed_mm_s.value for axis in axes),
        accels=tuple(factor * axis.acceleration_mm_s2.value for axis in axes),
        corners=rule,
        tolerance_mm=tolerance,
        block_rate=rate,
    )


@cache
def true_times(name):
    return {program: drive(read.moves, control(name)) for program, read in others().items()}


@cache
def outcome(name, factor=1.0):
    thumb = np.random.default_rng(HIDDEN[name][-1])
    timed = tuple(
        TimedRun(
            place="timing.csv, line 2",
            name=trial.name,
            program=trial.text.encode("ascii"),
            seconds=round(drive(moves, control(name, factor)) + thumb.normal(0, THUMB_S), 1),
        )
        for trial, moves in runs()
    )
    return measure_time(TimeRequest(machine=PLOVER, runs=timed), lambda _share: None)


@cache
def new_card(name):
    entries = card_entries(outcome(name), PLOVER.units, date(2026, 3, 14), "timing.csv")
    return machine_from_text(changed_text(TEXT, entries), CARD).record


@cache
def before():
    return {program: timing(read, PLOVER) for program, read in others().items()}


@of_each_rule
def test_before_the_runs_the_true_time_lies_in_the_bracket(name):
    for program, seconds in true_times(name).items():
        bracket = before()[program]
        assert bracket.low_s * (1 - STEPS) <= seconds <= bracket.high_s * (1 + STEPS), program


def test_before_the_runs_the_brackets_are_wide():
    spans = [bracket.high_s / bracket.low_s - 1 for bracket in before().values()]
    assert max(spans) > 10 * WITHIN  # else there would be nothing to learn


@of_each_rule
def test_two_runs_find_the_rule_and_bound_its_numbers(name):
    rule, tolerance, rate, _ = HIDDEN[name]
    found = outcome(name)
    best = found.fit.best
    assert (found.decision, best.corners) == ("change", rule)
    for truth, told in ((tolerance, best.tolerance_mm), (rate or np.inf, best.block_rate_hz)):
        if told is not None:
            assert (told.low or 0) <= truth <= (told.high or np.inf)


@of_each_rule
def test_after_the_runs_the_time_of_ten_other_programs_is_known_within_two_percent(name):
    habits, best = expected_habits(PLOVER), outcome(name).fit.best
    off = {
        program: time_by(others()[program].moves, habits, best) / seconds - 1
        for program, seconds in true_times(name).items()
    }
    assert len(off) == 10
    assert max(map(abs, off.values())) <= WITHIN, off


@of_each_rule
def test_the_new_card_tells_these_times_in_a_narrower_bracket_that_holds_the_truth(name):
    spans = []
    for program, seconds in true_times(name).items():
        told = timing(others()[program], new_card(name))
        assert told.corners_known
        assert told.expected_s == pytest.approx(seconds, rel=WITHIN), program
        assert told.low_s * (1 - STEPS) <= seconds <= told.high_s * (1 + STEPS), program
        spans.append((told.high_s - told.low_s) / (before()[program].high_s - before()[program].low_s))
    assert max(spans) <= 1 + STEPS
    assert min(spans) < 0.1


def test_a_rate_of_which_only_the_least_is_known_does_not_shut_out_the_truth():
    """The runs ask for 500 lines a second at most; lines of 0.01 mm at 3000 mm/min ask for ten times as many."""
    fine = program_of(
        "G21 G90 G17 G94 G54\n" + "".join(f"G1 X{step / 100:g} F3000\n" for step in range(1, 2001)) + "M2\n"
    )
    assert outcome("constant").fit.best.block_rate_hz.high is None
    told = timing(fine, new_card("constant"))
    seconds = drive(fine.moves, control("constant"))
    assert told.low_s * (1 - STEPS) <= seconds <= told.high_s * (1 + STEPS)


@pytest.mark.parametrize("factor", [0.9, 1.1])
@pytest.mark.parametrize("name", ["stop", "tolerance-coarse-slow-lines", "overlap-slow-lines", "constant"])
def test_accelerations_that_are_wrong_on_the_card_never_make_another_rule(name, factor):
    """By a tenth: either the rule is found all the same, or the page says which way the accelerations are off."""
    found = outcome(name, factor)
    rule = HIDDEN[name][0]
    assert found.fit.best.corners == rule
    if rule in {"stop", "overlap"}:  # all their time is ramps
        assert (found.decision, found.why) == ("repeat", "acceleration")
        assert found.fit.best.acceleration_factor == pytest.approx(factor, abs=0.026)  # one step of those tried

"""What timed runs decide, with a simulated control as the machine and a thumb on its stopwatch."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from simulated import Control, drive

from cutworthy import trials
from cutworthy.app.cards import machine_from_text
from cutworthy.errors import Stopped
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.model.reading import TimedRun
from cutworthy.program import ReadOptions, read_program
from cutworthy.workflows.commission import TimeRequest, measure_time
from cutworthy.workflows.digest import axes_digest

PLOVER = Path(__file__).parents[2] / "examples" / "tidewater" / "plover.toml"
THUMB_S = 0.3
# Run 3 asks for 25 lines a second: a control that takes fewer is found out by it.
HIDDEN = {
    "stop": {"corners": "stop"},
    "tolerance": {"corners": "tolerance", "tolerance_mm": 0.08, "block_rate": 22.0},
    "overlap": {"corners": "overlap"},
    "constant": {"corners": "constant", "block_rate": 23.0},
}


@cache
def machine(*edits):
    text = PLOVER.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new, 1)
    return machine_from_text(text, PLOVER).record


def control_of(record, hidden):
    axes = [record.axes[axis] for axis in "xyz"]
    return Control(
        speeds=tuple(axis.speed_mm_s.value for axis in axes),
        accels=tuple(axis.acceleration_mm_s2.value for axis in axes),
        **hidden,
    )


@cache
def made(record_edits, number):
    (trial,) = trials.timing(machine(*record_edits), axes_digest(machine(*record_edits)), (number,))
    return trial, read_program(trial.text.encode("ascii"), ReadOptions(), lambda _share: None).moves


def timed(numbers, hidden, *, edits=(), seed=1):
    """Return runs as a person times them on a machine whose control hides its rule."""
    control = control_of(machine(*edits), hidden)
    thumb = np.random.default_rng(seed)
    runs = []
    for number in numbers:
        trial, moves = made(edits, number)
        seconds = round(drive(moves, control) + thumb.normal(0, THUMB_S), 1)
        runs.append(
            TimedRun(name=trial.name, place="timing.csv, line 2", program=trial.text.encode("ascii"), seconds=seconds)
        )
    return tuple(runs)


def measured(runs, record=None):
    return measure_time(TimeRequest(machine=record or machine(), runs=runs), lambda _share: None)


def exactly(value):
    return Quantity(value=value, low=value, high=value, origin=Origin.LABEL, key="control.key")


def knowing(**habits):
    return replace(machine(), control=replace(machine().control, **habits))


@pytest.mark.parametrize("rule", HIDDEN)
def test_the_hidden_rule_is_found_and_its_numbers_lie_in_their_intervals(rule):
    hidden = HIDDEN[rule]
    outcome = measured(timed((1, 3), hidden))
    best = outcome.fit.best
    assert (outcome.decision, outcome.why, outcome.next_run, outcome.next_s) == ("change", "", None, ())
    assert best.corners == rule
    assert sum(outcome.fit.odds.values()) == pytest.approx(1)
    assert best.odds > 0.9
    assert (best.tolerance_mm is not None) == (rule == "tolerance")
    if best.tolerance_mm:
        assert best.tolerance_mm.low <= hidden["tolerance_mm"] <= best.tolerance_mm.high
        assert best.tolerance_mm.high < 2 * best.tolerance_mm.low
    rate = best.block_rate_hz
    if "block_rate" in hidden:
        assert rate.low <= hidden["block_rate"] <= rate.high
        assert rate.low <= rate.value <= rate.high
        assert rate.high < 1.1 * rate.low
    else:
        assert (rate.value, rate.high, rate.u) == (None, None, None)
        assert rate.taken >= (rate.low or 0)


def test_a_card_that_says_so_already_is_left():
    runs = timed((1, 3), HIDDEN["tolerance"])
    card = knowing(corners="tolerance", corner_tolerance_mm=exactly(0.08), block_rate_hz=exactly(22.0))
    outcome = measured(runs, card)
    assert (outcome.decision, outcome.why) == ("leave", "")
    assert outcome.other_card == ()


@pytest.mark.parametrize(
    "habits",
    [
        {"corners": "constant", "corner_tolerance_mm": exactly(0.08), "block_rate_hz": exactly(22.0)},
        {"corners": "tolerance", "corner_tolerance_mm": exactly(0.05), "block_rate_hz": exactly(22.0)},
        {"corners": "tolerance", "corner_tolerance_mm": exactly(0.08), "block_rate_hz": exactly(60.0)},
        {"corners": "tolerance", "corner_tolerance_mm": None, "block_rate_hz": exactly(22.0)},
        {"corners": "tolerance", "corner_tolerance_mm": exactly(0.08), "block_rate_hz": None},
    ],
)
def test_a_card_that_says_otherwise_or_nothing_is_to_be_changed(habits):
    assert measured(timed((1, 3), HIDDEN["tolerance"]), knowing(**habits)).decision == "change"


def test_a_card_with_fewer_lines_a_second_than_were_seen_is_not_left():
    runs = timed((1, 3), {"corners": "constant"})
    bound = measured(runs).fit.best.block_rate_hz
    assert bound.value is None
    assert bound.low > 20
    assert measured(runs, knowing(corners="constant", block_rate_hz=exactly(bound.low / 2))).decision == "change"
    assert measured(runs, knowing(corners="constant", block_rate_hz=exactly(bound.low * 2))).decision == "leave"


def test_the_order_of_the_readings_does_not_matter():
    runs = timed((1, 3), HIDDEN["overlap"])
    one, other = measured(runs), measured(runs[::-1])
    assert one.fit.odds == pytest.approx(other.fit.odds)
    assert one.fit.best.seconds == pytest.approx(other.fit.best.seconds[::-1])


@pytest.mark.parametrize(("number", "other"), [(1, 2), (3, 1)])
def test_one_run_alone_is_not_enough_and_the_next_is_named(number, other):
    outcome = measured(timed((number,), HIDDEN["constant"]))
    assert (outcome.decision, outcome.why) == ("repeat", "one-run")
    assert outcome.next_run == other


def test_one_run_timed_three_times_is_still_one_run():
    runs = tuple(timed((1,), HIDDEN["constant"], seed=seed)[0] for seed in (1, 2, 3))
    outcome = measured(runs)
    assert (outcome.decision, outcome.why) == ("repeat", "one-run")


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_times_that_no_rule_gives_are_to_be_repeated(factor):
    runs = tuple(replace(run, seconds=factor * run.seconds) for run in timed((1, 4), HIDDEN["constant"]))
    outcome = measured(runs)
    assert (outcome.decision, outcome.why) == ("repeat", "no-rule")


def test_one_run_far_off_among_three_is_no_rule_of_the_other_two():
    first, second, third = timed((1, 3, 4), HIDDEN["stop"])
    outcome = measured((first, replace(second, seconds=0.8 * second.seconds), third))
    assert (outcome.decision, outcome.why) == ("repeat", "no-rule")


@pytest.mark.slow
@pytest.mark.parametrize("rule", ["tolerance", "constant"])
def test_two_rules_that_fit_alike_are_parted_by_the_run_that_is_asked_for(rule):
    hidden = {"corners": rule, "tolerance_mm": 0.05}
    outcome = measured(timed((2, 3), hidden))  # circles only: no corner in them
    assert (outcome.decision, outcome.why) == ("repeat", "rules-alike")
    assert {each.corners for each in outcome.fit.rules[:2]} == {"tolerance", "constant"}
    assert all(each.odds >= 0.1 for each in outcome.fit.rules[:2])
    first, second = outcome.next_s
    assert abs(first - second) > 10 * THUMB_S
    if rule == "constant":  # of the other, these runs do not tell how far it rounds
        by_rule = dict(zip((each.corners for each in outcome.fit.rules), outcome.next_s, strict=False))
        _, moves = made((), outcome.next_run)
        assert by_rule[rule] == pytest.approx(drive(moves, control_of(machine(), hidden)), rel=0.02)
    told = measured(timed((2, 3, outcome.next_run), hidden))
    assert (told.decision, told.why, told.fit.best.corners) == ("change", "", rule)


SLOW_AND_STRONG = (
    ('speed = "3000 mm/min"', 'speed = "300 mm/min"'),
    ('acceleration = "400 mm/s^2"', 'acceleration = "3000 mm/s^2"'),
)


@pytest.mark.slow
def test_no_run_is_promised_to_tell_what_it_cannot():
    """Where corners cost a few milliseconds, all rules give the same times: no further run parts them."""
    numbers = (1, 3, 4)
    record = machine(*SLOW_AND_STRONG)
    outcome = measured(timed(numbers, {"corners": "constant"}, edits=SLOW_AND_STRONG), record)
    if outcome.next_run is not None:
        first, second = outcome.next_s
        assert abs(first - second) > 2 * np.hypot(THUMB_S, 0.003 * first)
        assert outcome.next_run not in numbers


def test_runs_made_for_another_state_of_the_card_are_named():
    runs = timed((1, 3), HIDDEN["overlap"])
    record = machine(('acceleration = "400 mm/s^2"', 'acceleration = "390 mm/s^2"'))
    (trial,) = trials.timing(record, axes_digest(record), (3,))
    own = replace(runs[1], program=trial.text.encode("ascii"))
    plain = replace(own, name="plain.nc", program=b"G21 G90 G17 G94 G54\nG1 X10 F1500\nM2\n")
    assert measured((runs[0], own, plain), record).other_card == (runs[0].name,)


def test_progress_is_told_and_may_stop():
    def stop(_share):
        raise Stopped

    runs = timed((1, 4), HIDDEN["constant"])
    shares = []
    measure_time(TimeRequest(machine=machine(), runs=runs), shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1
    with pytest.raises(Stopped):
        measure_time(TimeRequest(machine=machine(), runs=runs), stop)


STRONG = (('acceleration = "400 mm/s^2"', 'acceleration = "3000 mm/s^2"'),)


@pytest.mark.slow
def test_rules_that_no_run_parts_are_left_open():
    """With motors so strong a rounding of 0.4 mm costs next to nothing: "constant" must not be entered for it."""
    hidden = {"corners": "tolerance", "tolerance_mm": 0.4}
    outcome = measured(timed((1, 2, 3, 4), hidden, edits=STRONG), machine(*STRONG))
    assert "tolerance" in {rule.corners for rule in outcome.alike}
    if len(outcome.alike) > 1:
        assert (outcome.decision, outcome.why, outcome.enter) == ("leave", "rules-alike", ())


SMALL = (('travel = "820 mm"', 'travel = "72 mm"'), ('travel = "560 mm"', 'travel = "70 mm"'))


def test_a_small_machine_is_measured_by_the_runs_it_has_the_travel_for():
    outcome = measured(timed((1, 2), HIDDEN["constant"], edits=SMALL), machine(*SMALL))
    assert (outcome.decision, outcome.fit.best.corners) == ("change", "constant")


def test_a_run_timed_often_counts_as_one_that_was_timed_well():
    one, other = timed((1, 3), HIDDEN["overlap"])
    outcome = measured((one, one, one, one, other))
    assert len(outcome.fit.measured_s) == 2
    assert len(outcome.said_s) == 5
    assert outcome.fit.deviations_s[0] == pytest.approx(np.hypot(THUMB_S / 2, 0.003 * one.seconds))

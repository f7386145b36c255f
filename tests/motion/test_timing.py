import math
from dataclasses import replace

import numpy as np
import pytest

from cutworthy.model.quantity import Origin, Quantity
from cutworthy.motion import timing
from cutworthy.motion.drive import trapezoid_s
from cutworthy.program import ReadOptions, read_program


def test_trapezoid_by_uniform_acceleration():
    # v 50 mm/s, a 500 mm/s^2; s = v^2/a is the boundary between trapezoid and triangle (kinematics, by hand).
    distance = np.array([100.0, 5.0, 2.0])
    speed, acceleration = np.full(3, 50.0), np.full(3, 500.0)
    expected = [2.1, 0.2, 2 * math.sqrt(2 / 500)]
    assert trapezoid_s(distance, speed, acceleration) == pytest.approx(expected, abs=1e-12)


def read(text, **options):
    return read_program(text.encode(), ReadOptions(**options), lambda _share: None)


def with_control(machine, **habits):
    return replace(machine, control=replace(machine.control, **habits))


def exactly(value):
    return Quantity(value=value, low=value, high=value, origin=Origin.MEASURED, key="control.key")


@pytest.mark.parametrize(("degrees", "expected"), [(10, 3046.28), (20, 3192.53), (30, 2400.0), (45, 1697.06)])
def test_ramp_caps_on_plover(plover, degrees, expected):
    # min(Z 1200 / sin, X 3000 / cos) mm/min, worked out by pocket calculator.
    slope = math.radians(degrees)
    told = timing(read(f"G21 G1 X{100 * math.cos(slope)} Z{-100 * math.sin(slope)} F9000\nM2\n"), plover)
    assert told.too_fast.cap_mm_min == pytest.approx([expected], abs=0.005)


def test_a_straight_cut_between_two_stops(plover):
    told = timing(read("G21 G1 X100 F1500\nM2\n"), plover)
    # 100 mm at 25 mm/s; stops cost v/a = 25/400 s.
    assert [told.low_s, told.expected_s, told.high_s] == pytest.approx([4.0 + 25 / 400] * 3)
    assert len(told.too_fast) == 0


def test_an_arc_is_as_long_as_it_is(plover):
    told = timing(read("G21 G0 X10\nG3 X-10 Y0 Z-3 I-10 F500\nM2\n"), plover)
    # NISTIR 6556, 2.1.2.6: the feed counts along the helix: 31.5588 mm at F500 is 3.787 s.
    helix = told.timeline
    assert helix.cruise_mm_s[1] == pytest.approx(500 / 60)
    ramp = 500 / 60 / 400
    assert helix.seconds[1] == pytest.approx(3.787 + ramp / 2, abs=ramp)


def test_a_small_arc_is_slowed_by_its_radius(plover):
    fast = timing(read("G21 G0 X1\nG3 X-1 Y0 I-1 F3000\nM2\n"), plover)
    slow = timing(read("G21 G0 X1\nG3 X-1 Y0 I-1 F1200\nM2\n"), plover)
    # sqrt(a r) = sqrt(400 * 1) mm/s = 1200 mm/min: above it nothing is gained, whatever the control does.
    assert fast.low_s == pytest.approx(slow.low_s, rel=1e-12)
    assert fast.high_s == pytest.approx(slow.high_s, rel=1e-12)
    assert fast.timeline.cruise_mm_s[1] == pytest.approx(20.0)
    assert fast.lost_s["arcs"] > 0
    assert len(fast.too_fast) == 0


def test_the_feed_that_the_axes_cannot_follow(plover):
    told = timing(read("G21 G1 X100 F2000\nG1 X200 Z-100 F2000\nM2\n"), plover)
    # At 45 degrees down Z's 1200 mm/min rules: 1200 * sqrt(2).
    assert told.too_fast.cap_mm_min == pytest.approx([1697.06], abs=0.005)
    assert told.too_fast.row.tolist() == [1]


def test_a_tangent_that_passes_an_axis_takes_its_whole_speed(plover):
    # An upright half circle in XZ: somewhere its tangent is all Z.
    told = timing(read("G21 G18 G1 X10 F100\nG2 X-10 Z0 I-10 F2000\nM2\n"), plover)
    assert told.too_fast.cap_mm_min == pytest.approx([1200.0])


def test_dwells_count_in_full(plover):
    assert timing(read("G4 P2.5\nM2\n"), plover).low_s == 2.5


def test_inverse_time_is_the_time_but_for_the_ramps(plover):
    # NISTIR 6556, 3.5.19: F2 is half a minute.
    told = timing(read("G21 G93 G1 X10 F2\nM2\n"), plover)
    assert told.expected_s == pytest.approx(30.0 + 10 / 30 / 400)


def test_a_rapid_from_an_unknown_place_takes_up_to_the_whole_travel(plover):
    told = timing(read("G21 G90 G0 X10\nM2\n", start_mm=None), plover)
    assert told.low_s == 0.0
    assert told.expected_s == pytest.approx(410 / 50 + 50 / 400)
    assert told.high_s == pytest.approx(820 / 50 + 50 / 400)


def test_no_line_is_faster_than_the_control(plover):
    known = with_control(plover, block_rate_hz=exactly(20.0))
    text = "G21 G1 F3000\n" + "".join(f"X{n / 100}\n" for n in range(1, 101)) + "M2\n"
    told = timing(read(text), known)
    assert told.low_s == pytest.approx(100 / 20, rel=1e-6)
    assert told.lost_s["line-rate"] > 0.9 * sum(told.lost_s.values())
    assert {stretch.cause for stretch in told.slow} == {"line-rate"}


def test_a_pause_beside_a_feed_beyond_the_axes_is_no_warning(plover):
    assert len(timing(read("G21 G4 P0.5\nG1 X100 F9000\nM2\n"), plover).too_fast) == 1


def test_nothing_to_do_takes_no_time(plover):
    told = timing(read("G21\nM2\n"), plover)
    assert (told.low_s, told.expected_s, told.high_s) == (0.0, 0.0, 0.0)
    assert told.slow == ()


def test_the_rule_on_the_card_is_the_one_that_counts(plover):
    text = "G21 G91 G1 F1500\n" + "X1\nY1\n" * 50 + "M2\n"
    times = {rule: timing(read(text), with_control(plover, corners=rule)) for rule in ("stop", "constant", "overlap")}
    for told in times.values():
        assert told.corners_known
        assert told.low_s == pytest.approx(told.expected_s)
        assert told.high_s == pytest.approx(told.expected_s, rel=0.2)  # its line rate is still open
    unknown = timing(read(text), plover)
    assert not unknown.corners_known
    assert unknown.low_s == pytest.approx(times["constant"].low_s)
    assert unknown.high_s == pytest.approx(times["stop"].high_s)
    assert unknown.low_s < unknown.expected_s < unknown.high_s


def test_a_dog_leg_takes_as_long_as_its_slowest_axis(plover):
    told = timing(read("G21 G0 X100 Y20 Z20\nM2\n"), with_control(plover, rapids="dog-leg"))
    assert told.expected_s == pytest.approx(max(100 / 50 + 50 / 400, 20 / 20 + 20 / 200))


def test_a_spindle_that_the_program_starts_is_waited_for(plover):
    by_program = replace(plover, spindle=replace(plover.spindle, switched_by="program", spin_up_s=exactly(4.0)))
    text = "G21 M3 S9000\nG1 X10 F600\nM5\nG0 X0\nM3\nG1 X10\nM2\n"
    assert timing(read(text), by_program).expected_s - timing(read(text), plover).expected_s == pytest.approx(8.0)


def test_what_the_card_guesses_is_named(plover):
    assert timing(read("G21 G1 X100 F1500\nM2\n"), plover).open_keys == (
        "control.corner_tolerance",
        "control.block_rate",
    )
    axes = dict(plover.axes)
    axes["x"] = replace(axes["x"], acceleration_mm_s2=replace(axes["x"].acceleration_mm_s2, origin=Origin.GUESSED))
    program_switched = replace(plover.spindle, switched_by="program", spin_up_s=None)
    vague = replace(with_control(plover, rapids="unknown"), axes=axes, spindle=program_switched)
    assert timing(read("G21 G1 X100 F1500\nM2\n"), vague).open_keys == (
        axes["x"].acceleration_mm_s2.key,
        "control.corner_tolerance",
        "control.rapids",
        "control.block_rate",
        "spindle.spin_up",
    )
    stops = with_control(plover, corners="stop", block_rate_hz=exactly(500.0))
    assert timing(read("G21 G1 X100 F1500\nM2\n"), stops).open_keys == ()


SHORT = "G21 G90\nF3000\n" + "".join(f"G1 X{step / 20:g}\n" for step in range(1, 401)) + "M2\n"


def test_lines_that_come_too_slowly_are_driven_at_the_speed_at_which_they_come(plover):
    # 0.05 mm for each of 100 lines a second are 5 mm/s, whatever the feed asks for.
    slow = timing(read(SHORT), with_control(plover, corners="constant", block_rate_hz=exactly(100.0)))
    assert slow.timeline.total_s == pytest.approx(4.0, abs=0.02)  # but for the first and the last, which are ramps
    assert slow.timeline.cruise_mm_s[1:-1] == pytest.approx([5.0] * 398)


@pytest.mark.parametrize(("near_mm_s", "seconds"), [(5.0, 4.0), (50.0, 0.0)])
def test_growl_of_lines_that_come_too_slowly(plover, near_mm_s, seconds):
    slow = with_control(plover, corners="constant", block_rate_hz=exactly(100.0))
    told = timing(read(SHORT), slow, growl_mm_s={"x": [near_mm_s]}).growls
    assert sum(growl.seconds for growl in told) == pytest.approx(seconds, abs=0.05)  # of the ramps at either end


@pytest.mark.parametrize("rule", ["stop", "overlap"])
def test_growl_counts_ramps_and_what_lies_between(plover, rule):
    # There and back by 10 mm at 25 mm/s: ramps of 25/400 s; within 15 % of 20 mm/s for 6/400 s of each of the four, and
    # within 15 % of 25 mm/s from 21.25 on, 3.75/400 s of each, and all along between the ramps, of 0.78125 mm each.
    moves = read("G21 G1 X10 F1500\nX0\nM2\n")
    for near, seconds in ((20.0, 4 * 6 / 400), (25.0, 4 * 3.75 / 400 + 2 * (10 - 2 * 0.78125) / 25)):
        told = timing(moves, with_control(plover, corners=rule), growl_mm_s={"x": [near]}).growls
        assert [growl.seconds for growl in told] == pytest.approx([seconds])

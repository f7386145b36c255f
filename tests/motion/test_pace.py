import math
from dataclasses import replace

import numpy as np
import pytest

from cutworthy.model.quantity import Origin, Quantity
from cutworthy.motion.pace import pace, path_cap, trapezoid_s
from cutworthy.program import ReadOptions, read_program


def test_trapezoid_by_uniform_acceleration():
    # v 50 mm/s, a 500 mm/s^2; s = v^2/a is the boundary between trapezoid and triangle (kinematics, by hand).
    distance = np.array([100.0, 5.0, 2.0])
    speed, acceleration = np.full(3, 50.0), np.full(3, 500.0)
    expected = [2.1, 0.2, 2 * math.sqrt(2 / 500)]
    assert trapezoid_s(distance, speed, acceleration) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("degrees", "expected"), [(10, 3046.28), (20, 3192.53), (30, 2400.0), (45, 1697.06)])
def test_ramp_caps_on_plover(degrees, expected):
    # min(Z 1200 / sin, X 3000 / cos) mm/min, worked out by pocket calculator.
    slope = math.radians(degrees)
    components = np.array([[math.cos(slope), 0.0, math.sin(slope)]])
    limits = np.array([3000.0, 3000.0, 1200.0])
    assert path_cap(components, limits)[0] == pytest.approx(expected, abs=0.005)


def read(text):
    return read_program(text.encode(), ReadOptions(), lambda _share: None)


def test_a_straight_cut_between_two_stops(plover):
    told = pace(read("G21 G1 X100 F1500\nM2\n"), plover)
    # 100 mm at 25 mm/s; stops cost v/a = 25/400 s.
    assert told.low_s == pytest.approx(4.0)
    assert told.high_s == pytest.approx(4.0 + 25 / 400)
    assert told.too_fast == ()


def test_an_arc_is_as_long_as_it_is(plover):
    told = pace(read("G21 G0 X10\nG3 X-10 Y0 Z-3 I-10 F500\nM2\n"), plover)
    rapid = 10 / 50
    # NISTIR 6556, 2.1.2.6: the feed counts along the helix: 31.5588 mm at F500 is 3.787 s.
    assert told.low_s - rapid == pytest.approx(3.787, abs=5e-4)


def test_a_small_arc_is_slowed_by_its_radius_when_it_must_stop(plover):
    fast = pace(read("G21 G0 X1\nG3 X-1 Y0 I-1 F3000\nM2\n"), plover)
    slow = pace(read("G21 G0 X1\nG3 X-1 Y0 I-1 F1200\nM2\n"), plover)
    # sqrt(a r) = sqrt(400 * 1) mm/s = 1200 mm/min: above it nothing is gained.
    assert fast.high_s == pytest.approx(slow.high_s, rel=1e-12)
    assert fast.low_s < slow.low_s


def test_the_feed_that_the_axes_cannot_follow(plover):
    told = pace(read("G21 G1 X100 F2000\nG1 X200 Z-100 F2000\nM2\n"), plover)
    (fast,) = told.too_fast
    # At 45 degrees down Z's 1200 mm/min rules: 1200 * sqrt(2).
    assert fast.cap_mm_min == pytest.approx(1697.06, abs=0.005)
    assert fast.row == 1


def test_a_tangent_that_passes_an_axis_takes_its_whole_speed(plover):
    # An upright half circle in XZ: somewhere its tangent is all Z.
    told = pace(read("G21 G18 G1 X10 F100\nG2 X-10 Z0 I-10 F2000\nM2\n"), plover)
    (fast,) = told.too_fast
    assert fast.cap_mm_min == pytest.approx(1200.0)


def test_dwells_count_in_full(plover):
    assert pace(read("G4 P2.5\nM2\n"), plover).low_s == 2.5


def test_inverse_time_is_the_time(plover):
    # NISTIR 6556, 3.5.19: F2 is half a minute.
    assert pace(read("G21 G93 G1 X10 F2\nM2\n"), plover).low_s == pytest.approx(30.0)


def test_a_rapid_from_an_unknown_place_takes_up_to_the_whole_travel(plover):
    told = pace(read_program(b"G21 G90 G0 X10\nM2\n", ReadOptions(start_mm=None), lambda _share: None), plover)
    assert told.low_s == 0.0
    assert told.high_s == pytest.approx(820 / 50 + 50 / 400)


def test_no_line_is_faster_than_the_control(plover):
    rate = Quantity(value=20.0, low=20.0, high=20.0, origin=Origin.MEASURED, key="control.block_rate")
    known = replace(plover, control=replace(plover.control, block_rate_hz=rate))
    text = "G21 G1 F3000\n" + "".join(f"X{n / 100}\n" for n in range(1, 101)) + "M2\n"
    assert pace(read(text), known).low_s == pytest.approx(100 / 20)


def test_the_short_end_is_no_longer_than_an_arc_at_the_axes_own_speeds(plover):
    # A circle of radius 60 at a feed beyond the axes: never faster than both axes together, 50 * sqrt(2) mm/s.
    told = pace(read("G21 G1 X120 F3000\nG2 X120 Y0 I-60 F9000\nM2\n"), plover)
    straight = 120 / 50
    assert told.low_s - straight <= 2 * math.pi * 60 / (50 * math.sqrt(2)) + 1e-9


def test_a_pause_beside_a_feed_beyond_the_axes_is_no_warning(plover):
    assert len(pace(read("G21 G4 P0.5\nG1 X100 F9000\nM2\n"), plover).too_fast) == 1

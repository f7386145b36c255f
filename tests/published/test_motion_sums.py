"""Uniformly accelerated motion, corners rounded within a tolerance, and circles: sums done outside the project.

The expected numbers were worked out by other hands than the planner's, from kinematics and v^2/r alone; the arc that
rounds a corner was derived for them, from no book. So they prove that the planner does these sums, not that a control
drives so: for that there is no source. "7.1" and "7.3" are the sections of that working, "general" its table of the
Tidewater Workshop's Plover.

Its section 7.2, S-curves of bounded jerk, is left out: none of the planner's rules bounds jerk (decision 10). The chord
error of 7.3 is no matter of speed.
"""

import math

import numpy as np
import pytest
from driven import driven, habits, moves_of

from cutworthy.motion.drive import Route, trapezoid_s

FAST = (200.0, 200.0, 200.0)  # mm/s: so that no axis keeps the speed of a gentle corner down
PLOVER = {"speed_mm_s": (50.0, 50.0, 20.0), "accel_mm_s2": (400.0, 400.0, 200.0)}  # general
PER_MINUTE = 60.0


def printed(text):
    """Return what agrees with a printed number: half a unit of its last digit.

    Both sources print exact values short, and rounded ones with six digits or more: so fewer digits are
    exact, and those and the ones printed in full precision must agree but for the rounding of the sums.
    """
    decimals = len(text.partition(".")[2])
    digits = len(text.replace(".", "").strip("0"))
    rounded = 0.5 * 10.0**-decimals * (1 + 1e-9) if 6 <= digits <= 8 else 0.0
    return pytest.approx(float(text), rel=1e-12, abs=rounded)


def turned(degrees, *, run=100.0, feed=9000):
    """Return a program of two straight lines between which the path turns, the first along X."""
    angle = math.radians(degrees)
    return f"G1 X{run} F{feed}\nX{run + run * math.cos(angle):.12f} Y{run * math.sin(angle):.12f}"


# Trapezoids and triangles.


@pytest.mark.parametrize(
    ("distance", "seconds", "peak"),
    [
        ("100", "2.1", "50"),
        ("5", "0.2", "50"),  # at the boundary between trapezoid and triangle
        ("2", "0.12649110640673517", "31.622776601683793"),
    ],
)
@pytest.mark.parametrize("rule", ["stop", "tolerance", "constant", "overlap"])
def test_from_rest_to_rest(distance, seconds, peak, rule):
    """7.1: v 50 mm/s, a 500 mm/s^2."""
    plan = driven(f"G1 X{distance} F3000", corners=rule)
    assert plan.timeline.total_s == printed(seconds)
    assert plan.timeline.cruise_mm_s == printed(peak)
    assert (plan.timeline.entry_mm_s.tolist(), plan.timeline.exit_mm_s.tolist()) == ([0.0], [0.0])
    alone = trapezoid_s(*(np.array([float(number)]) for number in (distance, 50, 500)))
    assert alone == printed(seconds)


def test_the_way_of_braking():
    """7.1: a stop from 50 mm/s takes 2.5 mm, so a line of 2.5 mm can just be braked on."""
    assert driven("G1 X100 F3000\nX102.5").timeline.exit_mm_s == pytest.approx([50.0, 0.0], abs=1e-9)
    shorter = driven("G1 X100 F3000\nX102.4").timeline
    assert shorter.exit_mm_s == pytest.approx([math.sqrt(2 * 500 * 2.4), 0.0], abs=1e-9)


@pytest.mark.parametrize(("axis", "seconds", "distance"), [("X", "0.125", "3.125"), ("Z", "0.1", "1")])
def test_the_ramps_of_plover(axis, seconds, distance):
    """general, ramp_time and ramp_dist: over twice the ramp's way, speeding up and braking only."""
    plan = driven(f"G0 {axis}{2 * float(distance)}", **PLOVER)
    assert plan.timeline.total_s / 2 == printed(seconds)
    assert plan.timeline.cruise_mm_s[0] == pytest.approx(PLOVER["speed_mm_s"]["XYZ".index(axis)], rel=1e-15)


def test_both_axes_together_are_faster():
    """general, plover.diag_speed [mm/min] and diag_acc: root 2 of one axis."""
    plan = driven("G0 X300 Y300", **PLOVER)
    assert plan.timeline.cruise_mm_s * PER_MINUTE == printed("4242.64")
    assert plan.along_mm_s2 == printed("565.685")


@pytest.mark.parametrize(("degrees", "feed"), [(10, "3046.28"), (20, "3192.53"), (30, "2400"), (45, "1697.06")])
def test_the_ramps_into_the_wood(degrees, feed):
    """general, plover.ramp_*: the fastest feed [mm/min] at a slope."""
    slope = math.radians(degrees)
    plan = driven(f"G1 X{300 * math.cos(slope):.12f} Z{-300 * math.sin(slope):.12f} F9000", **PLOVER)
    assert plan.timeline.cruise_mm_s * PER_MINUTE == printed(feed)
    assert plan.cap_mm_s * PER_MINUTE == printed(feed)


# Stops at every line.


def short_lines(count):
    """Return lines of 0.25 mm along X at F3000: a hundred there, a hundred back."""
    pairs = "X0.25\n" * 100 + "X-0.25\n" * 100
    return "G91 G1 F3000\n" + pairs * (count // 200)


def test_a_stop_on_every_short_line():
    """general, segment.stop_time_0.25 [s], feed_0.25 [mm/min], million_stop_0.25 [h]."""
    plan = driven(short_lines(2000), corners="stop", **PLOVER)
    assert plan.timeline.seconds == printed("0.05")
    assert 0.25 / plan.timeline.seconds * PER_MINUTE == printed("300")
    assert plan.timeline.total_s / 2000 * 1e6 / 3600 == printed("13.8889")


@pytest.mark.slow
def test_a_million_stops():
    """general, segment.million_stop_0.25 and million naive_0.25 [h]: the same, line by line."""
    route = Route(moves_of(short_lines(1_000_000)))
    assert route.drive(habits(corners="stop", **PLOVER)).timeline.total_s / 3600 == printed("13.8889")
    naive = route.drive(habits(corners="constant", **PLOVER)).timeline.total_s
    assert (naive - 50 / 400) / 3600 == printed("1.38889")  # without the ramp to full speed and the one at the end


# Corners rounded within a tolerance.

# Turn [degrees], speed [mm/s], feed [mm/min] at e 0.05 mm and a 500 mm/s^2.
BLENDS = [
    (10, "80.89982048013964", "4853.989"),
    (30, "26.621297991688227", "1597.278"),
    (45, "17.419149795945902", "1045.149"),
    (60, "12.712298784187066", "762.738"),
    (90, "7.768869870150188", "466.1322"),
    (120, "5.0", "300.0"),
    (135, "3.936732", "236.204"),
    (150, "2.954650", "177.279"),
]


@pytest.mark.parametrize(("degrees", "speed", "feed"), BLENDS)
@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("order", ["XYZ", "YZX", "ZXY", "YXZ"])
def test_the_speed_at_a_corner(degrees, speed, feed, way, order):
    """7.3: the printed table. The turn begins along an axis, so that this axis rules all the way round."""
    text = turned(way * degrees).translate(str.maketrans("XYZ", order))
    plan = driven(text, speed_mm_s=FAST)
    assert plan.timeline.exit_mm_s[0] == printed(speed)
    assert plan.timeline.entry_mm_s[1] == printed(speed)
    assert plan.timeline.exit_mm_s[0] * PER_MINUTE == printed(feed)


def test_the_speed_at_a_corner_of_a_finer_tolerance():
    """7.3: e 0.01 mm, 90 degrees."""
    speed = driven(turned(90), speed_mm_s=FAST, tolerance_mm=0.01).timeline.exit_mm_s[0]
    assert speed == printed("3.474344227601157")
    assert speed * PER_MINUTE == printed("208.461")


def test_the_speed_at_a_square_corner_of_plover():
    """general, corner.feed_005 [mm/min]."""
    assert driven(turned(90, feed=3000), **PLOVER).timeline.exit_mm_s[0] * PER_MINUTE == printed("416.921")


@pytest.mark.parametrize(("degrees", "radius"), [(10, "13.089561907437643"), (90, "0.1207106781186548")])
@pytest.mark.parametrize("share", [1.000001, 0.9, 0.5])
def test_the_way_that_a_rounded_corner_takes(degrees, radius, share):
    """7.3: r tan(theta/2) of either leg, here at most half of it: beyond that the radius is smaller.

    After the short leg the path turns by 0.05 degrees more: so slightly that it may go on at full speed.
    """
    leg = 2 * float(radius) * math.tan(math.radians(degrees / 2)) * share
    (x, y), (on_x, on_y) = (
        (math.cos(math.radians(turn)), math.sin(math.radians(turn))) for turn in (degrees, degrees + 0.05)
    )
    x, y = 100 + leg * x, leg * y
    text = f"G1 X100 F9000\nX{x:.12f} Y{y:.12f}\nX{x + 100 * on_x:.12f} Y{y + 100 * on_y:.12f}"
    speed = driven(text, speed_mm_s=FAST).timeline.exit_mm_s[0]
    assert speed**2 == pytest.approx(500 * float(radius) * min(share, 1.0), rel=1e-9)


def test_a_square_corner_at_full_feed_is_not_possible():
    """7.3: at 3000 mm/min, within 0.05 mm, with 500 mm/s^2, the machine either slows or rounds."""
    kept, slowed = (driven(turned(90, feed=3000), corners=rule).timeline for rule in ("constant", "tolerance"))
    assert kept.exit_mm_s[0] == 50.0
    assert slowed.exit_mm_s[0] * PER_MINUTE == printed("466.1322")


# Corners overlapped.


@pytest.mark.parametrize(
    ("degrees", "feed", "missed"),
    [(90, 750, "0.0690534"), (90, 1500, "0.276214"), (90, 3000, "1.10485"), (45, 1500, "0.149486")],
)
def test_how_far_overlap_misses_a_corner(degrees, feed, missed):
    """general, blend.* [mm]: v^2 sin(turn/2) / 4a, midway through the overlap.

    There each of the two moves is as far from the corner as its ramp goes in half of the overlap. The
    legs lie alike beside X, whose acceleration is such that along either of them it is 400 mm/s^2.
    """
    half = math.radians(degrees / 2)
    x, y = 40 * math.cos(half), 40 * math.sin(half)
    text = f"G1 X{x:.12f} Y{y:.12f} F{feed}\nX{2 * x:.12f} Y0"
    limits = {"speed_mm_s": FAST, "accel_mm_s2": (400 * math.cos(half), 400.0, 400.0)}
    stop, overlap = (driven(text, corners=rule, **limits) for rule in ("stop", "overlap"))
    assert overlap.along_mm_s2 == pytest.approx([400.0, 400.0], rel=1e-12)
    early = stop.timeline.seconds - overlap.timeline.seconds
    assert early[1] == 0.0
    from_corner = 400 * (early[0] / 2) ** 2 / 2
    assert from_corner * 2 * math.sin(half) == printed(missed)


def test_overlap_saves_one_ramp_of_two():
    """By hand, from 7.1: two moves of 2.1 s each, whose ramps take 0.1 s."""
    assert driven(turned(90, feed=3000), corners="stop").timeline.total_s == pytest.approx(4.2, rel=1e-12)
    assert driven(turned(90, feed=3000), corners="overlap").timeline.total_s == pytest.approx(4.1, rel=1e-12)


# Circles.


def test_the_speed_on_a_circle():
    """7.3: r 3 mm, a 500 mm/s^2."""
    plan = driven("G2 X0 Y0 I3 J0 F9000", speed_mm_s=FAST)
    assert plan.timeline.cruise_mm_s == printed("38.7298")
    assert plan.timeline.cruise_mm_s * PER_MINUTE == printed("2323.790")
    assert plan.by_arc.tolist() == [True]


@pytest.mark.parametrize(("radius", "feed"), [("0.5", "848.528"), ("1", "1200"), ("3", "2078.46")])
@pytest.mark.parametrize("rule", ["stop", "tolerance", "constant", "overlap"])
def test_the_speed_on_small_circles_of_plover(radius, feed, rule):
    """general, arc.cap_* [mm/min]."""
    plan = driven(f"G3 X0 Y0 I0 J{radius} F3000", corners=rule, **PLOVER)
    assert plan.timeline.cruise_mm_s * PER_MINUTE == printed(feed)
    assert plan.cap_mm_s * PER_MINUTE == printed(feed)

"""Tests of the simulated control, with sums that can be done on paper."""

from dataclasses import replace

import numpy as np
import pytest
from programs_for_timing import ten_programs
from scipy.special import beta
from simulated import STEPS, Control, drive, trace

from cutworthy.program import ReadOptions, read_program

FAST = Control(speeds=(100.0, 100.0, 100.0), accels=(500.0, 500.0, 500.0), corners="constant")
CONTROL = replace(FAST, speeds=(50.0, 50.0, 20.0))
CLOSE = 3e-4


def moves(text):
    program = read_program(f"G21 G90 G17\n{text}\nM2\n".encode(), ReadOptions(), lambda _share: None)
    assert not [problem for problem in program.problems if problem.level == "no-go"]
    return program.moves


def seconds(text, control=CONTROL, **changes):
    return drive(moves(text), replace(control, **changes))


def ramp(v, w, a=500.0):
    return abs(w - v) / a


SHORT = "\n".join(f"G1 X{0.25 * (i + 1):g} F3000" for i in range(400))
SLOW = SHORT.replace("F3000", "F1500")
LONG = "G1 X100 F3000"
# From rest to sqrt(a r) in an arc: v2 = a r sin(2 s / r), so that dt = ds / v is an Euler integral.
ROUND = np.sqrt(2.0 / 500) * beta(1 / 4, 1 / 2) / 2 / 2
CIRCLE = 2 * ROUND + (2 * np.pi * 2 - np.pi * 2 / 2) / np.sqrt(500 * 2)
CORNER = 7.7689  # sqrt(500 * 0.05 cos 45 / (1 - cos 45))
ELL = 2 * (ramp(0, 50) + ramp(50, CORNER) + (20 - 2.5 - (50**2 - CORNER**2) / 1000) / 50)
# Half of 0.05 mm at most beside the corner: a radius of 0.025 mm.
TIGHT = np.sqrt(500 * 0.025)
PEAK = np.sqrt((2 * 500 * 0.05 + TIGHT**2) / 2)
TIGHT_ELL = 0.1 + 17.5 / 50 + ramp(50, TIGHT) - (50**2 - TIGHT**2) / 1000 / 50
TIGHT_ELL += ramp(TIGHT, PEAK) + ramp(PEAK, 0)
# X is slow; on the way round by 45 degrees the normal turns towards it by sin 45.
SLOW_X = 100 / np.sin(np.pi / 4)
BEND = np.sqrt(SLOW_X * 0.05 * np.cos(np.pi / 8) / (1 - np.cos(np.pi / 8)))
PEAK_X = np.sqrt((2 * 100 * 20 + BEND**2) / 2)
SLOW_X_BEND = ramp(0, PEAK_X, 100) + ramp(PEAK_X, BEND, 100) + ramp(BEND, 50, SLOW_X) + ramp(0, 50, SLOW_X)
SLOW_X_BEND += (20 * np.sqrt(2) - (2 * 50**2 - BEND**2) / 2 / SLOW_X) / 50

CASES = {
    "trapezoid": (LONG, {}, 2.1),
    "triangle": ("G1 X1 F3000", {}, 2 * np.sqrt(1 / 500)),
    "feed": ("G1 X100 F600", {}, 10 + 10 / 500),
    "slowest-axis": ("G1 X30 Z40 F6000", {}, 50 / 25 + 25 / 625),
    "rapid": ("G0 X100 Z20", {}, 100 / 50 + 50 / 500),
    "dwell": ("G1 X50 F3000\nG4 P1.5\nX100", {}, 2 * 1.1 + 1.5),
    "spindle": ("G1 X50 F3000\nM3 S18000\nX100", {}, 2 * 1.1),
    "stop": ("G1 X50 F3000\nX100", {"corners": "stop"}, 2 * 1.1),
    "circle": ("G2 X0 Y0 I2 J0 F6000", {"control": FAST}, CIRCLE),
    "circle-at-feed": ("G3 X0 Y0 I100 J0 F60", {}, 200 * np.pi),
    "corner": ("G1 X20 F3000\nY20", {"corners": "tolerance"}, ELL),
    "corner-constant": ("G1 X20 F3000\nY20", {}, 0.9),
    "corner-on-short-line": ("G1 X20 F3000\nY0.05", {"corners": "tolerance"}, TIGHT_ELL),
    "corner-on-run": (
        "G1 X20 F3000\n" + "\n".join(f"Y{0.05 * i:g}" for i in range(1, 401)),
        {"corners": "tolerance"},
        ELL,
    ),
    "corner-slow-axis": (
        "G1 X20 F3000\nX40 Y20",
        {"corners": "tolerance", "accels": (100.0, 500.0, 500.0)},
        SLOW_X_BEND,
    ),
    "turn-back": ("G1 X50 F3000\nX0", {"corners": "tolerance"}, 2 * 1.1),
    "collinear": (SHORT, {"corners": "tolerance"}, 2.1),
    "exact-stop": (f"G61.1\n{SHORT}", {}, 400 * 2 * np.sqrt(0.25 / 500)),
    "exact-path": ("G61\nG1 X10 F3000\nX20\nY20", {"corners": "tolerance"}, 2 * 0.5),
    "exact-path-slight": ("G61\nG1 X50 F3000\nX100 Y0.4", {"corners": "tolerance"}, 2.1),
    "overlap": (SHORT, {"corners": "overlap"}, 401 * np.sqrt(0.25 / 500)),
    "overlap-long": ("G1 X50 F3000\nX100 F1500", {"corners": "overlap"}, 1.1 + 2.05 - 0.05),
    "overlap-exact-path": ("G61\nG1 X50 F3000\nX100", {"corners": "overlap"}, 2 * 1.1),
    "block-rate": (SLOW, {"block_rate": 50.0}, 2 * np.sqrt(2 * 0.25 / 500) + 398 * 0.02),
    "block-rate-reached": (LONG, {"block_rate": 50.0}, 2.1),
    "block-rate-overlap": (SHORT, {"corners": "overlap", "block_rate": 40.0}, 399 * 0.025 + 2 * np.sqrt(0.25 / 500)),
    "dog-leg": ("G0 X100 Y20\nG0 X101", {"rapids": "dog-leg"}, 2.1 + 2 * np.sqrt(1 / 500)),
    "nothing": ("", {}, 0.0),
    "only-dwell": ("G4 P2", {"corners": "overlap"}, 2.0),
}


@pytest.mark.parametrize("case", CASES)
def test_takes_the_time_of_the_sum(case):
    text, changes, expected = CASES[case]
    assert seconds(text, **changes) == pytest.approx(expected, rel=CLOSE)


def test_a_steep_helix_is_bounded_by_its_rise():
    control = replace(FAST, accels=(500.0, 500.0, 50.0))
    flat, rise = 2 * np.pi * 20, 40.0
    length = np.hypot(flat, rise)
    along = 50 * length / rise
    bend = 500 * 20 * (length / flat) ** 2
    stretch = bend / along / 2 * np.arcsin(30**2 / bend)  # v2 = bend sin(2 a s / bend) reaches 30 mm/s here
    s = np.linspace(0, np.sqrt(stretch), 20001) ** 2
    v = np.sqrt(bend * np.sin(2 * along * s / bend))
    expected = 2 * (2 * np.diff(s) / (v[1:] + v[:-1])).sum() + (length - 2 * stretch) / 30
    assert seconds("G2 X0 Y0 Z40 I20 J0 F1800", control) == pytest.approx(expected, rel=CLOSE)


def test_passes_a_square_corner_at_the_speed_of_its_tolerance():
    track = trace(moves("G1 X20 F3000\nY20"), replace(CONTROL, corners="tolerance"), every=1e-4)
    near = np.linalg.norm(track.place - (20.0, 0.0, 0.0), axis=1).argmin()
    assert track.speed[near - 3] == pytest.approx(CORNER, rel=0.03)
    assert track.speed.max() == pytest.approx(50)


@pytest.mark.parametrize("corners", ["stop", "tolerance", "overlap", "constant"])
@pytest.mark.parametrize("rapids", ["straight", "dog-leg"])
def test_the_trace_ends_where_the_program_does(corners, rapids):
    text = "G0 Z5\nG0 X30 Y10\nG1 Z-1 F300\nG3 X40 Y20 Z-2 I0 J10 F1500\nG1 X10\nG4 P0.1\nX0 Y0\nG0 Z5"
    control = replace(CONTROL, corners=corners, rapids=rapids, block_rate=4.0)
    track = trace(moves(text), control)
    assert track.place[0] == pytest.approx((0, 0, 0))
    assert track.place[-1] == pytest.approx((0, 0, 5))
    assert track.time[-1] == pytest.approx(drive(moves(text), control), abs=1.1e-3)
    assert np.abs(np.gradient(track.place, track.time, axis=0)).max() <= 50 * (1 + 1e-6)


def test_no_axis_speeds_up_faster_than_it_can_where_nothing_turns_sharply():
    text = "G1 X20 F2400\nG3 X20 Y10 I0 J5\nG1 X0\nG3 X0 Y0 I0 J-5"
    track = trace(moves(text), replace(CONTROL, corners="tolerance"), every=1e-3)
    change = np.gradient(np.gradient(track.place, track.time, axis=0), track.time, axis=0)
    assert np.linalg.norm(change, axis=1)[:-3].max() <= 500 * 1.02


@pytest.mark.parametrize("corners", ["stop", "tolerance", "overlap", "constant"])
def test_smaller_steps_change_nothing(corners):
    text = "\n".join(f"G1 X{0.4 * i:g} Y{2 * np.sin(0.3 * i):.3f} F2400" for i in range(1, 100))
    for lines in (text, "G2 X20 Y0 I10 J0 F2400\nG3 X26 Y0 I3 J0\nG1 X26 Y0.3"):
        control = replace(CONTROL, corners=corners)
        assert drive(moves(lines), control) == pytest.approx(drive(moves(lines), control, 8 * STEPS), rel=2e-5)


@pytest.mark.parametrize(("name", "text"), ten_programs().items())
def test_programs_for_timing_fit_the_machine_and_the_time(name, text):
    program = read_program(text.encode(), ReadOptions(), lambda _share: None)
    assert not [problem for problem in program.problems if problem.level == "no-go"]
    (left, front, low), (right, back, high) = program.everything.low_mm, program.everything.high_mm
    assert (left, front) == (0, 0)
    assert right <= 300
    assert back <= 200
    assert high - low <= 20
    feeds = program.moves.feed_mm_min[program.moves.feeds]
    assert 600 <= feeds.min() <= feeds.max() <= 3000
    for corners in ("stop", "tolerance", "overlap", "constant"):
        control = Control(speeds=(50.0, 50.0, 20.0), accels=(400.0, 400.0, 200.0), corners=corners)
        assert 60 < drive(program.moves, control) < 300
    if name.endswith("relief"):
        assert len(program.moves) > 4000
        assert np.percentile(program.moves.length_mm, (2, 98)) == pytest.approx((0.43, 0.43), abs=0.18)

"""The planner against a control driven in small steps, which shares nothing with it but the rules."""

import math
from functools import cache

import pytest
from driven import habits
from programs_for_timing import ten_programs
from simulated import Control, drive

from cutworthy.motion.drive import Route
from cutworthy.program import ReadOptions, read_program

# What is left between the two: the steps of the one, which have to end on a ramp of the other.
CLOSE = 20e-6
PROGRAMS = ten_programs()
RULES = ("stop", "tolerance", "overlap", "constant")
SPEEDS, ACCELS = (50.0, 50.0, 20.0), (400.0, 400.0, 200.0)


@cache
def moves(name):
    return read_program(PROGRAMS[name].encode("ascii"), ReadOptions(), lambda _share: None).moves


@cache
def route(name):
    return Route(moves(name))


@pytest.mark.parametrize("block_rate", [None, 200.0])
@pytest.mark.parametrize("rapids", ["straight", "dog-leg"])
@pytest.mark.parametrize("corners", RULES)
@pytest.mark.parametrize("name", PROGRAMS)
def test_both_need_the_same_time_for_a_program(name, corners, rapids, block_rate):
    stepped = drive(
        moves(name), Control(speeds=SPEEDS, accels=ACCELS, corners=corners, block_rate=block_rate, rapids=rapids)
    )
    planned = route(name).drive(
        habits(
            speed_mm_s=SPEEDS,
            accel_mm_s2=ACCELS,
            corners=corners,
            rapids=rapids,
            block_rate_hz=block_rate or math.inf,
        )
    )
    assert planned.timeline.total_s == pytest.approx(stepped, rel=CLOSE)


@pytest.mark.parametrize("tolerance", [0.005, 0.3])
@pytest.mark.parametrize("name", PROGRAMS)
def test_both_round_corners_alike_by_any_amount_and_with_any_axes(name, tolerance):
    speeds, accels = (60.0, 35.0, 12.0), (600.0, 250.0, 120.0)
    stepped = drive(
        moves(name), Control(speeds=speeds, accels=accels, corners="tolerance", tolerance_mm=tolerance, block_rate=90.0)
    )
    planned = route(name).drive(
        habits(speed_mm_s=speeds, accel_mm_s2=accels, tolerance_mm=tolerance, block_rate_hz=90.0)
    )
    assert planned.timeline.total_s == pytest.approx(stepped, rel=CLOSE)


@pytest.mark.parametrize("name", PROGRAMS)
def test_the_rules_give_times_far_enough_apart_to_be_told(name):
    times = [
        route(name).drive(habits(speed_mm_s=SPEEDS, accel_mm_s2=ACCELS, corners=rule)).timeline.total_s
        for rule in RULES
    ]
    assert max(times) > (1 + 100 * CLOSE) * min(times)

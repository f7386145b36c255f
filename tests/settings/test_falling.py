"""Z without power: thread, weight, detent, brake, and the owner's own word."""

import math
from dataclasses import replace

import pytest

from cutworthy.settings.axis import settle_axis
from cutworthy.settings.falling import falling_acceleration_mm_s2


def falls(machine, *, estop=None, **drive):
    z = machine.axes["z"]
    changed = replace(machine, axes={**machine.axes, "z": replace(z, drive=replace(z.drive, **drive))})
    changed = replace(changed, estop=replace(changed.estop, **{"holds_z": None, **(estop or {})}))
    return settle_axis(changed, changed.axes["z"])[0].fall


def friction(quantity, value):
    return replace(quantity, value=value, low=value, high=value)


def test_a_coin_toss_is_unsure(plover):
    assert falls(plover).falls == "unsure"


def test_a_brake_holds(plover):
    assert falls(plover, brake=True).falls == "no"


def test_the_owner_has_seen_it_held(plover):
    assert falls(plover, estop={"holds_z": True}).falls == "no"
    assert falls(plover, estop={"holds_z": True, "cuts": ("spindle",)}).falls == "unsure"


def test_against_the_owners_word_arithmetic_is_not_sure(plover):
    own = plover.axes["z"].drive.friction
    assert falls(plover, friction=friction(own, 0.38)).falls == "no"
    assert falls(plover, friction=friction(own, 0.38), estop={"holds_z": False}).falls == "unsure"
    heavy = replace(plover.axes["z"].moving_mass_kg, value=40.0, low=39.0, high=41.0)
    z = replace(plover.axes["z"], moving_mass_kg=heavy)
    loaded = replace(plover, axes={**plover.axes, "z": z})
    assert falls(loaded, friction=friction(own, 0.05)).falls == "yes"
    assert falls(loaded, friction=friction(own, 0.05), estop={"holds_z": True}).falls == "unsure"


def test_a_thread_with_enough_friction_holds(plover):
    # 8 mm lead on 7 mm: 0.351387 is the friction from which it holds.
    own = plover.axes["z"].drive.friction
    assert falls(plover, friction=friction(own, 0.3514)).falls == "no"
    assert falls(plover, friction=friction(own, 0.3513)).pull_n_m.expected > 0


def test_a_counterweight_as_heavy_as_the_head_takes_the_pull_away(plover):
    weight = replace(plover.axes["z"].drive.friction, value=41.2, low=41.2, high=41.2)
    light = falls(plover, counterbalance_n=weight)
    assert light.pull_n_m.expected == 0
    assert light.pull_n_m.high < 0.005  # only where the head is heavier than was weighed


@pytest.mark.parametrize(("friction_of", "seconds"), [(0.10, 0.289483), (0.15, 0.321357)])
def test_the_time_for_50_mm(plover, friction_of, seconds):
    own = plover.axes["z"].drive.friction
    found = falls(plover, friction=friction(own, friction_of)).seconds
    assert found.expected == pytest.approx(seconds, rel=5e-6)
    assert found.low <= found.expected <= found.high


def test_a_fall_by_small_steps_takes_the_same_time():
    """The second way: Newton's law for head and rotor apart, with the screw's force between them, stepped in time."""
    torque, inertia, mass, turn, back = 0.0243, 2.8e-5, 4.2, 8.0, 0.5425
    whole = falling_acceleration_mm_s2(torque, inertia, mass, turn, back)
    # The torque is what the standing weight gives at the motor; moving, the head's inertia takes its share of it.
    radius_m = turn / 1000 / math.tau
    force_n = torque / (radius_m * back)
    place = speed = 0.0
    step = 1e-5
    seconds = 0.0
    while place < 0.05:
        # a is where the force left after accelerating the head turns the rotor just as fast.
        low, high = 0.0, 20.0
        for _ in range(60):
            a = (low + high) / 2
            turned = (force_n - mass * a) * radius_m * back / inertia * radius_m
            low, high = (a, high) if turned > a else (low, a)
        speed += a * step
        place += speed * step
        seconds += step
    assert seconds == pytest.approx(math.sqrt(2 * 50 / whole), rel=2e-4)

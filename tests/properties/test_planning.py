"""What must hold of the time that any program takes, and of the speed along it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import cycle, pairwise

import numpy as np
import numpy.typing as npt
import pytest
from driven import Place, habits, moves_of
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy.kernels import shapes
from cutworthy.model.program import Kind, ProgramMoves
from cutworthy.motion.drive import Drive, Route
from cutworthy.motion.habits import Habits

Floats = npt.NDArray[np.float64]

LOOKING_AHEAD = ("stop", "tolerance", "constant")
ROUNDING = 1 + 1e-9
CELLS = 48  # of a ramp
NODES, WEIGHTS = np.polynomial.legendre.leggauss(4)
CENTRES = ("", "IJ", "KI", "JK")  # words by the plane's code: of its first axis and its second


@dataclass(frozen=True)
class Leg:
    """A feed move; of an arc: the plane's code, the centre, and 1 for counter-clockwise."""

    start: Place
    end: Place
    feed: float
    plane: int = 0
    centre: Place = (0.0, 0.0, 0.0)
    way: int = 0

    def text(self) -> str:
        """Return the line of the program."""
        there = " ".join(f"{axis}{at:.15f}" for axis, at in zip("XYZ", self.end, strict=True))
        if not self.plane:
            return f"G1 {there} F{self.feed:.6f}"
        axes = int(shapes.FIRST[self.plane]), int(shapes.SECOND[self.plane])
        middle = " ".join(
            f"{word}{self.centre[axis] - self.start[axis]:.15f}"
            for word, axis in zip(CENTRES[self.plane], axes, strict=True)
        )
        return f"G{16 + self.plane} G{3 if self.way > 0 else 2} {there} {middle} F{self.feed:.6f}"

    def back(self) -> "Leg":
        """Return the same move from its end to its start."""
        return replace(self, start=self.end, end=self.start, way=-self.way)

    def parts(self, shares: Sequence[float]) -> "list[Leg]":
        """Return a straight move in parts."""
        places = [tuple(a + (b - a) * share for a, b in zip(self.start, self.end, strict=True)) for share in shares]
        return [replace(self, start=a, end=b) for a, b in pairwise([self.start, *places, self.end])]


def planned(legs: list[Leg]) -> Route:
    """Return the program of such moves, ready to be driven."""
    moves = moves_of("\n".join(leg.text() for leg in legs), legs[0].start)
    assert len(moves) == len(legs)
    return Route(moves)


def program(steps: list[tuple[str, float, tuple[float, ...]]]) -> list[Leg]:
    """Return moves that follow each other: lines, lines straight on, arcs, arcs that touch the line before."""
    legs: list[Leg] = []
    here, heading = (3.0, -2.0, 1.0), np.array([1.0, 0.0, 0.0])
    for kind, feed, numbers in steps:
        if kind in ("line", "on"):
            way = np.array(numbers[:3]) if kind == "line" else heading * numbers[3]
            if np.linalg.norm(way) < 0.2:
                way = np.array([0.0, 0.3, -0.1])
            leg = Leg(here, _place(np.array(here) + way), feed)
            heading = way / np.linalg.norm(way)
        else:
            leg, heading = _arc(here, heading if kind == "touching" else None, feed, numbers)
        legs.append(leg)
        here = leg.end
    return legs


def _arc(here: Place, heading: Floats | None, feed: float, numbers: tuple[float, ...]) -> tuple[Leg, Floats]:
    """Return an arc from here, which goes on as the line before headed if that is given, and how it ends."""
    radius, begin, sweep, rise, plane = numbers[4], numbers[5], numbers[6], numbers[7], int(numbers[8])
    way = 1 if sweep > 0 else -1
    first, second, across = int(shapes.FIRST[plane]), int(shapes.SECOND[plane]), int(shapes.ACROSS[plane])
    flat = 0.0 if heading is None else math.hypot(heading[first], heading[second])
    if heading is not None and flat > 0.1:
        begin = math.atan2(heading[second], heading[first]) - way * math.pi / 2
        rise = heading[across] / flat * radius * abs(sweep)
    centre, end = list(here), list(here)
    centre[first] -= radius * math.cos(begin)
    centre[second] -= radius * math.sin(begin)
    end[first] = centre[first] + radius * math.cos(begin + sweep)
    end[second] = centre[second] + radius * math.sin(begin + sweep)
    end[across] += rise
    ends = np.zeros(3)
    ends[first], ends[second] = (-way * math.sin(begin + sweep), way * math.cos(begin + sweep))
    ends[across] = rise / radius / abs(sweep)
    return Leg(here, _place(end), feed, plane, _place(centre), way), ends / np.linalg.norm(ends)


def _place(numbers: Sequence[float] | Floats) -> Place:
    x, y, z = (float(number) for number in numbers)
    return x, y, z


thousandths = st.integers(-12000, 12000).map(lambda number: number / 1000)
steps = st.tuples(
    st.sampled_from(("line", "line", "on", "arc", "touching")),
    st.sampled_from((120.0, 600.0, 1500.0, 2400.0, 6000.0)),
    st.tuples(
        thousandths,
        thousandths,
        thousandths,
        st.sampled_from((0.3, 2.0, 15.0)),
        st.sampled_from((0.2, 1.0, 4.0, 30.0)),
        st.floats(-3, 3),
        st.floats(0.1, 5.8).flatmap(lambda size: st.sampled_from((size, -size))),
        st.sampled_from((0.0, 0.0, -0.5, 5.0)),
        st.sampled_from((1, 1, 2, 3)),
    ),
)
programs = st.lists(steps, min_size=1, max_size=10).map(program)
straight = st.lists(steps.filter(lambda step: step[0] in ("line", "on")), min_size=1, max_size=10).map(program)
machines = st.builds(
    lambda speeds, accels, tolerance: habits(speed_mm_s=speeds, accel_mm_s2=accels, tolerance_mm=tolerance),
    st.tuples(*[st.sampled_from((8.0, 20.0, 50.0, 90.0))] * 3),
    st.tuples(*[st.sampled_from((60.0, 200.0, 450.0, 1500.0))] * 3),
    st.sampled_from((0.002, 0.05, 0.4)),
)
factors = st.tuples(*[st.sampled_from((1.0, 1.0, 1.01, 1.5, 4.0))] * 3)


def total_s(route: Route, machine: Habits, rule: str) -> float:
    return route.drive(replace(machine, corners=rule)).timeline.total_s


def times(numbers: Place, by: Place) -> Place:
    return _place(np.array(numbers) * by)


# More of anything.


@settings(max_examples=100, deadline=None)
@given(programs, machines, factors, factors)
def test_a_better_machine_never_takes_longer(legs: list[Leg], machine: Habits, speed: Place, accel: Place) -> None:
    better = replace(
        machine, speed_mm_s=times(machine.speed_mm_s, speed), accel_mm_s2=times(machine.accel_mm_s2, accel)
    )
    route = planned(legs)
    for rule in LOOKING_AHEAD:
        assert total_s(route, better, rule) <= total_s(route, machine, rule) * ROUNDING


@settings(max_examples=100, deadline=None)
@given(programs, machines, factors, st.sampled_from((1.01, 1.5, 4.0)))
def test_overlap_takes_no_longer_with_more_speed_or_with_all_axes_stronger_alike(
    legs: list[Leg], machine: Habits, speed: Place, accel: float
) -> None:
    route = planned(legs)
    took = total_s(route, machine, "overlap")
    quicker = replace(machine, speed_mm_s=times(machine.speed_mm_s, speed))
    assert total_s(route, quicker, "overlap") <= took * ROUNDING
    stronger = replace(machine, accel_mm_s2=times(machine.accel_mm_s2, (accel,) * 3))
    assert total_s(route, stronger, "overlap") <= took * ROUNDING


def test_overlap_may_take_longer_with_one_axis_stronger() -> None:
    """Two slow ramps of X lie over those of Y between them; the shorter Y's are, the less of X's is saved.

    By hand, ramps of 0.25 s on X, of u on Y, 0.4 s at 25 mm/s: 3 * 0.4 + 0.25 + u + 0.25 - u - u, less with longer u.
    """
    route = Route(moves_of("G1 X10 F1500\nY10\nX0"))
    for strong in (400.0, 500.0, 1000.0):
        machine = habits(accel_mm_s2=(100.0, strong, 500.0))
        assert total_s(route, machine, "overlap") == pytest.approx(1.7 - 25 / strong, rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(programs, machines)
def test_the_rules_in_order(legs: list[Leg], machine: Habits) -> None:
    route = planned(legs)
    took = [total_s(route, machine, rule) for rule in LOOKING_AHEAD]
    assert took[0] * ROUNDING >= took[1]
    assert took[1] * ROUNDING >= took[2]
    assert took[0] >= total_s(route, machine, "overlap")


@settings(max_examples=100, deadline=None)
@given(programs, machines, st.lists(st.floats(0.0001, 5.0), min_size=2, max_size=4))
def test_a_larger_tolerance_never_takes_longer(legs: list[Leg], machine: Habits, tolerances: list[float]) -> None:
    route = planned(legs)
    took = [route.drive(replace(machine, tolerance_mm=each)).timeline.total_s for each in sorted(tolerances)]
    assert all(more * ROUNDING >= less for more, less in pairwise(took))


@settings(max_examples=100, deadline=None)
@given(programs, machines)
def test_no_move_is_faster_than_its_feed(legs: list[Leg], machine: Habits) -> None:
    route = planned(legs)
    moves = moves_of("\n".join(leg.text() for leg in legs), legs[0].start)
    for rule in LOOKING_AHEAD:
        plan = route.drive(replace(machine, corners=rule))
        assert (plan.timeline.seconds * moves.feed_mm_min / 60 * ROUNDING >= moves.length_mm).all()
        assert (plan.timeline.cruise_mm_s <= moves.feed_mm_min / 60 * ROUNDING).all()


@settings(max_examples=100, deadline=None)
@given(straight, machines)
def test_with_overlap_no_line_is_faster_than_its_feed(legs: list[Leg], machine: Habits) -> None:
    seconds = planned(legs).drive(replace(machine, corners="overlap")).timeline.seconds
    feeds = np.array([leg.feed for leg in legs])
    lengths = np.array([math.dist(leg.start, leg.end) for leg in legs])
    assert (seconds * feeds / 60 * ROUNDING >= lengths).all()


# What changes nothing.


shares = st.lists(st.integers(1, 19), max_size=3, unique=True).map(lambda parts: [part / 20 for part in sorted(parts)])


@settings(max_examples=100, deadline=None)
@given(programs, machines, st.lists(shares, min_size=1, max_size=5))
def test_a_line_in_parts_takes_as_long_as_a_whole(legs: list[Leg], machine: Habits, parts: list[list[float]]) -> None:
    cut = [
        part for leg, at in zip(legs, cycle(parts), strict=False) for part in ([leg] if leg.plane else leg.parts(at))
    ]
    whole, in_parts = planned(legs), planned(cut)
    for rule in ("tolerance", "constant"):
        assert total_s(in_parts, machine, rule) == pytest.approx(total_s(whole, machine, rule), rel=1e-9)


@settings(max_examples=100, deadline=None)
@given(programs, machines)
def test_a_program_backwards_takes_as_long(legs: list[Leg], machine: Habits) -> None:
    there, back = planned(legs), planned([leg.back() for leg in reversed(legs)])
    for rule in LOOKING_AHEAD:
        assert total_s(back, machine, rule) == pytest.approx(total_s(there, machine, rule), rel=1e-9)


# No axis is asked for more than it can.


@dataclass(frozen=True)
class Ride:
    """Where the bit is at some times of one move, and the directions in which it begins and ends."""

    seconds: Floats
    place: Floats
    first: Floats
    last: Floats


def ride(moves: ProgramMoves, row: int, plan: Drive, machine: Habits) -> Ride:
    """Drive one move from its entry to its exit: as fast as its acceleration allows, up to its cruise and down.

    Straight: with A = least of acceleration / share. On an arc v2 = W sin(phi), phi growing by 2 A / W for each
    millimetre, which is what (a/A)^2 + (v2/W)^2 = 1 means; the times are integrals over the root of phi.
    """
    timeline, accel = plan.timeline, np.array(machine.accel_mm_s2)
    speeds = [float(each[row]) for each in (timeline.entry_mm_s, timeline.cruise_mm_s, timeline.exit_mm_s)]
    length = float(moves.length_mm[row])
    chord = (moves.end_mm[row] - moves.start_mm[row]) / length
    if moves.kind[row] == Kind.ARC:
        plane, turns = int(moves.plane[row]), float(moves.turns[row])
        first, second, across = (int(axes[plane]) for axes in (shapes.FIRST, shapes.SECOND, shapes.ACROSS))
        arm = moves.start_mm[row] - moves.centre_mm[row]
        radius = math.hypot(arm[first], arm[second])
        flat = 2 * math.pi * turns * radius / length
        least = min(accel[first], accel[second])
        steep = abs(chord[across])
        strength = min(least / abs(flat), accel[across] / steep if steep else math.inf)
        full = least * radius / flat**2
        angles = math.atan2(arm[second], arm[first]) + 2 * math.pi * turns * np.array([0, 1])
        ends = np.tile(chord, (2, 1))
        ends[:, first], ends[:, second] = -flat * np.sin(angles), flat * np.cos(angles)
    else:
        strength, full = float((accel / np.maximum(np.abs(chord), 1e-300)).min()), math.inf
        ends = np.array([chord, chord])
    up, down = (_ramp(low, speeds[1], strength, full) for low in (speeds[0], speeds[2]))
    level = length - up[1][-1] - down[1][-1]
    assert level >= -1e-9 * length, "it cannot be that fast"
    cruising = np.linspace(0, max(0.0, level), 12)[1:]
    seconds = [up[0], up[0][-1] + cruising / speeds[1]]
    gone = [up[1], up[1][-1] + cruising]
    seconds.append(seconds[-1][-1] + (down[0][-1] - down[0])[-2::-1])
    gone.append(length - down[1][-2::-1])
    time, way = np.concatenate(seconds), np.concatenate(gone)
    columns = (moves.start_mm, moves.end_mm, moves.centre_mm, moves.plane, moves.turns)
    share = np.clip(way / length, 0.0, 1.0)
    place = shapes.points(*(np.repeat(column[row : row + 1], len(way), axis=0) for column in columns), share)
    return Ride(time, place, ends[0], ends[1])


def _ramp(low: float, high: float, strength: float, full: float) -> tuple[Floats, Floats]:
    """Return times [s] and ways [mm] on the way from one speed to a greater one."""
    if full == math.inf:
        seconds = np.linspace(0, max(0.0, high - low) / strength, CELLS + 1)
        return seconds, (low + strength * seconds / 2) * seconds
    near, far = (math.sqrt(math.asin(min(1.0, speed**2 / full))) for speed in (low, high))
    edges = np.linspace(near, max(near, far), CELLS + 1)
    roots = (edges[1:] + edges[:-1])[:, None] / 2 + np.diff(edges)[:, None] / 2 * NODES
    slowness = roots * np.sqrt(full / np.sin(roots**2)) / strength
    seconds = np.concatenate([[0.0], np.cumsum((slowness * WEIGHTS).sum(axis=1) * np.diff(edges) / 2)])
    return seconds, full / strength / 2 * (edges**2 - near**2)


def assert_within_limits(run: list[Ride], machine: Habits) -> None:
    """Assert that no axis is over its speed or acceleration along moves between which the path does not turn.

    Divided differences of places are means of speeds and accelerations: none may be over the limit. What
    remains is the rounding of places of some 100 mm and of times, over the steps of time.
    """
    seconds, places = run[0].seconds, run[0].place
    for each in run[1:]:
        seconds = np.concatenate([seconds, seconds[-1] + each.seconds[1:]])
        places = np.concatenate([places, each.place[1:]])
    apart = np.concatenate([[True], np.diff(seconds) > 1e-7])
    seconds, places = seconds[apart], places[apart]
    step = np.diff(seconds)[:, None]
    if not len(step):
        return
    speed = np.diff(places, axis=0) / step
    assert (np.abs(speed) <= np.array(machine.speed_mm_s) * ROUNDING + 1e-13 / step).all()
    middle = (step[1:] + step[:-1]) / 2
    change = np.diff(speed, axis=0) / middle
    noise = 4e-13 / (middle * np.minimum(step[1:], step[:-1]))
    assert (np.abs(change) <= np.array(machine.accel_mm_s2) * (1 + 1e-7) + noise).all()


def rounded_mm_s2(before: Floats, after: Floats, speed: float, room: float, tolerance: float) -> Floats:
    """Return the most that each axis is asked for where a corner is rounded: v^2/r towards the middle, all the way."""
    turn = math.atan2(float(np.linalg.norm(np.cross(before, after))), float(before @ after))
    radius = tolerance * math.cos(turn / 2) / (2 * math.sin(turn / 4) ** 2)
    radius = min(radius, room / 2 / math.tan(turn / 2))
    inwards = after - before * (before @ after)
    inwards /= np.linalg.norm(inwards)
    angles = np.linspace(0, turn, 181)[:, None]
    most: Floats = np.abs(inwards * np.cos(angles) - before * np.sin(angles)).max(axis=0)
    return most * speed**2 / radius


@settings(max_examples=100, deadline=None)
@given(programs, machines, st.sampled_from(("stop", "tolerance")))
def test_no_axis_is_over_its_speed_or_acceleration(legs: list[Leg], machine: Habits, rule: str) -> None:
    machine = replace(machine, corners=rule)
    moves = moves_of("\n".join(leg.text() for leg in legs), legs[0].start)
    plan = Route(moves).drive(machine)
    timeline = plan.timeline
    rides = [ride(moves, row, plan, machine) for row in range(len(moves))]
    assert [each.seconds[-1] for each in rides] == pytest.approx(timeline.seconds, rel=1e-8)
    assert [timeline.entry_mm_s[0], timeline.exit_mm_s[-1]] == [0.0, 0.0]
    assert timeline.exit_mm_s[:-1] == pytest.approx(timeline.entry_mm_s[1:], rel=1e-12)
    if rule == "stop":
        assert not timeline.exit_mm_s.any()
        assert_within_limits(rides, machine)
        return
    turns = [float(np.linalg.norm(after.first - before.last)) for before, after in pairwise(rides)]
    goes_on = [turn < 1e-6 for turn in turns]
    bounds = [0, *(row + 1 for row, on in enumerate(goes_on) if not on), len(moves)]
    for begin, end in pairwise(bounds):
        assert_within_limits(rides[begin:end], machine)
    runs = _straight_runs(moves, goes_on)
    for row, on in enumerate(goes_on):
        speed = timeline.exit_mm_s[row]
        if not on and speed > 1e-6:
            room = min(runs[row], runs[row + 1])
            asked = rounded_mm_s2(rides[row].last, rides[row + 1].first, speed, room, machine.tolerance_mm)
            assert (asked <= np.array(machine.accel_mm_s2) * ROUNDING).all()


def _straight_runs(moves: ProgramMoves, goes_on: list[bool]) -> Floats:
    """Return how long the straight run is that each move belongs to [mm]; an arc is its own."""
    begins = [True] + [not on or Kind.ARC in moves.kind[row : row + 2] for row, on in enumerate(goes_on)]
    run = np.cumsum(begins) - 1
    lengths: Floats = np.bincount(run, weights=moves.length_mm)[run]
    return lengths

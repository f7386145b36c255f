"""The passes of the planner: plain and compiled alike to the last bit; their numbers opened one by one."""

import math
from random import Random
from typing import Any

import numba
import numpy as np
import pytest
from driven import habits, moves_of

from cutworthy.kernels import planned, planning
from cutworthy.model.program import ProgramMoves
from cutworthy.model.timeline import RULES
from cutworthy.motion import drive
from cutworthy.motion.drive import Drive, Route

COMPILED = not numba.config.DISABLE_JIT
NEVER = 1 << 60  # moves
PLOVER: dict[str, Any] = {"speed_mm_s": (50.0, 50.0, 20.0), "accel_mm_s2": (400.0, 300.0, 200.0)}
WORDS = ("G61", "G61.1", "G64", "G64", "M3 S9000", "M5", "G4 P0.3", "T2 M6", "T1 M6", "F240", "F900", "F3000", "F9000")


def wild_program(seed: int, lines: int) -> ProgramMoves:
    """Return a program of everything that the planner knows, places rounded to a thousandth as programs have them."""
    random = Random(seed)  # noqa: S311 - no secret
    x, y, z = 1.0, 1.0, 1.0
    made = ["F1200", "G0 X1 Y1 Z1"]
    for _ in range(lines):
        kind = random.choice(("G0", "G1", "G1", "G1", "arc", "arc", "circle", "on", "word"))
        dx, dy, dz = (round(random.uniform(-6, 6) * random.choice((0.05, 1, 1)), 3) for _ in range(3))
        if kind == "word":
            made.append(random.choice(WORDS))
        elif kind == "circle":
            made.append(random.choice((f"G17 G2 I{dx} J{dy}", f"G18 G3 I{dx} K{dz}", f"G19 G2 Z{z} J{dy} K{dz}")))
        elif kind == "on":
            made += (f"G1 X{x + share * dx:.6f} Y{y + share * dy:.6f}" for share in (0.25, 0.5, 1))
            x, y = round(x + dx, 6), round(y + dy, 6)
        elif kind == "arc":
            radius = random.uniform(0.51, 4) * math.hypot(dx, dy) * random.choice((-1, 1, 1))
            made.append(f"G17 G{random.choice((2, 3))} X{x + dx:.3f} Y{y + dy:.3f} Z{z + dz / 3:.3f} R{radius:.6f}")
            x, y, z = round(x + dx, 3), round(y + dy, 3), round(z + dz / 3, 3)
        else:
            made.append(f"{kind} X{x + dx:.3f} Y{y + dy:.3f}" + random.choice(("", f" Z{z:.3f}")))
            x, y = round(x + dx, 3), round(y + dy, 3)
    return moves_of("\n".join(made))


def columns(plan: Drive) -> dict[str, np.ndarray]:
    """Return all that a plan says."""
    timeline = plan.timeline
    return {
        "entry": timeline.entry_mm_s,
        "cruise": timeline.cruise_mm_s,
        "exit": timeline.exit_mm_s,
        "seconds": timeline.seconds,
        "wait": timeline.wait_s,
        "cap": plan.cap_mm_s,
        "by_arc": plan.by_arc,
        "by_rate": plan.by_rate,
        "along": plan.along_mm_s2,
    }


def both(moves: ProgramMoves, monkeypatch: pytest.MonkeyPatch) -> tuple[Route, Route]:
    """Return the moves ready for the plain passes, and for the compiled ones."""
    routes = []
    for least in (NEVER, 0):
        monkeypatch.setattr(drive, "COMPILED_MOVES", least)
        routes.append(Route(moves))
    return routes[0], routes[1]


@pytest.mark.parametrize("seed", range(8))
def test_plain_and_compiled_to_the_last_bit(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    plain, quick = both(wild_program(seed, 300 if COMPILED else 60), monkeypatch)
    for rule in RULES:
        for rapids in ("straight", "dog-leg"):
            for rate in (math.inf, 20.0):
                machine = habits(corners=rule, rapids=rapids, block_rate_hz=rate, **PLOVER)
                expected, found = columns(plain.drive(machine)), columns(quick.drive(machine))
                different = [name for name in expected if expected[name].tobytes() != found[name].tobytes()]
                assert not different


def test_a_long_program_goes_through_the_compiled_passes() -> None:
    """The short way round and the long one differ by nothing but who runs the passes."""
    short = moves_of("G1 F1200\n" + "X1 Y1\nX0 Y0.5\nX0 Y0\n" * 10)
    long = short.take(np.tile(np.arange(len(short)), drive.COMPILED_MOVES // len(short) + 1))
    machine = habits(corners="stop", **PLOVER)
    expected, found = (columns(Route(moves).drive(machine)) for moves in (short, long))
    assert len(found["seconds"]) >= drive.COMPILED_MOVES
    for name, column in expected.items():
        assert found[name][: len(short)].tobytes() == column.tobytes()


@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_each_pass_has_one_signature(monkeypatch: pytest.MonkeyPatch) -> None:
    _, quick = both(wild_program(1, 40), monkeypatch)
    for rule in RULES:
        quick.drive(habits(corners=rule, **PLOVER))
    passes = (planned.lay_out, planned.join_up, planned.plan)
    assert [len(each.signatures) for each in passes] == [1, 1, 1]
    assert all(each.targetoptions["nogil"] and not each.targetoptions.get("parallel") for each in passes)


# The numbers opened, by hand.


def laid_out(*, kind: int, end: tuple[float, ...], centre: tuple[float, ...] = (0.0,) * 3, turns: float = 0.0,
             length: float) -> tuple[float, float, float]:  # fmt: skip
    """Return the greatest w, the acceleration along the path and the W of one move from the origin, in XY."""
    cap, along, bend, turn, side = ([0.0] for _ in range(5))
    speed, accel = [50.0, 40.0, 20.0], [400.0, 300.0, 200.0]
    planning.lay_out(
        [0.0] * 3, list(end), list(centre), [kind], [1], [turns], [length], speed, accel, cap, along, bend, turn, side
    )
    return cap[0], along[0], bend[0]


def test_limits_of_a_slanting_line() -> None:
    # 3-4-5: X moves by 0.6 of the way, Y by 0.8: 50/0.6 and 40/0.8 mm/s, 400/0.6 and 300/0.8 mm/s^2.
    assert laid_out(kind=1, end=(3, 4, 0), length=5) == pytest.approx((50.0**2, 375.0, math.inf), rel=1e-12)


def test_limits_of_a_circle() -> None:
    # Y is the slower axis: W = 300 r; at 40 mm/s the circle of 10 mm is kept down by Y's speed, of 2 mm by W.
    wide = laid_out(kind=2, end=(0, 0, 0), centre=(10, 0, 0), turns=1, length=20 * math.pi)
    assert wide == pytest.approx((40.0**2, 300.0, 3000.0), rel=1e-12)
    small = laid_out(kind=2, end=(0, 0, 0), centre=(2, 0, 0), turns=1, length=4 * math.pi)
    assert small == pytest.approx((600.0, 300.0, 600.0), rel=1e-12)


def test_limits_of_a_quarter_that_never_turns_along_y() -> None:
    # From 45 to 135 degrees of a circle of 10 mm the bit goes wholly along X in the middle, along Y by 0.7071 at most.
    half = 10 * math.sqrt(0.5)
    found = laid_out(kind=2, end=(-2 * half, 0, 0), centre=(-half, -half, 0), turns=0.25, length=5 * math.pi)
    assert found == pytest.approx((50.0**2, 300.0, 3000.0), rel=1e-12)


def test_limits_of_a_helix() -> None:
    # A turn of 3 mm that rises by as much as its circle is long: flat 1/root 2, W = 300 * 3 * 2, Z rules the ramps.
    around = 6 * math.pi
    found = laid_out(kind=2, end=(0, 0, around), centre=(3, 0, 0), turns=1, length=around * math.sqrt(2))
    assert found == pytest.approx(((20 * math.sqrt(2)) ** 2, 200 * math.sqrt(2), 1800.0), rel=1e-12)


def test_limits_of_a_dwell() -> None:
    assert laid_out(kind=3, end=(0, 0, 0), length=0) == (0.0, 1.0, math.inf)


def test_side_acceleration_of_a_slanting_corner() -> None:
    """At either end of the turn both axes have 1/root 2 of it; midway, where the path runs along X, Y has all."""
    cap, along, bend, turn, side = ([0.0] * 2 for _ in range(5))
    root = math.sqrt(2)
    planning.lay_out(
        [0.0, 0.0, 0.0, 1.0, 1.0, 0.0], [1.0, 1.0, 0.0, 2.0, 0.0, 0.0], [0.0] * 6, [1, 1], [0, 0], [0.0, 0.0],
        [root, root], [50.0] * 3, [400.0, 300.0, 200.0], cap, along, bend, turn, side,
    )  # fmt: skip
    assert turn == pytest.approx([1.0, math.sin(math.pi / 4)], rel=1e-12)
    assert side[1] == pytest.approx(300.0, rel=1e-12)


def test_what_was_driven_before_changes_nothing():
    """Rooms and limits are used again; a route that has been through others drives as a fresh one."""
    moves = moves_of("\n".join(f"G1 X{x} Y{x % 3} F{900 + 100 * (x % 5)}" for x in range(1, 60)))
    one, other = (habits(corners="tolerance", **{**PLOVER, "accel_mm_s2": (a, a, a)}) for a in (200.0, 800.0))
    for often in (False, True):
        route = Route(moves, often=often)
        first = route.drive(one)
        totals = list(route.over([other, one, other, one], lambda _habits, seconds, _total: float(seconds.sum())))
        again = route.drive(one)
        for plan in (first, again, Route(moves, often=often).drive(one)):
            for name, column in columns(plan).items():
                assert np.array_equal(column, columns(first)[name]), name
        assert totals[0] == totals[2] == float(Route(moves, often=often).drive(other).timeline.seconds.sum())
        assert totals[1] == totals[3] == float(first.timeline.seconds.sum())

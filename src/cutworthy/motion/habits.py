"""One complete supposition about a machine and its control: nothing in it is open."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from cutworthy.model.machine import AXES, Machine
from cutworthy.model.quantity import Quantity
from cutworthy.model.timeline import Corners
from cutworthy.reference.tables import default

__all__ = ["Habits", "Rapids", "Side", "expected_habits", "fastest_habits", "open_keys", "slowest_habits"]

Rapids = Literal["straight", "dog-leg"]
Side = Literal["low", "value", "high"]
ASSUMED_CORNERS: Corners = "tolerance"
OTHER_SIDE: dict[Side, Side] = {"low": "high", "high": "low", "value": "value"}
UNKNOWN_WAY: dict[Side, float] = {"low": 0.0, "value": 0.5, "high": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What the plan of a program rests on.

    ``speed_mm_s``, ``accel_mm_s2``: of the axes. ``travel_mm``: likewise; of it a rapid from a place that
    nobody knows takes the share ``unknown_way``. ``spin_up_s``: what the control waits for the spindle.
    ``feed_ratio``: the feed override. ``block_rate_hz``: most lines a second.
    """

    speed_mm_s: tuple[float, float, float]
    accel_mm_s2: tuple[float, float, float]
    travel_mm: tuple[float, float, float]
    corners: Corners
    tolerance_mm: float
    block_rate_hz: float
    rapids: Rapids
    spin_up_s: float
    unknown_way: float
    feed_ratio: float = 1.0


def expected_habits(machine: Machine) -> Habits:
    """Return what the card says; where it does not know, a rounding of 0.05 mm at corners and straight rapids."""
    corners = machine.control.corners
    rapids = machine.control.rapids
    return _habits(
        machine,
        "value",
        ASSUMED_CORNERS if corners == "unknown" else corners,
        "straight" if rapids == "unknown" else rapids,
    )


def fastest_habits(machine: Machine) -> list[Habits]:
    """Return what may lead to the shortest time that the card leaves open."""
    rules: tuple[Corners, ...] = ("constant", "overlap")  # the other two only ever add to the first
    return [_habits(machine, "low", rule, rapids) for rule in _rules(machine, rules) for rapids in _rapids(machine)]


def slowest_habits(machine: Machine) -> list[Habits]:
    """Return what may lead to the longest time that the card leaves open."""
    return [
        _habits(machine, "high", rule, rapids) for rule in _rules(machine, ("stop",)) for rapids in _rapids(machine)
    ]


def open_keys(machine: Machine) -> tuple[str, ...]:
    """Return the keys of the card that are guessed or left out, and with which times may spread."""
    control, axes = machine.control, [machine.axes[axis] for axis in AXES]
    numbers = [number for axis in axes for number in (axis.speed_mm_s, axis.acceleration_mm_s2)]
    rounds = control.corners in {"tolerance", "unknown"}
    missing = {
        "control.corner_tolerance": rounds and _is_open(control.corner_tolerance_mm),
        "control.rapids": control.rapids == "unknown",
        "control.block_rate": _is_open(control.block_rate_hz),
        "spindle.spin_up": machine.spindle.switched_by != "hand" and _is_open(machine.spindle.spin_up_s),
    }
    guessed = [number.key for number in numbers if number.is_guess]
    return (*dict.fromkeys(guessed), *(key for key, is_missing in missing.items() if is_missing))


def _is_open(number: Quantity | None) -> bool:
    return number is None or number.is_guess


def _rules(machine: Machine, open_ones: tuple[Corners, ...]) -> tuple[Corners, ...]:
    corners = machine.control.corners
    return open_ones if corners == "unknown" else (corners,)


def _rapids(machine: Machine) -> tuple[Rapids, ...]:
    rapids = machine.control.rapids
    return ("straight", "dog-leg") if rapids == "unknown" else (rapids,)


def _habits(machine: Machine, side: Side, corners: Corners, rapids: Rapids) -> Habits:
    """Return the habits for a side of the time; of what makes it shorter, the other side."""
    control, fast = machine.control, OTHER_SIDE[side]
    waits = machine.spindle.switched_by == "program" or (machine.spindle.switched_by == "unknown" and side == "high")
    known = [machine.axes[axis] for axis in AXES]
    return Habits(
        speed_mm_s=_three(getattr(axis.speed_mm_s, fast) for axis in known),
        accel_mm_s2=_three(getattr(axis.acceleration_mm_s2, fast) for axis in known),
        travel_mm=_three(axis.travel_mm.value for axis in known),
        corners=corners,
        tolerance_mm=_or_default(control.corner_tolerance_mm, "corner_tolerance", fast),
        block_rate_hz=_or_default(control.block_rate_hz, "block_rate", fast),
        rapids=rapids,
        spin_up_s=_or_default(machine.spindle.spin_up_s, "spin_up", side) if waits else 0.0,
        unknown_way=UNKNOWN_WAY[side],
    )


def _or_default(quantity: Quantity | None, name: str, side: Side) -> float:
    value: float = getattr(default(name) if quantity is None else quantity, side)
    return value


def _three(values: Iterable[float]) -> tuple[float, float, float]:
    x, y, z = values
    return x, y, z

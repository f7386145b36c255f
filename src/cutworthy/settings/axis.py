"""What the parts of one axis allow, and what to enter for it."""

import math
from collections.abc import Sequence

from cutworthy.model.machine import Axis, Machine
from cutworthy.model.settings import AxisSettings, Band, CurvePoint, Push, Pushes, Speed, SprungNut, Steps, Torques
from cutworthy.reference.tables import default, limit
from cutworthy.settings import steps
from cutworthy.settings.falling import back_drives, fall
from cutworthy.settings.loads import Drawn, drawn, lift_n
from cutworthy.settings.parts import Corner, Parts, parts_of, pick
from cutworthy.settings.speeds import advised_acceleration, advised_speed
from cutworthy.settings.strength import axis_stiffness_n_mm, buckling_n, whip_rpm
from cutworthy.settings.travel import relock_mm
from cutworthy.settings.turning import entry_of, travel_per_turn

__all__ = ["curve", "settle_axis"]

CURVE_POINTS = 60
PUSH_POINTS, PUSH_REACH = 32, 1.1
CORNERS = (Corner.WORST, Corner.ENTERED, Corner.BEST)


def settle_axis(machine: Machine, axis: Axis) -> tuple[AxisSettings, Parts, dict[Corner, Drawn]]:
    """Return what the parts of an axis allow, and the parts and numbers at each corner that it was worked out from.

    Without a known travel per turn nothing that turns can be worked out, and only what is entered remains.
    """
    parts = parts_of(machine, axis)
    turn = travel_per_turn(parts.drive)
    entry = None if turn is None else entry_of(parts, turn)
    if turn is None:
        return _bare(axis, parts), parts, {}
    turn_mm = float(turn)
    at = {corner: drawn(parts, turn_mm, corner) for corner in Corner}
    own = at[Corner.ENTERED]
    lag = steps.static_lag_rad(own.load.drag_n_m, own.standing_n_m, parts.rotor_teeth)
    return (
        AxisSettings(
            axis=axis.name,
            travel_per_turn_mm=turn_mm,
            steps=entry,
            smallest_move_mm=_smallest_move(parts, entry, at),
            step_accuracy_mm=steps.step_accuracy_mm(turn_mm, parts.steps_per_turn),
            lag_mm=None if lag is None else lag / math.tau * turn_mm,
            lead_error_mm=_lead_error(axis, parts),
            speed_mm_s=advised_speed(parts, entry, at),
            acceleration_mm_s2=advised_acceleration(parts, at),
            torques=_torques(axis, at, parts.microsteps),
            pushes=_pushes(parts, at),
            whip_rpm=whip_rpm(parts),
            buckling_n=buckling_n(parts),
            efficiency=_band(at, "efficiency"),
            efficiency_back=_band(at, "efficiency_back"),
            back_drives=back_drives(parts),
            stiffness_n_mm=axis_stiffness_n_mm(parts, own),
            fall=fall(parts, own, seen_held=_seen_held(machine)),
            relock_mm=relock_mm(turn, parts.steps_per_turn),
            braking_mm=_braking_mm(axis),
            soft_limit_mm=_soft_limit_mm(axis),
            guessed=parts.guessed,
        ),
        parts,
        at,
    )


def _seen_held(machine: Machine) -> bool | None:
    """Return what the card says of Z when the emergency stop cuts the motors: held or not, None for no word."""
    stop = machine.estop
    told = stop is not None and stop.cuts is not None and "motors" in stop.cuts
    return stop.holds_z if stop is not None and told else None


def _bare(axis: Axis, parts: Parts) -> AxisSettings:
    """Return an axis of which nobody knows how far it goes for a turn: what is entered, and what needs no turn."""
    speed, acceleration = axis.speed_mm_s.value, axis.acceleration_mm_s2.value
    return AxisSettings(
        axis=axis.name,
        speed_mm_s=Speed(entered=speed, most=None, advised=None, ruled_by=None, limits={}, cautious={}, guessed=()),
        acceleration_mm_s2=Speed(
            entered=acceleration, most=None, advised=None, ruled_by=None, limits={}, cautious={}, guessed=()
        ),
        braking_mm=_braking_mm(axis),
        soft_limit_mm=_soft_limit_mm(axis),
        guessed=parts.guessed,
        whip_rpm=whip_rpm(parts),
        buckling_n=buckling_n(parts),
    )


def _smallest_move(parts: Parts, entry: Steps | None, at: dict[Corner, Drawn]) -> Band | None:
    """Return the smallest move that surely happens [mm], None without a microstep setting or where none is sure."""
    if entry is None:
        return None
    moves = [
        steps.smallest_dependable_move_mm(
            step_mm=entry.resolution_mm,
            friction_torque_n_m=at[corner].load.drag_n_m,
            detent_torque_n_m=0.0 if not parts.detent_torque.stated else pick(parts.detent_torque, "more", corner),
            peak_torque_n_m=at[corner].standing_n_m,
            rotor_teeth=parts.rotor_teeth,
            travel_per_turn_mm=at[corner].travel_per_turn_mm,
        )
        for corner in (Corner.BEST, Corner.ENTERED, Corner.WORST)
    ]
    sure = [move for move in moves if move is not None]
    return _around(sure) if len(sure) == len(moves) else None


def _lead_error(axis: Axis, parts: Parts) -> Band | None:
    """Return how far the screw or belt itself may be off over the travel [mm], by its sort."""
    if parts.drive is None:
        return None
    name = "belt" if parts.screw is None else "ball" if parts.screw.thread == "ball" else "rolled"
    row = default(f"lead_error_{name}")
    return Band(low=row.low, expected=row.value, high=row.high) * (1e-6 * axis.travel_mm.value)


def _torques(axis: Axis, at: dict[Corner, Drawn], microsteps: int | None) -> Torques:
    """Return torque and thrust, standing and at the entered speed, and what is needed."""
    own, cautious, hopeful, wary = (at[each] for each in (Corner.ENTERED, Corner.CAUTIOUS, Corner.HOPEFUL, Corner.WARY))
    pushes = [each.thrust_n(each.standing_n_m) / axis.motors for each in (cautious, own, hopeful)]
    speed = axis.speed_mm_s.value
    shares = [limit(f"running_{name}").value for name in ("low", "expected", "high")]
    left = [share * each.model_n_m(speed) for share, each in zip(shares, (cautious, own, hopeful), strict=True)]
    standing = [at[corner].standing_n_m for corner in CORNERS]
    needed = [at[corner].load.sum_n_m for corner in reversed(CORNERS)]
    resonance = steps.resonance_hz(own.standing_n_m, own.inertia_kg_m2, own.winding.rotor_teeth)
    return Torques(
        standing_n_m=_around(standing),
        at_speed_n_m=_around(left),
        needed_n_m=_around(needed),
        load=own.load,
        standing_n=_around([at[corner].thrust_n(at[corner].standing_n_m) for corner in CORNERS]),
        at_speed_n=_around([cautious.thrust_n(left[0]), own.thrust_n(left[1]), hopeful.thrust_n(left[2])]),
        push_n=_around(pushes),
        wary_ratio=shares[0] * wary.model_n_m(speed) / wary.load.sum_n_m,
        cautious_ratio=left[0] / cautious.load.sum_n_m,
        hopeful_ratio=shares[1] * hopeful.model_n_m(speed) / hopeful.load.sum_n_m,
        microstep_n_m=None if microsteps is None else steps.incremental_torque_n_m(own.standing_n_m, microsteps),
        full_torque_rpm=own.full_torque_rpm,
        resonance_hz=resonance,
        growl_mm_s=steps.growl_speeds_mm_s(resonance, own.winding.rotor_teeth, own.travel_per_turn_mm),
    )


def _pushes(parts: Parts, at: dict[Corner, Drawn]) -> Pushes:
    """Return what the axis can push with at each speed up to a little more than is entered."""
    fastest = PUSH_REACH * parts.axis.speed_mm_s.value
    speeds = tuple(fastest * step / PUSH_POINTS for step in range(PUSH_POINTS + 1))
    found = {}
    for name, corner in (("low", Corner.WARY), ("expected", Corner.ENTERED), ("high", Corner.HOPEFUL)):
        own, share = at[corner], limit(f"running_{name}").value
        found[name] = Push(
            speed_mm_s=speeds,
            torque_n_m=tuple(share * own.model_n_m(speed) for speed in speeds),
            drag_n_m=own.load.drag_n_m,
            lift_n_m=own.load.lift_n_m,
            each_n_n_m=own.torque_n_m(1.0),
            each_mm_s2_n_m=own.load.accelerate_n_m / pick(parts.axis.acceleration_mm_s2, "more", corner),
        )
    guessed = tuple(key.removeprefix(f"axes.{parts.axis.name}.") for key in parts.guessed)
    return Pushes(**found, nut=_sprung_nut(parts), guessed=guessed)


def _sprung_nut(parts: Parts) -> SprungNut | None:
    """Return the sprung nut of an axis, at the entered numbers but for its spring, which is as weak as it may be."""
    drive, own = parts.drive, Corner.ENTERED
    if drive is None or drive.nut != "sprung" or drive.spring_force_n is None:
        return None
    return SprungNut(
        spring_n=parts.axis.motors * drive.spring_force_n.low,
        drag_n=pick(parts.drag, "more", own),
        mass_kg=pick(parts.mass, "more", own),
        weight_n=lift_n(parts, own),
    )


def _around(numbers: Sequence[float]) -> Band:
    """Return a band from its worst corner, its middle and its best; of wide guesses the middle may lie outside."""
    return Band(low=min(numbers), expected=numbers[1], high=max(numbers))


def _band(at: dict[Corner, Drawn], name: str) -> Band:
    return _around([getattr(at[corner], name) for corner in CORNERS])


def _braking_mm(axis: Axis) -> float:
    """Return the way from the entered speed to rest [mm]: v^2 / 2a, uniform braking."""
    return axis.speed_mm_s.value**2 / (2 * axis.acceleration_mm_s2.value)


def _soft_limit_mm(axis: Axis) -> tuple[float, float]:
    """Return where to set soft limits [mm, machine coordinates]: a braking way inside the ends of the travel.

    Without a word on homing, from 0 upwards.
    """
    travel, room = axis.travel_mm.value, _braking_mm(axis)
    low, high = axis.range_mm or ((-travel, 0.0) if axis.homes_to == "plus" else (0.0, travel))
    middle = (low + high) / 2
    return min(low + room, middle), max(high - room, middle)


def curve(own: Drawn, fastest_mm_s: float) -> tuple[CurvePoint, ...]:
    """Return torque over speed up to a speed [mm/s], for pictures."""
    counted, need = limit("running_low").value, own.load.sum_n_m
    return tuple(
        CurvePoint(speed_mm_s=speed, model_n_m=model, counted_n_m=counted * model, needed_n_m=need)
        for step in range(CURVE_POINTS + 1)
        for speed in (fastest_mm_s * step / CURVE_POINTS,)
        for model in (own.model_n_m(speed),)
    )

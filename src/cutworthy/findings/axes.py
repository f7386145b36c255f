"""Are the numbers entered for an axis right for its parts: steps, speed, acceleration?"""

from collections.abc import Iterator

from cutworthy.findings.registry import machine_rule
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.program import Level
from cutworthy.model.settings import AxisSettings, Settled, Speed, Torques
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH, S_PER_MIN

__all__: list[str] = []

OTHER_MOTOR = "motor-of-400"  # the steps would be right for a motor of 0.9 degrees
NO_TORQUE = ("control.pulse_rate", "driver.pulse_min", "motor.detent_torque", "drive.span", "drive.ends")
SCREW_SIZES = ("drive.diameter", "drive.root_diameter", "drive.span", "drive.ends", "drive.thread")
PUSH = ("motor.holding_torque", "motor.rated_current", "driver.current", "driver.current_is", "drive.friction")
SAME = 1 + 1e-9  # a ratio this near is rounding


@machine_rule("steps-mismatch", Level.NO_GO, Level.ASK, source="arithmetic on the parts of the card")
def _steps_mismatch(settled: Settled) -> Iterator[Finding]:
    """The steps entered are not what the parts make, by a ratio that tells the likely slip."""
    for axis in settled.settings.axes.values():
        entered = settled.machine.axes[axis.axis].steps_per_mm
        if axis.steps is None and axis.travel_per_turn_mm is not None and entered is not None:
            numbers: Numbers = {"key": f"axes.{axis.axis}.driver.microsteps"}
            yield _on(axis, "steps-mismatch", Level.ASK, "microsteps-unknown", numbers)
        if axis.steps is not None and axis.steps.slip is not None:
            slip = axis.steps.slip
            numbers = _typed(settled, axis) | {
                "ratio": slip.ratio,
                "slips": " ".join(slip.ids[1:] if slip.ids[0] == "two-slips" else slip.ids),
            }
            case = {"near-but-not-equal": "near", "unnamed": "unnamed"}.get(slip.ids[0], "ratio")
            motor = settled.machine.axes[axis.axis].motor
            if OTHER_MOTOR in slip.ids and (motor is None or motor.steps_per_turn is None):
                yield _on(axis, "steps-mismatch", Level.ASK, "motor-unknown", numbers)
            else:
                yield _on(axis, "steps-mismatch", Level.NO_GO, case, numbers)


@machine_rule("entry-rounded", Level.ASK, limit_key="entry_rounded")
def _entry_rounded(settled: Settled) -> Iterator[Finding]:
    """The steps entered are rounded so far that it shows over the travel."""
    for axis in settled.settings.axes.values():
        if axis.steps and axis.steps.rounding_mm and abs(axis.steps.rounding_mm) > limit("entry_rounded").value:
            numbers: Numbers = _typed(settled, axis) | {"off_mm": abs(axis.steps.rounding_mm)}
            yield _on(axis, "entry-rounded", Level.ASK, "far" if axis.steps.rounding_mm > 0 else "short", numbers)


@machine_rule("entry-suspect", Level.ASK, source="our choice: numbers that look like another unit are asked about")
def _entry_suspect(settled: Settled) -> Iterator[Finding]:
    """A speed or an acceleration looks as if it were meant in another unit."""
    for axis in settled.settings.axes.values():
        speed, acceleration = axis.speed_mm_s.entered, axis.acceleration_mm_s2.entered
        travel, drive = settled.machine.axes[axis.axis].travel_mm.value, settled.machine.axes[axis.axis].drive
        crossing, ramp = travel / speed, speed / acceleration
        if crossing > limit("slow_crossing").value:
            numbers: Numbers = _compared(axis, axis.speed_mm_s.advised) | {"crossing_s": crossing}
            yield _on(axis, "entry-suspect", Level.ASK, "speed-slow", numbers)
        if _too_fast(axis, crossing):
            numbers = _compared(axis, axis.speed_mm_s.advised) | {"crossing_s": crossing}
            yield _on(axis, "entry-suspect", Level.ASK, "speed-fast", numbers)
        if drive is not None and drive.span_mm is not None and drive.span_mm.value < travel:
            numbers = {"value": drive.span_mm.value, "limit": travel, "unit": "mm"}
            yield _on(axis, "entry-suspect", Level.ASK, "span-short", numbers)
        if ramp > limit("slow_ramp").value:
            numbers = {
                "value": acceleration,
                "limit": speed / limit("slow_ramp").value,
                "unit": "mm/s^2",
                "ramp_s": ramp,
            }
            yield _on(axis, "entry-suspect", Level.ASK, "ramp-slow", numbers)
        if acceleration > limit("hard_ramp").value:
            numbers = {"value": acceleration, "limit": limit("hard_ramp").value, "unit": "mm/s^2"}
            yield _on(axis, "entry-suspect", Level.ASK, "ramp-hard", numbers)


@machine_rule("speed-too-high", Level.NO_GO, Level.ASK, Level.NOTE, limit_key="torque_margin")
def _speed_too_high(settled: Settled) -> Iterator[Finding]:
    """The motor has not the torque for the speed or the acceleration entered."""
    for axis in settled.settings.axes.values():
        found = _torque_case(axis)
        if found is not None:
            level, case = found
            yield _on(axis, "speed-too-high", level, case, _torque_numbers(axis))


@machine_rule("pulse-too-fast", Level.NO_GO, Level.ASK, limit_key="pulse_share")
def _pulse_too_fast(settled: Settled) -> Iterator[Finding]:
    """The speed entered needs more step pulses a second than the control sends or the driver takes."""
    for axis in settled.settings.axes.values():
        if axis.steps is None and settled.machine.axes[axis.axis].steps_per_mm is None:
            numbers = _compared(axis, None) | {"keys": "driver.microsteps"}
            yield _on(axis, "pulse-too-fast", Level.ASK, "steps-unknown", numbers)
        for name in ("pulse-rate", "driver-pulse"):
            found = _beyond(axis.speed_mm_s, name, limit("pulse_share").value)
            if found:
                level, guess = found
                case = name if level is Level.NO_GO else f"{name}-{'guessed' if guess else 'near'}"
                key = "control.pulse_rate" if name == "pulse-rate" else "driver.pulse_min"
                numbers = _compared(axis, axis.speed_mm_s.limits[name]) | {"keys": key if guess else ""}
                yield _on(axis, "pulse-too-fast", level, case, numbers)


@machine_rule("whip", Level.NO_GO, Level.ASK, limit_key="whip_share")
def _whip(settled: Settled) -> Iterator[Finding]:
    """The screw turns so fast at the speed entered that it may whip like a skipping rope."""
    for axis in settled.settings.axes.values():
        found = _beyond(axis.speed_mm_s, "whip", limit("whip_room").value)
        if found and axis.whip_rpm is not None:
            level, guess = found
            case = "beyond" if level is Level.NO_GO else "guessed" if guess else "little-room"
            numbers = _compared(axis, axis.speed_mm_s.limits["whip"]) | {"keys": _open(axis, SCREW_SIZES)}
            yield _on(axis, "whip", level, case, numbers)


@machine_rule("buckling", Level.NO_GO, Level.ASK, limit_key="buckling_margin")
def _buckling(settled: Settled) -> Iterator[Finding]:
    """The motor can push harder than the screw bears before it bows."""
    for axis in settled.settings.axes.values():
        if axis.buckling_n is None or axis.torques is None:
            continue
        push = axis.torques.push_n  # two motors push on a screw each
        numbers: Numbers = {
            "value": push.expected,
            "limit": axis.buckling_n.expected,
            "unit": "N",
            "keys": _open(axis, PUSH + SCREW_SIZES),
        }
        if push.low > axis.buckling_n.high:
            yield _on(axis, "buckling", Level.NO_GO, "beyond", numbers)
        elif push.high * limit("buckling_margin").value > axis.buckling_n.low:
            guess = push.low < push.high or axis.buckling_n.low < axis.buckling_n.expected
            yield _on(axis, "buckling", Level.ASK, "guessed" if guess and numbers["keys"] else "near", numbers)


def _too_fast(axis: AxisSettings, crossing_s: float) -> bool:
    """Return whether a speed is so great that another unit was meant."""
    entered, guessed = axis.speed_mm_s.entered, axis.speed_mm_s.guessed
    past = None if "full-torque" in guessed else axis.speed_mm_s.limits.get("full-torque")
    far = past is not None and entered > limit("fast_past_full").value * past
    return far or entered > limit("fast_speed").value or crossing_s < limit("fast_crossing").value


def _on(axis: AxisSettings, rule_id: str, level: Level, case: str, numbers: Numbers) -> Finding:
    return Finding(id=rule_id, level=level, case=case, about=axis.axis, numbers=numbers)


def _typed(settled: Settled, axis: AxisSettings) -> dict[str, float | str | None]:
    """Return steps as entered and as the parts make them, in the unit that they were entered in."""
    entered, steps = settled.machine.axes[axis.axis].steps_per_mm, axis.steps
    assert entered is not None
    assert steps is not None
    if entered.key.endswith("steps_per_inch"):
        return {"value": entered.value * MM_PER_INCH, "limit": float(steps.per_inch), "unit": "steps/inch"}
    return {"value": entered.value, "limit": float(steps.per_mm), "unit": "steps/mm"}


def _open(axis: AxisSettings, wanted: tuple[str, ...]) -> str:
    """Return which of these keys are not on the card."""
    keys = [key.removeprefix(f"axes.{axis.axis}.") for key in axis.guessed]
    return ", ".join(key for key in keys if key in wanted)


def _compared(axis: AxisSettings, limit_mm_s: float | None) -> dict[str, float | str | None]:
    """Return the speed entered and a limit of it, and the most that may be entered by all limits."""
    most = axis.speed_mm_s.most
    return {
        "value": axis.speed_mm_s.entered * S_PER_MIN,
        "limit": None if limit_mm_s is None else limit_mm_s * S_PER_MIN,
        "unit": "mm/min",
        "most_mm_min": None if most is None else most * S_PER_MIN,
    }


def _torque_case(axis: AxisSettings) -> tuple[Level, str] | None:
    torques, speed = axis.torques, axis.speed_mm_s
    if torques is None:
        return Level.ASK, "turn-unknown"
    if torques.wary_ratio >= limit("torque_margin").value:
        past = speed.limits["full-torque"]
        return (Level.NOTE, "past-full") if past is not None and speed.entered > past else None
    if _rests_on_guesses(torques):
        return Level.ASK, "guessed"
    if torques.hopeful_ratio < limit("torque_needed").value:
        return Level.NO_GO, _culprit(axis, torques)
    bound = speed.limits["torque"]
    if bound is None or speed.entered <= bound:
        return Level.ASK, "margin-guess"
    return Level.ASK, "margin" if bound else "margin-load"


def _beyond(speed: Speed, name: str, room: float) -> tuple[Level, bool] | None:
    """Return the level at which a speed is beyond a limit or its margin, and whether only our guess says so.

    A guess never refuses: where the limit rests on one, its worse end only asks.
    """
    bound, cautious = speed.limits.get(name), speed.cautious.get(name)
    if bound is None or cautious is None:
        return None
    guess = name in speed.guessed
    if speed.entered > bound and not guess:
        return Level.NO_GO, False
    if speed.entered > room * cautious:
        return Level.ASK, guess
    return None


def _rests_on_guesses(torques: Torques) -> bool:
    """Return whether the torque depends on our guesses: without them the two ratios are those of the two shares."""
    shares = limit("running_expected").value / limit("running_low").value
    return torques.hopeful_ratio > torques.cautious_ratio * shares * SAME


def _culprit(axis: AxisSettings, torques: Torques) -> str:
    """Return what asks too much: the acceleration, when the motor could not do it standing still, or the speed."""
    standing = limit("running_expected").value * torques.standing_n_m.expected
    if standing < torques.load.sum_n_m:
        return "acceleration" if torques.load.accelerate_n_m > torques.load.sum_n_m / 2 else "load"
    return "per-second" if _fits_per_minute(axis) else "speed"


def _fits_per_minute(axis: AxisSettings) -> bool:
    """Return whether the speed is out of reach, and would fit if it had been meant for a minute, not a second."""
    entered, advised = axis.speed_mm_s.entered, axis.speed_mm_s.advised
    return advised is not None and entered > limit("fast_speed").value and entered / S_PER_MIN <= advised


def _torque_numbers(axis: AxisSettings) -> Numbers:
    numbers, torques = _compared(axis, axis.speed_mm_s.limits.get("full-torque")), axis.torques
    if torques is None:
        return numbers
    keys = [key.removeprefix(f"axes.{axis.axis}.") for key in axis.guessed]
    named = [key for key in keys if key not in NO_TORQUE]
    return numbers | {
        "has_n_m": torques.at_speed_n_m.low,
        "needs_n_m": torques.needed_n_m.expected,
        "ratio": torques.wary_ratio,
        "acceleration_mm_s2": axis.acceleration_mm_s2.entered,
        "keys": ", ".join(named),
    }

"""Are the numbers entered for an axis right for its parts: steps, speed, acceleration?"""

from collections.abc import Iterator

from cutworthy.findings.registry import machine_rule
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.program import Level
from cutworthy.model.settings import AxisSettings, Settled, Speed, Torques
from cutworthy.reference.tables import limit

__all__: list[str] = []

SECONDS = 60.0  # in a minute
GUESSES_NAMED = 3
SAME = 1 + 1e-9  # a ratio this near is rounding


@machine_rule("steps-mismatch", Level.NO_GO, Level.ASK, source="arithmetic on the parts of the card")
def _steps_mismatch(settled: Settled) -> Iterator[Finding]:
    """The steps entered are not what the parts make, by a ratio that tells the likely slip."""
    for axis in settled.settings.axes.values():
        entered = settled.machine.axes[axis.axis].steps_per_mm
        if axis.steps is None and axis.travel_per_turn_mm is not None and entered is not None:
            numbers: Numbers = {
                "value": entered.value,
                "unit": "steps/mm",
                "key": f"axes.{axis.axis}.driver.microsteps",
            }
            yield _on(axis, "steps-mismatch", Level.ASK, "microsteps-unknown", numbers)
        if axis.steps is not None and axis.steps.slip is not None:
            slip = axis.steps.slip
            numbers = {
                "value": axis.steps.entered_per_mm,
                "limit": float(axis.steps.per_mm),
                "unit": "steps/mm",
                "ratio": slip.ratio,
                "slips": " ".join(slip.ids[1:] if slip.ids[0] == "two-slips" else slip.ids),
            }
            case = {"near-but-not-equal": "near", "unnamed": "unnamed"}.get(slip.ids[0], "ratio")
            yield _on(axis, "steps-mismatch", Level.NO_GO, case, numbers)


@machine_rule("entry-rounded", Level.ASK, limit_key="entry_rounded")
def _entry_rounded(settled: Settled) -> Iterator[Finding]:
    """The steps entered are rounded so far that it shows over the travel."""
    for axis in settled.settings.axes.values():
        if axis.steps and axis.steps.rounding_mm and abs(axis.steps.rounding_mm) > limit("entry_rounded").value:
            numbers: Numbers = {
                "value": axis.steps.rounding_mm,
                "limit": limit("entry_rounded").value,
                "unit": "mm",
                "entered_per_mm": axis.steps.entered_per_mm,
                "exact_per_mm": float(axis.steps.per_mm),
            }
            yield _on(axis, "entry-rounded", Level.ASK, "far" if axis.steps.rounding_mm > 0 else "short", numbers)


@machine_rule("entry-suspect", Level.ASK, source="our choice: numbers that look like another unit are asked about")
def _entry_suspect(settled: Settled) -> Iterator[Finding]:
    """A speed or an acceleration looks as if it were meant in another unit."""
    for axis in settled.settings.axes.values():
        speed, acceleration = axis.speed_mm_s.entered, axis.acceleration_mm_s2.entered
        crossing, ramp = settled.machine.axes[axis.axis].travel_mm.value / speed, speed / acceleration
        if crossing > limit("slow_crossing").value:
            numbers: Numbers = _compared(speed, axis.speed_mm_s.advised) | {"crossing_s": crossing}
            yield _on(axis, "entry-suspect", Level.ASK, "speed-slow", numbers)
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


@machine_rule("speed-too-high", Level.NO_GO, Level.ASK, limit_key="torque_margin")
def _speed_too_high(settled: Settled) -> Iterator[Finding]:
    """The motor has not the torque for the speed or the acceleration entered."""
    for axis in settled.settings.axes.values():
        torques = axis.torques
        if torques is None:
            key = f"axes.{axis.axis}.drive"
            yield _on(
                axis,
                "speed-too-high",
                Level.ASK,
                "turn-unknown",
                _compared(axis.speed_mm_s.entered, None) | {"key": key},
            )
        elif torques.cautious_ratio < limit("torque_margin").value:
            sure = not _rests_on_guesses(torques)
            if sure and torques.hopeful_ratio < limit("torque_needed").value:
                yield _on(axis, "speed-too-high", Level.NO_GO, _culprit(axis, torques), _torque_numbers(axis, torques))
            else:
                case = "margin" if sure else "guessed"
                yield _on(axis, "speed-too-high", Level.ASK, case, _torque_numbers(axis, torques))


@machine_rule("pulse-too-fast", Level.NO_GO, Level.ASK, limit_key="pulse_share")
def _pulse_too_fast(settled: Settled) -> Iterator[Finding]:
    """The speed entered needs more step pulses a second than the control sends or the driver takes."""
    for axis in settled.settings.axes.values():
        for name in ("pulse-rate", "driver-pulse"):
            found = _beyond(axis.speed_mm_s, name, limit("pulse_share").value)
            if found:
                level, guess = found
                case = name if level is Level.NO_GO else f"{name}-{'guessed' if guess else 'near'}"
                numbers = _compared(axis.speed_mm_s.entered, axis.speed_mm_s.limits[name])
                yield _on(axis, "pulse-too-fast", level, case, numbers)


@machine_rule("whip", Level.NO_GO, Level.ASK, limit_key="whip_share")
def _whip(settled: Settled) -> Iterator[Finding]:
    """The screw turns so fast at the speed entered that it may whip like a skipping rope."""
    for axis in settled.settings.axes.values():
        found = _beyond(axis.speed_mm_s, "whip", limit("whip_room").value)
        if found and axis.whip_rpm is not None:
            level, guess = found
            case = "beyond" if level is Level.NO_GO else "guessed" if guess else "little-room"
            numbers = _compared(axis.speed_mm_s.entered, axis.speed_mm_s.limits["whip"])
            yield _on(axis, "whip", level, case, numbers | {"critical_rpm": axis.whip_rpm.expected})


@machine_rule("buckling", Level.NO_GO, Level.ASK, limit_key="buckling_margin")
def _buckling(settled: Settled) -> Iterator[Finding]:
    """The motor can push harder than the screw bears before it bows."""
    for axis in settled.settings.axes.values():
        if axis.buckling_n is None or axis.torques is None:
            continue
        # Two motors push on a screw each.
        thrust = axis.torques.standing_n.expected / settled.machine.axes[axis.axis].motors
        numbers: Numbers = {"value": thrust, "limit": axis.buckling_n.expected, "unit": "N"}
        if thrust > axis.buckling_n.high:
            yield _on(axis, "buckling", Level.NO_GO, "beyond", numbers)
        elif thrust * limit("buckling_margin").value > axis.buckling_n.low:
            guess = axis.buckling_n.low < axis.buckling_n.expected
            yield _on(axis, "buckling", Level.ASK, "guessed" if guess else "near", numbers)


def _on(axis: AxisSettings, rule_id: str, level: Level, case: str, numbers: Numbers) -> Finding:
    return Finding(id=rule_id, level=level, case=case, about=axis.axis, numbers=numbers)


def _compared(speed_mm_s: float, limit_mm_s: float | None) -> dict[str, float | str | None]:
    return {
        "value": speed_mm_s * SECONDS,
        "limit": None if limit_mm_s is None else limit_mm_s * SECONDS,
        "unit": "mm/min",
    }


def _beyond(speed: Speed, name: str, room: float) -> tuple[Level, bool] | None:
    """Return the level at which a speed is beyond a limit or its margin, and whether only our guess says so.

    A guess never refuses: where the limit rests on one, its worse end only asks.
    """
    bound, cautious = speed.limits.get(name), speed.cautious.get(name)
    if bound is None or cautious is None:
        return None
    guess = cautious < bound
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
    return advised is not None and entered > limit("fast_speed").value and entered / SECONDS <= advised


def _torque_numbers(axis: AxisSettings, torques: Torques) -> Numbers:
    advised = axis.speed_mm_s.limits.get("torque")
    return _compared(axis.speed_mm_s.entered, advised) | {
        "has_n_m": torques.at_speed_n_m.low,
        "needs_n_m": torques.needed_n_m.expected,
        "ratio": torques.cautious_ratio,
        "acceleration_mm_s2": axis.acceleration_mm_s2.entered,
        "guessed": ", ".join(key.removeprefix(f"axes.{axis.axis}.") for key in axis.guessed[:GUESSES_NAMED]),
    }

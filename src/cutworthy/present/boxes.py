"""The boxes that a builder fills in for an axis, each with the arithmetic behind it."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutworthy.model.machine import Axis, Drive
from cutworthy.model.settings import AxisSettings, Speed
from cutworthy.present.sums import (
    INCH_MM,
    MOST,
    PI,
    Both,
    By,
    Shown,
    Sum,
    Term,
    digits,
    exact,
    floor_digits,
    is_short,
    reckon,
)
from cutworthy.present.touch import Touch, label_unknown, rests_on, touches, words

__all__ = ["Box", "boxes", "steps_per_turn", "turn_line"]

TAKEN_STEPS = 200  # of a motor whose label nobody has read
MINUTE = 60
ALL_DIGITS = "type every digit that the box takes"
PLACES = {"mm": 1000, "inch": 10_000}  # parts of a unit that a soft limit is typed in
CLOSE = 99  # percent, from which on a digit more is told
SAME = 1e-6  # of a number on the card: less is no other number


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box: what to type, the sums behind it, the limit that decides, and what is odd about the card's number.

    ``sums``: lines of arithmetic in the order in which they are done. ``enter``: None where it is not
    known; then ``unknown`` says what to do, and otherwise it is empty, like ``note`` where nothing is odd.
    """

    touch: Touch
    enter: Both | None
    unknown: str
    sums: tuple[str, ...]
    decides: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Advice:
    """A number to type in the machine's unit, what decides it, and what is odd about the card's.

    ``value``: None where whatever is typed would be too much.
    """

    value: Fraction | None
    decides: str
    note: str


def boxes(axis: Axis, settings: AxisSettings, shown: Shown) -> tuple[Box, ...]:
    """Return the boxes of an axis: steps, speed, acceleration, soft limits."""
    steps = _steps(axis, settings, shown)
    speed = _advice(axis, settings, settings.speed_mm_s, MINUTE, shown, f"{shown.unit}/min")
    acceleration = _advice(axis, settings, settings.acceleration_mm_s2, 1, shown, f"{shown.unit}/s²")
    return (
        steps,
        _speed(settings, shown, steps, speed),
        _acceleration(shown, speed.value, acceleration),
        _soft_limits(axis, shown, speed.value, acceleration.value),
    )


def steps_per_turn(axis: Axis) -> int:
    """Return the full steps of a motor in a turn, as everything here counts them."""
    return (axis.motor and axis.motor.steps_per_turn) or TAKEN_STEPS


def turn_line(drive: Drive | None, settings: AxisSettings, shown: Shown) -> str:
    """Return how far a turn of the motor carries the axis, as a sum."""
    if drive is None or settings.travel_per_turn_mm is None:
        return str(words()["unknown"]["turn"])
    terms, unit = _parts(drive, shown)
    if len(terms) == 1:
        return f"{terms[0].text} a turn"
    return reckon(terms, _in(settings.travel_per_turn_mm, unit), f"{unit} a turn").line


def _in(length_mm: float, unit: str) -> Fraction:
    return exact(length_mm) if unit == "mm" else exact(length_mm / float(INCH_MM))


def _parts(drive: Drive, shown: Shown) -> tuple[list[Term], str]:
    """Return the numbers that make a turn, and the unit in which they are short, the machine's if it is one."""
    length = next(each for each in _lengths(drive) if each is not None)
    unit = next((unit for unit in (shown.unit, shown.other) if is_short(_in(length, unit))), shown.unit)
    name = "pitch" if drive.kind == "screw" else "a tooth"
    if drive.kind == "screw" and (drive.pitch_mm is None or drive.starts is None):
        name = "lead"
    terms = [Term(_in(length, unit), f"{unit} {name}")]
    if drive.kind == "screw" and name == "pitch":
        assert drive.starts is not None
        terms.append(Term(drive.starts, "starts" if drive.starts > 1 else "start"))
    if drive.kind != "screw":
        assert drive.teeth is not None
        terms.append(Term(drive.teeth, "teeth"))
    if drive.kind == "rack" and drive.tooth_pitch_mm is None:
        terms = [Term(_in(length, unit), f"{unit} module"), Term(PI, ""), *terms[1:]]
    if drive.reduction.value != 1:
        terms.append(Term(exact(drive.reduction.value), "reduction", By.OVER))
    return terms, unit


def _lengths(drive: Drive) -> tuple[float | None, ...]:
    pitch = drive.pitch_mm if drive.starts is not None else None
    numbers = (pitch, drive.lead_mm) if drive.kind == "screw" else (drive.tooth_pitch_mm, drive.module_mm)
    return tuple(None if number is None else number.value for number in numbers)


def _steps(axis: Axis, settings: AxisSettings, shown: Shown) -> Box:
    """Return the box of the steps: full steps by microsteps by what a turn carries."""
    steps, drive = settings.steps, axis.drive
    if steps is None or drive is None or settings.travel_per_turn_mm is None or axis.driver is None:
        key = "turn" if settings.travel_per_turn_mm is None else "microsteps"
        return _box("steps", None, unknown=words()["unknown"][key])
    assert axis.driver.microsteps is not None
    terms, unit = _parts(drive, shown)
    turn = _in(settings.travel_per_turn_mm, unit)
    through = [Term(turn, f"{unit} a turn", By.OVER)] if is_short(turn) else [_turned(term) for term in terms]
    per = {"mm": steps.per_mm, "in": steps.per_inch}
    first = [Term(steps_per_turn(axis), "steps"), Term(axis.driver.microsteps, "microsteps"), *through]
    counted = reckon(first, per[unit], _per(unit))
    other = "in" if unit == "mm" else "mm"
    by = Term(INCH_MM, by=By.TIMES if unit == "mm" else By.OVER)
    carried = reckon([Term(_number(counted)), by], per[other], _per(other).removeprefix("steps "))
    told = {unit: counted, other: carried}
    own, others = (f"{told[each].result} {_per(each)}" for each in (shown.unit, shown.other))
    taken = "" if axis.motor and axis.motor.steps_per_turn else f"{TAKEN_STEPS} steps a turn are taken, not read"
    note = "; ".join(each for each in (_entered(settings, shown), taken) if each)
    return _box("steps", Both(own, others), sums=(counted.line, carried.line), decides=ALL_DIGITS, note=note)


def _turned(term: Term) -> Term:
    """Return a number of the turn as it stands in the steps, which are divided by the turn."""
    return Term(term.value, term.words, By.TIMES if term.by is By.OVER else By.OVER)


def _number(sum_: Sum) -> Fraction:
    return Fraction(sum_.result)


def _per(unit: str) -> str:
    return "steps per mm" if unit == "mm" else "steps per inch"


def _entered(settings: AxisSettings, shown: Shown) -> str:
    """Return what is odd about the steps on the card."""
    steps = settings.steps
    if steps is None or steps.entered_per_mm is None:
        return ""
    entered = steps.entered_per_mm * (1 if shown.units == "mm" else float(INCH_MM))
    says = f"the card says {digits(entered, 10)}"
    if steps.slip is not None:
        return f"{says}: it would go {digits(steps.slip.ratio, 3)} times as far"
    if steps.rounding_mm:
        way = "too far" if steps.rounding_mm > 0 else "short"
        return f"{says}: {shown.length(abs(steps.rounding_mm), 3).text} {way} over the whole travel"
    return ""


def _speed(settings: AxisSettings, shown: Shown, steps: Box, advice: _Advice) -> Box:
    """Return the box of the speed; where the card's is too fast, the fastest that may be entered."""
    value, unit = advice.value, f"{shown.unit}/min"
    if value is None:
        return _box("speed", None, unknown=words()["limits"]["nothing"], decides=advice.decides)
    sums = [shown.convert(value, "{}/min").line]
    if steps.enter is not None and settings.steps is not None:
        per = exact(float(steps.enter.first.split(" ", 1)[0]))
        pulses = [Term(value), Term(per, "steps"), Term(MINUTE, by=By.OVER)]
        sums.insert(0, reckon(pulses, value * per / MINUTE, "pulses/s", 5).line)
    enter = Both(f"{digits(value, 7)} {unit}", f"{_result(sums[-1])} {shown.other}/min")
    return _box("speed", enter, sums=sums, decides=advice.decides, note=advice.note)


def _acceleration(shown: Shown, speed: Fraction | None, advice: _Advice) -> Box:
    """Return the box of the acceleration, with what it means in seconds, and by the minute."""
    value, unit = advice.value, f"{shown.unit}/s²"
    if value is None or speed is None:
        return _box("acceleration", None, unknown=words()["limits"]["nothing"], decides=advice.decides)
    ramp = reckon(
        [Term(speed), Term(MINUTE, by=By.OVER), Term(value, by=By.OVER)], speed / MINUTE / value, "s to full speed", 4
    )
    minutes = reckon([Term(value), Term(MINUTE), Term(MINUTE)], value * MINUTE**2, f"{shown.unit}/min²")
    converted = shown.convert(value, "{}/s²")
    enter = Both(f"{digits(value, 7)} {unit}", f"{converted.result} {shown.other}/s²")
    sums = (ramp.line, converted.line, minutes.line)
    return _box("acceleration", enter, sums=sums, decides=advice.decides, note=advice.note)


def _advice(axis: Axis, settings: AxisSettings, asked: Speed, times: int, shown: Shown, unit: str) -> _Advice:
    """Return the card's number, or where it is too much the most that may be entered."""
    entered = shown.own(asked.entered * times)
    guess = axis.speed_mm_s if times == MINUTE else axis.acceleration_mm_s2
    mine = "a guess on the card" if guess.is_guess else ""
    if asked.advised is None or asked.ruled_by is None:
        return _Advice(value=entered, decides=str(words()["unknown"]["turn"]), note=mine)
    torques, ramp = settings.torques, settings.acceleration_mm_s2
    if asked is settings.speed_mm_s and not asked.most and ramp.most and ramp.entered > ramp.most:
        # The speed itself is possible: how far down the acceleration must go was worked out at this speed.
        return _Advice(value=entered, decides=str(words()["limits"]["lowered"]), note=mine)
    if not asked.most and torques is not None and torques.hopeful_ratio < 1:
        return _Advice(value=None, decides=str(words()["limits"]["refused"]), note="")
    row = words()["limits"][asked.ruled_by]
    guessed = rests_on(settings, row["needs"])
    rests = f"; rests on guesses: {', '.join(guessed)}" if guessed else ""
    decides = str(words()["unknown"]["label"]) if label_unknown(settings) else f"{row['says']}{rests}"
    if asked.most and asked.entered > asked.most * (1 + SAME):
        told = asked.most if asked is settings.speed_mm_s else min(asked.most, asked.advised)
        fastest = Fraction(floor_digits(shown.own(told * times), 3))
        return _Advice(value=fastest, decides=decides, note=f"the card says {digits(entered, 7)}: too much")
    most_text = floor_digits(shown.own(asked.advised * times), 3)
    if label_unknown(settings):
        near = ""
    elif not Fraction(most_text):
        near = f": {words()['limits']['none']}"
    elif entered > Fraction(most_text):
        near = f": {digits(entered, 7)} is beyond {most_text} {unit}"
    else:
        share = entered * 100 / Fraction(most_text)
        near = f": {digits(entered, 7)} is {digits(share, 2 if share < CLOSE else 3)} % of {most_text} {unit}"
    return _Advice(
        value=entered, decides=decides.replace(rests, f"{near}{rests}") if rests else f"{decides}{near}", note=mine
    )


def _soft_limits(axis: Axis, shown: Shown, speed: Fraction | None, rate: Fraction | None) -> Box:
    """Return the box of the soft limits: the ends of the travel, less the way to brake, a hair rounded up."""
    homeless = words()["homing"].get(axis.homes_to, "")
    if homeless and axis.range_mm is None:
        return _box("soft-limits", None, unknown=str(homeless))
    if speed is None or rate is None:
        return _box("soft-limits", None, unknown=words()["limits"]["nothing"])
    unit, place = shown.unit, PLACES[shown.units]
    braking = speed * speed / MINUTE / MINUTE / 2 / rate
    brake = Fraction(ceil(braking * place), place)
    terms = [Term(speed), Term(speed), Term(MINUTE * MINUTE * 2, by=By.OVER), Term(rate, by=By.OVER)]
    say = "" if brake == braking else f", say {digits(brake, MOST)}"
    way = reckon(terms, braking, f"{unit} to brake{say}", 5)
    low, high = (shown.own(end) for end in _ends(axis))
    if 2 * brake >= high - low:
        note = "the way to brake does not fit twice into the travel: lower the speed"
        return _box("soft-limits", None, unknown="none that help", sums=(way.line,), note=note)
    inner = [
        reckon([Term(low), Term(brake, by=By.PLUS)], low + brake, unit),
        reckon([Term(high), Term(brake, by=By.MINUS)], high - brake, unit),
    ]
    others = [shown.convert(end, "{}") for end in (low + brake, high - brake)]
    enter = Both(*(_span(ends, name) for ends, name in ((inner, unit), (others, shown.other))))
    sums = [each.line for each in (way, *inner, *others)]
    return _box("soft-limits", enter, sums=sums, decides="the way to brake decides")


def _span(ends: Sequence[Sum], unit: str) -> str:
    return f"{ends[0].result} to {ends[1].result} {unit}"


def _ends(axis: Axis) -> tuple[float, float]:
    """Return the ends of the travel in machine coordinates; without a word on homing from 0 upwards."""
    travel = axis.travel_mm.value
    return axis.range_mm or ((-travel, 0.0) if axis.homes_to == "plus" else (0.0, travel))


def _result(line: str) -> str:
    """Return the result of a line of arithmetic."""
    return line.rsplit(" = ", 1)[1].split(" ", 1)[0]


def _box(
    key: str,
    enter: Both | None,
    *,
    unknown: str = "",
    sums: Sequence[str] = (),
    decides: str = "",
    note: str = "",
) -> Box:
    return Box(touch=touches()[key], enter=enter, unknown=unknown, sums=tuple(sums), decides=decides, note=note)

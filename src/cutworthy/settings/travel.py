"""Travel for a turn of the motor, steps for a millimetre or an inch, and what follows: in exact arithmetic.

A ``Fraction`` is exact. A ``float`` comes out only where pi is in the number, behind a rack by its module.
"""

import math
from fractions import Fraction

__all__ = [
    "Number",
    "belt_travel_mm",
    "exact",
    "motor_rpm",
    "pulse_cap_mm_s",
    "pulse_limit_hz",
    "pulse_rate_hz",
    "rack_travel_mm",
    "relock_mm",
    "resolution_mm",
    "rounding_error_mm",
    "scale_error",
    "screw_travel_mm",
    "steps_per_inch",
    "steps_per_mm",
]

Number = Fraction | float

INCH_MM = Fraction("25.4")
CYCLE_STEPS = 4  # full steps to a turn of the field

MEANT_DIGITS = 12
LARGEST_DENOMINATOR = 1000
LAST_BITS = 4  # as far off as a few multiplications leave a number


def exact(value: Number) -> Fraction:
    """Return the short decimal or simple fraction that a binary number stands for.

    Source: our choice. Within four units of the last place of ``value``: the decimal of at most 12
    digits, as 5.08 for 0.2 in and 4.7625 for 3/16 in; else the fraction with a denominator of at most
    1000, as 10/3, and 16000/127 for 3200 to the inch. Where neither lies so near, as for a multiple of
    pi, the decimal of 12 digits all the same, off by at most 5e-12 of the value.

    Parameters
    ----------
    value
        Any finite number, in any unit [-]. A fraction is returned as it is.

    Raises
    ------
    ValueError
        When the number is not finite.

    Examples
    --------
    >>> exact(0.2 * 25.4)
    Fraction(127, 25)
    """
    if isinstance(value, Fraction):
        return value
    if not math.isfinite(value):
        message = f"{value} is not finite"
        raise ValueError(message)
    binary = Fraction(value)
    off = LAST_BITS * Fraction(math.ulp(value))
    decimal = Fraction(f"{value:.{MEANT_DIGITS}g}")
    if abs(decimal - binary) <= off:
        return decimal
    simple = binary.limit_denominator(LARGEST_DENOMINATOR)
    return simple if abs(simple - binary) <= off else decimal


def screw_travel_mm(lead_mm: Number, reduction: Number = 1) -> Fraction:
    """Return the travel for a turn of the motor [mm] behind a screw.

    Source: definition of the lead (pitch times starts).

    Parameters
    ----------
    lead_mm
        Travel for a turn of the screw [mm], positive.
    reduction
        Motor turns for a turn of the screw [-], positive.
    """
    return exact(lead_mm) / exact(reduction)


def belt_travel_mm(tooth_pitch_mm: Number, teeth: int, reduction: Number = 1) -> Fraction:
    """Return the travel for a turn of the motor [mm] behind a toothed belt, or a rack by its tooth pitch.

    Source: [@iso-5296]; a pulley moves the belt by its teeth, whatever its outside diameter.

    Parameters
    ----------
    tooth_pitch_mm
        From tooth to tooth along the belt [mm], positive.
    teeth
        Teeth of the pulley that drives the belt [-], positive.
    reduction
        Motor turns for a turn of the pulley [-], positive.
    """
    return exact(tooth_pitch_mm) * teeth / exact(reduction)


def rack_travel_mm(module_mm: Number, teeth: int, reduction: Number = 1) -> float:
    """Return the travel for a turn of the motor [mm] behind a straight rack by its module.

    Source: [@iso-54], definition of the module: pitch over pi. A helical rack goes farther, by one over
    the cosine of its helix angle, which is not on the card.

    Parameters
    ----------
    module_mm
        Module of rack and pinion [mm], positive.
    teeth
        Teeth of the pinion [-], positive.
    reduction
        Motor turns for a turn of the pinion [-], positive.
    """
    return math.pi * float(exact(module_mm) * teeth / exact(reduction))


def steps_per_mm(steps_per_turn: int, microsteps: int, travel_per_turn_mm: Number) -> Number:
    """Return the steps for a millimetre [1/mm]; exact when the travel is.

    Source: [@groover], the pulses of a positioning system, with microsteps.

    Parameters
    ----------
    steps_per_turn
        Full steps of the motor [-], positive.
    microsteps
        Microsteps for a full step [-], positive.
    travel_per_turn_mm
        Travel for a turn of the motor [mm], positive: a fraction, or a float with pi in it.
    """
    return steps_per_turn * microsteps / travel_per_turn_mm


def steps_per_inch(steps_per_turn: int, microsteps: int, travel_per_turn_mm: Number) -> Number:
    """Return the steps for an inch [1/inch]; exact when the travel is.

    Source: [@groover], with microsteps; the inch is 25.4 mm by definition.

    Parameters
    ----------
    steps_per_turn
        Full steps of the motor [-], positive.
    microsteps
        Microsteps for a full step [-], positive.
    travel_per_turn_mm
        Travel for a turn of the motor [mm], positive: a fraction, or a float with pi in it.
    """
    return steps_per_mm(steps_per_turn, microsteps, travel_per_turn_mm) * INCH_MM


def scale_error(entered: Number, exact: Number) -> float:
    """Return by what share the axis goes too far [-], negative when it stays behind.

    Source: arithmetic.

    Parameters
    ----------
    entered
        Steps as entered [1/mm], positive.
    exact
        Steps as they should be [1/mm], positive.
    """
    return float(Fraction(entered) / Fraction(exact) - 1)


def rounding_error_mm(entered: Number, exact: Number, travel_mm: float) -> float:
    """Return how far the axis is off after its whole travel [mm], positive when it goes too far.

    Source: arithmetic.

    Parameters
    ----------
    entered
        Steps as entered [1/mm], positive.
    exact
        Steps as they should be [1/mm], positive.
    travel_mm
        Whole travel of the axis [mm].
    """
    return scale_error(entered, exact) * travel_mm


def resolution_mm(steps_per_mm: Number) -> float:
    """Return the travel for one microstep [mm]: what can be told to the axis, not how true it moves.

    Source: [@groover], control resolution.

    Parameters
    ----------
    steps_per_mm
        Steps for a millimetre [1/mm], positive.
    """
    return float(1 / steps_per_mm)


def relock_mm(travel_per_turn_mm: Number, steps_per_turn: int) -> float:
    """Return the distance [mm] in whole multiples of which a stepper falls out of step.

    Source: [@jones]: the torque of a two-phase motor repeats every four full steps, whatever the microsteps.

    Parameters
    ----------
    travel_per_turn_mm
        Travel for a turn of the motor [mm], positive.
    steps_per_turn
        Full steps of the motor [-], positive.
    """
    return float(CYCLE_STEPS * travel_per_turn_mm / steps_per_turn)


def motor_rpm(speed_mm_s: float, travel_per_turn_mm: Number) -> float:
    """Return the turns of the motor in a minute [rpm] at a speed of its axis.

    Source: [@groover].

    Parameters
    ----------
    speed_mm_s
        Speed of the axis [mm/s].
    travel_per_turn_mm
        Travel for a turn of the motor [mm], positive.
    """
    return float(speed_mm_s * 60 / travel_per_turn_mm)


def pulse_rate_hz(speed_mm_s: float, steps_per_mm: Number) -> float:
    """Return the step pulses in a second [Hz] at a speed of the axis.

    Source: [@groover].

    Parameters
    ----------
    speed_mm_s
        Speed of the axis [mm/s].
    steps_per_mm
        Steps for a millimetre [1/mm], positive.
    """
    return float(speed_mm_s * steps_per_mm)


def pulse_cap_mm_s(rate_hz: float, steps_per_mm: Number) -> float:
    """Return the fastest speed [mm/s] at a greatest rate of step pulses.

    Source: [@groover].

    Parameters
    ----------
    rate_hz
        Most step pulses in a second [Hz].
    steps_per_mm
        Steps for a millimetre [1/mm], positive.
    """
    return float(rate_hz / steps_per_mm)


def pulse_limit_hz(high_s: float, low_s: float) -> float:
    """Return the most step pulses in a second [Hz] that a driver can see.

    Source: arithmetic; a port that changes once in a period is high for one and low for one.

    Parameters
    ----------
    high_s
        Least time that a pulse must stay up [s], positive.
    low_s
        Least time between two pulses [s], positive.
    """
    return 1 / (high_s + low_s)

"""A stepping motor with its axis, driven through one stroke in small steps of time, from physics alone.

What the torque curves and the margins are held against; it shares nothing with them but the numbers of a card. Two
phases, each with resistance, inductance and the voltage that the turning rotor makes in it; a chopper that pushes each
current towards its share of a microstepped sine with all that the supply gives, and no more; a rotor that turns a
screw, a belt or a rack against inertia, drag, weight and a push. SI units; angles of the shaft.

Left out, as in what is tested: iron loss, detent torque, saturation, play, and the spring of screw and belt.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

from numba import njit

STEP_S = 10e-6
# The chopper: how fast an error of the current dies away while the supply has voltage to spare. Choppers switch every
# 30 to 50 us.
CHOPPER_S = 20e-6
TINY_V = 1e-9
# What calms the rotor: iron in a field that runs ahead of it or behind it brakes it like the cage of a synchronous
# machine; bearings and grease do the rest. After a single step rotors of hybrid motors ring for some five to ten
# swings: about 0.1 of critical damping, common knowledge without a source. It acts on the rotor's speed about the
# field's own, so that it takes nothing of the torque at a steady speed, and it gives no more than a small share of the
# standing torque: a stalled motor is not carried along by it. It matters beyond the full torque only, where a motor
# without damping swings itself out of step with no load to speak of: with a fifth of it, in strokes ten times as long,
# motors fall out at up to 1.5 times the torque they need, with none at 4 times. Below, none at all changes nothing.
DAMPING, MOST_DAMPING = 0.1, 0.05
STILL_M_S = 1e-3  # drag and thread turn over within so much
REST_S = 0.015  # before the stroke: the push grows
EASE_S = 0.01
CALM_S = 0.04  # after the stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One motor and its share of an axis.

    ``turning_kg_m2``: rotor and screw. ``radius_m``: way of the axis for each radian of the motor. ``efficiency``: from
    turning to pushing, ``efficiency_back`` from pushing to turning.
    """

    teeth: int
    holding_n_m: float
    rated_a: float
    resistance_ohm: float
    inductance_h: float
    peak_a: float
    supply_v: float
    microsteps: int
    turning_kg_m2: float
    mass_kg: float
    radius_m: float
    efficiency: float
    efficiency_back: float
    drag_n: float
    weight_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Speeding up evenly, going on, and braking; the push is against the way until the brakes are on."""

    speed_m_s: float
    gain_m_s2: float
    cruise_s: float
    push_n: float


class _Case(NamedTuple):
    teeth: float
    flux: float
    resistance: float
    inductance: float
    peak: float
    supply: float
    microstep: float
    turning: float
    mass: float
    radius: float
    forward: float
    back: float
    drag: float
    weight: float
    calm: float
    most_calm: float
    gain: float
    ramp_s: float
    cruise_s: float
    push: float
    is_sine: bool


def turns_lost(axis: Axis, stroke: Stroke, *, is_sine: bool = False, step_s: float = STEP_S) -> float:
    """Return how far the rotor is behind in the end, in turns of the field; a motor that holds is off by little.

    One such turn is four full steps, the way between two places where the rotor may lock. ``is_sine``: a driver that
    takes care that both phases together never ask for more than a sine as high as the supply. Choppers do not: each
    phase gets all of it, and where that is too little for the current they come out as square waves, whose sines are
    4/pi as high.
    """
    # Both phases at the rated current hold what the label says; their torques are a quarter of a turn apart.
    flux = axis.holding_n_m / (math.sqrt(2) * axis.teeth * axis.rated_a)
    inertia = axis.turning_kg_m2 + axis.mass_kg * axis.radius_m**2
    standing = axis.teeth * flux * axis.peak_a
    case = _Case(
        teeth=float(axis.teeth),
        flux=flux,
        resistance=axis.resistance_ohm,
        inductance=axis.inductance_h,
        peak=axis.peak_a,
        supply=axis.supply_v,
        microstep=math.pi / 2 / axis.microsteps,
        turning=axis.turning_kg_m2,
        mass=axis.mass_kg,
        radius=axis.radius_m,
        forward=1 / axis.efficiency,
        back=axis.efficiency_back,
        drag=axis.drag_n,
        weight=axis.weight_n,
        calm=2 * DAMPING * math.sqrt(axis.teeth * standing * inertia),
        most_calm=MOST_DAMPING * standing,
        gain=stroke.gain_m_s2 / axis.radius_m,
        ramp_s=stroke.speed_m_s / stroke.gain_m_s2,
        cruise_s=stroke.cruise_s,
        push=stroke.push_n,
        is_sine=is_sine,
    )
    return _drive(case, REST_S, EASE_S, CALM_S, step_s)


@njit
def _wanted(case, t):
    """Return the angle and the speed that the control asks for."""
    first, then = case.ramp_s, case.ramp_s + case.cruise_s
    a, b, c, d = max(t, 0.0), max(t - first, 0.0), max(t - then, 0.0), max(t - then - first, 0.0)
    return case.gain / 2 * (a * a - b * b - c * c + d * d), case.gain * (a - b - c + d)


@njit
def _currents(case, angle):
    """Return what the driver aims both currents at: the nearest microstep of the wanted angle."""
    field = math.floor(angle * case.teeth / case.microstep + 0.5) * case.microstep
    return case.peak * math.cos(field), case.peak * math.sin(field)


@njit
def _pushed(case, t, rest, ease):
    """Return the force on the axis against its way, of weight and cut."""
    grown = min(max((t + rest) / ease, 0.0), 1.0)
    gone = min(max((t - case.ramp_s - case.cruise_s) / ease, 0.0), 1.0)
    return grown * case.weight + grown * (1.0 - gone) * case.push


@njit
def _slopes(case, state, aims, push, wanted_speed):
    """Return how fast both currents, the angle and the speed change."""
    first, second, angle, speed = state
    sine, cosine = math.sin(case.teeth * angle), math.cos(case.teeth * angle)
    emf = case.teeth * case.flux * speed
    gain = case.inductance / CHOPPER_S
    volts_a, volts_b = gain * (aims[0] - first), gain * (aims[1] - second)
    if case.is_sine:
        share = min(1.0, case.supply / max(math.hypot(volts_a, volts_b), TINY_V))
        volts_a, volts_b = share * volts_a, share * volts_b
    volts_a = min(max(volts_a, -case.supply), case.supply)
    volts_b = min(max(volts_b, -case.supply), case.supply)
    slope_a = (volts_a - case.resistance * first + emf * sine) / case.inductance
    slope_b = (volts_b - case.resistance * second - emf * cosine) / case.inductance
    torque = case.teeth * case.flux * (second * cosine - first * sine)
    torque -= case.most_calm * math.tanh(case.calm * (speed - wanted_speed) / case.most_calm)
    # Force in the thread, whatever its friction has the sign of this; friction goes against the way it gives work.
    way = math.tanh(speed * case.radius / STILL_M_S)
    force = push + case.drag * way
    gives = (case.mass * case.radius * torque + force * case.turning) * way
    lever = case.radius * (1 + abs(way) * ((case.forward if gives > 0 else case.back) - 1))
    gain_in_speed = (torque - lever * force) / (case.turning + case.mass * case.radius * lever)
    return slope_a, slope_b, speed, gain_in_speed


@njit
def _moved(state, slopes, by):
    return (
        state[0] + by * slopes[0],
        state[1] + by * slopes[1],
        state[2] + by * slopes[2],
        state[3] + by * slopes[3],
    )


@njit
def _drive(case, rest, ease, calm, h):
    """Return the turns of the field that the rotor is behind at the end, by Runge and Kutta's fourth order."""
    steps = int((rest + 2 * case.ramp_s + case.cruise_s + calm) / h)
    state = (case.peak, 0.0, 0.0, 0.0)
    for number in range(steps):
        t = number * h - rest
        angle, wanted = _wanted(case, t)
        later, soon = _wanted(case, t + h / 2)
        last, then = _wanted(case, t + h)
        a = _slopes(case, state, _currents(case, angle), _pushed(case, t, rest, ease), wanted)
        aims, push = _currents(case, later), _pushed(case, t + h / 2, rest, ease)
        b = _slopes(case, _moved(state, a, h / 2), aims, push, soon)
        c = _slopes(case, _moved(state, b, h / 2), aims, push, soon)
        d = _slopes(case, _moved(state, c, h), _currents(case, last), _pushed(case, t + h, rest, ease), then)
        for slopes, share in ((a, 1.0), (b, 2.0), (c, 2.0), (d, 1.0)):
            state = _moved(state, slopes, h * share / 6)
    behind = _wanted(case, steps * h)[0] - state[2]
    return behind * case.teeth / (2 * math.pi)

"""Torque of a two-phase stepping motor at speed, within what its driver and its supply can give.

The motor is an ideal synchronous machine: two phases, sinusoidal flux linkage, sinusoidal current of
an amplitude that the driver limits, sinusoidal voltage of an amplitude that the supply limits. Iron
loss, detent torque, saturation, the driver's own drop and instability at middle speeds are left out:
real curves lie 10 to 40 % lower at speed (common practice, no source), and a measurement overrides them.

Voltages are amplitudes of the fundamental of a phase voltage: the supply's voltage itself behind a
chopper that is led by a sine, 4/pi of it under square waves (full steps).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

__all__ = [
    "Winding",
    "coil_heat_w",
    "fastest_rpm",
    "flux_wb",
    "full_torque_rpm",
    "mechanical_power_w",
    "no_torque_rpm",
    "of_half_coils",
    "peak_current_a",
    "rewound",
    "standing_torque_n_m",
    "torque_n_m",
]

RAD_S = 2 * math.pi / 60  # one rpm
PRECISION_RPM = 1e-6
# No stepping motor turns so fast; where the model still finds torque enough, nothing limits it.
BEYOND_RPM = 1e6
ROUNDING = 1e-12  # a flux left over of less, as a share, is rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Winding:
    """The motor as the driver meets it, all numbers positive.

    ``flux_wb``: greatest flux linkage of a phase. ``rotor_teeth``: electrical cycles in a turn, 50 for
    full steps of 1.8 degrees. ``resistance_ohm``, ``inductance_h``: of a phase as it is wired.
    ``peak_a``: amplitude of the phase current that the driver really sets.
    """

    flux_wb: float
    rotor_teeth: int
    resistance_ohm: float
    inductance_h: float
    peak_a: float


def peak_current_a(current_a: float, meaning: Literal["peak", "rms"]) -> float:
    """Return the amplitude of the phase current [A] that a driver's setting stands for.

    Source: amplitude of a sine over its effective value, sqrt(2); no source needed.

    Parameters
    ----------
    current_a
        What the driver is set to [A].
    meaning
        Whether the driver's table gives amplitudes or effective values.

    Examples
    --------
    >>> peak_current_a(3.0, "peak")
    3.0
    """
    return current_a * math.sqrt(2) if meaning == "rms" else current_a


def flux_wb(holding_torque_n_m: float, rated_current_a: float, rotor_teeth: int) -> float:
    """Return the greatest flux linkage of a phase [Wb], from the motor's label.

    Source: the torques p psi I of two phases a quarter cycle apart, both on, add as vectors; torque
    over angle is the sinusoid of [@jones].

    Parameters
    ----------
    holding_torque_n_m
        Holding torque with both phases at the rated current [N·m], as labels give it.
    rated_current_a
        Current in each phase for that torque [A].
    rotor_teeth
        Electrical cycles in a turn [1].

    Notes
    -----
    The label's torque is already flattened by saturation: below the rated current the motor is a
    little better than this, above it worse.
    """
    return holding_torque_n_m / (math.sqrt(2) * rotor_teeth * rated_current_a)


def standing_torque_n_m(winding: Winding) -> float:
    """Return the greatest torque that the driver's current gives [N·m], p psi I.

    Source: [@acarnley] ch. 5, from memory.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets.

    Notes
    -----
    With a peak current equal to the label's it is 1/sqrt(2) of the label's torque, at every
    microstep. It needs a supply of more than R I; :func:`torque_n_m` at 0 rpm knows that.
    """
    return winding.rotor_teeth * winding.flux_wb * winding.peak_a


def torque_n_m(winding: Winding, supply_v: float, rpm: float) -> float:
    """Return the greatest torque at a steady speed under both limits [N·m], its pull-out torque.

    Source: derived; where only the voltage limits it is p psi (V / Z - w psi R / Z^2) with
    Z = sqrt(R^2 + w^2 L^2), [@acarnley] ch. 5, from memory.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets.
    supply_v
        Amplitude of the phase voltage that the supply allows [V], positive.
    rpm
        Shaft speed [rpm], not negative.

    Returns
    -------
    float
        From ``standing_torque_n_m`` below the corner down to 0 from ``no_torque_rpm`` on, without a
        jump. It never rises with the speed.

    Notes
    -----
    The model of the module: no iron loss, detent or instability, real curves 10 to 40 % lower. With
    i the current in the rotor's frame (imaginary part: quadrature, which alone makes torque) the limits
    are ``|i| <= I`` and ``|(R + j w L) i + j w psi| <= V``: two discs. The greatest quadrature current
    of both is at the top of one of them, or else where their rims cross.
    """
    if rpm >= no_torque_rpm(winding, supply_v):
        return 0.0
    w = winding.rotor_teeth * rpm * RAD_S
    peak, resistance, reactance = winding.peak_a, winding.resistance_ohm, w * winding.inductance_h
    impedance, emf = math.hypot(resistance, reactance), w * winding.flux_wb
    if math.hypot(resistance * peak + emf, reactance * peak) <= supply_v:
        return standing_torque_n_m(winding)
    radius, away = supply_v / impedance, emf / impedance  # of the voltage's disc, and how far off it lies
    direct = -away * reactance / impedance
    quadrature = radius - away * resistance / impedance
    if math.hypot(direct, quadrature) > peak:
        along = (away**2 + peak**2 - radius**2) / (2 * away)
        across = math.sqrt(peak**2 - along**2)
        crossing = (along * reactance + across * resistance) / impedance
        # Near both tops the direct current decides nearly nothing, so that its rounding does no harm.
        quadrature = math.sqrt(peak**2 - min(crossing**2, peak**2))
    return winding.rotor_teeth * winding.flux_wb * quadrature


def full_torque_rpm(winding: Winding, supply_v: float) -> float:
    """Return the corner speed [rpm], the last at which the supply can push the whole current.

    Source: derived, V^2 = (R I + w psi)^2 + (w L I)^2 with the current in quadrature.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets.
    supply_v
        Amplitude of the phase voltage that the supply allows [V].

    Returns
    -------
    float
        0 for a supply of R I or less, which cannot push the whole current at all. In the model of the
        module: real corners lie a little lower, by the driver's drop and the iron.
    """
    drop = winding.resistance_ohm * winding.peak_a
    if supply_v <= drop:
        return 0.0
    square = winding.flux_wb**2 + (winding.inductance_h * winding.peak_a) ** 2
    half, left = drop * winding.flux_wb, supply_v**2 - drop**2
    w = left / (half + math.sqrt(half**2 + square * left))  # the root written so that nothing cancels
    return w / winding.rotor_teeth / RAD_S


def no_torque_rpm(winding: Winding, supply_v: float) -> float:
    """Return the speed [rpm] from which the motor has no torque left, not even for its own iron.

    Source: derived; the greatest w at which a direct current -x, 0 <= x <= I, leaves no voltage over:
    w = sqrt(V^2 - R^2 x^2) / (psi - L x), best at x = L V^2 / (R^2 psi) or else at x = I.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets.
    supply_v
        Amplitude of the phase voltage that the supply allows [V], positive.

    Returns
    -------
    float
        Infinite for the many motors whose current can cancel the whole flux, psi <= L I and
        psi R <= L V: their torque only fades. In the model of the module; real motors stall earlier.
    """
    peak, flux, resistance = winding.peak_a, winding.flux_wb, winding.resistance_ohm
    share = winding.inductance_h * supply_v / (resistance * flux)
    if peak >= share * supply_v / resistance:  # the best x is within the driver's current
        w = supply_v / (flux * math.sqrt((1 - share) * (1 + share))) if share < 1 else math.inf
    else:
        left, drop = flux - winding.inductance_h * peak, resistance * peak
        w = math.sqrt((supply_v - drop) * (supply_v + drop)) / left if left > ROUNDING * flux else math.inf
    return w / winding.rotor_teeth / RAD_S


def fastest_rpm(winding: Winding, supply_v: float, needed_n_m: Callable[[float], float] | float, share: float) -> float:
    """Return the greatest speed [rpm] up to which a share of the torque is enough, all the way.

    Source: halving of an interval, to 1e-6 rpm; no source needed.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets.
    supply_v
        Amplitude of the phase voltage that the supply allows [V], positive.
    needed_n_m
        Torque that the machine takes [N·m], at every speed or as a function of the speed [rpm]; it
        must not fall with the speed, for only then is there a single greatest speed.
    share
        Part of the ideal torque that is counted on [1], 0.7 for example.

    Returns
    -------
    float
        0 when even the torque at rest is too little; ``no_torque_rpm`` when nothing is needed; infinite
        when there is enough even at 1e6 rpm. Otherwise the torque at the speed returned is enough.
    """

    def enough(rpm: float) -> bool:
        needed = needed_n_m(rpm) if callable(needed_n_m) else needed_n_m
        return share * torque_n_m(winding, supply_v, rpm) >= needed

    last = no_torque_rpm(winding, supply_v)
    low, high = 0.0, min(last, BEYOND_RPM)
    if not enough(low):
        return 0.0
    if enough(high):
        return last
    while high - low > PRECISION_RPM:
        middle = (low + high) / 2
        low, high = (middle, high) if enough(middle) else (low, middle)
    return low


def of_half_coils(half: Winding, wired: Literal["unipolar", "series", "parallel"]) -> Winding:
    """Return a motor of six or eight wires as its half coils are wired, each warmed as the label allows.

    Source: common practice, no source; the halves of a phase lie on the same pole, fully coupled.

    Parameters
    ----------
    half
        One half coil, with its unipolar current.
    wired
        One half at a time (unipolar); both in series: 2 R, 4 L, twice the flux, I / sqrt(2); both in
        parallel: R / 2, L, the same flux, sqrt(2) I.

    Notes
    -----
    Kept equal is the heat of a phase. Series and parallel hold sqrt(2) of the unipolar torque.
    """
    if wired == "unipolar":
        return half
    parallel = replace(half, resistance_ohm=half.resistance_ohm / 2, peak_a=half.peak_a * math.sqrt(2))
    return rewound(parallel, "series") if wired == "series" else parallel


def rewound(winding: Winding, to: Literal["series", "parallel"]) -> Winding:
    """Return an eight-wire motor rewired, from the one of both ways that ``to`` does not name.

    Source: common practice, no source; twice the turns: 4 R, 4 L, twice the flux, half the current.

    Parameters
    ----------
    winding
        The motor as it is wired now: in parallel when ``to`` is "series", in series otherwise.
    to
        How it is to be wired.

    Notes
    -----
    Kept equal are the ampere-turns, and with them the label's torque, the standing torque and the heat
    R I^2. On the same supply the series winding behaves as the parallel one on half of it.
    """
    turns = 2.0 if to == "series" else 0.5
    return replace(
        winding,
        flux_wb=winding.flux_wb * turns,
        resistance_ohm=winding.resistance_ohm * turns**2,
        inductance_h=winding.inductance_h * turns**2,
        peak_a=winding.peak_a / turns,
    )


def coil_heat_w(winding: Winding) -> float:
    """Return the heat of both phases [W] under sine and cosine currents, R I^2.

    Source: Joule's law, I^2 (sin^2 + cos^2) R; no source needed.

    Parameters
    ----------
    winding
        The motor and the current that its driver sets. Copper at 80 degrees Celsius has 1.24 times the
        resistance that it has at 20.

    Notes
    -----
    Both phases standing at the full current, as in full steps, take twice this. Iron loss is left out.
    """
    return winding.resistance_ohm * winding.peak_a**2


def mechanical_power_w(torque_n_m: float, rpm: float) -> float:
    """Return the power that a shaft delivers [W].

    Source: torque times angular speed; no source needed.

    Parameters
    ----------
    torque_n_m
        Torque [N·m].
    rpm
        Shaft speed [rpm].
    """
    return torque_n_m * rpm * RAD_S

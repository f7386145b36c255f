"""Steps of a two-phase hybrid stepping motor: how far it trails, what a microstep moves, where it growls.

Torque over the rotor's angle is one sinusoid, as many times in a turn as the rotor has teeth; detent
torque, saturation and the inertia of what is only loosely coupled are left out.
"""

import math

__all__ = [
    "STEP_ACCURACY",
    "electrical_rise_s",
    "growl_speeds_mm_s",
    "incremental_torque_n_m",
    "resonance_hz",
    "smallest_dependable_move_mm",
    "static_lag_rad",
    "step_accuracy_mm",
    "step_rate_hz",
]

STEP_ACCURACY = 0.05  # of a full step, unloaded; not adding up from step to step
STEPS_PER_CYCLE = 4  # of two phases: the full steps in an electrical cycle
RIPPLES = (4, 2, 1)  # in an electrical cycle: detent, unequal coils, offset of a current


def incremental_torque_n_m(peak_torque_n_m: float, microsteps: int) -> float:
    """Return the torque that a rotor at rest feels after one microstep [N·m].

    Source: follows from the sinusoid of [@jones], T sin(90 degrees / m).

    Parameters
    ----------
    peak_torque_n_m
        Greatest torque at the current that is set [N·m]; microstepping does not lessen it.
    microsteps
        Microsteps in a full step [1], at least 1.

    Notes
    -----
    A microstep moves the shaft only if this is more than friction and load; else several build up
    before it moves. The driver's currents are taken as perfect sines.
    """
    return peak_torque_n_m * math.sin(math.pi / 2 / microsteps)


def static_lag_rad(load_n_m: float, peak_torque_n_m: float, rotor_teeth: int) -> float | None:
    """Return how far a load turns the rotor away from where the currents point [rad], asin(T_L / T) / p.

    Source: [@acarnley] ch. 3, from memory.

    Parameters
    ----------
    load_n_m
        Steady torque of the load [N·m]; the sign of the lag is its sign.
    peak_torque_n_m
        Greatest torque at the current that is set [N·m], positive.
    rotor_teeth
        Electrical cycles in a turn [1].

    Returns
    -------
    float | None
        At most a full step, pi / 2p. None for a load above the peak: the motor slips.
    """
    if abs(load_n_m) > peak_torque_n_m:
        return None
    return math.asin(load_n_m / peak_torque_n_m) / rotor_teeth


def step_accuracy_mm(travel_per_turn_mm: float, steps_per_turn: int) -> float:
    """Return how far a step may lie from its place [mm], either way: 5 % of a full step.

    Source: common practice, no source; labels of hybrid motors say so, unloaded, not cumulative.

    Parameters
    ----------
    travel_per_turn_mm
        Travel in a turn of the motor [mm].
    steps_per_turn
        Full steps in a turn of the motor [1]; microsteps change nothing here.
    """
    return STEP_ACCURACY * travel_per_turn_mm / steps_per_turn


def smallest_dependable_move_mm(
    *,
    step_mm: float,
    friction_torque_n_m: float,
    detent_torque_n_m: float,
    peak_torque_n_m: float,
    rotor_teeth: int,
    travel_per_turn_mm: float,
) -> float | None:
    """Return the least move that surely arrives [mm]: one microstep, twice the lag, or the step accuracy.

    Source: common practice, no source; friction may leave the rotor one lag to either side.

    Parameters
    ----------
    step_mm
        Travel of one microstep [mm].
    friction_torque_n_m
        Friction of the whole drive at the motor's shaft [N·m], not negative.
    detent_torque_n_m
        Detent torque of the motor [N·m], not negative; counted as friction, at its worst place.
    peak_torque_n_m
        Greatest torque at the current that is set [N·m]: at rest the idle current's, if it is lowered.
    rotor_teeth
        Electrical cycles in a turn [1].
    travel_per_turn_mm
        Travel in a turn of the motor [mm].

    Returns
    -------
    float | None
        Of the motor alone: lost motion of screw or belt comes on top. None when friction and detent
        exceed the peak torque: no move is sure.
    """
    lag = static_lag_rad(friction_torque_n_m + detent_torque_n_m, peak_torque_n_m, rotor_teeth)
    if lag is None:
        return None
    dead_mm = 2 * lag / (2 * math.pi) * travel_per_turn_mm
    return max(step_mm, dead_mm, step_accuracy_mm(travel_per_turn_mm, STEPS_PER_CYCLE * rotor_teeth))


def resonance_hz(peak_torque_n_m: float, inertia_kg_m2: float, rotor_teeth: int) -> float:
    """Return the frequency [Hz] at which the rotor swings about its place, sqrt(p T / J) / (2 pi).

    Source: [@jones], resonance; [@acarnley] ch. 4, from memory.

    Parameters
    ----------
    peak_torque_n_m
        Greatest torque at the current that is set [N·m].
    inertia_kg_m2
        Rotor and all that is coupled to it stiffly, at the motor's shaft [kg·m²].
    rotor_teeth
        Electrical cycles in a turn [1].

    Notes
    -----
    For small swings without damping; wide swings are slower. A load behind a soft coupling or belt
    counts only in part, and raises the frequency.
    """
    return math.sqrt(rotor_teeth * peak_torque_n_m / inertia_kg_m2) / (2 * math.pi)


def growl_speeds_mm_s(resonance_hz: float, rotor_teeth: int, travel_per_turn_mm: float) -> tuple[float, float, float]:
    """Return the three speeds [mm/s] at which a ripple of the motor meets its resonance, slowest first.

    Source: common practice, no source; ripples of 4, 2 and 1 in an electrical cycle.

    Parameters
    ----------
    resonance_hz
        Where the motor swings with its load [Hz].
    rotor_teeth
        Electrical cycles in a turn [1].
    travel_per_turn_mm
        Travel in a turn of the motor [mm].

    Notes
    -----
    At the slowest, commonly the loudest, the full steps come at the resonance. A slow sweep decides.
    """
    slow, middle, fast = (resonance_hz / (ripples * rotor_teeth) * travel_per_turn_mm for ripples in RIPPLES)
    return slow, middle, fast


def electrical_rise_s(current_a: float, supply_v: float, resistance_ohm: float, inductance_h: float) -> float:
    """Return the time a current takes from nothing [s], -(L / R) ln(1 - I R / V).

    Source: a coil and its resistance on a steady voltage, rotor at rest; no source needed.

    Parameters
    ----------
    current_a
        Current to reach [A].
    supply_v
        Voltage, all of it on the coil until then [V].
    resistance_ohm
        Resistance of the phase [ohm], positive.
    inductance_h
        Inductance of the phase [H].

    Returns
    -------
    float
        About L I / V where V is far above R I; infinite where it is not above it.
    """
    part = current_a * resistance_ohm / supply_v
    return -inductance_h / resistance_ohm * math.log1p(-part) if part < 1 else math.inf


def step_rate_hz(rpm: float, steps_per_turn: float) -> float:
    """Return the steps in a second [Hz].

    Source: [@burman] pp. 191-196.

    Parameters
    ----------
    rpm
        Speed of the motor [rpm].
    steps_per_turn
        Full steps in a turn, or microsteps for the rate of the pulses [1].
    """
    return rpm / 60 * steps_per_turn

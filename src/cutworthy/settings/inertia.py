"""What an axis weighs at the motor, and the torque that moves it."""

import math

from cutworthy.units import MM_PER_M

__all__ = [
    "accelerating_torque_n_m",
    "angular_acceleration",
    "carried_inertia_kg_m2",
    "rod_inertia_kg_m2",
    "thrust_n",
    "thrust_torque_n_m",
]


def rod_inertia_kg_m2(diameter_mm: float, length_mm: float, density_kg_m3: float) -> float:
    """Return the inertia of a round bar that turns about its axis [kg*m^2].

    Source: pi rho L d^4 / 32, mechanics of rigid bodies, no source needed.

    Parameters
    ----------
    diameter_mm
        Of the bar; of a screw the mean of major and root diameter comes near [mm].
    length_mm
        Of the bar [mm].
    density_kg_m3
        Of what it is made of [kg/m^3].
    """
    return math.pi * density_kg_m3 * (length_mm / MM_PER_M) * (diameter_mm / MM_PER_M) ** 4 / 32


def carried_inertia_kg_m2(mass_kg: float, travel_per_turn_mm: float) -> float:
    """Return what a sliding mass weighs at a motor that carries it [kg*m^2].

    Source: m (l / (2 pi))^2, equal energy of motion; [@dubey] section 2.2, example 2.1.

    Parameters
    ----------
    mass_kg
        Mass that moves along the axis [kg].
    travel_per_turn_mm
        Way of the axis in one turn of the motor, gears counted [mm].
    """
    return mass_kg * _radius_m(travel_per_turn_mm) ** 2


def angular_acceleration(acceleration_mm_s2: float, travel_per_turn_mm: float) -> float:
    """Return the motor's acceleration [rad/s^2].

    Source: 2 pi a / l, kinematics, no source needed.

    Parameters
    ----------
    acceleration_mm_s2
        Of the axis [mm/s^2].
    travel_per_turn_mm
        Way of the axis in one turn of the motor [mm], positive.
    """
    return 2 * math.pi * acceleration_mm_s2 / travel_per_turn_mm


def accelerating_torque_n_m(
    turning_inertia_kg_m2: float,
    mass_kg: float,
    acceleration_mm_s2: float,
    travel_per_turn_mm: float,
    efficiency: float,
) -> float:
    """Return the torque that speeds an axis up [N*m].

    Source: (J_r + J_s + J_c) alpha + m a l / (2 pi eta), Newton's law; [@dubey] section 2.2.

    Parameters
    ----------
    turning_inertia_kg_m2
        Of all that turns with the motor: rotor, screw, coupling [kg*m^2].
    mass_kg
        Mass that moves along the axis [kg].
    acceleration_mm_s2
        Of the axis [mm/s^2].
    travel_per_turn_mm
        Way of the axis in one turn of the motor [mm], positive.
    efficiency
        From turning to pushing, above 0; only what passes through the thread is divided by it.
    """
    turning = turning_inertia_kg_m2 * angular_acceleration(acceleration_mm_s2, travel_per_turn_mm)
    return turning + thrust_torque_n_m(mass_kg * acceleration_mm_s2 / MM_PER_M, travel_per_turn_mm, efficiency)


def thrust_torque_n_m(force_n: float, travel_per_turn_mm: float, efficiency: float) -> float:
    """Return the torque that pushes with a force [N*m].

    Source: [@shigley] eq. 8-4 solved for the torque, F l / (2 pi eta), from memory; [@wentzell] example 18.4.

    Parameters
    ----------
    force_n
        Against the motion: drag, cutting, weight [N].
    travel_per_turn_mm
        Way of the axis in one turn of the motor [mm].
    efficiency
        From turning to pushing, above 0; it is not the one that counts when a load drives the screw.
    """
    return force_n * _radius_m(travel_per_turn_mm) / efficiency


def thrust_n(torque_n_m: float, travel_per_turn_mm: float, efficiency: float) -> float:
    """Return the force that a torque pushes with [N].

    Source: [@shigley] eq. 8-4 solved for the load, 2 pi eta T / l, from memory.

    Parameters
    ----------
    torque_n_m
        At the motor [N*m].
    travel_per_turn_mm
        Way of the axis in one turn of the motor [mm], positive.
    efficiency
        From turning to pushing, 0 to 1.
    """
    return torque_n_m * efficiency / _radius_m(travel_per_turn_mm)


def _radius_m(travel_per_turn_mm: float) -> float:
    """Return the radius of the wheel that would roll as far in one turn [m]."""
    return travel_per_turn_mm / (2 * math.pi) / MM_PER_M

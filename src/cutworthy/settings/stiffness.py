"""How far a drive gives under a push, and what is lost when it turns back."""

import math

from cutworthy.settings.shaft import Steel
from cutworthy.units import MM_PER_M

__all__ = [
    "in_series_n_mm",
    "lost_motion_mm",
    "motor_stiffness_n_mm",
    "screw_stiffness_n_mm",
    "torsional_stiffness_n_mm",
]


def screw_stiffness_n_mm(root_mm: float, length_mm: float, steel: Steel, *, fixed_both_ends: bool) -> float:
    """Return the stiffness of a screw against push and pull where it is softest [N/mm].

    Source: [@utah-7960] slides 4-26 and 4-27: A E / a; with both ends fixed A E L / (a b), least at mid span.

    Parameters
    ----------
    root_mm
        Diameter of the shaft below the thread [mm].
    length_mm
        From the fixed bearing to the nut at full travel, or between two fixed bearings [mm], positive.
    steel
        What the screw is made of.
    fixed_both_ends
        Whether both bearings take the push; then half the screw works on each side of the nut.

    Notes
    -----
    Small strain, the root's section all along: the thread adds a little that is not counted.
    """
    stiffness = math.pi / 4 * root_mm**2 * steel.youngs_n_mm2 / length_mm
    return 4 * stiffness if fixed_both_ends else stiffness


def torsional_stiffness_n_mm(root_mm: float, length_mm: float, lead_mm: float, shear_n_mm2: float) -> float:
    """Return what the twist of a screw is worth as stiffness along it [N/mm].

    Source: G J_p / L by the theory of round bars, times (2 pi / lead)^2 since energy is kept; derived, no source.

    Parameters
    ----------
    root_mm
        Diameter of the shaft below the thread [mm].
    length_mm
        From the driven end to the nut [mm], positive.
    lead_mm
        Way of the nut in one turn [mm], positive.
    shear_n_mm2
        Shear modulus [N/mm^2].

    Notes
    -----
    It counts in series where the driven end alone keeps the screw from turning.
    """
    polar_mm4 = math.pi / 32 * root_mm**4
    return shear_n_mm2 * polar_mm4 / length_mm * (2 * math.pi / lead_mm) ** 2


def motor_stiffness_n_mm(peak_torque_n_m: float, travel_per_turn_mm: float, rotor_teeth: int) -> float:
    """Return the stiffness of a standing stepper's magnets, as felt along the axis [N/mm].

    Source: [@jones] torque is a sine of the rotor's way, one wave a tooth; its slope at rest, times (2 pi / travel)^2.

    Parameters
    ----------
    peak_torque_n_m
        Greatest torque at the real current [N*m].
    travel_per_turn_mm
        Way of the axis in one turn of the motor [mm], positive.
    rotor_teeth
        Teeth of the rotor, a quarter of its full steps in a turn: 50 for 200 steps.

    Notes
    -----
    For small loads. It falls with the load, to nothing at the peak torque.
    """
    return rotor_teeth * peak_torque_n_m * (2 * math.pi / travel_per_turn_mm) ** 2 * MM_PER_M


def in_series_n_mm(*stiffnesses: float) -> float:
    """Return the stiffness of parts that carry the same force one after the other [N/mm].

    Source: gives add up, so 1/K is the sum of 1/k; derived, no source.

    Parameters
    ----------
    *stiffnesses
        Of each part [N/mm], at least one, each positive; an infinite one gives nothing.
    """
    return 1 / sum(1 / stiffness for stiffness in stiffnesses)


def lost_motion_mm(backlash_mm: float, friction_n: float, stiffness_n_mm: float) -> float:
    """Return the way the motor turns back before the axis follows [mm].

    Source: [@slocum] from memory; derived: the drive is wound up by the friction once each way, b + 2 F / K.

    Parameters
    ----------
    backlash_mm
        Play between screw and nut without load [mm].
    friction_n
        Friction of guide and nut that the drive feels [N].
    stiffness_n_mm
        Of the drive between motor and axis [N/mm], positive.

    Notes
    -----
    A backlash that was measured under load holds part of the second term already.
    """
    return backlash_mm + 2 * friction_n / stiffness_n_mm

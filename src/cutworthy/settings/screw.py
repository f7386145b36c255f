"""Screws: the torque that moves a load, what of it is lost, and whether the load turns the screw."""

import math
from dataclasses import dataclass

from cutworthy.reference import drives
from cutworthy.reference.drives import ThreadKind
from cutworthy.units import MM_PER_M

__all__ = [
    "Thread",
    "back_drive_torque_n_m",
    "collar_torque_n_m",
    "efficiency",
    "efficiency_back",
    "half_angle_rad",
    "lead_angle_rad",
    "locking_friction",
    "lower_torque_n_m",
    "mean_diameter_mm",
    "raise_torque_n_m",
    "root_band_mm",
    "root_diameter_mm",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A thread as far as its torque goes. The lead is the pitch times the starts."""

    lead_mm: float
    mean_diameter_mm: float
    half_angle_rad: float
    friction: float


def lead_angle_rad(thread: Thread) -> float:
    """Return the angle at which the thread climbs on its mean diameter [rad].

    Source: [@shigley] section 8-2, atan(l / (pi d_m)), from memory; [@mott] section 17-2.

    Parameters
    ----------
    thread
        Lead and mean diameter positive.
    """
    return math.atan(_slope(thread))


def raise_torque_n_m(load_n: float, thread: Thread) -> float:
    """Return the torque in the thread that pushes against a load [N*m].

    Source: [@shigley] eq. 8-1 and 8-5, from memory; [@mott] eq. 17-10; [@bhandari] chapter 6.

    Parameters
    ----------
    load_n
        Force along the screw against the motion [N], not negative.
    thread
        Rigid, with the same friction everywhere; the half angle in the plane of the axis.

    Notes
    -----
    The half angle should lie in the plane across the thread; the books take the axial one, which is
    at most 0.4 % of torque away for a lead up to 1.2 mean diameters and a friction
    up to 0.5. Starting takes more than running.
    Where friction and lead together jam the thread no torque moves it: infinite.
    """
    slope, friction = _slope(thread), _wedged(thread)
    if slope * friction >= 1:
        return math.inf if load_n > 0 else 0.0
    return _arm_m(thread) * load_n * (slope + friction) / (1 - slope * friction)


def lower_torque_n_m(load_n: float, thread: Thread) -> float:
    """Return the torque in the thread that moves with the load [N*m]; negative, the load drives the screw.

    Source: [@shigley] eq. 8-2 and 8-6, from memory; [@mott] eq. 17-11.

    Parameters
    ----------
    load_n
        Force along the screw with the motion [N], not negative.
    thread
        Rigid, with the same friction everywhere; the half angle in the plane of the axis.

    Notes
    -----
    Vibration can make a thread creep that holds by this formula: ask for a margin.
    """
    slope, friction = _slope(thread), _wedged(thread)
    return _arm_m(thread) * load_n * (friction - slope) / (1 + slope * friction)


def back_drive_torque_n_m(load_n: float, thread: Thread) -> float:
    """Return the torque with which a load turns the screw [N*m]; negative, the thread holds it.

    Source: [@shigley] eq. 8-2 with the sign changed, from memory.

    Parameters
    ----------
    load_n
        Force along the screw [N], not negative.
    thread
        As for ``lower_torque_n_m``; collar and motor not counted.
    """
    return -lower_torque_n_m(load_n, thread)


def collar_torque_n_m(load_n: float, diameter_mm: float, friction: float) -> float:
    """Return the torque that the thrust bearing takes, whichever way the screw turns [N*m].

    Source: [@shigley] eq. 8-6, F f_c d_c / 2, from memory.

    Parameters
    ----------
    load_n
        Force along the screw [N], not negative.
    diameter_mm
        Mean diameter of the bearing [mm].
    friction
        Friction in the bearing, a ratio.
    """
    return load_n * friction * diameter_mm / 2 / MM_PER_M


def efficiency(thread: Thread) -> float:
    """Return what share of the work of turning pushes the load, the thread alone.

    Source: [@shigley] eq. 8-4, F l / (2 pi T), from memory; tan(lambda) / tan(lambda + phi).

    Parameters
    ----------
    thread
        As for ``raise_torque_n_m``.

    Returns
    -------
    float
        From 0, where the thread jams, to 1, without friction.
    """
    slope, friction = _slope(thread), _wedged(thread)
    return max(0.0, slope * (1 - slope * friction) / (slope + friction))


def efficiency_back(thread: Thread) -> float:
    """Return what share of the work of a moving load turns the screw; negative, the thread holds.

    Source: [@shigley] eq. 8-2 over F l / (2 pi), from memory; tan(lambda - phi) / tan(lambda).

    Parameters
    ----------
    thread
        As for ``lower_torque_n_m``.
    """
    slope, friction = _slope(thread), _wedged(thread)
    return (slope - friction) / (slope * (1 + slope * friction))


def locking_friction(lead_mm: float, mean_diameter_mm: float, half_angle_rad: float) -> float:
    """Return the friction above which a thread holds its load by itself.

    Source: [@shigley] eq. 8-3, f > tan(lambda), from memory, with the wedge of an angled thread: times cos(alpha).

    Parameters
    ----------
    lead_mm
        Way of the nut in one turn [mm], positive.
    mean_diameter_mm
        Mean diameter of the thread [mm], positive.
    half_angle_rad
        Half the thread angle in the plane of the axis [rad].

    Notes
    -----
    It holds for a load at rest without vibration.
    """
    return lead_mm / (math.pi * mean_diameter_mm) * math.cos(half_angle_rad)


def half_angle_rad(kind: ThreadKind) -> float:
    """Return half the thread angle in the plane of the axis [rad].

    Source: [@iso-2904] and [@asme-b1-5], the latter from memory; a ball screw counts as square, our choice.

    Parameters
    ----------
    kind
        The thread form.
    """
    return math.radians(drives.form(kind).half_angle_deg)


def mean_diameter_mm(kind: ThreadKind, major_mm: float, pitch_mm: float) -> float:
    """Return the diameter on which the thread carries [mm].

    Source: [@iso-2904] d2 = d - P/2; [@asme-b1-5] E = D - p/2, from memory; ball screw: nominal, our choice.

    Parameters
    ----------
    kind
        The thread form.
    major_mm
        Major diameter, of a ball screw the nominal diameter [mm].
    pitch_mm
        From one thread to the next, not the lead [mm]; of no effect for a ball screw.
    """
    return major_mm - drives.form(kind).mean_pitches * pitch_mm


def root_diameter_mm(kind: ThreadKind, major_mm: float, pitch_mm: float) -> float:
    """Return the diameter of the shaft below the thread [mm].

    Source: [@iso-2904] d3 = d - P - 2 a_c; [@asme-b1-5] from memory; ball screw: common practice, no source.

    Parameters
    ----------
    kind
        The thread form.
    major_mm
        Major diameter, of a ball screw the nominal diameter [mm].
    pitch_mm
        From one thread to the next, not the lead [mm]; of no effect for a ball screw.

    Notes
    -----
    Not positive for a pitch that cannot belong to the diameter; the caller must not go on with it.
    """
    if kind == "ball":
        return major_mm * drives.ball_root_share().value
    return major_mm - pitch_mm - drives.root_clearance_mm(kind, pitch_mm)


def root_band_mm(kind: ThreadKind, major_mm: float, pitch_mm: float) -> tuple[float, float, float]:
    """Return the least, the expected and the greatest root of a thread whose root was not measured [mm].

    Source: our choice, after limits of ISO 2903 for cut threads; ball screw: common practice, no source.

    Parameters
    ----------
    kind
        The thread form.
    major_mm
        Major diameter, of a ball screw the nominal diameter [mm].
    pitch_mm
        From one thread to the next, not the lead [mm]; of no effect for a ball screw.
    """
    value = root_diameter_mm(kind, major_mm, pitch_mm)
    if kind == "ball":
        share = drives.ball_root_share()
        return major_mm * share.low, value, major_mm * share.high
    return value * drives.cut_root_share().value, value, major_mm - pitch_mm


def _slope(thread: Thread) -> float:
    """Return the tangent of the lead angle."""
    return thread.lead_mm / (math.pi * thread.mean_diameter_mm)


def _wedged(thread: Thread) -> float:
    """Return the friction as the slanted sides of the thread feel it."""
    return thread.friction / math.cos(thread.half_angle_rad)


def _arm_m(thread: Thread) -> float:
    return thread.mean_diameter_mm / 2 / MM_PER_M

"""Shafts between bearings: the speed at which they whip, and the load at which they buckle."""

import math
from dataclasses import dataclass

from cutworthy.reference import drives
from cutworthy.reference.drives import EndsKind
from cutworthy.units import MM_PER_M, S_PER_MIN

__all__ = [
    "Steel",
    "bending_frequency_hz",
    "buckling_load_n",
    "column_load_n",
    "critical_speed_rpm",
    "euler_load_n",
    "johnson_load_n",
    "limiting_slenderness",
    "longest_span_mm",
    "steel",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Steel:
    """What a shaft is made of."""

    youngs_n_mm2: float
    density_kg_m3: float
    yield_n_mm2: float


def steel() -> Steel:
    """Return plain steel; where each number comes from stands in ``shafts.toml``."""
    return Steel(
        youngs_n_mm2=drives.steel_constant("youngs_n_mm2").value,
        density_kg_m3=drives.steel_constant("density_kg_m3").value,
        yield_n_mm2=drives.steel_constant("yield_n_mm2").value,
    )


def bending_frequency_hz(
    frequency_root: float, span_mm: float, area_mm2: float, second_moment_mm4: float, steel: Steel
) -> float:
    """Return the natural frequency of a bending beam [Hz].

    Source: [@thomson] section 9.5, (root / L)^2 sqrt(E I / (rho A)) / (2 pi).

    Parameters
    ----------
    frequency_root
        Root of the frequency equation of the ends; a higher root gives a higher mode.
    span_mm
        Free length between the supports [mm], positive; at least 20 diameters, below which shear and
        rotation make the true frequency lower.
    area_mm2
        Of the section, the same all along [mm^2].
    second_moment_mm4
        Of the section's area [mm^4].
    steel
        What the beam is made of.

    Notes
    -----
    No load along the beam. Compression lowers the frequency by sqrt(1 - load / buckling load).
    """
    radius_of_gyration_mm = math.sqrt(second_moment_mm4 / area_mm2)
    sound_mm_s = math.sqrt(steel.youngs_n_mm2 * MM_PER_M**2 / steel.density_kg_m3) * MM_PER_M
    return (frequency_root / span_mm) ** 2 * radius_of_gyration_mm * sound_mm_s / (2 * math.pi)


def critical_speed_rpm(root_mm: float, span_mm: float, ends: EndsKind, steel: Steel) -> float:
    """Return the speed at which a turning screw begins to whip, the critical speed itself [rpm].

    Source: [@thomson] table 9.5-1: the first bending frequency of a round bar.

    Parameters
    ----------
    root_mm
        Diameter of the shaft below the thread [mm].
    span_mm
        Longest free length, between bearings or from bearing to nut [mm], positive.
    ends
        How the bearings hold. A single ball bearing or a short plain bush is nearer simple than fixed.
    steel
        What the screw is made of.

    Notes
    -----
    The usual rule stays below 80 % of it; the rule is not in here. As for ``bending_frequency_hz``.
    """
    area, second_moment = _round_section(root_mm)
    frequency = bending_frequency_hz(drives.holding(ends).frequency_root, span_mm, area, second_moment, steel)
    return S_PER_MIN * frequency


def longest_span_mm(root_mm: float, speed_rpm: float, ends: EndsKind, steel: Steel, share: float) -> float:
    """Return the span whose critical speed, times a share, is a given speed [mm].

    Source: [@thomson] table 9.5-1, solved for the length.

    Parameters
    ----------
    root_mm
        Diameter of the shaft below the thread [mm].
    speed_rpm
        Speed that the screw must reach [rpm], positive.
    ends
        How the bearings hold.
    steel
        What the screw is made of.
    share
        Share of the critical speed that is allowed, 0.8 by the usual rule.
    """
    unit_mm = 1.0
    return unit_mm * math.sqrt(share * critical_speed_rpm(root_mm, unit_mm, ends, steel) / speed_rpm)


def limiting_slenderness(constant: float, steel: Steel) -> float:
    """Return the length over radius of gyration from which a column buckles before it yields.

    Source: [@shigley] section 4-12, sqrt(2 pi^2 C E / S_y), from memory; [@wentzell] examples 3.5 and 3.6.

    Parameters
    ----------
    constant
        Buckling load over that with simple ends; for an effective length K L it is K^-2.
    steel
        What the column is made of.
    """
    return math.sqrt(2 * math.pi**2 * constant * steel.youngs_n_mm2 / steel.yield_n_mm2)


def euler_load_n(second_moment_mm4: float, length_mm: float, constant: float, steel: Steel) -> float:
    """Return the load at which a long column buckles [N].

    Source: [@shigley] section 4-11, C pi^2 E I / L^2, from memory; [@wentzell] example 3.5.

    Parameters
    ----------
    second_moment_mm4
        Least second moment of the section's area [mm^4].
    length_mm
        Length between the ends [mm], positive; below the limiting slenderness the result is too high.
    constant
        Buckling load over that with simple ends.
    steel
        What the column is made of.
    """
    return constant * math.pi**2 * steel.youngs_n_mm2 * second_moment_mm4 / length_mm**2


def johnson_load_n(area_mm2: float, second_moment_mm4: float, length_mm: float, constant: float, steel: Steel) -> float:
    """Return the load at which a short column buckles [N].

    Source: [@shigley] section 4-13, A (S_y - (S_y L / (2 pi k))^2 / (C E)), from memory; [@wentzell] example 3.6.

    Parameters
    ----------
    area_mm2
        Of the section [mm^2].
    second_moment_mm4
        Least second moment of the section's area [mm^4].
    length_mm
        Length between the ends [mm]; beyond the limiting slenderness the result is too low, at last negative.
    constant
        Buckling load over that with simple ends.
    steel
        What the column is made of.
    """
    radius_of_gyration_mm = math.sqrt(second_moment_mm4 / area_mm2)
    bent = (steel.yield_n_mm2 * length_mm / (2 * math.pi * radius_of_gyration_mm)) ** 2
    return area_mm2 * (steel.yield_n_mm2 - bent / (constant * steel.youngs_n_mm2))


def column_load_n(area_mm2: float, second_moment_mm4: float, length_mm: float, constant: float, steel: Steel) -> float:
    """Return the load at which a column of any length buckles, before any safety factor [N].

    Source: [@shigley] sections 4-11 to 4-13, from memory: Euler from the limiting slenderness on, Johnson below.

    Parameters
    ----------
    area_mm2
        Of the section [mm^2].
    second_moment_mm4
        Least second moment of the section's area [mm^4].
    length_mm
        Length between the ends [mm], positive.
    constant
        Buckling load over that with simple ends.
    steel
        What the column is made of.
    """
    slenderness = length_mm / math.sqrt(second_moment_mm4 / area_mm2)
    if slenderness >= limiting_slenderness(constant, steel):
        return euler_load_n(second_moment_mm4, length_mm, constant, steel)
    return johnson_load_n(area_mm2, second_moment_mm4, length_mm, constant, steel)


def buckling_load_n(root_mm: float, span_mm: float, ends: EndsKind, steel: Steel) -> float:
    """Return the push at which a screw buckles, before any safety factor [N].

    Source: [@shigley] sections 4-11 to 4-13, from memory, with the ends' constants by theory.

    Parameters
    ----------
    root_mm
        Diameter of the shaft below the thread [mm].
    span_mm
        Free length under push, at most from fixed bearing to nut [mm], positive.
    ends
        How bearing and nut hold.
    steel
        What the screw is made of.
    """
    area, second_moment = _round_section(root_mm)
    return column_load_n(area, second_moment, span_mm, drives.holding(ends).euler_constant, steel)


def _round_section(diameter_mm: float) -> tuple[float, float]:
    """Return area and second moment of area of a round bar [mm^2, mm^4]."""
    return math.pi / 4 * diameter_mm**2, math.pi / 64 * diameter_mm**4

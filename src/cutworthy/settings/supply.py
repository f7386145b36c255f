"""What the motors take from their supply, what braking gives back, and what the wires lose.

How far a supply sags under too much load has no formula: some fold back, some switch off. So there
is none here; the current needed is compared with the current on the label.
"""

import math
from collections.abc import Iterable

from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH, MM_PER_M

__all__ = [
    "awg_area_mm2",
    "awg_diameter_mm",
    "bus_voltage_after_braking_v",
    "hot_ratio",
    "kinetic_energy_j",
    "most_voltage_v",
    "resistance_hot_ohm",
    "supply_current_a",
    "supply_power_w",
    "two_thirds_current_a",
    "voltage_drop_v",
    "wire_resistance_ohm",
]

COPPER_OHM_M = 1.7241e-8  # annealed copper at 20 C, 100 % IACS
COPPER_PER_K = 0.00393  # of the resistance at 20 C
COLD_C = 20.0
MILLIHENRY = 1e-3


def supply_power_w(coil_heat_w: float, mechanical_w: float, driver_efficiency: float) -> float:
    """Return the power taken from the supply [W].

    Source: energy balance; common practice, no source for the efficiency of drivers.

    Parameters
    ----------
    coil_heat_w
        Heat in the coils of all motors together [W].
    mechanical_w
        Mechanical power of all motors together [W], at the worst combination of axes.
    driver_efficiency
        Share that the drivers pass on [-], above 0, at most 1.
    """
    return (coil_heat_w + mechanical_w) / driver_efficiency


def supply_current_a(power_w: float, supply_v: float) -> float:
    """Return the current taken from the supply [A]: far below the sum of the coils' currents.

    Source: definition of power; a chopping driver trades voltage for current.

    Parameters
    ----------
    power_w
        Power taken from the supply [W].
    supply_v
        Voltage of the supply [V], positive.
    """
    return power_w / supply_v


def two_thirds_current_a(currents_a: Iterable[float]) -> float:
    """Return the current that a supply should have by the rule of the trade [A]; generous.

    Source: common practice, no source: two thirds, said as 0.67, of the sum of the motors' currents.

    Parameters
    ----------
    currents_a
        Rated current of each motor [A].
    """
    return limit("supply_rule").value * sum(currents_a)


def hot_ratio(celsius: float) -> float:
    """Return the resistance of copper at a temperature over that at 20 C [-].

    Source: common practice, no source: 0.393 % a kelvin from 20 C. A straight line, good between the
    cold of a shop and the heat that a coil bears; it goes on beyond, and turns negative below -234 C.

    Parameters
    ----------
    celsius
        Temperature of the copper [C].
    """
    return 1 + COPPER_PER_K * (celsius - COLD_C)


def resistance_hot_ohm(resistance_ohm: float, celsius: float) -> float:
    """Return the resistance of a copper coil at a temperature [ohm].

    Source: common practice, no source, as ``hot_ratio``.

    Parameters
    ----------
    resistance_ohm
        At 20 C [ohm], as labels say.
    celsius
        Temperature of the coil [C].
    """
    return resistance_ohm * hot_ratio(celsius)


def kinetic_energy_j(mass_kg: float, speed_mm_s: float, inertia_kg_m2: float, turns_rpm: float) -> float:
    """Return the energy of something that slides and something that turns [J].

    Source: kinematics, no source needed; half m v^2 and half J w^2.

    Parameters
    ----------
    mass_kg
        Mass of what slides [kg].
    speed_mm_s
        Its speed [mm/s].
    inertia_kg_m2
        Inertia of what turns, all of it together [kg·m²].
    turns_rpm
        Its speed [rpm].
    """
    return (mass_kg * (speed_mm_s / MM_PER_M) ** 2 + inertia_kg_m2 * (turns_rpm / 60 * math.tau) ** 2) / 2


def bus_voltage_after_braking_v(supply_v: float, capacitance_f: float, energy_j: float) -> float:
    """Return the voltage that braking lifts the supply's capacitor to [V].

    Source: energy in a capacitor, half C V^2. All energy is taken to come back: friction, coils and
    driver keep a part, so this is the upper end.

    Parameters
    ----------
    supply_v
        Voltage of the supply before [V].
    capacitance_f
        Capacitance at supply and drivers [F], positive.
    energy_j
        Energy of what is braked [J], not negative.
    """
    return math.sqrt(supply_v**2 + 2 * energy_j / capacitance_f)


def most_voltage_v(inductance_h: float) -> float:
    """Return the most supply voltage that a winding stands without growing hot [V].

    Source: common practice, no source: 32 times the root of the inductance in mH, from memory; a rule
    for the heat of iron in motors of NEMA 17 to 34. The driver's own limit comes first.

    Parameters
    ----------
    inductance_h
        Of a phase [H], positive.
    """
    return 32 * math.sqrt(inductance_h / MILLIHENRY)


def awg_diameter_mm(gauge: int) -> float:
    """Return the diameter of a solid wire by its gauge [mm].

    Source: [@astm-b258], d = 0.005 in * 92^((36 - n) / 39).

    Parameters
    ----------
    gauge
        AWG number [-], 40 to 0; 00, 000 and 0000 are -1, -2 and -3. Beyond them the rule goes on,
        the standard does not.
    """
    return float(0.005 * MM_PER_INCH * 92 ** ((36 - gauge) / 39))


def awg_area_mm2(gauge: int) -> float:
    """Return the cross-section of a wire by its gauge [mm^2].

    Source: [@astm-b258]. A stranded wire has about the same.

    Parameters
    ----------
    gauge
        AWG number [-], as for ``awg_diameter_mm``.
    """
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


def wire_resistance_ohm(area_mm2: float, length_mm: float) -> float:
    """Return the resistance of a copper wire at 20 C [ohm].

    Source: definition of the resistivity; 1.7241e-8 ohm·m, from memory. Warmer by ``resistance_hot_ohm``.

    Parameters
    ----------
    area_mm2
        Cross-section [mm^2], positive; of a gauge by ``awg_area_mm2``.
    length_mm
        Of the wire, out and back [mm].
    """
    return COPPER_OHM_M * MM_PER_M * length_mm / area_mm2


def voltage_drop_v(resistance_ohm: float, current_a: float) -> float:
    """Return the voltage lost in a wire [V].

    Source: Ohm's law.

    Parameters
    ----------
    resistance_ohm
        Of the wire, out and back [ohm].
    current_a
        Current in it [A].
    """
    return resistance_ohm * current_a

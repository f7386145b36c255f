import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.settings.supply import (
    awg_area_mm2,
    awg_diameter_mm,
    bus_voltage_after_braking_v,
    hot_ratio,
    kinetic_energy_j,
    most_voltage_v,
    resistance_hot_ohm,
    supply_current_a,
    supply_power_w,
    two_thirds_current_a,
    voltage_drop_v,
    wire_resistance_ohm,
)


def test_supply_of_three_motors():
    # Worked independently: 2.8 A and a hot coil of 1.11222 ohm, 0.3 N.m at 375 rpm each, driver 85 %.
    heat, mechanical = 2.8**2 * resistance_hot_ohm(0.9, 80.0), 0.3 * 375 * 2 * math.pi / 60
    assert mechanical == pytest.approx(11.780972450961723, rel=1e-15)
    assert (heat, heat + mechanical) == (pytest.approx(8.7198, abs=5e-5), pytest.approx(20.5008, abs=5e-5))
    taken = supply_power_w(3 * heat, 3 * mechanical, 0.85)
    assert taken == pytest.approx(72.356, abs=5e-4)
    assert supply_current_a(taken, 24.0) == pytest.approx(3.0148, abs=5e-5)
    assert supply_power_w(3 * heat, 3 * mechanical, 1.0) == pytest.approx(61.502, abs=5e-4)


@pytest.mark.parametrize(
    ("celsius", "ohm"), [(20.0, 0.9), (80.0, 1.11222), (0.0, 0.9 * (1 - 0.0786)), (45.0, 0.9 * 1.09825)]
)
def test_a_hot_coil(celsius, ohm):
    assert resistance_hot_ohm(0.9, celsius) == pytest.approx(ohm, rel=1e-12)
    assert hot_ratio(celsius) == pytest.approx(ohm / 0.9, rel=1e-12)


def test_two_thirds_of_the_currents():
    # Common practice, no source: Plover's 3.0, 3.0 and 2.5 A give 5.695 A; three motors of 2.8 A 5.6 A.
    assert two_thirds_current_a([3.0, 3.0, 2.5]) == pytest.approx(5.695, abs=1e-12)
    assert f"{two_thirds_current_a([2.8] * 3):.1f}" == "5.6"
    assert two_thirds_current_a([]) == 0


def test_braking_lifts_the_bus():
    # 0.35784 J on 4700 uF from 24 V: worked independently from an energy of more digits.
    assert bus_voltage_after_braking_v(24.0, 4.7e-3, 0.35784) == pytest.approx(26.986548382626765, abs=5e-5)
    assert bus_voltage_after_braking_v(24.0, 4.7e-3, 0.0) == 24.0


@given(st.floats(12, 80), st.floats(1e-4, 1e-1), st.floats(0, 10))
def test_the_energy_of_braking_is_found_in_the_capacitor(volts, farads, joules):
    after = bus_voltage_after_braking_v(volts, farads, joules)
    assert farads * (after**2 - volts**2) / 2 == pytest.approx(joules, abs=1e-9)


def test_kinetic_energy():
    # By hand: 20 kg at 100 mm/s hold 0.1 J; 1e-4 kg.m^2 at 600 rpm hold 0.197392 J.
    assert kinetic_energy_j(20.0, 100.0, 0.0, 0.0) == pytest.approx(0.1, rel=1e-15)
    assert kinetic_energy_j(0.0, 0.0, 1e-4, 600.0) == pytest.approx(0.197392, abs=5e-7)
    # A mass on a screw, and the same as inertia m (lead / 2 pi)^2 on its shaft.
    lead_mm, speed_mm_s = 10.0, 50.0
    reflected = 14 * (lead_mm / 1000 / (2 * math.pi)) ** 2
    turning = kinetic_energy_j(0.0, 0.0, reflected, speed_mm_s / lead_mm * 60)
    assert turning == pytest.approx(kinetic_energy_j(14.0, speed_mm_s, 0.0, 0.0), rel=1e-12)


def test_most_voltage_of_a_winding():
    # Trade rule, from memory: 2.5 mH take 50.6 V.
    assert most_voltage_v(2.5e-3) == pytest.approx(50.6, abs=0.05)
    assert most_voltage_v(1e-3) == pytest.approx(32, rel=1e-12)


def test_a_thin_supply_wire():
    # 0.75 mm^2: 23 milliohm a metre, 10 m and 3 A lose 0.69 V (to the printed digits).
    assert f"{wire_resistance_ohm(0.75, 1000.0) * 1e3:.0f}" == "23"
    assert f"{voltage_drop_v(wire_resistance_ohm(0.75, 10_000.0), 3.0):.2f}" == "0.69"


@given(st.integers(-3, 40))
def test_six_gauges_double_the_area_and_area_follows_diameter(gauge):
    # 92^(6/39) = 2.0050: common practice halves the gauge arithmetic by it.
    assert awg_area_mm2(gauge) / awg_area_mm2(gauge + 6) == pytest.approx(92 ** (12 / 39), rel=1e-12)
    assert awg_area_mm2(gauge) == pytest.approx(math.pi / 4 * awg_diameter_mm(gauge) ** 2, rel=1e-15)

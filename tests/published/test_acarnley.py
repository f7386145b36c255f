"""P. P. Acarnley, "Stepping Motors: a guide to theory and practice", chapters 3 and 5, from memory.

The book was not opened; edition and pages are not recorded. Chapter 3: static position error
asin(T_L / T_H) / p. Chapter 5: pull-out torque of a voltage-limited motor,
p psi (V / Z - w psi R / Z^2) with Z = sqrt(R^2 + w^2 L^2). The numbers were computed from these formulas
outside this package.
"""

import math

import pytest

from cutworthy.settings.motor import Winding, flux_wb, torque_n_m
from cutworthy.settings.steps import static_lag_rad


@pytest.mark.parametrize(
    ("share", "degrees", "full_steps"),
    [
        (0.10, 0.11478340954533574, 0.06376856085851985),
        (0.25, 0.2895502437185985, 0.16086124651033248),
        (0.50, 0.6000000000000001, 0.3333333333333333),
        (0.90, 1.2831613447366574, 0.7128674137425874),
    ],
)
def test_chapter_3_static_position_error(share, degrees, full_steps):
    lag = static_lag_rad(share * 1.26, 1.26, 50)
    assert math.degrees(lag) == pytest.approx(degrees, rel=1e-12)
    assert lag / (2 * math.pi / 200) == pytest.approx(full_steps, rel=1e-12)


def test_chapter_3_a_quarter_of_the_torque_on_a_lead_of_8_mm():
    assert static_lag_rad(0.25, 1.0, 50) / (2 * math.pi) * 8 == pytest.approx(0.0064344498604133, rel=1e-12)


@pytest.mark.parametrize("rpm", [600, 900, 1500, 3000])
def test_chapter_5_pull_out_torque_where_only_the_voltage_limits(rpm):
    # A driver whose current limit is out of reach.
    flux = flux_wb(1.26, 2.8, 50)
    motor = Winding(flux_wb=flux, rotor_teeth=50, resistance_ohm=0.9, inductance_h=2.5e-3, peak_a=100.0)
    w = 50 * rpm * 2 * math.pi / 60
    z = math.hypot(0.9, w * 2.5e-3)
    assert torque_n_m(motor, 24, rpm) == pytest.approx(50 * flux * (24 / z - w * flux * 0.9 / z**2), rel=1e-12)


def test_chapter_5_at_600_rpm_the_bare_formula_says_more_than_a_current_limit_allows():
    flux = flux_wb(1.26, 2.8, 50)
    free = Winding(flux_wb=flux, rotor_teeth=50, resistance_ohm=0.9, inductance_h=2.5e-3, peak_a=3.73)
    assert torque_n_m(free, 24, 600) == pytest.approx(0.874404, abs=5e-7)
    held = Winding(flux_wb=flux, rotor_teeth=50, resistance_ohm=0.9, inductance_h=2.5e-3, peak_a=3.71)
    assert torque_n_m(held, 24, 600) < 0.874404 - 5e-7  # it needs 3.72 A

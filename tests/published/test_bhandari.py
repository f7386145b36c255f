"""V. B. Bhandari, Design of Machine Elements, chapter 6, example 6.6; edition not recorded.

Read in a copy of the book's examples by volunteers: the inputs are the book's, the printed
results are the copy's.
"""

import math

import pytest

from cutworthy.settings.screw import (
    Thread,
    collar_torque_n_m,
    efficiency,
    half_angle_rad,
    mean_diameter_mm,
    raise_torque_n_m,
)

LOAD = 2000.0


def test_example_6_6_trapezoidal_lead_screw():
    # d 52 mm, p 8 mm, one start, mu 0.15; collar 100 and 60 mm, uniform wear, mu 0.12; 2 kN at 30 rpm.
    screw = Thread(
        lead_mm=8.0,
        mean_diameter_mm=mean_diameter_mm("trapezoidal", 52.0, 8.0),
        half_angle_rad=half_angle_rad("trapezoidal"),
        friction=0.15,
    )
    torque = raise_torque_n_m(LOAD, screw) + collar_torque_n_m(LOAD, (100 + 60) / 2, 0.12)
    power_kw = torque * 30 * 2 * math.pi / 60 / 1000
    share = efficiency(screw) * raise_torque_n_m(LOAD, screw) / torque
    assert power_kw == pytest.approx(0.061838, abs=5e-7)
    assert share * 100 == pytest.approx(12.937099, abs=5e-7)
    assert torque == pytest.approx(19.683540494743866, rel=1e-12)
    assert power_kw == pytest.approx(0.06183766621492452, rel=1e-12)

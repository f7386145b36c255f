"""M. Lalanne, P. Berthier, J. Der Hagopian, Mécanique des vibrations linéaires, Masson, Paris 1980.

A fixed-fixed beam; the frequencies are those of a sample run printed with a program that J-P. Moreau
wrote after the book.
"""

import math

import pytest
from scipy.optimize import brentq

from cutworthy.reference import drives
from cutworthy.settings.shaft import Steel, bending_frequency_hz

# b 0.4 m, h 0.5 m, L 10 m, E 2e11 N/m^2, rho 7800 kg/m^3.
BEAM = Steel(youngs_n_mm2=200_000.0, density_kg_m3=7800.0, yield_n_mm2=350.0)
AREA, SECOND_MOMENT = 400.0 * 500.0, 400.0 * 500.0**3 / 12
# Mode, frequency, and how near the run comes. Its roots of the higher modes end early: 10.99560774, 14.13716520 and
# 17.27875951 give its numbers, where 1 = cos x cosh x has 10.99560784, 14.13716549 and 17.27875966.
PRINTED = [
    (1, 26.025373, 1e-6),  # cut, not rounded: in full it is 26.0253736
    (2, 71.739944, 1e-6),
    (3, 140.638973, 3e-6),
    (4, 232.483361, 1e-5),
    (5, 347.290041, 7e-6),
]


@pytest.mark.parametrize(("mode", "printed", "near"), PRINTED)
def test_frequencies_of_a_fixed_fixed_beam(mode, printed, near):
    about = (mode + 0.5) * math.pi
    root = brentq(lambda x: math.cos(x) - 1 / math.cosh(x), about - 0.1, about + 0.1, xtol=1e-14)
    assert bending_frequency_hz(root, 10_000.0, AREA, SECOND_MOMENT, BEAM) == pytest.approx(printed, abs=near)


@pytest.mark.parametrize(
    ("root", "printed"), [(10.99560774, 140.638973), (14.13716520, 232.483361), (17.27875951, 347.290041)]
)
def test_the_run_s_own_roots_give_its_numbers(root, printed):
    assert bending_frequency_hz(root, 10_000.0, AREA, SECOND_MOMENT, BEAM) == pytest.approx(printed, abs=6e-7)


def test_first_frequency_in_full():
    root = drives.holding("fixed-fixed").frequency_root
    frequency = bending_frequency_hz(root, 10_000.0, AREA, SECOND_MOMENT, BEAM)
    assert frequency == pytest.approx(26.025373624379753, rel=1e-12)

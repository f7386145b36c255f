"""The Guide to the expression of uncertainty in measurement, JCGM 100:2008: examples H.1 and H.3, table G.2.

The inputs were read in the documents of a general library for uncertainties that works through the Guide's examples;
the Guide itself was not at hand.
"""

import math

import numpy as np
import pytest
from digits import printed

from cutworthy.metrology.uncertainty import Part, arcsine, combined, least_squares, rectangular, t_factor

# Table G.2: factors for 95 % and 99 %, by degrees of freedom; from memory, agreeing with a general library.
G2 = {
    1: ("12.71", "63.66"), 2: ("4.30", "9.92"), 3: ("3.18", "5.84"), 4: ("2.78", "4.60"), 5: ("2.57", "4.03"),
    6: ("2.45", "3.71"), 8: ("2.31", "3.36"), 10: ("2.23", "3.17"), 20: ("2.09", "2.85"), math.inf: ("1.960", "2.576"),
}  # fmt: skip

# H.3: the correction of a thermometer over its reading, eleven points.
READ_C = "21.521 22.012 22.512 23.003 23.507 23.999 24.513 25.002 25.503 26.010 26.511"
CORRECTION_C = "-0.171 -0.169 -0.166 -0.159 -0.164 -0.165 -0.156 -0.157 -0.159 -0.161 -0.160"


@pytest.mark.parametrize(("dof", "factors"), G2.items())
def test_students_factors(dof, factors):
    for coverage, factor in zip((0.95, 0.99), factors, strict=True):
        assert t_factor(dof, coverage) == printed(factor)


def test_h1_an_end_gauge():
    """Length at 20 C by comparison with a standard: 50 000 838 nm, 32 nm, 16 degrees of freedom (printed)."""
    length = 50_000_623.0
    d = combined(
        215.0, [Part(weight=1, u=5.8, dof=24), Part(weight=1, u=3.9, dof=5), Part(weight=1, u=6.7, dof=8)], "nm"
    )
    assert d.u == printed("9.7")
    assert d.dof == printed("25.4")  # the Guide rounds on its way: 25.6; exactly it is 25.4
    parts = [
        Part(weight=1, u=25, dof=18),
        Part(weight=1, u=d.u, dof=d.dof),
        Part(weight=length * -0.1, u=rectangular(1e-6), dof=50),
        Part(weight=length * 11.5e-6, u=rectangular(0.05), dof=2),
    ]
    found = combined(length + d.value, parts, "nm")
    assert found.value == printed("50000838")
    assert found.u == printed("32")
    assert math.floor(found.dof) == 16
    assert 93 - 1 <= t_factor(16, 0.99) * found.u <= 93  # the Guide takes 32 nm times 2.92: 93 nm
    assert arcsine(0.5) == printed("0.35")


def test_h3_the_correction_of_a_thermometer():
    read, correction = (np.array([float(number) for number in row.split()]) for row in (READ_C, CORRECTION_C))
    design = np.stack([np.ones_like(read), read - 20], axis=1)
    fit = least_squares(design, correction, 0.0)
    assert float(fit.values[0]) == printed("-0.1712")
    assert float(fit.values[1]) == printed("0.00218")
    assert fit.part(0).u == printed("0.0029")
    assert fit.part(1).u == printed("0.00067")
    assert fit.scatter == printed("0.0035")
    covariance = fit.covariance
    assert float(covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1])) == printed("-0.930")
    at_30 = np.array([1.0, 10.0])
    assert float(at_30 @ fit.values) == printed("-0.1494")
    assert float(np.sqrt(at_30 @ covariance @ at_30)) == printed("0.0041")
    assert fit.dof == 9

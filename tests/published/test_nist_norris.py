"""NIST Statistical Reference Datasets, linear regression, Norris: 36 points with certified values.

The data come with scipy, which tests itself by them.
"""

from importlib.resources import files

import numpy as np
import pytest

from cutworthy.metrology.uncertainty import least_squares

CERTIFIED = {"a": -0.262323073774029, "b": 1.00211681802045}
DEVIATIONS = {"a": 0.232818234301152, "b": 0.000429796848199937}
SCATTER, DOF = 0.884796396144373, 34


def norris():
    text = (files("scipy") / "stats" / "tests" / "data" / "nist_linregress" / "Norris.dat").read_text(encoding="ascii")
    rows = [line.split() for line in text.splitlines()[60:] if line.strip()]
    y, x = (np.array([float(row[column]) for row in rows]) for column in (0, 1))
    return x, y


def test_norris():
    x, y = norris()
    assert len(x) == 36
    fit = least_squares(np.stack([np.ones_like(x), x], axis=1), y, 0.0)
    for number, name in enumerate("ab"):
        assert fit.values[number] == pytest.approx(CERTIFIED[name], rel=1e-11)
        assert fit.part(number).u == pytest.approx(DEVIATIONS[name], rel=1e-11)
    assert fit.scatter == pytest.approx(SCATTER, rel=1e-12)
    assert fit.dof == DOF

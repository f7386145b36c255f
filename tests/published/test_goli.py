"""Goli and others, Materials 11 (2018) 2575, table 3, quoted second-hand: the force on an edge in MDF."""

import numpy as np
import pytest
from digits import printed

from cutworthy.loads.force import edge_line
from cutworthy.model.settings import Band
from cutworthy.model.wood import Wood
from cutworthy.reference.cutting import cutting

LINE = cutting()["line"]["mdf"]


@pytest.mark.parametrize(
    ("chip", "force", "pressure"), [(0.05, "4.93", "99"), (0.07, "5.56", "79"), (0.091, "6.22", "68")]
)
def test_force_and_pressure(chip, force, pressure):
    found = LINE["k"] * chip + LINE["i"]
    assert found == printed(force)
    assert found / chip == printed(pressure)


def test_another_laboratory_agrees_in_shape():
    """Kopecký, Wood Research 2019, quoted second-hand: the ratio of slope to intercept, 49.954 to 5.305."""
    assert LINE["k"] / LINE["i"] == pytest.approx(49.954 / 5.305, rel=0.01)


def test_its_own_scatter_lies_within_the_band():
    """Slopes of 25.81 to 35.58 and intercepts of 2.96 to 3.83 were found, board by board."""
    mdf = Wood(
        said="MDF", names=("MDF",), kinds=("mdf",), density_kg_m3=Band(low=650, expected=740, high=800), stated=False
    )
    low, high = (edge_line(mdf)[name] for name in ("low", "high"))
    for chip in np.linspace(0.041, 0.091, 5):
        assert low.k_at(chip) * chip + low.i_n_mm <= 25.81 * chip + 2.96
        assert high.k_at(chip) * chip + high.i_n_mm >= 35.58 * chip + 3.83


@pytest.mark.parametrize(("chip", "pressure", "force"), [(0.02, "1861", "37"), (0.05, "1480", "74")])
def test_aluminium(chip, pressure, force):
    """kc = 700 / h^0.25: handbooks of metal cutting, from memory; worked out outside the project."""
    row = cutting()["line"]["metal"]
    found = row["k"] / chip ** row["fall"]
    assert found == printed(pressure)
    assert found * chip == printed(force)

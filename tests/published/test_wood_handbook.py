"""USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), table 5-3b: woods at 12 % of moisture.

Densities follow from its specific gravities by 1120 G (chapter 4, from memory); names are common practice, no source.
"""

import pytest

from cutworthy.loads.wood import wood_of
from cutworthy.model.job import Board
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.reference.woods import matching, woods

GRAVITIES = {
    "northern red oak": 0.63, "white oak": 0.68, "sugar maple": 0.63, "red maple": 0.54, "black walnut": 0.55,
    "black cherry": 0.50, "yellow-poplar": 0.42, "white ash": 0.60, "yellow birch": 0.62, "beech": 0.64,
    "red alder": 0.41, "basswood": 0.37, "shagbark hickory": 0.72, "eastern white pine": 0.35, "ponderosa pine": 0.40,
    "douglas fir": 0.48, "western redcedar": 0.32, "loblolly pine": 0.51, "longleaf pine": 0.59, "sitka spruce": 0.40,
    "red spruce": 0.40,
    "true mahogany": 0.45 / (1 - 0.265 * 0.45 * (1 - 12 / 30)), "teak": 0.55 / (1 - 0.265 * 0.55 * (1 - 12 / 30)),
}  # fmt: skip
# Of the two imports table 5-5b prints the gravity of green wood: converted by chapter 4, from memory.


@pytest.mark.parametrize("name", GRAVITIES)
def test_density(name):
    (row,) = matching(name)
    assert row.kind == "wood"
    assert row.density_kg_m3 == pytest.approx(
        1120 * GRAVITIES[name], abs=5
    )  # the green ones of two imports are converted
    assert row.low_kg_m3 == pytest.approx(0.8 * row.density_kg_m3, abs=0.6)
    assert row.high_kg_m3 == pytest.approx(1.2 * row.density_kg_m3, abs=0.6)


@pytest.mark.parametrize(
    ("said", "kinds", "count"),
    [
        ("White Oak", {"wood"}, 1), ("oak, white", {"wood"}, 1), ("oak", {"wood"}, 3), ("red oak", {"wood"}, 2),
        ("quarter-sawn white oak board", {"wood"}, 1), ("oak plywood", {"plywood"}, 2),
        ("baltic birch", {"plywood"}, 1),
        ("birch", {"wood"}, 3), ("MDF 18 mm", {"mdf"}, 1), ("walnut veneered MDF", {"mdf"}, 1),
        ("pine shelf", {"wood"}, 5),
        ("chipboard", {"particleboard"}, 1), ("acrylic", {"hard-plastic"}, 1), ("HDPE", {"soft-plastic"}, 1),
        ("aluminum", {"metal"}, 1), ("", set(), 0), ("unobtainium", set(), 0), ("soak", set(), 0),
    ],
)  # fmt: skip
def test_names_of_the_shop(said, kinds, count):
    rows = matching(said)
    assert {row.kind for row in rows} == kinds
    assert len(rows) == count


def number(value, share=0.0):
    return Quantity(
        value=value, low=value * (1 - share), high=value * (1 + share), origin=Origin.MEASURED, key="board.density"
    )


def board(material, density=None):
    return Board(
        material=material,
        size_x_mm=number(300),
        size_y_mm=number(200),
        thickness_mm=number(18),
        spread_mm=number(0),
        at_x_mm=None,
        at_y_mm=None,
        bottom_z_mm=None,
        room_above_mm=None,
        grain="x",
        density_kg_m3=None if density is None else number(density, 0.05),
        thickness_map=(),
    )


def test_one_wood_has_its_own_span():
    oak = wood_of(board("white oak"))
    assert (oak.kinds, oak.names, oak.is_known) == (("wood",), ("white oak",), True)
    assert oak.density_kg_m3.expected == 762


def test_of_several_the_widest_span_counts():
    oaks = wood_of(board("oak"))
    assert len(oaks.names) == 3
    assert oaks.density_kg_m3.low == min(row.low_kg_m3 for row in matching("oak"))
    assert oaks.density_kg_m3.high == max(row.high_kg_m3 for row in matching("oak"))


def test_a_density_on_the_card_takes_its_place():
    oak = wood_of(board("oak", 700.0))
    assert (oak.density_kg_m3.low, oak.density_kg_m3.expected, oak.density_kg_m3.high) == (665.0, 700.0, 735.0)
    unknown = wood_of(board("bog wood", 700.0))
    assert (unknown.kinds, unknown.is_known) == (("wood",), True)


def test_what_is_not_known_may_be_anything_but_metal():
    anything = wood_of(board("bog wood"))
    assert not anything.is_known
    assert "metal" not in anything.kinds
    assert anything.density_kg_m3.low == min(row.low_kg_m3 for row in woods())

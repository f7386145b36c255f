"""Chip, force, power, bending and holding: sums worked out outside the project by the cited formulas.

The formulas are those of Martellotti's circle and Altintas, Manufacturing Automation, chapter 2 (from memory), beams
by Kops and Vo's core of 0.8 (from memory), friction. The force on the edge is that of MDF, Goli and others 2018,
table 3 (quoted second-hand), and of red oak, Curti and others 2021, table 5 (quoted second-hand).
"""

import math

import numpy as np
import pytest
from digits import printed
from scipy.integrate import quad
from scipy.optimize import brentq

from cutworthy.loads import bending, chips, holding
from cutworthy.loads.force import mean_push, solid_n_mm
from cutworthy.loads.power import cutting_power_w, torque_n_m

MDF = (31.44, 3.36)
OAK = tuple(1120 * 0.63 * each for each in (0.0620, 0.00532))

# Diameter, edges, rpm, feed [mm/min], depth, width, line; then as printed: feed for each edge, engagement [degrees],
# mean chip, greatest chip, mm^3/s, force of one edge [N], mean force [N], torque [N mm], power [W], energy [J/mm^3].
CASES = {
    "slot, 6 mm": (6, 2, 18000, 1800, 3, 6, MDF, ".050 180 .0318 .050 540 13.1 13.1 39.2 74.0 .137"),
    "slot, a quarter inch": (
        6.35,
        2,
        18000,
        2540,
        6.35,
        6.35,
        MDF,
        ".0706 180 .0449 .0706 1707 30.3 30.3 96.2 181.4 .106",
    ),
    "edge, 40 %": (6, 2, 18000, 3600, 6, 2.4, MDF, ".100 78.5 .0584 .098 864 31.2 13.6 40.8 76.9 .089"),
    "edge, 10 %": (6, 2, 18000, 3600, 6, 0.6, MDF, ".100 36.9 .0311 .060 216 26.0 5.33 16.0 30.1 .140"),
    "slot in red oak": (6.35, 2, 18000, 4572, 6.35, 6.35, OAK, ".127 180 .0809 .127 3073 46.3 46.3 147 277 .090"),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_milling(name):
    diameter, edges, rpm, feed, depth, width, (k, i), told = CASES[name]
    each, angle, mean, most, removed, one, force, torque, power, energy = told.split()
    per_edge = chips.feed_per_edge_mm(feed / 60, rpm, edges)
    engagement = chips.engagement_rad(width, diameter)
    chip = chips.mean_chip_mm(per_edge, engagement)
    assert per_edge == printed(each)
    assert math.degrees(engagement) == printed(angle)
    assert chip == printed(mean)
    assert chips.greatest_chip_mm(per_edge, engagement) == printed(most)
    cut = depth * width * feed / 60
    assert cut == printed(removed)
    of_one = depth * (k * chip + i)
    assert of_one == printed(one)
    mean_force = of_one * chips.edges_in_wood(edges, engagement)
    assert mean_force == printed(force)
    swept = engagement * diameter / 2 * depth * edges * rpm / 60
    watts = cutting_power_w(k, i, cut, swept)
    assert watts == printed(power)
    assert watts == pytest.approx(mean_force * chips.edge_speed_m_s(diameter, rpm), rel=1e-9)
    assert torque_n_m(watts, rpm) * 1000 == printed(torque)
    assert watts / cut == printed(energy)


def test_mean_force_of_a_slot_across_the_way():
    """z a K f / 4 + z a I / pi for the first slot: 8.78 N, along the way nothing but what pushes away."""
    assert 3 * mean_push(MDF[0] * 0.05, MDF[1], np.pi, 2) == printed("8.78")


@pytest.mark.parametrize("engagement", [0.3, 1.0, np.pi / 2, 2.5, np.pi])
def test_mean_force_by_numerical_integration(engagement):
    k, i, edges = 1.7, 3.4, 3

    def of(turn, along):
        return (k * np.sin(turn) + i) * (np.cos(turn) if along else np.sin(turn))

    along, across = (quad(of, 0, engagement, args=(way,))[0] for way in (True, False))
    assert mean_push(k, i, engagement, edges) == pytest.approx(
        edges / (2 * np.pi) * math.hypot(along, across), rel=1e-9
    )


@pytest.mark.parametrize(
    ("share", "times"), [(0.05, "2.29"), (0.10, "1.67"), (0.20, "1.25"), (0.30, "1.09"), (0.40, "1.02"), (0.50, "1.00")]
)
def test_thinning(share, times):
    assert chips.thinning(6 * share, 6) == printed(times)
    per_edge = 0.1
    thickest = chips.greatest_chip_mm(per_edge, chips.engagement_rad(6 * share, 6))
    assert per_edge / thickest == pytest.approx(chips.thinning(6 * share, 6), rel=1e-9)


@pytest.mark.parametrize("per_edge", [0.05, 0.1, 0.2])
@pytest.mark.parametrize("engagement", [0.6, np.pi / 2, 2.2])
def test_the_circle_is_near_the_edges_true_way(per_edge, engagement):
    """Martellotti: an edge moves on a trochoid. Its chip, edge by edge, beside the circle's f sin phi."""
    radius, edges = 3.0, 2
    forward = per_edge * edges / (2 * np.pi)  # of the middle, for each radian

    def thickness(turn):
        x, y = radius * np.sin(turn) + forward * turn, radius * np.cos(turn)
        middle = forward * turn

        def miss(before):  # how far the edge before was off the spoke
            px, py = forward * before - per_edge + radius * np.sin(before), radius * np.cos(before)
            return (px - middle) * np.cos(turn) - py * np.sin(turn)

        before = brentq(miss, turn - 0.5, turn + 0.5)
        px, py = forward * before - per_edge + radius * np.sin(before), radius * np.cos(before)
        return math.hypot(x - middle, y) - math.hypot(px - middle, py)

    turns = np.linspace(1e-3, engagement, 200)
    true = np.array([thickness(turn) for turn in turns])
    circle = chips.greatest_chip_mm(per_edge, np.minimum(turns, np.pi / 2))
    circle = np.where(turns > np.pi / 2, per_edge * np.sin(turns), circle)
    # The spoke's length differs by f^2 / 2R, and the middle moves on while the edge turns, by z f^2 / 2 pi R at most.
    assert np.abs(true - circle).max() <= per_edge**2 / (2 * radius) + edges * per_edge**2 / (2 * np.pi * radius)


# Bit: diameter, edges, flutes, to the collet from there, shank, force; then as printed.
BITS = {
    "an eighth of an inch, carbide": (3.175, 2, 17, 5, 3.175, 15, "carbide", "0.030"),
    "the same on a shank of a quarter": (3.175, 2, 17, 5, 6.35, 15, "carbide", "0.021"),
    "a quarter, carbide": (6.35, 2, 25, 10, 6.35, 46, "carbide", "0.021"),
    "a quarter, steel": (6.35, 2, 25, 10, 6.35, 46, "steel", "0.060"),
}


@pytest.mark.parametrize("name", BITS)
def test_bending(name):
    diameter, edges, flutes, beyond, shank, force, material, told = BITS[name]
    across = (bending.core_share(edges) * diameter, shank)
    young, _ = bending.young_mpa(material)
    young = 210e3 if material == "steel" else young  # the sum took 210 GPa, inside the 207 to 230 of such steels
    assert bending.deflection_mm(force, (flutes, beyond), across, young) == printed(told)


def test_stress():
    at_flutes = bending.stress_mpa(15, (17, 0), (0.8 * 3.175, 3.175))
    assert at_flutes == pytest.approx(158.504, abs=0.001)  # printed as 158: cut off, not rounded
    assert bending.stress_mpa(15, (17, 5), (1e3, 3.175)) == printed("105")
    assert bending.stress_mpa(46, (25, 0), (0.8 * 6.35, 6.35)) == printed("89")
    # Force for 3 GPa at the end of the flutes.
    assert 3000 / bending.stress_mpa(1, (17, 0), (0.8 * 3.175, 3.175)) == printed("284")
    assert 3000 / bending.stress_mpa(1, (25, 0), (0.8 * 6.35, 6.35)) == printed("1544")
    assert bending.deflection_mm(1, (27.5, 11), (2.5, 6), 6e5) / bending.deflection_mm(1, (25, 10), (2.5, 6), 6e5) == (
        pytest.approx(1.1**3, rel=1e-9)
    )


def test_bending_beside_a_solved_beam():
    """A bar of two thicknesses, held at one end and pushed at the other: virtual work, integrated numerically."""
    force, flutes, beyond, thin, thick, young = 30.0, 18.0, 9.0, 2.6, 3.175, 600e3

    def of(x):  # x from the load: force times x, twice, over E I
        return force * x**2 / (young * math.pi * (thin if x < flutes else thick) ** 4 / 64)

    solved = quad(of, 0, flutes)[0] + quad(of, flutes, flutes + beyond)[0]
    bent = bending.deflection_mm(force, (flutes, beyond), (thin, thick), young)
    assert bent == pytest.approx(solved, rel=1e-9)


def test_holding():
    assert holding.clamp_needed_n(46, 3, 0.25) == printed("552")
    assert holding.screw_clamp_n(5, 6) / 1000 == printed("4.2")
    assert holding.vacuum_n(30, 200 * 300) == printed("1800")
    assert holding.side_hold_n(1800, 0, 0.25) == printed("450")
    assert holding.vacuum_n(60, 50 * 50) == printed("150")
    lift = 46 * math.tan(math.radians(30))
    assert lift == printed("26.6")
    assert holding.side_hold_n(150, lift, 0.25) == pytest.approx(30.9, abs=0.06)  # printed from a rounded lift
    assert holding.tab_n(6, 1.5, 4) == printed("36")


def test_power_of_motors():
    assert torque_n_m(350, 25_000) == printed("0.134")
    assert torque_n_m(2200, 24_000) == printed("0.875")
    assert solid_n_mm(OAK[0] / 0.0620, 0.0809, "against") * 6.35 == printed("46.3")

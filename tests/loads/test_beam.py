"""A bit's bending and stress beside a beam of finite elements: pushed within the flutes, held at the collet.

The elements are Euler's and Bernoulli's, cubic between their ends, their stiffness integrated by Gauss; they share
nothing with the closed formulas. What lies beyond the push is there too, straight and free. The work of the moment by
numeric integration stands in published/test_cutting_sums.py.
"""

import itertools
from dataclasses import dataclass

import numpy as np
import pytest

from cutworthy.loads import bending

GAUSS = np.polynomial.legendre.leggauss(3)  # exact for the product of two curvatures, and for a load on a cubic


@dataclass(frozen=True)
class Bit:
    """Lengths from the tip [mm], thicknesses [mm], stiffness [MPa]; the push lies within the flutes."""

    push: float
    flutes: float
    stickout: float
    thin: float
    thick: float
    young: float


BITS = {
    "two edges, an eighth": Bit(push=1.5, flutes=12.0, stickout=25.0, thin=0.8 * 3.175, thick=3.175, young=600e3),
    "on a thicker shank": Bit(push=4.0, flutes=17.0, stickout=22.0, thin=0.8 * 3.175, thick=6.35, young=600e3),
    "one edge, steel": Bit(push=6.0, flutes=22.0, stickout=35.0, thin=0.7 * 6.0, thick=6.0, young=207e3),
    "a shank thinner than the flutes": Bit(push=2.0, flutes=8.0, stickout=30.0, thin=0.8 * 12, thick=6.0, young=600e3),
    "flutes up into the collet": Bit(push=3.0, flutes=30.0, stickout=30.0, thin=4.8, thick=6.0, young=600e3),
    "pushed at its very end": Bit(push=0.0, flutes=10.0, stickout=20.0, thin=2.54, thick=3.175, young=600e3),
}
NEWTONS = 37.0
EACH = 10  # elements between two marks, so 20 or more
CLOSE = 1e-6


def second_moment(across):
    """Return that of a round bar by rings rather than by the formula [mm^4]."""
    radius = np.linspace(0, across / 2, 20001)
    middle, wide = (radius[1:] + radius[:-1]) / 2, np.diff(radius)
    return float(np.sum(np.pi * middle**3 * wide))


def curvatures(share, length):
    """Return the curvature at a share of an element, for a unit of way and of slope at either of its ends."""
    ways = np.array([12 * share - 6, 6 * share - 4, 6 - 12 * share, 6 * share - 2])
    return ways / np.array([length**2, length, length**2, length])


def elements(bit):
    """Return the elements from the tip on, begin and end [mm]: push and end of the flutes lie between two of them."""
    marks = np.unique([0.0, bit.push, bit.flutes, bit.stickout])
    ends = [np.linspace(*each, EACH + 1)[1:] for each in itertools.pairwise(marks)]
    return list(itertools.pairwise(np.concatenate([marks[:1], *ends])))


def bent(bit):
    """Return the elements with thickness and second moment, and way and slope of all their ends."""
    parts = [(*ends, bit.thin if ends[1] <= bit.flutes else bit.thick) for ends in elements(bit)]
    size = 2 * len(parts) + 2
    whole, push = np.zeros((size, size)), np.zeros(size)
    push[2 * [begin for begin, _, _ in parts].index(bit.push)] = NEWTONS
    for number, (begin, end, across) in enumerate(parts):
        own = slice(2 * number, 2 * number + 4)
        for share, weight in zip((GAUSS[0] + 1) / 2, GAUSS[1] / 2, strict=True):
            bend = curvatures(share, end - begin)
            whole[own, own] += bit.young * second_moment(across) * weight * (end - begin) * np.outer(bend, bend)
    found = np.zeros(size)
    found[:-2] = np.linalg.solve(whole[:-2, :-2], push[:-2])  # the last end is held: no way, no slope
    return parts, found


def spans(bit):
    return bit.flutes - bit.push, bit.stickout - bit.flutes


@pytest.mark.parametrize("name", BITS)
def test_bending_where_it_is_pushed(name):
    bit = BITS[name]
    parts, found = bent(bit)
    assert len(parts) >= 20
    way = found[2 * [begin for begin, _, _ in parts].index(bit.push)]
    assert bending.deflection_mm(NEWTONS, spans(bit), (bit.thin, bit.thick), bit.young) == pytest.approx(way, rel=CLOSE)


@pytest.mark.parametrize("name", BITS)
def test_the_greatest_stress_anywhere_along_it(name):
    bit = BITS[name]
    parts, found = bent(bit)
    stresses = [
        bit.young * across / 2 * abs(curvatures(share, end - begin) @ found[2 * number : 2 * number + 4])
        for number, (begin, end, across) in enumerate(parts)
        for share in (0.0, 0.5, 1.0)
    ]
    assert bending.stress_mpa(NEWTONS, spans(bit), (bit.thin, bit.thick)) == pytest.approx(max(stresses), rel=CLOSE)

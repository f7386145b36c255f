"""W. T. Thomson, Theory of Vibration with Applications, table 9.5-1 (page 283) and appendix D (page 510).

Edition not recorded. The twelve decimals are the roots of the table's frequency equations, found here.
"""

import math

import pytest
from scipy.optimize import brentq

from cutworthy.reference import drives

# Ends, frequency equation with its poles taken out, a bracket of the first root, the printed root and its square.
TABLE = [
    ("fixed-free", lambda x: 1 / math.cosh(x) + math.cos(x), 1.5, 2.5, "1.8751", "3.5160"),
    ("simple-simple", math.sin, 3.0, 3.5, None, "9.87"),
    ("fixed-simple", lambda x: math.sin(x) - math.tanh(x) * math.cos(x), 3.5, 4.5, "3.9266", "15.4"),
    ("fixed-fixed", lambda x: 1 / math.cosh(x) - math.cos(x), 4.0, 5.0, "4.7300", "22.3733"),
]


def decimals(text):
    return len(text.partition(".")[2])


@pytest.mark.parametrize(("ends", "equation", "low", "high", "root", "square"), TABLE)
def test_roots_of_the_frequency_equations(ends, equation, low, high, root, square):
    held = drives.holding(ends).frequency_root
    assert held == pytest.approx(brentq(equation, low, high, xtol=1e-14), abs=1e-12)
    assert f"{held**2:.{decimals(square)}f}" == square
    assert root is None or f"{held:.{decimals(root)}f}" == root


@pytest.mark.parametrize(
    ("ends", "ratio"),
    [("fixed-free", 0.35624683), ("simple-simple", 1.0), ("fixed-simple", 1.56219085), ("fixed-fixed", 2.26688776)],
)
def test_ratio_to_simple_ends(ends, ratio):
    simple = drives.holding("simple-simple").frequency_root
    assert (drives.holding(ends).frequency_root / simple) ** 2 == pytest.approx(ratio, abs=5e-9)


def test_fixed_simple_column_is_the_first_root_of_tan_x_equals_x():
    root = brentq(lambda x: math.sin(x) - x * math.cos(x), 4.0, 4.7, xtol=1e-14)
    assert root == pytest.approx(4.4934, abs=5e-5)
    assert f"{(root / math.pi) ** 2:.4f}" == f"{drives.holding('fixed-simple').euler_constant}" == "2.0457"

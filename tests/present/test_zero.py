"""Where zero lies among the cuts, in words."""

import pytest

from cutworthy.model.program import Extents
from cutworthy.present.show import Display
from cutworthy.present.zero import zero_says


@pytest.mark.parametrize(
    ("across", "along", "words"),
    [
        ((0, 81), (0, 10), "at the front left corner of the cuts"),
        ((-81, 0), (0, 10), "at the front right corner of the cuts"),
        ((0, 81), (-10, 0), "at the back left corner of the cuts"),
        ((-81, 0), (-10, 0), "at the back right corner of the cuts"),
        ((-50, 50), (-20, 20), "at the centre of the cuts"),
        ((-50, 50), (0, 20), "at the middle of the front side of the cuts"),
        ((0, 50), (-20, 20), "at the middle of the left side of the cuts"),
        ((-3, 103), (-3, 63), "near the front left corner of the cuts"),
        ((4, 100), (0, 60), "near the front left corner of the cuts"),
        ((-52, 50), (-20, 20), "near the centre of the cuts"),
        ((20, 81), (15, 60), "in front and to the left of the cuts"),
        ((-81, -20), (-60, -15), "at the back and to the right of the cuts"),
        ((20, 81), (-30, 40), "to the left of the cuts"),
        ((-30, 60), (15, 60), "in front of the cuts"),
        ((-30, 60), (-20, 60), "inside the cuts, at no corner and not at the centre"),
        ((0, 0), (0, 50), "at the middle of the front side of the cuts"),
        ((0, 0), (0, 0), "at the centre of the cuts"),
    ],
)
def test_zero_in_words(across, along, words):
    cut = Extents(low_mm=(across[0], along[0], -1), high_mm=(across[1], along[1], 0))
    spans = f"(they go from X {across[0]} to {across[1]}, Y {along[0]} to {along[1]})"
    assert zero_says(cut, Display("mm")) == f"{words} {spans}"


def test_in_inches():
    cut = Extents(low_mm=(0, 0, -1), high_mm=(25.4, 12.7, 0))
    assert zero_says(cut, Display("inch")).endswith("(they go from X 0 to 1, Y 0 to 0.5)")

"""The tool's parts as cylinders."""

from types import SimpleNamespace

import numpy as np
import pytest

from cutworthy.clearance.parts import calls_bit, cylinders


def test_each_part_begins_where_the_card_puts_it(make: SimpleNamespace) -> None:
    machine = make.machine(nut=(22, 20), body=65, shoe=(90, 5))
    found = [(c.part, c.bottom_mm, c.radius_mm) for c in cylinders(make.job(bits=[make.bit(stickout=35)]), machine)]
    assert found == [("bit", 0, 3), ("nut", 35, 11), ("body", 55, 32.5), ("shoe", 30, 45)]


def test_a_part_that_is_not_on_the_card_is_left_out(make: SimpleNamespace) -> None:
    assert [c.part for c in cylinders(make.job(), make.machine(nut=None, body=None))] == ["bit"]


def test_a_body_without_a_nut_begins_as_low_as_it_can(make: SimpleNamespace) -> None:
    assert [c.bottom_mm for c in cylinders(make.job(), make.machine(nut=None))] == [0, 35]


def test_a_wide_shank_counts_above_the_cutting_length(make: SimpleNamespace) -> None:
    thin, wide = make.bit(diameter=3, shank=3, cutting_length=12), make.bit(diameter=3, shank=6, cutting_length=12)
    machine = make.machine(nut=None, body=None)
    assert [(c.bottom_mm, c.radius_mm) for c in cylinders(make.job(bits=[thin]), machine)] == [(0, 1.5)]
    assert [(c.part, c.bottom_mm, c.radius_mm) for c in cylinders(make.job(bits=[wide]), machine)] == [
        ("bit", 0, 1.5),
        ("bit", 12, 3),
    ]


def radius(make: SimpleNamespace, below: float, **bit: object) -> float:
    cylinder = cylinders(make.job(bits=[make.bit(**bit)]), make.machine())[0]
    return float(cylinder.radius_at(np.array([-below]), 0.0)[0])


def test_a_vee_is_as_wide_as_where_the_top_cuts_it(make: SimpleNamespace) -> None:
    # A 90 degree vee widens 1 mm a side for each mm of depth, from half the flat on its tip.
    vee = {"kind": "vee", "diameter": 12, "angle": 90, "tip": 0.2}
    assert radius(make, 2, **vee) == pytest.approx(2.1)
    assert radius(make, -1, **vee) == pytest.approx(0.1), "above the top only the tip counts"
    assert radius(make, 50, **vee) == 6


def test_a_taper_holds_its_ball(make: SimpleNamespace) -> None:
    """The cone counts from the tip; it touches the ball, so no place of the ball is wider."""
    taper = {"kind": "taper", "diameter": 6, "angle": 10, "corner_radius": 0.5}
    half = np.radians(5)
    for below in np.linspace(0, 0.5, 11):
        ball = np.sqrt(0.5**2 - (0.5 - below) ** 2)
        assert radius(make, float(below), **taper) >= ball - 1e-12
    touch = 0.5 * (1 - np.sin(half))
    assert radius(make, touch, **taper) == pytest.approx(0.5 * np.cos(half))


def test_a_taper_whose_shape_is_not_on_the_card_is_as_wide_as_it_gets(make: SimpleNamespace) -> None:
    assert radius(make, 0.1, kind="taper", diameter=6) == 3
    assert radius(make, 0.1, kind="vee", diameter=12) == 6


def test_which_bit_is_in_the_spindle(make: SimpleNamespace) -> None:
    job = make.job(bits=[make.bit(tool=4), make.bit(tool=7)])
    called = np.array([0, 4, 7, 9])
    assert calls_bit(called, job, 0).tolist() == [True, True, False, True]
    assert calls_bit(called, job, 1).tolist() == [False, False, True, True]

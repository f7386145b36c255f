"""The pictures of an axis are black and white, drawn from its curve, and the same for the same curve."""

import re
from dataclasses import replace

import pytest
from settled import settled

from cutworthy.present.numbers import LimitView, numbers_view
from cutworthy.sheets.curves import draw_limits, draw_torque, pictures


def view(name, **more):
    made = settled(name)
    return numbers_view(made.machine, made.settings, **more)


@pytest.fixture(scope="module")
def plover():
    return view("plover")


def test_each_axis_with_a_label_has_two_pictures(plover):
    assert sorted(pictures(plover)) == ["X limits", "X torque", "Y limits", "Y torque", "Z limits", "Z torque"]
    assert pictures(view("heron")) == {}


def test_the_same_view_makes_the_same_bytes_and_another_makes_others(plover):
    drawn = pictures(plover)
    assert pictures(plover) == drawn
    assert drawn["X torque"] != drawn["Y torque"]
    assert drawn["X torque"] != pictures(view("plover", units="inch"))["X torque"]
    assert all(b"date" not in picture for picture in drawn.values())


def test_only_black_white_and_grey_are_used(plover):
    for picture in pictures(plover).values():
        colours = re.findall(rb"#([0-9a-f]{6})", picture)
        assert colours
        assert all(len({colour[:2], colour[2:4], colour[4:]}) == 1 for colour in colours)
        assert b"rgb(" not in picture


def test_every_name_that_a_picture_uses_is_in_it(plover):
    for picture in pictures(plover).values():
        names = re.findall(rb'\bid="([^"]+)"', picture)
        assert len(names) == len(set(names))
        used = re.findall(rb'url\(#([^)]+)\)|href="#([^"]+)"', picture)
        assert {one or two for one, two in used} <= set(names)


def horizontal_ends(picture, group):
    """Return the leftmost and rightmost points of the paths in a group of a picture."""
    path = re.search(rb'<g id="%b">.*?d="([^"]+)"' % group, picture, re.DOTALL)[1]
    across = [float(point) for point in re.findall(rb"[ML] ([0-9.]+) ", path)]
    return min(across), max(across)


def test_a_bar_is_as_long_as_its_limit(plover):
    axis = plover.axes[0]
    curve = replace(
        axis.curve, entered=50.0, limits=(LimitView(name="near", speed=100.0), LimitView(name="far", speed=200.0))
    )
    picture = draw_limits(axis, curve)
    near, far = (horizontal_ends(picture, group) for group in (b"patch_3", b"patch_4"))
    assert near[0] == far[0]
    assert (far[1] - far[0]) / (near[1] - near[0]) == pytest.approx(2, rel=1e-4)


def test_a_limit_far_beyond_the_others_runs_off_the_picture(plover):
    axis = plover.axes[0]

    def drawn(far):
        limits = (LimitView(name="near", speed=100.0), LimitView(name="far", speed=far))
        return draw_limits(axis, replace(axis.curve, entered=50.0, limits=limits))

    assert drawn(1000.0) == drawn(1_000_000.0)
    assert drawn(1000.0) != drawn(210.0)


@pytest.mark.parametrize("entered", [1.0, 2500.0, 5900.0])
def test_a_torque_picture_is_drawn_wherever_the_entry_lies(plover, entered):
    axis = plover.axes[0]
    picture = draw_torque(axis, replace(axis.curve, entered=entered))
    assert picture.startswith(b"<?xml")
    assert picture.rstrip().endswith(b"</svg>")
    assert picture != draw_torque(axis, axis.curve)


def test_the_room_between_what_a_motor_can_and_needs_is_shaded(plover):
    axis = plover.axes[0]
    weak = replace(axis.curve, points=tuple((speed, needed / 2, needed) for speed, _, needed in axis.curve.points))
    shade = b"fill: #d9d9d9"
    assert shade in draw_torque(axis, axis.curve)
    assert shade not in draw_torque(axis, weak)

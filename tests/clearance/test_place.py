"""Where zero lies, from every way in which the cards can say it."""

from types import SimpleNamespace

import pytest

from cutworthy.clearance import axis_range, place
from cutworthy.working import recording


def test_zero_on_the_front_left_corner_of_the_top(make: SimpleNamespace) -> None:
    found = place(make.machine(), make.job(at=(40, 60, None), room_above=62))
    assert found.on_board_mm == (0, 0, 18)
    assert found.machine_mm == {"x": 40, "y": 60, "z": 95 - 62}
    assert found.range_mm == {"x": (0, 820), "y": (0, 560), "z": (0, 95)}


def test_zero_elsewhere_on_the_underside(make: SimpleNamespace) -> None:
    found = place(make.machine(homes_to="plus"), make.job(at=(-700, -500, -80), zero=(150, 70, "bottom")))
    assert found.on_board_mm == (150, 70, 0)
    assert found.machine_mm == {"x": -550, "y": -430, "z": -80}
    assert found.range_mm["z"] == (-95, 0)


def test_zero_on_the_top_lies_the_thickness_above_the_underside(make: SimpleNamespace) -> None:
    assert place(make.machine(homes_to="plus"), make.job(at=(None, None, -80))).machine_mm["z"] == -62


def test_room_above_counts_to_the_top_whichever_face_zero_is_on(make: SimpleNamespace) -> None:
    machine = make.machine(homes_to="plus")
    top = place(machine, make.job(room_above=62)).machine_mm["z"]
    bottom = place(machine, make.job(room_above=62, zero=(0, 0, "bottom"))).machine_mm["z"]
    assert (top, bottom) == (-62, -80)


def test_without_places_nothing_is_known(make: SimpleNamespace) -> None:
    found = place(make.machine(), make.job(at=(None, None, None)))
    assert found.machine_mm == {"x": None, "y": None, "z": None}


def test_without_home_switches_a_place_on_the_machine_means_nothing(make: SimpleNamespace) -> None:
    found = place(make.machine(homes_to="none"), make.job(at=(40, 60, -80)))
    assert found.machine_mm == {"x": None, "y": None, "z": None}
    assert found.range_mm == {"x": None, "y": None, "z": None}


def test_without_home_switches_the_upper_end_of_z_is_still_there(make: SimpleNamespace) -> None:
    found = place(make.machine(homes_to="none"), make.job(at=(40, 60, -80), room_above=62))
    assert (found.machine_mm["z"], found.range_mm["z"]) == (-62, (-95, 0))


@pytest.mark.parametrize(
    ("homes_to", "ends", "at", "expected"),
    [
        ("minus", None, 40, (0, 820)),
        ("plus", None, 40, (-820, 0)),
        ("unknown", None, 40, (0, 820)),
        ("unknown", None, 0, (0, 820)),
        ("unknown", None, -40, (-820, 0)),
        ("unknown", None, None, None),
        ("none", None, 40, None),
        ("none", (10, 830), 40, (10, 830)),
        ("minus", (-820, 0), 40, (-820, 0)),
    ],
)
def test_the_range_of_an_axis(
    make: SimpleNamespace,
    homes_to: str,
    ends: tuple[float, float] | None,
    at: float | None,
    expected: tuple[float, float] | None,
) -> None:
    axis = make.axis("x", 820, homes_to, ends)
    assert axis_range(axis, make.job(at=(at, 60, None)).board) == expected


@pytest.mark.parametrize(
    ("bottom", "room", "expected"), [(-80, None, (-95, 0)), (5, None, (0, 95)), (None, 62, (-95, 0))]
)
def test_the_range_of_z_when_the_homing_end_is_unknown(
    make: SimpleNamespace, bottom: float | None, room: float | None, expected: tuple[float, float]
) -> None:
    board = make.job(at=(40, 60, bottom), room_above=room).board
    assert axis_range(make.axis("z", 95, "unknown"), board) == expected


def test_the_working_is_shown(make: SimpleNamespace) -> None:
    with recording() as steps:
        place(make.machine(homes_to="plus"), make.job(at=(-700, None, None), room_above=62))
    assert [(step.name, step.value) for step in steps] == [("zero.x", -700), ("corner.z", -80), ("zero.z", -62)]
    assert [step.inputs["corner"].origin for step in steps if "corner" in step.inputs] == ["measured", "computed"]

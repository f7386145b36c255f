"""Parts that come loose: a name lies on its part, and the legend says in words what holds it."""

from types import SimpleNamespace

import numpy as np
import pytest

from cutworthy.present.loose import name_place, numbers_text, parts_say


def disc(size, radius):
    y, x = np.mgrid[0:size, 0:size] - (size - 1) / 2
    return x * x + y * y <= radius * radius


def test_a_name_lies_in_the_middle_of_a_board():
    cells = np.zeros((60, 100), dtype=bool)
    cells[10:31, 20:81] = True  # 21 by 61
    assert name_place(cells) == (20, 50, 21)


def test_a_name_lies_on_a_ring():
    ring = disc(101, 48) & ~disc(101, 30)
    row, column, room = name_place(ring)
    across = room // 2
    assert ring[int(row), int(column)]
    assert ring[int(row) - across : int(row) + across + 1, int(column) - across : int(column) + across + 1].all()
    assert 9 <= room <= 18  # the ring is 18 wide


def test_the_room_in_a_disc_is_its_inscribed_square():
    _, _, room = name_place(disc(101, 50))
    assert room == pytest.approx(100 / np.sqrt(2), abs=3)


@pytest.mark.parametrize("size", [1, 2, 700, 1300])
def test_parts_of_any_size(size):
    row, column, room = name_place(np.ones((size, size), dtype=bool))
    assert (row, column) == pytest.approx((size / 2, size / 2), abs=0.03 * size + 1)
    assert 0.9 * size - 1 <= room <= size + 12  # of a large one every so many cells are looked at


def test_a_hair_between_the_cells_looked_at_has_a_place():
    cells = np.zeros((500, 500), dtype=bool)
    cells[np.arange(500), np.arange(500)] = True
    row, column, _ = name_place(cells)
    assert row == column


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ([3], "3"),
        ([1, 2], "1 and 2"),
        ([1, 2, 3], "1 to 3"),
        ([1, 2, 4, 5, 6], "1, 2 and 4 to 6"),
        ([1, 3, 5], "1, 3 and 5"),
        (list(range(1, 31)), "1 to 30"),
    ],
)
def test_numbers_are_told_short(numbers, text):
    assert numbers_text(numbers) == text


def test_what_is_said_of_parts():
    free, held = SimpleNamespace(tabs=0), SimpleNamespace(tabs=2)
    assert parts_say([]) == ()
    assert parts_say([free]) == ((False, "part 1: cut free"),)
    assert parts_say([held]) == ((True, "part 1: what holds it is too thin"),)
    assert parts_say([free, held, free, held]) == (
        (False, "parts 1 and 3: cut free"),
        (True, "parts 2 and 4: what holds them is too thin"),
    )

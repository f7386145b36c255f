"""A board and a table as they are: depth, skins and parts at each place, by hand."""

import pytest

# Closed, and 18.6 mm deep: 0.6 mm into the spoilboard under a board of 18 mm.
AROUND = {"Z-3": "Z-18.6", "G1 X50\n": "G1 X50\nG1 Y50\n"}
SPREAD = 'spread = "0.3 mm"'
EVEN = {SPREAD: 'spread = "0 mm"', 'plus_minus_z = "0.2 mm"': 'plus_minus_z = "0 mm"'}


def thick(*rows):
    listed = ", ".join(f'["{x} mm", "{y} mm", "{t} mm"]' for x, y, t in rows)
    return EVEN | {SPREAD: f'spread = "0 mm"\nthickness_map = [{listed}]'}


# 18 mm at zero, 1 mm more at the right edge, all along Y.
TILTED = thick((0, 0, 18), (200, 0, 19), (0, 150, 18), (200, 150, 19))


def table(*rows):
    listed = ", ".join(f'["{x} mm", "{y} mm", "{z} mm"]' for x, y, z in rows)
    return {'spoilboard = "18 mm"': f'spoilboard = "18 mm"\nspoilboard_map = [{listed}]'}


def test_a_board_that_is_thicker_on_the_right_stands_higher_there(workshop, clean):
    """Its underside lies on the table, flat: the cut is through all over, and takes more wood away."""
    even, tilted = (workshop.proof(program=clean(AROUND), job=job).outcome for job in (EVEN, TILTED))
    assert "not-through" not in {each.id for each in tilted.findings}
    assert tilted.removal.surface.heights_mm.max() == pytest.approx(1, abs=0.01)
    # The middle of the cut, weighed by its length, lies at X 100 + 2 * 20 * 20 / 322.8 from the half circle's bulge.
    length = 100 + 3.14159265 * 20 + 100 + 40
    middle = (2 * 100 * 100 + 3.14159265 * 20 * (150 + 2 * 20 / 3.14159265) + 40 * 50) / length
    more = tilted.removal.volume_mm3 - even.removal.volume_mm3
    assert more == pytest.approx(6 * length * middle / 200, rel=0.02)
    assert [part.tabs for part in tilted.removal.parts] == [0]


def test_zero_on_the_thick_end_leaves_a_skin_everywhere(workshop, clean):
    """19 mm at zero: the underside lies 19 mm below it, and a cut of 18.6 mm goes through nowhere."""
    removal = workshop.proof(program=clean(AROUND), job=thick((0, 0, 19), (200, 0, 18), (0, 150, 19))).outcome.removal
    assert removal.parts == ()


def test_a_hollow_in_the_table_leaves_a_skin_too(found, clean):
    """The board lies at 100, 100 on the table, zero at its corner; to the right the table falls by 1 mm in 200 mm."""
    falls = table((100, 100, 0), (300, 100, -1), (100, 250, 0), (300, 250, -1))
    skin = found("not-through", program=clean(AROUND), job=EVEN, machine=falls)
    assert skin["numbers"]["value"] == pytest.approx(0.25, abs=0.005)


def test_a_rise_of_the_table_is_cut_deeper(found, clean):
    """To the right it rises by 1 mm in 200 mm: at X 170 the bit goes 0.6 and 0.85 mm below the board."""
    rises = table((100, 100, 0), (300, 100, 1), (100, 250, 0), (300, 250, 1))
    deep = found("spoilboard-cut", program=clean(AROUND), job=EVEN, machine=rises)
    assert deep["numbers"]["value"] == pytest.approx(1.45, abs=0.005)
    assert deep["line"] == 8


def test_where_the_board_lies_is_asked_for(workshop, clean):
    asked = workshop.prove(
        program=clean({}), job={'at = ["100 mm", "100 mm"]': ""}, machine=table((0, 0, 0), (9, 9, 1))
    )
    assert any(each["about"] == "machine.spoilboard_map" for each in asked["findings"])

"""From a place that nobody knows every move is a way, whatever its numbers look like."""

import pytest

LOW = {'above_top = "10 mm"': 'above_top = "5 mm"'}


def told(document):
    return {(f["id"], f["level"], f["about"]) for f in document["findings"]}


@pytest.mark.parametrize("first", ["G0 X0 Y0", "G0 X0.001 Y0"])
def test_the_first_travel_is_a_travel_also_to_zero(workshop, clean, first):
    program = clean({"G0 Z20\nG0 X50": f"{first}\nG0 Z20\nG0 X50"})
    document = workshop.prove(program=program, job=LOW)
    assert ("first-move-low", "no-go", "left") in told(document)


def test_heights_in_machine_coordinates_are_those_of_the_first_bit(workshop, clean):
    second = '[[bits]]\ntool = 2\nkind = "flat"\ndiameter = "6 mm"\nflutes = 2\nstickout = "40 mm"\n\n[[clamps]]'
    program = clean({"S18000 M3": "T1 M6 S18000 M3", "G0 X0 Y0": "T2 M6\nG53 G0 Z-20\nG0 X0 Y0"})
    document = workshop.prove(program=program, job={"[[clamps]]": second})
    says = [f["says"] for f in document["findings"] if f["id"] == "memory-needed"]
    assert any("your card's zero counts for bit 1" in sentence for sentence in says)
    alone = workshop.prove(program=clean({"G0 X0 Y0": "G53 G0 Z-20\nG0 X0 Y0"}))
    assert "memory-needed" not in {f["id"] for f in alone["findings"]}

"""Where card or practice leave a choice, the program is judged under each reading, and the worse counts."""


def readings(document, rule_id):
    return {finding["about"]: finding["reading"] for finding in document["findings"] if finding["id"] == rule_id}


def test_block_delete_is_judged_both_ways_when_the_card_does_not_know(workshop, clean):
    program = clean({"G0 Z20\nG0 X50": "/G0 Z20\nG0 X50"})
    known = workshop.prove(program=program)
    assert "first-move-low" not in {f["id"] for f in known["findings"]}
    unknown = workshop.prove(
        program=program, machine={'block_delete = "off"\n': ""}, job={'above_top = "10 mm"': 'above_top = "5 mm"'}
    )
    assert readings(unknown, "first-move-low") == {"left": "block-delete-on"}


def test_block_delete_on_is_no_second_reading(workshop, clean):
    program = clean({"G0 Z20\nG0 X50": "/G0 Z20\nG0 X50"})
    on = workshop.prove(
        program=program,
        machine={'block_delete = "off"': 'block_delete = "on"'},
        job={'above_top = "10 mm"': 'above_top = "5 mm"'},
    )
    assert readings(on, "first-move-low") == {"left": "practice"}


def test_home_takes_all_axes_by_the_report_and_the_named_ones_in_practice(workshop, clean):
    # NISTIR 6556, 3.5.8: the second move takes all axes home, whichever words were given. Home lies
    # in the clamp: machine (60, 175, -57) is (-40, 75, 5) from zero.
    program = clean({"G0 X0 Y0\n": "G91 G28 Z0\nG90 G0 Z20\nG0 X0 Y0\n"})
    home = {'g28 = ["0 mm", "0 mm", "0 mm"]': 'g28 = ["60 mm", "175 mm", "-57 mm"]'}
    document = workshop.prove(program=program, machine=home)
    assert readings(document, "clamp-hit") == {"left": "report"}
    assert document["verdict"] == "no-go"


def test_arcs_that_close_both_ways_are_judged_both_ways_when_the_card_does_not_know(workshop, clean):
    # A full circle closes whatever its centre: as an offset it stays on the board, as a place it leaves the travel.
    program = clean({"G3 X150 Y90 I0 J20": "X150 Y90", "G1 X50\n": "G1 X50\nG2 X50 Y90 I-120 J-10\n"})
    known = workshop.prove(program=program, job={'at = ["100 mm", "100 mm"]': 'at = ["240 mm", "200 mm"]'})
    assert "travel-exceeded" not in {f["id"] for f in known["findings"]}
    unknown = workshop.prove(
        program=program,
        job={'at = ["100 mm", "100 mm"]': 'at = ["240 mm", "200 mm"]'},
        machine={'arc_centres = "relative"\n': ""},
    )
    assert set(readings(unknown, "travel-exceeded").values()) == {"absolute-centres"}


def test_arcs_that_close_one_way_only_are_not_judged_the_other_way(workshop):
    document = workshop.prove(machine={'arc_centres = "relative"\n': ""})
    assert {f["reading"] for f in document["findings"]} == {"practice"}

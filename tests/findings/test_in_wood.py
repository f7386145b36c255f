"""What is said of wood is said only where there still is some."""

FAST_DOWN = "G1 Z-3 F900\n"
AGAIN = "G0 Z20\nG0 X50 Y50\nG0 Z1\n" + FAST_DOWN + "G0 Z20\nG0 X0 Y0"


def test_a_plunge_into_wood_is_asked_about(found, clean):
    assert found("plunge", program=clean({"Z-3 F300": "Z-3 F900"}))["line"] == 6


def test_a_plunge_into_what_is_cut_already_is_not(found, clean):
    assert found("plunge", program=clean({"G0 Z20\nG0 X0 Y0": AGAIN})) is None


def test_a_plunge_beside_what_is_cut_already_is(found, clean):
    assert found("plunge", program=clean({"G0 Z20\nG0 X0 Y0": AGAIN.replace("Y50", "Y47")}))["line"] == 13


def test_a_bit_whose_shape_is_not_known_cuts_nothing_away(found, clean):
    vee = {'kind = "flat"': 'kind = "vee"', "centre_cutting = true\n": ""}
    assert found("plunge", program=clean({"G0 Z20\nG0 X0 Y0": AGAIN}), job=vee)["line"] == 13


WAIT = "G4 P5\n"
UP = "G0 Z20\nG0 X0 Y0"
BY_PROGRAM = {'switched_by = "hand"': 'switched_by = "program"', 'speed_by = "dial"': 'speed_by = "program"'}


def test_a_wait_where_the_bit_has_just_cut_burns(found, clean):
    assert found("dwell-burn", program=clean({UP: WAIT + UP}))["line"] == 10


def test_a_wait_above_the_board_does_not(found, clean):
    assert found("dwell-burn", program=clean({UP: "G0 Z20\n" + WAIT + "G0 X0 Y0"})) is None


def test_a_wait_between_the_walls_of_a_slot_burns(found, clean):
    """Back in the slot of 6 mm without cutting anything, the bit of 6 mm still touches both walls and the floor."""
    back = "G0 Z20\nG0 X100 Y50\nG1 Z-3 F300\n" + WAIT
    assert found("dwell-burn", program=clean({UP: back + UP}))["line"] == 13


def test_a_wait_in_a_wide_pocket_away_from_floor_and_walls_does_not(found, clean):
    pocket = "".join(f"G1 Y{50 + 4 * n}\nG1 X{140 if n % 2 else 60}\n" for n in range(1, 10))
    back = "G0 Z20\nG0 X100 Y70\nG1 Z-1 F300\n" + WAIT
    program = clean(
        {"G1 X150 F1500\n": "G1 X140 F1500\n" + pocket + back + "G0 Z20\n", "G3 X150 Y90 I0 J20\nG1 X50\n": ""}
    )
    assert found("dwell-burn", program=program) is None
    assert found("dwell-burn", program=program.replace("G1 Z-1 F300", "G1 Z-3 F300")) is not None


def test_a_spindle_that_is_off_matters_in_wood_only(found, clean):
    """Fed through its own slot and through air with the spindle off, the bit meets nothing."""
    again = "G0 Z20\nM5\nG0 X50 Y90\nG1 Z-2 F300\nG1 X150 F1500\n"
    assert found("spindle-off", program=clean({UP: again + UP}), machine=BY_PROGRAM) is None
    beside = again.replace("G1 X150 F1500", "G1 X50 Y95 F1500")
    assert found("spindle-off", program=clean({UP: beside + UP}), machine=BY_PROGRAM)["line"] == 14

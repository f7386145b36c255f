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

"""What the relief shows: heights, cut-through places, travels in wood, and what it leaves out."""

from dataclasses import replace

import numpy as np
import pytest
from planted import AROUND, FALLING, TAB

from cutworthy.present.relief import relief_view

THROUGH = {"G1 Z-3 F300": "G1 Z-18.4 F300"}
ABOVE = {"G1 Z-3 F300": "G1 Z1 F300"}
IN_WOOD = {"G0 Z20\nG0 X0 Y0\n": "G0 Z-2\nG0 X20 Y20\nG0 Z20\n"}
LOW = {"G1 X50\nG0 Z20": "G1 X50\nG0 Z-1"}


def view_of(proof):
    return relief_view(proof.outcome, proof.card.record, proof.machine_card.record)


def depth_at(view, x, y):
    left, front = view.low_mm
    return float(view.depth_mm[int((y - front) / view.pitch_mm), int((x - left) / view.pitch_mm)])


def with_heights(proof, heights):
    """Return a proof whose board has other heights."""
    removal = proof.outcome.removal
    surface = replace(removal.surface, heights_mm=heights)
    return replace(proof, outcome=replace(proof.outcome, removal=replace(removal, surface=surface)))


def test_a_slot_is_as_deep_as_it_is_cut(workshop):
    view = view_of(workshop.proof())
    # From X50 to X150 at Y50 and Z-3 with a bit of 6 mm; zero at the front left corner.
    assert depth_at(view, 100, 50) == pytest.approx(3)
    assert depth_at(view, 100, 52.5) == pytest.approx(3)
    assert depth_at(view, 100, 53.6) == 0
    assert not view.through.any()
    assert [step.says for step in view.steps] == [
        "top of the board",
        *(f"{depth} mm deep" for depth in (0.6, 1.2, 1.8, 2.4, 3)),
    ]
    # Two slots of 100 mm and half a circle of 20 mm, 6 wide, and half the bit's circle at each end.
    volume = 3 * (6 * (200 + 20 * np.pi) + np.pi * 9)
    assert view.subtitle == f"What is left of the board: about {volume / 1000:.1f} cm³ is cut away"
    assert view.wood_met_mm.shape == (0, 2)


def test_cells_lie_where_zero_puts_them(workshop, clean):
    away = workshop.proof(
        program=clean(
            {"X50 Y50": "X-50 Y-25", "X150 F1500": "X50 F1500", "X150 Y90": "X50 Y15", "G1 X50\n": "G1 X-50\n"}
        ),
        job={'x = "left"': 'x = "centre"', 'y = "front"': 'y = "centre"'},
    )
    view = view_of(away)
    assert depth_at(view, 100, 50) == pytest.approx(3)
    assert depth_at(view, 100, 46.4) == 0


def test_cut_through_is_told(workshop, clean):
    view = view_of(workshop.proof(program=clean(THROUGH)))
    left, front = view.low_mm
    assert view.through[int((50 - front) / view.pitch_mm), int((100 - left) / view.pitch_mm)]
    assert view.through.sum() * view.pitch_mm**2 == pytest.approx(6 * (200 + 20 * np.pi) + np.pi * 9, rel=0.02)
    assert [step.says for step in view.steps] == ["top of the board"]  # nothing else is left that is cut


def test_no_wood_is_cut(workshop, clean):
    view = view_of(workshop.proof(program=clean(ABOVE)))
    assert view.subtitle == "What is left of the board: no wood is cut"
    assert not view.depth_mm.any()
    assert view.notes == ()


def test_a_thin_slot_survives_where_cells_are_put_together(workshop):
    proof = workshop.proof()
    heights = np.zeros((900, 7001), dtype=np.float32)
    heights[:, 4321] = -2.5
    heights[:, -1] = -1.5
    heights[77, 100:200] = proof.outcome.removal.surface.underside_mm
    view = view_of(with_heights(proof, heights))
    assert view.depth_mm.shape == (150, 1167)  # 6 by 6
    assert view.pitch_mm == pytest.approx(6 * proof.outcome.removal.surface.pitch_mm)
    assert (view.depth_mm[:, 4321 // 6] == 2.5).all()
    assert (view.depth_mm[:, -1] == 1.5).all()
    assert view.through.sum() == len(range(100 // 6, 199 // 6 + 1))


def test_travels_through_wood_leave_a_trail(workshop, clean):
    view = view_of(workshop.proof(program=clean(IN_WOOD)))
    assert len(view.wood_met_mm) > 3
    x, y = view.wood_met_mm.T
    assert (x >= 20 - 1).all()
    assert (x <= 50 + 1).all()
    # From (50, 90), where the cut ends, to (20, 20).
    assert np.abs((x - 20) * 70 - (y - 20) * 30).max() / np.hypot(70, 30) < 0.1
    assert any("fast travel in wood" in mark.text and mark.fault for mark in view.scene.faults)


def test_what_is_not_shown_is_said(workshop, clean):
    bit = {'kind = "flat"': 'kind = "vee"'}
    view = view_of(workshop.proof(job=bit))
    assert "Not shown: what bit 1 cuts, for the card does not tell its shape." in view.notes
    view = view_of(workshop.proof(program=clean({"G0 X50 Y50\n": "", "G0 Z20\nG0 Z2": "G0 Z2"})))
    assert [note for note in view.notes if "whose place is not known" in note]


def test_slivers_are_told_where_cells_are_coarse(workshop):
    proof = workshop.proof()
    removal = proof.outcome.removal
    for pitch, told in ((0.1, False), (0.25, True)):
        coarse = replace(removal, surface=replace(removal.surface, pitch_mm=pitch))
        notes = view_of(replace(proof, outcome=replace(proof.outcome, removal=coarse))).notes
        assert ("Slivers thinner than 0.35 mm may be missing." in notes) is told


def test_faults_at_one_place_share_their_mark(workshop):
    marks = view_of(workshop.proof(machine={}, job={'to = ["10 mm", "90 mm"]': 'to = ["60 mm", "90 mm"]'})).scene.faults
    assert marks
    places = [mark.at_mm for mark in marks]
    assert len(set(places)) == len(places)


def test_what_comes_loose_is_drawn_where_it_was(workshop, clean):
    view = view_of(workshop.proof(program=clean(AROUND)))
    (part,) = view.parts
    assert part.name == "part 1"
    assert part.cells.shape == view.depth_mm.shape
    inside = np.argwhere(part.cells)
    low, high = (
        (side[::-1] + end) * view.pitch_mm + view.low_mm for side, end in ((inside.min(0), 0), (inside.max(0), 1))
    )
    # Inside the outline of 100 by 40 mm from X50 Y50, by the bit's 3 mm; the right side bulges by 20 mm.
    assert (*low, *high) == pytest.approx((53, 53, 167, 87), abs=2 * view.pitch_mm)
    assert part.at_mm == pytest.approx(tuple((low + high) / 2), abs=10)
    assert part.room_mm == pytest.approx(34, abs=1)
    assert view.parts_say == ((False, "part 1: cut free"),)


def test_a_part_on_a_tab_is_told_apart(workshop, clean):
    view = view_of(workshop.proof(program=clean(TAB)))
    assert [part.is_held for part in view.parts] == [True]
    assert view.parts_say == ((True, "part 1: what holds it is too thin"),)


def test_an_uneven_board_is_as_deep_as_it_is_cut(workshop, clean):
    """The table falls by 1 mm for 200 mm to the right from X100 of the machine, where the board has its left edge."""
    view = view_of(workshop.proof(machine=FALLING))
    left, front = view.low_mm

    def cut_at(x, y):
        return float(view.cut_mm[int((y - front) / view.pitch_mm), int((x - left) / view.pitch_mm)])

    assert cut_at(60, 50) == pytest.approx(3 - 0.3, abs=0.01)
    assert cut_at(140, 50) == pytest.approx(3 - 0.7, abs=0.01)
    assert cut_at(60, 20) == pytest.approx(0, abs=1e-4)
    assert depth_at(view, 60, 50) == pytest.approx(3, abs=0.01)  # the bit's way is level
    assert view.steps[-1].depth_mm == pytest.approx(3 - 0.235, abs=0.02)  # at X47, where the slot begins
    through = view_of(workshop.proof(machine=FALLING, program=clean({"Z-3": "Z-18.5"}))).through
    row = through[int((50 - front) / view.pitch_mm)]
    # The underside is at -18 - x / 200: what is cut to -18.5 is through up to X100.
    cut = np.flatnonzero(row) * view.pitch_mm + left
    assert (cut.min(), cut.max()) == pytest.approx((47, 100), abs=0.5)


def test_a_pointed_bit_is_as_deep_as_its_tip(workshop):
    """Between two cells a point comes deeper than at either."""
    bit = {'kind = "flat"': 'kind = "vee"\nangle = "60 deg"', 'diameter = "6 mm"': 'diameter = "12 mm"'}
    view = view_of(workshop.proof(job=bit))
    assert view.depth_mm.max() < 3
    assert view.steps[-1].says == "3 mm deep"


def test_marks_on_travels_do_not_crowd(workshop, clean):
    places = view_of(workshop.proof(program=clean(IN_WOOD))).wood_met_mm
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    assert apart[~np.eye(len(places), dtype=bool)].min() >= 200 / 50  # the board is 200 mm long


def test_the_verdict_is_explained(workshop, clean):
    scene = view_of(workshop.proof(program=clean(IN_WOOD))).scene
    assert scene.because[0].startswith("Line 11: a fast travel meets wood, 2 mm")
    proof = workshop.proof()
    fit = replace(proof, outcome=replace(proof.outcome, verdict="go"))
    assert view_of(fit).scene.because == ()


def test_of_many_reasons_the_first_of_each_kind_is_told(workshop, clean):
    proof = workshop.proof()
    outcome = workshop.proof(program=clean(IN_WOOD)).outcome
    met = next(finding for finding in outcome.findings if finding.id == "rapid-in-wood")
    crowded = replace(outcome, findings=(met,) * 5)
    because = view_of(replace(proof, outcome=crowded)).scene.because
    assert len(because) == 2
    assert because[1] == "And 4 more: cutworthy prove tells them."


def test_places_are_named_in_words_of_the_shop(workshop, clean):
    scene = view_of(workshop.proof(program=clean(IN_WOOD))).scene
    assert [mark.text for mark in scene.faults] == ["fast travel in wood, line 11"]

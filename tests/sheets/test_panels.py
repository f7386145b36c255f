"""Pictures of jobs of all shapes: every word is on the paper, and none lies on another."""

from itertools import combinations

import pytest
from matplotlib.text import Annotation, Text
from planted import AROUND, TAB

from cutworthy.app.pictures import draw_places_of
from cutworthy.present.plan import plan_view
from cutworthy.present.relief import relief_view
from cutworthy.sheets import panels
from cutworthy.sheets.board import board_window
from cutworthy.sheets.relief import draw_relief

SIZE = '"200 mm", "150 mm", "18 mm"'
CLAMP = 'from = ["-40 mm", "60 mm"]\nto = ["10 mm", "90 mm"]'
FAULTS = {"G0 Z20\nG0 X0 Y0\n": "G0 Z-2\nG0 X20 Y20\nG0 X-20 Y75\nG1 Z-30 F300\nG1 X100\nG0 Z20\nG0 X900\n"}
LONG_NAME = {'name = "left"': 'name = "the clamp that grandfather made of brass"'}
JOBS = {
    "the plain one": ({}, {}),
    "a strip": ({}, {SIZE: '"1500 mm", "60 mm", "18 mm"'}),
    "a strip from front to back": ({}, {SIZE: '"60 mm", "1500 mm", "18 mm"', CLAMP: CLAMP.replace("60 mm", "-30 mm")}),
    "upright": ({}, {SIZE: '"200 mm", "260 mm", "18 mm"'}),
    "tiny": ({}, {SIZE: '"20 mm", "15 mm", "18 mm"'}),
    "many faults": (FAULTS, LONG_NAME),
    "a part": (AROUND, {}),
    "a part on a tab": (TAB, {}),
    "no moves": ({"G0 Z20\n": "M30\n"}, {}),
}


@pytest.fixture
def caught(monkeypatch):
    """Return the figures that would have been written."""
    found = []

    def catch(figure, _form, _dpi):
        found.append(figure)
        return b"\x89PNG"

    monkeypatch.setattr(panels, "written", catch)
    return found


def told(proof):
    return proof.outcome, proof.card.record, proof.machine_card.record


def is_seen(text):
    """Return whether a text is drawn; of the ticks those beyond the ends of their axis are not."""
    for axes in text.figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            for tick in axis.get_major_ticks():
                if text in (tick.label1, tick.label2):
                    return text is tick.label1 and low <= tick.get_loc() <= high
    return text.get_visible() and bool(text.get_text().strip())


def words_of(figure):
    """Return the words on a figure with the boxes that they take."""
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()
    return [
        (text.get_text(), Text.get_window_extent(text, renderer))  # of an arrow's words without the arrow
        for text in figure.findobj(Text)
        if is_seen(text) and not (isinstance(text, Annotation) and not text.get_text())
    ]


def check(figure):
    words = words_of(figure)
    assert len(words) > 10
    wide, high = figure.canvas.get_width_height()
    for text, box in words:
        assert 0 <= box.x0 < box.x1 <= wide, text
        assert 0 <= box.y0 < box.y1 <= high, text
    for (one, a), (other, b) in combinations(words, 2):
        across = min(a.x1, b.x1) - max(a.x0, b.x0)
        along = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across < 1 or along < 1, (one, other)


@pytest.mark.parametrize("name", JOBS)
def test_words_of_board_and_plan_are_read(workshop, clean, caught, name):
    program, job = JOBS[name]
    proof = workshop.proof(program=clean(program), job=job)
    draw_relief(relief_view(*told(proof)), plan_view(*told(proof), "depth" if name == "tiny" else "order"))
    check(caught[0])


@pytest.mark.parametrize("name", JOBS)
def test_words_of_places_are_read(workshop, clean, caught, name):
    program, job = JOBS[name]
    card = workshop.write(program=clean(program), job=job)
    draw_places_of(card, to=card.with_name("here.png"), clamp=None, progress=lambda _share: None)
    check(caught[0])


def test_a_guessed_clamp_in_inches_has_room_for_its_name(workshop, clean, caught):
    card = workshop.write(program=clean({}), machine={'units = "mm"\n': 'units = "inch"\n'})
    card.write_text(card.read_text(encoding="utf-8").partition("[[clamps]]")[0], encoding="utf-8")
    draw_places_of(card, to=card.with_name("here.png"), clamp=None, progress=lambda _share: None)
    check(caught[0])


def test_a_verdict_without_a_place_is_explained(workshop, caught):
    """Beyond the travel there is nothing to see on the board: then the words below the title tell it."""
    proof = workshop.proof(job={'at = ["100 mm", "100 mm"]': 'at = ["1000 mm", "100 mm"]'})
    assert proof.document["verdict"] == "no-go"
    draw_relief(relief_view(*told(proof)), plan_view(*told(proof)))
    head = next(text for text, _ in words_of(caught[0]) if text.startswith("200 mm by 150 mm of white oak on Plover"))
    assert "• Line" in head
    assert "beyond the high end of its travel" in head


def test_a_strip_is_as_wide_as_the_paper(workshop, caught):
    proof = workshop.proof(job=JOBS["a strip"][1])
    draw_relief(relief_view(*told(proof)), plan_view(*told(proof)))
    for axes in caught[0].axes:
        place = axes.get_position()
        assert place.width > 0.85
        assert axes.get_legend().get_window_extent().y1 < axes.get_window_extent().y0


def test_a_clamp_beside_the_board_is_seen_whole(workshop):
    left, right, front, back = board_window(relief_view(*told(workshop.proof())).scene)
    assert left < -40  # the clamp is from X-40 to X10, the board 200 by 150 mm
    assert right > 200
    assert front < 0
    assert back > 150


def test_what_lies_far_away_has_room_around_it(workshop):
    scene = relief_view(*told(workshop.proof())).scene
    left, right, _, back = board_window(scene, [(650, 400)])
    assert right - 650 >= 0.02 * (right - left)
    assert back - 400 >= 0.02 * (right - left)

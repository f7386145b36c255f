"""The page says in shop words why zero fits or not, and what was left out."""

import pytest

from cutworthy.app.pictures import draw_places_of

HOME = {"G0 Z20\nG0 X0 Y0\nM5\nM30\n": "G0 Z20\nG53 G0 X0 Y0\nM5\nM30\n"}
TIED = {"G0 Z20\nG0 X0 Y0\nM5\nM30\n": "G0 Z20\nG53 G0 X120\nG3 X50 Y90 R40\nM5\nM30\n"}
LONG = {"G1 X150 F1500": "G1 X790 F1500", "G3 X150": "G3 X790"}
AT = 'at = ["100 mm", "100 mm"]'
WALL = {
    'from = ["-40 mm", "60 mm"]': 'from = ["95 mm", "-10 mm"]',
    'to = ["10 mm", "90 mm"]': 'to = ["105 mm", "160 mm"]',
}
SMALL = {
    '"200 mm", "150 mm"': '"122 mm", "42 mm"',
    'x = "left"': 'x = "-49 mm"',
    'y = "front"': 'y = "-49 mm"',
    'height = "25 mm"': 'height = "400 mm"',
}
BIG = {'"200 mm", "150 mm"': '"900 mm", "150 mm"'}


@pytest.mark.parametrize(
    ("program", "job", "told"),
    [
        ({}, {}, "zero may move 33 mm to the right; then a cut leaves the board along X"),
        ({}, {}, "half of it or more over the right edge"),
        ({"G0 Z20": "G0 Z90"}, {}, "wherever zero stands: Z may leave its travel (line 3)"),
        (TIED, {}, "the program makes other moves when zero stands elsewhere"),
        (HOME, {}, "line 11 goes to a place of the machine, which stays when zero moves"),
        (HOME, {AT: ""}, "line 11 goes where nobody knows from the cards"),
        (LONG, {}, "the cuts are 554 mm too long along X for the board"),  # from 50 to 810, and 206 for them
        ({**LONG, "G0 X50 Y50": "G0 X-50 Y50"}, BIG, "the moves are 41 mm too long along X for the travel"),
        ({}, {AT: 'at = ["760 mm", "100 mm"]'}, "with the cuts on the board, X may leave its travel: move the board"),
        ({}, WALL, "wherever travel and board allow it, the tool comes too near to “left”"),
        ({}, {'x = "left"': 'x = "-60 mm"'}, "where your card has zero, a cut leaves the board along X"),
        ({}, {'x = "left"': 'x = "-60 mm"'}, "it fits when you move zero"),
        ({}, SMALL, "there is no edge of the board that it may reach over"),
    ],
)
def test_the_page(workshop, clean, program, job, told):
    card = workshop.write(program=clean(program), job=job)
    answer = draw_places_of(card, to=card.with_name("here.png"), clamp=None, progress=lambda _share: None)
    page = " ".join(" ".join(line.text for line in answer.page).split())
    assert told in page
    assert not any(word in page for word in ("nan", "None", "inf ", "{"))

"""The picture of the board as it is left: light, tones, what is cut through, and words that hide nothing."""

from dataclasses import replace
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.image import imread
from planted import AROUND

from cutworthy.present.plan import plan_view
from cutworthy.present.relief import relief_view
from cutworthy.present.scene import Mark
from cutworthy.sheets.board import board_window
from cutworthy.sheets.labels import Label, shorten, write_labels
from cutworthy.sheets.relief import draw_relief
from cutworthy.sheets.shading import TABLE, TONES, shaded, wood

THROUGH = {"G1 Z-3 F300": "G1 Z-18.4 F300"}
GREY = np.array([0.299, 0.587, 0.114])  # how bright red, green and blue look


def told(proof):
    return proof.outcome, proof.card.record, proof.machine_card.record


def rgb(colour):
    return np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])


class Board:
    """The board in a picture of a relief: found by the tone of its top."""

    def __init__(self, picture, size_mm):
        self.pixels = imread(BytesIO(picture), format="png")[:, :, :3]
        rows, columns = np.nonzero(np.abs(self.pixels - rgb(TONES[0])).max(axis=2) < 0.004)
        legend = columns > self.pixels.shape[1] * 0.7  # the sign beside the plot has that tone too
        rows, columns = rows[~legend], columns[~legend]
        self.low, self.high = (columns.min(), rows.max() + 1), (columns.max() + 1, rows.min())
        self.size_mm = size_mm

    def at(self, x, y):
        """Return the colour at a place [mm]."""
        column, row = (
            low + (high - low) * share / size
            for low, high, share, size in zip(self.low, self.high, (x, y), self.size_mm, strict=True)
        )
        return self.pixels[int(row), int(column)]


def test_a_slot_is_darker_than_the_top(workshop):
    board = Board(draw_relief(relief_view(*told(workshop.proof()))), (200, 150))
    assert board.at(100, 20) == pytest.approx(rgb(TONES[0]), abs=0.004)
    assert board.at(100, 50) == pytest.approx(rgb(TONES[-1]), abs=0.02)  # the deepest that is cut
    assert board.at(100, 50) @ GREY < board.at(100, 20) @ GREY / 2


def test_the_table_shows_where_it_is_cut_through(workshop, clean):
    board = Board(draw_relief(relief_view(*told(workshop.proof(program=clean(THROUGH))))), (200, 150))
    assert board.at(100, 50) == pytest.approx(rgb(TABLE), abs=0.01)
    assert board.at(100, 20) == pytest.approx(rgb(TONES[0]), abs=0.004)
    across = [board.at(100, y) @ GREY for y in np.arange(44, 56, 0.1)]
    assert min(across) < 0.6  # a dark edge between wood and table


def test_the_edge_of_what_comes_loose_is_drawn(workshop, clean):
    """Dashes, black on white, along the outline of the part: of every few millimetres some are dark, some bright."""
    board = Board(draw_relief(relief_view(*told(workshop.proof(program=clean(AROUND))))), (200, 150))
    edge = np.array([board.at(x, 53.0) @ GREY for x in np.arange(60, 140, 0.5)])
    inner = np.array([board.at(x, 60.0) @ GREY for x in np.arange(60, 90, 0.5)])
    assert edge.min() < 0.2
    assert edge.max() > 0.9
    assert np.ptp(inner) < 0.05


def test_light_comes_from_the_upper_left():
    y, x = np.mgrid[0:40, 0:40].astype(np.float32)
    none, level_tone = np.zeros((40, 40), dtype=bool), np.zeros((40, 40), dtype=np.float32)

    def brightness(depth):
        # The top's tone everywhere, so that only the light differs.
        return float((shaded(np.asarray(depth, dtype=np.float32), level_tone, none, 1.0, 1.0) @ GREY)[20, 20])

    level = brightness(np.full((40, 40), 20))
    assert level == pytest.approx(rgb(TONES[0]) @ GREY, abs=1e-3)
    right, left, front, back = (brightness(0.3 * each) for each in (x, 40 - x, 40 - y, y))  # which way it goes down
    assert right < level < left
    assert front < level < back


def test_deeper_wood_is_darker_in_grey_too():
    tones = wood(np.linspace(0, 12, 25, dtype=np.float32), 12.0) @ GREY
    assert (np.diff(tones) < 0).all()
    assert rgb(TABLE) @ GREY > tones[0] + 0.08


def test_nothing_cut_is_level_and_pale(workshop, clean):
    view = relief_view(*told(workshop.proof(program=clean({"G1 Z-3 F300": "G1 Z1 F300"}))))
    drawn = shaded(view.depth_mm, view.cut_mm, view.through, view.pitch_mm, view.steps[-1].depth_mm)
    assert drawn.min(axis=(0, 1)) == pytest.approx(rgb(TONES[0]), abs=1e-3)
    board = Board(draw_relief(view), (200, 150))
    assert board.at(100, 50) == pytest.approx(board.at(100, 20), abs=0.004)


def test_a_single_row_of_cells_can_be_shaded():
    strip = np.zeros((1, 9), dtype=np.float32)
    assert shaded(strip, strip, strip > 1, 1.0, 0.0).shape == (1, 9, 3)


@pytest.mark.parametrize("colour", ["speed", "depth", "order"])
@pytest.mark.parametrize("form", ["png", "svg"])
def test_board_and_plan_come_as_one_picture(workshop, colour, form):
    proof = workshop.proof()
    alone = draw_relief(relief_view(*told(proof)), form=form)
    both = draw_relief(relief_view(*told(proof)), plan_view(*told(proof), colour), form)
    assert b"cutworthy" in both[:1024]
    if form == "png":
        assert imread(BytesIO(both), format="png").shape[0] > imread(BytesIO(alone), format="png").shape[0]


def test_a_program_far_off_the_board_is_drawn_whole(workshop, clean):
    proof = workshop.proof(program=clean({"G1 X150 F1500": "G1 X9000 F1500"}))
    left, right, front, back = board_window(relief_view(*told(proof)).scene, [(9000, 0)])
    assert right > 9000
    assert back - front >= (right - left) / 7
    assert draw_relief(relief_view(*told(proof)), plan_view(*told(proof))).startswith(b"\x89PNG")


def axes_of():
    figure = Figure(figsize=(6, 4))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
    axes.set(xlim=(0, 240), ylim=(0, 160))
    return axes


def boxes_of(axes):
    renderer = axes.figure.canvas.get_renderer()
    return [text.get_window_extent(renderer) for text in axes.texts]


def test_labels_hide_neither_each_other_nor_a_place():
    axes = axes_of()
    places = [(5, 5), (235, 155), (120, 80), (124, 82), (122, 77), (118, 84)]
    labels = [Label(text=f"rapid-in-wood, line {n}\nclamp-hit, line 7", at_mm=at) for n, at in enumerate(places)]
    write_labels(axes, (0, 240, 0, 160), labels, keep_free=places)
    boxes = boxes_of(axes)
    assert len(boxes) >= 5
    assert not any(one.overlaps(other) for one, other in combinations(boxes, 2))
    frame = axes.get_window_extent()
    for box in boxes:
        assert frame.x0 - 1 <= box.x0 < box.x1 <= frame.x1 + 1
        assert not any(box.contains(*axes.transData.transform(at)) for at in places)


def test_a_label_without_room_is_left_out():
    axes = axes_of()
    write_labels(axes, (0, 240, 0, 160), [Label(text="long " * 60, at_mm=(120, 80))], keep_free=[])
    write_labels(axes, (0, 240, 0, 160), [Label(text="elsewhere", at_mm=(300, 80))], keep_free=[])
    assert len(axes.texts) == 0


def test_a_name_that_does_not_fit_is_its_number():
    axes, window = axes_of(), (0, 240, 0, 160)
    part = {"text": "part 12", "short": "12", "at_mm": (120, 80), "centred": True}
    for room, text, inside in ((40, "part 12", True), (11, "12", True), (2, "12", False)):
        write_labels(axes, window, [Label(**part, room_mm=(room, room))], keep_free=[])
        (box,) = boxes_of(axes)[-1:]
        low, high = axes.transData.transform([(120 - room / 2, 80 - room / 2), (120 + room / 2, 80 + room / 2)])
        hides = low[0] < box.x1 and box.x0 < high[0] and low[1] < box.y1 and box.y0 < high[1]
        assert (axes.texts[-1].get_text(), hides) == (text, inside)


def test_words_that_stand_off_have_a_line_to_their_place():
    axes = axes_of()
    labels = [Label(text=f"clamp-hit, line {n}", at_mm=(120, 80)) for n in range(14)]
    write_labels(axes, (0, 240, 0, 160), labels, keep_free=[(120, 80)])
    led = [text.arrow_patch is not None for text in axes.texts]
    assert led[0] is False
    assert any(led)


def test_many_faults_are_drawn(workshop):
    view = relief_view(*told(workshop.proof()))
    spots = np.random.default_rng(3).uniform((0, 0), (200, 150), (80, 2)).tolist()
    faults = tuple(Mark(text=f"clamp-hit, line {n}", at_mm=tuple(at), fault=True) for n, at in enumerate(spots))
    crowded = replace(view, scene=replace(view.scene, faults=faults))
    assert draw_relief(crowded) != draw_relief(view)


def test_long_names_are_shortened():
    assert shorten("left", 24) == "left"
    assert shorten("the clamp that grandfather made", 10) == "the clamp…"

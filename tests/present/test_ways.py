"""The way of the bit as lines: arcs in strokes, and long ways thinned to what can be seen."""

import numpy as np
import pytest

from cutworthy.present.ways import MANY, thinned, way_from_above

GRAIN_MM = 0.1


def off_mm(places, way):
    """Return how far each place is from a way without breaks, at most."""
    start, step = way[:-1], np.diff(way, axis=0)
    length = np.maximum((step**2).sum(axis=1), 1e-300)
    share = np.clip(((places[:, None] - start) * step).sum(axis=2) / length, 0, 1)
    return float(np.hypot(*(places[:, None] - start - share[..., None] * step).transpose(2, 0, 1)).min(axis=1).max())


def test_a_way_is_broken_where_a_move_is_left_out(workshop, clean):
    moves = workshop.proof(program=clean({"G1 X50\n": "G0 X50\nG1 X60\n"})).outcome.program.moves
    way = way_from_above(moves, moves.feeds, np.array([1.0, 2.0]))
    broken = np.flatnonzero(np.isnan(way[:, 0]))
    assert len(broken) == 2
    first, second = way[broken[0] + 1 : broken[1]], way[broken[1] + 1 :]
    assert first[0].tolist() == [51, 52]
    assert np.hypot(*(first[-30:-1] - (151, 72)).T) == pytest.approx(np.full(29, 20))  # on the half circle
    assert second.tolist() == [[51, 92], [61, 92]]


def test_a_short_way_stays_as_it_is():
    way = np.random.default_rng(1).normal(size=(MANY, 2))
    assert thinned(way, GRAIN_MM) is way


@pytest.mark.parametrize(("turns", "most"), [(3, 2_000), (300, 100_000)])
def test_a_huge_program_is_thinned_and_keeps_its_shape(turns, most):
    angle = np.linspace(0, turns * 2 * np.pi, 1_000_000)
    spiral = np.stack([angle * np.cos(angle), angle * np.sin(angle)], axis=1) * (100 / angle[-1])
    few = thinned(spiral, GRAIN_MM)
    assert len(few) < most
    assert (few[0].tolist(), few[-1].tolist()) == (spiral[0].tolist(), spiral[-1].tolist())
    assert off_mm(spiral[np.linspace(0, 999_999, 40).astype(int)], few) < (1 + 2**0.5) * GRAIN_MM


def test_out_and_back_stays():
    teeth = np.zeros((40_001, 2))
    teeth[1::2, 0], teeth[:, 1] = 5, np.arange(40_001) * 0.01
    assert thinned(teeth, GRAIN_MM).tolist() == teeth.tolist()


def test_straight_rows_become_their_ends():
    places = np.linspace(0, 100, 1000)
    rows = [np.stack([np.full(1000, x), places[:: 1 if x % 2 else -1]], axis=1) for x in range(100)]
    way = np.concatenate(rows)
    few = thinned(way, GRAIN_MM)
    assert len(few) <= 2 * 100 + 100
    assert off_mm(way[::997], few) < GRAIN_MM


def test_breaks_stay():
    piece = np.stack([np.linspace(0, 50, 15_000), np.zeros(15_000)], axis=1)
    way = np.concatenate([[[np.nan, np.nan]], piece, [[np.nan, np.nan]], piece + np.array([0, 7])])
    few = thinned(way, GRAIN_MM)
    assert np.isnan(few[:, 0]).tolist() == [True, False, False, True, False, False]
    assert few[1:3].tolist() == [[0, 0], [50, 0]]
    assert few[4:].tolist() == [[0, 7], [50, 7]]

"""The plan's map of how near each cut comes to its feed."""

import numpy as np
import pytest

from cutworthy.present.plan import plan_view

# X does 50 mm/s and 400 mm/s^2. 60 mm at 25 mm/s, where ramps cost a fiftieth; then out and back by 0.05 mm, each from
# stop to stop in 22 ms, which is 2.2 mm/s on average; then 40 mm for which 66.7 mm/s are asked.
THREE_SORTS = {"G1 X150 F1500\n": "G1 X110 F1500\nX110.05\nX110\nX110.05\nX110\nX150 F4000\nF1500\n"}


def cuts_of(proof):
    return plan_view(proof.outcome, proof.card.record, proof.machine_card.record).cuts


def lengths_mm(cuts):
    return np.hypot(*np.diff(cuts.strokes, axis=1)[:, 0].T).tolist()


def test_the_clean_job_is_cut_as_asked(workshop):
    at_feed, slower, slowest = cuts_of(workshop.proof())
    assert (len(at_feed.strokes) > 0, len(slower.strokes), len(slowest.strokes)) == (True, 0, 0)
    assert at_feed.name == "cut at the feed asked for: 100 %"


def test_three_sorts_of_cuts(workshop, clean):
    at_feed, slower, slowest = cuts_of(workshop.proof(program=clean(THREE_SORTS)))
    assert lengths_mm(slower) == pytest.approx([40])
    assert lengths_mm(slowest) == pytest.approx([0.05] * 4)
    # 5 mm down, two straight cuts of 60 and 100 mm, half a circle of 20 mm; 0.2 mm out and back; 40 mm.
    whole = 5 + 60 + 100 + 20 * np.pi + 0.2 + 40
    assert at_feed.name.endswith(f": {100 * (1 - 40.2 / whole):.0f} %")
    assert slower.name == f"slower than asked: {100 * 40 / whole:.0f} %"
    assert slowest.name == "less than half of it: under 1 %"

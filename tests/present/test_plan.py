"""The plan's sorts of cuts: how near to their feed, how deep, when."""

import numpy as np
import pytest

from cutworthy.present.cuts import depth_steps
from cutworthy.present.plan import plan_view
from cutworthy.present.show import Display

# X does 50 mm/s and 400 mm/s^2. 60 mm at 25 mm/s, where ramps cost a fiftieth; then out and back by 0.05 mm, each from
# stop to stop in 22 ms, which is 2.2 mm/s on average; then 40 mm for which 66.7 mm/s are asked.
THREE_SORTS = {"G1 X150 F1500\n": "G1 X110 F1500\nX110.05\nX110\nX110.05\nX110\nX150 F4000\nF1500\n"}
# 5 mm down to Z-3, of which 2 in the air, two straight cuts of 100 mm, half a circle of 20 mm.
WHOLE = 5 + 100 + 100 + 20 * np.pi
DEEPER = {"G1 X150 F1500\n": "G1 X110 F1500\nG1 Z-3.5\nG1 X150 Z-6\nG1 Z-3\n"}
ABOVE = {"G1 Z-3 F300\n": "G1 Z1 F300\n"}


def cuts_of(proof, colour="speed"):
    return plan_view(proof.outcome, proof.card.record, proof.machine_card.record, colour).cuts


def lengths_mm(cuts):
    steps = np.hypot(*np.diff(cuts.way, axis=0).T)
    return steps[~np.isnan(steps)].tolist()


def test_the_clean_job_is_cut_as_asked(workshop):
    at_feed, slower, slowest = cuts_of(workshop.proof()).sorts
    assert (len(at_feed.way) > 0, len(slower.way), len(slowest.way)) == (True, 0, 0)
    assert at_feed.name == "cut at the feed asked for: 100 %"


def test_three_sorts_of_cuts(workshop, clean):
    at_feed, slower, slowest = cuts_of(workshop.proof(program=clean(THREE_SORTS))).sorts
    assert lengths_mm(slower) == pytest.approx([40])
    assert lengths_mm(slowest) == pytest.approx([0.05] * 4)
    # 5 mm down, two straight cuts of 60 and 100 mm, half a circle of 20 mm; 0.2 mm out and back; 40 mm.
    whole = 5 + 60 + 100 + 20 * np.pi + 0.2 + 40
    assert at_feed.name.endswith(f": {100 * (1 - 40.2 / whole):.0f} %")
    assert slower.name == f"slower than asked: {100 * 40 / whole:.0f} %"
    assert slowest.name == "less than half of it: under 1 %"


def test_cuts_by_depth(workshop, clean):
    cuts = cuts_of(workshop.proof(program=clean(DEEPER)), "depth")
    assert [sort.name.partition(":")[0] for sort in cuts.sorts] == [
        "0 to 1.5 mm deep",
        "1.5 to 3 mm deep",  # as deep as 3 mm belongs here
        "3 to 4.5 mm deep",
        "4.5 to 6 mm deep",
    ]
    assert [sum(lengths_mm(sort)) for sort in cuts.sorts] == pytest.approx([0, 160 + 20 * np.pi, 0, 40], rel=1e-3)
    assert cuts.sorts[3].name.endswith(
        f": {100 * (np.hypot(40, 2.5) + 3) / (WHOLE + 0.5 + 3 + np.hypot(40, 2.5) - 40):.0f} %"
    )
    assert cuts.in_the_air.name == "above the board: 0 %"


def test_a_program_above_the_board_has_no_depth(workshop, clean):
    cuts = cuts_of(workshop.proof(program=clean(ABOVE)), "depth")
    assert cuts.sorts == ()
    assert cuts.in_the_air.name == "above the board: 100 %"
    assert sum(lengths_mm(cuts.in_the_air)) == pytest.approx(200 + 20 * np.pi, rel=1e-3)


def test_one_sort_alone_lies_on_nothing(workshop):
    assert cuts_of(workshop.proof(), "depth").notes == ()


def test_a_program_without_cuts_says_so(workshop):
    cuts = cuts_of(workshop.proof(program="G21 G90 G17 G94 G54 G40 G49\nM30\n"))
    assert cuts.notes == ("The program has no cuts.",)


def test_cuts_by_order(workshop):
    proof = workshop.proof()
    cuts = cuts_of(proof, "order")
    total = proof.outcome.timing.timeline.total_s
    assert cuts.in_the_air is None
    assert [sort.name.partition(",")[0] for sort in cuts.sorts] == [
        f"{name} fifth" for name in ("first", "second", "third", "fourth", "last")
    ]
    assert cuts.sorts[0].name.endswith(f"until {Display('mm').time(total / 5)}")
    assert cuts.sorts[4].name.endswith(f"until {Display('mm').time(total)}")
    assert sum(sum(lengths_mm(sort)) for sort in cuts.sorts) == pytest.approx(200 + 20 * np.pi, rel=1e-3)
    firsts = [sort.way[1].tolist() for sort in cuts.sorts if sum(lengths_mm(sort))]
    assert firsts == [[50, 50], [150, 50], [150, 90]]  # in the order of the program


@pytest.mark.parametrize(
    ("deepest", "units", "steps"),
    [
        (18.6, "mm", [4, 8, 12, 16, 18.6]),
        (5.6, "mm", [1.5, 3, 4.5, 5.6]),
        (10, "mm", [2, 4, 6, 8, 10]),
        (0.03, "mm", [0.006, 0.012, 0.018, 0.024, 0.03]),
        (1000, "mm", [200, 400, 600, 800, 1000]),
        (9.144, "inch", [2.032, 4.064, 6.096, 8.128, 9.144]),  # 0.08 in each, 0.36 in
        (16.7, "mm", [4, 8, 12, 16.7]),  # 16 would hardly be less
        (0, "mm", []),
        (-2, "mm", []),
    ],
)
def test_depths_end_in_round_steps(deepest, units, steps):
    assert depth_steps(deepest, Display(units)) == pytest.approx(steps)


@pytest.mark.parametrize("deepest", np.geomspace(1e-3, 500, 97).tolist())
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_there_are_few_depths_and_none_twice(deepest, units):
    steps = depth_steps(deepest, Display(units))
    assert 3 <= len(steps) <= 5
    assert steps == sorted(set(steps))
    assert steps[-1] == deepest

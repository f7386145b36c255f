"""T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3, NISTIR 6556, 2000, Appendix C.1.

The report says of its sample program that it mills "Hello world" "between X=0 and X=81
millimeters" and "may be safely run". Lengths and sweeps were worked out by hand from its text.
"""

import math

import pytest

from cutworthy.app.programs import read_and_tell

PROGRAM = """\
(this program mills "Hello world" between X=0 and X=81 millimeters)
n0010 g21 g0 x0 y0 z50 (top of part should be on XY plane)
n0020 t1 m6 m3 f20 s4000 (use an engraver or small ball-nose endmill)
n0030 g0 x0 y0 z2
n0040 g1 z-0.5 (start H)
n0050 y10
n0060 g0 z2
n0070 y5
n0080 g1 z-0.5
n0090 x 7
n0100 g0 z2
n0110 y0
n0120 g1 z-0.5
n0130 y10
n0140 g0 z2
n0150 x11 y2.5
n0160 g1 z-0.5 (start e)
n0170 x16
n0190 g3 x13.5 y0 i-2.5
n0200 g1 x16
n0210 g0 z2
n0220 x20 y0
n0230 g1 z-0.5 (start l)
n0240 y9
n0250 g0 z2
n0260 x26
n0270 g1 z-0.5 (start l)
n0280 y0
n0290 g0 z2
n0300 x32.5
n0310 g1 z-0.5 (start o)
n0320 g2 x32.5 j2.5
n0330 g0 z2
n0340 x45 y5
n0350 g1 z-0.5 (start w)
n0360 x47 y0
n0370 x48.5 y3
n0380 x50 y0
n0390 x52 y5
n0400 g0 z2
n0410 x57.5 y0
n0420 g1 z-0.5 (start o)
n0430 g2 x57.5 j2.5
n0440 g0 z2
n0450 x64
n0460 g1 z-0.5 (start r)
n0470 y5
n0480 y4
n0490 g2 x69 r4
n0500 g0 z2
n0510 x73 y0
n0520 g1 z-0.5 (start l)
n0530 y9
n0540 g0 z2
n0550 x81
n0560 g1 z-0.5 (start d)
n0570 y0
n0580 x79.5
n0590 g2 j2.5 y5
n0600 g1 x81
n0610 g0 z50
n0620 m2
"""

JOB = {
    'size = ["200 mm", "150 mm", "18 mm"]': 'size = ["100 mm", "40 mm", "18 mm"]',
    'x = "left"': 'x = "10 mm"',
    'y = "front"': 'y = "10 mm"',
    'kind = "flat"': 'kind = "ball"',
    'from = ["-40 mm", "60 mm"]': 'from = ["-40 mm", "-60 mm"]',
    'to = ["10 mm", "90 mm"]': 'to = ["-10 mm", "-30 mm"]',
}
MACHINE = {'switched_by = "hand"': 'switched_by = "program"', 'speed_by = "dial"': 'speed_by = "program"'}


@pytest.fixture
def proof(workshop):
    return workshop.proof(program=PROGRAM, job=JOB, machine=MACHINE)


def test_bounds_end_and_lengths(proof):
    program = proof.document["program"]
    assert program["units"] == "mm"
    assert program["extents_mm"]["cut"] == [[0, 0, -0.5], [81, 10, 2]]
    assert program["end_mm"] == [81, 5, 50]
    # By hand: 12 plunges of 2.5, strokes of 79.5, four slanted strokes of the w, five arcs. (Summing the
    # arcs as rounded below gives 183.431, a last digit too many.)
    w = 2 * (math.hypot(2, 5) + math.hypot(1.5, 3))
    arcs = 2 * math.pi * 2.5 * (0.75 + 1 + 1 + 0.5) + 2 * 4 * math.asin(2.5 / 4)
    assert program["length_mm"]["cut"] == pytest.approx(30 + 79.5 + w + arcs, abs=1e-6)
    assert program["tools"] == [1]
    assert not [p for p in program["problems"] if p["level"] != "note"]


def test_counts_and_arcs(proof):
    moves = proof.outcome.program.moves
    kinds = moves.kind.tolist()
    # 25 traverses by the text; the one of no length (n0010 begins where the tool may stand) depends on the start.
    assert (kinds.count(0), kinds.count(1), kinds.count(2)) == (25, 29, 5)
    arcs = moves.take(moves.kind == 2)
    assert [round(360 * turns, 3) for turns in arcs.turns] == [270, -360, -360, -77.364, -180]
    expected = [11.7810, 15.7080, 15.7080, 5.4011, 7.8540]
    assert arcs.length_mm.tolist() == [pytest.approx(length, abs=5e-5) for length in expected]
    centres = [(13.5, 2.5), (32.5, 2.5), (57.5, 2.5), (66.5, 4 - math.sqrt(16 - 6.25)), (79.5, 2.5)]
    assert [tuple(centre[:2]) for centre in arcs.centre_mm.tolist()] == [pytest.approx(c, abs=1e-9) for c in centres]


def test_its_speed_is_below_what_the_router_can_do(proof):
    (finding,) = [f for f in proof.document["findings"] if f["id"] == "spindle-range"]
    assert (finding["level"], finding["case"]) == ("ask", "below")
    assert finding["numbers"]["value"] == 4000
    assert finding["numbers"]["limit"] == 8000


def test_the_feed_moves_take_at_least_what_the_feed_says(proof):
    # 183.431 mm at 20 mm/min is 9 min 10 s; dwell and rapids come on top.
    assert proof.document["time_s"]["low"] > 9 * 60 + 10
    assert proof.document["time_s"]["low"] < 9 * 60 + 10 + 20
    assert proof.document["time_s"]["high"] > proof.document["time_s"]["low"]


def test_the_page_says_what_the_report_says_of_it(tmp_path):
    (tmp_path / "hello.nc").write_text(PROGRAM, encoding="ascii")
    answer = read_and_tell(
        tmp_path / "hello.nc", strict=False, block_delete=False, tools=None, progress=lambda _share: None
    )
    page = [line.text for line in answer.page(every_move=False)]
    # The report: between X=0 and X=81, the top of the part on the XY plane; the rest from its words, line by line.
    for row in (
        "Units      millimetres (G21)",
        "Zero       at the front left corner of the cuts (they go from X 0 to 81, Y 0 to 10)",
        "Size       81 mm by 10 mm",
        "Depth      lowest cut 0.5 mm below zero (line 5), highest 50 mm above it",
        "Bits       bit 1 on line 3",
        "Spindle    4000 rpm",
        "Feed       20 mm/min",
        "  line 2: travels to X 0 Y 0 Z 50",
        "  line 5: cuts straight down to Z -0.5 at 20 mm/min",
        "  line 59: cuts an arc of 180 degrees clockwise to X 79.5 Y 5 Z -0.5 at 20 mm/min",
        "  line 61: travels straight up to Z 50",
    ):
        assert row in page
    assert answer.verdict == "go"  # its problems are notes
    whole = [line.text for line in answer.page(every_move=True)]
    arc = "  line 19: cuts an arc of 270 degrees counter-clockwise to X 13.5 Y 0 Z -0.5 at 20 mm/min"
    assert arc in whole

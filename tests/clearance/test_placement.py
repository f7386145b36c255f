"""Where zero and clamps may stand, by hand and against the full check at another zero."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy import clearance, motion
from cutworthy.app.cards import load_job, load_machine
from cutworthy.clearance.raster import Lattice, Marks
from cutworthy.clearance.room import nearest_free, roomiest
from cutworthy.model.placement import Obstacle
from cutworthy.program import read_program
from cutworthy.workflows.open import read_options
from cutworthy.workflows.place import PlaceRequest, find_places

LEFT = Obstacle(kind="contact", part="bit", thing="left", clamp=0)

HOME = "G0 Z5\nG53 G0 X0 Y0\nM5\nM30\n"  # low, straight from the last cut to the machine's corner


def quiet(_share: float) -> None:
    """Tell nobody how far the work is."""


def request_of(workshop, **edits):
    workshop.write(**edits)
    card = load_job(workshop.folder / "board.toml")
    data = card.program.read_bytes()
    return PlaceRequest(machine=load_machine(card.machine).record, job=card.record, program=data)


def placement(workshop, clamp_mm=None, **edits):
    return find_places(replace(request_of(workshop, **edits), clamp_mm=clamp_mm), quiet).placement


def faults_at(request, dx, dy, more_mm=0.0):
    """Return what the check of a verdict finds with zero elsewhere, and clamps that may be off by more."""
    job, machine = request.job, request.machine
    zero = replace(job.zero, from_left_mm=job.zero.from_left_mm + dx, from_front_mm=job.zero.from_front_mm + dy)
    clamps = tuple(replace(each, plus_minus_mm=_more(each.plus_minus_mm, more_mm)) for each in job.clamps)
    moved = replace(job, zero=zero, clamps=clamps)
    place = clearance.place(machine, moved)
    moves = motion.expand(read_program(request.program, read_options(machine, moved, place), quiet), machine)
    found = {"meets" for each in clearance.contacts(moves, moved, machine, place) if each.hit or each.near}
    for each in clearance.reach(moves, machine, moved, place):
        off = zero.plus_minus_z_mm.value if each.axis == "z" else zero.plus_minus_mm.value
        found |= {"leaves"} if each.room_mm is not None and each.room_mm < off and each.room_mm != 0 else set()
    return found


def _more(quantity, by):
    return replace(quantity, value=quantity.value + by, low=quantity.low + by, high=quantity.high + by)


# Cuts from (50, 50) to (170, 90) with a bit of 6 mm on a board of 200 by 150 that lies at (100, 100) of 820 by 560;
# the clamp reaches to x = 10, from y = 60 to 90, and may be off by 3 mm, zero by 0.5 mm.
def test_by_hand(workshop):
    zero = placement(workshop).zero
    assert zero.zero_mm == (0.0, 0.0)
    assert zero.travel_mm == ((-99.5, 549.5), (-99.5, 369.5))
    assert zero.board_mm[0] == pytest.approx((-53.0, 33.0), abs=1e-9)
    assert zero.board_mm[1] == pytest.approx((-53.0, 63.0), abs=1e-9)
    rooms = {side: margin.room_mm for side, margin in zero.margins.items()}
    assert rooms["right"] == pytest.approx(33.0)
    assert (rooms["front"], rooms["back"]) == pytest.approx((53.0, 63.0))
    # At y = 90 the bit's edge, at 50 - 3, has 33.5 mm to go to the clamp's, grown to 13.5.
    assert 33.5 - zero.error_mm <= rooms["left"] <= 33.5
    assert zero.error_mm < 1.0
    assert zero.margins["left"].then == LEFT
    assert zero.margins["right"].then == Obstacle(kind="off-board", axis="x")
    assert (zero.nearest_mm, zero.everywhere, zero.travel_judged) == ((0.0, 0.0), (), (True, True))
    assert (zero.unknown_line, zero.machine_line, zero.start_line) == (None, None, None)


def test_the_reason_at_a_shift(workshop):
    zero = placement(workshop).zero
    assert zero.why_not(0, 0) is None
    assert zero.why_not(-45, 0) == LEFT
    assert zero.why_not(34, 0) == Obstacle(kind="off-board", axis="x")
    assert zero.why_not(0, 371) == Obstacle(kind="travel", axis="y")


def test_travel_comes_first_where_the_board_lies_at_its_end(workshop):
    zero = placement(workshop, job={'at = ["100 mm", "100 mm"]': 'at = ["4 mm", "100 mm"]'}).zero
    assert zero.margins["left"].room_mm == pytest.approx(3.5)
    assert zero.margins["left"].then == Obstacle(kind="travel", axis="x")


def test_an_unknown_board_place_leaves_travel_out(workshop):
    zero = placement(workshop, job={'at = ["100 mm", "100 mm"]\n': ""}).zero
    assert zero.travel_judged == (False, False)
    assert zero.travel_mm == ((-np.inf, np.inf), (-np.inf, np.inf))
    assert zero.margins["right"].room_mm == pytest.approx(33.0)


def test_without_clamps_only_board_and_travel_count(workshop):
    request = request_of(workshop)
    found = find_places(replace(request, job=replace(request.job, clamps=())), quiet).placement
    assert not found.zero.grid.cells.any()
    assert found.zero.margins["left"].then == Obstacle(kind="off-board", axis="x")
    assert found.zero.best_mm == pytest.approx((-10.0, 5.0), abs=1.0)  # the middle of what the board allows
    assert (found.clamp.size.given_by, found.clamp.size.along_x_mm) == ("guess", 60.0)


def test_the_card_zero_in_the_clamp_is_sent_to_the_nearest_place(workshop, clean):
    zero = placement(workshop, program=clean({"G0 X50 Y50": "G0 X8 Y50", "G1 X50\n": "G1 X8\n"})).zero
    assert zero.margins is None
    assert zero.why_not(0, 0) == LEFT
    # Its left end is at 8 - 3 and has to be at 13.5; upwards it would have to pass 93.5 with y = 90 - 3 - 40.
    assert zero.nearest_mm[0] == pytest.approx(8.5, abs=zero.error_mm)
    assert zero.nearest_mm[1] == pytest.approx(0.0, abs=0.05)
    assert zero.why_not(*zero.nearest_mm) is None


def test_cuts_longer_than_the_board_have_no_place(workshop, clean):
    zero = placement(workshop, program=clean({"G1 X150 F1500": "G1 X290 F1500", "G3 X150": "G3 X290"})).zero
    assert (zero.nearest_mm, zero.best_mm, zero.margins) == (None, None, None)
    assert zero.grid.cells.size == 0
    assert zero.spare_mm["board"][0] == pytest.approx(206 - 260)
    assert zero.spare_mm["travel"][0] == pytest.approx(820 - 310 - 1)


def test_a_wall_of_clamps_leaves_no_place(workshop):
    edits = {
        'from = ["-40 mm", "60 mm"]': 'from = ["95 mm", "-10 mm"]',
        'to = ["10 mm", "90 mm"]': 'to = ["105 mm", "160 mm"]',
    }
    zero = placement(workshop, job=edits).zero
    assert (zero.grid.cells == 1).all()
    assert (zero.nearest_mm, zero.obstacles) == (None, (LEFT,))


def test_z_beyond_its_travel_is_cured_nowhere(workshop, clean):
    zero = placement(workshop, program=clean({"G0 Z20": "G0 Z90"})).zero
    assert zero.everywhere[0].kind == "travel"
    assert zero.everywhere[0].axis == "z"
    assert (zero.nearest_mm, zero.margins) == (None, None)
    assert zero.why_not(0, 0) == zero.everywhere[0]


def test_a_place_of_the_machine_stays_when_zero_moves(workshop, clean):
    zero = placement(workshop, program=clean({"G0 Z20\nG0 X0 Y0\nM5\nM30\n": HOME})).zero
    assert zero.machine_line == 11
    assert zero.travel_mm[0] == (-149.5, 549.5)  # from X50: the corner is reached from wherever zero is
    # The box from (50, 90) to (-100, -100) holds the clamp at every shift that the board allows but the lowest.
    assert zero.why_not(0, 0) == LEFT
    assert zero.why_not(0, -50) is None


def test_a_program_that_changes_with_zero_is_not_judged_elsewhere(workshop, clean):
    # An arc from a place of the machine to one of the work does not close at another zero.
    program = clean({"G0 Z20\nG0 X0 Y0\nM5\nM30\n": "G0 Z20\nG53 G0 X120\nG3 X50 Y90 R40\nM5\nM30\n"})
    zero = placement(workshop, program=program).zero
    assert Obstacle(kind="tied") in zero.everywhere
    assert zero.nearest_mm is None


def test_a_nut_that_is_not_on_the_card_counts_as_the_widest(workshop):
    nut = 'collet_nut = { diameter = "22 mm", length = "20 mm", max_rpm = "30000 rpm" }\n'
    found = placement(workshop, machine={nut: ""}, job={"25 mm": "70 mm"})
    assert found.guessed == ("nut",)
    assert Obstacle(kind="contact", part="nut", thing="left", clamp=0) in found.zero.obstacles


def test_a_high_clamp_meets_nut_and_body(workshop):
    parts = [each.part for each in placement(workshop, job={'height = "25 mm"': 'height = "90 mm"'}).zero.obstacles]
    assert parts == ["bit", "nut", "body"]


def test_the_first_travel_is_told(workshop, clean):
    zero = placement(
        workshop, program=clean({"S18000 M3\nG0 Z20\n": "S18000 M3\n"}), job={'10 mm"\n\n[hol': '1 mm"\n\n[hol'}
    )
    assert zero.zero.start_line == 3


PROGRAMS = {
    "clean": {},
    "home": {"G0 Z20\nG0 X0 Y0\nM5\nM30\n": HOME},
    "helix": {"G3 X150 Y90 I0 J20": "G3 X150 Y90 Z9 I0 J20", "G1 X50\n": "G18 G2 X50 Z9 I-50 K0\nG17\n"},
}
ROUTERS = {"straight": {}, "both": {'rapids = "straight"': 'rapids = "unknown"'}}
JOBS = {
    "low": {},
    "high": {'height = "25 mm"': 'height = "80 mm"'},
    "vee": {'kind = "flat"': 'kind = "vee"\nangle = "90 deg"', '"6 mm"': '"30 mm"'},
}


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize("router", ROUTERS)
@pytest.mark.parametrize("card", JOBS)
def test_samples_pass_inside_and_fail_outside(workshop, clean, program, router, card):
    request = request_of(workshop, program=clean(PROGRAMS[program]), machine=ROUTERS[router], job=JOBS[card])
    zero = find_places(request, quiet).placement.zero
    made = np.random.default_rng(len(program + router + card))
    (left, right), (front, back) = (
        (max(zero.travel_mm[i][0], zero.board_mm[i][0]), min(zero.travel_mm[i][1], zero.board_mm[i][1])) for i in (0, 1)
    )
    seen = set()
    for _ in range(40):
        dx, dy = made.uniform(left - 5, right + 5), made.uniform(front - 5, back + 5)
        reason = zero.why_not(dx, dy)
        seen.add(reason and reason.kind)
        if reason is None:
            assert not faults_at(request, dx, dy), (dx, dy)
        elif reason.kind == "contact" and program != "home":  # a way home counts as a box there, which errs towards no
            assert "meets" in faults_at(request, dx, dy, zero.error_mm), (dx, dy)
    assert {"off-board", "contact" if card == "high" or program == "home" else None} <= seen


def test_samples_beyond_the_travel_leave_it(workshop):
    request = request_of(workshop, job={'at = ["100 mm", "100 mm"]': 'at = ["1 mm", "398 mm"]'})
    zero = find_places(request, quiet).placement.zero
    for dx, dy in ((-0.501, 0), (0, 71.501), (-0.501, 71.501)):  # half a millimetre is what zero may be off
        assert zero.why_not(dx, dy).kind == "travel"
        assert "leaves" in faults_at(request, dx, dy)
    for dx, dy in ((-0.5, 0), (0, 62), (-0.499, 61.9)):
        assert zero.why_not(dx, dy) is None
        assert "leaves" not in faults_at(request, dx, dy)


@pytest.mark.parametrize("height", [25.0, 90.0])
def test_a_clamp_outside_the_hatching_is_never_met(workshop, clean, height):
    request = replace(request_of(workshop, program=clean(PROGRAMS["helix"])), clamp_mm=(30.0, 20.0, height))
    region = find_places(request, quiet).placement.clamp
    made = np.random.default_rng(int(height))
    free = 0
    for _ in range(60):
        x, y = made.uniform(-30, 230), made.uniform(-30, 180)
        left, front = x - 15, y - 10
        tall = replace(request.job.clamps[0].height_mm, value=height)
        here = replace(
            request.job.clamps[0], from_x_mm=left, from_y_mm=front, to_x_mm=x + 15, to_y_mm=y + 10, height_mm=tall
        )
        alone = replace(request, job=replace(request.job, clamps=(here,)))
        if not region.middles.code_at(x, y):
            free += 1
            assert not faults_at(alone, 0, 0), (x, y)
            corners = [(left + dx, front + dy) for dx in (0, 30) for dy in (0, 20)]
            assert not any(region.keep_out.code_at(*corner) for corner in corners)
        else:
            assert "meets" in faults_at(alone, 0, 0, region.error_mm), (x, y)
    assert 5 < free < 60


def test_how_far_a_clamp_reaches(workshop):
    edges = placement(workshop, clamp_mm=(80.0, 40.0, 25.0)).clamp.edges
    # The outline of the cuts is at 50 - 3 from the left edge, 50 - 3 from the front and 60 - 3 from the back one;
    # a clamp and zero may be off by 3.5 mm; on the right the round end leaves 30 - 3.5 - 3 at its middle.
    assert edges["left"].reach_mm == pytest.approx(40.0)
    assert edges["front"].reach_mm == pytest.approx(20.0)
    assert edges["right"].reach_mm == pytest.approx(40.0)
    wide = placement(workshop, clamp_mm=(100.0, 140.0, 25.0)).clamp
    assert wide.edges["right"].reach_mm == pytest.approx(23.5, abs=wide.error_mm)
    assert wide.edges["left"].reach_mm == pytest.approx(43.5, abs=wide.error_mm)
    assert wide.edges["front"].reach_mm == pytest.approx(43.5, abs=wide.error_mm)


places = st.floats(-20, 20)
sizes = st.floats(0, 8)


@settings(max_examples=120, deadline=None)
@given(
    st.lists(st.tuples(places, places), min_size=1, max_size=12),
    st.tuples(sizes, sizes),
    st.floats(0, 9),
    st.tuples(places, places),
    st.tuples(st.floats(0.3, 2), st.floats(0.3, 2)),
    st.tuples(st.integers(1, 25), st.integers(1, 25)),
)
def test_cells_against_distances(points, half, radius, low, pitch, counts):
    lattice = Lattice(low, pitch, *counts)
    marks = Marks(lattice, half, radius)
    x, y = np.array(points).T
    marks.add(x, y)
    met = marks.meeting()
    column, row = np.meshgrid(np.arange(counts[0]), np.arange(counts[1]))
    at_x, at_y = low[0] + (column + 0.5) * pitch[0], low[1] + (row + 0.5) * pitch[1]
    beside_x = np.maximum(np.abs(x[:, None, None] + at_x) - half[0], 0)
    beside_y = np.maximum(np.abs(y[:, None, None] + at_y) - half[1], 0)
    distance = np.hypot(beside_x, beside_y).min(axis=0)
    assert met[distance <= radius + lattice.half_cell - 1e-9].all()  # some shift in the cell may be too near
    assert not met[distance > radius + 3 * lattice.half_cell + 1e-9].any()


def test_the_roomiest_of_a_square():
    lattice = Lattice((0.0, 0.0), (1.0, 1.0), 21, 21)
    free = np.ones((21, 21), dtype=bool)
    assert roomiest(lattice, free) == ((10.5, 10.5), 10.5)
    free[:, :10] = False
    at, room = roomiest(lattice, free)
    assert (at[0], room) == (15.5, 5.5)
    assert roomiest(lattice, np.zeros((21, 21), dtype=bool)) == (None, 0.0)
    assert nearest_free(lattice, free) == pytest.approx((10.05, 0.05))

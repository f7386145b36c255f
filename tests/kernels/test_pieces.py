"""A path in straight pieces: how near it stays to the path, that it is whole, and plain and compiled alike."""

import math

import numba
import numpy as np
import pytest

from cutworthy.kernels import laid, pieces

COMPILED = not numba.config.DISABLE_JIT
RAPID, LINE, ARC = pieces.RAPID, pieces.LINE, pieces.ARC
XY, XZ, YZ = 1, 2, 3
AXES = {XY: (0, 1, 2), XZ: (2, 0, 1), YZ: (1, 2, 0)}
ENTERING, TESTING = pieces.ENTERING, pieces.TESTING
TOLERANCE, SAGITTA, LONGEST, LEAST = 0.002, 0.005, 3.0, 2.0
EXACT = 1e-12
SEEDS = 12 if COMPILED else 3


class Path:
    """Moves as columns; each begins where the one before ended."""

    def __init__(self, start=(0.0, 0.0, 0.0)):
        self.here = np.array(start, dtype=float)
        self.moves = []

    def to(self, *there, kind=LINE):
        there = np.array(there, dtype=float)
        self.moves.append((kind, self.here, there, np.zeros(3), 0, 0.0))
        self.here = there
        return self

    def rapid(self, *there):
        return self.to(*there, kind=RAPID)

    def arc(self, radius, begin, turns, rise=0.0, plane=XY):
        """Turn from the angle ``begin`` on, counter-clockwise where ``turns`` is positive."""
        first, second, across = AXES[plane]
        centre, there = self.here.copy(), self.here.copy()
        centre[first] -= radius * math.cos(begin)
        centre[second] -= radius * math.sin(begin)
        angle = begin + 2 * math.pi * turns
        there[first] = centre[first] + radius * math.cos(angle)
        there[second] = centre[second] + radius * math.sin(angle)
        there[across] += rise
        self.moves.append((ARC, self.here, there, centre, plane, turns))
        self.here = there
        return self

    def jump(self, *there):
        """Go on elsewhere: the way there is not known."""
        self.here = np.array(there, dtype=float)
        return self

    def columns(self):
        kind, start, end, centre, plane, turns = (np.array(each) for each in zip(*self.moves, strict=True))
        given = (kind.astype(np.uint8), start, end, centre, plane.astype(np.uint8), turns.astype(float))
        for each in given:
            each.flags.writeable = False
        return given

    def apart(self):
        _, start, end, *_ = self.columns()
        apart = np.ones(len(start), dtype=bool)
        apart[1:] = (start[1:] != end[:-1]).any(axis=1)
        apart.flags.writeable = False
        return apart


def lay(path, module=pieces, *, tolerance=TOLERANCE, sagitta=SAGITTA, longest=LONGEST):
    """Return ends, marks, rows and windows of the pieces of a path."""
    columns = path.columns()
    most = module.count(*columns, sagitta, longest)
    ends, marks, rows = np.empty((most, 6)), np.empty(most, dtype=np.uint8), np.empty((most, 2), dtype=np.int64)
    number = module.lay(*columns, path.apart(), tolerance, sagitta, longest, ends, marks, rows)
    assert number <= most
    ends, marks, rows = ends[:number], marks[:number], rows[:number]
    window = np.empty(number, dtype=np.int64)
    windows = module.window(ends, marks, LEAST, window)
    assert windows == (window[-1] + 1 if number else 0)
    return ends, marks, rows, window


def wild(seed, moves):
    """Return a path of everything: short lines nearly straight on, long ones, arcs, helices, rapids, jumps."""
    chance = np.random.default_rng(seed)
    path = Path(chance.uniform(-5, 5, 3))
    heading = chance.normal(size=3)
    for _ in range(moves):
        kind = chance.choice(["on", "on", "on", "on", "turn", "long", "back", "nowhere", "arc", "rapid", "jump"])
        if kind in ("on", "turn"):
            heading = heading + chance.normal(size=3) * (0.003 if kind == "on" else 1.0)
            step = chance.uniform(0.01, 0.8) * heading / np.linalg.norm(heading)
            path.to(*np.round(path.here + step, 4))
        elif kind == "back":
            path.to(*(path.here - 0.2 * heading))
        elif kind == "nowhere":
            path.to(*path.here)
        elif kind == "arc":
            turns = chance.uniform(0.01, 1.3) * chance.choice([-1, 1])
            radius = float(np.exp(chance.uniform(np.log(0.003), np.log(30.0))))
            rise = chance.choice([0.0, chance.uniform(-3, 3)])
            path.arc(radius, chance.uniform(0, 6.3), turns, rise, plane=int(chance.choice([XY, XZ, YZ])))
        elif kind == "jump":
            path.jump(*chance.uniform(-5, 5, 3))
        else:
            path.to(*(path.here + chance.normal(size=3) * 8), kind=RAPID if kind == "rapid" else LINE)
    return path


def from_segment(places, start, end):
    """Return how far places are from a segment, and the share along it."""
    way = end - start
    share = np.clip((places - start) @ way / max(way @ way, 1e-300), 0, 1)
    return np.linalg.norm(places - start - share[:, None] * way, axis=1), share


def on_arc(start, end, centre, plane, turns, shares):
    """Return places of an arc or helix."""
    first, second, across = AXES[plane]
    radius = math.hypot(start[first] - centre[first], start[second] - centre[second])
    angle = math.atan2(start[second] - centre[second], start[first] - centre[first]) + 2 * math.pi * turns * shares
    places = np.empty((len(shares), 3))
    places[:, first] = centre[first] + radius * np.cos(angle)
    places[:, second] = centre[second] + radius * np.sin(angle)
    places[:, across] = start[across] + (end[across] - start[across]) * shares
    return places


@pytest.mark.parametrize("seed", range(SEEDS))
def test_pieces_are_the_path(seed):
    """Each run of pieces begins and ends where its moves do, and each goes on where the last one ended."""
    path = wild(seed, 120)
    _, start, end, *_ = path.columns()
    apart = path.apart()
    ends, _, rows, _ = lay(path)
    assert rows[0, 0] == 0
    assert rows[-1, 1] == len(start) - 1
    for n in range(len(ends)):
        first, last = rows[n]
        new = n == 0 or (rows[n] != rows[n - 1]).any()
        if new:
            assert n == 0 or first == rows[n - 1, 1] + 1  # no move is left out, and none stands twice
            assert (ends[n, :3] == start[first]).all()
        elif not (new and apart[first]):
            assert ends[n, :3] == pytest.approx(ends[n - 1, 3:], abs=EXACT)
        if n + 1 == len(ends) or (rows[n + 1] != rows[n]).any():
            assert ends[n, 3:] == pytest.approx(end[last], abs=EXACT)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_joined_lines_stay_near_every_corner_and_in_order(seed):
    path = wild(seed, 120)
    kind, _, end, *_ = path.columns()
    ends, _, rows, _ = lay(path)
    joined = 0
    for piece, (first, last) in zip(ends, rows, strict=True):
        if last > first:
            joined += 1
            assert (kind[first : last + 1] == LINE).all()
            off, share = from_segment(end[first:last], piece[:3], piece[3:])
            assert off.max() <= TOLERANCE * (1 + 1e-9)
            assert (np.diff(share) >= 0).all()
    assert joined > 3


@pytest.mark.parametrize("seed", range(SEEDS))
def test_no_piece_is_longer_than_the_limit(seed):
    """Corners of chords lie outside their arc, and a helix is longer than seen from above: so a hair is allowed."""
    path = wild(seed, 120)
    kind, *_ = path.columns()
    ends, marks, rows, _ = lay(path)
    length = np.linalg.norm(ends[:, 3:] - ends[:, :3], axis=1)
    assert ((marks & TESTING != 0) == (kind[rows[:, 0]] == RAPID)).all()
    arc = kind[rows[:, 0]] == ARC
    assert length[~arc].max() <= LONGEST * (1 + 1e-9)
    assert length[arc].max() <= LONGEST + SAGITTA


def test_long_lines_are_split_evenly():
    ends, marks, rows, window = lay(Path().to(3.0, 0, 0).to(3.0, 3.0 + 1e-12, 0).to(3.0, 10.1, 0))
    lengths = np.linalg.norm(ends[:, 3:] - ends[:, :3], axis=1)
    assert lengths == pytest.approx([3, 3, *([7.1 / 3] * 3)], abs=1e-9)
    assert marks.tolist() == [ENTERING, 0, 0, 0, 0]
    assert rows[:, 0].tolist() == [0, 1, 2, 2, 2]
    assert window.tolist() == [0, 1, 2, 3, 4]


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("plane", [XY, XZ, YZ])
def test_arcs_and_helices_stay_within_the_sagitta(plane, seed):
    chance = np.random.default_rng(seed)
    for sagitta in (0.001, SAGITTA, 0.05):
        radius = float(np.exp(chance.uniform(np.log(0.06), np.log(60.0))))
        turns = chance.uniform(0.01, 2.5 if COMPILED else 0.5) * chance.choice([-1, 1])
        rise = chance.choice([0.0, 1.0]) * chance.uniform(-4, 4)
        path = Path(chance.uniform(-9, 9, 3)).arc(radius, chance.uniform(0, 6.3), turns, rise, plane)
        columns = path.columns()
        ends, *_ = lay(path, sagitta=sagitta)
        assert (ends[0, :3] == columns[1][0]).all()
        assert (ends[-1, 3:] == columns[2][0]).all()
        shares = np.linspace(0, 1, len(ends) + 1)
        for number, piece in enumerate(ends):
            true = on_arc(*(each[0] for each in columns[1:]), np.linspace(shares[number], shares[number + 1], 41))
            off, _ = from_segment(true, piece[:3], piece[3:])
            assert off.max() <= sagitta * (1 + 1e-6)


def test_chords_in_the_plane_of_the_board_lie_as_far_inside_as_outside():
    """The walls of a round cut are off by half the sagitta on either side, so that areas are right."""
    ends, *_ = lay(Path((20, 0, 0)).arc(20.0, 0.0, 1.0))
    corners = np.hypot(ends[1:, 0], ends[1:, 1]) - 20
    middles = np.hypot(*((ends[1:-1, :2] + ends[1:-1, 3:5]) / 2).T) - 20
    assert corners == pytest.approx(np.full(len(corners), SAGITTA / 2), rel=1e-6)
    assert middles.min() >= -SAGITTA / 2 * (1 + 1e-3)
    assert middles.max() < 0
    area = 0.5 * abs((ends[:, 0] * ends[:, 4] - ends[:, 3] * ends[:, 1]).sum())
    assert area == pytest.approx(math.pi * 400, rel=1e-4)


def test_tiny_circles_are_drawn_within_their_own_size():
    for radius in (1e-6, 1e-4, 0.004, 0.006):
        ends, *_ = lay(Path((radius, 0, 0)).arc(radius, 0.0, 1.0))
        assert len(ends) >= 4
        assert np.hypot(ends[:, 0], ends[:, 1]).max() <= 1.1 * radius + EXACT


@pytest.mark.parametrize("seed", range(SEEDS))
def test_rapids_are_pieces_of_their_own_and_the_next_cut_enters(seed):
    path = wild(seed, 120)
    kind, start, end, *_ = path.columns()
    apart = path.apart()
    ends, marks, rows, window = lay(path)
    for n in range(len(marks)):
        first, last = rows[n]
        if kind[first] == RAPID:
            assert first == last
            begins = n == 0 or rows[n - 1, 1] < first
            assert marks[n] == TESTING | (ENTERING if begins and apart[first] else 0)
            assert (window == window[n]).sum() == 1
            off, _ = from_segment(ends[n].reshape(2, 3), start[first], end[first])
            assert off.max() < EXACT
        else:
            begins = n == 0 or rows[n - 1, 1] < first
            after_rapid = n == 0 or kind[rows[n - 1, 0]] == RAPID
            assert marks[n] == (ENTERING if begins and (after_rapid or apart[first]) else 0)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_windows_are_long_enough_except_before_an_entry(seed):
    ends, marks, _, window = lay(wild(seed, 120))
    length = np.linalg.norm(ends[:, 3:] - ends[:, :3], axis=1)
    assert (np.diff(window) >= 0).all()
    assert (np.diff(window) <= 1).all()
    for number in range(window[-1]):
        inside = np.flatnonzero(window == number)
        following = marks[inside[-1] + 1]
        if marks[inside[0]] & TESTING or following != 0:
            continue  # a rapid, or cut short by one or by an entry
        assert length[inside].sum() >= LEAST
        assert length[inside[:-1]].sum() < LEAST
        assert (marks[inside[1:]] == 0).all()


def test_nothing_at_all():
    """An empty path has no pieces, whoever lays it."""
    for module in (pieces, laid):
        apart = np.zeros(0, dtype=bool)
        columns = (np.zeros(0, np.uint8), *(np.zeros((0, 3)) for _ in range(3)), np.zeros(0, np.uint8), np.zeros(0))
        for each in (*columns, apart):
            each.flags.writeable = False  # as the columns of moves are
        assert module.count(*columns, SAGITTA, LONGEST) == 0
        ends, marks, rows = np.empty((0, 6)), np.empty(0, dtype=np.uint8), np.empty((0, 2), dtype=np.int64)
        assert module.lay(*columns, apart, TOLERANCE, SAGITTA, LONGEST, ends, marks, rows) == 0
        assert module.window(ends, marks, LEAST, np.empty(0, dtype=np.int64)) == 0


@pytest.mark.parametrize("seed", range(SEEDS))
def test_plain_and_compiled_to_the_last_bit(seed):
    path = wild(seed, 400 if COMPILED else 40)
    for expected, found in zip(lay(path), lay(path, laid), strict=True):
        assert expected.tobytes() == found.tobytes()


@pytest.mark.parametrize("module", [pieces, laid])
def test_bands_are_given_all_that_touches_them(module):
    """No more than one row beside them, and in the order of the path; what lies above the wood is left out."""
    ends, *_ = lay(wild(3, 60))
    edges, reach, top, y0, pitch = np.array([0, 7, 7, 12, 40]), 1.5, 0.5, -6.0, 0.25
    sizes = np.zeros(4, dtype=np.int64)
    given = (ends, 3, len(ends) - 2, reach, top, y0, pitch, edges, sizes)
    module.share_out(*given, np.empty((4, 0), dtype=np.int64))
    counted = sizes.copy()
    lists = np.full((4, counted.max()), -1, dtype=np.int64)
    module.share_out(*given, lists)
    assert (sizes == counted).all()
    for band in range(4):
        low, high = edges[band], edges[band + 1]
        listed = lists[band, : sizes[band]]
        assert (np.diff(listed) > 0).all()
        rows = (np.stack([ends[:, [1, 4]].min(axis=1) - reach, ends[:, [1, 4]].max(axis=1) + reach]) - y0) / pitch
        number = np.arange(len(ends))
        wanted = (ends[:, [2, 5]].min(axis=1) < top) & (number >= 3) & (number < len(ends) - 2)
        if high > low:
            touching = wanted & (rows[0] <= high - 1) & (rows[1] >= low)
            assert set(np.flatnonzero(touching)) <= set(listed.tolist())
        near = wanted & (rows[0] <= high) & (rows[1] >= low - 1)
        assert set(listed.tolist()) <= set(np.flatnonzero(near))


@pytest.mark.parametrize("module", [pieces, laid])
def test_what_is_found_is_gathered_by_window(module):
    window = np.array([0, 0, 1, 2, 2], dtype=np.int64)
    found = np.array([[1, 5, 2, -1, 1], [2, 4, 3, -2, 0], [8, 8, 8, 8, 9]], dtype=np.float32)
    totals = np.zeros((3, 5))
    totals[:, 3], totals[:, 4] = 1e9, -1e9
    module.gather(np.array([0, 1, 4]), window, found, totals)
    assert totals.tolist() == [[3, 5, 5, -2, 1], [0, 0, 0, 1e9, -1e9], [8, 8, 8, 8, 9]]


@pytest.mark.parametrize("step", [0.0, 1e-5])
def test_joining_takes_time_in_proportion_to_the_moves(step, monkeypatch):
    """However short the lines, each corner is looked at some hundred times at most: counted, not timed."""
    looked = 0
    stays = pieces.stays

    def counting(start, end, first, last, tolerance, longest):
        nonlocal looked
        looked += last - first
        return stays(start, end, first, last, tolerance, longest)

    monkeypatch.setattr(pieces, "stays", counting)
    moves = 1500
    path = Path().to(0.1, 0, 0)
    for number in range(moves):
        path.to(0.1 + step * number, 0, 0)
    ends, *_ = lay(path)
    assert len(ends) <= moves
    assert looked <= 100 * moves


@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_each_pass_has_one_signature():
    laid.ready()
    ends, *_ = lay(wild(1, 40), laid)
    sizes, edges = np.zeros(1, dtype=np.int64), np.array([0, 4])
    laid.share_out(ends, 0, 1, 1.0, 1.0, 0.0, 1.0, edges, sizes, np.empty((1, 1), dtype=np.int64))
    passes = (laid.count, laid.lay, laid.window, laid.share_out, laid.gather)
    assert [len(each.signatures) for each in passes] == [1] * 5
    assert all(each.targetoptions["nogil"] and not each.targetoptions.get("parallel") for each in passes)

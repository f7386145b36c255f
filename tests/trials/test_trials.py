"""Test programs: what a person may rely on before pressing start, on any machine they are made for."""

import re
from collections import Counter
from functools import cache
from hashlib import sha256
from itertools import pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest

from cutworthy.app.cards import machine_from_text
from cutworthy.app.trials import make_trials
from cutworthy.errors import CardError, InputError, TrialError
from cutworthy.model.program import Kind
from cutworthy.motion.drive import Route
from cutworthy.motion.habits import fastest_habits
from cutworthy.present.trials import trials_document
from cutworthy.program import ReadOptions, read_program
from cutworthy.trials import RUNS, circle, reversal, square, timing
from cutworthy.workflows.trials import TRIAL_KINDS, prove_trials

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
ALL = (*(f"timing-{number}" for number in RUNS), "square", "circle", "reversal")
MARK = "0123456789abcdef" * 4
# Half of the last place that is written: 0.0001 mm, or 0.00001 in.
WRITTEN = {"mm": 0.5e-4, "inch": 0.5e-5 * 25.4}
CHORD = 1.016**2 / 8 / 18 * 1.1  # a circle of lines of 1 mm stays so much inside the least of ours, of radius 18 mm
JOG = {"mm": 1.0, "inch": 0.1 * 25.4}  # what room is rounded up to
LIFT = {"mm": 10.0, "inch": 0.4 * 25.4}

SPEED, ACCELERATION = 'speed = "3000 mm/min"', 'acceleration = "400 mm/s^2"'
SMALL = {'"820 mm"': '"200 mm"', '"560 mm"': '"60 mm"', '"95 mm"': '"11 mm"'}
# Plover with other numbers, Heron with other inches.
ODD = {
    "plover": ("plover", {}),
    "heron": ("heron", {}),
    "heron-with-labels": ("heron-with-labels", {}),
    "small": ("plover", SMALL),
    "strong": ("plover", {SPEED: 'speed = "6000 mm/min"', ACCELERATION: 'acceleration = "1200 mm/s^2"'}),
    "weak": ("plover", {ACCELERATION: 'acceleration = "15 mm/s^2"'}),
    "slow-y": ("plover", {'travel = "560 mm"': 'travel = "560 mm"\nspeed = "450 mm/min"'}),
    "counts-down": ("plover", {'travel = "820 mm"': 'range = ["-820 mm", "0 mm"]'}),
    "guessed": ("plover", {SPEED: 'speed = { value = "3000 mm/min", plus_minus = "900 mm/min", origin = "guessed" }'}),
    "small-inches": ("heron", {'"48 in"': '"9 in"', '"30 in"': '"2 1/2 in"', '"5 in"': '"1/2 in"'}),
    "odd-name": ("plover", {'name = "Plover"': 'name = "Plover (old; 50 % paid) Möwe"'}),
}
AS_PLOVER = ("weak", "guessed", "slow-y")  # but for their feeds
MADE = [(name, trial) for name in ODD if name not in AS_PLOVER for trial in ALL]


@cache
def machine(name):
    card, edits = ODD[name]
    text = (TIDEWATER / f"{card}.toml").read_text(encoding="utf-8")
    for old, new in edits.items():
        assert old in text, old
        text = text.replace(old, new, 1)
    return machine_from_text(text, Path(f"{name}.toml")).record


@cache
def trial(name, which):
    kind, _, number = which.partition("-")
    if kind == "timing":
        (made,) = timing(machine(name), MARK, (int(number),))
    else:
        (made,) = {"square": square, "circle": circle, "reversal": reversal}[kind](machine(name), MARK)
    return made


@cache
def program(name, which):
    return read_program(trial(name, which).text.encode("ascii"), ReadOptions(), lambda _share: None)


def comments(text):
    return [line[1:-1] for line in text.splitlines() if line.startswith("(")]


def words(text):
    """Return the lines that do something, from the first on."""
    return [line for line in text.splitlines() if not line.startswith("(")]


def ways(moves):
    """Return from where to where each cut goes, rounded to what is written."""
    rows = np.flatnonzero(moves.kind == Kind.LINE)
    return [(tuple(moves.start_mm[row].round(3)), tuple(moves.end_mm[row].round(3))) for row in rows]


@pytest.mark.parametrize(("name", "which"), MADE)
def test_z_goes_up_before_anything_else_moves(name, which):
    first = next(line for line in words(trial(name, which).text) if re.search("[XYZ]", line))
    assert re.fullmatch(r"G0 Z\d[\d.]*", first)
    moves = program(name, which).moves
    assert moves.kind[0] == Kind.RAPID
    assert (moves.end_mm[0] - moves.start_mm[0])[:2].tolist() == [0, 0]
    assert (moves.end_mm[0] - moves.start_mm[0])[2] == pytest.approx(LIFT[machine(name).units])


@pytest.mark.parametrize(("name", "which"), MADE)
def test_it_is_plain_text_whose_head_says_to_read_it_first(name, which):
    text = trial(name, which).text
    assert text.isascii()
    assert text.endswith("M2\n")
    assert re.fullmatch(r"[ -~\n]*", text)
    for line in text.splitlines():
        assert re.fullmatch(r"\([^()]{1,70}\)|[^()%;]+", line), line
    head = " ".join(comments(text.partition("\nG2")[0]))
    for said in ("READ THIS FIRST", "Router unplugged, bit out, nothing on the table", "Set X, Y and Z to zero there"):
        assert said in head
    ours = [said for said in comments(text) if not said.startswith("Machine: ")]
    assert not re.search(" {2}", "\n".join(ours))  # where a sign was that a control takes for its own


@pytest.mark.parametrize(("name", "which"), MADE)
def test_it_carries_the_mark_of_its_card_once(name, which):
    assert " ".join(comments(trial(name, which).text)).count(f"made for card {MARK[:16]}") == 1


@pytest.mark.parametrize(("name", "which"), MADE)
def test_it_sets_every_mode_it_relies_on_before_it_moves(name, which):
    units, modes, *_ = words(trial(name, which).text)
    assert units == {"mm": "G21", "inch": "G20"}[machine(name).units]
    assert {"G90", "G17", "G94", "G54", "G40", "G49"} <= set(modes.split())
    assert program(name, which).units == machine(name).units


@pytest.mark.parametrize("name", ["plover", "heron", "odd-name"])
@pytest.mark.parametrize("which", ALL)
def test_the_open_standard_reads_it_without_a_word(name, which):
    read = read_program(trial(name, which).text.encode("ascii"), ReadOptions(strict=True), lambda _share: None)
    assert read.problems == ()
    assert read.end_mm == program(name, which).end_mm


@pytest.mark.parametrize(("name", "which"), MADE)
def test_it_ends_raised_and_touches_nothing_below_zero(name, which):
    made = program(name, which)
    top = made.moves.end_mm[0, 2]
    assert made.moves.end_mm[-1, 2] == (0 if which == "reversal" else top)  # the indicator waits where it began
    assert made.moves.end_mm[:, 2].min() >= 0
    assert made.moves.end_mm[:, 2].max() == top
    rapids = made.moves.kind == Kind.RAPID
    sideways = np.abs(made.moves.end_mm - made.moves.start_mm)[:, :2].max(axis=1) > 0
    assert (made.moves.end_mm[rapids & sideways, 2] == top).all()
    assert not any(re.search(r"M[^2]|M2\d|[ST]\d|G9[12]", line) for line in words(trial(name, which).text))
    if which.startswith("timing"):
        assert (made.moves.end_mm[:, 2] == top).all()


@pytest.mark.parametrize(("name", "which"), MADE)
def test_it_goes_as_far_as_it_says_and_stays_within_the_travel(name, which):
    goes, off = program(name, which).everything, WRITTEN[machine(name).units]
    off *= 3 if which == "circle" else 1  # a radius about two rounded ends has its middle off by twice as much
    assert goes.low_mm == pytest.approx((0, 0, 0), abs=CHORD + off)
    for far, said, axis in zip(goes.high_mm, trial(name, which).room_mm, "xyz", strict=True):
        assert said - JOG[machine(name).units] - CHORD - off <= far <= said + off
        assert max(far, said) <= machine(name).axes[axis].travel_mm.low


@pytest.mark.parametrize(("name", "which"), MADE)
def test_no_feed_is_beyond_the_axis_that_follows_it(name, which):
    moves, axes = program(name, which).moves, machine(name).axes
    rows = np.flatnonzero(moves.feeds)
    share = np.abs(moves.end_mm - moves.start_mm)[rows] / moves.length_mm[rows, None]
    share[moves.kind[rows] == Kind.ARC] = (1, 1, 0)
    speed = moves.feed_mm_min[rows, None] / 60 * share
    for column, axis in enumerate("xyz"):
        assert speed[:, column].max() <= axes[axis].speed_mm_s.value * (1 + 1e-6)


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("number", RUNS)
def test_a_timing_run_takes_a_minute_and_a_half_under_the_quickest_rule(name, number):
    route = Route(program(name, f"timing-{number}").moves)
    assert min(route.drive(each).timeline.total_s for each in fastest_habits(machine(name))) >= 90


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("number", [1, 4])
def test_the_teeth_are_run_to_and_fro_whole(name, number):
    moves = program(name, f"timing-{number}").moves
    gone = Counter(ways(moves))
    assert gone
    assert all(gone[back, start] == times for (start, back), times in gone.items())
    cuts = moves.take(moves.kind == Kind.LINE)
    assert cuts.end_mm[-1, :2].tolist() == [0, 0]
    ahead = (cuts.end_mm - cuts.start_mm) / cuts.length_mm[:, None]
    turns = [round(float(np.dot(a, b)), 6) for a, b in pairwise(ahead)]
    assert set(turns) <= {-1, 0, 1}
    assert turns.count(0) >= 0.75 * len(turns)  # square corners, but for the ends


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("number", [2, 3])
def test_the_short_lines_turn_by_next_to_nothing(name, number):
    moves = program(name, f"timing-{number}").moves
    rows = np.flatnonzero(moves.kind == Kind.LINE)
    way = (moves.end_mm - moves.start_mm)[rows, :2]
    turn = np.diff(np.unwrap(np.arctan2(way[:, 1], way[:, 0])))[np.diff(rows) == 1]
    longest = moves.length_mm[rows].max()
    radius = trial(name, f"timing-{number}").room_mm[1] / 2
    assert longest <= {2: 0.41, 3: 1.02}[number]
    # Coordinates are rounded by half of their last place at both ends of a line of 0.05 mm.
    assert np.abs(turn).max() <= longest / radius + 4 * WRITTEN[machine(name).units] / 0.05


@pytest.mark.parametrize("name", ODD)
def test_four_squares_close_and_each_is_faster_than_the_one_before(name):
    moves = program(name, "square").moves
    cuts = moves.take((moves.kind == Kind.LINE) & (moves.start_mm[:, 2] == moves.end_mm[:, 2]))
    side = cuts.length_mm[1]
    slower = min(machine(name).axes[axis].speed_mm_s.value for axis in "xy")
    assert len(cuts) == 4 * 5
    for number in range(4):
        one = cuts.take(np.arange(5 * number, 5 * number + 5))
        assert one.start_mm[0].tolist() == one.end_mm[-1].tolist()
        assert one.length_mm == pytest.approx(side * np.array([0.5, 1, 1, 1, 0.5]), abs=3e-4)
        ahead = (one.end_mm - one.start_mm) / one.length_mm[:, None]
        assert [float(np.dot(a, b)) for a, b in pairwise(ahead)] == pytest.approx([0, 0, 0, 0], abs=1e-9)
        assert one.feed_mm_min / 60 == pytest.approx([slower * (number + 1) / 4] * 5, rel=1e-5)


@pytest.mark.parametrize("name", ODD)
def test_a_whole_circle_goes_each_way_round_and_begins_where_no_axis_turns(name):
    moves = program(name, "circle").moves
    arcs = moves.take(moves.kind == Kind.ARC)
    centres = [tuple(centre) for centre in arcs.centre_mm[:, :2].round(2)]
    turns, radii = Counter(), set()
    for centre, turned, start in zip(centres, arcs.turns, arcs.start_mm, strict=True):
        turns[centre] += turned
        arm = start[:2] - centre
        radii.add(round(hypot(*arm), 2))
        if turns[centre] == turned:
            assert np.abs(arm).min() > 0.5 * hypot(*arm)
    (left, one), (right, other) = sorted(turns.items())
    assert (one, other) == pytest.approx((-1, 1), abs=2e-5)  # of quarters with rounded ends
    (radius,) = radii
    assert right[0] - left[0] > 2 * radius  # beside each other, not on each other
    for centre in turns:
        own = [row for row, each in enumerate(centres) if each == centre]
        assert arcs.start_mm[own[0]].tolist() == arcs.end_mm[own[-1]].tolist()


@pytest.mark.parametrize("name", ODD)
def test_out_and_back_passes_each_place_from_both_sides(name):
    moves = program(name, "reversal").moves
    cuts = moves.take(moves.kind == Kind.LINE)
    delta = (cuts.end_mm - cuts.start_mm).round(3)
    assert (np.count_nonzero(delta, axis=1) == 1).all()  # one axis alone
    for axis in range(3):
        strokes = delta[delta[:, axis] != 0, axis]
        last = 1 if axis == 2 else 0  # Z goes back down to where it began
        assert len(strokes) == 2 * 200 + last
        assert (strokes[: len(strokes) - last - 1] == -strokes[1 : len(strokes) - last]).all()
    assert cuts.end_mm[-1].tolist() == [0, 0, 0]


@pytest.mark.parametrize(
    ("which", "axis", "edits"),
    [
        ("square", "x", {'"820 mm"': '"189.9 mm"'}),
        ("square", "x", {'"820 mm"': '{ value = "195 mm", plus_minus = "6 mm" }'}),
        ("square", "y", {'"560 mm"': '"39 mm"'}),
        ("circle", "x", {'"820 mm"': '"109 mm"'}),
        ("circle", "y", {'"560 mm"': '"49 mm"'}),
        ("timing-1", "x", {'"820 mm"': '"15 mm"'}),
        ("timing-1", "y", {'"560 mm"': '{ value = "11 mm", plus_minus = "2 mm" }'}),
        ("timing-1", "z", {'"95 mm"': '{ value = "11 mm", plus_minus = "2 mm" }'}),
    ],
)
def test_a_card_without_the_travel_is_refused_by_its_key_with_what_to_do(workshop, which, axis, edits):
    kind, _, number = which.partition("-")
    short = workshop.machine(edits)
    with pytest.raises(TrialError) as refused:
        prove_trials(short, kind, runs=(int(number or 1),), progress=lambda _share: None)
    told = str(refused.value)
    assert f"axes.{axis}.travel" in told
    assert f"{short.axes[axis].travel_mm.low:g} mm" in told
    assert f"{short.axes[axis].travel_mm.value:g} mm" in told
    assert re.search(r"\b(check|enter|measure|correct)\b", told), told


@pytest.mark.parametrize("kind", TRIAL_KINDS)
def test_a_card_that_leaves_z_travel_out_is_refused_and_nothing_is_written(workshop, kind):
    workshop.write(machine={'travel = "95 mm"\n': ""})
    with pytest.raises(CardError) as refused:
        make_trials(kind, workshop.folder / "plover.toml", to=workshop.folder / "to", runs=(), progress=lambda _s: None)
    assert [mistake.key for mistake in refused.value.mistakes] == ["axes.z.travel"]
    assert not (workshop.folder / "to").exists()


def mark_of(record):
    (proved,) = prove_trials(record, "square", progress=lambda _share: None)
    return re.search("made for card ([0-9a-f]{16})", proved.trial.text)[1]


@pytest.mark.parametrize(
    "edits",
    [
        {'"820 mm"': '"821 mm"'},
        {SPEED: 'speed = "3001 mm/min"'},
        {ACCELERATION: 'acceleration = "401 mm/s^2"'},
        {'travel = "95 mm"': 'travel = "94 mm"'},
    ],
)
def test_cards_whose_axes_differ_have_different_marks(workshop, plover, edits):
    assert mark_of(workshop.machine(edits)) != mark_of(plover)


@pytest.mark.parametrize(
    "edits",
    [
        {'corners = "unknown"': 'corners = "overlap"\nblock_rate = "240 1/s"'},
        {'rapids = "straight"': 'rapids = "dog-leg"'},
        {'current = "10 A"': 'current = "12 A"'},
        {'spin_up = "3 s"': 'spin_up = "4 s"'},
        {"# Plover, a bench router": "# Plover, our bench router"},
    ],
)
def test_cards_that_differ_elsewhere_have_the_same_mark(workshop, plover, edits):
    assert mark_of(workshop.machine(edits)) == mark_of(plover)


@pytest.mark.parametrize("name", ["plover", "heron", "small-inches", "counts-down"])
@pytest.mark.parametrize("kind", TRIAL_KINDS)
def test_each_is_proved_as_it_is_written_and_asks_for_its_room(name, kind):
    record = machine(name)
    if name == "small-inches" and kind in {"calibration", "test-piece"}:  # too little along Z, or along Y
        with pytest.raises(TrialError, match=r"along [YZ]"):
            prove_trials(record, kind, progress=lambda _share: None)
        return
    proved = prove_trials(record, kind, progress=lambda _share: None)
    assert len(proved) == (2 if kind == "timing" else 1)
    assert len({each.trial.name for each in proved}) == len(proved)
    for each in proved:
        assert each.outcome.program.sha256 == sha256(each.trial.text.encode("ascii")).hexdigest()
        assert each.verdict.value == "ask"
        (room,) = [found for found in each.findings if found.case == "room"]
        asked = (room.numbers["right_mm"], room.numbers["back_mm"], room.numbers["up_mm"])
        assert asked == tuple(max(one.trial.room_mm[axis] for one in proved) for axis in range(3))


@pytest.mark.parametrize("name", ["plover", "heron"])
@pytest.mark.parametrize("kind", TRIAL_KINDS)
def test_nothing_is_asked_about_a_board_that_is_not_there(name, kind):
    proved = prove_trials(machine(name), kind, progress=lambda _share: None)
    for found in trials_document(kind, proved, [], machine(name).units)["findings"]:
        assert not re.search(r"\b(board|wood|clamps?)\b", f"{found['says']} {found['do']}"), found["id"]


def test_progress_is_told_from_begin_to_end_and_never_back(plover):
    shares = []
    prove_trials(plover, "timing", runs=(4, 1), progress=shares.append)
    assert shares == sorted(shares)
    assert shares[0] > 0
    assert shares[-1] <= 1


def test_at_no_go_nothing_is_written(workshop):
    workshop.write(machine={"steps_per_mm = 160": "steps_per_mm = 80"})
    for kind in TRIAL_KINDS:
        to = workshop.folder / kind
        answer = make_trials(kind, workshop.folder / "plover.toml", to=to, runs=(), progress=lambda _share: None)
        assert answer.verdict == answer.document["verdict"] == "no-go"
        assert answer.document["files"] == []
        assert "Not written" in answer.page[0].text
        assert not to.exists()


@pytest.mark.parametrize("kind", ["circle", "reversal", "square", pytest.param("timing", marks=pytest.mark.slow)])
def test_what_is_written_is_what_was_proved(workshop, plover, kind):
    workshop.write()
    to = workshop.folder / "runs"
    answer = make_trials(kind, workshop.folder / "plover.toml", to=to, runs=(), progress=lambda _share: None)
    proved = prove_trials(plover, kind, progress=lambda _share: None)
    assert answer.verdict == answer.document["verdict"]
    for each in proved:
        assert (to / each.trial.name).read_bytes() == each.trial.text.encode("ascii")
    assert [row["digest"] for row in answer.document["programs"]] == [each.outcome.digest for each in proved]
    again = make_trials(kind, workshop.folder / "plover.toml", to=to, runs=(), progress=lambda _share: None)
    assert again.document == answer.document  # and may write over its own


def test_a_file_of_another_hand_is_left_alone_and_nothing_is_written_beside_it(workshop):
    workshop.write()
    to = workshop.folder / "runs"
    to.mkdir()
    (to / "timing-2-short-lines.nc").write_text("my notes", encoding="utf-8")
    with pytest.raises(InputError, match=r"timing-2-short-lines\.nc is there already"):
        make_trials("timing", workshop.folder / "plover.toml", to=to, runs=(), progress=lambda _share: None)
    assert [file.name for file in to.iterdir()] == ["timing-2-short-lines.nc"]
    assert (to / "timing-2-short-lines.nc").read_text(encoding="utf-8") == "my notes"


def test_runs_given_twice_are_made_once(workshop):
    workshop.write()
    to = workshop.folder / "runs"
    answer = make_trials("timing", workshop.folder / "plover.toml", to=to, runs=(3, 3), progress=lambda _share: None)
    assert [row["name"] for row in answer.document["programs"]] == ["timing-3-longer-lines.nc"]

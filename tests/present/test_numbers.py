"""The numbers of a machine as people read them, recalculated by a pocket calculator that works from left to right."""

import re
from dataclasses import asdict, fields, is_dataclass, replace
from fractions import Fraction

import pytest
from settled import HALF_INCH, NO_LEAD, RACK, REDUCED, TIDEWATER, VARIANTS, settled

from cutworthy.app.cards import machine_from_text
from cutworthy.model.quantity import Quantity
from cutworthy.present.numbers import numbers_view
from cutworthy.present.sentences import CLOSING
from cutworthy.present.touch import guessed_names, reversals, touches

HOMED = {'travel = "48 in"\n': 'travel = "48 in"\nhomes_to = "minus"\n'}
WORK = {"×": Fraction.__mul__, "÷": Fraction.__truediv__, "+": Fraction.__add__, "−": Fraction.__sub__}
NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"


def number(text):
    return Fraction(text)


def calculator(line):
    """Return what a sum makes on a calculator without precedence, and what the paper says it makes."""
    sum_, says = line.split(" = ")
    parts = re.findall(rf"(?:^|(?<= )([×÷+−]) )({NUMBER})", sum_)
    got = number(parts[0][1])
    for by, value in parts[1:]:
        got = WORK[by](got, number(value))
    return got, re.match(NUMBER, says)[0]


def to_seven(value):
    return f"{float(value):.6e}"


def view(name, edits=None, **more):
    made = settled(name, edits)
    return numbers_view(made.machine, made.settings, findings=made.findings, **more)


def box(seen, axis, key):
    row = next(row for row in seen.axes if row.name == axis)
    return next(each for each in row.boxes if each.touch.key == key)


def fact(seen, axis, key):
    row = next(row for row in seen.axes if row.name == axis)
    return next(each for each in row.facts if each.key == key)


def sums(seen):
    for axis in seen.axes:
        yield from (line for each in axis.boxes for line in each.sums)
        yield from (line for each in axis.facts for line in each.sums)
        if " = " in axis.turn:
            yield axis.turn
    yield from seen.supply.sums


def texts(record):
    """Yield all texts in a record."""
    if isinstance(record, str):
        yield record
    elif isinstance(record, dict):
        for value in record.values():
            yield from texts(value)
    elif isinstance(record, list | tuple):
        for value in record:
            yield from texts(value)


@pytest.mark.parametrize(("name", "edits"), VARIANTS)
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_every_sum_repeats_digit_for_digit(name, edits, units):
    lines = list(sums(view(name, edits, units=units)))
    assert len(lines) > 10
    for line in lines:
        got, says = calculator(line)
        decimals = len(says.partition(".")[2])
        assert abs(got - number(says)) <= Fraction(1, 2 * 10**decimals), line


@pytest.mark.parametrize(("name", "edits"), VARIANTS)
def test_what_is_typed_agrees_in_inch_and_metric_to_seven_digits(name, edits):
    seen = view(name, edits)
    inch_first = settled(name, edits).machine.units == "inch"
    compared = 0
    for axis in seen.axes:
        for each in axis.boxes:
            if each.enter is None:
                continue
            own, other = (
                [number(n) for n in re.findall(NUMBER, text)] for text in (each.enter.first, each.enter.second)
            )
            grows = inch_first != (each.touch.key == "steps")
            # A unit's own 2, as in mm/s², is a raised sign and no number here.
            for one, two in zip(own, other, strict=True):
                assert to_seven(one * Fraction("25.4") if grows else one / Fraction("25.4")) == to_seven(two)
                compared += 1
    assert compared >= 9


# Worked by hand from the parts: steps a turn times microsteps over the lead; 25.4 mm are an inch.
TYPED = [
    ("plover", {}, "X", "steps", "160 steps per mm", "4064 steps per inch"),
    ("plover", {}, "Z", "steps", "200 steps per mm", "5080 steps per inch"),
    ("plover", {}, "X", "speed", "3000 mm/min", "118.1102 in/min"),
    ("plover", {}, "X", "acceleration", "400 mm/s²", "15.74803 in/s²"),
    ("plover", {}, "X", "soft-limits", "3.125 to 816.875 mm", "0.1230315 to 32.16043 in"),
    ("plover", {}, "Z", "soft-limits", "-94 to -1 mm", "-3.700787 to -0.03937008 in"),
    ("heron", {}, "X", "steps", "1600 steps per inch", "62.99212598 steps per mm"),
    ("heron", {}, "Y", "steps", "3200 steps per inch", "125.984252 steps per mm"),
    ("heron", {}, "Z", "steps", "8000 steps per inch", "314.9606299 steps per mm"),
    ("heron", HOMED, "X", "soft-limits", "0.0926 to 47.9074 in", "2.35204 to 1216.848 mm"),
    ("plover", REDUCED, "X", "steps", "480 steps per mm", "12192 steps per inch"),
    ("plover", HALF_INCH, "X", "steps", "125.984252 steps per mm", "3200 steps per inch"),
    ("plover", RACK, "X", "steps", "101.8591636 steps per mm", "2587.222755 steps per inch"),  # 4800 / 15 pi
]


@pytest.mark.parametrize(("name", "edits", "axis", "key", "first", "second"), TYPED)
def test_the_numbers_to_type(name, edits, axis, key, first, second):
    enter = box(view(name, edits), axis, key).enter
    assert (enter.first, enter.second) == (first, second)


def test_the_sums_name_what_they_count():
    seen = view("plover")
    assert box(seen, "X", "steps").sums == (
        "200 steps × 8 microsteps ÷ 10 mm a turn = 160 steps per mm",
        "160 × 25.4 = 4064 per inch",
    )
    assert box(seen, "X", "speed").sums[0] == "3000 × 160 steps ÷ 60 = 8000 pulses/s"
    assert "3000 ÷ 60 ÷ 400 = 0.125 s to full speed" in box(seen, "X", "acceleration").sums
    assert "400 × 60 × 60 = 1440000 mm/min²" in box(seen, "X", "acceleration").sums
    assert seen.axes[2].turn == "2 mm pitch × 4 starts = 8 mm a turn"
    assert view("heron").axes[0].turn == "0.2 in a tooth × 15 teeth ÷ 3 reduction = 1 in a turn"


def test_a_soft_limit_is_rounded_towards_the_middle():
    seen = box(view("heron", {'travel = "5 in"': 'travel = "5 in"\nhomes_to = "minus"'}), "Z", "soft-limits")
    low, high = (number(n) for n in re.findall(NUMBER, seen.enter.first))
    way = Fraction(50 * 50, 7200 * 8)
    assert low > way
    assert high < 5 - way


def test_soft_limits_are_left_off_where_an_axis_does_not_home_or_cannot_brake():
    assert "leave them off" in box(view("heron"), "X", "soft-limits").unknown
    no_home = {'homes_to = "minus"': 'homes_to = "none"'}
    assert "leave them off" in box(view("plover", no_home), "X", "soft-limits").unknown
    slow_ramp = {'acceleration = "400 mm/s^2"': 'acceleration = "2 mm/s^2"'}
    cannot = box(view("plover", slow_ramp), "X", "soft-limits")
    assert cannot.enter is None
    assert "lower the speed" in cannot.note


def test_the_limit_that_decides_is_named_with_how_near_the_entry_is():
    seen = view("plover")
    speed = settled("plover").settings.axes["x"].speed_mm_s
    assert speed.ruled_by == "full-torque"
    most = speed.advised * 60  # 456 rpm at 10 mm a turn
    assert 4560 <= most < 4570
    decides = box(seen, "X", "speed").decides
    assert decides.endswith("decides: 3000 is 66 % of 4560 mm/min")
    assert 65.5 <= 3000 / most * 100 < 66.5


def test_a_speed_beyond_a_limit_gives_way_to_it():
    fast = {'speed = "3000 mm/min"': 'speed = "40000 mm/min"'}
    seen = view("plover", fast)
    # At 80 % of the critical speed of the screw the axis goes 19911.7 mm/min; nine tenths of that leave room.
    assert box(seen, "X", "speed").enter.first == "17900 mm/min"
    assert box(seen, "X", "speed").note == "the card says 40000: too much"
    # Whatever follows is worked out from the number that is printed.
    assert box(seen, "X", "acceleration").sums[0].startswith("17900 ")
    assert box(seen, "X", "soft-limits").sums[0].startswith("17900 × 17900 ")


def test_beyond_the_full_pull_the_entry_stands_and_is_told():
    fast = {'speed = "3000 mm/min"': 'speed = "9000 mm/min"'}
    seen = box(view("plover", fast), "X", "speed")
    assert seen.enter.first == "9000 mm/min"
    assert seen.decides.endswith("9000 is beyond 4560 mm/min")
    assert seen.note == ""


def test_a_limit_that_rests_on_a_guess_says_so():
    no_supply = {'voltage = "36 V"\n': ""}
    assert "guesses: the supply's voltage" in box(view("plover", no_supply), "X", "speed").decides
    assert fact(view("plover", no_supply), "X", "thrust").guesses == ("the supply's voltage",)


def test_odd_steps_on_the_card_are_told():
    assert box(view("plover"), "X", "steps").note == ""
    four = {"steps_per_mm = 200": "steps_per_mm = 800"}
    assert box(view("plover", four), "Z", "steps").note == "the card says 800: it would go 4 times as far"
    # 126 for 125.984252 is 125 parts in a million, 0.1025 mm over 820 mm.
    rounded = box(view("plover", HALF_INCH), "X", "steps").note
    assert rounded.startswith("the card says 126: 0.10")
    assert "too far over the whole travel" in rounded


# Plover's X and Y, then its Z: re-lock 4 full steps of 200; the resonance speeds of the trade's own sums.
FACTS = [
    ("X", "resolution", "0.00625 mm", "0.0002461 in"),
    ("Z", "resolution", "0.005 mm", "0.0001969 in"),
    ("X", "relock", "0.2 mm", "0.007874 in"),
    ("Z", "relock", "0.16 mm", "0.006299 in"),
    ("X", "growl", "353, 706, 1412 mm/min", "13.9, 27.8, 55.6 in/min"),
    ("Y", "growl", "404, 808, 1616 mm/min", "15.9, 31.8, 63.6 in/min"),
    ("Z", "growl", "384, 767, 1534 mm/min", "15.1, 30.2, 60.4 in/min"),
    ("X", "accuracy", "0.14 mm", "0.0056 in"),
]


@pytest.mark.parametrize(("axis", "key", "first", "second"), FACTS)
def test_the_facts_of_plover(axis, key, first, second):
    value = fact(view("plover"), axis, key).value
    assert (value.first, value.second) == (first, second)


def test_thrust_is_told_in_newtons_and_pounds_moving_and_standing():
    says = fact(view("plover"), "X", "thrust").says
    assert says == "532 N (120 lbf) at its speed, 760 N (171 lbf) standing"
    assert "does not feel a hand" in fact(view("plover"), "X", "thrust").words


def test_resolution_repeatability_and_accuracy_stand_apart_each_with_its_source():
    rows = view("plover").axes[0].facts
    assert [row.name for row in rows[:3]] == ["Resolution", "Repeatability", "Accuracy"]
    assert "arithmetic" in rows[0].words
    assert rows[1].source == "one microstep"
    assert rows[2].source.startswith("ball screw: ISO 3408-3")
    assert "common practice" in fact(view("plover"), "Z", "accuracy").source
    assert fact(view("heron"), "X", "accuracy").source.startswith("belt")


HEAVY = {'{ value = "4.2 kg", plus_minus = "0.2 kg"': '{ value = "40 kg", plus_minus = "1 kg"'}
ONE_START = {
    "starts = 4": "starts = 1",
    "steps_per_mm = 200": "steps_per_mm = 800",
    "holds_z = false": "holds_z = true",
}
BRAKED = {"friction = 0.15\n": "friction = 0.15\nbrake = true\n"}


@pytest.mark.parametrize(
    ("edits", "says"), [({}, "MAY FALL"), (BRAKED, "brake"), (HEAVY, "FALLS"), (ONE_START, "should stay up")]
)
def test_whether_z_falls_is_told(edits, says):
    assert says in fact(view("plover", edits), "Z", "fall").says


def test_without_a_motor_label_what_hangs_on_it_is_not_known_and_nothing_is_blank():
    seen = view("heron")
    for axis in ("X", "Y", "Z"):
        for key in ("repeatability", "growl", "thrust"):
            assert "not known: read the motor's label" in fact(seen, axis, key).says
            assert fact(seen, axis, key).value is None
        assert box(seen, axis, "speed").decides == "not known: read the motor's label"
        assert box(seen, axis, "speed").note == "a guess on the card"
        assert "taken, not read" in box(seen, axis, "steps").note
    assert "a guess: up to" in fact(seen, "X", "thrust").says
    assert "the motor's label" in seen.axes[0].guesses
    assert seen.supply.says == "not known: read the motor's label"
    assert all(axis.curve is None for axis in seen.axes)


def test_without_a_lead_the_sheet_says_what_to_measure():
    seen = view("plover", NO_LEAD)
    assert box(seen, "X", "steps").enter is None
    assert "ten turns" in box(seen, "X", "steps").unknown
    assert box(seen, "X", "speed").enter.first == "3000 mm/min"
    assert box(seen, "X", "speed").decides == box(seen, "X", "steps").unknown
    assert "ten turns" in fact(seen, "X", "relock").says


def test_without_microsteps_the_sheet_says_to_read_the_switches():
    seen = view("plover", {"microsteps = 8\n": ""})
    assert "switches" in box(seen, "X", "steps").unknown
    assert "switches" in fact(seen, "X", "resolution").says


# What an axis does that is not what its card says, by arithmetic on the two parts.
TELLTALES = [
    ("plover", "Z", "4", "4 starts"),
    ("plover", "X Y Z", "2", "4 microsteps, not 8"),
    ("plover", "X Y Z", "0.5", "16, not 8"),
    ("plover", "X Y", "1.2", "12 mm lead, not 10"),
    ("plover", "X Y Z", "25.4", "inch"),
    ("heron", "X", "1.07", "16 teeth, not 15"),
    ("heron", "X", "0.984", "5 mm, not 0.2 in"),
    ("heron", "X", "0.333", "reduction of 3"),
    ("heron", "Y", "0.945", "sold as 1/2 in"),
]


@pytest.mark.parametrize(("name", "axes", "factor", "means"), TELLTALES)
def test_the_factors_that_give_a_mistake_away(name, axes, factor, means):
    rows = [row for row in view(name).family if row.factor == factor and means in row.means]
    assert [row.axes for row in rows] == [axes]


def test_every_setting_says_touch_or_leave_why_in_one_sentence_and_what_is_seen():
    rows = touches()
    wanted = {"steps", "speed", "acceleration", "direction", "pulses", "microsteps", "current", "idle-current"}
    wanted |= {"backlash", "soft-limits", "arc-centres", "corners", "voltage", "estop"}
    assert wanted <= set(rows)
    for row in rows.values():
        assert row.name
        assert row.when
        assert row.advice.startswith("Touch: " if row.touch else "Leave: ")
        assert row.reason.endswith(".")
        assert row.reason.count(". ") == 0, row.reason
        assert row.wrong.endswith(".")
    assert not rows["microsteps"].touch
    assert rows["steps"].touch


def test_the_swaps_that_reverse_an_axis_come_from_the_reference():
    does = {row.swap: row for row in reversals()}
    assert does["the two wires of one coil"].reverses
    assert does["one whole coil for the other"].reverses
    assert not does["the two step wires"].reverses
    assert not does["the wires of both coils"].reverses
    assert "harms" in next(row for row in reversals() if "NEVER" in row.swap).does
    rule = view("plover").reversing
    assert "two wires of ONE coil" in rule
    assert "Power off" in rule
    assert "Never the step wires" in rule


def quantities(record):
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, Quantity):
            yield value
        elif is_dataclass(value):
            yield from quantities(value)


def test_every_number_of_an_axis_that_may_be_guessed_has_a_name():
    card = TIDEWATER.parents[1] / "tests" / "app" / "cards" / "full-machine.toml"
    machine = machine_from_text(card.read_text(encoding="utf-8"), card).record
    keys = [number.key for axis in machine.axes.values() for number in quantities(axis)]
    assert len(keys) > 40
    for key in (*keys, "supply.voltage", "control.pulse_rate"):
        (name,) = guessed_names([key])
        assert name.startswith("the ")


def test_guesses_of_the_owner_count_like_ours():
    seen = view("plover", {'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }': 'drag = "12 N"'})
    assert "the drag" in seen.axes[0].guesses
    assert "the drag" not in view("plover").axes[0].guesses
    assert "the drag (X)" in seen.guesses


def test_what_was_found_is_said_with_its_level():
    refused = view("plover", {"steps_per_mm = 200": "steps_per_mm = 800"}).remarks[0]
    assert refused.level == "NO-GO"
    assert "800 steps per mm" in refused.says
    assert refused.do.startswith("Enter 200")


def test_curves_are_drawn_in_the_units_of_the_machine():
    curve = view("plover").axes[0].curve
    inch = view("plover", units="inch").axes[0].curve
    assert curve.unit == "mm/min"
    assert curve.entered == pytest.approx(3000)
    assert inch.entered == pytest.approx(3000 / 25.4)
    assert inch.other_factor * inch.entered == pytest.approx(3000)
    speed, counted, needed = curve.points[0]
    assert speed == 0
    assert counted == pytest.approx(0.6 * 1.27279, rel=1e-5)
    assert needed == pytest.approx(0.116835, rel=1e-5)
    assert {limit.name for limit in curve.limits} >= {"whip of the screw", "pulses from the control"}


@pytest.mark.parametrize(("name", "edits"), VARIANTS)
def test_no_text_is_left_open(name, edits):
    seen = view(name, edits, date="2025-03-01")
    for text in texts(asdict(seen)):
        assert not re.search(r"\b(None|nan|inf)\b|[{}]|[0-9]e[+-]?[0-9]", text), text
    assert seen.closing == CLOSING


def test_the_name_of_a_machine_is_data_and_not_too_long_for_paper():
    made = settled("plover")
    hostile = replace(made.machine, name='#panic("x") \x1b[31m \u202e' + "W" * 180)
    name = numbers_view(hostile, made.settings).machine
    assert name.startswith('#panic("x") \\x1b[31m \\u202eWWW')
    assert len(name) == 80

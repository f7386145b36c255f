"""The sheet on the wall says what a machine's users must know, in both units, and nothing it does not know."""

import re
from dataclasses import asdict

import pytest
from settled import NO_LEAD, VARIANTS, settled

from cutworthy.present.sentences import CLOSING
from cutworthy.present.wall import wall_view


def wall(name, edits=None, *, with_findings=False, **more):
    made = settled(name, edits)
    findings = made.findings if with_findings else ()
    return wall_view(made.machine, made.settings, date="2025-03-01", findings=findings, **more)


def axis(view, name):
    return next(row for row in view.axes if row.name == name)


def test_the_axes_of_plover():
    x = axis(wall("plover"), "X")
    assert x.plus == "right"
    assert (x.travel.first, x.travel.second) == ("820 mm", "32.28 in")
    assert (x.speed.first, x.speed.second) == ("3000 mm/min", "118.1 in/min")
    assert (x.step.first, x.step.second) == ("0.00625 mm", "0.0002461 in")
    assert (x.relock.first, x.relock.second) == ("0.2 mm", "0.00787 in")
    assert [row.plus for row in wall("plover").axes] == ["right", "away", "up"]


def test_machine_units_come_first():
    y = axis(wall("heron"), "Y")
    assert (y.travel.first, y.travel.second) == ("30 in", "762 mm")
    assert (y.step.first, y.relock.first) == ("0.0003125 in", "0.01 in")
    assert axis(wall("heron", units="mm"), "Y").travel.first == "762 mm"


def test_growl_bands_lie_fifteen_percent_to_either_side():
    # 352.923, 705.846 and 1411.69 mm/min, by the torque of the current that is set and all that turns.
    bands = re.findall(r"([0-9.]+) to ([0-9.]+)", axis(wall("plover"), "X").growl.first)
    for (low, high), at in zip(bands, (352.923, 705.846, 1411.69), strict=True):
        assert float(low) == pytest.approx(0.85 * at, abs=0.5)
        assert float(high) == pytest.approx(1.15 * at, abs=0.5)
    assert axis(wall("plover"), "X").growl.second.endswith("in/min")


def test_a_great_speed_has_no_exponent():
    fast = {'speed = "3000 mm/min"': 'speed = "30000 mm/min"', **NO_LEAD}
    x = axis(wall("plover", fast), "X")
    assert (x.speed.first, x.speed.second) == ("30000 mm/min", "1181 in/min")


def test_the_wall_never_shows_more_speed_than_may_be_entered():
    assert axis(wall("plover", {'speed = "3000 mm/min"': 'speed = "40000 mm/min"'}), "X").speed.first == "17900 mm/min"


def test_what_is_not_known_says_how_to_know_it():
    x = axis(wall("heron"), "X")
    assert x.growl is None
    assert x.growl_unknown == "not known: read the motor's label"
    unknown = axis(wall("plover", NO_LEAD), "X")
    assert unknown.step is None
    assert unknown.relock is None
    assert "ten turns" in unknown.steps_unknown
    assert "ten turns" in unknown.growl_unknown
    assert axis(wall("plover"), "X").steps_unknown == axis(wall("plover"), "X").growl_unknown == ""


def test_the_strongest_axis_is_told_as_a_caution():
    assert wall("plover").cautions[0] == "X pushes with 760 N (171 lbf) and does not feel a hand."
    assert wall("heron-with-labels").cautions[0].startswith("X pushes with 142 lbf (634 N)")
    assert wall("heron").cautions[0] == "How hard it pushes is not known: enough to crush a hand."


def test_the_cautions_stand_on_every_wall():
    told = " ".join(wall("heron").cautions)
    for word in ("unplug a motor", "licensed electrician", "local code", "loose hair"):
        assert word in told
    assert "block" in wall("plover").falls_do.lower()
    assert wall("plover").falls.startswith("Z MAY FALL")
    assert "50 mm (2 in)" in wall("plover").falls
    assert "emergency stop" in wall("plover").danger


def test_both_rituals_have_six_lines():
    view = wall("plover")
    assert len(view.start) == len(view.stop) == 6
    assert view.start[-1].startswith("Hand on the stop")
    assert "ears" in view.start[3]
    assert view.stop[:2] == ("Stop.", "Router off.")
    assert "X, Y, Z" in view.stop[3]
    assert "Block" in view.stop[4]


def test_guesses_are_named_with_their_axes():
    assert (
        "the drag (X)"
        in wall("plover", {'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }\n': ""}).guesses
    )
    assert wall("heron").guesses.startswith("the motor's label, ")
    assert re.search(r", and [0-9]+ more$", wall("heron").guesses)


def test_a_machine_without_guesses_says_so():
    sure = {
        "friction = 0.01": 'friction = { value = 0.01, origin = "measured" }',
        "friction = 0.15": 'friction = { value = 0.15, origin = "measured" }',
        'rotor_inertia = "280 g*cm^2"': 'rotor_inertia = "280 g*cm^2"\ndetent_torque = "0.03 N*m"',
    }
    assert wall("plover", sure).guesses == "none: all of it was read or measured"


def test_a_machine_with_open_questions_is_not_settled():
    assert wall("plover", {"steps_per_mm = 200": "steps_per_mm = 800"}, with_findings=True).unsettled.startswith(
        "DO NOT RUN: 1 NO-GO"
    )
    assert "ASK" in wall("heron", with_findings=True).unsettled
    assert wall("plover").unsettled == ""


@pytest.mark.parametrize(("name", "edits"), VARIANTS)
def test_no_text_is_left_open(name, edits):
    view = wall(name, edits)
    assert not re.search(r"\bnan\b|\binf\b|[0-9]e[+-]?[0-9]|\{\w", str(list(asdict(view).values())))
    assert view.closing == CLOSING
    assert view.date == "2025-03-01"

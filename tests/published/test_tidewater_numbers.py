"""Plover and Heron by plain physics, worked out once outside the project with standard formulas in double precision.

The formulas are those of the sources that ``tests/published`` checks one by one; here the whole way from card to
document is held to the numbers that come out of them. Six digits are printed, exact values shorter. Steel 206 GPa,
7850 kg/m^3, 79.3 GPa in shear; g = 9.80665 m/s^2; 40 N of cutting; 0.7 of the ideal torque when running.
"""

import json
import math
from pathlib import Path

import pytest

from cutworthy.app.settings import settle_card

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"


@pytest.fixture(scope="module")
def plover():
    return settle_card(TIDEWATER / "plover.toml").document


@pytest.fixture(scope="module")
def heron():
    return settle_card(TIDEWATER / "heron-with-labels.toml").document


def dig(document, path):
    for key in path.split("."):
        document = document[int(key)] if isinstance(document, list) else document[key]
    return document


def printed(value, digits=6):
    """Return what agrees with a number that is printed with so many digits: half a unit of the last one."""
    return pytest.approx(value, rel=0, abs=0.5 * 10.0 ** (math.floor(math.log10(abs(value))) - digits + 1) * (1 + 1e-9))


def working(document, axis):
    return {step["name"].removeprefix(f"axes.{axis}."): step["value"] for step in document["working"]}


# Values of X, Y, Z; None where the golden list has none.
PLOVER = {
    "travel_per_turn_mm": (10, 10, 8),
    "resolution_mm": (0.00625, 0.00625, 0.005),
    "relock_mm": (0.2, 0.2, 0.16),
    "full_torque_rpm": (456.016, 456.016, 722.323),
    "torque_n_m.standing.expected": (1.27279, 1.27279, 0.707107),
    "torque_n_m.at_speed.expected": (0.890955, 0.890955, 0.494975),
    "torque_n_m.needed.expected": (0.116835, 0.104656, 0.173941),
    "thrust_n.at_speed.expected": (531.951, 531.951, 257.058),
    "efficiency.raise": (0.950246, 0.950246, 0.661238),
    "efficiency.back": (0.947849, 0.947849, 0.542475),
    "resonance_hz": (117.641, 134.625, 159.796),
    "growl_mm_min.0": (352.923, 403.876, 383.509),
    "growl_mm_min.1": (705.846, 807.752, 767.019),
    "growl_mm_min.2": (1411.69, 1615.50, 1534.04),
    "whip_rpm": (2488.96, 4801.23, 41247.0),
    "speed_mm_min.limits.whip": (19911.7, 38409.9, 263981),
    "speed_mm_min.limits.pulse-rate": (37500, 37500, 30000),
    # Z's screw is short and thick: Johnson's parabola bears less than Euler's 7843.16 N.
    "buckling_n": (6198.33, 11956.7, None),
    "stiffness_n_mm": (11628.9, 13687.5, 8987.55),
    "lag_mm": (0.000502662, 0.000376990, 0.000416081),
    "step_accuracy_mm": (0.0025, 0.0025, 0.002),
    "braking_mm": (3.125, 3.125, 1),
}
WORKED = {
    "flux_wb": (0.00848528, 0.00848528, 0.00565685),
    "inertia_kg_m2": (0.000116480, 8.89436e-05, 3.50724e-05),
    "torque_n_m.accelerate": (0.0297412, 0.0225873, 0.00605710),
    "torque_n_m.drag": (0.0200986, 0.0150739, 0.0115532),
    "torque_n_m.cut": (0.0669953, 0.0669953, 0.0770215),
    "entered_rpm": (300, 300, 150),
}


@pytest.mark.parametrize("path", PLOVER)
def test_plover(plover, path):
    for axis, expected in zip("xyz", PLOVER[path], strict=True):
        if expected is not None:
            assert dig(plover["axes"][axis], path) == pytest.approx(
                expected, rel=5e-6 if "microstep" not in path else 3e-5
            )


@pytest.mark.parametrize("name", WORKED)
def test_the_working_of_plover(plover, name):
    for axis, expected in zip("xyz", WORKED[name], strict=True):
        assert working(plover, axis)[name] == printed(expected)


def test_what_plover_is_told_to_enter(plover):
    axes = plover["axes"]
    assert [axes[a]["steps_per_mm"] for a in "xyz"] == ["160", "160", "200"]
    assert [axes[a]["steps_per_inch"] for a in "xyz"] == ["4064", "4064", "5080"]
    assert axes["x"]["steps_per_mm_exact"] == "160/1"


def test_a_microstep_pulls_a_fifth(plover):
    for axis in plover["axes"].values():
        torque = axis["torque_n_m"]
        assert torque["microstep"] / torque["standing"]["expected"] == printed(0.195090)  # sin(90 degrees / 8)


def test_z_of_plover_lifts_its_weight_and_may_drop_it(plover):
    z = plover["axes"]["z"]
    assert working(plover, "z")["torque_n_m.lift"] == printed(0.0793089)
    assert z["fall"]["pull_n_m"]["expected"] == printed(0.0243043)
    assert z["fall"]["seconds_50_mm"]["expected"] == printed(0.321357)
    assert (z["back_drives"], z["fall"]["falls"]) == ("yes", "unsure")


def test_what_the_supply_of_plover_must_give(plover):
    assert plover["supply"]["rule_a"] == pytest.approx(5.695, abs=5e-4)  # common practice, no source: two thirds


def test_what_heron_is_told_to_enter(heron):
    axes = heron["axes"]
    assert [axes[a]["steps_per_inch"] for a in "xyz"] == ["1600", "3200", "8000"]
    assert axes["y"]["steps_per_mm"] == "125.984252"  # 16000/127, ten digits without the zero at the end
    assert axes["y"]["steps_per_mm_exact"] == "16000/127"
    assert [axes[a]["relock_mm"] / 25.4 for a in "xyz"] == pytest.approx([0.02, 0.01, 0.004], abs=1e-12)
    assert axes["y"]["efficiency"]["raise"] == printed(0.661784)  # friction 0.15
    assert axes["y"]["efficiency"]["back"] == printed(0.543469)
    assert axes["y"]["speed_mm_min"]["limits"]["whip"] / 25.4 == printed(520.666)
    assert axes["y"]["buckling_n"] / 4.4482216152605 == printed(177.389)
    assert (axes["z"]["back_drives"], axes["y"]["back_drives"]) == ("no", "yes")


def test_the_document_is_plain_json(plover, heron):
    for document in (plover, heron):
        json.dumps(document, allow_nan=False)


# Common practice, no source: how stepper motors and screws of the trade are counted.
@pytest.mark.parametrize(
    ("microsteps", "lead", "per_inch"),
    [(4, "1/2 in", "1600"), (64, "1 in", "12800"), (250, "1 in", "50000"), (4, "1 in", "800")],
)
def test_steps_of_the_trade(workshop, microsteps, lead, per_inch):
    edits = {
        "microsteps = 8": f"microsteps = {microsteps}",
        'pitch = "10 mm"\nstarts = 1\n': f'lead = "{lead}"\n',
        "steps_per_mm = 160\n": "",
    }
    workshop.write(machine=edits)
    document = settle_card(workshop.folder / "plover.toml").document
    assert document["axes"]["x"]["steps_per_inch"] == per_inch

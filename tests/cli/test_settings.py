"""The commands about a machine: settings, and sheets of paper."""

import json
from pathlib import Path

import pytest

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
PLOVER, HERON = TIDEWATER / "plover.toml", TIDEWATER / "heron.toml"
Z_SCREW = 'pitch = "2 mm"\nstarts = 4\ndiameter = "8 mm"\nroot_diameter = "5.6 mm"\n'
HALF_INCH = {'pitch = "10 mm"\nstarts = 1\n': 'lead = "12.7 mm"\n'}
WEAK = {'rated_current = "3.0 A"': 'rated_current = "2.1 A"'}
AXIS_KEYS = {
    "travel_per_turn_mm", "steps_per_mm", "steps_per_mm_exact", "steps_per_inch", "resolution_mm", "relock_mm",
    "smallest_dependable_move_mm", "speed_mm_min", "acceleration_mm_s2", "thrust_n", "torque_n_m", "full_torque_rpm",
    "resonance_hz", "whip_rpm", "buckling_n", "efficiency", "back_drives", "braking_mm", "soft_limit_mm",
}  # fmt: skip


@pytest.mark.parametrize("card", [PLOVER, HERON, TIDEWATER / "heron-with-labels.toml"], ids=lambda card: card.stem)
def test_the_keys_of_the_contract(command, card):
    _, out, _ = command("settings", card, "--json")
    document = json.loads(out)
    assert document.keys() >= {"machine", "axes", "supply", "wiring", "findings", "working"}
    assert document.keys().isdisjoint({"what_if", "upgrades"})
    assert list(document["axes"]) == ["x", "y", "z"]
    for axis in document["axes"].values():
        assert axis.keys() >= AXIS_KEYS
        assert axis["speed_mm_min"].keys() == {"entered", "advised", "ruled_by", "limits"}
        assert axis["speed_mm_min"]["limits"].keys() >= {"pulse-rate", "driver-pulse", "whip", "torque"}
        told = axis["speed_mm_min"]
        assert told["ruled_by"] in told["limits"] or (told["ruled_by"], told["advised"]) == (None, None)
        assert axis["torque_n_m"].keys() >= {"standing", "at_speed", "needed"}
        assert axis["thrust_n"].keys() == {"standing", "at_speed"}
        assert axis["back_drives"] in ("yes", "no", "unsure")
    for step in document["working"]:
        assert step.keys() == {"name", "formula", "inputs", "value", "unit", "source"}
    for row in document["wiring"]["rows"]:
        assert row.keys() >= {"signal", "pin", "direction", "ok"}
    assert {"needed_a", "needed_w"} <= document["supply"].keys()


def test_plover_on_one_page(command):
    code, out, _ = command("settings", PLOVER)
    lines = out.splitlines()
    assert code == 3  # Z may fall
    assert lines[0].startswith("[?] ASK")
    assert len(lines) <= 60
    assert max(map(len, lines)) <= 80
    assert "200 steps \N{MULTIPLICATION SIGN} 8 microsteps \N{DIVISION SIGN} 10 mm a turn = 160 steps per mm" in out
    assert "None" not in out
    assert lines[-2].startswith("This checks what you entered.")


def test_with_its_labels_heron_is_definite(command):
    code, out, _ = command("settings", TIDEWATER / "heron-with-labels.toml", "--json")
    assert (code, json.loads(out)["findings"]) == (0, [])


def test_without_its_labels_heron_is_asked_about(command):
    code, out, _ = command("settings", HERON, "--json")
    document = json.loads(out)
    ids = {(finding["id"], finding["level"]) for finding in document["findings"]}
    assert code == 3
    assert {level for _, level in ids} == {"ask"}
    assert {("part-missing", "ask"), ("speed-too-high", "ask"), ("z-falls", "ask")} <= ids
    for axis in document["axes"].values():
        thrust = axis["thrust_n"]["standing"]
        assert thrust["high"] > 10 * thrust["low"]


def test_the_working_is_told_when_asked_for(command):
    assert "\nWorking\n" not in command("settings", PLOVER)[1]
    assert "\nWorking\n" in command("settings", PLOVER, "--working")[1]


def test_what_if(command):
    before = PLOVER.read_bytes()
    change = ("--what-if", "axes.x.driver.microsteps=16", "--what-if", "supply.voltage=48 V")
    code, out, _ = command("settings", PLOVER, *change, "--json")
    told = json.loads(out)["what_if"]
    assert code == 3  # Z may fall, and the driver bears hardly more than 48 V
    assert told["changes"] == {"axes.x.driver.microsteps": "16", "supply.voltage": "48 V"}
    assert told["with"] == {"axes.x.steps_per_mm": "320", "axes.y.steps_per_mm": "320"}  # Y is like X
    assert told["axes"]["x"]["steps_per_mm"] == "320"
    assert told["axes"]["x"]["full_torque_rpm"] == pytest.approx(617.613, rel=5e-6)
    assert {"voltage-high"} <= {finding["id"] for finding in told["findings"]}
    assert json.loads(out)["axes"]["x"]["steps_per_mm"] == "160"
    assert PLOVER.read_bytes() == before


def test_what_if_of_the_steps_themselves(command):
    code, out, _ = command("settings", PLOVER, "--what-if", "axes.z.steps_per_mm=400")
    assert code == 1
    assert "the next finer microstep setting" in " ".join(out.split())


@pytest.mark.parametrize("change", ["axes.x.motr.x=1", "supply.voltage", "supply.voltage=48", "axes.x=3", "=1"])
def test_a_change_that_cannot_be_is_told_by_its_option(command, change):
    code, out, err = command("settings", PLOVER, "--what-if", change)
    assert (code, out) == (2, "")
    assert "--what-if" in err


def test_upgrades_rank_single_changes(command):
    _, out, _ = command("settings", PLOVER, "--upgrades", "--json")
    rows = json.loads(out)["upgrades"]
    assert all(row.keys() >= {"key", "from", "to", "axis", "gain_pct"} for row in rows)
    gains = [row["gain_pct"] for row in rows]
    assert gains == sorted(gains, reverse=True)
    # 48 V for 36 V: the full-torque speed rises from 456.016 to 617.613 rpm.
    (volts,) = [row for row in rows if row["key"] == "supply.voltage"]
    assert volts["gain_pct"] == pytest.approx((617.613 / 456.016 - 1) * 100, rel=1e-4)


@pytest.mark.parametrize(
    ("edits", "level", "named"),
    [
        # A published plan with three slips: a rounded entry, the pitch for the lead, an acceleration in another unit.
        (HALF_INCH | {"steps_per_mm = 160": "steps_per_mm = 126"}, "ask", "rounded from 125.984252"),
        ({"steps_per_mm = 200": "steps_per_mm = 800"}, "no-go", "the pitch was taken for the lead"),
        ({'"400 mm/s^2"': '"400 in/s^2"'}, "ask", "another unit"),
        ({'"400 mm/s^2"': '"15.75 mm/s^2"'}, "ask", "another unit"),
        # The slips of a beginner.
        ({"steps_per_mm = 160": "steps_per_mm = 4064"}, "no-go", "steps for an inch"),
        ({"steps_per_mm = 160": "steps_per_mm = 320"}, "no-go", "the next finer microstep setting"),
        ({'"3000 mm/min"': '"50 mm/min"'}, "ask", "for a second, not for a minute"),
        (WEAK | {'current_is = "peak"': 'current_is = "rms"'}, "no-go", "too hot"),
    ],
)  # fmt: skip
def test_a_slip_is_found_and_named(command, workshop, edits, level, named):
    workshop.write(machine=edits)
    code, out, _ = command("settings", workshop.folder / "plover.toml", "--json")
    document = json.loads(out)
    says = [f["says"] for f in document["findings"] if f["level"] == level]
    assert any(named in text for text in says), says
    assert code == (1 if level == "no-go" else 3)


@pytest.mark.parametrize(
    ("edits", "told"),
    [
        ({'root_diameter = "13.2 mm"': 'root_diameter = "17 mm"'}, "root_diameter: is not smaller than diameter"),
        ({"steps_per_turn = 200": "steps_per_turn = 0"}, "steps_per_turn"),
        ({"microsteps = 8": "microsteps = 0"}, "microsteps"),
        ({'"3000 mm/min"': '"3000 mm/s"'}, "speed"),
        ({'voltage = "36 V"': 'voltage = "24000 V"'}, "voltage"),
        ({"steps_per_mm = 160": "steps_per_mm = 0.03"}, "steps_per_mm"),
        ({'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }': 'drag = "about five"'}, "drag"),
    ],
)
def test_a_part_that_cannot_be_is_refused_by_its_key(command, workshop, edits, told):
    workshop.write(machine=edits)
    code, out, err = command("settings", workshop.folder / "plover.toml")
    assert (code, out) == (2, "")
    assert told in err
    assert "plover.toml, line" in err


def test_teeth_that_are_none(command, tmp_path):
    card = tmp_path / "heron.toml"
    card.write_text(HERON.read_text(encoding="utf-8").replace("teeth = 15", "teeth = 0"), encoding="utf-8")
    code, _, err = command("settings", card)
    assert code == 2
    assert "axes.x.drive.teeth" in err


@pytest.mark.parametrize("kind", ["numbers", "wall"])
def test_a_sheet_is_written_beside_and_over_its_own_only(command, tmp_path, kind):
    code, out, _ = command("sheet", kind, PLOVER)
    file = tmp_path / f"plover-{kind}.pdf"
    assert code == 0
    assert file.name in out
    assert file.read_bytes().startswith(b"%PDF-")
    assert command("sheet", kind, PLOVER, "--paper", "letter")[0] == 0
    file.write_bytes(b"%PDF-1.7 of somebody else")
    code, _, err = command("sheet", kind, PLOVER)
    assert code == 2
    assert "no sheet of cutworthy" in err
    assert file.read_bytes() == b"%PDF-1.7 of somebody else"


@pytest.mark.parametrize(
    "edits",
    [
        {'"400 mm/s^2"': '"24000 mm/s^2"'},
        {'"4.2 kg", plus_minus': '"40 kg", plus_minus'},
        {'current = "3.0 A"\ncurrent_is': 'current = "30 mA"\ncurrent_is'},
        {'resistance = "1.1 ohm"': 'resistance = "110 ohm"'},
    ],
)
def test_a_machine_whose_motor_is_too_weak_has_its_sheets_all_the_same(command, workshop, edits):
    workshop.write(machine=edits)
    for kind in ("numbers", "wall"):
        assert command("sheet", kind, workshop.folder / "plover.toml")[0] == 0


def test_a_wrong_acceleration_hides_no_right_number(command, workshop):
    workshop.write(machine={'"400 mm/s^2"': '"24000 mm/s^2"'})
    _, out, _ = command("settings", workshop.folder / "plover.toml")
    rows = {line[:20].strip(): line for line in out.splitlines()}
    assert rows["Speed, mm/min"].split()[2] == "3000"
    assert rows["Acceleration, mm/s²"].split()[2] == "1000"


@pytest.mark.parametrize(
    "edits",
    [
        {Z_SCREW: f'pitch = "{pitch} mm"\nstarts = 1\n'}
        for pitch in (24, 25, 30)
    ]
    + [{'rated_current = "3.0 A"': 'rated_current = { value = "3.0 A", plus_minus = "3.0 A" }'}],
)  # fmt: skip
def test_a_card_at_the_edge_of_sense_is_answered(command, workshop, edits):
    workshop.write(machine={"steps_per_mm = 200\n": ""} | edits)
    code, out, _ = command("settings", workshop.folder / "plover.toml", "--json")
    assert code in (1, 3)
    efficiency = json.loads(out)["axes"]["z"]["efficiency"]["raise"]
    assert 0 < efficiency < 1

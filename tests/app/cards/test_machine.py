"""Machine cards to machine records. Expected numbers are the card's own, converted by hand."""

import dataclasses
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from cutworthy.app.cards import load_machine, machine_from_text
from cutworthy.model.machine import Axis, MapPoint, Spindle, Wire
from cutworthy.model.quantity import Origin, Quantity

FULL = Path(__file__).parent / "full-machine.toml"
RACK = "[axes.z.drive]\nkind = 'rack'\nmodule = '1 mm'\nteeth = 20\n"


def test_the_smallest_card(machine: Callable[..., Any]) -> None:
    card = machine()
    assert card.path == Path("shop/plover.toml")
    assert card.record.name == "Plover"
    x = card.record.axes["x"]
    assert (x.name, x.travel_mm.value, x.speed_mm_s.value, x.acceleration_mm_s2.value) == ("x", 820, 50, 400)
    assert x.speed_mm_s.key == "axes.x.speed"
    assert (x.range_mm, x.steps_per_mm, x.drag_n, x.motor, x.driver, x.drive) == (None,) * 6
    assert (x.homes_to, x.motors) == ("unknown", 1)


def test_what_is_left_out_is_unknown(machine: Callable[..., Any]) -> None:
    record = machine().record
    words = [
        getattr(table, field.name)
        for table in (record.control, record.spindle)
        for field in dataclasses.fields(table)
        if not isinstance(getattr(table, field.name), Quantity | None)
    ]
    assert set(words) == {"unknown"}
    assert len(words) == 10
    assert (record.supply, record.estop, record.calibration, record.connector, record.wiring) == (None,) * 4 + ((),)


def test_the_full_card() -> None:
    card = load_machine(FULL)
    record, x, z = card.record, card.record.axes["x"], card.record.axes["z"]
    assert record.spoilboard_map == (
        MapPoint(x_mm=0, y_mm=0, value_mm=0),
        MapPoint(x_mm=800, y_mm=500, value_mm=-0.12),
    )
    assert record.control.pulse_rate_hz.value == 100_000
    assert record.control.block_rate_hz.value == 200
    assert record.control.g30_mm == (10, 20, -5)
    assert (record.spindle.slowest_rpm.value, record.spindle.fastest_rpm.value) == (8000, 24000)
    assert record.spindle.nut.max_rpm.value == 30000
    assert record.spindle.shoe.below_nut_mm.value == 5
    assert record.estop.cuts == ("spindle", "motors")
    assert record.connector.outputs == (2, 3, 4)
    assert record.wiring[1] == Wire(signal="x direction", pin=3)
    assert x.motor.rotor_inertia_kg_m2.value == 4.6e-5
    assert x.motor.inductance_h.value == 0.0038
    assert x.driver.pulse_min_s.value == 2.5e-6
    assert x.driver.idle_current_ratio.value == 0.5
    assert x.drive.nut_stiffness_n_mm.value == 40_000
    assert (x.drive.lead_mm.value, x.drive.pitch_mm.value, x.drive.starts) == (8, 2, 4)
    assert z.range_mm == (-95, 0)
    assert z.travel_mm.value == 95
    assert z.steps_per_mm.value == 200
    assert z.drive.tooth_pitch_mm.value == 5.08
    assert z.speed_mm_s.value == pytest.approx(50 * 25.4 / 60, rel=1e-15)


def test_the_full_card_leaves_nothing_empty() -> None:
    """Every field of every record has a value on one axis or another, but for a rack's module."""
    seen: dict[str, bool] = {}
    for name, value in _fields(load_machine(FULL).record):
        seen[name] = seen.get(name, False) or value not in (None, "unknown", ())
    assert [name for name, filled in seen.items() if not filled] == ["Drive.module_mm"]


def _fields(record: object) -> Iterator[tuple[str, Any]]:
    if isinstance(record, dict | tuple):
        for inner in record.values() if isinstance(record, dict) else record:
            yield from _fields(inner)
    elif dataclasses.is_dataclass(record) and not isinstance(record, Quantity | MapPoint):
        for field in dataclasses.fields(record):
            yield f"{type(record).__name__}.{field.name}", getattr(record, field.name)
            yield from _fields(getattr(record, field.name))


def test_keys_of_numbers_name_places_on_the_card() -> None:
    record = load_machine(FULL).record
    keys = [value.key for _, value in _fields(record) if isinstance(value, Quantity)]
    assert {"supply.voltage", "spindle.speed[1]", "spindle.speed[2]", "spindle.collet_nut.diameter"} <= set(keys)
    assert {"axes.x.drive.collar.friction", "axes.z.range", "axes.z.steps_per_inch", "axes.y.drive.span"} <= set(keys)
    assert "" not in keys


def test_files_stand_beside_the_record_and_not_in_it(tmp_path: Path) -> None:
    here = machine_from_text(FULL.read_text(encoding="utf-8"), Path("shop/plover.toml"))
    there = machine_from_text(FULL.read_text(encoding="utf-8"), tmp_path / "copy.toml")
    assert here.cut_job == Path("shop/slots/slot-in-oak.toml")
    assert here.record == there.record
    assert "slot" not in repr(here.record)


def test_a_number_that_is_known_well() -> None:
    mass = load_machine(FULL).record.axes["x"].moving_mass_kg
    assert mass == Quantity(
        value=14,
        low=13.5,
        high=14.5,
        origin=Origin.MEASURED,
        key="axes.x.moving_mass",
        date="2026-03-14",
        instrument="bathroom scale",
    )


def test_a_weight_is_remarked() -> None:
    card = load_machine(FULL)
    assert card.record.axes["x"].drag_n.value == 1.2 * 9.80665  # standard gravity
    (remark,) = card.remarks  # once, though y is like x
    assert (remark.key, remark.line) == ("axes.x.drag", 68)
    assert '"1.2 kg" is read as a weight' in remark.says


def test_a_rack(machine: Callable[..., Any]) -> None:
    drive = machine(RACK).record.axes["z"].drive
    assert (drive.kind, drive.module_mm.value, drive.teeth, drive.lead_mm, drive.thread) == (
        "rack",
        1,
        20,
        None,
        "unknown",
    )


def test_keys_of_another_kind_of_drive_are_remarked(machine: Callable[..., Any]) -> None:
    card = machine(RACK + "pitch = '2 mm'\nthread = 'acme'\n")
    drive = card.record.axes["z"].drive
    assert (drive.pitch_mm, drive.thread) == (None, "unknown")
    assert {(remark.key, remark.says) for remark in card.remarks} == {
        ("axes.z.drive.pitch", "says nothing of a rack"),
        ("axes.z.drive.thread", "says nothing of a rack"),
    }


def test_leads(machine: Callable[..., Any]) -> None:
    def lead(text: str) -> float | None:
        found = machine(f"[axes.z.drive]\nkind = 'screw'\n{text}\n").record.axes["z"].drive.lead_mm
        return found and found.value

    assert lead("lead = '1/2 in'") == 12.7
    assert lead("pitch = '1/8 in'\nstarts = 4") == 12.7
    assert lead("pitch = '1/8 in'\nstarts = 4\nlead = '1/2 in'") == 12.7
    assert lead("pitch = '1/8 in'") is None  # nobody has counted the starts


def test_a_fixed_speed_is_a_range_too(machine: Callable[..., Any]) -> None:
    spindle: Spindle = machine("[spindle]\nspeed = ['18000 rpm', '18000 rpm']\n").record.spindle
    assert spindle.slowest_rpm.value == spindle.fastest_rpm.value == 18000


LIKE = "[axes.y]\nlike = 'x'\n"
X = """
steps_per_mm = 160
moving_mass = { value = "14 kg", plus_minus = "0.5 kg" }
drive = { kind = "screw", pitch = "2 mm", starts = 4, span = "1000 mm", friction = 0.1 }
motor = { steps_per_turn = 200, resistance = "1.1 ohm" }
"""


@pytest.fixture
def y_like_x(machine: Callable[..., Any]) -> Callable[[str], Any]:
    """Return Y of a machine whose Y is like X, but for some keys."""
    plain = '[axes.y]\ntravel = "560 mm"\nspeed = "3000 mm/min"\nacceleration = "400 mm/s^2"\n'
    x = '[axes.x]\ntravel = "820 mm"\n'

    def read(own: str) -> Axis:
        axis: Axis = machine(edits={plain: f"{LIKE}{own}\n", x: x + X}).record.axes["y"]
        return axis

    return read


def test_like_takes_everything(y_like_x: Callable[[str], Any]) -> None:
    y = y_like_x("")
    assert (y.name, y.travel_mm.value, y.steps_per_mm.value, y.moving_mass_kg.plus_minus) == ("y", 820, 160, 0.5)
    assert (y.drive.lead_mm.value, y.motor.steps_per_turn) == (8, 200)


def test_like_changes_what_is_written(y_like_x: Callable[[str], Any]) -> None:
    y = y_like_x("travel = '560 mm'\nmoving_mass = '7 kg'\nmotor.resistance = '2 ohm'\n[axes.y.drive]\nspan = '720 mm'")
    assert (y.travel_mm.value, y.moving_mass_kg.value) == (560, 7)
    assert y.moving_mass_kg.plus_minus == pytest.approx(2.1, rel=1e-12)  # not the 0.5 kg of x
    assert (y.motor.resistance_ohm.value, y.motor.steps_per_turn) == (2, 200)
    assert (y.drive.span_mm.value, y.drive.lead_mm.value) == (720, 8)


@pytest.mark.parametrize(
    ("own", "field", "value"),
    [
        ("range = ['-560 mm', '0 mm']", "travel_mm", 560),
        ("steps_per_inch = 2540", "steps_per_mm", 100),
    ],
)
def test_like_does_not_say_the_same_thing_twice(
    y_like_x: Callable[[str], Any], own: str, field: str, value: float
) -> None:
    assert getattr(y_like_x(own), field).value == pytest.approx(value, rel=1e-15)


def test_like_with_another_lead_or_another_drive(y_like_x: Callable[[str], Any]) -> None:
    assert y_like_x("drive.lead = '5 mm'").drive.lead_mm.value == 5
    belt = y_like_x("drive = { kind = 'belt', tooth_pitch = '5 mm', teeth = 20 }").drive
    assert (belt.kind, belt.pitch_mm, belt.friction) == ("belt", None, None)


def test_like_of_like(machine: Callable[..., Any]) -> None:
    card = machine(
        edits={'[axes.x]\ntravel = "820 mm"\n': "[axes.x]\nlike = 'z'\n", "[axes.y]\n": "[axes.y]\nlike = 'x'\n"}
    )
    assert (card.record.axes["x"].travel_mm.value, card.record.axes["y"].travel_mm.value) == (95, 560)

"""What holds for the settings of every machine: bands in order, working to repeat, no green by silence."""

import math
import tomllib
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planted_machine import MACHINE_FAULTS

from cutworthy.app.cards import machine_from_text
from cutworthy.errors import CardError
from cutworthy.model.machine import AXES
from cutworthy.model.quantity import Quantity
from cutworthy.model.settings import Band
from cutworthy.settings.parts import parts_of
from cutworthy.workflows.settle import SettleRequest, settle
from cutworthy.working import recording

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
CARDS = ("plover.toml", "heron.toml", "heron-with-labels.toml")
MATHS = {name: getattr(math, name) for name in ("sqrt", "sin", "cos", "tan", "asin", "atan", "pi")}
IN_WORDS = ("fastest speed", "greatest torque")  # these are searched for, which no line of arithmetic can repeat


def text_of(name):
    return (TIDEWATER / name).read_text(encoding="utf-8")


def machine(text):
    return machine_from_text(text, Path("card.toml")).record


def bands(record):
    if isinstance(record, Band):
        yield record
    elif is_dataclass(record):
        for field in fields(record):
            yield from bands(getattr(record, field.name))
    elif isinstance(record, dict):
        for value in record.values():
            yield from bands(value)


@pytest.mark.parametrize("card", CARDS)
def test_a_pocket_calculator_repeats_every_number(card):
    with recording() as steps:
        settle(SettleRequest(machine=machine(text_of(card))))
    assert len(steps) > 60
    for step in steps:
        if step.formula.startswith(IN_WORDS):
            continue
        values = {name: given.value for name, given in step.inputs.items()}
        again = eval(step.formula, {"__builtins__": {}, "min": min, "max": max, **MATHS}, values)  # noqa: S307 - our own text
        assert again == pytest.approx(step.value, rel=1e-12, abs=1e-15), step.name
        assert step.source
        assert all(given.origin for given in step.inputs.values())


# What the document tells of an axis, by the name of its step; what is entered, counted or a word opens to itself.
OPENED = {
    "travel_per_turn_mm", "steps_per_mm", "steps_per_inch", "resolution_mm", "relock_mm", "step_accuracy_mm", "lag_mm",
    "smallest_dependable_move_mm", "lead_error_mm", "speed_mm_min.advised", "acceleration_mm_s2.advised",
    "limits.pulse-rate", "limits.driver-pulse", "limits.whip", "limits.torque", "limits.full-torque",
    "thrust_n.standing", "thrust_n.at_speed", "torque_n_m.standing", "torque_n_m.at_speed", "torque_n_m.needed",
    "torque_n_m.microstep", "full_torque_rpm", "resonance_hz", "growl_mm_min.4", "growl_mm_min.2", "growl_mm_min.1",
    "whip_rpm", "buckling_n", "efficiency.raise", "efficiency.back", "stiffness_n_mm", "braking_mm",
    "soft_limit_mm.low", "soft_limit_mm.high",
}  # fmt: skip


def test_every_number_of_a_screw_axis_opens_to_its_working():
    with recording() as steps:
        settle(SettleRequest(machine=machine(text_of("plover.toml"))))
    for axis in AXES:
        assert OPENED - {step.name.removeprefix(f"axes.{axis}.") for step in steps} == set()


@pytest.mark.parametrize("card", CARDS)
def test_every_band_is_in_order(card):
    outcome = settle(SettleRequest(machine=machine(text_of(card))))
    found = list(bands(outcome.settings))
    assert len(found) > 20
    for band in found:
        assert band.low <= band.expected <= band.high


@pytest.mark.parametrize("card", CARDS)
def test_the_same_machine_has_the_same_settings(card):
    request = SettleRequest(machine=machine(text_of(card)))
    assert settle(request) == settle(request)


def levels(record):
    return {finding.level.value for finding in settle(SettleRequest(machine=record)).findings} - {"note"}


# Idle current is left out: half is taken without it, and none at all lies outside that.
OPTIONAL = (
    "pulse_rate", "voltage", "moving_mass", "drag", "holding_torque", "rated_current", "resistance", "inductance",
    "rotor_inertia", "microsteps", "current_is", "current", "max_voltage", "pulse_min", "friction",
    "root_diameter", "diameter", "span", "ends", "thread", "nut", "starts", "hardwired",
)  # fmt: skip


@pytest.mark.parametrize(
    "fault", [fault for faults in MACHINE_FAULTS.values() for fault in faults if fault.level != "note"],
    ids=lambda fault: f"{fault.about}-{fault.case}",
)  # fmt: skip
def test_leaving_out_a_number_never_turns_ask_or_no_go_into_go(workshop, fault):
    workshop.write(machine=fault.machine)
    text = (workshop.folder / "plover.toml").read_text(encoding="utf-8")
    assert levels(machine(text))
    # Z alone may fall on every card here, so without that ask nothing could be seen.
    steady = text.replace("friction = 0.15", "friction = 0.15\nbrake = true")
    whole = machine(steady)
    if not levels(whole):
        return
    lines = steady.splitlines(keepends=True)
    for number, line in enumerate(lines):
        if line.partition(" = ")[0] not in OPTIONAL:
            continue
        shorter = "".join(lines[:number] + lines[number + 1 :])
        assert tomllib.loads(shorter) != tomllib.loads(steady)
        try:
            less = machine(shorter)
        except CardError:
            continue  # the rest of the card does not stand without it
        if all(within_default(whole, less, axis) for axis in AXES):
            assert levels(less), line


def within_default(whole, less, axis):
    """Return whether the numbers of a card lie inside what is taken where a shorter card has none."""
    known, guessed = numbers(whole, axis), numbers(less, axis)
    return all(
        guessed[key].low <= known[key].value <= guessed[key].high
        for key in known.keys() & guessed.keys()
        if known[key].stated and not guessed[key].stated
    )


def numbers(record, axis):
    parts = parts_of(record, record.axes[axis])
    both = [parts, *([parts.screw] if parts.screw else [])]
    values = [getattr(each, field.name) for each in both for field in fields(each)]
    return {value.key: value for value in values if isinstance(value, Quantity)}


@settings(max_examples=60, deadline=None)
@given(
    numbers=st.fixed_dictionaries(
        {
            "lead": st.floats(1, 500), "volts": st.floats(12, 80), "torque": st.floats(0.1, 5),
            "span": st.floats(100, 4000), "speed": st.floats(1, 900), "mass": st.floats(0.5, 80),
        }
    ),
    micro=st.integers(1, 256),
)  # fmt: skip
def test_any_axis_has_numbers_that_are_numbers(plover, numbers, micro):
    lead, volts, torque = numbers["lead"], numbers["volts"], numbers["torque"]
    span, speed, mass = numbers["span"], numbers["speed"], numbers["mass"]
    x = plover.axes["x"]
    drive = replace(x.drive, lead_mm=at(x.drive.lead_mm, lead), pitch_mm=None, span_mm=at(x.drive.span_mm, span))
    own = replace(
        x, drive=drive, speed_mm_s=at(x.speed_mm_s, speed), moving_mass_kg=at(x.moving_mass_kg, mass),
        driver=replace(x.driver, microsteps=micro), steps_per_mm=None,
        motor=replace(x.motor, holding_torque_n_m=at(x.motor.holding_torque_n_m, torque)),
    )  # fmt: skip
    supply = replace(plover.supply, voltage_v=at(plover.supply.voltage_v, volts))
    outcome = settle(SettleRequest(machine=replace(plover, supply=supply, axes={**plover.axes, "x": own})))
    axis = outcome.settings.axes["x"]
    assert axis.speed_mm_s.advised >= 0
    assert axis.speed_mm_s.advised <= min(limit for limit in axis.speed_mm_s.limits.values() if limit is not None)
    for band in bands(axis):
        assert all(map(math.isfinite, (band.low, band.expected, band.high)))
        assert band.low <= band.expected <= band.high


def at(quantity, value):
    share = value / quantity.value
    return replace(quantity, value=value, low=quantity.low * share, high=quantity.high * share)

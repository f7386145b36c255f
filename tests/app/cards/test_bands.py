"""Bands by origin, and the table that they come from."""

from collections.abc import Callable
from typing import Any

import pytest

from cutworthy.app.cards.amounts import sort
from cutworthy.errors import CardError
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.reference.tables import limits_file

BANDS = limits_file()["bands"]
AXIS = "[axes.z.motor]\n{key} = {value}\n"


# The bands that the guide promises for plain text: value, low, high.
@pytest.mark.parametrize(
    ("table", "line", "field", "band"),
    [
        ("motor", "holding_torque = '2 N*m'", "holding_torque_n_m", (2, 1.7, 2.1)),
        ("motor", "inductance = '4 mH'", "inductance_h", (0.004, 0.0032, 0.0048)),
        ("motor", "resistance = '2 ohm'", "resistance_ohm", (2, 1.8, 2.2)),
        ("drive", "kind = 'screw'\nfriction = 0.1", "friction", (0.1, 0.07, 0.15)),
    ],
)
def test_bands_of_parts(
    machine: Callable[..., Any], table: str, line: str, field: str, band: tuple[float, float, float]
) -> None:
    found = getattr(getattr(machine(f"[axes.z.{table}]\n{line}\n").record.axes["z"], table), field)
    assert (found.value, found.low, found.high) == pytest.approx(band, rel=1e-12)


@pytest.mark.parametrize(
    ("line", "field", "band"),
    [
        ("drag = '10 N'", "drag_n", (10, 7, 13)),
        ("moving_mass = '10 kg'", "moving_mass_kg", (10, 7, 13)),
    ],
)
def test_bands_of_what_is_moved(
    machine: Callable[..., Any], line: str, field: str, band: tuple[float, float, float]
) -> None:
    found = getattr(machine(line).record.axes["z"], field)
    assert (found.value, found.low, found.high) == pytest.approx(band, rel=1e-12)
    assert found.origin is Origin.GUESSED
    assert found.is_guess


def _mass(machine: Callable[..., Any], table: str) -> Quantity:
    found: Quantity = machine(f"moving_mass = {table}\n").record.axes["z"].moving_mass_kg
    return found


def test_the_origin_chooses_the_band(machine: Callable[..., Any]) -> None:
    for origin in Origin:
        found = _mass(machine, f"{{ value = '10 kg', origin = '{origin}' }}")
        low, high = BANDS["moving_mass"][origin]
        assert (found.origin, found.low, found.high) == (origin, 10 * low, 10 * high)


def test_a_plus_minus_is_a_sure_limit(machine: Callable[..., Any]) -> None:
    found = _mass(machine, "{ value = '10 kg', plus_minus = '500 g' }")
    assert (found.low, found.high, found.origin) == (9.5, 10.5, Origin.GUESSED)


def test_nothing_weighs_less_than_nothing(machine: Callable[..., Any]) -> None:
    found = _mass(machine, "{ value = '10 kg', plus_minus = '11 kg' }")
    assert (found.low, found.high) == (0, 21)


def test_no_rate_may_be_nothing(machine: Callable[..., Any]) -> None:
    """Times are found by dividing by it."""
    with pytest.raises(CardError) as refused:
        machine("[control]\nblock_rate = { value = '40 1/s', plus_minus = '40 1/s' }\n")
    assert [mistake.key for mistake in refused.value.mistakes] == ["control.block_rate.plus_minus"]
    found = machine(
        "[control]\nblock_rate = { value = '40 1/s', plus_minus = '39 1/s' }\n"
    ).record.control.block_rate_hz
    assert (found.low, found.high) == pytest.approx((1, 79))


@pytest.mark.parametrize("name", BANDS)
def test_every_sort_is_complete(name: str) -> None:
    ours = sort(name)
    assert BANDS[name]["source"].startswith(("our choice", "common practice, no source"))
    assert ours.least < ours.most
    for origin in Origin:
        low, high = ours.limits(ours.most, origin, None)
        assert low <= ours.most <= high


@pytest.mark.parametrize("name", limits_file()["defaults"])
def test_every_default_has_a_source(name: str) -> None:
    row = limits_file()["defaults"][name]
    assert row["source"].startswith(("our choice", "common practice, no source", "ISO "))
    assert name == "cutting_length" or row["low"] <= row["value"] <= row["high"]

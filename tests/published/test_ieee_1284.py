"""IEEE Std 1284-1994, connector 1284-A (the DB-25 printer port of a PC), from memory.

The table of pins, registers and inversions was read in excerpts, among them I. Harries, "Interfacing to the IBM-PC
parallel printer port", Imperial College, 1996, and four tables that agree with it.
"""

import pytest

from cutworthy.model.machine import Wire
from cutworthy.settings.wiring import check_wiring, port_pins, printer_port

# Pin, signal, direction as the host sees it, inverted, register bit (S status, C control).
READ = [
    (10, "nAck", "in", False, "S6"), (11, "Busy", "in", True, "S7"), (12, "PaperEnd", "in", False, "S5"),
    (13, "Select", "in", False, "S4"), (15, "nError", "in", False, "S3"), (1, "nStrobe", "out", True, "C0"),
    (14, "nAutoFeed", "out", True, "C1"), (16, "nInit", "out", False, "C2"), (17, "nSelectIn", "out", True, "C3"),
    *((pin, f"D{pin - 2}", "out", False, f"D{pin - 2}") for pin in range(2, 10)),
    *((pin, "ground", "ground", False, "") for pin in range(18, 26)),
]  # fmt: skip
LETTER = {"data": "D", "status": "S", "control": "C"}


def test_every_pin_as_the_tables_say():
    ours = [
        (pin.pin, pin.signal, pin.direction, pin.inverted, f"{LETTER[pin.register]}{pin.bit}" if pin.register else "")
        for pin in port_pins()
    ]
    assert sorted(ours) == sorted(READ)


def test_twelve_outputs_five_inputs_and_every_pin_once():
    port = printer_port()
    assert (len(port.outputs), len(port.inputs), len(port.ground)) == (12, 5, 8)
    assert sorted(port.outputs + port.inputs + port.ground) == list(range(1, 26))


@pytest.mark.parametrize("signal", ["x limit", "z probe", "e-stop"])
@pytest.mark.parametrize("pin", [*range(2, 10), 1, 14, 16, 17])
def test_an_input_on_an_output_pin_is_an_error(signal, pin):
    (row,) = check_wiring((Wire(signal=signal, pin=pin),), None)
    assert (row.ok, row.why, row.direction) == (False, "wrong-direction", "in")


@pytest.mark.parametrize("signal", ["x step", "y direction"])
@pytest.mark.parametrize("pin", [10, 11, 12, 13, 15])
def test_step_and_direction_on_an_input_pin_are_an_error(signal, pin):
    (row,) = check_wiring((Wire(signal=signal, pin=pin),), None)
    assert (row.ok, row.why, row.direction) == (False, "wrong-direction", "out")


@pytest.mark.parametrize("pin", range(18, 26))
def test_nothing_goes_on_ground(pin):
    assert [row.why for row in check_wiring((Wire(signal="x step", pin=pin),), None)] == ["ground-pin"]


def test_the_printer_port_has_no_pin_26():
    assert [row.why for row in check_wiring((Wire(signal="x step", pin=26),), None)] == ["no-such-pin"]

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.model.machine import Connector, Wire
from cutworthy.reference.swaps import wire_swaps
from cutworthy.settings.wiring import check_wiring, direction_of, printer_port

OWN = Connector(name="own board", outputs=(2, 3, 4), inputs=(10, 11), ground=(18,))


def wires(*pairs):
    return tuple(Wire(signal=signal, pin=pin) for signal, pin in pairs)


def whys(connector, *pairs):
    return [row.why for row in check_wiring(wires(*pairs), connector)]


@pytest.mark.parametrize(
    "signal",
    [
        "x step", "X STEP", "x-step", "x_step", "xstep", "step x", "stepx", "x2 step", "y pulse", "y dir", "dirY",
        "z direction", "x enable", "enable", "spindle", "spindle on", "spindle pwm", "spindle direction",
        "coolant relay", "vacuum relay", "vacuum", "charge pump", "dust collector", "mist", "relay 1", "drives enabled",
    ],
)  # fmt: skip
def test_what_the_control_sends(signal):
    assert direction_of(signal) == "out"


@pytest.mark.parametrize(
    "signal",
    [
        "x limit", "limits", "xlimit", "x home", "home-y", "probe", "touch plate", "e-stop", "estop", "E STOP",
        "emergency stop", "stop button", "driver fault", "x drive fault", "spindle ready", "ready", "spindle index",
        "vacuum ok", "door switch", "alarm",
    ],
)  # fmt: skip
def test_what_the_control_listens_to(signal):
    assert direction_of(signal) == "in"


@pytest.mark.parametrize(
    "signal", ["", "x", "a", "5", "blue wire", "Schritt x", "step limit", "home direction", "footstep"]
)
def test_what_cannot_be_told(signal):
    assert direction_of(signal) == "unknown"


@given(st.text())
def test_any_text_has_an_answer(signal):
    assert direction_of(signal) in {"out", "in", "unknown"}


axes = st.sampled_from(["x", "y", "z", "X", "Z", "x2", "a"])
pulses = st.sampled_from(["step", "STEP", "Steps", "dir", "direction", "pulse"])
steps = st.builds(lambda axis, glue, word, first: axis + glue + word if first else word + glue + axis,
                  axes, st.sampled_from([" ", "-", "_", ""]), pulses, st.booleans())  # fmt: skip
decoration = st.sampled_from(["", " +", " (left)", " wire", " home", " limit", " fault", " 2"])


@given(
    steps, decoration, st.sampled_from([10, 11, 12, 13, 15]), st.lists(st.tuples(steps, st.integers(0, 30)), max_size=4)
)
def test_a_step_signal_on_an_input_pin_is_never_right(signal, more, pin, others):
    first, *_ = check_wiring(wires((signal + more, pin), *others), None)
    assert not first.ok
    assert first.why in {"wrong-direction", "unknown-signal"}
    assert more.strip() in {"home", "limit", "fault"} or first.why == "wrong-direction"


@given(st.lists(st.tuples(st.text(max_size=12), st.integers(-5, 40)), max_size=8))
def test_a_row_for_every_wire_in_its_order_and_right_exactly_without_a_reason(pairs):
    rows = check_wiring(wires(*pairs), None)
    assert [(row.signal, row.pin) for row in rows] == pairs
    assert all(row.ok == (row.why == "") for row in rows)


def test_a_clean_wiring():
    pairs = [
        ("x step", 2), ("x direction", 3), ("y step", 4), ("y direction", 5), ("z step", 6), ("z direction", 7),
        ("enable", 14), ("spindle relay", 16), ("charge pump", 17), ("limits", 10), ("e-stop", 11), ("probe", 12),
    ]  # fmt: skip
    rows = check_wiring(wires(*pairs), None)
    assert all(row.ok for row in rows)
    assert [row.direction for row in rows] == ["out"] * 9 + ["in"] * 3


def test_the_owner_s_connector_rules_where_there_is_one():
    assert whys(OWN, ("x step", 2), ("x step", 10), ("probe", 10), ("probe", 3)) == [
        "",
        "wrong-direction",
        "used-twice",
        "wrong-direction",
    ]
    assert whys(OWN, ("x step", 18), ("x step", 5)) == ["ground-pin", "no-such-pin"]
    assert whys(None, ("x step", 5)) == [""]


def test_a_pin_that_goes_both_ways_takes_both():
    both = Connector(name="board", outputs=(1,), inputs=(1,), ground=())
    assert whys(both, ("x step", 1)) == [""]
    assert whys(both, ("probe", 1)) == [""]


@pytest.mark.parametrize(
    "signals",
    [
        ("x enable", "y enable", "z enable"),  # one line switches all drivers
        ("x step", "x2 step"), ("x step left", "x step right"), ("x direction", "x2 dir"),  # two motors of a gantry
        ("x limit", "y limit", "z limit"), ("x home", "y limit"), ("x home switch", "z limit"),
        ("x step", "X STEP"),  # switches in series
    ],
)  # fmt: skip
def test_signals_that_may_share_a_pin(signals):
    pin = 10 if "limit" in signals[-1] else 2
    assert whys(None, *((signal, pin) for signal in signals)) == [""] * len(signals)


@pytest.mark.parametrize(
    "signals",
    [
        ("x step", "y step"), ("x step", "x direction"), ("x direction", "y direction"), ("step", "step"),
        ("x step", "x enable"), ("spindle", "vacuum relay"), ("x step", "blue wire"),
    ],
)  # fmt: skip
def test_signals_that_may_not_share_a_pin(signals):
    expected = ["unknown-signal" if signal == "blue wire" else "used-twice" for signal in signals]
    assert whys(None, *((signal, 2) for signal in signals)) == expected


@pytest.mark.parametrize("signals", [("probe", "x limit"), ("e-stop", "y home"), ("e-stop", "driver fault")])
def test_inputs_of_different_meaning_may_not_share_a_pin(signals):
    assert whys(None, *((signal, 10) for signal in signals)) == ["used-twice"] * 2


def test_the_third_on_a_pin_spoils_it_for_all():
    assert whys(None, ("x enable", 2), ("y enable", 2), ("x step", 2)) == ["used-twice"] * 3


def test_the_printer_port_is_what_is_used_without_a_connector():
    pairs = [("x step", pin) for pin in range(27)]
    assert check_wiring(wires(*pairs), None) == check_wiring(wires(*pairs), printer_port())


# Which way a motor turns: the field of its coils over one electrical cycle, and a rotor that follows it.
TERMINALS = ("A+", "A-", "B+", "B-")


def potentials(angle):
    """Return the potential of each driver terminal, for sine currents in quadrature."""
    a, b = math.cos(angle), math.sin(angle)
    return dict(zip(TERMINALS, (a / 2, -a / 2, b / 2, -b / 2), strict=True))


def turns_of_the_rotor(order, cycles=4, parts=400):
    """Return electrical turns of a heavily damped rotor per cycle; ``order``: the motor wire on each terminal."""
    at = {wire: terminal for terminal, wire in zip(TERMINALS, order, strict=True)}
    rotor, marks = 0.3, []
    for n in range(cycles * parts):
        if n % parts == 0:
            marks.append(rotor)
        volts = potentials(2 * math.pi * n / parts)
        coil_a, coil_b = volts[at["A+"]] - volts[at["A-"]], volts[at["B+"]] - volts[at["B-"]]
        rotor += 0.2 * (coil_b * math.cos(rotor) - coil_a * math.sin(rotor))
    return (rotor - marks[1]) / (2 * math.pi) / (cycles - 1)


def swaps():
    return [swap for swap in wire_swaps() if swap.wires]


@pytest.mark.parametrize("swap", swaps(), ids=lambda swap: swap.id)
def test_each_swap_of_motor_wires_does_what_its_row_says(swap):
    expected = (-1 if swap.reverses else 1) if swap.turns else 0
    assert turns_of_the_rotor(swap.wires) == pytest.approx(expected, abs=0.02)


def test_of_eight_arrangements_that_turn_four_reverse():
    turning = [swap for swap in swaps() if swap.turns]
    assert len({swap.wires for swap in turning}) == len(turning) == 8
    assert sum(swap.reverses for swap in turning) == 4


def test_the_rows_hold_every_arrangement_that_turns():
    found = {order for order in itertools.permutations(TERMINALS) if abs(turns_of_the_rotor(order)) > 0.5}
    assert found == {swap.wires for swap in swaps() if swap.turns}


def test_signal_wires():
    rows = {swap.id: swap for swap in wire_swaps() if not swap.wires}
    assert not rows["step-signal-wires"].reverses
    assert rows["direction-signal-inverted"].reverses
    assert all(swap.source for swap in wire_swaps())

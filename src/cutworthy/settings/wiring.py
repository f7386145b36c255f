"""Which way the signals go, whether their pins do too, and what swapping wires does to a motor."""

import re
import tomllib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from cutworthy.model.machine import Connector, Wire
from cutworthy.model.settings import WiringRow

__all__ = ["PortPin", "check_wiring", "direction_of", "port_pins", "printer_port"]

Direction = Literal["out", "in", "unknown"]
Why = Literal["", "wrong-direction", "used-twice", "no-such-pin", "ground-pin", "unknown-signal"]

# Words of a signal's name, with the kind of signal they stand for.
ORDERS = {
    **dict.fromkeys(("step", "steps", "stepping", "pulse", "pulses"), "step"),
    **dict.fromkeys(("dir", "direction"), "direction"),
    **dict.fromkeys(("enable", "enabled", "en"), "enable"),
    **dict.fromkeys(("relay", "relays"), "relay"),
}
# Things that the control switches. They also report: "spindle" is an order, "spindle ready" is not.
THINGS = {
    **dict.fromkeys(("spindle", "router"), "spindle"),
    **dict.fromkeys(("coolant", "mist", "flood"), "coolant"),
    **dict.fromkeys(("vacuum", "dust"), "vacuum"),
    **dict.fromkeys(("charge", "pump"), "charge-pump"),
    **{word: word for word in ("pwm", "brake", "lamp", "light")},
}
REPORTS = {
    **dict.fromkeys(("limit", "limits", "home", "homes", "homing"), "limit"),
    **dict.fromkeys(("probe", "touch", "setter"), "probe"),
    **dict.fromkeys(("stop", "estop", "emergency"), "stop"),
    **dict.fromkeys(("fault", "faults", "alarm"), "fault"),
    **{word: word for word in ("ready", "ok", "index", "encoder", "door", "hold", "pause")},
    **dict.fromkeys(("switch", "button", "sense", "sensor"), "switch"),
}
KNOWN = ORDERS | THINGS | REPORTS
# They tell the direction; beside another kind they do not make one.
VAGUE = frozenset({"relay", "switch"})
# Beside a thing they may switch it or tell of it.
AMBIGUOUS = frozenset({"switch", "hold"})
# One line may carry these for several axes: drivers enabled together, switches and faults in one loop.
SHARED = frozenset({"enable", "limit", "probe", "stop", "fault"})
# These only for the two motors of one axis.
SHARED_ON_AN_AXIS = frozenset({"step", "direction"})

AXES = frozenset("xyzabc")


@dataclass(frozen=True, slots=True, kw_only=True)
class PortPin:
    """One pin of the printer port, seen from the computer. A ground pin has no register and no bit."""

    pin: int
    signal: str
    direction: Literal["out", "in", "ground"]
    inverted: bool
    register: Literal["data", "status", "control", ""]
    bit: int | None
    source: str


@cache
def port_pins() -> tuple[PortPin, ...]:
    """Return the pins of the printer port, in order.

    Source: [@ieee-1284] and [@harries].
    """
    rows = _file("connectors.toml")["pins"]
    return tuple(PortPin(**{"inverted": False, "register": "", "bit": None, **row}) for row in rows)


@cache
def printer_port() -> Connector:
    """Return the connector of a card that has none of its own.

    Source: [@ieee-1284] and [@harries].
    """
    by_way: dict[str, list[int]] = defaultdict(list)
    for pin in port_pins():
        by_way[pin.direction].append(pin.pin)
    return Connector(
        name=_file("connectors.toml")["name"],
        outputs=tuple(by_way["out"]),
        inputs=tuple(by_way["in"]),
        ground=tuple(by_way["ground"]),
    )


def direction_of(signal: str) -> Direction:
    """Return which way a signal goes, seen from the control, by the words in its name.

    Source: common practice, no source. A report wins over a thing, as in "spindle ready"; beside an
    order, as in "step limit", nobody can tell, nor of a thing's switch, as in "vacuum switch".

    Parameters
    ----------
    signal
        Name of the signal, in any case, with an axis before, behind or without.
    """
    words = _words(signal)
    orders, things, reports = (any(word in table for word in words) for table in (ORDERS, THINGS, REPORTS))
    if reports:
        plain = any(word in REPORTS and REPORTS[word] not in AMBIGUOUS for word in words)
        return "unknown" if orders or (things and not plain) else "in"
    return "out" if orders or things else "unknown"


def check_wiring(wires: Sequence[Wire], connector: Connector | None) -> tuple[WiringRow, ...]:
    """Return for each wire, in order, whether its signal may sit on its pin, and why not.

    Source: common practice, no source. Of several reasons the first of: no such pin, ground pin, unknown
    signal, wrong direction, used twice. A pin may be shared by signals of one kind only: enables, limit
    and home switches together, probes, stops, faults; step and direction only within one axis, for its
    two motors.

    Parameters
    ----------
    wires
        Signals and their pins.
    connector
        The control's own connector; None for the printer port.
    """
    port = connector or printer_port()
    on_pin: dict[int, list[str]] = defaultdict(list)
    for wire in wires:
        on_pin[wire.pin].append(wire.signal)
    return tuple(_row(wire, port, on_pin[wire.pin]) for wire in wires)


def _row(wire: Wire, port: Connector, on_its_pin: Sequence[str]) -> WiringRow:
    direction = direction_of(wire.signal)
    why = _why(wire.pin, direction, port) or ("" if _may_share(on_its_pin) else "used-twice")
    return WiringRow(signal=wire.signal, pin=wire.pin, direction=direction, ok=why == "", why=why)


def _why(pin: int, direction: Direction, port: Connector) -> Why:
    """Return what is wrong with a signal on a pin by itself."""
    if pin not in port.outputs + port.inputs:
        return "ground-pin" if pin in port.ground else "no-such-pin"
    if direction == "unknown":
        return "unknown-signal"
    return "" if pin in (port.outputs if direction == "out" else port.inputs) else "wrong-direction"


def _may_share(signals: Sequence[str]) -> bool:
    """Return whether these signals, one or more, may sit on one pin together."""
    if len(signals) == 1:
        return True
    kinds = {_kinds(signal) for signal in signals}
    kind = kinds.pop()
    if kinds:
        return False
    axes = {_axis(signal) for signal in signals}
    return kind <= SHARED or (kind <= SHARED_ON_AN_AXIS and len(axes) == 1 and None not in axes)


def _kinds(signal: str) -> frozenset[str]:
    found = frozenset(KNOWN[word] for word in _words(signal) if word in KNOWN)
    return found - VAGUE or found


def _axis(signal: str) -> str | None:
    """Return the letter of the axis that a signal names, None without one or with two."""
    letters = AXES.intersection(_words(signal))
    return next(iter(letters)) if len(letters) == 1 else None


def _words(signal: str) -> list[str]:
    """Return the words of a name in lower case, without figures, an axis that is glued to one taken off it."""
    words: list[str] = []
    for word in re.findall("[a-z]+", signal.lower()):
        if word not in KNOWN and word[0] in AXES and word[1:] in KNOWN:
            words += word[0], word[1:]
        elif word not in KNOWN and word[-1] in AXES and word[:-1] in KNOWN:
            words += word[-1], word[:-1]
        else:
            words.append(word)
    return words


@cache
def _file(name: str) -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.reference") / name).read_text(encoding="utf-8"))

"""Do the signals go to pins that can carry them?"""

from collections.abc import Iterator

from cutworthy.findings.registry import machine_rule
from cutworthy.model.findings import Finding, Numbers
from cutworthy.model.program import Level
from cutworthy.model.settings import Settled

__all__: list[str] = []

PINS = "IEEE 1284-1994, connector A, from memory; or the connector on the card"


@machine_rule("pin-direction", Level.NO_GO, Level.ASK, source=PINS)
def _pin_direction(settled: Settled) -> Iterator[Finding]:
    """A signal sits on a pin that cannot carry it."""
    for row in settled.settings.wiring:
        if row.why in ("", "used-twice"):
            continue
        level = Level.ASK if row.why == "unknown-signal" else Level.NO_GO
        case = f"{row.why}-{row.direction}" if row.why == "wrong-direction" else row.why
        numbers: Numbers = {"value": float(row.pin), "unit": ""}
        yield Finding(id="pin-direction", level=level, case=case, about=row.signal, numbers=numbers)


@machine_rule("pin-twice", Level.NO_GO, source=PINS)
def _pin_twice(settled: Settled) -> Iterator[Finding]:
    """Two signals sit on one pin."""
    shared: dict[int, list[str]] = {}
    for row in settled.settings.wiring:
        if row.why == "used-twice":
            shared.setdefault(row.pin, []).append(row.signal)
    for pin, signals in shared.items():
        numbers: Numbers = {"value": float(pin), "unit": "", "signals": ", ".join(signals)}
        yield Finding(id="pin-twice", level=Level.NO_GO, case="twice", about=f"pin {pin}", numbers=numbers)

"""Writes down the working of one axis: results become inputs of later steps.

Formulas are written so that a pocket calculator repeats them with the inputs in place of their names:
``+ - * / **``, ``sqrt``, ``sin``, ``cos``, ``tan``, ``asin``, ``atan``, ``min``, ``max`` and ``pi``, angles
in radians. A formula in plain words, without a sign in it, tells how a number was searched for.
"""

from cutworthy.model.quantity import Quantity
from cutworthy.reference.tables import Limit
from cutworthy.working import Input, record

__all__ = ["Given", "Ledger"]

Given = Input | Quantity | Limit | float | int

# What each name in a formula counts in.
UNITS = {
    "accelerate": "N*m", "acceleration": "mm/s^2", "accuracy": "mm", "allowance": "N", "bearing": "N/mm",
    "braking": "mm", "carried": "N", "collar": "N*m/N", "current": "A", "currents": "A", "cut": "N*m",
    "density": "kg/m^3", "detent": "N*m", "drag": "N", "drag_torque": "N*m", "driver_pulse": "mm/min", "end": "mm",
    "flux": "Wb", "frame": "mm/s^2", "friction_angle": "rad", "full_torque": "mm/min", "g": "m/s^2",
    "half_angle": "rad", "heat": "W", "holding_torque": "N*m", "inductance": "H", "inertia": "kg*m^2", "lead": "mm",
    "lead_angle": "rad", "left": "N*m", "lift": "N*m", "mass": "kg", "mean_diameter": "mm", "mechanical": "W",
    "model": "N*m", "motor": "N/mm", "needed": "N*m", "needed_w": "W", "nut": "N/mm", "peak": "A", "pitch": "mm",
    "ppm": "ppm", "pull": "N*m", "pulse_min": "s", "pulse_rate": "1/s", "rated_current": "A", "resistance": "ohm",
    "resolution": "mm", "resonance": "Hz", "root": "mm", "rotor": "kg*m^2", "rpm": "rpm", "rule_a": "A",
    "screw": "N/mm", "span": "mm", "speed": "mm/min", "spring": "mm/s^2", "standing": "N*m", "steps_per_mm": "1/mm",
    "thick": "mm", "tooth_pitch": "mm", "travel": "mm", "travel_per_turn": "mm", "turning": "kg*m^2", "twist": "N/mm",
    "voltage": "V", "whip_rpm": "rpm", "yield_stress": "N/mm^2", "youngs": "N/mm^2",
}  # fmt: skip

CONSTANTS = frozenset({"g", "youngs", "density", "yield_stress", "constant", "root_of_ends"})


class Ledger:
    """The steps of one axis, or of the supply; their names begin with ``prefix``."""

    def __init__(self, prefix: str) -> None:
        """Begin an empty page."""
        self._prefix = prefix

    def put(self, name: str, formula: str, value: float, unit: str, source: str, **inputs: Given) -> float:
        """Write a step down and return its value, for the next."""
        given = {key: _input(each, key) for key, each in inputs.items()}
        record(f"{self._prefix}.{name}", formula, given, value, unit=unit, source=source)
        return value


def _input(given: Given, name: str) -> Input:
    unit = UNITS.get(name, "")
    match given:
        case Input():
            return given
        case Quantity():
            return Input(value=given.value, unit=unit, origin=given.origin.value if given.stated else "guessed")
        case Limit():
            return Input(value=given.value, unit="", origin="our choice")
        case int():
            return Input(value=given, unit=unit, origin="label")
        case _:
            return Input(value=given, unit=unit, origin="constant" if name in CONSTANTS else "computed")

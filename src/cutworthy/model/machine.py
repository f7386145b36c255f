"""The machine, as its card describes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cutworthy.model.quantity import Quantity

__all__ = [
    "AXES",
    "Axis",
    "AxisName",
    "Body",
    "Calibration",
    "Collar",
    "Connector",
    "Control",
    "Drive",
    "Driver",
    "EmergencyStop",
    "Machine",
    "MapPoint",
    "Motor",
    "Nut",
    "Shoe",
    "Spindle",
    "Supply",
    "Wire",
]

AxisName = Literal["x", "y", "z"]
AXES: tuple[AxisName, ...] = ("x", "y", "z")

Unknown = Literal["unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapPoint:
    """A value measured at a place: on the table for heights, on the board for thickness."""

    x_mm: float
    y_mm: float
    value_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """What sends the step pulses, and its habits. ``unknown`` is every habit's default."""

    pulse_rate_hz: Quantity | None
    units_at_start: Literal["mm", "inch"] | Unknown
    corners: Literal["stop", "tolerance", "overlap", "constant"] | Unknown
    corner_tolerance_mm: Quantity | None
    block_rate_hz: Quantity | None
    rapids: Literal["straight", "dog-leg"] | Unknown
    arc_centres: Literal["relative", "absolute"] | Unknown
    block_delete: Literal["off", "on"] | Unknown
    bit_change: Literal["waits", "ignores"] | Unknown
    lengths: Literal["touched-off", "table"] | Unknown
    g28_mm: tuple[float, float, float] | None
    g30_mm: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """The power supply of the motors."""

    voltage_v: Quantity | None
    current_a: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """The collet nut: an upright cylinder that begins at the stick-out above the tip."""

    diameter_mm: Quantity
    length_mm: Quantity
    max_rpm: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The spindle's body: an upright cylinder above the collet nut."""

    diameter_mm: Quantity
    length_mm: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shoe:
    """A dust shoe: a disc whose underside lies ``below_nut_mm`` below the nut's face."""

    diameter_mm: Quantity
    below_nut_mm: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """The router or spindle motor, its speeds, and what stands around the bit."""

    power_w: Quantity | None
    power_is: Literal["input", "output"] | Unknown
    slowest_rpm: Quantity | None
    fastest_rpm: Quantity | None
    switched_by: Literal["hand", "program"] | Unknown
    speed_by: Literal["dial", "program"] | Unknown
    spin_up_s: Quantity | None
    nut: Nut | None
    body: Body | None
    shoe: Shoe | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergencyStop:
    """What the emergency stop cuts, and whether Z stays up then. None where the card does not say."""

    cuts: tuple[Literal["spindle", "motors"], ...] | None
    holds_z: bool | None
    hardwired: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """Spindle power idle and in a timed slot; narrows the band of the cutting force."""

    idle_power_w: Quantity
    cut_power_w: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Connector:
    """The pins of the control's connector, by direction."""

    name: str
    outputs: tuple[int, ...]
    inputs: tuple[int, ...]
    ground: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One signal on one pin."""

    signal: str
    pin: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """A stepper motor by its label. Resistance and inductance are per phase."""

    steps_per_turn: int | None
    holding_torque_n_m: Quantity | None
    rated_current_a: Quantity | None
    resistance_ohm: Quantity | None
    inductance_h: Quantity | None
    rotor_inertia_kg_m2: Quantity | None
    detent_torque_n_m: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """A motor driver, as it is set."""

    microsteps: int | None
    current_a: Quantity | None
    current_is: Literal["peak", "rms"] | Unknown
    max_voltage_v: Quantity | None
    pulse_min_s: Quantity | None
    direction_setup_s: Quantity | None
    idle_current_ratio: Quantity | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Collar:
    """The thrust bearing of a screw: mean diameter and friction."""

    diameter_mm: Quantity
    friction: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """A screw, a belt or a rack between motor and slide. Fields of other kinds are None."""

    kind: Literal["screw", "belt", "rack"]
    lead_mm: Quantity | None
    pitch_mm: Quantity | None
    starts: int | None
    thread: Literal["ball", "trapezoidal", "acme", "square"] | Unknown
    diameter_mm: Quantity | None
    root_diameter_mm: Quantity | None
    span_mm: Quantity | None
    ends: Literal["fixed-fixed", "fixed-simple", "simple-simple", "fixed-free"] | Unknown
    friction: Quantity | None
    collar: Collar | None
    reduction: Quantity
    nut: Literal["plain", "sprung", "preloaded"] | Unknown
    spring_force_n: Quantity | None
    nut_stiffness_n_mm: Quantity | None
    bearing_stiffness_n_mm: Quantity | None
    counterbalance_n: Quantity | None
    brake: bool | None
    tooth_pitch_mm: Quantity | None
    module_mm: Quantity | None
    teeth: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One linear axis. ``range_mm`` is given where the control counts otherwise than from home."""

    name: AxisName
    travel_mm: Quantity
    range_mm: tuple[float, float] | None
    homes_to: Literal["minus", "plus", "none"] | Unknown
    speed_mm_s: Quantity
    acceleration_mm_s2: Quantity
    steps_per_mm: Quantity | None
    moving_mass_kg: Quantity | None
    drag_n: Quantity | None
    cutting_allowance_n: Quantity | None
    motors: int
    motor: Motor | None
    driver: Driver | None
    drive: Drive | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A three-axis router. ``units`` only says how numbers are shown."""

    name: str
    units: Literal["mm", "inch"]
    spoilboard_mm: Quantity | None
    spoilboard_map: tuple[MapPoint, ...]
    control: Control
    supply: Supply | None
    spindle: Spindle
    estop: EmergencyStop | None
    calibration: Calibration | None
    connector: Connector | None
    wiring: tuple[Wire, ...]
    axes: Mapping[AxisName, Axis]

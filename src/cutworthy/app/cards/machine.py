"""The machine card: its tables and keys, and how they become the machine record."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, ValidationInfo, field_validator

from cutworthy.app.cards.amounts import Amount, Entry, Several, guessed
from cutworthy.app.cards.faults import Fault, Place, RefusedError, key_text
from cutworthy.app.cards.tables import Note, Table, each_keyed, finished, keyed, record_of
from cutworthy.app.cards.words import Count, Words
from cutworthy.model import machine as records
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.units import MM_PER_INCH

__all__ = ["MachineFile", "Triple", "below", "machine_of", "map_of", "values_of"]

Current = Annotated[Entry, Amount("current")]
Friction = Annotated[Entry, Amount("friction")]
Part = Annotated[Entry, Amount("tool_part")]
Pin = Annotated[int, Count(1, 100, 2)]
Pitch = Annotated[Entry, Amount("pitch")]
Power = Annotated[Entry, Amount("power")]
Meter = Annotated[Entry, Amount("meter")]
PulseTime = Annotated[Entry, Amount("pulse_time")]
ScrewSize = Annotated[Entry, Amount("screw_size")]
Spring = Annotated[Entry, Amount("spring")]
Stiffness = Annotated[Entry, Amount("stiffness")]
Torque = Annotated[Entry, Amount("torque")]
Triple = Annotated[
    tuple[Entry, Entry, Entry], Several(("place", "place", "place"), '["0 mm", "0 mm", "0 mm"]', bare=True)
]
Voltage = Annotated[Entry, Amount("voltage")]

ROUNDING = 1e-3  # of a lead that is written beside its pitch

CUT = ("trapezoidal", "acme", "square")
SCREW_ONLY = (
    "pitch", "starts", "lead", "thread", "diameter", "root_diameter", "span", "ends", "friction", "collar", "nut",
    "spring_force", "nut_stiffness", "bearing_stiffness",
)  # fmt: skip
NOT_ON = {"screw": ("tooth_pitch", "module", "teeth"), "belt": (*SCREW_ONLY, "module"), "rack": SCREW_ONLY}


class _General(Table):
    """``[machine]``."""

    name: Annotated[str, Words("Plover")]
    units: Literal["mm", "inch"]
    spoilboard: Annotated[Entry, Amount("spoilboard")] | None = None
    spoilboard_map: list[Triple] = Field(default_factory=list)


class _Control(Table):
    """``[control]``: what sends the step pulses."""

    makes = records.Control

    pulse_rate: Annotated[Entry, Amount("pulse_rate")] | None = None
    units_at_start: Literal["mm", "inch", "unknown"] = "unknown"
    corners: Literal["stop", "tolerance", "overlap", "constant", "unknown"] = "unknown"
    corner_tolerance: Annotated[Entry, Amount("corner_tolerance")] | None = None
    block_rate: Annotated[Entry, Amount("block_rate")] | None = None
    rapids: Literal["straight", "dog-leg", "unknown"] = "unknown"
    arc_centres: Literal["relative", "absolute", "unknown"] = "unknown"
    block_delete: Literal["off", "on", "unknown"] = "unknown"
    bit_change: Literal["waits", "ignores", "unknown"] = "unknown"
    lengths: Literal["touched-off", "table", "unknown"] = "unknown"
    g28: Triple | None = None
    g30: Triple | None = None

    def more(self, at: Place) -> dict[str, Any]:  # noqa: ARG002 - the places have no key in the record
        """Return the stored places."""
        return {"g28_mm": self.g28 and values_of(self.g28), "g30_mm": self.g30 and values_of(self.g30)}


class _Supply(Table):
    """``[supply]`` of the motors."""

    makes = records.Supply

    voltage: Voltage | None = None
    current: Current | None = None


class _Nut(Table):
    """``collet_nut`` of the spindle."""

    makes = records.Nut

    diameter: Part
    length: Part
    max_rpm: Annotated[Entry, Amount("max_rpm")] | None = None


class _Body(Table):
    """``body`` of the spindle."""

    makes = records.Body

    diameter: Part
    length: Part | None = None


class _Shoe(Table):
    """``shoe`` of the spindle."""

    makes = records.Shoe

    diameter: Part
    below_nut: Annotated[Entry, Amount("shoe_height")]


class _Spindle(Table):
    """``[spindle]``: the router, and what stands around the bit."""

    makes = records.Spindle
    renamed: ClassVar = {"nut": "collet_nut"}

    power: Power | None = None
    power_is: Literal["input", "output", "unknown"] = "unknown"
    speed: (
        Annotated[
            tuple[Entry, Entry], Several(("spindle_speed", "spindle_speed"), '["8000 rpm", "24000 rpm"]', rising=True)
        ]
        | None
    ) = None
    switched_by: Literal["hand", "program", "unknown"] = "unknown"
    speed_by: Literal["dial", "program", "unknown"] = "unknown"
    spin_up: Annotated[Entry, Amount("spin_up")] | None = None
    collet_nut: _Nut | None = None
    body: _Body | None = None
    shoe: _Shoe | None = None

    def more(self, at: Place) -> dict[str, Any]:
        """Return the two ends of the speed."""
        return each_keyed(("slowest_rpm", "fastest_rpm"), self.speed, (*at, "speed"))


class _Estop(Table):
    """``[estop]``: what the emergency stop does."""

    makes = records.EmergencyStop

    cuts: list[Literal["spindle", "motors"]] | None = None
    holds_z: bool | None = None
    hardwired: bool | None = None


class _Calibration(Table):
    """``[calibration]`` by a timed slot. The name of its job is no part of the record."""

    makes = records.Calibration

    idle_power: Meter
    cut_power: Meter
    cut_job: Annotated[str, Words("slot-in-oak.toml", is_file=True)]


class _Connector(Table):
    """``[connector]`` of the control."""

    makes = records.Connector

    name: Annotated[str, Words("own board")]
    outputs: list[Pin]
    inputs: list[Pin]
    ground: list[Pin]


class _Wire(Table):
    """``[[wiring]]``."""

    makes = records.Wire

    signal: Annotated[str, Words("x step")]
    pin: Pin


class _Motor(Table):
    """``[axes.x.motor]``."""

    makes = records.Motor

    steps_per_turn: Annotated[int, Count(4, 10000, 200)] | None = None
    holding_torque: Torque | None = None
    rated_current: Current | None = None
    resistance: Annotated[Entry, Amount("resistance")] | None = None
    inductance: Annotated[Entry, Amount("inductance")] | None = None
    rotor_inertia: Annotated[Entry, Amount("rotor_inertia")] | None = None
    detent_torque: Torque | None = None


class _Driver(Table):
    """``[axes.x.driver]``."""

    makes = records.Driver

    microsteps: Annotated[int, Count(1, 1024, 8)] | None = None
    current: Current | None = None
    current_is: Literal["peak", "rms", "unknown"] = "unknown"
    max_voltage: Voltage | None = None
    pulse_min: PulseTime | None = None
    direction_setup: PulseTime | None = None
    idle_current: Annotated[Entry, Amount("idle_current")] | None = None


class _Collar(Table):
    """``collar`` of a screw."""

    makes = records.Collar

    diameter: ScrewSize
    friction: Friction


class _Drive(Table):
    """``[axes.x.drive]``: a screw, a belt or a rack."""

    makes = records.Drive
    not_both = (("tooth_pitch", "module"),)

    kind: Literal["screw", "belt", "rack"]
    pitch: Pitch | None = None
    starts: Annotated[int, Count(1, 20, 1)] | None = None
    lead: Pitch | None = None
    thread: Literal["ball", "trapezoidal", "acme", "square", "unknown"] = "unknown"
    diameter: ScrewSize | None = None
    root_diameter: ScrewSize | None = None
    span: Annotated[Entry, Amount("span")] | None = None
    ends: Literal["fixed-fixed", "fixed-simple", "simple-simple", "fixed-free", "unknown"] = "unknown"
    friction: Friction | None = None
    collar: _Collar | None = None
    reduction: Annotated[Entry, Amount("reduction")] = guessed("reduction")
    nut: Literal["plain", "sprung", "preloaded", "unknown"] = "unknown"
    spring_force: Spring | None = None
    nut_stiffness: Stiffness | None = None
    bearing_stiffness: Stiffness | None = None
    counterbalance: Spring | None = None
    brake: bool | None = None
    tooth_pitch: Pitch | None = None
    module: Pitch | None = None
    teeth: Annotated[int, Count(3, 1000, 20)] | None = None

    @field_validator("lead")
    @classmethod
    def _fits(cls, lead: Entry | None, info: ValidationInfo) -> Entry | None:
        pitch, starts = info.data.get("pitch"), info.data.get("starts")
        if lead and pitch and starts and abs(lead.quantity.value / (pitch.quantity.value * starts) - 1) > ROUNDING:
            raise RefusedError(Fault("is not pitch times starts", "write the lead alone, or pitch and starts alone"))
        return lead

    @field_validator("diameter")
    @classmethod
    def _is_cut_in(cls, diameter: Entry | None, info: ValidationInfo) -> Entry | None:
        pitch, thread = info.data.get("pitch"), info.data.get("thread")
        if diameter and pitch and thread in CUT and 2 * pitch.quantity.value >= diameter.quantity.value:
            write = "if the pitch is really the lead, write it as lead and leave pitch and starts out"
            raise RefusedError(Fault("is too small for such a pitch: no thread would be left", write))
        return diameter

    @field_validator("root_diameter")
    @classmethod
    def _is_inside(cls, root: Entry | None, info: ValidationInfo) -> Entry | None:
        return below(root, info.data.get("diameter"), "diameter")

    def unused(self) -> dict[str, str]:
        """Return the keys that belong to other kinds of drive."""
        why = f"says nothing of a {self.kind}"
        return {key: why for key in NOT_ON[self.kind] if key in self.model_fields_set}

    def more(self, at: Place) -> dict[str, Any]:
        """Return the lead, from pitch and starts where it is not given."""
        if self.lead or not (self.pitch and self.starts) or self.kind != "screw":
            return {}
        return {"lead_mm": _scaled(keyed(self.pitch, (*at, "pitch")), self.starts)}


class _Axis(Table):
    """``[axes.x]``; ``like`` has been followed before."""

    makes = records.Axis
    one_of = (("travel", "range"),)
    not_both = (("steps_per_mm", "steps_per_inch"),)

    travel: Annotated[Entry, Amount("travel")] | None = None
    range: (
        Annotated[tuple[Entry, Entry], Several(("axis_end", "axis_end"), '["-820 mm", "0 mm"]', rising=True)] | None
    ) = None
    speed: Annotated[Entry, Amount("axis_speed")]
    acceleration: Annotated[Entry, Amount("acceleration")]
    steps_per_mm: Annotated[Entry, Amount("steps_per_mm")] | None = None
    steps_per_inch: Annotated[Entry, Amount("steps_per_inch")] | None = None
    moving_mass: Annotated[Entry, Amount("moving_mass")] | None = None
    drag: Annotated[Entry, Amount("drag")] | None = None
    motors: Annotated[int, Count(1, 4, 2)] = 1
    homes_to: Literal["minus", "plus", "none", "unknown"] = "unknown"
    cutting_allowance: Annotated[Entry, Amount("allowance")] | None = None
    like: Literal["x", "y", "z"] | None = None
    motor: _Motor | None = None
    driver: _Driver | None = None
    drive: _Drive | None = None

    def more(self, at: Place) -> dict[str, Any]:
        """Return the name, the travel of a range, and steps for each mm from steps for each inch."""
        values: dict[str, Any] = {"name": at[-1], "range_mm": self.range and values_of(self.range)}
        if self.range:
            low, high = (end.quantity for end in self.range)
            values["travel_mm"] = Quantity(
                value=high.value - low.value,
                low=high.low - low.high,
                high=high.high - low.low,
                origin=high.origin if high.origin is low.origin else Origin.GUESSED,
                key=key_text((*at, "range")),
            )
        if self.steps_per_inch:
            values["steps_per_mm"] = _scaled(keyed(self.steps_per_inch, (*at, "steps_per_inch")), 1 / MM_PER_INCH)
        return values


class _Axes(Table):
    """``[axes]``."""

    x: _Axis
    y: _Axis
    z: _Axis


class MachineFile(Table):
    """A machine card."""

    machine: _General
    control: _Control = Field(default_factory=_Control)
    supply: _Supply | None = None
    spindle: _Spindle = Field(default_factory=_Spindle)
    estop: _Estop | None = None
    calibration: _Calibration | None = None
    connector: _Connector | None = None
    wiring: list[_Wire] = Field(default_factory=list)
    axes: _Axes


def machine_of(card: MachineFile, notes: list[Note]) -> records.Machine:
    """Return the record of a machine card, and add remarks to ``notes``."""

    def inner(key: str) -> Any:  # noqa: ANN401 - whatever the table makes
        return finished(getattr(card, key), (key,), notes)

    general = card.machine
    return records.Machine(
        name=general.name,
        units=general.units,
        spoilboard_mm=finished(general.spoilboard, ("machine", "spoilboard"), notes),
        spoilboard_map=map_of(general.spoilboard_map),
        control=inner("control"),
        supply=inner("supply"),
        spindle=inner("spindle"),
        estop=inner("estop"),
        calibration=inner("calibration"),
        connector=inner("connector"),
        wiring=inner("wiring"),
        axes={axis: record_of(getattr(card.axes, axis), ("axes", axis), notes) for axis in records.AXES},
    )


def map_of(rows: list[tuple[Entry, Entry, Entry]]) -> tuple[records.MapPoint, ...]:
    """Return the points of a map of heights or thicknesses."""
    return tuple(records.MapPoint(x_mm=x, y_mm=y, value_mm=value) for x, y, value in map(values_of, rows))


def below(inner: Entry | None, outer: Entry | None, name: str) -> Entry | None:
    """Return a size that must be smaller than another, or raise RefusedError."""
    if inner and outer and inner.quantity.value >= outer.quantity.value:
        raise RefusedError(Fault(f"is not smaller than {name}", f"check it, and {name}"))
    return inner


def values_of(entries: Iterable[Entry]) -> tuple[float, ...]:
    """Return the bare values."""
    return tuple(entry.quantity.value for entry in entries)


def _scaled(quantity: Quantity, factor: float) -> Quantity:
    return replace(quantity, value=quantity.value * factor, low=quantity.low * factor, high=quantity.high * factor)

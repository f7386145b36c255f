"""The parts of one axis as plain numbers, at a corner of their bands.

Every number of the card comes with its limits, and what is not on the card is guessed wide. A result
that rises or falls steadily with each of them is a band: its value at the worst and at the best corner.
"""

from dataclasses import dataclass, fields, replace
from enum import Enum
from typing import Literal

from cutworthy.model.machine import Axis, Drive, Driver, Machine, Motor
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.reference import drives
from cutworthy.reference.tables import Default, default
from cutworthy.settings.motor import peak_current_a
from cutworthy.settings.screw import Thread, half_angle_rad, mean_diameter_mm, root_band_mm

__all__ = ["Corner", "Parts", "Screw", "parts_of", "pick"]

Worse = Literal["less", "more"]
FULL_STEPS_A_TOOTH = 4  # a rotor of 50 teeth makes 200 steps a turn
STEPS_PER_TURN = 200  # nearly every motor of this trade; common practice, no source
THREADS: tuple[drives.ThreadKind, ...] = ("trapezoidal", "acme", "square", "ball")
CUT_THROUGH = 0.45  # of the diameter: with a coarser pitch hardly a root is left
COARSEST = 0.25  # of the diameter: a pitch that nobody told is taken to be no coarser


class Corner(Enum):
    """Which end of their bands the numbers are taken at.

    ``CAUTIOUS`` and ``HOPEFUL`` take what stands on the card as it is, and only our own guesses at
    their worse or better end: a label is believed, a guess is not. ``WARY`` is ``CAUTIOUS`` with what
    the owner guessed at its worse end too.
    """

    ENTERED = "entered"
    WORST = "worst"
    BEST = "best"
    CAUTIOUS = "cautious"
    HOPEFUL = "hopeful"
    WARY = "wary"


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A screw's sizes; ``ends`` as on the card, or at each corner where the card does not say."""

    thread: drives.FrictionKind
    pitch_mm: float
    diameter: Quantity
    root: Quantity
    span: Quantity
    friction: Quantity
    ends: drives.EndsKind | Literal["unknown"]

    @property
    def form(self) -> drives.ThreadKind:
        """The form to reckon with; unknown is taken as trapezoidal, the commonest on plain screws."""
        return "trapezoidal" if self.thread == "unknown" else self.thread


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """All numbers of one axis, whether from the card or guessed; ``guessed`` names the latter by key."""

    axis: Axis
    drive: Drive | None
    steps_per_turn: int
    microsteps: int | None
    holding_torque: Quantity
    rated_current: Quantity
    current: Quantity
    current_is: Literal["peak", "rms", "unknown"]
    resistance: Quantity
    inductance: Quantity
    rotor_inertia: Quantity
    detent_torque: Quantity
    voltage: Quantity
    pulse_rate: Quantity
    pulse_min: Quantity
    mass: Quantity
    drag: Quantity
    cutting_allowance: Quantity
    counterbalance: Quantity
    reduction: Quantity | None
    screw: Screw | None

    @property
    def rotor_teeth(self) -> int:
        """Teeth of the rotor: a quarter of the full steps a turn."""
        return self.steps_per_turn // FULL_STEPS_A_TOOTH

    def thread(self, friction: float) -> Thread | None:
        """Return the thread of a screw with a known lead at a friction, None for belts and racks."""
        drive, sizes = self.drive, self.screw
        if drive is None or sizes is None or drive.lead_mm is None:
            return None
        kind = sizes.form
        return Thread(
            lead_mm=drive.lead_mm.value,
            mean_diameter_mm=mean_diameter_mm(kind, sizes.diameter.value, sizes.pitch_mm),
            half_angle_rad=half_angle_rad(kind),
            friction=friction,
        )

    @property
    def guessed(self) -> tuple[str, ...]:
        """The keys of the numbers and words that are not on the card and matter here."""
        open_ones = [number for number in _numbers(self) if not number.stated and number.low < number.high]
        falls, own = self.axis.name == "z", f"axes.{self.axis.name}"
        keys = [number.key for number in open_ones if falls or number is not self.detent_torque]
        sizes = self.screw
        words = {
            "motor.steps_per_turn": self.axis.motor is None or self.axis.motor.steps_per_turn is None,
            "driver.current_is": self.current_is == "unknown",
            "drive.thread": sizes is not None and sizes.thread == "unknown",
            "drive.ends": sizes is not None and sizes.ends == "unknown",
        }
        return (*keys, *(f"{own}.{key}" for key, is_open in words.items() if is_open))

    def peak_a(self, corner: Corner) -> float:
        """Return the peak current of a phase [A]; unsaid, an entered current is the weaker: the peak."""
        unsaid_rms = self.current_is == "unknown" and corner in (Corner.BEST, Corner.HOPEFUL)
        meaning: Literal["peak", "rms"] = "rms" if self.current_is == "rms" or unsaid_rms else "peak"
        return peak_current_a(pick(self.current, "less", corner), meaning)

    def ends(self, corner: Corner) -> drives.EndsKind:
        """Return how the screw's ends are held; simply on both sides where nobody knows."""
        assert self.screw is not None
        if self.screw.ends != "unknown":
            return self.screw.ends
        if corner in (Corner.WORST, Corner.CAUTIOUS, Corner.WARY):
            return "fixed-free"
        return "fixed-fixed" if corner in (Corner.BEST, Corner.HOPEFUL) else "simple-simple"


def pick(number: Quantity, worse: Worse, corner: Corner) -> float:
    """Return a number at a corner; ``worse``: whether less or more of it is worse for the owner."""
    match corner:
        case Corner.ENTERED:
            return number.value
        case Corner.CAUTIOUS | Corner.HOPEFUL if number.stated:
            return number.value
        case Corner.WARY if not number.is_guess:
            return number.value
        case Corner.WORST | Corner.CAUTIOUS | Corner.WARY:
            return number.low if worse == "less" else number.high
        case _:
            return number.high if worse == "less" else number.low


def parts_of(machine: Machine, axis: Axis) -> Parts:
    """Return the parts of an axis, with our guesses where the card does not say."""
    motor, driver, drive, supply = axis.motor or NO_MOTOR, axis.driver or NO_DRIVER, axis.drive, machine.supply
    own = f"axes.{axis.name}"
    rated = motor.rated_current_a or _rated(driver, f"{own}.motor.rated_current")
    return Parts(
        axis=axis,
        drive=drive,
        steps_per_turn=motor.steps_per_turn or STEPS_PER_TURN,
        microsteps=driver.microsteps,
        holding_torque=motor.holding_torque_n_m or _guess("holding_torque", f"{own}.motor.holding_torque"),
        rated_current=rated,
        current=driver.current_a or _guess("set_current_share", f"{own}.driver.current", rated.value),
        current_is=driver.current_is if driver.current_a else "peak",
        resistance=motor.resistance_ohm or _guess("resistance", f"{own}.motor.resistance"),
        inductance=motor.inductance_h or _guess("inductance", f"{own}.motor.inductance"),
        rotor_inertia=motor.rotor_inertia_kg_m2 or _guess("rotor_inertia", f"{own}.motor.rotor_inertia"),
        detent_torque=motor.detent_torque_n_m or _guess("detent_torque", f"{own}.motor.detent_torque"),
        voltage=(supply and supply.voltage_v) or _guess("supply_voltage", "supply.voltage"),
        pulse_rate=machine.control.pulse_rate_hz or _guess("pulse_rate", "control.pulse_rate"),
        pulse_min=driver.pulse_min_s or _guess("pulse_min", f"{own}.driver.pulse_min"),
        mass=axis.moving_mass_kg or _guess("moving_mass", f"{own}.moving_mass"),
        drag=axis.drag_n or _guess("drag", f"{own}.drag"),
        cutting_allowance=axis.cutting_allowance_n or _guess("cutting_allowance", f"{own}.cutting_allowance"),
        counterbalance=(drive and drive.counterbalance_n) or _guess("counterbalance", f"{own}.drive.counterbalance"),
        reduction=drive.reduction if drive else None,
        screw=_screw(axis, drive) if drive and drive.kind == "screw" else None,
    )


def _rated(driver: Driver, key: str) -> Quantity:
    """Return a guess of the motor's rated current: near what the driver is set to, else anything."""
    if driver.current_a is None:
        return _guess("rated_current", key)
    set_to, share = driver.current_a.value, default("set_current_share")
    return _made(key, replace(share, value=set_to, low=set_to / share.high, high=set_to / share.low))


def _screw(axis: Axis, drive: Drive) -> Screw:
    own, travel = f"axes.{axis.name}.drive", axis.travel_mm
    diameter = drive.diameter_mm or _guess("screw_diameter", f"{own}.diameter")
    if drive.pitch_mm is not None and drive.thread != "ball" and not diameter.stated:
        low = max(diameter.low, drive.pitch_mm.value / CUT_THROUGH)  # a rod is thicker than what is cut into it
        diameter = replace(diameter, low=low, value=max(diameter.value, low), high=max(diameter.high, 2 * low))
    pitch, told = _pitch_mm(drive, diameter.value), drive.pitch_mm and drive.pitch_mm.value
    more = default("span_beyond_travel")
    span = replace(more, value=travel.value + more.value, low=travel.low + more.low, high=travel.high + more.high)
    return Screw(
        thread=drive.thread,
        pitch_mm=pitch,
        diameter=diameter,
        root=drive.root_diameter_mm or _made(f"{own}.root_diameter", _root(drive.thread, diameter, told or pitch)),
        span=drive.span_mm or _made(f"{own}.span", span),
        friction=drive.friction or _made(f"{own}.friction", drives.friction(drive.thread)),
        ends=drive.ends,
    )


def _pitch_mm(drive: Drive, diameter_mm: float) -> float:
    """Return the pitch; of a screw whose starts nobody counted it is the lead, but never a coarse thread.

    Of a thread of unknown form too: what looks coarse may be a lead.
    """
    known = drive.pitch_mm.value if drive.pitch_mm else None
    if known is None and drive.lead_mm is not None and drive.starts is not None:
        known = drive.lead_mm.value / drive.starts
    if known is not None and drive.thread != "unknown":
        return known
    lead = drive.lead_mm.value if drive.lead_mm else diameter_mm
    return min(known or lead, diameter_mm * COARSEST)


def _root(thread: drives.FrictionKind, diameter: Quantity, pitch_mm: float) -> Default:
    """Return the root by the standard of the thread; a screw of unknown form may have the thinnest of all.

    Around a guessed diameter the pitch shrinks with it, so that a root is left.
    """
    kinds: tuple[drives.ThreadKind, ...] = THREADS if thread == "unknown" else (thread,)
    sizes = (diameter.value, diameter.low, diameter.high)
    share = CUT_THROUGH if thread == "unknown" else COARSEST
    bands = [
        root_band_mm(kind, size, pitch_mm if diameter.stated and thread != "unknown" else min(pitch_mm, size * share))
        for kind in kinds
        for size in sizes
    ]
    lows, values, highs = zip(*bands, strict=True)
    return Default(value=values[0], low=min(lows), high=max(highs), source="the standard of the thread")


def _guess(name: str, key: str, times: float = 1.0) -> Quantity:
    row = default(name)
    return _made(key, replace(row, value=row.value * times, low=row.low * times, high=row.high * times))


def _made(key: str, band: Default) -> Quantity:
    return Quantity(value=band.value, low=band.low, high=band.high, origin=Origin.GUESSED, key=key, stated=False)


def _numbers(record: Parts | Screw) -> list[Quantity]:
    found: list[Quantity] = []
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, Quantity):
            found.append(value)
        elif isinstance(value, Screw):
            found += _numbers(value)
    return found


NO_MOTOR = Motor(
    steps_per_turn=None,
    holding_torque_n_m=None,
    rated_current_a=None,
    resistance_ohm=None,
    inductance_h=None,
    rotor_inertia_kg_m2=None,
    detent_torque_n_m=None,
)
NO_DRIVER = Driver(
    microsteps=None,
    current_a=None,
    current_is="unknown",
    max_voltage_v=None,
    pulse_min_s=None,
    direction_setup_s=None,
    idle_current_ratio=None,
)

"""What the parts of a machine allow: the numbers to enter, and what lies behind them."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from cutworthy.model.machine import AxisName, Machine

__all__ = [
    "Answer",
    "AxisSettings",
    "Band",
    "CurvePoint",
    "Fall",
    "Limit",
    "Load",
    "MachineSettings",
    "Power",
    "Push",
    "Pushes",
    "Settled",
    "Slip",
    "Speed",
    "SprungNut",
    "Steps",
    "Torques",
    "WiringRow",
]

Answer = Literal["yes", "no", "unsure"]
Limit = Literal["pulse-rate", "driver-pulse", "whip", "torque", "full-torque"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A number that depends on banded inputs: at their worst corner, as entered, at their best."""

    low: float
    expected: float
    high: float

    def __mul__(self, factor: float) -> "Band":
        """Return the band times a positive factor."""
        return Band(low=self.low * factor, expected=self.expected * factor, high=self.high * factor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """Why a number may be wrong by a ratio: ids of the family that fit, nearest first."""

    ratio: float
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Steps for each millimetre and inch, exact where no pi is in them, and what follows.

    ``rounding_mm``: how far the entry on the card goes wrong over the whole travel, positive when the
    axis goes too far. None where nothing is entered, and beside a slip. ``slip``: the likely mistake
    when the entry does not match the parts.
    """

    per_mm: Fraction | float
    per_inch: Fraction | float
    entered_per_mm: float | None
    resolution_mm: float
    relock_mm: float
    rounding_mm: float | None
    slip: Slip | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Speed:
    """A speed or an acceleration: what is entered, what is advised, the rule that decides.

    ``most``: the fastest that may be entered; ``advised`` is no more than that, and of a speed no more than
    the end of the full torque either. ``limits``: each limit there is, in the same unit. ``cautious``: the
    same where what is not on the card, or was guessed by its owner, is at its worse end. ``guessed``: the
    limits that rest on something that is not on the card.
    """

    entered: float
    most: float | None
    advised: float | None
    ruled_by: str | None
    limits: Mapping[str, float | None]
    cautious: Mapping[str, float | None]
    guessed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What one motor is asked for at the entered acceleration, expected [N·m], by what asks."""

    accelerate_n_m: float
    drag_n_m: float
    cut_n_m: float
    lift_n_m: float

    @property
    def sum_n_m(self) -> float:
        """All of them together."""
        return self.accelerate_n_m + self.drag_n_m + self.cut_n_m + self.lift_n_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Torques:
    """Torque of one motor [N·m] and thrust of the whole axis [N].

    ``cautious_ratio``: torque left at speed, low, over torque needed where every number that is not
    on the card is at its worse end; ``wary_ratio``: with what the owner guessed at its worse end too;
    ``hopeful_ratio``: expected, with what is not on the card at its better end. ``push_n``: thrust of one
    motor, standing, where what is not on the card makes it weak, as entered, and strong.
    ``microstep_n_m``: what a single microstep pulls with; None without a microstep setting.
    """

    standing_n_m: Band
    at_speed_n_m: Band
    needed_n_m: Band
    load: Load
    standing_n: Band
    at_speed_n: Band
    push_n: Band
    wary_ratio: float
    cautious_ratio: float
    hopeful_ratio: float
    microstep_n_m: float | None
    full_torque_rpm: float
    resonance_hz: float
    growl_mm_s: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Push:
    """What one motor of an axis can turn with and what it needs, at one end of the bands.

    ``torque_n_m``: what is counted on, at each of ``speed_mm_s``, which rise. Needed: ``drag_n_m`` and ``lift_n_m``
    always, ``each_n_n_m`` for each newton on the axis, ``each_mm_s2_n_m`` for each mm/s^2 of acceleration.
    """

    speed_mm_s: tuple[float, ...]
    torque_n_m: tuple[float, ...]
    drag_n_m: float
    lift_n_m: float
    each_n_n_m: float
    each_mm_s2_n_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SprungNut:
    """A nut of two halves that a spring holds apart: what it bears at least [N], and what it carries besides the cut.

    ``drag_n`` and ``mass_kg`` of what it moves, ``weight_n`` that hangs on it.
    """

    spring_n: float
    drag_n: float
    mass_kg: float
    weight_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pushes:
    """What an axis can push: what is not on the card or guessed at its worse end, as entered, at its better end.

    ``guessed``: keys that are not on the card, without the axis.
    """

    low: Push
    expected: Push
    high: Push
    nut: SprungNut | None
    guessed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """Whether Z goes down on its own when the power goes.

    ``pull_n_m``: torque with which the weight turns the motor; ``hold_n_m``: what detent and nut hold
    against it. ``seconds``: time for 50 mm once moving, low where it is fastest; None where it holds.
    """

    falls: Answer
    pull_n_m: Band
    hold_n_m: Band
    seconds: Band | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """Torque of one motor at a speed of the axis: the model, the share that is counted on, the need."""

    speed_mm_s: float
    model_n_m: float
    counted_n_m: float
    needed_n_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisSettings:
    """One axis. What cannot be worked out from the card, or does not apply, is None.

    ``guessed``: the keys of numbers that are not on the card and were guessed wide.
    ``smallest_move_mm``: the smallest move that surely happens; ``step_accuracy_mm``, ``lag_mm`` and
    ``lead_error_mm``: what it and the accuracy are made of.
    """

    axis: AxisName
    speed_mm_s: Speed
    acceleration_mm_s2: Speed
    braking_mm: float
    soft_limit_mm: tuple[float, float]
    guessed: tuple[str, ...]
    travel_per_turn_mm: float | None = None
    steps: Steps | None = None
    relock_mm: float | None = None
    smallest_move_mm: Band | None = None
    step_accuracy_mm: float | None = None
    lag_mm: float | None = None
    lead_error_mm: Band | None = None
    torques: Torques | None = None
    pushes: Pushes | None = None
    whip_rpm: Band | None = None
    buckling_n: Band | None = None
    efficiency: Band | None = None
    efficiency_back: Band | None = None
    back_drives: Answer | None = None
    stiffness_n_mm: float | None = None
    fall: Fall | None = None
    curve: tuple[CurvePoint, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """What the supply of the motors must give. ``rule_a``: two thirds of the motor currents."""

    heat_w: float
    mechanical_w: float
    needed_w: float
    needed_a: float
    rule_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringRow:
    """A signal on a pin: which way it goes, and what is wrong with it (``""``: nothing)."""

    signal: str
    pin: int
    direction: Literal["out", "in", "unknown"]
    ok: bool
    why: Literal["", "wrong-direction", "used-twice", "no-such-pin", "ground-pin", "unknown-signal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineSettings:
    """All axes, the supply and the wiring of a machine. ``power`` is None without a single motor label."""

    axes: Mapping[AxisName, AxisSettings]
    power: Power | None
    wiring: tuple[WiringRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A machine with what its parts allow: what the rules about a machine look at."""

    machine: Machine
    settings: MachineSettings

"""What the motor of an axis can do and what it is asked for, at one corner of the parts' bands."""

from collections.abc import Iterable
from dataclasses import dataclass

from cutworthy.model.quantity import Quantity
from cutworthy.model.settings import Load
from cutworthy.reference.tables import limit
from cutworthy.settings import inertia, motor, screw, shaft
from cutworthy.settings.parts import Corner, Parts, pick
from cutworthy.settings.travel import motor_rpm
from cutworthy.units import MM_PER_M, STANDARD_GRAVITY

__all__ = ["Drawn", "belt_efficiency", "drawn", "lift_n", "windings_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One axis at one corner: torques of one motor, efficiencies of the thread alone.

    ``windings``: those that the motor may have; ``worst``: whether the worst or the best of them counts.
    ``collar_n_m_n``: torque that the thrust bearing takes for each newton of thrust.
    """

    windings: tuple[motor.Winding, ...]
    worst: bool
    voltage_v: float
    travel_per_turn_mm: float
    motors: int
    efficiency: float
    efficiency_back: float
    turning_inertia_kg_m2: float
    mass_kg: float
    load: Load
    collar_n_m_n: float

    @property
    def standing_n_m(self) -> float:
        """Torque with the set current, hardly turning."""
        return self.of_all(motor.standing_torque_n_m(winding) for winding in self.windings)

    def of_all(self, results: Iterable[float]) -> float:
        """Return the least or the greatest of what the windings give, by the corner."""
        return min(results) if self.worst else max(results)

    @property
    def winding(self) -> motor.Winding:
        """The winding as entered, where there is one only."""
        (winding,) = self.windings
        return winding

    @property
    def full_torque_rpm(self) -> float:
        """The last speed with the whole current in the winding."""
        return self.of_all(motor.full_torque_rpm(winding, self.voltage_v) for winding in self.windings)

    def rpm(self, speed_mm_s: float) -> float:
        """Return the motor's turns a minute at a speed of the axis [mm/s]."""
        return motor_rpm(speed_mm_s, self.travel_per_turn_mm)

    def speed_mm_s(self, rpm: float) -> float:
        """Return the speed of the axis [mm/s] at the motor's turns a minute."""
        return rpm / 60 * self.travel_per_turn_mm

    def model_n_m(self, speed_mm_s: float) -> float:
        """Return the ideal pull-out torque [N·m] at a speed of the axis [mm/s]."""
        rpm = self.rpm(speed_mm_s)
        return self.of_all(motor.torque_n_m(winding, self.voltage_v, rpm) for winding in self.windings)

    def fastest_mm_s(self, needed_n_m: float, share: float) -> float:
        """Return the fastest speed [mm/s] up to which a share of the torque is what is needed [N·m]."""
        return self.speed_mm_s(
            self.of_all(motor.fastest_rpm(winding, self.voltage_v, needed_n_m, share) for winding in self.windings)
        )

    def thrust_n(self, torque_n_m: float) -> float:
        """Return the thrust [N] of the whole axis at its nuts for a torque of each motor [N·m]."""
        each = inertia.thrust_n(torque_n_m, self.travel_per_turn_mm, self.efficiency)
        return self.motors * each / (1 + each / torque_n_m * self.collar_n_m_n) if torque_n_m else 0.0

    def torque_n_m(self, force_n: float) -> float:
        """Return the torque of each motor [N·m] that pushes the whole axis with a force [N]."""
        share = force_n / self.motors
        return inertia.thrust_torque_n_m(share, self.travel_per_turn_mm, self.efficiency) + share * self.collar_n_m_n

    @property
    def inertia_kg_m2(self) -> float:
        """All that one motor turns: rotor, screw and its share of what moves."""
        carried = inertia.carried_inertia_kg_m2(self.mass_kg / self.motors, self.travel_per_turn_mm)
        return self.turning_inertia_kg_m2 + carried


def windings_of(parts: Parts, corner: Corner) -> tuple[motor.Winding, ...]:
    """Return the windings that an axis' motor may have at a corner, as its driver feeds them.

    More flux gives more torque standing and less of it fast, and beyond the corner speed more inductance
    can even help. Which end of these two is worse depends on the speed, so both ends of each are taken,
    and whoever asks takes the worst, or the best, of them.
    """
    resistance = pick(parts.resistance, "more", corner)
    # However high it is set, a driver pushes no more than the supply can through the coil.
    peak = min(parts.peak_a(corner), pick(parts.voltage, "less", corner) / resistance)
    least = limit("least_current").value
    return tuple(
        motor.Winding(
            flux_wb=motor.flux_wb(holding, max(rated, least), parts.rotor_teeth),
            rotor_teeth=parts.rotor_teeth,
            resistance_ohm=resistance,
            inductance_h=inductance,
            peak_a=peak,
        )
        for holding in _both(parts.holding_torque, corner)
        for rated in _both(parts.rated_current, corner)
        for inductance in _both(parts.inductance, corner)
    )


def _both(number: Quantity, corner: Corner) -> tuple[float, ...]:
    """Return both ends of a number that a corner moves, else the one value it has there."""
    ends = pick(number, "less", corner), pick(number, "more", corner)
    return tuple(dict.fromkeys(ends))


def lift_n(parts: Parts, corner: Corner) -> float:
    """Return the force that Z has to lift, or to hold down where it is carried by more than its weight [N]."""
    if parts.axis.name != "z":
        return 0.0
    pulls = [
        mass * STANDARD_GRAVITY - carried
        for mass in _both(parts.mass, corner)
        for carried in _both(parts.counterbalance, corner)
    ]
    if corner not in (Corner.BEST, Corner.HOPEFUL):
        return max(map(abs, pulls))
    return 0.0 if min(pulls) < 0 < max(pulls) else min(map(abs, pulls))


def drawn(parts: Parts, travel_per_turn_mm: float, corner: Corner) -> Drawn:
    """Return an axis at a corner of its bands."""
    axis, sizes = parts.axis, parts.screw
    thread = parts.thread(pick(sizes.friction, "more", corner)) if sizes else None
    efficiency, back = _efficiencies(thread)
    mass = pick(parts.mass, "more", corner)
    turning = pick(parts.rotor_inertia, "more", corner) + _screw_inertia(parts, corner)
    collar = _collar(parts, corner)

    def torque(force_n: float) -> float:
        share = force_n / axis.motors
        return inertia.thrust_torque_n_m(share, travel_per_turn_mm, efficiency) + share * collar

    acceleration = pick(axis.acceleration_mm_s2, "more", corner)
    spinning = turning * inertia.angular_acceleration(acceleration, travel_per_turn_mm)
    load = Load(
        accelerate_n_m=spinning + torque(mass * acceleration / MM_PER_M),
        drag_n_m=torque(pick(parts.drag, "more", corner)),
        cut_n_m=torque(pick(parts.cutting_allowance, "more", corner)),
        lift_n_m=torque(lift_n(parts, corner)),
    )
    return Drawn(
        windings=windings_of(parts, corner),
        worst=corner not in (Corner.BEST, Corner.HOPEFUL),
        voltage_v=pick(parts.voltage, "less", corner),
        travel_per_turn_mm=travel_per_turn_mm,
        motors=axis.motors,
        efficiency=efficiency,
        efficiency_back=back,
        turning_inertia_kg_m2=turning,
        mass_kg=mass,
        load=load,
        collar_n_m_n=collar,
    )


def belt_efficiency() -> float:
    """Return the efficiency of belts and racks, either way; common practice, no source."""
    return limit("belt_efficiency").value


def _efficiencies(thread: screw.Thread | None) -> tuple[float, float]:
    """Return the efficiency from turning to pushing and from pushing to turning; belts and racks by custom."""
    if thread is None:
        return belt_efficiency(), belt_efficiency()
    # A thread so steep and dry that it jams still has numbers, which then refuse every speed.
    return max(screw.efficiency(thread), limit("least_efficiency").value), screw.efficiency_back(thread)


def _screw_inertia(parts: Parts, corner: Corner) -> float:
    """Return the screw's inertia as the motor feels it [kg·m^2]; belts and racks have little, left out.

    The rod is as thick as the mean of major and root diameter.
    """
    sizes = parts.screw
    if sizes is None or parts.reduction is None:
        return 0.0
    thick = (pick(sizes.diameter, "more", corner) + pick(sizes.root, "more", corner)) / 2
    rod = inertia.rod_inertia_kg_m2(thick, pick(sizes.span, "more", corner), shaft.steel().density_kg_m3)
    return rod / parts.reduction.value**2


def _collar(parts: Parts, corner: Corner) -> float:
    """Return the torque at the motor [N·m] that the thrust bearing takes for each newton of thrust."""
    drive = parts.drive
    if drive is None or drive.collar is None:
        return 0.0
    collar = drive.collar
    own = screw.collar_torque_n_m(1.0, pick(collar.diameter_mm, "more", corner), pick(collar.friction, "more", corner))
    return own / drive.reduction.value

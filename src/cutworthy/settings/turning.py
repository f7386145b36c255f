"""How far an axis goes for a turn of its motor, and the steps to enter."""

from fractions import Fraction

from cutworthy.model.machine import Drive
from cutworthy.model.quantity import Quantity
from cutworthy.model.settings import Steps
from cutworthy.settings import travel
from cutworthy.settings.parts import Parts
from cutworthy.settings.ratios import Context, name_ratio

__all__ = ["entry_of", "travel_per_turn"]

SAME = 1e-9  # of the entry: less is the rounding of the number itself


def travel_per_turn(drive: Drive | None) -> Fraction | float | None:
    """Return the travel for a turn of the motor [mm], exact unless pi is in it; None where the card does not say."""
    match drive:
        case Drive(kind="screw", lead_mm=Quantity() as lead):
            whole = travel.exact(lead.value)
            if drive.pitch_mm is not None and drive.starts is not None:
                whole = travel.exact(drive.pitch_mm.value) * drive.starts
            return travel.screw_travel_mm(whole, drive.reduction.value)
        case Drive(kind="belt" | "rack", tooth_pitch_mm=Quantity() as pitch, teeth=int() as teeth):
            return travel.belt_travel_mm(pitch.value, teeth, drive.reduction.value)
        case Drive(kind="rack", module_mm=Quantity() as module, teeth=int() as teeth):
            return travel.rack_travel_mm(module.value, teeth, drive.reduction.value)
        case _:
            return None


def entry_of(parts: Parts, turn_mm: Fraction | float) -> Steps | None:
    """Return the steps to enter, and what is wrong with those entered; None without a microstep setting."""
    if parts.microsteps is None:
        return None
    axis = parts.axis
    per_mm = travel.steps_per_mm(parts.steps_per_turn, parts.microsteps, turn_mm)
    entered = axis.steps_per_mm.value if axis.steps_per_mm else None
    slip = None if entered is None else name_ratio(entered, float(per_mm), context=_context(parts))
    rounding = None
    if entered is not None and slip is None:
        off = abs(entered / float(per_mm) - 1) > SAME
        rounding = travel.rounding_error_mm(entered, per_mm, axis.travel_mm.value) if off else 0.0
    return Steps(
        per_mm=per_mm,
        per_inch=travel.steps_per_inch(parts.steps_per_turn, parts.microsteps, turn_mm),
        entered_per_mm=entered,
        resolution_mm=travel.resolution_mm(per_mm),
        relock_mm=travel.relock_mm(turn_mm, parts.steps_per_turn),
        rounding_mm=rounding,
        slip=slip,
    )


def _context(parts: Parts) -> Context:
    """Return what of the drive can be taken for something else."""
    drive = parts.drive
    assert drive is not None
    return Context(
        starts=drive.starts,
        reduction=drive.reduction.value,
        teeth=drive.teeth,
        microsteps=parts.microsteps,
        steps_per_turn=parts.steps_per_turn,
    )

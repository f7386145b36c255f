"""Proof loads: what an axis has carried without losing its place."""

from cutworthy.errors import ReadingsError
from cutworthy.metrology.sitting import Sitting
from cutworthy.model.result import Extreme, MeasureOutcome
from cutworthy.reference.tables import limit
from cutworthy.units import STANDARD_GRAVITY

__all__ = ["proof_load"]

HALF = 0.5


def proof_load(sitting: Sitting) -> MeasureOutcome:
    """Return the greatest weight that an axis carried, as a force that it has for sure.

    Raises
    ------
    ReadingsError
        When a weight is heavier than is safe to hang, or more than half of what the axis is predicted to push with:
        a test is to prove, not to break.
    """
    mass, held = sitting.column("mass"), sitting.words("held")
    heaviest, most = float(mass.max()), limit("proof_mass").value
    if heaviest > most:
        msg = f"proof-load: {heaviest:g} kg hung on a cord is not safe; hang no more than {most:g} kg"
        raise ReadingsError(msg)
    if sitting.thrust_n is not None and heaviest * STANDARD_GRAVITY > HALF * sitting.thrust_n:
        msg = (
            f"proof-load: {heaviest:g} kg pull with {heaviest * STANDARD_GRAVITY:.0f} N, more than half of the "
            f"{sitting.thrust_n:.0f} N that this axis is predicted to have; hang less: it is to prove, not to break"
        )
        raise ReadingsError(msg)
    carried = [own for own, word in zip(mass.tolist(), held, strict=True) if word == "yes"]
    lost = [own for own, word in zip(mass.tolist(), held, strict=True) if word == "no"]
    force = max(carried, default=0.0) * STANDARD_GRAVITY
    return MeasureOutcome(
        kind="proof-load",
        axis=sitting.axis,
        results={"thrust_at_least_n": Extreme(value=force, noise=0.0, unit="N")},
        decision="adjust" if lost else "leave",
        case="lost" if lost else "carried",
        numbers={"lost_kg": min(lost, default=0.0)},
    )

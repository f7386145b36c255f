"""Ways along an axis: the scale, the lost motion, how it gets to its places."""

from functools import partial

import numpy as np

from cutworthy.errors import ReadingsError
from cutworthy.metrology.positioning import positioning
from cutworthy.metrology.sitting import Sitting, noise_of
from cutworthy.metrology.uncertainty import Part, combined, least_squares, mean_of, scaled
from cutworthy.model.columns import Floats
from cutworthy.model.result import Decision, Extreme, Measured, MeasureOutcome
from cutworthy.reference.tables import limit

__all__ = ["positions", "reversal", "scale"]

PPM = 1e6
CLEARLY = 2.0  # times the uncertainty of one place, by which a nut under a pull gives way


def scale(sitting: Sitting) -> MeasureOutcome:
    """Return how much too far or too short an axis goes: deviation = offset + scale x length, only the slope is scale.

    Readings from both sides get an offset each: what parts them is lost motion, and no scale. The instrument's own
    error counts over the whole span.
    """
    sitting.need(3, "two lengths at least, one of them twice")
    commanded, deviation = sitting.column("commanded"), sitting.column("measured") - sitting.column("commanded")
    span = float(np.ptp(commanded))
    if span <= 0:
        return MeasureOutcome(kind="scale", axis=sitting.axis, results={}, decision="repeat", case="one-length")
    sides = np.array(sitting.words("from"))
    columns = [(sides == side).astype(np.float64) for side in sorted(set(sides.tolist()))]
    design = np.stack([*columns, commanded], axis=1)
    if len(commanded) <= design.shape[1]:
        sitting.need(design.shape[1] + 1, "one more than there are unknown numbers")
    if odd := sitting.odd(design, deviation):
        return odd
    fit = least_squares(design, deviation, sitting.least_mm)
    last, longest = design.shape[1] - 1, float(np.abs(commanded).max())
    slope = combined(float(fit.values[last]), [fit.part(last), sitting.common(1 / span, longest)], "")
    offset = combined(float(fit.values[0]), [fit.part(0), sitting.common(1.0)], "mm")
    found = scaled(slope, PPM, "ppm")
    family = abs(slope.value) > limit("scale_family").value
    decision: Decision = "adjust" if family else "change" if slope.is_clear_of_zero else "leave"
    case = "family" if family else "clear" if slope.is_clear_of_zero else "leave-it"
    steps = sitting.steps_per_mm
    enter = {}
    if decision == "change" and steps is not None:
        enter["steps_per_mm"] = steps / (1 + slope.value)
    return MeasureOutcome(
        kind="scale",
        axis=sitting.axis,
        results={"scale_ppm": found, "offset_mm": offset},
        decision=decision,
        case=case,
        numbers={"span_mm": span, "instrument": sitting.instrument.name},
        enter=enter,
    )


def reversal(sitting: Sitting) -> MeasureOutcome:
    """Return the lost motion: what an indicator reads from one side less from the other, without a pull.

    Under a pull a sprung nut gives way at once when its spring is beaten: a threshold, no slope. It lies between the
    last pull that it bore and the first that it did not.
    """
    sitting.need(3, "five at three places tell more")
    apart = sitting.column("from_plus") - sitting.column("from_minus")
    pull = np.nan_to_num(sitting.column("pull"))
    free = apart[pull == 0]
    if len(free) < 2:  # noqa: PLR2004 - scatter needs two
        msg = "reversal: at least two readings are needed without a pull; leave their pull empty"
        raise ReadingsError(msg)
    if odd := sitting.odd(np.ones((len(free), 1)), free, np.flatnonzero(pull == 0)):
        return odd
    mean, scatter = mean_of(free, sitting.least_mm * 2**0.5)
    turned = 1.0 if mean >= 0 else -1.0
    lost = combined(abs(mean), [scatter, sitting.common(1.0, abs(mean))], "mm")
    results: dict[str, Measured | Extreme] = {"lost_motion_mm": lost}
    spring = _gives_way(apart * turned, pull, lost, sitting)
    if spring is not None:
        results["spring_force_n"] = spring
    most = limit("lost_motion_most").value
    decision: Decision = "adjust" if lost.low > most else "repeat" if lost.high > most else "leave"
    case = {"adjust": "much", "repeat": "unsure", "leave": "little"}[decision]
    return MeasureOutcome(
        kind="reversal",
        axis=sitting.axis,
        results=results,
        decision=decision,
        case=case,
        numbers={"most_mm": most, "spring": "" if spring is None else "yes"},
    )


def _gives_way(apart: Floats, pull: Floats, lost: Measured, sitting: Sitting) -> Measured | None:
    """Return the pull at which the nut gives way [N], None where it never does."""
    scatter = max(float(np.std(apart[pull == 0], ddof=1)), sitting.least_mm)
    bore = 0.0
    for force in np.unique(pull[pull > 0]).tolist():
        more = float(apart[pull == force].mean()) - lost.value
        if more > CLEARLY * scatter + limit("give_way").value:
            return combined((bore + force) / 2, [Part(weight=1.0, u=(force - bore) / 12**0.5)], "N")
        bore = force
    return None


def positions(sitting: Sitting) -> MeasureOutcome:
    """Return the results of ISO 230-2:2014 of an axis."""
    sitting.need(10, "five targets from both sides at least")
    targets, sides = sitting.column("target"), np.array(sitting.words("from"))
    deviation = sitting.column("deviation")
    places = np.unique(targets)
    counts = {(place, side): int(((targets == place) & (sides == side)).sum()) for place in places for side in "-+"}
    if len(set(counts.values())) != 1 or min(counts.values()) == 0:
        msg = (
            f"positioning: targets have {min(counts.values())} to {max(counts.values())} runs a side; each needs as "
            "many as the others, from - and from +"
        )
        raise ReadingsError(msg)

    def rows(side: str, of: Floats) -> Floats:
        return np.stack([of[(targets == place) & (sides == side)] for place in places])

    found = positioning(rows("-", deviation), rows("+", deviation))
    names = {
        "B_mm": "reversal", "B_mean_mm": "mean_reversal", "R_plus_mm": "repeat_plus", "R_minus_mm": "repeat_minus",
        "R_mm": "repeat", "E_plus_mm": "systematic_plus", "E_minus_mm": "systematic_minus", "E_mm": "systematic",
        "M_mm": "mean_deviation", "A_plus_mm": "accuracy_plus", "A_minus_mm": "accuracy_minus", "A_mm": "accuracy",
    }  # fmt: skip

    def of(own: str, noisy: Floats) -> float:
        return abs(float(getattr(positioning(rows("-", noisy), rows("+", noisy)), own)))

    results: dict[str, Measured | Extreme] = {}
    for name, own in names.items():
        value = getattr(found, own)
        if value is None:
            continue
        noise = noise_of(partial(of, own), len(deviation), max(sitting.instrument.each_mm, sitting.least_mm))
        results[name] = Extreme(value=value, noise=noise, unit="mm")
    return MeasureOutcome(kind="positioning", axis=sitting.axis, results=results, decision="leave", case="iso")

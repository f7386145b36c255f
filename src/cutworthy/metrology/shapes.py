"""Angles and forms: squareness, lean, flatness, circles, runout."""

import math
from collections.abc import Callable, Mapping
from functools import partial

import numpy as np

from cutworthy.errors import ReadingsError
from cutworthy.metrology.angles import lean, square_by_diagonals_rad, square_by_flip_rad, u_square_by_diagonals_rad
from cutworthy.metrology.circles import NAMES, round_trip
from cutworthy.metrology.lines import narrowest_zone, ring_width
from cutworthy.metrology.sitting import Sitting, noise_of
from cutworthy.metrology.uncertainty import Part, combined, mean_of, scaled
from cutworthy.model.columns import Floats
from cutworthy.model.result import Decision, Extreme, Measured, MeasureOutcome
from cutworthy.reference.tables import limit

__all__ = ["circle", "flatness", "runout", "square_diagonals", "square_flip", "tram"]

MRAD, PPM = 1e3, 1e6
HARMONIC = 4  # readings around a turn that a lean or a runout needs


def square_diagonals(sitting: Sitting) -> MeasureOutcome:
    """Return by how much the front left corner is under a right angle, by two diagonals, and how far to move a foot."""
    width, depth = sitting.column("width"), sitting.column("depth")
    one, two = sitting.column("diagonal_1"), sitting.column("diagonal_2")
    angles = np.array([square_by_diagonals_rad(*each) for each in zip(width, depth, one, two, strict=True)])
    # Both diagonals are read with one instrument: what it has in common cancels but for its share of the difference.
    each = math.hypot(sitting.instrument.each_mm, sitting.least_mm)
    middle = float((one + two).mean() / 2)
    u = u_square_by_diagonals_rad(float(width.mean()), float(depth.mean()), middle, each)
    return _square("square-diagonals", angles, u, float(width.mean()))


def square_flip(sitting: Sitting) -> MeasureOutcome:
    """Return by how much an angle is under a right one, by a line that was scribed, flipped and scribed again."""
    length, gap = sitting.column("length"), sitting.column("gap")
    angles = np.array([square_by_flip_rad(*each) for each in zip(length, gap, strict=True)])
    each = math.hypot(sitting.instrument.each_mm, sitting.least_mm, sitting.instrument.common_mm)
    return _square("square-flip", angles, each / 2 / float(length.mean()), float(length.mean()))


def _square(kind: str, angles: Floats, u_one: float, over_mm: float) -> MeasureOutcome:
    """Return the outcome of one or several squarenesses [rad]; the scatter of several is not taken below one's own."""
    value = float(angles.mean())
    if len(angles) > 1:
        _, part = mean_of(angles, u_one)
    else:
        part = Part(weight=1.0, u=u_one)
    found = combined(value, [part], "rad")
    decision: Decision = "leave"
    case = "square"
    if found.is_clear_of_zero:
        small = abs(found.value) < limit("square_good").value
        decision, case = ("leave", "small") if small else ("adjust", "out")
    elif found.expanded > limit("square_good").value:
        decision, case = "repeat", "unclear"
    return MeasureOutcome(
        kind=kind,
        axis=None,
        results={"square_mrad": scaled(found, MRAD, "mrad"), "foot_shift_mm": scaled(found, over_mm, "mm")},
        decision=decision,
        case=case,
        numbers={"over_mm": over_mm},
    )


def tram(sitting: Sitting) -> MeasureOutcome:
    """Return the lean of the spindle along x and y, and the shim that takes it away at the bolts."""
    sitting.need(HARMONIC, "one at each quarter of the turn")
    own = sitting.instrument
    found = lean(
        sitting.column("angle"), sitting.column("radius"), sitting.column("reading"), max(sitting.least_mm, own.each_mm)
    )
    across = 2 * float(sitting.column("radius").mean())
    results: dict[str, Measured | Extreme] = {}
    for number, axis, value in ((1, "x", found.right_rad), (2, "y", found.back_rad)):
        one = combined(value, [found.fit.part(number), Part(weight=value, u=own.share)], "rad")
        results[f"tilt_{axis}_mrad"] = scaled(one, MRAD, "mrad")
    worst = max(("x", "y"), key=lambda axis: abs(_measured(results, f"tilt_{axis}_mrad").value))
    worse = _measured(results, f"tilt_{worst}_mrad")
    bolts = sitting.bolts_mm.get(worst)
    if bolts is not None:
        results["shim_mm"] = scaled(worse, bolts / MRAD, "mm")
    good = limit("tram_good").value * MRAD
    decision: Decision = "leave"
    if worse.is_clear_of_zero and abs(worse.value) > good:
        decision = "adjust"
    elif worse.expanded > good:
        decision = "repeat"
    case = {"leave": "upright", "adjust": "leans", "repeat": "unclear"}[decision]
    if decision == "adjust" and bolts is None:
        case = "leans-no-bolts"
    side = {"x": ("left", "right"), "y": ("front", "back")}[worst]
    numbers: Mapping[str, float | str] = {
        "side": side[1] if worse.value > 0 else side[0],
        "across_mm": across,
        "rises_mm": abs(worse.value) / MRAD * across,
        "bolts_mm": bolts or 0.0,
        "bolts": worst,
    }
    return MeasureOutcome(kind="tram", axis=None, results=results, decision=decision, case=case, numbers=numbers)


def flatness(sitting: Sitting) -> MeasureOutcome:
    """Return how flat the table is: the narrowest zone, that of least squares, and what surfacing takes off."""
    sitting.need(HARMONIC, "a plane goes through any three")
    z = sitting.column("z")
    design = np.stack([np.ones_like(z), sitting.column("x"), sitting.column("y")], axis=1)
    if np.linalg.matrix_rank(design) < design.shape[1]:
        msg = "flatness: all places lie on one line; measure at places that are spread over the table"
        raise ReadingsError(msg)

    def zone(heights: Floats) -> float:
        return narrowest_zone(design, heights)[0]

    def squares(heights: Floats) -> float:
        return float(np.ptp(heights - design @ np.linalg.lstsq(design, heights, rcond=None)[0]))

    each = max(sitting.instrument.each_mm, sitting.least_mm)
    results = {
        "flatness_mz_mm": _extreme(zone, z, each),
        "flatness_ls_mm": _extreme(squares, z, each),
        "surface_off_mm": _extreme(_range, z, each),
    }
    flat = results["surface_off_mm"].value <= max(limit("table_flat").value, results["surface_off_mm"].noise)
    return MeasureOutcome(
        kind="flatness",
        axis=None,
        results=results,
        decision="leave" if flat else "adjust",
        case="flat" if flat else "surface",
    )


def circle(sitting: Sitting) -> MeasureOutcome:
    """Return what a circle that was gone round both ways tells of the machine."""
    angle, radius = sitting.column("angle"), sitting.column("radius")
    ways = sitting.words("way")
    if len(set(ways)) < 2:  # noqa: PLR2004 - both
        msg = "circle: one way round cannot part lost motion from squareness; measure a circle of each way, cw and ccw"
        raise ReadingsError(msg)
    sitting.need(len(NAMES) + 1, "eight places around, of each way")
    each = max(sitting.least_mm, sitting.instrument.each_mm)
    ccw = np.where(np.array(ways) == "ccw", 1.0, -1.0)
    found = round_trip(angle, radius, ccw, float(radius.mean()), each)
    share = sitting.instrument.share
    tells = (
        ("scale_ratio_ppm", 3, found.scale_ratio, PPM, "ppm"), ("square_mrad", 4, found.square_rad, MRAD, "mrad"),
        ("lost_motion_x_mm", 5, found.lost_x_mm, 1.0, "mm"), ("lost_motion_y_mm", 6, found.lost_y_mm, 1.0, "mm"),
    )  # fmt: skip
    results: dict[str, Measured | Extreme] = {"form_mm": _extreme(partial(ring_width, angle), radius, each)}
    for name, number, value, factor, unit in tells:
        one = combined(value, [found.fit.part(number), Part(weight=value, u=share)], unit)
        results[name] = scaled(one, factor, unit)
    clear = [name for name, *_ in tells if _measured(results, name).is_clear_of_zero]
    return MeasureOutcome(
        kind="circle",
        axis=None,
        results=results,
        decision="adjust" if clear else "leave",
        case="clear" if clear else "round",
        numbers={"names": ", ".join(clear)},
    )


def runout(sitting: Sitting) -> MeasureOutcome:
    """Return how much a bit or a shank runs out: the total reading, and how far off the middle it turns."""
    sitting.need(HARMONIC, "one at each quarter of the turn")
    angle, reading = sitting.column("angle"), sitting.column("reading")
    each = max(sitting.instrument.each_mm, sitting.least_mm)
    found = lean(angle, np.ones_like(angle), reading, each)
    off = math.hypot(found.right_rad, found.back_rad)
    part = max(found.fit.part(1).u, found.fit.part(2).u)
    total = _extreme(_range, reading, each)
    eccentricity = combined(off, [Part(weight=1.0, u=part, dof=found.fit.dof)], "mm")
    good, bad = limit("runout_good").value, limit("runout_bad").value
    decision: Decision = "leave" if total.value <= good else "adjust" if total.value > bad else "leave"
    case = "good" if total.value <= good else "bad" if total.value > bad else "usual"
    return MeasureOutcome(
        kind="runout",
        axis=None,
        results={"tir_mm": total, "eccentricity_mm": eccentricity},
        decision=decision,
        case=case,
        numbers={"good_mm": good, "bad_mm": bad},
    )


def _measured(results: Mapping[str, Measured | Extreme], name: str) -> Measured:
    one = results[name]
    assert isinstance(one, Measured)
    return one


def _range(readings: Floats) -> float:
    return float(np.ptp(readings))


def _extreme(of: Callable[[Floats], float], readings: Floats, each_mm: float) -> Extreme:
    """Return a length that readings make, beside what it would be by the noise of each alone."""
    return Extreme(value=of(readings), noise=noise_of(of, len(readings), each_mm), unit="mm")

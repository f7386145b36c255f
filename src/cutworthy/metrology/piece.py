"""The test piece: sizes inside and out, along both axes, that part scale, lost motion, bit and squareness."""

import math

import numpy as np

from cutworthy.errors import ReadingsError
from cutworthy.metrology.sitting import Sitting
from cutworthy.metrology.uncertainty import Fit, Part, combined, least_squares, scaled
from cutworthy.model.columns import Floats
from cutworthy.model.result import Decision, Measured, MeasureOutcome

__all__ = ["test_piece"]

PPM, MRAD = 1e6, 1e3
MIXED = 1e-6  # of the largest: a smaller change cannot be seen
# What each column of the fit is told as: name, factor, unit.
UNKNOWN = {
    "scale_x": ("scale_x_ppm", PPM, "ppm"),
    "scale_y": ("scale_y_ppm", PPM, "ppm"),
    "lost_x": ("lost_motion_x_mm", 1.0, "mm"),
    "lost_y": ("lost_motion_y_mm", 1.0, "mm"),
    "bit": ("bit_mm", 1.0, "mm"),
    "square": ("square_mrad", MRAD, "mrad"),
}


def test_piece(sitting: Sitting) -> MeasureOutcome:
    """Return what the measured sizes of a test piece tell, and what they cannot part.

    A pocket is larger by what the bit is larger and shorter by the lost motion; a boss is smaller by both. The scale
    goes with the length. Of two diagonals the one from the front left gets longer, the other shorter, by half the
    angle times their length; both by the mean of the scales.

    Source: first order in all errors, derived; weighted least squares, what the columns cannot part is left out.
    """
    nominal, measured = sitting.column("nominal"), sitting.column("measured")
    axes = np.array(sitting.words("axis"))
    outwards = np.where(np.array(sitting.words("inside")) == "yes", 1.0, -1.0)
    names, design = _columns(nominal, axes, outwards)
    used, mixed = _parted(names, design)
    if len(nominal) <= len(used):
        msg = (
            f"test-piece: {len(nominal)} sizes cannot tell {len(used)} things; measure pockets and bosses of several "
            "sizes along both axes"
        )
        raise ReadingsError(msg)
    chosen = design[:, [names.index(name) for name in used]]
    if odd := sitting.odd(chosen, measured - nominal):
        return odd
    fit = least_squares(chosen, measured - nominal, max(sitting.least_mm, sitting.instrument.each_mm))
    results = {UNKNOWN[name][0]: _told(fit, number, name, sitting, nominal) for number, name in enumerate(used)}
    clear = [name for name, one in results.items() if one.is_clear_of_zero]
    decision: Decision = "repeat" if mixed else "adjust" if clear else "leave"
    return MeasureOutcome(
        kind="test-piece",
        axis=None,
        results=results,
        decision=decision,
        case="mixed" if mixed else "clear" if clear else "true",
        numbers={"names": ", ".join(clear), "mixed": ", ".join(UNKNOWN[name][0] for name in mixed)},
        cannot_tell=tuple(UNKNOWN[name][0] for name in mixed),
    )


def _columns(nominal: Floats, axes: np.ndarray, outwards: Floats) -> tuple[list[str], Floats]:
    """Return what each unknown adds to each size, (n, p)."""
    along = {axis: (axes == axis).astype(np.float64) for axis in ("x", "y", "diagonal-1", "diagonal-2")}
    half = (along["diagonal-1"] + along["diagonal-2"]) / 2
    columns = {
        "scale_x": nominal * (along["x"] + half),
        "scale_y": nominal * (along["y"] + half),
        "lost_x": -(along["x"] + half),
        "lost_y": -(along["y"] + half),
        "bit": outwards,
        "square": nominal / 2 * (along["diagonal-1"] - along["diagonal-2"]),
    }
    return list(columns), np.stack(list(columns.values()), axis=1)


def _parted(names: list[str], design: Floats) -> tuple[list[str], list[str]]:
    """Return the unknowns that these sizes can tell, and those that they leave mixed up or do not show at all."""
    size = np.abs(design).max(axis=0)
    shown = [name for name, most in zip(names, size, strict=True) if most > 0]
    scaled = design / np.where(size > 0, size, 1.0)
    own = [names.index(name) for name in shown]
    _, sizes, ways = np.linalg.svd(scaled[:, own], full_matrices=True)
    rank = int((sizes > MIXED * sizes[0]).sum())
    blind = ways[rank:]  # directions in which nothing measured changes
    mixed = [name for column, name in enumerate(shown) if np.abs(blind[:, column]).max(initial=0.0) > MIXED]
    return [name for name in shown if name not in mixed], mixed


def _told(fit: Fit, number: int, name: str, sitting: Sitting, nominal: Floats) -> Measured:
    """Return an unknown with its uncertainty: scatter, and what the caliper may be off by in all readings alike."""
    _, factor, unit = UNKNOWN[name]
    longest = float(nominal.max())
    weight = {"scale_x": 1 / longest, "scale_y": 1 / longest, "square": 0.0}.get(name, 0.5)
    common = Part(weight=weight, u=math.hypot(sitting.instrument.common_mm, sitting.instrument.share * longest))
    one = combined(float(fit.values[number]), [fit.part(number), common], "")
    return scaled(one, factor, unit)

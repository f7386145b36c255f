"""How fast a screw may turn before it whips, what it bears before it bows, how stiff the axis is."""

from collections.abc import Callable

from cutworthy.model.settings import Band
from cutworthy.reference.drives import steel_constant
from cutworthy.reference.tables import limit
from cutworthy.settings import shaft, stiffness
from cutworthy.settings.loads import Drawn
from cutworthy.settings.parts import Corner, Parts, Screw, pick

__all__ = ["axis_stiffness_n_mm", "buckling_n", "springs_n_mm", "whip_rpm", "whip_rpm_at"]


def whip_rpm(parts: Parts) -> Band | None:
    """Return the critical speed of an axis' screw [turns of the screw a minute], None without one."""
    return _band(parts, whip_rpm_at)


def buckling_n(parts: Parts) -> Band | None:
    """Return the thrust at which an axis' screw bows [N], before any safety factor; None without one."""
    return _band(parts, _buckling_at)


def whip_rpm_at(parts: Parts, corner: Corner) -> float | None:
    """Return the critical speed at a corner [rpm] on the longest free span, None without a screw."""
    sizes = parts.screw
    if sizes is None:
        return None
    root, span = _sizes_mm(sizes, corner)
    return shaft.critical_speed_rpm(root, span, parts.ends(corner), shaft.steel())


def axis_stiffness_n_mm(parts: Parts, own: Drawn) -> float:
    """Return how stiff an axis is against a push at its nut [N/mm]: motor, screw and nut in series."""
    return parts.axis.motors * stiffness.in_series_n_mm(*springs_n_mm(parts, own).values())


def springs_n_mm(parts: Parts, own: Drawn) -> dict[str, float]:
    """Return what gives under a push at the nut of one motor's drive, each by its name [N/mm].

    A belt's own stretch is not known from its label and is left out, which errs to the stiff side.
    """
    springs = {"motor": stiffness.motor_stiffness_n_mm(own.standing_n_m, own.travel_per_turn_mm, parts.rotor_teeth)}
    drive, sizes = parts.drive, parts.screw
    if drive is None or sizes is None:
        return springs
    steel, root, span = shaft.steel(), sizes.root.value, sizes.span.value
    both = parts.ends(Corner.ENTERED) == "fixed-fixed"
    springs["screw"] = stiffness.screw_stiffness_n_mm(root, span, steel, fixed_both_ends=both)
    if drive.lead_mm is not None:
        shear = steel_constant("shear_n_mm2").value
        springs["twist"] = stiffness.torsional_stiffness_n_mm(root, span, drive.lead_mm.value, shear)
    stated = {"nut": drive.nut_stiffness_n_mm, "bearing": drive.bearing_stiffness_n_mm}
    return springs | {name: each.value for name, each in stated.items() if each is not None}


def _sizes_mm(sizes: Screw, corner: Corner) -> tuple[float, float]:
    """Return root and span at a corner; however wide their bands, something is left of both."""
    least = limit("least_size").value
    return max(pick(sizes.root, "less", corner), least), max(pick(sizes.span, "more", corner), least)


def _buckling_at(parts: Parts, corner: Corner) -> float | None:
    sizes = parts.screw
    if sizes is None:
        return None
    root, span = _sizes_mm(sizes, corner)
    return shaft.buckling_load_n(root, span, parts.ends(corner), shaft.steel())


def _band(parts: Parts, at: Callable[[Parts, Corner], float | None]) -> Band | None:
    low, expected, high = (at(parts, corner) for corner in (Corner.WARY, Corner.ENTERED, Corner.HOPEFUL))
    if low is None or expected is None or high is None:
        return None
    return Band(low=low, expected=expected, high=high)

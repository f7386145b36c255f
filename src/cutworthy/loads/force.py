"""How hard an edge has to push: published lines of force over chip, and what they come to over a turn of the bit."""

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from cutworthy.model.columns import Floats, Value
from cutworthy.model.settings import Band
from cutworthy.model.wood import Wood
from cutworthy.reference.cutting import cutting
from cutworthy.reference.woods import WoodKind

__all__ = ["BANDS", "EdgeLine", "edge_line", "low_line_n_mm", "mean_push", "solid_n_mm", "usual_n_mm"]

Way = Literal["against", "along"]
BANDS: tuple[Literal["low", "expected", "high"], ...] = ("low", "expected", "high")
HALF_TURN = 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeLine:
    """The force on a millimetre of edge, k h + i [N/mm], h the mean thickness of the chip [mm]; ``k`` may fall with h.

    ``fall``: k is k / h^fall, 0 where it is a line.
    """

    k_n_mm2: float
    i_n_mm: float
    fall: float = 0.0

    def k_at(self, chip_mm: Value) -> Floats:
        """Return k for chips of some thickness [N/mm^2]."""
        chip = np.asarray(chip_mm, dtype=np.float64)
        if not self.fall:
            return np.full_like(chip, self.k_n_mm2)
        return np.asarray(self.k_n_mm2 / np.maximum(chip, 1e-6) ** self.fall)

    def times(self, factor: float) -> "EdgeLine":
        """Return the line some times as strong."""
        return EdgeLine(k_n_mm2=self.k_n_mm2 * factor, i_n_mm=self.i_n_mm * factor, fall=self.fall)


def solid_n_mm(density_kg_m3: float, chip_mm: float, way: Way, grain_deg: float | None = None) -> float:
    """Return the force on a millimetre of a sharp, straight edge in solid wood [N/mm].

    Source: [@curti], table 5, quoted second-hand: chips of 0.04 to 0.1 mm, woods of 287 to 1080 kg/m^3.

    Parameters
    ----------
    density_kg_m3
        Of the wood as it is cut [kg/m^3].
    chip_mm
        Mean thickness of the chip [mm].
    way
        Whether the edge cuts against the feed or along with it (climb).
    grain_deg
        From the way of the edge to the grain [degrees], 0 along it; None for the mean over all of them.
    """
    k, i = _solid(way, grain_deg)
    return density_kg_m3 * (k * chip_mm + i)


def low_line_n_mm(density_kg_m3: float, chip_mm: float) -> float:
    """Return what another laboratory found from the power of the motor, in oak along the grain [N/mm].

    Source: 0.0109 rho h^0.476, scaled by density from [@durkovic], quoted second-hand; chips of 0.02 to 0.13 mm.

    Parameters
    ----------
    density_kg_m3
        Of the wood [kg/m^3].
    chip_mm
        Mean thickness of the chip [mm].
    """
    return float(0.0109 * density_kg_m3 * chip_mm**0.476)


def edge_line(wood: Wood) -> dict[str, EdgeLine]:
    """Return the line of a material at the low end of its band, as expected, and at the high end.

    Where the material is not known, the weakest and the strongest of what it may be.
    """
    found = [_line_of(kind, wood.density_kg_m3) for kind in wood.kinds]
    low = min((each["low"] for each in found), key=usual_n_mm)
    high = max((each["high"] for each in found), key=usual_n_mm)
    middle = sorted((each["expected"] for each in found), key=usual_n_mm)[len(found) // 2]
    return {"low": low, "expected": middle, "high": high}


def mean_push(k_feed: Value, i_n_mm: Value, engagement: Value, edges: Value) -> Floats:
    """Return the push on the bit, mean of a turn, for each millimetre of edge along the bit [N/mm].

    Force across the edge not counted: with it the push is sqrt(1 + r^2) times as much, r its share.

    Source: integrals of k f sin(phi) + i over the way in the wood; [@altintas] chapter 2.

    Parameters
    ----------
    k_feed
        k times the greatest thickness that a chip may have, that at the middle of the way [N/mm].
    i_n_mm
        i of the line [N/mm].
    engagement
        How far round an edge is in the wood [rad].
    edges
        Of the bit.
    """
    sine, cosine = np.sin(engagement), np.cos(engagement)
    along = k_feed * sine**2 / 2 + i_n_mm * sine
    across = k_feed * (engagement - sine * cosine) / 2 + i_n_mm * (1 - cosine)
    return np.asarray(edges / (2 * np.pi) * np.hypot(along, across))


def _line_of(kind: WoodKind, density: Band) -> dict[str, EdgeLine]:
    band = cutting()["band"][kind]
    if kind in ("wood", "plywood"):
        both = [_solid(way, None) for way in ("against", "along")]
        choose: dict[str, Any] = {"low": min, "expected": _middle, "high": max}
        return {
            name: EdgeLine(k_n_mm2=pick(k for k, _ in both), i_n_mm=pick(i for _, i in both)).times(
                getattr(density, name) * band[name]
            )
            for name, pick in choose.items()
        }
    row = cutting()["line"]["mdf" if kind in ("mdf", "particleboard", "hard-plastic") else kind]
    line = EdgeLine(k_n_mm2=row["k"], i_n_mm=row.get("i", 0.0), fall=row.get("fall", 0.0))
    return {name: line.times(band[name]) for name in BANDS}


def _solid(way: str, grain_deg: float | None) -> tuple[float, float]:
    """Return k and i for each kg/m^3, at an angle to the grain or as the mean over half a turn."""
    row = cutting()["solid"][way]
    if grain_deg is None:
        k, i = (sum(c * HALF_TURN**n / (n + 1) for n, c in enumerate(row[name])) for name in ("k", "i"))
    else:
        k, i = (sum(c * grain_deg**n for n, c in enumerate(row[name])) for name in ("k", "i"))
    return float(k), float(i)


def _middle(numbers: Any) -> float:  # noqa: ANN401 - any numbers
    found = list(numbers)
    return float(sum(found) / len(found))


def usual_n_mm(line: EdgeLine) -> float:
    """Return the force at a usual chip, to compare lines by [N/mm]."""
    usual = 0.06
    return float(line.k_at(np.array(usual)) * usual + line.i_n_mm)

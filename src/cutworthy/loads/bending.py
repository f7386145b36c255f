"""How far the bit bends, and how near it is to breaking."""

import numpy as np

from cutworthy.model.columns import Floats, Value

__all__ = ["core_share", "deflection_mm", "stress_mpa", "young_mpa"]

YOUNG_MPA = {"carbide": 600e3, "steel": 207e3}  # carbide 580 to 650 GPa, steel 207 GPa: from memory


def core_share(edges: int) -> float:
    """Return what the flutes leave: the diameter of a round bar as stiff, over the bit's own.

    Source: 0.8 for two flutes, [@kops-vo], from memory; 0.7 for one flute, common practice, no source.
    """
    return 0.7 if edges == 1 else 0.8


def young_mpa(material: str) -> tuple[float, float]:
    """Return the least and the greatest stiffness of a bit's material [MPa]; unknown is either."""
    known = YOUNG_MPA.get(material)
    return (known, known) if known is not None else (min(YOUNG_MPA.values()), max(YOUNG_MPA.values()))


def deflection_mm(
    force_n: Value, from_load_mm: tuple[Value, Value], across_mm: tuple[float, float], young: float
) -> Floats:
    """Return how far the bit is bent at the place where it is pushed [mm].

    Source: beam of two thicknesses, held at the collet: F / 3E (a^3 / I_f + ((a + b)^3 - a^3) / I_s), with
    I = pi d^4 / 64; beam theory.

    Parameters
    ----------
    force_n
        Across the bit [N].
    from_load_mm
        From the load to the end of the flutes, and from there to the collet [mm].
    across_mm
        Diameters of a round bar as stiff as the flutes, and of the shank [mm].
    young
        Of the bit's material [MPa].
    """
    flutes, shank = from_load_mm
    thin, thick = (np.pi * each**4 / 64 for each in across_mm)
    return np.asarray(force_n / (3 * young) * (flutes**3 / thin + ((flutes + shank) ** 3 - flutes**3) / thick))


def stress_mpa(force_n: Value, from_load_mm: tuple[Value, Value], across_mm: tuple[float, float]) -> Floats:
    """Return the greatest bending stress, at the end of the flutes or at the collet [MPa].

    Source: 32 F x / (pi d^3), beam theory.

    Parameters
    ----------
    force_n
        Across the bit [N].
    from_load_mm
        From the load to the end of the flutes, and from there to the collet [mm].
    across_mm
        Diameters of a round bar as stiff as the flutes, and of the shank [mm].
    """
    flutes, shank = from_load_mm
    thin, thick = across_mm
    at_flutes = 32 * force_n * flutes / (np.pi * thin**3)
    return np.maximum(at_flutes, 32 * force_n * (flutes + shank) / (np.pi * thick**3))

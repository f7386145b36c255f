"""What the board is made of, as far as the bit feels it."""

from dataclasses import dataclass

from cutworthy.model.settings import Band
from cutworthy.reference.woods import WoodKind

__all__ = ["Wood"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A material. ``names``: of the rows that it may be; empty where none is known.

    ``kinds``: what it may be cut like, several where it is not known. ``stated``: whether the card gives its density.
    """

    said: str
    names: tuple[str, ...]
    kinds: tuple[WoodKind, ...]
    density_kg_m3: Band
    stated: bool

    @property
    def is_known(self) -> bool:
        """Whether it is one of the materials that are listed, or its density is on the card."""
        return bool(self.names) or self.stated

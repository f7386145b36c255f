"""From the words on the card to a material that is cut."""

from cutworthy.model.job import Board
from cutworthy.model.settings import Band
from cutworthy.model.wood import Wood
from cutworthy.reference.woods import WoodKind, matching, woods

__all__ = ["wood_of"]

ANY: tuple[WoodKind, ...] = ("wood", "plywood", "mdf", "particleboard", "soft-plastic", "hard-plastic")


def wood_of(board: Board) -> Wood:
    """Return what a board may be: of several materials that its name fits, the widest span.

    A density on the card takes the place of the listed one; of a material that is not listed it then decides, as of
    solid wood.
    """
    rows = matching(board.material)
    stated = board.density_kg_m3
    kinds: tuple[WoodKind, ...] = tuple(dict.fromkeys(row.kind for row in rows))
    if not rows:
        kinds = ("wood",) if stated is not None else ANY
    among = rows or [row for row in woods() if row.kind in ANY]
    if stated is not None:
        density = Band(low=stated.low, expected=stated.value, high=stated.high)
    else:
        listed = sorted(row.density_kg_m3 for row in among)
        density = Band(
            low=min(row.low_kg_m3 for row in among),
            expected=listed[len(listed) // 2],
            high=max(row.high_kg_m3 for row in among),
        )
    return Wood(
        said=board.material,
        names=tuple(row.name for row in rows),
        kinds=kinds,
        density_kg_m3=density,
        stated=stated is not None,
    )

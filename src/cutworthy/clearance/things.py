"""What the tool may meet: the clamps and the board, as boxes in the zero frame."""

from dataclasses import dataclass

from cutworthy.clearance.solid import Box
from cutworthy.model.clearance import BOARD, Place
from cutworthy.model.job import Clamp, Job

__all__ = ["Thing", "board_of", "clamps_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A clamp or the board, as entered and grown by what is not known exactly.

    Sideways it grows by its own error and the zero's; upwards by the zero's error in z, and by the
    spread of the board where its thickness lies between zero and the thing's top. ``clamp``: its
    place on the card, None for the board.
    """

    name: str
    clamp: int | None
    box: Box
    grown: Box


def board_of(job: Job, place: Place) -> Thing:
    """Return the board; seen from a zero on its underside the spread of its thickness moves its top."""
    board, zero = job.board, job.zero
    size = (board.size_x_mm.value, board.size_y_mm.value)
    box = _box((0.0, 0.0), size, board.thickness_mm.value, place)
    spread = board.spread_mm.value if zero.z == "bottom" else 0.0
    grown = box.grown(zero.plus_minus_mm.value, zero.plus_minus_z_mm.value + spread)
    return Thing(name=BOARD, clamp=None, box=box, grown=grown)


def clamps_of(job: Job, place: Place) -> tuple[Thing, ...]:
    """Return the clamps in the order of the card."""
    return tuple(_clamp(number, clamp, job, place) for number, clamp in enumerate(job.clamps))


def _clamp(number: int, clamp: Clamp, job: Job, place: Place) -> Thing:
    zero = job.zero
    low, high = (clamp.from_x_mm, clamp.from_y_mm), (clamp.to_x_mm, clamp.to_y_mm)
    box = _box(low, high, clamp.height_mm.value, place)
    spread = job.board.spread_mm.value if zero.z == "top" else 0.0
    sideways = clamp.plus_minus_mm.value + zero.plus_minus_mm.value
    return Thing(name=clamp.name, clamp=number, box=box, grown=box.grown(sideways, zero.plus_minus_z_mm.value + spread))


def _box(low: tuple[float, float], high: tuple[float, float], height: float, place: Place) -> Box:
    """Return the box between two corners of the board's frame, in the zero frame."""
    x, y, z = place.on_board_mm
    return Box(
        x_mm=(low[0] + high[0]) / 2 - x,
        y_mm=(low[1] + high[1]) / 2 - y,
        half_x_mm=(high[0] - low[0]) / 2,
        half_y_mm=(high[1] - low[1]) / 2,
        top_mm=height - z,
    )

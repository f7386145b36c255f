"""Shades a relief: light from the upper left, wood darker where it is deeper, the table where it is cut through."""

from typing import Any

import numpy as np
import numpy.typing as npt

from cutworthy.model.removal import Heights

__all__ = ["RIM", "TABLE", "shaded", "wood"]

TABLE, RIM = "#edf1f3", "#3a2a1c"
# Wood from the board's top down to the deepest: each tone darker than the one before it.
TONES = ("#edd3a4", "#d8b178", "#bd8a54", "#94613a", "#6b4226")
LIGHT = np.array((-1.0, 1.0, 1.3))  # where it comes from: left, back, above
STEEPER = 1.6  # slopes are shown steeper than they are, so that shallow carving shows
FINE, BROAD = 1, 5  # rounds of smoothing, for edges and for shapes
BROAD_SHARE = 0.45
MANY_CELLS = 700  # along a side: a single one would hardly be seen
DARKEST, BRIGHTEST = 0.45, 1.28
WARM = np.array((0.8, 1.0, 1.25), dtype=np.float32)  # shadows on wood keep some red

Colours = npt.NDArray[np.float32]


def shaded(
    depth_mm: Heights, cut_mm: Heights, through: npt.NDArray[np.bool_], pitch_mm: float, deepest_mm: float
) -> npt.NDArray[Any]:
    """Return the colours of a relief, (rows, columns, 3), 0 to 1.

    Parameters
    ----------
    depth_mm
        Below one height, (rows, columns): the shape that the light falls on.
    cut_mm
        Below the board's top there, which gives the tone.
    through
        Where the table shows.
    pitch_mm
        From cell to cell.
    deepest_mm
        The depth that has the darkest tone.
    """
    fine = _light(_smoothed(depth_mm, FINE), pitch_mm)
    broad = _light(_smoothed(depth_mm, BROAD), pitch_mm)
    light = np.clip(fine * (1 - BROAD_SHARE) + broad * BROAD_SHARE, DARKEST, BRIGHTEST)[..., None]
    tint = wood(cut_mm, deepest_mm)
    colours = np.where(light <= 1, tint * light**WARM, tint + (1 - tint) * (light - 1))
    colours[through] = _rgb(TABLE)
    colours[_rim(through)] = _rgb(RIM)
    return colours


def wood(depth_mm: Heights, deepest_mm: float) -> Colours:
    """Return the tone of wood at each depth, the last axis red, green, blue."""
    share = np.clip(depth_mm / max(deepest_mm, 1e-9), 0, 1)
    at = np.linspace(0, 1, len(TONES))
    tones = np.array([_rgb(tone) for tone in TONES])
    return np.stack([np.interp(share, at, tones[:, part]) for part in range(3)], axis=-1).astype(np.float32)


def _light(depth_mm: Heights, pitch_mm: float) -> Heights:
    """Return how much light falls on each cell, 1 on a level one (Lambert's cosine law)."""
    down_y, down_x = np.gradient(depth_mm, pitch_mm) if min(depth_mm.shape) > 1 else (np.zeros_like(depth_mm),) * 2
    x, y = down_x * STEEPER, down_y * STEEPER  # the normal of heights z: (-dz/dx, -dz/dy, 1)
    toward: Heights = (x * LIGHT[0] + y * LIGHT[1] + LIGHT[2]) / np.sqrt(x * x + y * y + 1) / LIGHT[2]
    return np.maximum(toward, 0)


def _smoothed(heights_mm: Heights, rounds: int) -> Heights:
    """Return heights with each cell a quarter of the way towards its neighbours, so many times."""
    for _ in range(rounds):
        for axis in (0, 1):
            padded = np.pad(heights_mm, [(1, 1) if each == axis else (0, 0) for each in (0, 1)], mode="edge")
            lines = np.moveaxis(padded, axis, 0)
            smooth = (lines[:-2] + 2 * lines[1:-1] + lines[2:]) / 4
            heights_mm = np.moveaxis(smooth.astype(np.float32, copy=False), 0, axis)
    return heights_mm


def _rim(through: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Return the wood along what is cut through, so wide that it is seen."""
    grown = through
    for _ in range(1 if max(through.shape) < MANY_CELLS else 2):
        wider = grown.copy()
        wider[1:] |= grown[:-1]
        wider[:-1] |= grown[1:]
        wider[:, 1:] |= grown[:, :-1]
        wider[:, :-1] |= grown[:, 1:]
        grown = wider
    return grown & ~through


def _rgb(colour: str) -> Colours:
    return np.frombuffer(bytes.fromhex(colour[1:]), dtype=np.uint8).astype(np.float32) / np.float32(255)

"""Small machines, jobs and paths to test clearance with: Plover at the Tidewater Workshop."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import radians
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from cutworthy.kernels import shapes
from cutworthy.model.job import Bit, Board, Clamp, Job, Start, Zero
from cutworthy.model.machine import Axis, Body, Control, Machine, Nut, Shoe, Spindle
from cutworthy.model.moves import Moves, Way
from cutworthy.model.program import Doubt, Kind
from cutworthy.model.quantity import Origin, Quantity


def q(value: float) -> Quantity:
    return Quantity(value=value, low=value, high=value, origin=Origin.MEASURED, key="")


def maybe(value: float | None) -> Quantity | None:
    return None if value is None else q(value)


def axis(name: str, travel: float, homes_to: str = "minus", ends: tuple[float, float] | None = None) -> Axis:
    return Axis(
        name=name,
        travel_mm=q(travel),
        range_mm=ends,
        homes_to=homes_to,
        speed_mm_s=q(50),
        acceleration_mm_s2=q(400),
        steps_per_mm=None,
        moving_mass_kg=None,
        drag_n=None,
        cutting_allowance_n=None,
        motors=1,
        motor=None,
        driver=None,
        drive=None,
    )


def machine(
    *,
    nut: tuple[float, float] | None = (22, 20),
    body: float | None = 65,
    shoe: tuple[float, float] | None = None,
    rapids: str = "straight",
    homes_to: str = "minus",
    **axes: Axis,
) -> Machine:
    control = Control(
        pulse_rate_hz=None,
        units_at_start="mm",
        corners="unknown",
        corner_tolerance_mm=None,
        block_rate_hz=None,
        rapids=rapids,
        arc_centres="relative",
        block_delete="off",
        bit_change="waits",
        lengths="touched-off",
        g28_mm=None,
        g30_mm=None,
    )
    spindle = Spindle(
        power_w=None,
        power_is="unknown",
        slowest_rpm=None,
        fastest_rpm=None,
        switched_by="hand",
        speed_by="dial",
        spin_up_s=None,
        nut=nut and Nut(diameter_mm=q(nut[0]), length_mm=q(nut[1]), max_rpm=None),
        body=body and Body(diameter_mm=q(body), length_mm=None),
        shoe=shoe and Shoe(diameter_mm=q(shoe[0]), below_nut_mm=q(shoe[1])),
    )
    travels = {"x": 820.0, "y": 560.0, "z": 95.0}
    return Machine(
        name="Plover",
        units="mm",
        spoilboard_mm=q(18),
        spoilboard_map=(),
        control=control,
        supply=None,
        spindle=spindle,
        estop=None,
        calibration=None,
        connector=None,
        wiring=(),
        axes={name: axis(name, travel, homes_to) for name, travel in travels.items()} | axes,
    )


def bit(tool: int = 1, kind: str = "flat", diameter: float = 6, stickout: float = 35, **more: float) -> Bit:
    return Bit(
        tool=tool,
        kind=kind,
        diameter_mm=q(diameter),
        corner_radius_mm=maybe(more.get("corner_radius")),
        angle_rad=q(radians(more["angle"])) if "angle" in more else None,
        tip_mm=maybe(more.get("tip")),
        flutes=2,
        spiral="up",
        centre_cutting=True,
        cutting_length_mm=q(more.get("cutting_length", 22)),
        stickout_mm=q(stickout),
        shank_mm=maybe(more.get("shank")),
        material="carbide",
        chip_low_mm=None,
        chip_high_mm=None,
        max_rpm=None,
        runout_mm=None,
        speed_rpm=None,
    )


def clamp(
    low: Sequence[float], high: Sequence[float], height: float = 25, error: float = 3, name: str = "left"
) -> Clamp:
    return Clamp(
        name=name,
        from_x_mm=low[0],
        from_y_mm=low[1],
        to_x_mm=high[0],
        to_y_mm=high[1],
        height_mm=q(height),
        plus_minus_mm=q(error),
    )


def job(
    *clamps: Clamp,
    bits: Sequence[Bit] = (bit(),),
    size: tuple[float, float, float] = (300, 140, 18),
    at: tuple[float | None, float | None, float | None] = (40, 60, None),
    room_above: float | None = None,
    zero: tuple[float, float, str] = (0, 0, "top"),
    errors: tuple[float, float, float] = (0.5, 0.2, 0.3),
    above_top: float | None = None,
) -> Job:
    board = Board(
        material="white oak",
        size_x_mm=q(size[0]),
        size_y_mm=q(size[1]),
        thickness_mm=q(size[2]),
        spread_mm=q(errors[2]),
        at_x_mm=maybe(at[0]),
        at_y_mm=maybe(at[1]),
        bottom_z_mm=maybe(at[2]),
        room_above_mm=maybe(room_above),
        grain="x",
        density_kg_m3=None,
        thickness_map=(),
    )
    where = Zero(
        x_said="left",
        y_said="front",
        from_left_mm=zero[0],
        from_front_mm=zero[1],
        z=zero[2],
        system="G54",
        plus_minus_mm=q(errors[0]),
        plus_minus_z_mm=q(errors[1]),
    )
    start = None if above_top is None else Start(above_top_mm=q(above_top))
    return Job(board=board, zero=where, start=start, holding=None, bits=tuple(bits), clamps=clamps)


def piece(start: Sequence[float], end: Sequence[float], kind: Kind = Kind.LINE, **more: object) -> dict[str, Any]:
    """Return one row of moves: an arc when a centre, a plane and turns are given."""
    row = {"row": 0, "line": 1, "way": Way.STRAIGHT, "centre_mm": [np.nan] * 3, "plane": 0, "turns": np.nan, "tool": 1}
    sure = [Doubt.NONE] * 3
    return row | {"kind": kind, "start_mm": start, "end_mm": end, "start_doubt": sure, "end_doubt": sure} | more


def arc(
    start: Sequence[float], end: Sequence[float], centre: Sequence[float], plane: int, turns: float
) -> dict[str, Any]:
    return piece(start, end, Kind.ARC, centre_mm=centre, plane=plane, turns=turns)


def moves(*pieces: dict[str, Any]) -> Moves:
    """Return the pieces as moves, one to a line, each with its box."""
    types = {"kind": np.uint8, "way": np.uint8, "plane": np.uint8, "start_doubt": np.uint8, "end_doubt": np.uint8}
    types |= {"row": np.int64, "line": np.int64, "tool": np.int64}
    columns = {name: np.array([each[name] for each in pieces], dtype=types.get(name, np.float64)) for name in pieces[0]}
    shape = [columns[name] for name in ("start_mm", "end_mm", "centre_mm", "plane", "turns")]
    columns["low_mm"], columns["high_mm"] = shapes.boxes(*shape)
    made = Moves(**columns)
    unnumbered = not any(each["row"] for each in pieces)
    numbers = np.arange(len(pieces))
    return replace(made, row=numbers, line=numbers + 1) if unnumbered else made


@pytest.fixture
def make() -> SimpleNamespace:
    """Return the makers of cards and moves."""
    makers: list[Callable[..., Any]] = [axis, machine, bit, clamp, job, piece, arc, moves]
    return SimpleNamespace(**{maker.__name__: maker for maker in makers})

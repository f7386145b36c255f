"""Where program zero lies: on the board, and in machine coordinates."""

import numpy as np

from cutworthy.kernels.levels import levels
from cutworthy.model.clearance import Place, Point
from cutworthy.model.job import Board, Job
from cutworthy.model.machine import AXES, Axis, AxisName, Machine
from cutworthy.model.quantity import Quantity
from cutworthy.working import Input, record

__all__ = ["axis_range", "place"]

SOURCE = "arithmetic on the cards"


def axis_range(axis: Axis, board: Board) -> tuple[float, float] | None:
    """Return the ends of an axis in machine coordinates [mm], None when the cards do not say.

    Parameters
    ----------
    axis : Axis
        A range given on the card holds as it is; else the travel counts from the end that the
        axis homes to.
    board : Board
        Where the homing end is unknown, the sign of the board's place tells it: machine
        coordinates run from 0 upwards or from 0 downwards.

    Notes
    -----
    Room above the board is counted from the upper end of Z whatever the control shows. Where
    nothing else fixes the range of Z, that end then counts as 0.
    """
    travel = axis.travel_mm.value
    if axis.range_mm is not None:
        return axis.range_mm
    if axis.homes_to == "minus":
        return (0.0, travel)
    if axis.homes_to == "plus":
        return (-travel, 0.0)
    given = _given(axis, board)
    if given is not None:
        return (0.0, travel) if given.value >= 0 else (-travel, 0.0)
    if axis.name == "z" and board.room_above_mm is not None:
        return (-travel, 0.0)
    return None


def place(machine: Machine, job: Job) -> Place:
    """Return where program zero lies on the board and on the machine.

    Parameters
    ----------
    machine : Machine
        Gives each axis its range.
    job : Job
        Gives the board's place, and where zero sits on the board.

    Returns
    -------
    Place
        Program zero in the board's frame and in machine coordinates [mm], and the range of each
        axis in machine coordinates [mm]; an axis is None where the cards do not say.

    Notes
    -----
    A place counted from home means nothing on an axis without a home switch, so it is not used
    there unless the card gives the axis a range.
    """
    board, zero = job.board, job.zero
    up = board.thickness_mm.value if zero.z == "top" else 0.0
    offset: dict[AxisName, float] = {"x": zero.from_left_mm, "y": zero.from_front_mm, "z": up}
    machine_mm: dict[AxisName, float | None] = dict.fromkeys(AXES)
    for name in AXES:
        corner = _corner(machine.axes[name], board)
        if corner is not None:
            at, origin = corner
            machine_mm[name] = at + offset[name]
            inputs = {
                "corner": Input(value=at, unit="mm", origin=origin),
                "offset": Input(value=offset[name], unit="mm", origin="computed"),
            }
            record(f"zero.{name}", "corner + offset", inputs, at + offset[name], unit="mm", source=SOURCE)
    return Place(
        on_board_mm=(zero.from_left_mm, zero.from_front_mm, up),
        machine_mm=machine_mm,
        range_mm={name: axis_range(machine.axes[name], board) for name in AXES},
        underside_mm=_underside(machine, job),
        thickness_mm=_thickness(job),
    )


def _thickness(job: Job) -> tuple[Point, ...]:
    """Return where the board was measured, from zero, and how thick it is there."""
    board, zero = job.board, job.zero
    if not board.thickness_map:
        return ((0.0, 0.0, board.thickness_mm.value),)
    return tuple(
        (each.x_mm - zero.from_left_mm, each.y_mm - zero.from_front_mm, each.value_mm) for each in board.thickness_map
    )


def _underside(machine: Machine, job: Job) -> tuple[Point, ...]:
    """Return where the table was measured, from zero, and how high the board's underside is there.

    Zero's height is where the bit was touched off: at zero's place, on the board or on the table beneath. A map of the
    table helps only where the cards say where on it the board lies.
    """
    board, zero = job.board, job.zero
    nowhere, thickness = np.zeros(1), np.array(_thickness(job))
    down = levels(thickness, nowhere, nowhere)[0] if zero.z == "top" else 0.0
    corner = [_corner(machine.axes[name], board) for name in ("x", "y")]
    if not machine.spoilboard_map or corner[0] is None or corner[1] is None:
        return ((0.0, 0.0, -float(down)),)
    left, front = corner[0][0] + zero.from_left_mm, corner[1][0] + zero.from_front_mm
    table = np.array([(each.x_mm - left, each.y_mm - front, each.value_mm) for each in machine.spoilboard_map])
    here = levels(table, nowhere, nowhere)[0]
    return tuple((float(x), float(y), float(height - here - down)) for x, y, height in table)


def _corner(axis: Axis, board: Board) -> tuple[float, str] | None:
    """Return where the board's underside has its front left corner on one axis [mm], and its origin."""
    given, ends = _given(axis, board), axis_range(axis, board)
    if given is not None:
        return given.value, given.origin.value
    if axis.name == "z" and board.room_above_mm is not None and ends is not None:
        value = ends[1] - board.room_above_mm.value - board.thickness_mm.value
        inputs = {
            "upper_end": Input(value=ends[1], unit="mm", origin="computed"),
            "room_above": _input(board.room_above_mm),
            "thickness": _input(board.thickness_mm),
        }
        record("corner.z", "upper_end - room_above - thickness", inputs, value, unit="mm", source=SOURCE)
        return value, "computed"
    return None


def _given(axis: Axis, board: Board) -> Quantity | None:
    """Return the board's place as the control shows it, None where the axis does not count from home."""
    if axis.homes_to == "none" and axis.range_mm is None:
        return None
    return {"x": board.at_x_mm, "y": board.at_y_mm, "z": board.bottom_z_mm}[axis.name]


def _input(quantity: Quantity) -> Input:
    return Input(value=quantity.value, unit="mm", origin=quantity.origin.value)

"""What the control holds before a line: the program is read up to it."""

from collections.abc import Callable

from cutworthy.model.modal import CalledPart, ModalState
from cutworthy.program.arcs import AXES_OF
from cutworthy.program.options import ReadOptions
from cutworthy.program.reader import Reading
from cutworthy.program.state import SeriesOfHoles, State
from cutworthy.program.text import LONG_BYTES, read_text

__all__ = ["state_before"]


def state_before(data: bytes, line: int, options: ReadOptions, progress: Callable[[float], None]) -> ModalState | None:
    """Return what the control holds just before a line is read for the first time.

    Parameters
    ----------
    data
        The program as it is.
    line
        Counted from 1.
    options
        How to read it.
    progress
        Told the share of the bytes read, 0 to 1; may raise ``Stopped``.

    Returns
    -------
    ModalState or None
        None when the program never comes to the line: behind its end, in a part that nothing
        calls, behind an error of a strict reading, or outside the ``%`` lines.

    Notes
    -----
    A line that could not be obeyed before it leaves the axes that it may have moved in doubt.
    """
    reading = Reading(read_text(data), options, stop_at=line)
    if len(data) > LONG_BYTES:
        reading.speed_up()
    reading.run(progress)
    if not reading.stopped:
        return None
    control = reading.control
    parts = tuple(CalledPart(name=call.name, called_on=call.line, left=call.left) for call in reading.calls.stack)
    return _told(line, control.state, dict(control.parameters), parts, len(reading.record))


def _told(
    line: int, state: State, parameters: dict[int, float], parts: tuple[CalledPart, ...], moves: int
) -> ModalState:
    side = state.side
    return ModalState(
        line=line,
        here_mm=state.here,
        doubt=state.doubt,
        shift_mm=state.shift,
        shift_doubt=state.shift_doubt,
        offset_mm=state.offset[0],
        system=state.system,
        units=state.units,
        motion=state.motion,
        plane=state.plane,
        absolute=state.absolute,
        inverse_time=state.inverse_time,
        absolute_centres=state.centres == "absolute",
        returns_to_old_height=state.old_height,
        path=state.path,
        side=None if side is None else "left" if side.left else "right",
        side_radius_mm=0.0 if side is None else side.radius_mm,
        length_of=state.length_of,
        feed=state.feed,
        spindle=state.spindle,
        speed_rpm=state.speed,
        mist=state.mist,
        flood=state.flood,
        overrides=state.overrides,
        tool=state.tool,
        selected=state.selected,
        cycle={} if state.series is None else _letters(state.series, state),
        parameters=parameters,
        parts=parts,
        moves=moves,
    )


def _letters(series: SeriesOfHoles, state: State) -> dict[str, float]:
    """Return the sticky numbers of a cycle by their letters."""
    first, second, hole = AXES_OF[state.plane]
    letters = {"XYZ"[hole]: series.bottom, "R": series.back_to}
    letters |= {letter: value for letter, value in (("P", series.dwell_s), ("Q", series.peck)) if value}
    if series.code == "G87":
        letters |= {"IJK"[first]: series.aside[0], "IJK"[second]: series.aside[1], "IJK"[hole]: series.up_to}
    return letters

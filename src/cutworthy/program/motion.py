"""What a line moves: item 20 of the order of execution (NISTIR 6556, 3.5 and 3.8)."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import dist, isnan, nan, sqrt

from cutworthy.model.program import Doubt, Kind, Level
from cutworthy.program.arcs import AXES_OF, SAME_MM, Arc, by_centre, by_radius, last_digit, offsets_in_plane
from cutworthy.program.control import Control
from cutworthy.program.cycles import Holes, holes_of, moves_of, series_of
from cutworthy.program.grammar import Block
from cutworthy.program.groups import CYCLES
from cutworthy.program.modes import refuse_with_side, see_long_dwell, whole
from cutworthy.program.places import in_machine
from cutworthy.program.problems import LineError
from cutworthy.program.record import Move
from cutworthy.program.side import Spot, first_line, next_arc, next_line, spots_between, turns_around
from cutworthy.program.state import Doubts, Place, Point, SeriesOfHoles, Side
from cutworthy.reference.tables import limit
from cutworthy.units import MM_PER_INCH

__all__ = ["has_axes", "move"]

# Cycles may make so many moves over the whole program: our choice, a pegboard of 5000 deep holes.
MOST_DRILLED = 200_000
NEARLY_FULL = 0.99  # turns


def move(control: Control, block: Block) -> None:
    """Plan the motion in force with the words of the line."""
    MOTIONS[control.state.motion](control, block)


def has_axes(words: Mapping[str, float]) -> bool:
    """Return whether the line has an X, Y or Z word."""
    return "X" in words or "Y" in words or "Z" in words


def _go(control: Control, block: Block) -> None:
    """G0 and G1, in machine coordinates with G53."""
    state = control.state
    if block.codes.get("once") == "G53":
        place, doubt = in_machine(control, block)
    elif has_axes(block.words):
        place, doubt = state.target(block.words)
    else:
        control.problems.practice("no-axis-words", numbers={"code": state.motion})
        return
    kind, feed, time = Kind.RAPID, nan, None
    if state.motion == "G1":
        kind = Kind.LINE
        feed, time = control.feed(block)
    if state.side is not None:
        place, doubt = _beside(control, state.side, (place, doubt), feed)
    control.pending.append(Move(kind, place, doubt, feed, time))


def _beside(control: Control, side: Side, target: Place, feed: float) -> Place:
    """Return where the tool ends beside the programmed end, having gone around the corner before it.

    A move along Z alone keeps its place beside the path. Between programmed places in doubt nothing
    is worked out: the tool goes to the programmed end, in doubt.
    """
    state, (end, doubt) = control.state, target
    here, corner, spot = (state.here[0], state.here[1]), side.corner, (end[0], end[1])
    rests = doubt[:2]
    begins = side.rests if corner else state.doubt[:2]
    if dist(corner or here, spot) < SAME_MM and rests == begins:
        return (here[0], here[1], end[2]), (*state.doubt[:2], doubt[2])
    worst = max(*rests, *begins)
    state.side = replace(side, corner=spot, rests=rests)
    if worst != Doubt.NONE:
        return end, (worst, worst, doubt[2])
    if corner is None:
        beside = first_line(here, spot, side)
    else:
        start, beside = next_line(corner, spot, side)
        _go_around(control, corner, start, feed)
    return (beside[0], beside[1], end[2]), doubt


def _go_around(control: Control, corner: Spot, start: Spot, feed: float) -> None:
    """Plan the tool's way around a corner of the programmed path, to where its next move starts.

    Around an outside corner it goes on an arc, a rapid on short chords of it. Into an inside corner
    the report does not go; practice does, in different ways: here straight to where the next move
    would start.
    """
    state, side = control.state, control.state.side
    if side is None or max(state.doubt[:2]) != Doubt.NONE:
        return
    here, height = (state.here[0], state.here[1]), state.here[2]
    turns = turns_around(here, corner, start, side)
    end = (start[0], start[1], height)
    if turns is None:
        return
    if turns == 0:
        if control.options.strict:
            raise LineError(problem="not-supported", case="side-corner")
        control.problems.add("not-supported", Level.ASK, "side-corner")
    if state.motion == "G0":
        spots = [*spots_between(here, corner, turns), start]
        control.pending += [Move(Kind.RAPID, (x, y, height), state.doubt) for x, y in spots]
        return
    if state.inverse_time:
        raise LineError(problem="not-supported", case="side-inverse-time", level=Level.ASK)
    if turns == 0:
        control.pending.append(Move(Kind.LINE, end, state.doubt, feed))
        return
    arc = Arc((corner[0], corner[1], height), turns, 0.0)
    control.pending.append(Move(Kind.ARC, end, state.doubt, feed, None, arc, state.plane))


def _turn(control: Control, block: Block) -> None:
    """G2 and G3."""
    state, words = control.state, block.words
    if not has_axes(words) and words.keys().isdisjoint("IJKR"):
        control.problems.practice("no-axis-words", numbers={"code": state.motion})
        return
    first, second, across = AXES_OF[state.plane]
    _check_across(control, words, "IJK"[across])
    control.saw_digit(last_digit(block.text))
    end, doubt = state.target(words)
    # Between places in different doubt the shape of an arc says nothing.
    sure = all(state.doubt[axis] == doubt[axis] != Doubt.LOST for axis in (first, second))
    offsets = offsets_in_plane(words, state.plane)
    has_end = "XYZ"[first] in words or "XYZ"[second] in words
    if "R" in words:
        if offsets != (None, None):
            raise LineError(case="arc-radius-and-centre")
        if not has_end:
            raise LineError(problem="number-missing", case="arc-end")
        clockwise = state.motion == "G2"
        arc = by_radius(state.begin, end, words["R"] * state.scale, state.plane, clockwise=clockwise)
    elif offsets == (None, None):
        raise LineError(problem="number-missing", case="arc-centre")
    else:
        if not has_end:
            control.problems.practice("full-circle")
        arc = _about_centre(control, end, offsets, sure=sure)
    if sure:
        _judge(control, arc, end, block)
    feed, time = control.feed(block)
    if state.side is not None:
        end, doubt, arc = _turn_beside(control, state.side, (end, doubt), arc, feed)
    control.pending.append(Move(Kind.ARC, end, doubt, feed, time, arc, state.plane))


def _turn_beside(control: Control, side: Side, target: Place, arc: Arc, feed: float) -> tuple[Point, Doubts, Arc]:
    """Return the tool's arc beside the programmed one, having gone around the corner before it."""
    end, doubt = target
    if side.corner is None:
        if side.radius_mm:
            raise LineError(problem="not-supported", case="side-arc-first", level=Level.ASK)
        here, state_doubt = control.state.here, control.state.doubt
        side = replace(side, corner=(here[0], here[1]), rests=state_doubt[:2])
    spot, rests = (end[0], end[1]), doubt[:2]
    worst = max(*rests, *side.rests)
    if worst != Doubt.NONE:
        control.state.side = replace(side, corner=spot, rests=rests)
        return end, (worst, worst, doubt[2]), arc
    corner = side.corner or spot
    start, beside = next_arc(corner, spot, (arc.centre[0], arc.centre[1]), arc.turns, side)
    _go_around(control, corner, start, feed)
    control.state.side = replace(side, corner=spot, rests=rests)
    return (beside[0], beside[1], end[2]), doubt, arc


def _check_across(control: Control, words: Mapping[str, float], letter: str) -> None:
    """See to a centre word across the plane: harmless when it is zero."""
    if letter not in words:
        return
    if words[letter] != 0:
        raise LineError(case="arc-across", numbers={"letter": letter, "value": words[letter]})
    control.problems.practice("offset-across", numbers={"letter": letter})


def _about_centre(control: Control, end: Point, words: tuple[float | None, float | None], *, sure: bool) -> Arc:
    """Return the arc about the centre words, read as offsets from the start or as places."""
    state = control.state
    if state.centres == "absolute" and None in words:
        raise LineError(problem="number-missing", case="arc-centre")
    origins = {"relative": state.begin, "absolute": state.shift}
    said, other = ("absolute", "relative") if state.centres == "absolute" else ("relative", "absolute")
    arc = _about(control, end, words, origins[said])
    allowed = control.allowance_mm(inches=state.inches)
    if sure and None not in words and not (arc and arc.off_mm <= allowed):
        otherwise = _about(control, end, words, origins[other])
        if otherwise and otherwise.off_mm <= allowed:
            assumed = state.centres == "unknown"
            control.odd_arc("read-absolute" if assumed else other)
            arc = otherwise if assumed else arc
    if arc is None:
        raise LineError(case="arc-no-radius")
    return arc


def _about(control: Control, end: Point, words: tuple[float | None, float | None], origin: Point) -> Arc | None:
    """Return the arc about the centre words counted from this origin."""
    state = control.state
    first, second, _ = AXES_OF[state.plane]
    along, up = (0.0 if word is None else word * state.scale for word in words)
    centre = (origin[first] + along, origin[second] + up)
    return by_centre(state.begin, end, centre, state.plane, clockwise=state.motion == "G2")


def _judge(control: Control, arc: Arc, end: Point, block: Block) -> None:
    """See whether the arc's numbers fit, and whether its turn is sure."""
    state = control.state
    if arc.off_mm > control.report_limit_mm(inches=state.inches):
        control.suspect("radius-short" if "R" in block.words else "radii", arc.off_mm)
    first, second, _ = AXES_OF[state.plane]
    begin = state.begin
    along, up = end[first] - begin[first], end[second] - begin[second]
    chord = sqrt(along * along + up * up)  # by the steps that a kernel takes too
    digit = (last_digit(block.text) or 0.0) * state.scale
    if SAME_MM <= chord < 2 * digit and abs(arc.turns) > NEARLY_FULL:
        control.problems.practice("tiny-arc", Level.ASK, numbers={"value": chord, "unit": "mm"})


def _probe(control: Control, block: Block) -> None:
    """G38.2: nobody knows where the probe stops; the whole way is taken (NISTIR 6556, 3.5.9.1)."""
    state, words = control.state, block.words
    refuse_with_side(control, "G38.2")
    if state.inverse_time:
        raise LineError(case="cycle-inverse-time")
    if not has_axes(words):
        raise LineError(case="no-axis-words", numbers={"code": "G38.2"})
    place, doubt = state.target(words)
    least_mm = limit("probe_least_inch").value * MM_PER_INCH if state.inches else limit("probe_least_mm").value
    if dist(state.here, place) < least_mm and state.doubt == doubt:
        raise LineError(case="probe-close", numbers={"value": dist(state.here, place), "limit": least_mm, "unit": "mm"})
    feed, _ = control.feed(block)
    control.problems.add("probe", Level.ASK, "path")
    if state.spindle:
        control.problems.practice("probe-turning", Level.ASK)
    x, y, z = (max(rests, Doubt.MEMORY) if axis in words else rests for axis, rests in zip("XYZ", doubt, strict=True))
    control.pending.append(Move(Kind.LINE, place, (x, y, z), feed))
    state.probed = (nan, nan, nan)


def _drill(control: Control, block: Block) -> None:
    """G73 and G81 to G89."""
    state, words = control.state, block.words
    refuse_with_side(control, state.motion)
    if state.inverse_time:
        raise LineError(case="cycle-inverse-time")
    if not has_axes(words):
        raise LineError(case="no-axis-words", numbers={"code": state.motion})
    if state.series is not None and isnan(state.series.bottom):
        raise LineError(problem="not-supported", case="value-unknown", level=Level.ASK, quote=state.motion)
    times = whole("L", words.get("L", 1.0))
    if times < 1:
        raise LineError(case="cycle-repeats", numbers={"value": times})
    series = series_of(state, state.motion, words)
    holes = holes_of(state, series, words, times)
    if control.drilled + holes.most_moves > MOST_DRILLED:
        raise LineError(problem="endless", case="repeats", numbers={"limit": MOST_DRILLED})
    control.drilled += holes.most_moves
    _see_heights(control, series, holes)
    see_long_dwell(control, series.dwell_s)
    feed, _ = control.feed(block)
    control.pending.extend(moves_of(holes, series, state, feed))
    state.series = series


def _see_heights(control: Control, series: SeriesOfHoles, holes: Holes) -> None:
    """Say where the report leaves a height open, or practice has another."""
    if series.code == "G83" and holes.pecks > 1 and holes.clear_mm > holes.return_mm:
        control.problems.practice("peck-return")
    height = control.state.here[AXES_OF[control.state.plane][2]]
    ways = [max(old, holes.return_mm) for old in (height, series.height_mm)]
    if control.state.old_height and ways[0] != ways[1]:
        control.problems.practice("old-height", numbers={"value": ways[0], "limit": ways[1], "unit": "mm"})


def _stand(_control: Control, block: Block) -> None:
    """G80: axis words are an error while no motion is in force."""
    if has_axes(block.words):
        raise LineError(case="no-motion-mode")


MOTIONS: Mapping[str, Callable[[Control, Block], None]] = {
    "G0": _go,
    "G1": _go,
    "G2": _turn,
    "G3": _turn,
    "G38.2": _probe,
    "G80": _stand,
    **dict.fromkeys(CYCLES, _drill),
}

"""Where zero and clamps may stand, as a document and as a page."""

import math
from collections.abc import Sequence
from typing import Any, Literal

from cutworthy.model.clearance import Part
from cutworthy.model.placement import SIDES, ClampRegion, Obstacle, Placement, Side, ZeroRegion
from cutworthy.present.document import CardRemark
from cutworthy.present.page import MARKS, Line, Style, remark_line
from cutworthy.present.plain import plain
from cutworthy.present.sentences import CLOSING
from cutworthy.present.show import Display, significant
from cutworthy.units import MM_PER_INCH

__all__ = ["ANSWERS", "PARTS", "answer", "clamp_name", "placement_document", "placement_page", "room_text", "why"]

Fits = Literal["here", "elsewhere", "nowhere"]
ANSWERS: dict[Fits, str] = {
    "here": "Zero fits where your card has it.",
    "elsewhere": "Zero does not fit where your card has it, but it does elsewhere.",
    "nowhere": "There is no place for zero.",
}
LEVELS: dict[Fits, Style] = {"here": "go", "elsewhere": "ask", "nowhere": "no-go"}
PARTS: dict[Part, str] = {
    "bit": "the bit",
    "nut": "the collet nut",
    "body": "the router's body",
    "shoe": "the dust shoe",
}
WAYS: dict[Side, str] = {side: f"to the {side}" for side in SIDES}
AGAIN = (
    "This looks at places only. Once zero or a clamp stands elsewhere, write it on the card and prove the job again."
)
SMALL_MM = 0.05  # a shift that nobody sets


def answer(zero: ZeroRegion) -> Fits:
    """Return whether zero fits where the card has it, elsewhere, or nowhere."""
    if zero.margins is not None:
        return "here"
    return "elsewhere" if zero.nearest_mm is not None else "nowhere"


def placement_document(
    placement: Placement, units: Literal["mm", "inch"], remarks: Sequence[CardRemark], file: str
) -> dict[str, Any]:
    """Return what was found, with its words and the picture's file."""
    zero, clamp, display = placement.zero, placement.clamp, Display(units)
    fits = answer(zero)
    edges = {side: clamp.edges[side] for side in SIDES}
    return {
        "kind": "place",
        "file": file,
        "zero": {
            "fits": fits,
            "says": ANSWERS[fits],
            "at_mm": _pair(zero.zero_mm),
            "room_mm": None if zero.margins is None else {side: _finite(zero.margins[side].room_mm) for side in SIDES},
            "then": None if zero.margins is None else {side: _then(zero.margins[side].then) for side in SIDES},
            "nearest_shift_mm": _pair(zero.nearest_mm),
            "best_shift_mm": _pair(zero.best_mm),
            "best_room_mm": significant(zero.best_room_mm) if zero.best_mm else None,
            "error_mm": significant(zero.error_mm),
            "travel_judged": {"x": zero.travel_judged[0], "y": zero.travel_judged[1]},
        },
        "clamp": {
            "size_mm": [significant(each) for each in (clamp.size.along_x_mm, clamp.size.along_y_mm)]
            + [significant(clamp.size.height_mm)],
            "plus_minus_mm": significant(clamp.size.plus_minus_mm),
            "given_by": clamp.size.given_by,
            "reach_mm": {side: significant(edge.reach_mm) if edge else None for side, edge in edges.items()},
            "reach_at_mm": {side: significant(edge.at_mm) if edge else None for side, edge in edges.items()},
            "error_mm": significant(clamp.error_mm),
        },
        "why": why(zero, display) if fits != "here" else [],
        "notes": _notes(placement),
        "remarks": [{"card": each.card, "line": each.line, "key": each.key, "says": each.says} for each in remarks],
    }


def placement_page(
    placement: Placement, told: dict[str, Any], *, job: str, machine: str, units: Literal["mm", "inch"]
) -> list[Line]:
    """Return the page: does zero fit, how far may it move, where may clamps stand, where is the picture."""
    zero, clamp, display = placement.zero, placement.clamp, Display(units)
    fits = answer(zero)
    level = LEVELS[fits]
    lines = [
        Line(text=f"[{MARKS[level]}] {ANSWERS[fits]}", style=level),
        Line(text=f"{plain(job)} on {plain(machine)}", style="quiet"),
        Line(text=""),
    ]
    rows = [("Why", each) for each in told["why"]] + _zero_rows(zero, display) + _clamp_rows(clamp, display)
    rows += [("Note", each) for each in told["notes"]] + [("Picture", plain(told["file"]))]
    lines += [Line(text=f"{name:<11}{text}", indent=11) for name, text in rows]
    lines += [remark_line(remark) for remark in told["remarks"]]
    return [*lines, Line(text=""), Line(text=AGAIN), Line(text=CLOSING, style="strong")]


def _zero_rows(zero: ZeroRegion, display: Display) -> list[tuple[str, str]]:
    """Return how far zero may move, and where it has the most room."""
    rows = []
    if zero.margins is not None:
        for side in SIDES:
            margin = zero.margins[side]
            then = f"; then {_says(margin.then)}" if margin.then is not None else ", and likely more"
            rows.append((side.capitalize(), f"zero may move {room_text(margin.room_mm, display)} {WAYS[side]}{then}"))
    elif zero.nearest_mm is not None:
        rows.append(("Nearest", f"it fits when you move zero {_shift_text(zero.nearest_mm, display)}"))
    if zero.best_mm is not None:
        where = _place_text((zero.zero_mm[0] + zero.best_mm[0], zero.zero_mm[1] + zero.best_mm[1]), display)
        room = f"{room_text(zero.best_room_mm, display)} of room all around"
        rows.append(("Roomiest", f"zero {where} ({_shift_text(zero.best_mm, display)}): {room}"))
    if zero.obstacles and answer(zero) != "nowhere":
        off = f"limits by clamps are told up to {display.length(zero.error_mm)} too near, never too far"
        rows.append(("Sure to", off))
    return rows


def _clamp_rows(clamp: ClampRegion, display: Display) -> list[tuple[str, str]]:
    """Return where a clamp may stand, in words."""
    safe = "is safe wherever all of it lies outside the hatched area, turned any way"
    off = f"that it may stand {display.length(clamp.size.plus_minus_mm)} off its place is in the hatching"
    rows = [("Clamps", f"{_lower(clamp_name(clamp, display))} {safe}; {off}")]
    free = []
    for side in SIDES:
        edge = clamp.edges[side]
        size = clamp.size.along_x_mm if side in ("left", "right") else clamp.size.along_y_mm
        if edge is None:
            continue
        if edge.reach_mm >= size / 2:
            free.append(f"half of it or more over the {side} edge")
        else:
            free.append(f"{room_text(edge.reach_mm, display)} over the {side} edge")
    if not free:
        return [*rows, ("Reach", "there is no edge of the board that it may reach over, unless it is turned or lower")]
    return [*rows, ("Reach", f"at its best place, not turned, it may reach {', '.join(free)}")]


def clamp_name(clamp: ClampRegion, display: Display) -> str:
    """Return the clamp by its size and where that comes from."""
    size = clamp.size
    sides = f"{display.length(size.along_x_mm)} by {display.length(size.along_y_mm)}"
    known = {"asked": "", "card": " (the first on your card)", "guess": " (a common size: your card has none)"}
    return f"A clamp of {sides}, {display.length(size.height_mm)} high{known[size.given_by]},"


def _says(obstacle: Obstacle) -> str:
    """Return what an obstacle does, as the end of a sentence."""
    line = f" (line {obstacle.line})" if obstacle.line is not None else ""
    if obstacle.kind == "travel":
        return f"{str(obstacle.axis).upper()} may leave its travel{line}"
    if obstacle.kind == "off-board":
        return f"a cut leaves the board along {str(obstacle.axis).upper()}{line}"
    if obstacle.kind == "tied":
        return "the program makes other moves when zero stands elsewhere, so no other zero can be judged"
    return f"{PARTS[obstacle.part or 'bit']} comes too near to {_thing(obstacle)}{line}"


def why(zero: ZeroRegion, display: Display) -> list[str]:
    """Return why zero does not fit, where it does not."""
    if zero.everywhere:
        return [f"wherever zero stands: {_says(each)}" for each in zero.everywhere]
    short = _too_short(zero, display)
    if short:
        return short
    if zero.nearest_mm is None:
        named = " or ".join(dict.fromkeys(_thing(each) for each in zero.obstacles))
        move = "Move the clamps, take lower ones, or raise the travel height"
        return [f"wherever travel and board allow it, the tool comes too near to {named}. {move}"]
    found = zero.why_not(0.0, 0.0)
    return [] if found is None else [f"where your card has zero, {_says(found)}"]


def _notes(placement: Placement) -> list[str]:
    """Return what was taken for granted or left out."""
    zero, found = placement.zero, []
    lost = [axis for axis, judged in zip("XY", zero.travel_judged, strict=True) if not judged]
    if lost:
        axes = " and ".join(lost)
        write = "at under [board], as the control shows its front left corner after homing"
        found.append(f"travel along {axes} is not judged: the cards do not say where the board lies; write {write}")
    wide = "is not on the machine card and counts as the widest we can think of"
    found += [f"{PARTS[part]} {wide}" for part in placement.guessed]
    if zero.machine_line is not None:
        to = "goes to a place of the machine, which stays when zero moves; that is reckoned with"
        found.append(f"line {zero.machine_line} {to}")
    if zero.unknown_line is not None:
        found.append(f"line {zero.unknown_line} goes where nobody knows from the cards; such moves are left out")
    if zero.start_line is not None:
        away = "from where the bit may stand at the start, wherever zero is: the bit has to start higher"
        found.append(f"the first travel, line {zero.start_line}, may meet a clamp {away}")
    return found


def _shift_text(shift_mm: tuple[float, float], display: Display) -> str:
    """Return a shift in words, as ``3 mm to the left and 4 mm to the back``."""
    sides: tuple[tuple[Side, Side], tuple[Side, Side]] = (("left", "right"), ("front", "back"))
    parts = [
        f"{display.length(abs(by))} {WAYS[side[by > 0]]}"
        for by, side in zip(shift_mm, sides, strict=True)
        if abs(by) >= SMALL_MM
    ]
    return " and ".join(parts) or "where it is now"


def _place_text(at_mm: tuple[float, float], display: Display) -> str:
    """Return a place on or beside the board in words."""
    told = []
    for at, edge, beyond in ((at_mm[0], "left", "to the left of"), (at_mm[1], "front", "in front of")):
        told.append(f"{display.length(abs(at))} {'from' if at >= 0 else beyond} the board's {edge} edge")
    return " and ".join(told)


def room_text(room_mm: float, display: Display) -> str:
    """Return room that is there for sure: rounded down, to a tenth of a millimetre or five thousandths of an inch."""
    step = 0.1 if display.units == "mm" else MM_PER_INCH / 200
    return display.length(math.floor(room_mm / step + 1e-6) * step)


def _thing(obstacle: Obstacle) -> str:
    return "the board" if obstacle.clamp is None else f"“{plain(str(obstacle.thing))}”"


def _too_short(zero: ZeroRegion, display: Display) -> list[str]:
    """Return where the board or the travel is too short for the program, or where the two do not go together."""
    found = []
    for i, axis in enumerate("XY"):
        board, travel = zero.spare_mm["board"][i], zero.spare_mm["travel"][i]
        if zero.board_mm[i][0] > zero.board_mm[i][1]:
            wide = f"the cuts are {display.length(-board)} too long along {axis} for the board"
            found.append(f"{wide}, with half a bit beside both ends")
        elif zero.travel_mm[i][0] > zero.travel_mm[i][1]:
            found.append(
                f"the moves are {display.length(-travel)} too long along {axis} for the travel and what zero may be off"
            )
        elif max(zero.board_mm[i][0], zero.travel_mm[i][0]) > min(zero.board_mm[i][1], zero.travel_mm[i][1]):
            move = "move the board on the table, and write its new place under [board]"
            found.append(f"with the cuts on the board, {axis} may leave its travel: {move}")
    return found


def _then(obstacle: Obstacle | None) -> dict[str, Any] | None:
    if obstacle is None:
        return None
    return {
        "kind": obstacle.kind,
        "axis": obstacle.axis,
        "part": obstacle.part,
        "about": obstacle.thing,
        "line": obstacle.line,
        "says": f"{_says(obstacle)}.",
    }


def _pair(values: tuple[float, float] | None) -> list[float | None] | None:
    return None if values is None else [_finite(value) for value in values]


def _finite(value: float) -> float | None:
    return significant(value) if math.isfinite(value) else None


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]

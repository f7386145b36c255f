"""Reads and obeys plain lines of a program over its bytes: G0 to G3 with X, Y, Z, I, J, R and F, and comments.

Whatever else a line holds, and whatever about it deserves a word to a person, stops the kernel in
front of that line: the complete reader takes it from there. Both give the same numbers to the last
bit; the twin is ``program.execute`` with ``program.motion``.
"""

import math

import numpy as np
import numpy.typing as npt

from cutworthy.kernels.compiling import compiled, inlined
from cutworthy.kernels.digits import AHEAD, digits

__all__ = ["FULL", "HANDED_OVER", "STOPPED", "obey_lines"]

# Why it stopped: at the end of its slice or its lines, in front of a line that is not plain, for want of room.
STOPPED, HANDED_OVER, FULL = 0, 1, 2

LONGEST_LINE = 80  # a longer one deserves a note
MARGIN = 2 * LONGEST_LINE  # bytes that must follow the begin of a line: nothing is read behind the last one
LINE_NUMBER_DIGITS = 5
MOST_DIGITS = 15  # so many are exact in a float, and their quotient by a power of ten is rounded once
LARGEST = 1e9
SAME_MM = 1e-7
NEARLY_FULL = 0.99
TAU = 2 * math.pi
RAPID, LINE, CLOCKWISE, COUNTER_CLOCKWISE = 0, 1, 2, 3  # motions, by the number of their code
ARC_KIND, XY = 2, 1.0

# What each byte means: a letter whose number is kept, N, G, white space, ends of lines, anything else.
# One look into a table is three times as quick as a chain of comparisons.
X, Y, Z, I_, J, R, F, G, N, BLANK, OPEN, LF, CR, OTHER = range(14)
MEANINGS = np.full(256, OTHER, dtype=np.uint8)
for _code, _letter in enumerate("XYZIJRFGN"):
    MEANINGS[[ord(_letter), ord(_letter.lower())]] = _code
MEANINGS[[ord(" "), ord("\t")]] = BLANK
MEANINGS[[ord("("), ord("\n"), ord("\r")]] = OPEN, LF, CR
AXES, CENTRE, RADIUS, FEED = 1 << X | 1 << Y | 1 << Z, 1 << I_ | 1 << J, 1 << R, 1 << F
PLUS, MINUS, POINT, ZERO, NINE, NEWLINE = map(ord, "+-.09\n")
LEFT, RIGHT, FIRST_SHOWN, LAST_SHOWN, TAB = map(ord, "() ~\t")
POWERS = np.array([10**power for power in range(AHEAD + 1)])

Bytes = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@inlined
def _number(data: Bytes, at: int, tens: Floats) -> tuple[int, float, int]:
    """Return where the number that begins here ends, its value, and its decimals; -1 where none is plain."""
    negative = data[at] == MINUS
    if negative or data[at] == PLUS:
        at += 1
    whole, count = digits(data, at)
    at += count
    decimals = 0
    if data[at] == POINT:
        behind, decimals = digits(data, at + 1)
        at += 1 + decimals
        whole = whole * POWERS[decimals] + behind
        count += decimals
    # One condition, not three: branches on the count of digits are guessed wrong half of the time.
    if (count == 0) | (count > MOST_DIGITS) | ((data[at] >= ZERO) & (data[at] <= NINE)):
        return -1, 0.0, 0
    value = whole / tens[decimals]
    return at, -value if negative else value, decimals


@inlined
def _after_comment(data: Bytes, here: int, limit: int) -> int:
    """Return the place behind the comment that is open here, -1 where something about it deserves a word."""
    while here <= limit:
        mark = data[here]
        here += 1
        if mark == RIGHT:
            return here
        if mark == LEFT or ((mark < FIRST_SHOWN or mark > LAST_SHOWN) and mark != TAB):
            break
    return -1


@inlined
def _words(data: Bytes, at: int, tens: Floats, words: Floats) -> tuple[int, int, int, int]:
    """Read a line: where the next begins (-1 when this one is not plain), letters said, motion, decimals."""
    said, stated, decimals, numbered = 0, -1, 0, False
    here, limit = at, at + LONGEST_LINE
    while True:
        meaning = MEANINGS[data[here]]
        here += 1
        if meaning == BLANK and here <= limit:
            continue
        if meaning >= LF:
            break
        if meaning == OPEN:
            here = _after_comment(data, here, limit)
            if here < 0:
                return -1, 0, 0, 0
            continue
        while MEANINGS[data[here]] == BLANK and here <= limit:
            here += 1
        begin = here
        here, value, behind = _number(data, begin, tens)
        if (here < 0) | (here > limit):
            return -1, 0, 0, 0
        ends = here
        if MEANINGS[data[here]] == BLANK:
            here += 1
            while MEANINGS[data[here]] == BLANK and here <= limit:
                here += 1
            if ZERO <= data[here] <= NINE or data[here] == POINT:
                return -1, 0, 0, 0  # white space inside a number
        if meaning < G:
            bit = 1 << meaning
            if (said & bit != 0) | (value >= LARGEST) | (value <= -LARGEST):
                return -1, 0, 0, 0
            said |= bit
            words[meaning] = value
            if (meaning != F) & (behind > decimals):
                decimals = behind
        elif meaning == G:
            if stated >= 0 or not (value == RAPID or value == LINE or value == CLOCKWISE or value == COUNTER_CLOCKWISE):
                return -1, 0, 0, 0
            stated = int(value)
        elif numbered or said or stated >= 0 or data[begin] < ZERO or data[ends - 1] == POINT or behind:
            return -1, 0, 0, 0  # a line number that is not the first word, or has a sign or a point
        elif ends - begin > LINE_NUMBER_DIGITS:
            return -1, 0, 0, 0
        else:
            numbered = True
    if meaning == CR:
        here += data[here] == NEWLINE
    elif meaning != LF:
        here = -1
    return here, said, stated, decimals


@inlined
def _turns(begin_x: float, begin_y: float, end_x: float, end_y: float, clockwise: bool) -> float:
    """Return the turns from one spoke to the other, a full one where they are the same."""
    apart_x, apart_y = end_x - begin_x, end_y - begin_y
    if math.sqrt(apart_x * apart_x + apart_y * apart_y) < SAME_MM:
        return -1.0 if clockwise else 1.0
    turns = (math.atan2(end_y, end_x) - math.atan2(begin_y, begin_x)) / TAU % 1.0
    if clockwise:
        return -(1.0 - turns) if turns != 1.0 else -1.0
    return turns if turns != 0.0 else 1.0


@inlined
def _arc(
    x: float, y: float, to_x: float, to_y: float, words: Floats, scale: float, off_mm: float,
    clockwise: bool, by_radius: bool,
) -> tuple[bool, float, float, float]:  # fmt: skip
    """Return whether an arc is faultless, its centre and its turns."""
    if by_radius:
        way_x, way_y = to_x - x, to_y - y
        chord = math.sqrt(way_x * way_x + way_y * way_y)
        radius, half = words[R] * scale, chord / 2
        if chord < SAME_MM or radius == 0 or half - abs(radius) > off_mm:
            return False, 0.0, 0.0, 0.0
        height = math.sqrt(max(radius * radius - half * half, 0.0))
        left = height / chord if clockwise == (radius < 0) else -height / chord
        begin_x, begin_y = -way_x / 2 + way_y * left, -way_y / 2 - way_x * left
        turns = _turns(begin_x, begin_y, begin_x + way_x, begin_y + way_y, clockwise)
        return True, x - begin_x, y - begin_y, turns
    centre_x, centre_y = x + words[I_] * scale, y + words[J] * scale
    begin_x, begin_y = x - centre_x, y - centre_y
    end_x, end_y = to_x - centre_x, to_y - centre_y
    radius = math.sqrt(begin_x * begin_x + begin_y * begin_y)
    if radius < SAME_MM or abs(math.sqrt(end_x * end_x + end_y * end_y) - radius) > off_mm:
        return False, 0.0, 0.0, 0.0
    return True, centre_x, centre_y, _turns(begin_x, begin_y, end_x, end_y, clockwise)


@compiled
def obey_lines(
    data: Bytes, at: int, stop: int, line: int, stop_line: int, most: int, tens: Floats, tenths: Floats,
    modes: Ints, numbers: Floats, doubts: Bytes, row: int,
    lines: npt.NDArray[np.int32], kinds: Bytes, paths: Bytes, places: Floats, feeds: Floats, rpms: Floats,
    tools: npt.NDArray[np.int32], start_doubt: Bytes, end_doubt: Bytes, arcs: Floats,
) -> tuple[int, int, int, int, int, int]:  # fmt: skip
    """Obey lines from the byte ``at`` on, number ``line``, up to the byte ``stop``.

    Parameters
    ----------
    data
        The program's bytes. Its last ``MARGIN`` bytes are left to the complete reader.
    at, stop
        Where the first line begins; no line that begins at or behind ``stop`` is read.
    line, stop_line, most
        The number of the first line, one that is not read, and how many that say anything may be.
    tens, tenths
        Ten to the power of 0, 1, 2 and so on, and of their negatives.
    modes
        Motion 0 to 3, whether coordinates are absolute, whether arcs may be obeyed, path mode,
        tool. The motion is written back.
    numbers
        Place [mm] (0 to 2), shift [mm] (3 to 5), feed (6, NaN none), millimetres in a unit (7),
        rpm (8), by how much an arc may be off [mm] (9), finest last digit of arcs [mm] (10). Place,
        feed and digit are written back.
    doubts
        What the place rests on (0 to 2), and the shift (3 to 5). The first are written back.
    row
        Where the first move goes in the columns that follow.
    lines, kinds, paths, places, feeds, rpms, tools, start_doubt, end_doubt
        The columns of the moves, written from ``row`` on: lines, codes of kind and path, ends [mm]
        (in one row more than the rest: that of the move before), feeds [mm/min], [rpm], tools, doubts.
    arcs
        Room for row, plane, centre and turns of arcs, shape (n, 6).

    Returns
    -------
    why, at, line, row, arcs, lines
        Why it stopped, where and at which line it goes on, the number of moves and of arcs now,
        and how many lines that say anything it has read.
    """
    x, y, z, feed = numbers[0], numbers[1], numbers[2], numbers[6]
    shift_x, shift_y, shift_z = numbers[3], numbers[4], numbers[5]
    scale, rpm, off_mm, finest = numbers[7], numbers[8], numbers[9], numbers[10]
    motion, absolute, arcs_plain, path, tool = modes[0], modes[1] != 0, modes[2] != 0, modes[3], modes[4]
    doubt_x, doubt_y, doubt_z = doubts[0], doubts[1], doubts[2]
    words = np.zeros(G)
    arc_count, done, why = 0, 0, STOPPED
    while at < stop and line != stop_line and done < most:
        # Nothing is changed before all of the line is found plain.
        words[I_] = words[J] = 0.0
        after, said, stated, decimals = -1, 0, -1, 0
        if at + MARGIN <= len(data):
            after, said, stated, decimals = _words(data, at, tens, words)
        if after < 0 or (said & FEED and not words[F] >= 0):
            why = HANDED_OVER
            break
        now = stated if stated >= 0 else motion
        new_feed = words[F] if said & FEED else feed
        has_axes = said & AXES != 0
        moves = has_axes or stated >= 0
        turning = moves and now >= CLOCKWISE
        if (moves and (not has_axes or (now != RAPID and not new_feed > 0))) or (
            said & (CENTRE | RADIUS) and not turning
        ):
            why = HANDED_OVER
            break
        to_x, to_y, to_z = x, y, z
        to_doubt_x, to_doubt_y, to_doubt_z = doubt_x, doubt_y, doubt_z
        if absolute:
            if said & (1 << X):
                to_x, to_doubt_x = words[X] * scale + shift_x, doubts[3]
            if said & (1 << Y):
                to_y, to_doubt_y = words[Y] * scale + shift_y, doubts[4]
            if said & (1 << Z):
                to_z, to_doubt_z = words[Z] * scale + shift_z, doubts[5]
        else:
            if said & (1 << X):
                to_x = x + words[X] * scale
            if said & (1 << Y):
                to_y = y + words[Y] * scale
            if said & (1 << Z):
                to_z = z + words[Z] * scale
        if turning:
            # Between places in doubt the shape of an arc says nothing; an arc needs an end, and a centre or a radius.
            doubtful = (doubt_x | doubt_y | to_doubt_x | to_doubt_y) != 0
            by_radius = said & RADIUS != 0
            has_end = said & (1 << X | 1 << Y) != 0
            if not arcs_plain or doubtful or not has_end or by_radius == (said & CENTRE != 0):
                why = HANDED_OVER
                break
            faultless, centre_x, centre_y, turns = _arc(
                x, y, to_x, to_y, words, scale, off_mm, now == CLOCKWISE, by_radius
            )
            digit = tenths[decimals] * scale if decimals else 0.0
            way_x, way_y = to_x - x, to_y - y
            chord = math.sqrt(way_x * way_x + way_y * way_y)
            if not faultless or (SAME_MM <= chord < 2 * digit and abs(turns) > NEARLY_FULL):
                why = HANDED_OVER
                break
            if arc_count >= len(arcs) or row >= len(lines):
                why = FULL
                break
            arcs[arc_count, 0], arcs[arc_count, 1] = row, XY
            arcs[arc_count, 2], arcs[arc_count, 3], arcs[arc_count, 4] = centre_x, centre_y, z
            arcs[arc_count, 5] = turns
            arc_count += 1
            if decimals and digit < finest:
                finest = digit
        stays = to_x == x and to_y == y and to_z == z
        if stays and (to_doubt_x != doubt_x or to_doubt_y != doubt_y or to_doubt_z != doubt_z):
            stays = False  # from a place in doubt to a known one is a way, however alike the two look
        if moves and (turning or not stays):
            if row >= len(lines):
                why = FULL
                break
            lines[row] = line
            kinds[row] = ARC_KIND if turning else now
            paths[row] = path
            places[row + 1, 0], places[row + 1, 1], places[row + 1, 2] = to_x, to_y, to_z
            feeds[row] = math.nan if now == RAPID else new_feed * scale
            rpms[row] = rpm
            tools[row] = tool
            start_doubt[row, 0], start_doubt[row, 1], start_doubt[row, 2] = doubt_x, doubt_y, doubt_z
            end_doubt[row, 0], end_doubt[row, 1], end_doubt[row, 2] = to_doubt_x, to_doubt_y, to_doubt_z
            row += 1
            x, y, z = to_x, to_y, to_z
        doubt_x, doubt_y, doubt_z = to_doubt_x, to_doubt_y, to_doubt_z
        feed, motion = new_feed, now
        done += (said != 0) | (stated >= 0)
        at = after
        line += 1
    numbers[0], numbers[1], numbers[2] = x, y, z
    numbers[6], numbers[10] = feed, finest
    modes[0] = motion
    doubts[0], doubts[1], doubts[2] = doubt_x, doubt_y, doubt_z
    return why, at, line, row, arc_count, done

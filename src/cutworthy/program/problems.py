"""What can be wrong with a program: ids, cases, and the numbers that each case carries.

Every problem has ``line`` and ``quote``: the piece of the line in question where one is named
below, else the beginning of the line. ``column`` counts characters from 1. Numbers in brackets.

``bad-line`` (no-go) about the file as a whole, on line 1, without any move:

- ``empty``: no line holds anything
- ``binary``: the bytes are no text
- ``no-program``: hardly a line can be read, and none moves anything [value, limit]
- ``utf-16``: saved with two or more bytes to a letter
- ``parity``: punched-tape bytes that carry a parity bit

``bad-line`` (no-go) about the text of a line:

- ``line-endless``: a line longer than we read [limit]
- ``character``: a character that means nothing here [column]; quote: it
- ``control-character``: an invisible control byte [column, code]
- ``no-break-space``: a no-break space from a word processor [column]
- ``minus-sign``: a typographic minus, U+2212 [column]
- ``decimal-comma``: a comma for a decimal point [column]; quote: the word
- ``two-points``: a second decimal point in a number [column]; quote: the word
- ``bracket-open``: ``[`` is not closed, or what stands after ``#`` is no number [column]
- ``value-long``: a word made of more values than we follow [column, limit]
- ``comment-open``: ``(`` is not closed on its line [column]
- ``comment-nested``: ``(`` inside a comment [column]
- ``comment-inside``: a comment inside a word [column]
- ``comment-close``: ``)`` without its ``(`` [column]
- ``line-number-late``: N is not the first word [column]
- ``block-delete-late``: ``/`` is not the first character [column]
- ``percent-late``: ``%`` is not the first character [column]
- ``letter-twice``: two words of one letter [letter]
- ``two-of-a-group``: two codes of which only one can hold [first, second]
- ``too-many-m``: more than four M words [value, limit]
- ``number-too-large``: a number beyond all reason [limit]; quote: the word
- ``no-value``: mathematics does not allow it: a division by zero, the root of a negative number
- ``no-parameter``: there is no parameter of this number [value, limit]

``bad-line`` (no-go) about what a line asks for:

- ``no-motion-mode``: X, Y or Z, but no motion code is in force
- ``no-axis-words``: the code needs an X, Y or Z word [code]
- ``two-users``: two codes want the axis words [first, second]
- ``machine-needs-line``: G53 without G0 or G1
- ``negative``: the number may not be negative [letter, value]
- ``not-whole``: the number must be whole [letter, value]
- ``word-unused``: a word that no code of the line takes [letter, value]
- ``rotary``: a turn about A, B or C, which the machine does not have [letter]
- ``arc-same-place``: an arc by radius that ends where it starts
- ``arc-no-radius``: the radius is zero, or the centre lies on the start
- ``arc-radius-and-centre``: R together with I, J or K
- ``arc-across``: a centre word across the plane [letter, value]
- ``cycle-below``: R lies below the bottom of the hole [bottom_mm, return_mm]
- ``cycle-inverse-time``: a drilling cycle under G93
- ``cycle-peck``: Q is zero or negative [value]
- ``cycle-repeats``: L is less than one [value]
- ``cycle-spindle``: the cycle needs a turning spindle, G84 one that turns clockwise [code]
- ``probe-close``: G38.2 begins too near to where it leads [value, limit, unit]
- ``no-system``: G10 names a coordinate system that does not exist [value, limit]
- ``no-slot``: the tool table has no such slot; in a strict reading only [letter, value, limit]
- ``side-on``: not while the cutter's radius is compensated (G41, G42) [code]
- ``side-plane``: cutter compensation in another plane than XY [code]
- ``side-gouge``: the tool covers the end of the first compensated move already [value, unit]
- ``side-narrow``: an inside arc no wider than the tool [value, limit, unit]
- ``part-missing``: M98 calls a part that is not there [name]
- ``part-twice``: M98 calls a part that is there twice [name, first, second]
- ``part-open``: the part that runs has no M99 before the next one, or the end [name]

``bad-line`` (no-go) in a strict reading only: the report refuses what practice accepts. The cases are
those of ``practice`` that are marked *refused* below, with the same numbers.

``number-missing`` (no-go):

- ``after-letter``: no number stands behind the letter [letter, column]; quote: the word
- ``arc-centre``: an arc without centre or radius
- ``arc-end``: an arc without an end in its plane
- ``cycle-bottom``: the first line of a cycle does not say how deep
- ``cycle-return``: the first line of a cycle has no R
- ``cycle-peck``: the first line of G83 has no Q
- ``cycle-back``: the first line of G87 has no word for the height it bores up to
- ``dwell``: G4 or the first line of G82, G86, G88 or G89 without P
- ``length``: G43 without H
- ``system-data``: G10 without L or P
- ``call``: M98 without P

``unknown-word`` (no-go); quote: the word:

- ``letter``: no word begins with this letter [letter, column]
- ``code``: no such G or M code [code]
- ``beyond``: a code of practice; in a strict reading only [code]

``feed-missing`` (no-go); the move is still followed:

- ``never``: a feed move before any F
- ``zero``: the F in force is 0
- ``inverse-time``: a feed move under G93 without an F on its line
- ``after-inverse``: no F since G94 ended G93

``truncated`` (no-go):

- ``comment``: the file ends inside one
- ``word``: the file ends inside one
- ``number``: its last number has fewer decimals than all others of its letter [letter, value, limit, count]

``endless`` (no-go):

- ``repeats``: drilling cycles make more moves than we follow [limit]
- ``calls``: called parts run more lines than we follow; the reading ends there [limit]
- ``recursion``: a part calls itself [name]
- ``main``: M99 in the main part begins it again for ever; the reading ends there

``arc-mismatch`` (no-go beyond the limit, note within) [value, limit, unit]; the arc is still followed:

- ``radii``: its radius at the start and at the end differ by ``value``
- ``radius-short``: R is shorter than half the way to the end by ``value``

``arc-format`` (ask); I, J, K of so many of all arcs fit only if read the other way [value, limit]:

- ``read-absolute``: as places in the program's coordinates, and so they were read
- ``absolute``: as places, but the machine's card or the program says offsets
- ``relative``: as offsets, but the machine's card or the program says places

``units-unstated`` (ask); the first move comes before any G20 or G21 [assumed]:

- ``assumed``: nobody says what the control starts in
- ``as-at-start``: the machine's card does

``units-changed`` (ask):

- ``feed-in-force``: units switched while a feed was in force [first, second, feed]
- ``mid-program``: units switched after moves [first, second]

``memory-needed`` (ask):

- ``system``: another coordinate system than the card's [code]
- ``home``: the place of G28 or G30 [code]
- ``zero-place``: where zero lies in machine coordinates, for G53, G28 or G30 [axes]
- ``machine-zero``: G53 in a program read alone: the machine's zero is taken as the program's [axes]
- ``stored-offset``: G92.3 takes an offset of an earlier program
- ``parameter``: a parameter that the program has not set; what rests on it is in doubt [number]
- ``parameter-zero``: the same, taken as zero in a program read alone [number]
- ``bit``: which tool is called; the one called before is taken [tool]
- ``other-bit``: where a bit's tip is in machine coordinates, known for another bit [tool, first]
- ``length``: the length of this slot, taken as none [number]
- ``length-twice``: the control adds a length to a tool that was touched off [number, tool]
- ``length-other``: the length of another slot than the tool in the spindle [number, tool]
- ``length-off``: the tool's length is not switched on, and lengths come from the table [tool]
- ``diameter``: the diameter of this slot, taken as the card's [number, value, unit]
- ``diameter-none``: the same, taken as none [number]

``not-supported`` (ask); quote: the code:

- ``code``: a code that is not obeyed
- ``part``: a part with a name, or an O word that does something
- ``flow``: words that choose the next line
- ``return-to``: M99 to a line of a number
- ``call-packed``: so long a P of M98 may hold a count and a number [name]
- ``side-corner``: an inside corner under cutter compensation, gone into; the report refuses it
- ``side-inverse-time``: a corner under cutter compensation and inverse time: how long it takes, nobody says
- ``side-arc-first``: an arc as the first move under cutter compensation
- ``parameter-unknown``: a parameter is set whose number nobody knows
- ``value-unknown``: a number nobody knows decides what the line does

``no-end`` (ask; no-go in a strict reading); no M2, M30 or closing ``%``:

- ``no-end``: that is all
- ``bit-down``: and the path stops in a cut, below the height of its travels [value, limit, unit]

``units-suspect`` (ask); the size of the cuts speaks for the other unit [value, unit, other_mm]:

- ``read-inch``: inches, and larger than a sheet
- ``read-mm``: millimetres, smaller than an inch, and written with the decimals of inches [decimals]
- ``read-slow``: millimetres, smaller than an inch, and fed slower than wood is [feed_mm_min]

``spindle-left-on`` (note): ``left-on``: it still turns when the program stops without M2 or M30.

``stale-offset`` (ask):

- ``left-on``: G92 offsets still act after the last line [x_mm, y_mm, z_mm]
- ``kept``: the end switches G92 offsets off, but the control may keep them [x_mm, y_mm, z_mm]
- ``system``: G10 stores a zero that stays in the control [code]
- ``parameter``: a parameter is set in which the control keeps a place [number]

``probe`` (ask): ``path``: nobody knows where a probing move stops.

``practice`` (note unless marked): report and practice part here; ``rule`` [always] repeats the case.

- ``semicolon``: a comment after ``;`` *refused*
- ``block-delete-number``: ``/2`` and the like *refused*
- ``byte-order-mark``: invisible bytes at the start of the file *refused*
- ``tape-bytes``: bytes of punched tape before or behind the program *refused*
- ``line-over-256``: longer than the report allows [value, limit] *refused*
- ``line-over-80``: longer than old controls take [value, limit]
- ``line-number-long``: N with more than five digits *refused*
- ``line-number-decimal``: N with a decimal point or a sign *refused*
- ``percent-text``: text behind ``%`` *refused*
- ``percent-alone``: a closing ``%`` without an opening one *refused*
- ``percent-open``: an opening ``%`` without a closing one *refused*
- ``leader``: lines before the first of two ``%`` were left out (ask) *refused*
- ``sign-before-value``: a sign before ``#``, ``[`` or a function *refused*
- ``program-name``: an O word that names the program *refused*
- ``runs-into-part``: the main part goes on into a part with a name (ask) [name] *refused*
- ``calls-deep``: more calls within calls than every control follows (ask) [value, limit] *refused*
- ``part-drifts``: each repeat of a part begins elsewhere [name, x_mm, y_mm, z_mm] *refused*
- ``mode-left``: a part leaves the distance mode changed [name, code] *refused*
- ``end-in-part``: the program ends inside a called part [name] *refused*
- ``probe-turning``: a probing move while the spindle turns (ask)
- ``space-in-number``: white space inside a number [column]
- ``several-m-words``: more than one M word on a line [value]
- ``no-axis-words``: G0, G1, G2 or G3 alone, as a mode for later lines [code] *refused*
- ``home-with-motion``: G0 or G1 on a line with G28 or G30 [code] *refused*
- ``word-harmless``: a word that no code takes, and that cannot move anything [letter] *refused*
- ``full-circle``: a circle without an end point *refused*
- ``offset-across``: a zero centre word across the plane [letter] *refused*
- ``eia-units``: G70 as inch, G71 as mm (ask) [code] *refused*
- ``absolute-centres``: G90.1, I, J, K as places (ask) *refused*
- ``relative-centres``: G91.1, I, J, K as offsets *refused*
- ``home-some-axes``: practice sends only the named axes home, the report all (ask) [code]
- ``home-by-way``: G28 or G30 under G90 goes to the words' place first [code]
- ``machine-incremental``: G53 under G91, taken as machine coordinates
- ``peck-return``: G83 under G98: practice comes back to R at each peck, the report to the old height
- ``old-height``: G98: the height before the line and before the cycle differ [value, limit, unit]
- ``dwell-long``: so long a pause may be meant in milliseconds (ask) [seconds_s]
- ``tiny-arc``: almost a full circle, or nothing, by the last digit (ask) [value, unit]
- ``start-state``: relies on codes that it does not state [codes]
- ``no-decimal-point``: no coordinate has a point and they are huge: thousandths (ask) [value, unit]
- ``after-end``: words behind the end that would move the bit
"""

from collections import Counter
from collections.abc import Mapping

from cutworthy.model.program import Level, Problem

__all__ = ["NOTHING", "LineError", "Numbers", "Problems"]

# Rules of practice that change nothing the report forbids: in a strict reading they are no error.
ALLOWED_BY_REPORT = frozenset(
    (
        "after-end",
        "dwell-long",
        "home-by-way",
        "home-some-axes",
        "line-over-80",
        "machine-incremental",
        "no-decimal-point",
        "old-height",
        "peck-return",
        "probe-turning",
        "several-m-words",
        "space-in-number",
        "start-state",
        "tiny-arc",
    )
)
QUOTED = 40
# Of one case only so many are kept: the first tells the story, and a file of rubbish stays small.
KEPT = 1000

Numbers = Mapping[str, float | str]
NOTHING: Numbers = {}


class LineError(Exception):
    """A line that cannot be obeyed. ``unfinished``: it fails at its very end."""

    def __init__(
        self,
        *,
        case: str,
        problem: str = "bad-line",
        quote: str = "",
        unfinished: bool = False,
        level: Level = Level.NO_GO,
        numbers: Numbers = NOTHING,
    ) -> None:
        """Keep what a problem needs besides its line."""
        super().__init__(problem, case)
        self.problem = problem
        self.case = case
        self.quote = quote
        self.unfinished = unfinished
        self.level = level
        self.numbers = numbers


class Problems:
    """Collects the problems of one program; ``line`` and ``text`` are those being read."""

    def __init__(self, *, strict: bool) -> None:
        """Begin with none."""
        self.line = 1
        self.text = ""
        self._strict = strict
        self._found: list[Problem] = []
        self._kept: Counter[tuple[str, str]] = Counter()

    def at(self, line: int, text: str) -> None:
        """Go to a line."""
        self.line, self.text = line, text

    def add(self, problem: str, level: Level, case: str, numbers: Numbers = NOTHING, *, quote: str = "") -> None:
        """Add a problem of the line being read."""
        self._kept[problem, case] += 1
        if self._kept[problem, case] <= KEPT:
            quote = _shortened(quote or self.text)
            self._found.append(
                Problem(line=self.line, id=problem, level=level, case=case, quote=quote, numbers=numbers)
            )

    def fault(self, problem: str, case: str) -> None:
        """Add a no-go problem of a line that is followed nevertheless, but not in a strict reading."""
        if self._strict:
            raise LineError(problem=problem, case=case)
        self.add(problem, Level.NO_GO, case)

    def refuse(self, error: LineError) -> None:
        """Add the error of a line that is not obeyed."""
        level = Level.NO_GO if self._strict else error.level
        self.add(error.problem, level, error.case, error.numbers, quote=error.quote)

    def practice(self, rule: str, level: Level = Level.NOTE, numbers: Numbers = NOTHING) -> None:
        """Say that practice accepts or does what the report does not; an error in a strict reading."""
        if not self._strict:
            self.add("practice", level, rule, {"rule": rule, **numbers})
        elif rule not in ALLOWED_BY_REPORT:
            raise LineError(case=rule, numbers=numbers)

    def in_order(self) -> tuple[Problem, ...]:
        """Return all problems by line, those of one line as they were found."""
        return tuple(sorted(self._found, key=lambda problem: problem.line))

    def start_anew(self) -> None:
        """Forget all that was found, and stand on the first line."""
        self.cut_back(0)
        self.line, self.text = 1, ""

    def cut_back(self, count: int) -> None:
        """Forget what was found after the first ``count`` problems."""
        for problem in self._found[count:]:
            self._kept[problem.id, problem.case] -= 1
        del self._found[count:]

    def __len__(self) -> int:
        """Return the number of problems kept."""
        return len(self._found)


def _shortened(text: str) -> str:
    """Return the text without white space around it, and no longer than a quotation."""
    text = text.strip()
    return text if len(text) <= QUOTED else text[: QUOTED - 1] + "…"

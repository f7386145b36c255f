"""Faults that people make, each planted in a clean job: what must be found, how grave, and how one comes to it."""

from dataclasses import dataclass, replace

from jobs import BY_PROGRAM, CLEAN, Job
from pieces import Style, drop, find, line, mark, put, swap


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One planted fault. ``on_line``: whether it is to be found on the planted line."""

    id: str
    level: str
    why: str
    job: Job
    on_line: bool = True


def _of(name, change=None, **keys):
    """Return a clean job with its lines changed, and other keys."""
    job = CLEAN[name]
    return replace(job, lines=change(job.lines) if change else job.lines, **keys)


def _clamp(**keys):
    job = CLEAN["pocket"]
    return (job.clamps[0] | keys, job.clamps[1])


def _text(lines, old, new):
    """Return the program with a line replaced by text as it stands."""
    at = next(row for row, own in enumerate(lines) if own.words == line(old).words)
    return [*lines[:at], replace(lines[at], words=(), text=new, planted=True), *lines[at + 1 :]]


FAULTS = [
    # Where it goes
    Fault(
        id="clamp-hit",
        level="no-go",
        why="travels home across a clamp, too low",
        job=_of("pocket", lambda p: swap(swap(p, "G0 Z30", "G0 Z3", planted=False), "G0 X0 Y0", "G0 X-30 Y65")),
    ),
    Fault(
        id="clamp-hit",
        level="no-go",
        why="cuts into a clamp that was moved",
        job=_of(
            "outline with tabs",
            lambda p: mark(p, "G1 Y57 F1800"),
            clamps=({"name": "moved", "from": ["30 mm", "45 mm"], "to": ["44 mm", "52 mm"], "height": "30 mm"},),
        ),
    ),
    Fault(
        id="clamp-near",
        level="ask",
        why="passes a clamp by less than the tape can tell",
        job=_of(
            "arcs by radius and by centre",
            lambda p: put(p, "(slots)", "G0 X40 Y90", "G0 Z2", "G1 Z-3 F300", "G1 X164.5 F1800", "G0 Z20", planted=3),
            clamps=({"name": "near", "from": ["169 mm", "80 mm"], "to": ["200 mm", "100 mm"], "height": "30 mm"},),
        ),
    ),
    Fault(
        id="nut-hit",
        level="no-go",
        why="a long reach beside a tall clamp: the nut is wider than the bit",
        job=_of(
            "letters",
            lambda p: put(p, "G1 X110", "G1 X150 F1600"),
            clamps=({"name": "tall", "from": ["158 mm", "40 mm"], "to": ["190 mm", "60 mm"], "height": "60 mm"},),
        ),
    ),
    Fault(
        id="travel-exceeded",
        level="no-go",
        why="zero too near the right end of the travel",
        job=_of(
            "pocket",
            lambda p: mark(p, "G1 X112"),
            job_edits=(('at = ["100 mm", "100 mm"]', 'at = ["710 mm", "100 mm"]'),),
        ),
    ),
    Fault(
        id="travel-exceeded",
        level="no-go",
        why="a number typed with a digit too many",
        job=_of("letters", lambda p: swap(p, "G1 X110", "G1 X1110")),
    ),
    Fault(
        id="first-move-low",
        level="no-go",
        why="goes across before it rises",
        job=_of("pocket", lambda p: swap(p, "G0 Z20", "G0 X50 Y50 Z-1")),
    ),
    Fault(
        id="last-move-low",
        level="ask",
        why="ends without rising",
        job=_of(
            "arcs by radius and by centre",
            lambda p: mark(drop(drop(p, "G0 Z15", nth=2), "G0 Z30"), "G0 X0 Y0"),
            clamps=(),
        ),
        on_line=False,
    ),
    Fault(
        id="zero-suspect",
        level="ask",
        why="drawn about the middle, zeroed at the corner",
        job=replace(
            CLEAN["pocket, zero at the middle of the board"], zero=("left", "front", "top"), clamps=(), holding="tape"
        ),
        on_line=False,
    ),
    # How deep it goes
    Fault(
        id="table-hit",
        level="no-go",
        why="a depth with a digit too many",
        job=_of("letters", lambda p: swap(p, "G1 Z-2 F300", "G1 Z-40 F300")),
    ),
    Fault(
        id="spoilboard-cut",
        level="ask",
        why="cuts through with two millimetres to spare",
        job=_of("outline with tabs", lambda p: swap(p, "G1 Z-12.5 F300", "G1 Z-14.5 F300")),
    ),
    Fault(
        id="not-through",
        level="ask",
        why="the board is thicker than the drawing",
        job=_of("outline with tabs", size=("180 mm", "120 mm", "12.4 mm"), spread="0.3 mm"),
        on_line=False,
    ),
    Fault(
        id="bit-too-short",
        level="no-go",
        why="the cutting edge is shorter than the cut is deep",
        job=replace(
            _of("bores by helices", lambda p: mark(p, "G2 X38 Y60 Z-10 I12 J0 F1800")).with_bit(cutting_length="8 mm")
        ),
    ),
    Fault(
        id="plunge",
        level="ask",
        why="plunges at the feed for cutting",
        job=_of("letters", lambda p: swap(p, "G1 Z-2 F300", "G1 Z-2 F1600")),
    ),
    Fault(
        id="plunge",
        level="ask",
        why="plunges with a bit that does not cut at its middle",
        job=_of("outline with tabs", lambda p: mark(p, "G1 Z-3.2 F300")).with_bit(centre_cutting=False),
    ),
    # What it meets
    Fault(
        id="rapid-in-wood",
        level="no-go",
        why="a travel within the board instead of above it",
        job=_of(
            "pocket",
            lambda p: put(p, "(pocket)", "G0 X30 Y100", "G0 Z2", "G1 Z-3 F300", "G0 X120", "G0 Z20", planted=3),
        ),
    ),
    Fault(
        id="rapid-in-wood",
        level="no-go",
        why="plunges at full speed",
        job=_of("arcs by radius and by centre", lambda p: swap(p, "G1 Z-3 F300", "G0 Z-3")),
    ),
    Fault(
        id="part-freed",
        level="ask",
        why="the tabs were forgotten",
        job=_of(
            "outline with tabs",
            lambda p: [own for own in mark(p, "G1 Y40", nth=4) if own.words != line("G1 Z-7.5 F300").words],
        ),
        on_line=False,
    ),
    Fault(
        id="dwell-burn",
        level="ask",
        why="waits in the wood",
        job=_of("letters", lambda p: put(p, "G1 X70 Y90", "G4 P6")),
    ),
    # Spindle, bits, feeds
    Fault(
        id="spindle-off",
        level="no-go",
        why="the spindle is never started",
        job=_of("letters", lambda p: mark(drop(p, "S16000 M3"), "G1 Z-2 F300"), edits=BY_PROGRAM),
        on_line=False,
    ),
    Fault(
        id="spindle-range",
        level="no-go",
        why="faster than the bit may turn",
        job=CLEAN["letters"].with_bit(max_rpm="14000 rpm"),
        on_line=False,
    ),
    Fault(
        id="spindle-left-on",
        level="note",
        why="the spindle is never stopped",
        job=_of("letters", lambda p: drop(drop(p, "M30"), "M5"), edits=BY_PROGRAM, style=Style(percent=True)),
        on_line=False,
    ),
    Fault(
        id="bit-missing",
        level="no-go",
        why="calls a bit that nobody has put on the card",
        job=_of("two bits", lambda p: swap(p, "T2 M6", "T5 M6")),
        on_line=False,
    ),
    Fault(
        id="bit-change",
        level="ask",
        why="the control ignores the change of bits",
        job=_of("two bits", lambda p: mark(p, "T2 M6"), edits=(('bit_change = "waits"', 'bit_change = "ignores"'),)),
    ),
    Fault(
        id="feed-missing",
        level="no-go",
        why="no feed before the first cut",
        job=_of("arcs by radius and by centre", lambda p: swap(p, "G1 Z-3 F300", "G1 Z-3")),
    ),
    Fault(
        id="feed-unreachable",
        level="note",
        why="asks for more than the axes can do",
        job=_of("letters", lambda p: swap(p, "G1 X55 Y50 F1900", "G1 X55 Y50 F9000")).with_bit(speed="24000 rpm"),
    ),
    # What it asks of bit, spindle, axes and clamps
    Fault(
        id="chip-thin",
        level="ask",
        why="halved the feed to be careful",
        job=_of(
            "bores by helices",
            lambda p: [
                replace(own, words=tuple((k, v / 3 if (k, v) == ("F", 1800) else v) for k, v in own.words))
                for own in mark(p, "G2 X38 Y60 Z-2 I12 J0 F1800")
            ],
        ),
    ),
    Fault(
        id="chip-thick",
        level="ask",
        why="a feed for another bit",
        job=_of("letters", lambda p: swap(p, "G1 X55 Y50 F1900", "G1 X55 Y50 F2900")).with_bit(
            speed="8000 rpm", flutes=1, chip=["0.05 mm", "0.12 mm"]
        ),
    ),
    Fault(
        id="bit-overload",
        level="ask",
        why="the whole depth at once",
        job=_of(
            "outline with tabs", lambda p: swap(p, "G1 Z-3.2 F300", "G1 Z-12.5 F300"), material="white oak"
        ).with_bit(stickout="45 mm"),
        on_line=False,
    ),
    Fault(
        id="bit-overload",
        level="no-go",
        why="a thin bit where a thick one was meant",
        job=_of("pocket", lambda p: mark(p, "G1 X80 Z-2 F600")).with_bit(
            diameter="1 mm", stickout="25 mm", shank="3 mm"
        ),
        on_line=False,
    ),
    Fault(
        id="lost-step-risk",
        level="ask",
        why="an axis that goes stiffly",
        job=_of(
            "outline with tabs",
            edits=(
                (
                    'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }',
                    'drag = { value = "350 N", plus_minus = "3 N", origin = "measured" }',
                ),
            ),
        ),
        on_line=False,
    ),
    Fault(
        id="power-short",
        level="ask",
        why="a small router at full depth",
        job=_of(
            "outline with tabs",
            lambda p: swap(p, "G1 Z-3.2 F300", "G1 Z-12.5 F300"),
            edits=(('power = "710 W"', 'power = "200 W"'),),
        ),
        on_line=False,
    ),
    Fault(
        id="hold-down-short",
        level="ask",
        why="one weak clamp",
        job=_of(
            "outline with tabs",
            lambda p: swap(p, "G1 Z-3.2 F300", "G1 Z-12.5 F300"),
            clamps=CLEAN["pocket"].clamps[:1],
            job_edits=(('by = "clamps"', 'by = "clamps"\nforce = "100 N"'),),
        ),
        on_line=False,
    ),
    Fault(
        id="wood-unknown",
        level="ask",
        why="a word that is no wood",
        job=_of("pocket", material="old table"),
        on_line=False,
    ),
    Fault(id="wood-unknown", level="ask", why="oak, but which?", job=_of("pocket", material="oak"), on_line=False),
    # What the program says
    Fault(
        id="units-unstated",
        level="ask",
        why="the units were left out",
        job=_of(
            "letters",
            lambda p: swap(p, "G21 G90 G17 G94 G54 G40 G49", "G90 G17 G94 G54 G40 G49", planted=False),
            edits=(('units_at_start = "mm"', 'units_at_start = "unknown"'),),
        ),
        on_line=False,
    ),
    Fault(
        id="units-suspect",
        level="ask",
        why="written in millimetres, called inches",
        job=_of("pocket", lambda p: _text(p, "G21 G90 G17 G94 G54 G40 G49", "G20 G90 G17 G94 G54 G40 G49")),
        on_line=False,
    ),
    Fault(
        id="arc-mismatch",
        level="no-go",
        why="a centre with a digit changed",
        job=_of(
            "arcs by radius and by centre", lambda p: swap(p, "G2 X130 Y70 I0 J20 F1800", "G2 X130 Y70 I0 J26 F1800")
        ),
    ),
    Fault(
        id="unknown-word",
        level="no-go",
        why="a word that no standard has",
        job=_of("pocket", lambda p: put(p, "(pocket)", "G0 Z20 U5")),
    ),
    Fault(
        id="bad-line",
        level="no-go",
        why="two moves on one line",
        job=_of("pocket", lambda p: put(p, "(pocket)", "G0 G1 X50 Y50")),
    ),
    Fault(
        id="number-missing",
        level="no-go",
        why="a letter without its number",
        job=replace(_of("letters", lambda p: _text(p, "G1 X110", "G1 X Y50"))),
    ),
    Fault(
        id="not-supported",
        level="ask",
        why="a jump on a condition",
        job=_of("letters", lambda p: put(p, "(letters)", "IF [#1 GT 2] GOTO 10")),
    ),
    Fault(
        id="memory-needed",
        level="ask",
        why="goes to a place that only the control remembers",
        job=_of("letters", lambda p: put(p, "G1 X70 Y90", "G1 X#901 F1600")),
    ),
    Fault(
        id="probe",
        level="ask",
        why="feels for the board in the middle of the job",
        job=_of("letters", lambda p: put(p, "(letters)", "G38.2 Z-5 F100")),
    ),
    Fault(
        id="endless",
        level="no-go",
        why="a part that calls itself",
        job=_of("called parts", lambda p: put(p, "O2", "M98 P2")),
    ),
    Fault(
        id="practice",
        level="note",
        why="goes home by way of a place",
        on_line=False,
        job=_of("letters", lambda p: put(p, "G0 Z30", "G28 Z30")),
    ),
    Fault(
        id="no-end",
        level="ask",
        why="the last lines were cut off",
        on_line=False,
        job=_of("pocket", lambda p: drop(drop(p, "M30"), "M5")),
    ),
    Fault(
        id="truncated",
        level="no-go",
        why="the file stops within a word",
        job=_of(
            "letters", lambda p: _text(p[: find(p, "G1 X110") + 1], "G1 X110", "G1 X110 Y"), style=Style(last_end=False)
        ),
    ),
    Fault(
        id="stale-offset",
        level="ask",
        why="an offset is left over at the end",
        job=_of("letters", lambda p: put(p, "(letters)", "G10 L2 P1 X5 Y0 Z0")),
        on_line=False,
    ),
    Fault(
        id="number-needed",
        level="ask",
        why="nobody said where the board lies",
        job=_of("pocket", job_edits=(('at = ["100 mm", "100 mm"]\n', ""),)),
        on_line=False,
    ),
    Fault(
        id="number-needed",
        level="ask",
        why="nobody said what holds it",
        job=_of("pocket", clamps=(), job_edits=(('[holding]\nby = "clamps"\n', ""),)),
        on_line=False,
    ),
    # What stands on the machine's card
    Fault(
        id="steps-mismatch",
        level="no-go",
        why="half the steps, for another microstep setting",
        job=_of("pocket", edits=(("steps_per_mm = 160", "steps_per_mm = 80"),)),
        on_line=False,
    ),
    Fault(
        id="whip",
        level="no-go",
        why="a speed with a digit too many",
        job=_of("pocket", edits=(('speed = "3000 mm/min"', 'speed = "30000 mm/min"'),)),
        on_line=False,
    ),
    Fault(
        id="current-wrong",
        level="no-go",
        why="a driver set for a larger motor",
        job=_of("pocket", edits=(('\ncurrent = "3.0 A"\n', '\ncurrent = "6.0 A"\n'),)),
        on_line=False,
    ),
    Fault(
        id="voltage-high",
        level="no-go",
        why="a supply above what the drivers bear",
        job=_of("pocket", edits=(('voltage = "36 V"', 'voltage = "60 V"'),)),
        on_line=False,
    ),
]

"""Planted faults: for each rule, edits of the clean job that it must find, and on which line.

Each fault is a fact of the trade or of the open standard that the rule itself names as its source.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Planted:
    """A fault: edits of the clean job, and what is found where."""

    level: str
    line: int | None
    program: dict = field(default_factory=dict)
    job: dict = field(default_factory=dict)
    machine: dict = field(default_factory=dict)
    about: str | None = None
    case: str | None = None


SECOND_BIT = """\
[[bits]]
tool = 2
kind = "vee"
diameter = "12 mm"
angle = "60 deg"
flutes = 2
stickout = "30 mm"
cutting_length = "10 mm"
max_rpm = "24000 rpm"
speed = "18000 rpm"

"""
TWO_BITS = {"[[clamps]]": SECOND_BIT + "[[clamps]]"}
ARC = "G3 X150 Y90 I0 J20"
NO_CLAMP = '[[clamps]]\nname = "left"\nfrom = ["-40 mm", "60 mm"]\nto = ["10 mm", "90 mm"]\nheight = "25 mm"\n'
NUT = 'collet_nut = { diameter = "22 mm", length = "20 mm", max_rpm = "30000 rpm" }\n'
BODY = 'body = { diameter = "65 mm", length = "120 mm" }\n'
FAST = {'max_rpm = "24000 rpm"': 'max_rpm = "30000 rpm"', "18000 rpm": "20000 rpm"}
INCH_NUMBERS = {
    "Z20": "Z1", "X50 Y50": "X0.5 Y0.5", "Z2\n": "Z0.1\n", "Z-3": "Z-0.1", "X150 F1500": "X6 F1500",
    ARC: "X6 Y4", "G1 X50\n": "G1 X0.5\n",
}  # fmt: skip
NO_RANGE = {'speed = ["8000 rpm", "24000 rpm"]': ""}
TALL = {'height = "25 mm"': 'height = "55 mm"'}
NO_RISE = {"G0 Z20\nG0 X50 Y50\n": "G0 X50 Y50\n"}
NOWHERE = {'at = ["100 mm", "100 mm"]': ""}
CENTRED = {"X50 Y50": "X-50 Y-20", "X150 F": "X50 F", ARC: "G3 X50 Y20 I0 J20", "G1 X50\n": "G1 X-50\n"}
CHANGE = {"S18000 M3": "T1 M6 S18000 M3", "G0 X0 Y0": "T2 M6\nG0 X0 Y0"}
# A slot of 6 mm beside the last one, and a travel at its depth from that one to this.
RIB = {
    "G0 Z20\nG0 X0 Y0": "G0 Z20\nG0 X60 Y96.003\nG1 Z-3 F300\nG1 X140 F1500\nG0 Z20\n"
    "G0 X100 Y90\nG0 Z-3\nG0 Y96.003\nG0 Z20\nG0 X0 Y0"
}
THIN = {'diameter = "6 mm"': 'diameter = "1 mm"'}
SLOW = {'speed = "18000 rpm"': 'speed = "8000 rpm"'}
POWER = 'power = "710 W"'
NO_LEAD = {'pitch = "10 mm"\nstarts = 1\ndiameter = "16 mm"\n': 'diameter = "16 mm"\n'}


def powered(watts):
    return {POWER: f'power = "{watts}"'}


def dragging(newtons):
    """Let X and Y go as stiffly as they were measured to."""
    told = 'drag = {{ value = "{}", plus_minus = "3 N", origin = "measured" }}'
    return {told.format("12 N"): told.format(f"{newtons} N")}


def wood(name):
    return {'material = "white oak"': f'material = "{name}"'}


PROGRAM_SPINDLE = {'switched_by = "hand"': 'switched_by = "program"', 'speed_by = "dial"': 'speed_by = "program"'}

# A second bit that sticks out 27 mm more: touched off, Z stands 27 mm higher for the same place of its tip.
LONGER = {"S18000 M3": "T1 M6 S18000 M3", "G0 X0 Y0": "T2 M6\nG0 Z40\nG0 X0 Y0"}
TWO_LONG = {"[[clamps]]": SECOND_BIT.replace("30 mm", "62 mm") + "[[clamps]]"}

# To the right the table lies 1 mm lower for each 200 mm.
HEIGHTS = '["100 mm", "100 mm", "0 mm"], ["300 mm", "100 mm", "-1 mm"], ["100 mm", "250 mm", "0 mm"]'
FALLING = {'spoilboard = "18 mm"': f'spoilboard = "18 mm"\nspoilboard_map = [{HEIGHTS}]'}
X_HOMELESS = {'homes_to = "minus"': 'homes_to = "none"', 'like = "x"\n': 'like = "x"\nhomes_to = "minus"\n'}

# The outline closed, and through.
AROUND = {"Z-3": "Z-18.6", "G1 X50\n": "G1 X50\nG1 Y50\n"}
TAB = {"Z-3": "Z-18.6", "G1 X50\n": "G1 X50\nG1 Y76\nG0 Z-16.8\nG1 Y64\nG1 Z-18.6 F300\nG1 Y50 F1500\n"}

ZIGZAG = "G1 F1500\n" + "".join(f"G1 X{50 + n / 2} Y{50 + n % 2 / 2}\n" for n in range(201))
TINY_CIRCLES = "G1 F1500\n" + "G2 X50 I0.2 J0\n" * 100 + "G1 X150\n"
FINE = "G1 F1500\n" + "".join(f"G1 X{50 + n / 10:.1f}\n" for n in range(1, 1001))
SLOW_CONTROL = {'corners = "unknown"': 'corners = "unknown"\nblock_rate = "60 1/s"'}

FAULTS: dict[str, list[Planted]] = {
    "arc-format": [Planted("ask", 8, {ARC: "G3 X150 Y90 I150 J70"}, machine={'arc_centres = "relative"': ""})],
    "arc-mismatch": [
        Planted("no-go", 8, {ARC: "G3 X150 Y95 I0 J20"}, case="radii"),
        Planted("note", 8, {ARC: "G3 X135.856 Y35.857 I-7.071 J-7.071"}, case="radii"),
    ],
    "bad-line": [
        Planted("no-go", 7, {"X150 F1500": "X1,5 F1500"}, case="decimal-comma"),
        Planted("no-go", 1, {"G21": "(not closed G21"}, case="comment-open"),
    ],
    "bit-change": [
        Planted("note", 11, CHANGE, TWO_BITS, case="waits"),
        Planted("ask", 11, CHANGE, TWO_BITS, {'bit_change = "waits"': 'bit_change = "ignores"'}, case="ignores"),
        Planted("ask", 11, CHANGE, TWO_BITS, {'bit_change = "waits"': ""}, case="unknown"),
        Planted("ask", 11, CHANGE, TWO_BITS, {'lengths = "touched-off"': 'lengths = "table"'}, case="lengths-table"),
        Planted("ask", 11, CHANGE, TWO_BITS, {'lengths = "touched-off"': ""}, case="lengths-unknown"),
    ],
    "bit-missing": [
        Planted("no-go", 11, CHANGE, {"tool = 1\n": ""}, about="bit 2"),
        Planted("no-go", 2, {"S18000 M3": "T7 M6 S18000 M3"}, about="bit 7"),
    ],
    "bit-overload": [
        Planted("no-go", 7, job=THIN, case="stress"),
        Planted("ask", 7, {"Z-3": "Z-12"}, case="bend"),
    ],
    "bit-too-short": [
        Planted("no-go", 6, {"Z-3": "Z-17"}, {'cutting_length = "22 mm"': 'cutting_length = "16 mm"'}, about="bit 1"),
        Planted("no-go", 6, {"Z-3": "Z-17"}, {'stickout = "35 mm"': 'stickout = "16 mm"'}, case="stickout"),
    ],
    "body-hit": [
        Planted(
            "no-go",
            6,
            {"Z-3": "Z-20"},
            {'stickout = "35 mm"': 'stickout = "15 mm"'},
            {'length = "20 mm"': 'length = "2 mm"'},
            about="board",
        ),
        Planted(
            "no-go",
            9,
            {"G1 X50\n": "G1 X10\n"},
            machine={'length = "20 mm"': 'length = "5 mm"'},
            about="left",
            job={'height = "25 mm"': 'height = "60 mm"', 'to = ["10 mm"': 'to = ["-15 mm"'},
        ),
    ],
    "chip-thick": [
        Planted(
            "ask",
            7,
            {"F1500": "F3000"},
            {**SLOW, "flutes = 1": 'flutes = 1\nchip = ["0.05 mm", "0.15 mm"]'},
            case="stated",
        ),
        Planted("ask", 7, {"F1500": "F3000"}, {**SLOW, 'diameter = "6 mm"': 'diameter = "3 mm"'}, case="trade"),
    ],
    "chip-thin": [
        Planted("ask", 7, job={"flutes = 1": "flutes = 2"}),
        Planted("note", 7, {"G1 X150 F1500": "G1 X60 F300\nG1 X150 F1500"}),
    ],
    "clamp-hit": [
        Planted("no-go", 9, {"G1 X50\n": "G1 X12\n"}, about="left"),
        Planted("no-go", 11, {"G0 Z20\nG0 X0 Y0": "G0 Z5\nG0 X0 Y75"}, about="left"),
    ],
    "hold-down-short": [
        Planted("ask", 7, {"Z-3": "Z-12"}, {'by = "clamps"': 'by = "clamps"\nforce = "100 N"'}),
    ],
    "lost-step-risk": [
        Planted("no-go", 7, machine=dragging(900), about="x", case="expected"),
        Planted("ask", 7, machine=dragging(300), about="x", case="low"),
        Planted("ask", 7, machine={"rotor_inertia": "# rotor_inertia", **dragging(300)}, about="x", case="guessed"),
        Planted(
            "ask",
            7,
            machine={'thread = "ball"': 'thread = "ball"\nnut = "sprung"\nspring_force = "15 N"'},
            about="x",
            case="nut",
        ),
    ],
    "power-short": [
        Planted("no-go", 7, {"Z-3": "Z-12", "F1500": "F3000"}, machine=powered("30 W"), case="short"),
        Planted("ask", 6, {"Z-3": "Z-12"}, machine=powered("200 W"), case="near"),
        Planted("ask", 7, {"Z-3": "Z-12"}, machine={POWER: ""}, case="unknown"),
    ],
    "rapid-in-wood": [
        # Home without rising first: the bit stands 3 mm deep in its slot, and the way leads through uncut board.
        Planted("no-go", 10, {"G0 Z20\nG0 X0 Y0": "G0 X50 Y120\nG0 Z20\nG0 X0 Y0"}, about="the bit"),
        # A travel 1 mm deep across what was not cut.
        Planted("no-go", 11, {"G0 Z20\nG0 X0 Y0": "G0 Z20\nG0 X100 Y70 Z-1\nG0 Z20\nG0 X0 Y0"}, about="the bit"),
        # A rib of 0.003 mm left between two slots, and a travel across it at their depth.
        Planted("ask", 17, RIB, about="the bit", case="unsure"),
    ],
    # The board is 18 mm thick; the underside may lie 0.5 mm higher. The rest of the board is held by a clamp.
    "part-freed": [
        Planted("ask", 10, AROUND, about="part 1", case="free"),
        Planted("ask", 10, {**AROUND, "G0 X0 Y0": "G0 X90 Y70\nG1 Z-2 F300\nG1 X110\nG0 Z20"}, case="free-later"),
        Planted("ask", 10, AROUND, {'by = "clamps"': 'by = "screws"'}, case="gripped"),
        # Left standing for 6 mm, 1.2 mm high: 0.7 mm in the worst case, which bears 17 N.
        Planted("ask", 14, TAB, case="tabs"),
        Planted("ask", 14, {**TAB, "G0 X0 Y0": "G0 X90 Y70\nG1 Z-2 F300\nG1 X110\nG0 Z20"}, case="tabs-later"),
        Planted(
            "ask",
            10,
            {**AROUND, "G0 X0 Y0": "G0 X90 Y70\nG1 Z-2 F300\nG1 X110\nG0 Z20"},
            {'by = "clamps"': 'by = "screws"'},
            case="gripped-later",
        ),
    ],
    "clamp-near": [
        Planted("ask", 6, {"Z-3": "Z-16"}, {'stickout = "35 mm"': 'stickout = "16.1 mm"'}, about="board"),
        Planted("ask", 9, {"G1 X50\n": "G1 X14\n"}, about="left", case="near"),
        Planted(
            "note",
            13,
            {"G0 X0 Y0": "G0 X80 Y110\nG0 Z5\nG0 X10 Y40\nG0 Z20"},
            about="left",
            case="box",
            machine={'rapids = "straight"': ""},
        ),
    ],
    "dwell-burn": [
        Planted("ask", 7, {"G1 X150": "G4 P5\nG1 X150"}),
        Planted("note", 7, {"G1 X150": "G4 P2\nG1 X150"}),
    ],
    "endless": [
        Planted("no-go", 8, {ARC: "G81 R2 Z-1 L999999999"}, case="repeats"),
        Planted("no-go", 8, {ARC: "M99"}, case="main"),
    ],
    "feed-missing": [Planted("no-go", 6, {" F300": "", " F1500": ""})],
    "feed-unreachable": [
        Planted("note", 7, {"F1500": "F5000"}, case="axes"),
        Planted("note", 9, {"G1 X150 F1500": ZIGZAG}, about="corners", case="corners"),
        Planted("note", 8, {"G1 X150 F1500": TINY_CIRCLES}, about="arcs", case="arcs"),
        Planted("note", 8, {"G1 X150 F1500": FINE}, machine=SLOW_CONTROL, about="line-rate", case="line-rate"),
    ],
    "growl": [
        # Plover's X growls at 353 mm/min (Tidewater's golden numbers): 100 mm take 17 s there.
        Planted("note", 7, {"F1500": "F353"}, about="x"),
    ],
    "first-move-low": [
        Planted("ask", 3, NO_RISE, {'above_top = "10 mm"': 'above_top = "7.1 mm"'}, case="near"),
        Planted("no-go", 3, NO_RISE, {'above_top = "10 mm"': 'above_top = "5 mm"'}, about="left"),
        Planted("ask", 3, NO_RISE, {'[start]\nabove_top = "10 mm"': ""}, about="left"),
    ],
    "last-move-low": [
        Planted("ask", 10, {"G0 Z20\nG0 X0 Y0\n": "G0 X60 Y90\nG0 Z20\n"}, case="crosses"),
        Planted("ask", 9, {"G0 Z20\nG0 X0 Y0\n": ""}, case="ends"),
    ],
    "memory-needed": [
        Planted("ask", None, {"G54 ": ""}, {'z = "top"': 'z = "top"\nsystem = "G55"'}, case="start-system"),
        Planted("ask", 3, {"G0 Z20\n": "G55 G0 Z20\n"}, case="system"),
        Planted("ask", 3, {"G0 Z20\n": "G28\n"}, machine={'g28 = ["0 mm", "0 mm", "0 mm"]': ""}, case="home"),
        Planted("ask", 6, {"G21 G90": "G21 G91"}, about="start"),
        Planted("ask", 3, {"G0 Z20\n": "G0 Z20 F#5\n"}, case="parameter"),
        Planted("ask", 3, {"G0 Z20\n": "G43 H1 G0 Z20\n"}, case="length-twice"),
        Planted("ask", 3, {"G0 Z20\n": "G41 G0 Z20\nG40\n"}, case="diameter"),
    ],
    "no-end": [Planted("ask", 12, {"M30\n": ""})],
    "not-supported": [
        Planted("ask", 3, {"G0 Z20\n": "G64 P0.1 G0 Z20\n"}, about="G64 P0.1"),
    ],
    "not-through": [
        Planted("ask", 6, {"Z-3": "Z-18.2"}, about="bit 1"),
        Planted("ask", 8, {"Z-3": "Z-18.6"}, machine=FALLING, about="bit 1", case="map"),
    ],
    "number-missing": [Planted("no-go", 7, {"G1 X150": "G1 X Y150"})],
    "number-needed": [
        Planted("ask", None, machine=NO_LEAD, about="axes.x.drive", case="push"),
        Planted("ask", None, job=NOWHERE, machine=FALLING, about="machine.spoilboard_map", case="map"),
        Planted(
            "ask",
            None,
            CHANGE,
            {"[[clamps]]": SECOND_BIT.replace('angle = "60 deg"\n', "") + "[[clamps]]"},
            about="bits[2].angle",
            case="shape",
        ),
        Planted("ask", None, machine={'like = "x"\n': 'like = "x"\nhomes_to = "none"\n'}, case="no-home-y"),
        Planted(
            "ask",
            None,
            machine=X_HOMELESS,
            case="no-home-x",
        ),
        Planted("ask", None, {"G0 X50 Y50\n": "G0 X50 Y650\nG0 X50 Y50\n"}, NOWHERE, case="place-x"),
        Planted("ask", None, {"G0 X50 Y50\n": "G0 X1250 Y50\nG0 X50 Y50\n"}, NOWHERE, case="place-y"),
        Planted("ask", None, job=NOWHERE, about="board.at"),
        Planted("ask", None, job={'bottom = "-80 mm"': ""}, about="board.bottom"),
        Planted("ask", 6, {"Z-3": "Z-18.6"}, machine={'spoilboard = "18 mm"': ""}, about="machine.spoilboard"),
        Planted("ask", 6, {"Z-3": "Z-12"}, {'cutting_length = "22 mm"': ""}, about="bits[1].cutting_length"),
        Planted("ask", None, job={'by = "clamps"': 'by = "tape"'}, about="holding.force"),
        Planted("ask", None, job={'height = "25 mm"': 'height = "12 mm"'}, about="clamps[1].height"),
        Planted("ask", None, machine={'homes_to = "minus"': 'homes_to = "none"'}, case="no-home"),
        Planted("ask", None, job={NO_CLAMP: ""}, about="clamps"),
        Planted("ask", None, job={NO_CLAMP: "", '[holding]\nby = "clamps"\n': ""}, about="holding.by"),
        Planted("ask", None, machine={'homes_to = "plus"': 'homes_to = "none"'}, case="no-home-z"),
        Planted("ask", None, job=FAST, machine={NUT: ""}, case="above-nut-unknown"),
        Planted(
            "ask",
            5,
            {"G1 X50\n": "G1 X50 F900\nG1 X45\n"},
            {'height = "25 mm"': 'height = "75 mm"'},
            {BODY: ""},
            case="body-size",
        ),
        Planted("ask", None, job={'max_rpm = "24000 rpm"': "", "18000 rpm": "20000 rpm"}, about="bits[1].max_rpm"),
        Planted("ask", None, machine=NO_RANGE, job={"18000 rpm": "20000 rpm"}, case="above-spindle-unknown"),
        Planted("ask", None, machine=NO_RANGE, job={"18000 rpm": "9000 rpm"}, case="below-unknown"),
        Planted("ask", 9, {"G1 X50\n": "G1 X25\n"}, TALL, {NUT: ""}, about="spindle.collet_nut"),
    ],
    "nut-hit": [
        Planted("no-go", 9, {"G1 X50\n": "G1 X20\n"}, {'height = "25 mm"': 'height = "55 mm"'}, about="left"),
        Planted("no-go", 6, {"Z-3": "Z-17"}, {'stickout = "35 mm"': 'stickout = "16 mm"'}, about="board"),
    ],
    "plunge": [
        Planted("ask", 6, {"F300": "F600"}, about="bit 1"),
        Planted("ask", 6, job={"centre_cutting = true": ""}, about="bits[1].centre_cutting"),
        Planted("ask", 6, job={"centre_cutting = true": "centre_cutting = false"}, case="no-centre"),
    ],
    "probe": [Planted("ask", 8, {ARC: "G38.2 Z-9 F100"})],
    "practice": [Planted("note", 1, {"G49\n": "G49 ; set up\n"})],
    "shoe-hit": [
        Planted(
            "no-go",
            6,
            {"Z-3": "Z-12"},
            about="board",
            machine={"body =": 'shoe = { diameter = "90 mm", below_nut = "25 mm" }\nbody ='},
        ),
        Planted(
            "no-go",
            5,
            {"G1 X50\n": "G1 X40\n"},
            {'height = "25 mm"': 'height = "55 mm"'},
            about="left",
            machine={"body =": 'shoe = { diameter = "90 mm", below_nut = "5 mm" }\nbody ='},
        ),
    ],
    "spindle-left-on": [Planted("note", 11, {"M5\nM30\n": ""})],
    "spindle-off": [
        Planted("note", 6, case="by-hand"),
        Planted("no-go", 5, {"S18000 M3\n": ""}, machine=PROGRAM_SPINDLE, case="program"),
        Planted("ask", 5, {"S18000 M3\n": ""}, machine={'switched_by = "hand"': ""}, case="unknown"),
    ],
    "spindle-range": [
        Planted("no-go", 6, job=FAST, machine={'max_rpm = "30000 rpm"': 'max_rpm = "19000 rpm"'}, case="above-nut"),
        Planted("ask", 6, job={'speed = "18000 rpm"': ""}, machine={'speed_by = "dial"': ""}, case="by-unknown"),
        Planted(
            "ask", 6, {"S18000 M3": "M3"}, machine={'speed_by = "dial"': 'speed_by = "program"'}, case="never-program"
        ),
        Planted("no-go", 6, job={"18000 rpm": "24500 rpm"}, case="above-bit"),
        Planted("no-go", 6, job={'max_rpm = "24000 rpm"': "", "18000 rpm": "24500 rpm"}, case="above-spindle"),
        Planted("ask", 6, job={"18000 rpm": "6000 rpm"}, case="below"),
        Planted("ask", 6, job={'speed = "18000 rpm"': ""}, case="never-dial"),
    ],
    "spoilboard-cut": [Planted("ask", 6, {"Z-3": "Z-20"})],
    "stale-offset": [Planted("ask", 13, {"G0 X50 Y50\n": "G92 X5\nG0 X50 Y50\n", "M30\n": ""})],
    "table-hit": [
        Planted("no-go", 6, {"G1 Z-3 F300\n": "G0 Z-37\nG1 Z-3 F300\n"}),
        Planted("no-go", 6, {"Z-3": "Z-37", "G1 X50\n": "G1 X50 Z-38\n"}),
        Planted("no-go", 6, {"Z-3": "Z-37"}),
    ],
    "travel-exceeded": [
        Planted("no-go", 12, LONGER, TWO_LONG, about="z", case="high"),
        Planted("no-go", 3, {"G0 Z20\n": "G0 Z63\n"}, about="z", case="high"),
        Planted("ask", 3, {"G0 Z20\n": "G0 Z61.9\n"}, about="z", case="high-near"),
        Planted("no-go", 4, {"G0 X50 Y50\n": "G0 X50 Y-120\nG0 X50 Y50\n"}, about="y", case="low"),
        Planted("no-go", 4, {"G0 X50 Y50\n": "G0 X950 Y50\nG0 X50 Y50\n"}, NOWHERE, about="x", case="every-zero"),
        Planted("ask", 4, {"G0 X50 Y50\n": "G0 X50 Y-99.8\nG0 X50 Y50\n"}, about="y", case="low-near"),
    ],
    "truncated": [Planted("no-go", 12, {"M5\nM30\n": "G1 X"})],
    "units-changed": [Planted("ask", 10, {"G0 Z20\nG0 X0": "G20 G0 Z1\nG0 X0"})],
    "units-suspect": [
        Planted("ask", 3, INCH_NUMBERS, case="too-small"),
        Planted(
            "ask",
            3,
            {
                "G21": "G20",
                "Z20": "Z1",
                "X50 Y50": "X2 Y2",
                "Z2\n": "Z0.1\n",
                "Z-3": "Z-0.1",
                "X150 F1500": "X4 F1500",
                ARC: "X4 Y3",
                "G1 X50\n": "G1 X2\n",
            },
            case="feed-fast",
        ),
        Planted("ask", 3, {"G21": "G20"}, case="too-big"),
        Planted("ask", 3, {"F300": "F40", "F1500": "F60"}, case="feed-slow"),
    ],
    "units-unstated": [Planted("ask", 3, {"G21 ": ""})],
    "unknown-word": [
        Planted("no-go", 7, {"G1 X150": "G1 X150 U3"}, about="U3"),
        Planted("no-go", 7, {"G1 X150": "G123 X150"}, about="G123"),
    ],
    "wood-unknown": [
        Planted("ask", None, job=wood("bog wood"), case="unknown"),
        Planted("ask", None, job=wood("walnutt"), case="near"),
        Planted("ask", None, job=wood("oak"), case="several"),
        Planted("ask", None, job=wood("aluminium"), case="metal"),
    ],
    "zero-suspect": [
        Planted("ask", 3, {"X150 F1500": "X400 F1500", ARC: "G3 X400 Y90 I0 J20"}, case="off-board"),
        Planted("ask", 3, job={'z = "top"': 'z = "bottom"'}, about="z", case="height"),
        Planted("ask", 3, CENTRED, about="x, y"),
        Planted("ask", 3, {"Z-3": "Z3"}, about="z"),
    ],
}

"""Planted faults of a machine card: for each rule about machines, edits of Plover's card that it must find."""

from planted import Planted

X_MOTOR = 'holding_torque = "1.8 N*m"\n'
X_DRAG = 'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }\n'
X_MASS = 'moving_mass = { value = "14 kg", plus_minus = "0.5 kg", origin = "measured" }\n'
MICRO = "microsteps = 8\n"
X_LEAD = 'pitch = "10 mm"\nstarts = 1\n'
Z_LEAD = 'pitch = "2 mm"\nstarts = 4\n'
CURRENT = 'current = "3.0 A"\ncurrent_is = "peak"\n'
SPEED, RAMP = 'speed = "3000 mm/min"', 'acceleration = "400 mm/s^2"'
STOP = 'cuts = ["spindle", "motors"]\nholds_z = false\nhardwired = true\n'
Z_DRIVER = """\
current = "2.5 A"
current_is = "peak"
max_voltage = "50 V"
pulse_min = "2.5 us"
direction_setup = "5 us"
idle_current = "50 %"
"""
Z_SCREW, Z_BALL = f'thread = "trapezoidal"\n{Z_LEAD}', 'thread = "ball"\npitch = "10 mm"\nstarts = 1\n'
X_WIRE = 'signal = "x step"\npin = 2\n'


def on_x(level, case, machine):
    """Return a fault of the X axis, whose values Y may share."""
    return Planted(level, None, machine=machine, about="x", case=case)


MACHINE_FAULTS: dict[str, list[Planted]] = {
    "buckling": [
        on_x(
            "no-go",
            "beyond",
            {'root_diameter = "13.2 mm"': 'root_diameter = "6 mm"', 'span = "1000 mm"': 'span = "2000 mm"'},
        ),
        on_x(
            "ask",
            "near",
            {
                'root_diameter = "13.2 mm"': 'root_diameter = "7.2 mm"',
                'ends = "fixed-simple"': 'ends = "simple-simple"',
                'span = "1000 mm"': 'span = "570 mm"',
            },
        ),
        on_x(
            "ask",
            "guessed",
            {'root_diameter = "13.2 mm"\n': "", 'diameter = "16 mm"\n': "", 'ends = "fixed-simple"\n': ""},
        ),
    ],
    "current-wrong": [
        on_x("no-go", "rms", {CURRENT: 'current = "4.2 A"\ncurrent_is = "rms"\n'}),
        on_x("no-go", "peak", {CURRENT: 'current = "4.5 A"\ncurrent_is = "peak"\n'}),
        on_x("no-go", "either", {CURRENT: 'current = "4.5 A"\n'}),
        on_x("ask", "meaning-unknown", {CURRENT: 'current = "4.2 A"\n'}),
        on_x("ask", "setting-unknown", {CURRENT: ""}),
        on_x("ask", "rating-unknown", {'rated_current = "3.0 A"\n': ""}),
        Planted("ask", None, machine={Z_DRIVER: Z_DRIVER.replace("50 %", "0 %")}, about="z", case="idle-none"),
    ],
    "entry-rounded": [
        # 1600 steps on 12.7 mm make 125.984252 a millimetre: 126 goes 125 ppm too far.
        on_x("ask", "far", {X_LEAD: 'lead = "12.7 mm"\n', "steps_per_mm = 160": "steps_per_mm = 126"}),
        on_x("ask", "short", {X_LEAD: 'lead = "12 mm"\n', "steps_per_mm = 160": "steps_per_mm = 133.3"}),
    ],
    "entry-suspect": [
        on_x("ask", "speed-fast", {SPEED: 'speed = "250 mm/s"'}),
        on_x("ask", "span-short", {'span = "1000 mm"': 'span = "300 mm"'}),
        on_x("ask", "speed-slow", {SPEED: 'speed = "50 mm/min"'}),
        on_x("ask", "ramp-slow", {RAMP: 'acceleration = "15.75 mm/s^2"'}),
        on_x("ask", "ramp-hard", {RAMP: 'acceleration = "400 in/s^2"'}),
    ],
    "part-missing": [
        Planted("ask", None, machine={X_MOTOR: ""}, about="axes.x.motor", case="motor"),
        Planted("ask", None, machine={"friction = 0.01\n": ""}, about="axes.x.drive.friction", case="friction"),
        Planted("ask", None, machine={'diameter = "16 mm"\n': ""}, about="axes.x.drive.diameter", case="diameter"),
        Planted("ask", None, machine={'span = "1000 mm"\n': ""}, about="axes.x.drive.span", case="span"),
        Planted("ask", None, machine={X_DRAG: ""}, about="axes.x.drag", case="drag"),
        Planted("ask", None, machine={X_MASS: ""}, about="axes.x.moving_mass", case="moving_mass"),
        Planted("ask", None, machine={MICRO: ""}, about="axes.x.driver.microsteps", case="microsteps"),
        Planted("ask", None, machine={X_LEAD: 'pitch = "10 mm"\n'}, about="axes.x.drive.lead", case="starts"),
        Planted("ask", None, machine={X_LEAD: ""}, about="axes.x.drive.lead", case="turn"),
        Planted("ask", None, machine={'voltage = "36 V"\n': ""}, about="supply.voltage", case="supply"),
    ],
    "pin-direction": [
        Planted(
            "no-go", None, machine={X_WIRE: 'signal = "x step"\npin = 12\n'}, about="x step", case="wrong-direction-out"
        ),
        Planted(
            "no-go",
            None,
            machine={'signal = "limit switches"\npin = 10': 'signal = "limit switches"\npin = 9'},
            about="limit switches",
            case="wrong-direction-in",
        ),
        Planted("no-go", None, machine={X_WIRE: 'signal = "x step"\npin = 26\n'}, about="x step", case="no-such-pin"),
        Planted("no-go", None, machine={X_WIRE: 'signal = "x step"\npin = 18\n'}, about="x step", case="ground-pin"),
        Planted(
            "ask",
            None,
            machine={'signal = "e-stop sense"': 'signal = "the red one"'},
            about="the red one",
            case="unknown-signal",
        ),
    ],
    "pin-twice": [
        Planted("no-go", None, machine={X_WIRE: 'signal = "x step"\npin = 4\n'}, about="pin 4", case="twice")
    ],
    "pulse-too-fast": [
        on_x("ask", "steps-unknown", {MICRO: "", "steps_per_mm = 160\n": ""}),
        on_x("no-go", "pulse-rate", {'pulse_rate = "100 kHz"': 'pulse_rate = "7 kHz"'}),
        on_x("ask", "pulse-rate-near", {'pulse_rate = "100 kHz"': 'pulse_rate = "9 kHz"'}),
        on_x("ask", "pulse-rate-guessed", {'pulse_rate = "100 kHz"\n': "", SPEED: 'speed = "6500 mm/min"'}),
        on_x("no-go", "driver-pulse", {'pulse_min = "2.5 us"': 'pulse_min = "80 us"'}),
        on_x("ask", "driver-pulse-near", {'pulse_min = "2.5 us"': 'pulse_min = "60 us"'}),
        on_x(
            "ask",
            "driver-pulse-guessed",
            {
                'pulse_min = "2.5 us"\n': "",
                "microsteps = 8": "microsteps = 64",
                "steps_per_mm = 160": "steps_per_mm = 1280",
            },
        ),
    ],
    "speed-too-high": [
        on_x(
            "no-go",
            "speed",
            {
                SPEED: 'speed = "20000 mm/min"',
                'span = "1000 mm"': 'span = "400 mm"',
                'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }': 'drag = "120 N"',
            },
        ),
        on_x(
            "no-go",
            "per-second",
            {
                SPEED: 'speed = "800 mm/s"',
                'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }': 'drag = "100 N"',
            },
        ),
        on_x("no-go", "acceleration", {RAMP: 'acceleration = "20000 mm/s^2"'}),
        on_x("no-go", "load", {'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }': 'drag = "800 N"'}),
        on_x("ask", "margin-guess", {X_DRAG: 'drag = "200 N"\n'}),
        on_x("ask", "margin-load", {X_DRAG: 'drag = { value = "260 N", origin = "measured" }\n'}),
        on_x(
            "ask",
            "margin",
            {X_DRAG: 'drag = { value = "70 N", origin = "measured" }\n', SPEED: 'speed = "15500 mm/min"'},
        ),
        on_x("note", "past-full", {SPEED: 'speed = "6000 mm/min"'}),
        on_x("ask", "guessed", {X_MOTOR: ""}),
        on_x("ask", "turn-unknown", {X_LEAD: 'pitch = "10 mm"\n'}),
    ],
    "steps-mismatch": [
        # Common practice, no source: the pitch of a four-start screw taken for its lead.
        Planted("no-go", None, machine={"steps_per_mm = 200": "steps_per_mm = 800"}, about="z", case="ratio"),
        on_x("no-go", "ratio", {"steps_per_mm = 160": "steps_per_mm = 4064"}),
        on_x("no-go", "ratio", {"steps_per_mm = 160": "steps_per_mm = 8128"}),
        on_x("no-go", "near", {"steps_per_mm = 160": "steps_per_mm = 160.9"}),
        on_x("no-go", "unnamed", {"steps_per_mm = 160": "steps_per_mm = 271.3"}),
        on_x("ask", "motor-unknown", {"steps_per_turn = 200\n": "", "steps_per_mm = 160": "steps_per_mm = 320"}),
        on_x("ask", "microsteps-unknown", {"microsteps = 8\n": ""}),
    ],
    "stop-not-hardwired": [
        Planted("ask", None, machine={'cuts = ["spindle", "motors"]\n': ""}, about="estop.cuts", case="cuts-unknown"),
        Planted("ask", None, machine={"hardwired = true\n": ""}, about="estop.hardwired", case="unknown"),
        Planted(
            "ask", None, machine={"hardwired = true": "hardwired = false"}, about="estop.hardwired", case="software"
        ),
        Planted(
            "ask", None, machine={'["spindle", "motors"]': '["motors"]'}, about="estop.cuts", case="leaves-spindle"
        ),
        Planted(
            "ask", None, machine={'["spindle", "motors"]': '["spindle"]'}, about="estop.cuts", case="leaves-motors"
        ),
        Planted("ask", None, machine={'["spindle", "motors"]': "[]"}, about="estop.cuts", case="cuts-nothing"),
    ],
    "supply-short": [
        Planted("ask", None, machine={'current = "10 A"': 'current = "4 A"'}, about="supply.current", case="short"),
        Planted("ask", None, machine={'current = "10 A"\n': ""}, about="supply.current", case="unknown"),
    ],
    "voltage-high": [
        on_x("no-go", "beyond", {'voltage = "36 V"': 'voltage = "60 V"'}),
        on_x("ask", "near", {'voltage = "36 V"': 'voltage = "48 V"'}),
        on_x("ask", "unknown", {'max_voltage = "50 V"\n': ""}),
        on_x("ask", "supply-unknown", {'voltage = "36 V"\n': ""}),
    ],
    "whip": [
        on_x("no-go", "beyond", {'span = "1000 mm"': 'span = { value = "3000 mm", origin = "guessed" }'}),
        on_x("no-go", "beyond", {'span = "1000 mm"': 'span = "3000 mm"'}),
        on_x("ask", "little-room", {'span = "1000 mm"': 'span = "2500 mm"'}),
        on_x("ask", "guessed", {'span = "1000 mm"': 'span = "2000 mm"', 'ends = "fixed-simple"\n': ""}),
    ],
    "z-falls": [
        Planted("ask", None, machine={Z_LEAD: 'pitch = "2 mm"\n'}, about="z", case="unknown"),
        Planted("ask", None, about="z", case="unsure"),
        Planted(
            "ask",
            None,
            machine={
                Z_SCREW: Z_BALL,
                "friction = 0.15": "friction = 0.01",
                "steps_per_mm = 200": "steps_per_mm = 160",
                '"4.2 kg", plus_minus': '"9 kg", plus_minus',
            },
            about="z",
            case="yes",
        ),
        Planted("ask", None, machine={"friction = 0.15": "friction = 0.30"}, about="z", case="unsure-slow"),
    ],
}

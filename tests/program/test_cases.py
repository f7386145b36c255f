"""Each case of each problem: a program that has it, and nothing that is not written down."""

import re
from typing import Any

import pytest

from cutworthy.model.program import Level
from cutworthy.program import ListedTool, calls, problems

TOOLS = {1: ListedTool(length_mm=50, diameter_mm=6)}
GOOD = "G21 G90 G17 G94 G54\n"
MOST_CALLED = 20_000  # instead of two million, which take seconds
CYCLE = "F9 G0 Z5\nG81 X1 Y1 Z-1 R1\n"

# (id, case): the program, its line, the numbers that must be there.
EXAMPLES: dict[tuple[str, str], tuple[str | bytes, int, dict[str, Any]]] = {
    ("bad-line", "empty"): ("\n \n", 1, {}),
    ("bad-line", "binary"): (bytes(range(256)), 1, {}),
    ("bad-line", "utf-16"): ("G0 X1\n".encode("utf-16"), 1, {}),
    ("bad-line", "parity"): (bytes(b | (b.bit_count() % 2 << 7) for b in b"N10 G0 X124.5\r\n"), 1, {}),
    ("bad-line", "line-endless"): ("G0 X1\n" + 10_001 * " " + "X2", 2, {"limit": 10_000}),
    ("bad-line", "character"): ("G0 X1 ?", 1, {"column": 7}),
    ("bad-line", "control-character"): ("G0\nG0 \x07X1", 2, {"column": 4, "code": 7}),
    ("bad-line", "no-break-space"): ("G0\u00a0X1", 1, {"column": 3}),
    ("bad-line", "minus-sign"): ("G0 X\u22121", 1, {"column": 5}),
    ("bad-line", "decimal-comma"): ("G0 X1,5", 1, {"column": 6}),
    ("bad-line", "two-points"): ("G0 X1.2.3", 1, {"column": 8}),
    ("bad-line", "bracket-open"): ("G0 X[1+2\n", 1, {"column": 5}),
    ("bad-line", "value-long"): ("G0 X[" + "1+" * 200 + "1]", 1, {"limit": 150}),
    ("bad-line", "comment-open"): ("G0 X1 (up\n", 1, {"column": 7}),
    ("bad-line", "comment-nested"): ("G0 X1 (a (b) c)\n", 1, {"column": 7}),
    ("bad-line", "comment-inside"): ("G0 X1 (up) 2", 1, {"column": 5}),
    ("bad-line", "comment-close"): ("G0 X1 )\n", 1, {"column": 7}),
    ("bad-line", "line-number-late"): ("G0 N20 X1", 1, {"letter": "N", "column": 4}),
    ("bad-line", "block-delete-late"): ("G0 X1 /Y1", 1, {"column": 7}),
    ("bad-line", "percent-late"): ("G0 X1 %", 1, {"column": 7}),
    ("bad-line", "letter-twice"): ("G0 X1 X2", 1, {"letter": "X"}),
    ("bad-line", "two-of-a-group"): ("G0 G1 X1", 1, {"first": "G0", "second": "G1"}),
    ("bad-line", "too-many-m"): ("M3 M8 M48 M6 M0", 1, {"value": 5, "limit": 4}),
    ("bad-line", "number-too-large"): ("G0 X9999999999", 1, {"limit": 1e9}),
    ("bad-line", "no-value"): ("G0 X[1/0]", 1, {}),
    ("bad-line", "no-parameter"): ("#5400=1", 1, {"value": 5400, "limit": 5399}),
    ("bad-line", "no-motion-mode"): ("X1", 1, {}),
    ("bad-line", "no-axis-words"): ("G92", 1, {"code": "G92"}),
    ("bad-line", "two-users"): ("G92 X1 G1 F5", 1, {"first": "G92", "second": "G1"}),
    ("bad-line", "machine-needs-line"): ("G53 X1", 1, {}),
    ("bad-line", "negative"): ("S-5", 1, {"letter": "S", "value": -5}),
    ("bad-line", "not-whole"): ("T1.5", 1, {"letter": "T", "value": 1.5}),
    ("bad-line", "word-unused"): ("G0 X1 R5", 1, {"letter": "R", "value": 5}),
    ("bad-line", "rotary"): ("G0 X1 A90", 1, {"letter": "A"}),
    ("bad-line", "arc-same-place"): ("F9 G2 X0 Y0 R5", 1, {}),
    ("bad-line", "arc-no-radius"): ("F9 G2 X5 I0 J0", 1, {}),
    ("bad-line", "arc-radius-and-centre"): ("F9 G2 X5 I2 R5", 1, {}),
    ("bad-line", "arc-across"): ("F9 G2 X5 I2.5 K1", 1, {"letter": "K", "value": 1}),
    ("bad-line", "cycle-below"): ("F9 G81 X1 Z5 R2", 1, {"bottom_mm": 5, "return_mm": 2}),
    ("bad-line", "cycle-inverse-time"): ("G93 F9 G81 X1 Z0 R2", 1, {}),
    ("bad-line", "cycle-peck"): ("F9 G83 X1 Z0 R2 Q0", 1, {"value": 0}),
    ("bad-line", "cycle-repeats"): ("F9 G81 X1 Z0 R2 L0", 1, {"value": 0}),
    ("bad-line", "cycle-spindle"): ("F9 G86 X1 Z0 R2 P1", 1, {"code": "G86"}),
    ("bad-line", "probe-close"): ("F9 G38.2 Z-0.2", 1, {"value": 0.2, "limit": 0.254, "unit": "mm"}),
    ("bad-line", "no-system"): ("G10 L2 P10 X1", 1, {"value": 10, "limit": 9}),
    ("bad-line", "side-on"): ("G41 D1\nG55", 2, {"code": "G55"}),
    ("bad-line", "side-plane"): ("G18\nG42 D1", 2, {"code": "G42"}),
    ("bad-line", "side-gouge"): ("F9 G41 D1\nG1 X2", 2, {"value": 3, "unit": "mm"}),
    ("bad-line", "side-narrow"): (
        "F9 G41 D1\nG1 X20\nG3 X22 Y2 J2",
        3,
        {"value": 2, "limit": 3, "unit": "mm"},
    ),
    ("bad-line", "part-missing"): ("M98 P7\nM2", 1, {"name": "7"}),
    ("bad-line", "part-twice"): ("M98 P7\nM2\nO7\nM99\nO7\nM99", 1, {"name": "7", "first": "3", "second": "5"}),
    ("bad-line", "part-open"): ("M98 P7\nM2\nO7\nG0 X1\nO8\nM99", 5, {"name": "7"}),
    ("number-missing", "after-letter"): ("G0 Z1 X", 1, {"letter": "X", "column": 7}),
    ("number-missing", "arc-centre"): ("F9 G2 X5", 1, {}),
    ("number-missing", "arc-end"): ("F9 G2 Z5 R5", 1, {}),
    ("number-missing", "cycle-bottom"): ("F9 G81 X1 R2", 1, {}),
    ("number-missing", "cycle-return"): ("F9 G81 X1 Z2", 1, {}),
    ("number-missing", "cycle-peck"): ("F9 G83 X1 Z2 R3", 1, {}),
    ("number-missing", "dwell"): ("G4", 1, {}),
    ("number-missing", "cycle-back"): ("M3 S9 F9 G87 X1 Z0 R2", 1, {}),
    ("number-missing", "length"): ("G43", 1, {}),
    ("number-missing", "system-data"): ("G10 L2", 1, {}),
    ("number-missing", "call"): ("M98", 1, {}),
    ("unknown-word", "letter"): ("G0 U1", 1, {"letter": "U", "column": 4}),
    ("unknown-word", "code"): ("G999 X1", 1, {"code": "G999"}),
    ("feed-missing", "never"): ("G1 X1", 1, {}),
    ("feed-missing", "zero"): ("G1 X1 F0", 1, {}),
    ("feed-missing", "inverse-time"): ("F9\nG93 G1 X1", 2, {}),
    ("feed-missing", "after-inverse"): ("F9\nG93 G1 X1 F2\nG94 X2", 3, {}),
    ("truncated", "comment"): ("G0 X1\n(the", 2, {}),
    ("truncated", "word"): ("G0 X1\nG0 X", 2, {}),
    ("truncated", "number"): (
        "F9 G1 X0.000\n" + "X1.250\nX2.500\n" * 10 + "X1.2",
        22,
        {"letter": "X", "value": 1, "limit": 3, "count": 21},
    ),
    ("units-suspect", "read-inch"): ("G20 F9 G1 X120\nM2", 1, {"value": 3048, "unit": "mm", "other": "120 mm"}),
    ("bad-line", "no-program"): ("Dear Anna,\n" + "see you at the harbour\n" * 5, 1, {"value": 6, "limit": 6}),
    ("units-suspect", "read-slow"): (
        "G21 F60 G1 X3.125\nY1.5\nM2",
        1,
        {"value": 3.125, "unit": "mm", "other": "3.125 in (79.38 mm)", "feed_mm_min": 60},
    ),
    ("units-suspect", "read-mm"): (
        "G21 F900 G1 X3.1250\nY1.1250\nM2",
        1,
        {"value": 3.125, "unit": "mm", "other": "3.125 in (79.38 mm)", "decimals": 4},
    ),
    ("no-end", "bit-down"): ("F9 G0 Z5\nX1\nG1 Z-1\nX9\n", 4, {"value": -1, "limit": 5, "unit": "mm"}),
    ("endless", "repeats"): ("F9 G81 X1 Z0 R2 L999999", 1, {"limit": 200_000}),
    ("endless", "calls"): ("M98 P7 L999999999\nM2\nO7\nM99", 3, {"limit": MOST_CALLED}),
    ("endless", "recursion"): ("M98 P7\nM2\nO7\nM98 P7\nM99", 4, {"name": "7"}),
    ("endless", "main"): ("G0 X1\nM99", 2, {}),
    ("arc-mismatch", "radii"): ("F9 G2 X5 I2", 1, {"value": 1, "limit": 0.002, "unit": "mm"}),
    ("arc-mismatch", "radius-short"): ("F9 G2 X5 R2", 1, {"value": 0.5, "limit": 0.002, "unit": "mm"}),
    ("units-changed", "feed-in-force"): (
        "G21 F600 G0 X1\nG20",
        2,
        {"first": "mm", "second": "inch", "feed": 600},
    ),
    ("units-changed", "mid-program"): ("G21 G0 X1\nG20", 2, {"first": "mm", "second": "inch"}),
    ("memory-needed", "system"): ("G55", 1, {"code": "G55"}),
    ("memory-needed", "home"): ("G28", 1, {"code": "G28"}),
    ("memory-needed", "machine-zero"): ("G53 G0 X1 Z2", 1, {"axes": "XZ"}),
    ("memory-needed", "stored-offset"): ("G92.3", 1, {}),
    ("memory-needed", "parameter"): ("G0 X#1", 1, {"number": "1"}),
    ("memory-needed", "parameter-zero"): ("G0 X#5161", 1, {"number": "5161"}),
    ("memory-needed", "bit"): ("T#1", 1, {"tool": "0"}),
    ("memory-needed", "length"): ("G43 H2", 1, {"number": "2"}),
    ("memory-needed", "diameter-none"): ("G41 D2", 1, {"number": "2"}),
    ("not-supported", "code"): ("G10 L20 P1", 1, {}),
    ("not-supported", "part"): ("O100 CALL", 1, {}),
    ("not-supported", "flow"): ("IF[#1 GT 2] GOTO 10", 1, {}),
    ("not-supported", "return-to"): ("M98 P7\nM2\nO7\nM99 P10", 4, {}),
    ("not-supported", "call-packed"): ("M98 P41000\nM2", 1, {"name": "41000"}),
    ("not-supported", "side-corner"): ("F9 G41 D1\nG1 X20\nY20", 3, {}),
    ("not-supported", "side-inverse-time"): ("G93 G41 D1\nG1 X20 F2\nX30 Y-5 F2", 3, {}),
    ("not-supported", "side-arc-first"): ("F9 G41 D1\nG2 X20 I10", 2, {}),
    ("not-supported", "parameter-unknown"): ("F9 G38.2 X9\n#[#5061]=1", 2, {}),
    ("not-supported", "value-unknown"): ("F9 G38.2 X9\nG43 H#5061", 2, {}),
    ("no-end", "no-end"): ("G0 X1\n\n", 2, {}),
    ("spindle-left-on", "left-on"): ("M3 S9\n", 1, {}),
    ("stale-offset", "left-on"): ("G92 X5", 1, {"x_mm": -5, "y_mm": 0, "z_mm": 0}),
    ("stale-offset", "kept"): ("G92 X5\nM2", 2, {"x_mm": -5, "y_mm": 0, "z_mm": 0}),
    ("stale-offset", "system"): ("G10 L2 P1 X5", 1, {"code": "G54"}),
    ("stale-offset", "parameter"): ("#5161=5", 1, {"number": "5161"}),
    ("probe", "path"): ("F9 G38.2 X9", 1, {}),
    ("practice", "semicolon"): ("G0 X1 ; up", 1, {}),
    ("practice", "block-delete-number"): ("/2 G0 X1", 1, {}),
    ("practice", "byte-order-mark"): (b"\xef\xbb\xbfG0 X1", 1, {}),
    ("practice", "tape-bytes"): (b"\x00\x00G0 X1\nM2\n\x7f", 1, {}),
    ("practice", "line-over-256"): ("(" + 300 * "x" + ")", 1, {"value": 302, "limit": 256}),
    ("practice", "line-over-80"): ("(" + 80 * "x" + ")", 1, {"value": 82, "limit": 80}),
    ("practice", "line-number-long"): ("N123456 G0 X1", 1, {}),
    ("practice", "line-number-decimal"): ("N1.5 G0 X1", 1, {}),
    ("practice", "percent-text"): ("%1234\nG0 X1\n%", 1, {}),
    ("practice", "percent-alone"): ("G0 X1\n%", 2, {}),
    ("practice", "percent-open"): ("%\nG0 X1\nM2", 3, {}),
    ("practice", "leader"): ("SHELF, LEFT SIDE\n%\nG0 X1\n%", 2, {}),
    ("practice", "sign-before-value"): ("G0 X-[5]", 1, {}),
    ("practice", "program-name"): ("O1000 (LEGS)\nG0 X1", 1, {"name": "1000"}),
    ("practice", "runs-into-part"): ("G0 X1\nO7\nM99", 2, {"name": "7"}),
    ("practice", "calls-deep"): (
        "M98 P1\nM2\n" + "\n".join(f"O{n}\nM98 P{n + 1}\nM99" for n in range(1, 5)) + "\nO5\nM99",
        13,
        {"value": 5, "limit": 4},
    ),
    ("practice", "part-drifts"): ("M98 P7 L2\nM2\nO7\nG91 G0 X3\nM99", 5, {"name": "7", "x_mm": 3}),
    ("practice", "mode-left"): ("M98 P7\nM2\nO7\nG91 G0 X3\nM99", 5, {"name": "7", "code": "G91"}),
    ("practice", "end-in-part"): ("M98 P7\nM2\nO7\nM30", 4, {"name": "7"}),
    ("practice", "probe-turning"): ("M3 S9\nF9 G38.2 X9", 2, {}),
    ("practice", "space-in-number"): ("G0 X1 2", 1, {"column": 5}),
    ("practice", "several-m-words"): ("M3 M8", 1, {"value": 2}),
    ("practice", "no-axis-words"): ("G1", 1, {"code": "G1"}),
    ("practice", "home-with-motion"): ("G0 G28", 1, {"code": "G0"}),
    ("practice", "word-harmless"): ("G0 X1 D1", 1, {"letter": "D"}),
    ("practice", "full-circle"): ("F9 G2 I-5", 1, {}),
    ("practice", "offset-across"): ("F9 G2 X5 I2.5 K0", 1, {"letter": "K"}),
    ("practice", "eia-units"): ("G71", 1, {"code": "G71"}),
    ("practice", "absolute-centres"): ("G90.1", 1, {}),
    ("practice", "relative-centres"): ("G91.1", 1, {}),
    ("practice", "home-some-axes"): ("G0 X9\nG91 G28 Z0", 2, {"code": "G28"}),
    ("practice", "home-by-way"): ("G28 Z5", 1, {"code": "G28"}),
    ("practice", "machine-incremental"): ("G91 G53 G0 X1", 1, {}),
    ("practice", "peck-return"): ("F9 G0 Z5\nG83 X1 Y1 Z-1 R1 Q1", 2, {}),
    ("practice", "old-height"): (
        CYCLE + "G99 X2\nG98 X3",
        4,
        {"value": 1, "limit": 5, "unit": "mm"},
    ),
    ("practice", "dwell-long"): ("G4 P500", 1, {"seconds_s": 500}),
    ("practice", "tiny-arc"): ("G0 X10 Y0.001\nG3 X10 Y0.000 I-10 F9", 2, {"value": 0.001, "unit": "mm"}),
    ("practice", "start-state"): ("G17 G0 X1", 1, {"codes": "G90 G94 G54"}),
    ("practice", "no-decimal-point"): (GOOD + "G0 X30000 Y1", 2, {"value": 30000, "unit": "mm"}),
    ("practice", "after-end"): ("G0 X1\nM2\nG0 X9", 3, {}),
}

# Cases that depend on how the control is set, with the options that bring them out.
BY_OPTION: dict[tuple[str, str], tuple[str, dict[str, Any]]] = {
    ("units-unstated", "assumed"): ("G0 X1", {"units_at_start": "unknown"}),
    ("units-unstated", "as-at-start"): ("G0 X1", {"units_at_start": "mm"}),
    ("arc-format", "read-absolute"): ("G0 X10\nF9 G3 X0 Y10 I0 J0", {"arc_centres": "unknown"}),
    ("arc-format", "absolute"): ("G0 X10 Y5\nF9 G3 X0 Y15 I0 J5", {"arc_centres": "relative"}),
    ("arc-format", "relative"): ("G0 X10\nF9 G3 X0 Y10 I-10 J0", {"arc_centres": "absolute"}),
    ("memory-needed", "zero-place"): ("G53 G0 X1 Z2", {"origin_mm": (0.0, 0.0, None)}),
    ("memory-needed", "length-twice"): ("G43 H1", {"lengths": "touched-off"}),
    ("memory-needed", "length-other"): ("T2 M6\nG43 H1", {"lengths": "table"}),
    ("memory-needed", "length-off"): ("T2 M6\nG0 Z5", {"lengths": "table"}),
    ("bad-line", "no-slot"): ("T69", {"strict": True}),
    ("unknown-word", "beyond"): ("M98 P1", {"strict": True}),
    ("memory-needed", "diameter"): ("G41 D1", {"lengths": "touched-off", "tools": TOOLS}),
    ("memory-needed", "other-bit"): ("T2 M6\nG53 G0 Z0", {"zero_tool": 1}),
}

MEANING = re.compile(r"^- ``(.+)``:", re.MULTILINE)
HEADING = re.compile(r"^``([a-z-]+)`` \((.+?)\)(.*(?:\n(?!\n).*)*)", re.MULTILINE)


@pytest.fixture(autouse=True)
def soon_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calls, "MOST_CALLED", MOST_CALLED)


def documented() -> set[tuple[str, str]]:
    """Return ids and cases as the docstring lists them."""
    found = set()
    problem = ""
    for paragraph in str(problems.__doc__).split("\n\n"):
        heading = HEADING.match(paragraph)
        if heading:
            problem = heading[1]
            found |= {(problem, case) for case in re.findall(r"``([a-z0-9-]+)``", heading[3])}
        found |= {(problem, case) for case in MEANING.findall(paragraph)}
    return found - {("bad-line", "practice"), ("practice", "rule"), ("arc-mismatch", "value")}


def test_all_cases_are_documented_and_shown() -> None:
    assert documented() == EXAMPLES.keys() | BY_OPTION.keys()


@pytest.mark.parametrize("key", EXAMPLES, ids="-".join)
def test_example_and_levels(read: Any, key: tuple[str, str]) -> None:
    text, line, numbers = EXAMPLES[key]
    problems_found = read(text, tools=TOOLS).problems
    assert all(p.level in LEVELS[p.id] for p in problems_found)
    found = [p for p in problems_found if (p.id, p.case) == key]
    assert [p.line for p in found] == [line]
    expected = numbers | ({"rule": key[1]} if key[0] == "practice" else {})
    assert {name: found[0].numbers.get(name) for name in expected} == pytest.approx(expected)
    assert len(found[0].quote) <= 40


@pytest.mark.parametrize("key", BY_OPTION, ids="-".join)
def test_example_by_option(read: Any, key: tuple[str, str]) -> None:
    text, options = BY_OPTION[key]
    assert key in {(p.id, p.case) for p in read(text, **options).problems}


@pytest.mark.parametrize("key", [key for key in EXAMPLES if key[0] == "practice"], ids="-".join)
def test_strict_refuses_what_is_marked_so(read: Any, key: tuple[str, str]) -> None:
    found = {(p.id, p.case) for p in read(EXAMPLES[key][0], strict=True).problems}
    (row,) = re.findall(
        rf"^- ``{key[1]}``: (.*(?:\n  .*)*)", str(problems.__doc__).split("``practice`` (note")[1], re.MULTILINE
    )
    refused = "*refused*" in row
    # A code that the report does not have is an unknown word to it.
    assert refused == bool(found & {("bad-line", key[1]), ("unknown-word", "beyond")})


LEVELS = {
    "probe": {Level.ASK},
    "bad-line": {Level.NO_GO},
    "number-missing": {Level.NO_GO},
    "unknown-word": {Level.NO_GO},
    "feed-missing": {Level.NO_GO},
    "truncated": {Level.NO_GO},
    "endless": {Level.NO_GO},
    "arc-mismatch": {Level.NO_GO, Level.NOTE},
    "arc-format": {Level.ASK},
    "units-unstated": {Level.ASK},
    "units-changed": {Level.ASK},
    "memory-needed": {Level.ASK},
    "not-supported": {Level.ASK},
    "no-end": {Level.ASK},
    "units-suspect": {Level.ASK},
    "spindle-left-on": {Level.NOTE},
    "stale-offset": {Level.ASK},
    "practice": {Level.ASK, Level.NOTE},
}


ASKS = (
    "absolute-centres",
    "calls-deep",
    "dwell-long",
    "eia-units",
    "home-some-axes",
    "leader",
    "no-decimal-point",
    "probe-turning",
    "runs-into-part",
    "tiny-arc",
)


def test_practice_asks_where_the_bit_may_go_elsewhere(read: Any) -> None:
    asks = [
        case
        for (problem, case), (text, _, _) in EXAMPLES.items()
        if problem == "practice"
        for p in read(text).problems
        if (p.id, p.case) == (problem, case) and p.level is Level.ASK
    ]
    assert tuple(sorted(asks)) == ASKS


def test_a_clean_program_has_no_problem(read: Any) -> None:
    assert read(GOOD + "M3 S9000\nG0 X1 Y2\nG1 Z-1 F300\nM5\nM2\n", units_at_start="unknown").problems == ()


def test_rubbish_stays_small(read: Any) -> None:
    program = read("G0 X1\n" + "G0 X1 X2\n" * 3000)
    assert len([p for p in program.problems if p.case == "letter-twice"]) == 1000

"""The quick way through plain lines and the complete reader give the same program, to the last bit."""

from concurrent.futures import ThreadPoolExecutor
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from programs import options, scraps
from whole import both, short_stretches

from cutworthy.program import ReadOptions

numbers = st.one_of(
    st.integers(-99999, 99999).map(lambda n: f"{n / 1000:g}"),
    st.integers(-20, 20).map(lambda n: f"{n}."),
    st.integers(-20, 20).map(str),
    st.sampled_from(("0", "-0", "+3", ".5", "-.25", "1.2345678", "0.123456789", "12345678901234567", "1.", "007", "-")),
)
words = st.tuples(st.sampled_from("XYZXYZXYZIJRF"), st.sampled_from(("", "", " ")), numbers).map("".join)
codes = st.sampled_from(("G0", "G1", "G2", "G3", "g1", "G01", "G0", "G 1", "", "", "", "N5", "N123456", "N5.", "N1 G1"))
odd = st.sampled_from(
    (
        "G91", "G90", "G20", "G21", "M3 S900", "T2 M6", "G81 X1 Y2 Z-1 R2", "G80", "G0 X1 2", "(a) X1", "X1(a)2",
        "X(a)1", "", " ", "%", "N1N2 X3",
        "M2", "G18", "G17", "G92 X1", "G54", "G55", "G41 D1", "G40", "G93", "G94", "X#1", "#1=2", "M98 P1 L3", "M99",
        "O1", "F0", "F-1", "G28", "G90.1", "G91.1", "G1 X1 Y1 Z1 (" + 80 * "x" + ")", "G4 P1", "\u00b0", "X1 X2",
    )
)  # fmt: skip
plain = st.tuples(codes, st.lists(words, max_size=5).map(" ".join)).map(" ".join)
short = st.integers(-9999, 9999).map(lambda n: f"{n / 100:g}")
straight = st.tuples(
    st.sampled_from(("G1", "G1", "G0", "", "", "N7 ", "g1")),
    st.lists(st.sampled_from("XYZF"), min_size=1, unique=True).flatmap(
        lambda letters: st.tuples(*(short.map(lambda number, letter=letter: letter + number) for letter in letters))
    ),
).map(lambda line: line[0] + " ".join(line[1]).replace("F-", "F"))
full = st.tuples(short, short, short).map(lambda place: "G1 X{} Y{} Z{}".format(*place))
by_radius = st.tuples(st.sampled_from(("G2", "G3")), short, short, st.integers(80, 300)).map(
    lambda arc: "{} X{} Y{} R{}".format(*arc)
)
circle = st.tuples(st.sampled_from(("G2 X3 Y4", "G3 X3 Y4 Z9")), short, short).map(
    lambda arc: "G0 X3 Y4\n{} I{} J{}".format(*arc)
)
line = st.one_of(straight, straight, full, full, full, by_radius, circle, plain)
lines = st.lists(line.map(lambda text: text + "\n"), min_size=1, max_size=12)


def long_run(seed: int) -> list[str]:
    """Return many plain lines at once, which element by element would be slow to draw."""
    random = Random(seed)  # noqa: S311 - no secret
    made = []
    for _ in range(random.randint(10, 80)):
        x, y, z = (random.randint(-9999, 9999) / 1000 for _ in range(3))
        turn = f"G{random.choice((2, 3))} X{x} Y{y} R{random.randint(15, 60)}"
        feed = random.choice(("", "", "", "", " F80"))
        note = random.choice(("", "", "", "", " (pass)", "(a (b)", " (\u00e9)", "(end) ", " (tab\there)"))
        texts = (f"G1 X{x} Y{y}{note} Z{z}{feed}", f"x{x} y{y} z{z}", f"G0X{x}Y{y}Z{z}", f"Y{y}", turn, note)
        made += random.choices(texts, (9, 4, 1, 1, 1, 1))
    end = random.choice(("\n", "\n", "\n", "\r\n", "\r"))
    return [text + end for text in made]


runs = st.lists(
    st.one_of(lines, st.integers(0, 1 << 32).map(long_run), odd.map(lambda each: [each + "\n"])), min_size=1, max_size=6
)
programs = runs.map(lambda runs: "G21 G90 G17 G94 G54\nG0 X0 Y0 Z5 F900\n" + "".join("".join(run) for run in runs))


@pytest.fixture(scope="module", autouse=True)
def small() -> Any:
    """Let small programs hold many stretches."""
    with short_stretches(), ThreadPoolExecutor(1) as helpers:
        yield helpers


@settings(max_examples=400, deadline=None)
@given(programs, options)
def test_programs(small: Any, text: str, chosen: ReadOptions) -> None:
    slow, quick = both(text.encode(), chosen, small)
    assert quick == slow


@settings(max_examples=300, deadline=None)
@given(programs, scraps, st.data(), options)
def test_mutated_programs(small: Any, text: str, scrap: str, data: Any, chosen: ReadOptions) -> None:
    whole = text.encode()
    at = data.draw(st.integers(0, len(whole)))
    mutated = whole[:at] + scrap.encode() + whole[at + data.draw(st.integers(0, 3)) :]
    slow, quick = both(mutated, chosen, small)
    assert quick == slow


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200), options)
def test_bytes(small: Any, data: bytes, chosen: ReadOptions) -> None:
    slow, quick = both(b"G21 G0 X1 Y1 Z1 F5\n" + data, chosen, small)
    assert quick == slow

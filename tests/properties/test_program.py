"""What must hold of any program: its moves follow the words, however they are written."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from programs import options, scraps
from whole import assert_whole

from cutworthy.model.program import Level, Program
from cutworthy.program import ReadOptions, read_program

INCH = 25.4


@dataclass(frozen=True)
class Line:
    """One line of an absolute program in the XY plane; a centre or a radius makes it an arc."""

    code: str
    x: float
    y: float
    z: float
    radius: float | None = None
    offset: tuple[float, float] | None = None

    def text(self, scale: float = 1.0) -> str:
        words = [self.code, *(f"{axis}{value / scale:.9f}" for axis, value in zip("XYZ", self.place, strict=True))]
        if self.radius is not None:
            words.append(f"R{self.radius / scale:.9f}")
        if self.offset is not None:
            words += [f"I{self.offset[0] / scale:.9f}", f"J{self.offset[1] / scale:.9f}"]
        return " ".join(words)

    @property
    def place(self) -> tuple[float, float, float]:
        return self.x, self.y, self.z


tenths = st.integers(-2000, 2000).map(lambda number: number / 10)


@st.composite
def programs(draw: Any) -> list[Line]:
    """Rapids, straight feeds, arcs by radius (far from half a turn) and full circles."""
    lines: list[Line] = []
    x, y = 0.0, 0.0
    for _ in range(draw(st.integers(1, 6))):
        code = draw(st.sampled_from(("G0", "G1", "G2", "G3", "circle", "G81")))
        end = (draw(tenths), draw(tenths), draw(tenths))
        reach = float(np.hypot(end[0] - x, end[1] - y))
        if code == "circle":
            offset = (draw(tenths) + 0.05, draw(tenths))
            lines.append(Line(draw(st.sampled_from(("G2", "G3"))), x, y, end[2], offset=offset))
            continue
        if code == "G81":
            # R lies above the hole's bottom whatever is drawn; the code is written with the line.
            lines.append(Line("G99 G81", end[0], end[1], end[2], radius=end[2] + 10))
        elif code in ("G0", "G1") or reach < 1:
            lines.append(Line("G1" if reach < 1 else code, *end))
        else:
            sign = draw(st.sampled_from((1, -1)))
            lines.append(Line(code, *end, radius=sign * reach * draw(st.sampled_from((0.6, 1.0, 3.0)))))
        x, y = end[0], end[1]
    return lines


def read(lines: list[str], *, head: str = "G21 G90 G17 G94 G54 F500", **options: Any) -> Program:
    text = "\n".join([head, *lines, "M2"])
    chosen = ReadOptions(**{"units_at_start": "mm", **options})
    return read_program(text.encode(), chosen, lambda _share: None)


def assert_same_path(one: Program, other: Program, *, shift: Any = (0, 0, 0), flip: Any = (1, 1, 1)) -> None:
    shift, flip = np.array(shift), np.array(flip)
    assert one.moves.kind.tolist() == other.moves.kind.tolist()
    assert one.moves.line.tolist() == other.moves.line.tolist()
    for name in ("start_mm", "end_mm", "centre_mm"):
        moved = getattr(one.moves, name) * flip + shift
        np.testing.assert_allclose(getattr(other.moves, name), moved, atol=1e-6)
    np.testing.assert_allclose(other.moves.turns, one.moves.turns * flip.prod(), atol=1e-6)
    np.testing.assert_allclose(other.moves.length_mm, one.moves.length_mm, atol=1e-5)
    np.testing.assert_allclose(other.moves.feed_mm_min, one.moves.feed_mm_min, rtol=1e-6)


@given(programs(), st.tuples(tenths, tenths, tenths))
def test_a_moved_program_makes_the_moved_path(lines: list[Line], by: tuple[float, float, float]) -> None:
    moved = [
        replace(
            line,
            x=line.x + by[0],
            y=line.y + by[1],
            z=line.z + by[2],
            radius=line.radius + by[2] if line.radius is not None and "G81" in line.code else line.radius,
        )
        for line in lines
    ]
    one = read([line.text() for line in lines])
    other = read([line.text() for line in moved], start_mm=by)
    assert_same_path(one, other, shift=by)


@given(programs())
def test_a_mirrored_program_makes_the_mirrored_path(lines: list[Line]) -> None:
    turned = {"G2": "G3", "G3": "G2"}
    mirrored = [
        replace(
            line,
            code=turned.get(line.code, line.code),
            x=-line.x,
            offset=line.offset and (-line.offset[0], line.offset[1]),
        )
        for line in lines
    ]
    one, other = (read([line.text() for line in each]) for each in (lines, mirrored))
    assert_same_path(one, other, flip=(-1, 1, 1))


@given(programs())
def test_the_same_program_in_inches(lines: list[Line]) -> None:
    one = read([line.text() for line in lines])
    head = f"G20 G90 G17 G94 G54 F{500 / INCH:.9f}"
    other = read([line.text(INCH) for line in lines], head=head)
    assert_same_path(one, other)
    assert (one.units, other.units) == ("mm", "inch")


@given(programs())
def test_g92_moves_the_words_and_not_the_path(lines: list[Line]) -> None:
    head = "G21 G90 G17 G94 G54 F500"
    one = read([line.text() for line in lines], head=head)
    shifted = [replace(line, x=line.x + 5, y=line.y - 7) for line in lines]
    other = read([line.text() for line in shifted], head=head + " G92 X5 Y-7")
    assert_same_path(one, other)


@given(programs(), st.data())
def test_form_changes_nothing(lines: list[Line], data: Any) -> None:
    plain = [line.text() for line in lines]
    dressed = []
    for number, text in enumerate(plain):
        for change in data.draw(st.sets(st.sampled_from(("lower", "tight", "wide", "numbered", "comment", "slash")))):
            text = {  # noqa: PLW2901 - dressed step by step
                "lower": text.lower(),
                "tight": text.replace(" ", ""),
                "wide": "\t" + text.replace("X", " X ").replace("Y", "Y\t") + "  ",
                "numbered": text if text.lstrip()[:1] in "Nn/" else f"N{number} {text}",
                "comment": f"{text} (X999 said the {number})",
                "slash": text if text.lstrip()[:1] in "Nn/" else f"/{text}",
            }[change]
        dressed.append(text)
    assert_same_path(read(plain), read(dressed))


@given(programs())
def test_both_readings_make_one_path_of_a_faultless_program(lines: list[Line]) -> None:
    text = [line.text() for line in lines]
    one, other = read(text), read(text, strict=True)
    assert [p for p in one.problems if p.level is Level.NO_GO] == []
    assert_same_path(one, other)


@given(programs())
def test_the_path_is_whole(lines: list[Line]) -> None:
    program = read([line.text() for line in lines])
    assert_whole(program)
    assert (program.moves.line[1:] >= program.moves.line[:-1]).all()


@given(st.binary(max_size=300), options)
def test_any_bytes_make_a_program(data: bytes, chosen: ReadOptions) -> None:
    assert_whole(read_program(data, chosen, lambda _share: None))


@given(st.text(max_size=100), options)
def test_any_text_makes_a_program(text: str, chosen: ReadOptions) -> None:
    assert_whole(read_program(text.encode("utf-8", "replace"), chosen, lambda _share: None))


@settings(max_examples=400)
@given(scraps, options)
def test_any_scraps_of_programs_make_a_program(text: str, chosen: ReadOptions) -> None:
    program = read_program(text.encode(), chosen, lambda _share: None)
    assert_whole(program)
    if chosen.strict:
        assert sum(problem.level is Level.NO_GO for problem in program.problems) <= 1


@pytest.mark.slow
def test_parts_that_are_called_without_end_stop_at_two_million_lines() -> None:
    program = read_program(b"M98 P7 L999999999\nM2\nO7\nM99", ReadOptions(), lambda _share: None)
    (problem,) = (each for each in program.problems if (each.id, each.case) == ("endless", "calls"))
    assert (problem.line, problem.numbers["limit"]) == (3, 2_000_000)

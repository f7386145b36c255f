"""The lines of keys: whatever stands in strings and brackets, a key keeps its line."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.app.cards.lines import Lines

TEXT = '''\
# [not] = a table
program = "a # b"
"quoted key" = 1
'literal' . inner = 2
a.b = 3

notes = """
[axes.x]
travel = "1"  \\"""
"""
more = \'\'\'
x = 1
\'\'\'
sizes = [   # [comment]
  "1 mm", ["]"],
  { x = 1 },
]
after = 4

[board] # remark
size = [1,
 2]
inline = { deep = { deeper = 1 }, list = [1, 2] }
[axes.x.drive]
friction = 0.1
[ axes . "y" ]
travel = 1
[[bits]]
tool = 1
[[bits]]
  tool = 2
[bits.maker]
name = "x"
[[bits.cuts]]
depth = 1
[[bits.cuts]]
depth = 2
[[bits]]
tool = 3
[[bits.cuts]]
depth = 3
'''


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (("program",), 2),
        (("quoted key",), 3),
        (("literal", "inner"), 4),
        (("literal",), 4),
        (("a", "b"), 5),
        (("notes",), 7),
        (("more",), 11),
        (("sizes",), 14),
        (("sizes", 1), 14),
        (("after",), 18),
        (("board",), 20),
        (("board", "size"), 21),
        (("board", "size", 1), 21),
        (("board", "inline"), 23),
        (("board", "inline", "deep", "deeper"), 23),
        (("board", "missing"), 20),
        (("axes",), 24),
        (("axes", "x", "drive", "friction"), 25),
        (("axes", "y", "travel"), 27),
        (("bits", 0, "tool"), 29),
        (("bits", 1), 30),
        (("bits", 1, "tool"), 31),
        (("bits", 1, "maker", "name"), 33),
        (("bits", 1, "cuts", 0, "depth"), 35),
        (("bits", 1, "cuts", 1, "depth"), 37),
        (("bits", 2, "cuts", 0, "depth"), 41),
        (("nowhere",), None),
        ((), None),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_lines(place: tuple[str | int, ...], line: int | None, end: str) -> None:
    text = TEXT.replace("\n", end)
    assert tomllib.loads(text)
    assert Lines(text).of(place) == line


VALUES = st.sampled_from(
    [
        '"[x]"',
        "'# no'",
        '"""\na = 1\n[b]\n"""',
        "'''\n]\n'''",
        '[1, # ]\n "a = [",\n]',
        "{ a = 1, b = [2] }",
        "1979-05-27",
        '"\\"="',
        '""""quoted" text"""',
        "'''it's'''",
        "inf",
        '["""\n"""]',
    ]
)


@given(st.lists(st.tuples(st.booleans(), VALUES, st.integers(0, 2)), min_size=1, max_size=12))
def test_a_key_keeps_its_line_whatever_the_values_are(rows: list[tuple[bool, str, int]]) -> None:
    text, expected, table = "", {}, ()
    for i, (is_table, value, blanks) in enumerate(rows):
        text += "\n" * blanks
        if is_table:
            table = (f"t{i}",)
            text += f"[t{i}]\n"
        expected[(*table, f"k{i}")] = text.count("\n") + 1
        text += f"k{i} = {value}\n"
    raw: Any = tomllib.loads(text)
    assert raw
    lines = Lines(text)
    assert {place: lines.of(place) for place in expected} == expected

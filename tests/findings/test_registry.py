import pytest

from cutworthy.findings import registered
from cutworthy.findings.registry import merge, on_lines, rule, verdict
from cutworthy.model.findings import Finding, Verdict
from cutworthy.model.program import Level, Reading


def finding(level=Level.ASK, about=None, line=None, reading=Reading.PRACTICE, case="case"):
    return Finding(id="clamp-near", level=level, case=case, about=about, line=line, reading=reading)


@pytest.mark.parametrize(
    ("levels", "expected"),
    [
        ([], Verdict.GO),
        ([Level.NOTE], Verdict.GO),
        ([Level.NOTE, Level.ASK], Verdict.ASK),
        ([Level.ASK, Level.NO_GO, Level.NOTE], Verdict.NO_GO),
    ],
)
def test_the_verdict_is_the_worst_level(levels, expected):
    assert verdict([finding(level) for level in levels]) is expected


def test_one_finding_for_each_culprit_the_gravest_of_the_first_reading():
    practice, report = finding(Level.ASK, "left"), finding(Level.NO_GO, "left", reading=Reading.REPORT)
    other, again = finding(Level.ASK, "right"), finding(Level.ASK, "right", reading=Reading.REPORT)
    merged = merge([practice, other, report, again])
    assert merged == (report, other)


def test_sorted_by_level_then_by_line():
    merged = merge([finding(about="a"), finding(about="b", line=9), finding(about="c", line=2)])
    assert [f.about for f in merged] == ["c", "b", "a"]


def test_lines_once_each_and_twenty_at_most():
    placed = on_lines(finding(), [30, 5, 5, *range(100, 130)], 30)
    assert (placed.line, placed.worst_line, placed.count, len(placed.lines)) == (5, 30, 32, 20)
    assert placed.lines[:3] == (5, 30, 100)


def test_an_id_has_one_rule():
    with pytest.raises(ValueError, match="two rules for clamp-hit"):
        rule("clamp-hit", Level.NO_GO)(lambda _facts: [])


def test_every_rule_has_levels_and_a_source():
    for each in registered():
        assert each.levels
        assert each.source

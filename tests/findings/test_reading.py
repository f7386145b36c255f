"""What the reader came upon, told once for all its lines."""

from cutworthy.findings import told_once
from cutworthy.model.program import Level, Problem


def problem(line, case="letter", *, rule="unknown-word", level=Level.NO_GO, quote="", **numbers):
    return Problem(line=line, id=rule, level=level, case=case, quote=quote, numbers=numbers)


def test_nothing_found_nothing_told():
    assert told_once([]) == ()


def test_one_letter_is_one_finding_however_many_words():
    found = told_once(problem(line, quote=f"U{line}", letter="U") for line in range(1, 101))
    assert [(each.count, each.lines[:3], each.quote) for each in found] == [(100, (1, 2, 3), "U")]


def test_other_letters_and_other_codes_are_told_apart():
    found = told_once(
        [
            problem(4, quote="U1", letter="U"),
            problem(5, quote="V1", letter="V"),
            problem(6, "code", quote="G300", code="G300"),
            problem(7, "code", quote="G301", code="G301"),
            problem(8, "code", rule="not-supported", level=Level.ASK, quote="G5"),
            problem(9, "code", rule="not-supported", level=Level.ASK, quote="G5.1"),
        ]
    )
    assert [(each.line, each.quote) for each in found] == [
        (4, "U1"), (5, "V1"), (6, "G300"), (7, "G301"), (8, "G5"), (9, "G5.1"),
    ]  # fmt: skip


def test_quotes_that_differ_are_marked():
    (found,) = told_once(
        problem(line, "part", rule="not-supported", level=Level.ASK, quote=f"O{line}") for line in (3, 4)
    )
    assert found.quote == "O3, …"


def test_gravest_first_then_by_line():
    found = told_once(
        [
            problem(1, "semicolon", rule="practice", level=Level.NOTE),
            problem(2, "leader", rule="practice", level=Level.ASK),
            problem(9, "no-value", rule="bad-line"),
            problem(3, "negative", rule="bad-line", letter="P", value=-1.0),
        ]
    )
    assert [each.line for each in found] == [3, 9, 2, 1]


def test_the_numbers_are_those_of_the_worst_line():
    mismatch = [problem(n, "radii", rule="arc-mismatch", value=value, unit="mm") for n, value in ((5, 0.1), (7, -0.4))]
    (found,) = told_once(mismatch)
    assert (found.line, found.worst_line, found.numbers["value"]) == (5, 7, -0.4)

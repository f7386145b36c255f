import pytest

from cutworthy.present.show import Display, significant


@pytest.mark.parametrize(
    ("units", "value", "shown"),
    [
        ("mm", 12.345, "12.3 mm"),
        ("mm", 1.005, "1 mm"),
        ("mm", 0.05, "0.05 mm"),
        ("mm", 0.002, "0.002 mm"),
        ("inch", 0.00508, "0.0002 in"),
        ("mm", -0.00004, "0 mm"),
        ("inch", 25.4, "1 in"),
        ("inch", 1.5875, "0.062 in"),
        ("inch", -0.2, "-0.008 in"),
    ],
)
def test_lengths(units, value, shown):
    assert Display(units).length(value) == shown


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0.04, "0 s"),
        (12.34, "12.3 s"),
        (59.6, "1 min 0 s"),
        (380, "6 min 20 s"),
        (3600, "1 h 0 min"),
        (6720, "1 h 52 min"),
    ],
)
def test_times(seconds, shown):
    assert Display("mm").time(seconds) == shown


def test_feeds_and_numbers_by_the_end_of_their_names():
    inch = Display("inch")
    numbers = {"value": -25.4, "unit": "mm", "cap_mm_min": 2540.0, "wait_s": 90.0, "said": "left\x1b", "limit": None}
    shown = inch.numbers(numbers)
    assert shown["value"] == "-1 in"
    assert shown["over"] == "1 in"
    assert shown["cap_mm_min"] == "100 in/min"
    assert shown["wait_s"] == "1 min 30 s"
    assert shown["said"] == "left\\x1b"
    assert shown["limit"] == "an unknown"


@pytest.mark.parametrize(
    ("value", "kept"), [(1 / 3, 0.333333333), (-0.0, 0.0), (None, None), (1234567891.5, 1234567890.0)]
)
def test_nine_significant_digits(value, kept):
    assert significant(value) == kept
    assert str(significant(-0.0)) == "0.0"

"""Numbers on paper: significant digits, both units, and sums that are true with the digits they print."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.present.sums import Both, By, Shown, Term, digits, exact, floor_digits, is_short, reckon

typed = st.decimals(min_value="0.0001", max_value="99999", places=4)


def test_a_result_shows_only_the_digits_that_its_own_numbers_make():
    third = Fraction(1, 3)
    made = reckon([Term(third), Term(Fraction(30_000_001))], Fraction(30_000_001, 3), "mm")
    assert made.line == "0.3333333333 × 30000001 = 10000000.33 mm"
    with_pi = reckon([Term(1600), Term(Fraction("3.141592654"), by=By.OVER)], 1600 / 3.141592653589793, "")
    assert with_pi.result == "509.295818"  # the tenth digit of pi costs the last one


@pytest.mark.parametrize(
    ("value", "most", "shows"),
    [
        (0.00000012345, 3, "0.000000123"),
        (1_440_000.0, 10, "1440000"),
        (123456.0, 3, "123000"),
        (-0.0, 4, "0"),
        (-94.0, 7, "-94"),
        (Fraction(8000) / Fraction("25.4"), 10, "314.9606299"),
    ],
)
def test_numbers_are_shown_without_exponent_and_without_idle_zeros(value, most, shows):
    assert digits(value, most) == shows


@given(typed, st.integers(min_value=1, max_value=12))
def test_digits_are_those_of_decimal_arithmetic(value, most):
    assert Decimal(digits(Fraction(value), most)) == Decimal(f"{value:.{most}g}")


@given(typed, st.integers(min_value=1, max_value=12))
def test_floored_digits_are_never_more_and_hardly_less(value, most):
    shown = Fraction(floor_digits(Fraction(value), most))
    assert 0 <= Fraction(value) - shown < Fraction(value) / 10 ** (most - 1)


@given(typed)
def test_a_number_through_inches_and_back_is_the_number_typed(value):
    assert exact(float(value)) == Fraction(value)
    assert Shown("inch").own(float(value) * 25.4) == Fraction(value)


def test_a_third_is_never_short():
    assert is_short(Fraction("3.175"))
    assert not is_short(Fraction(10, 3))


def test_both_units_stand_in_the_order_of_the_machine():
    assert Shown("mm").length(820) == Both("820 mm", "32.28 in")
    assert Shown("inch").length(820) == Both("32.28 in", "820 mm")
    assert Shown("mm").length(820).text == "820 mm (32.28 in)"
    assert Shown("mm").speed(50) == Both("3000 mm/min", "118.1 in/min")
    assert Shown("inch").force(444.82216152605) == Both("100 lbf", "445 N")  # by the pound of 4.4482216152605 N


def test_digits_before_the_point_are_never_rounded_away():
    assert Shown("mm").speeds([23.52816, 47.0564]).first == "1412, 2823 mm/min"
    assert Both("118.1102 in/min", "30000.4 mm/min").shorter(4) == Both("118.1 in/min", "30000 mm/min")
    assert Shown("mm").spans([(1, 2), (20, 30)]) == Both(
        "60 to 120, 1200 to 1800 mm/min", "2.36 to 4.72, 47.2 to 70.9 in/min"
    )


def test_a_length_is_carried_into_the_other_unit_either_way():
    assert Shown("mm").convert(3000, "{}/min").line == "3000 ÷ 25.4 = 118.1102 in/min"
    assert Shown("inch").convert(100, "{}/min").line == "100 × 25.4 = 2540 mm/min"

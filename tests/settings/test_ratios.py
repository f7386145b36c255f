import itertools
import tomllib
from fractions import Fraction
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.settings.ratios import (
    NEAR_ID,
    TOLERANCE,
    TWO_ID,
    UNNAMED_ID,
    Context,
    name_ratio,
    ratio_family,
)

PLAIN = Context()
FILE = tomllib.loads((files("cutworthy.reference") / "ratios.toml").read_text(encoding="utf-8"))

contexts = st.builds(
    Context,
    starts=st.one_of(st.none(), st.integers(1, 8)),
    reduction=st.builds(lambda top, bottom: top / bottom, st.integers(10, 72), st.integers(10, 72)),
    teeth=st.one_of(st.none(), st.integers(9, 90)),
    microsteps=st.one_of(st.none(), st.sampled_from([1, 2, 4, 5, 8, 10, 16, 25, 32, 64, 128, 250, 256])),
    steps_per_turn=st.one_of(st.none(), st.sampled_from([48, 200, 400])),
)


def ids(entered, true, context=PLAIN):
    slip = name_ratio(entered, true, context=context)
    return None if slip is None else slip.ids


@given(contexts, st.fractions(min_value=1, max_value=5000, max_denominator=1000))
def test_every_slip_of_the_family_is_named(context, true):
    for key, ratio in ratio_family(context).items():
        slip = name_ratio(float(true * Fraction(ratio)), true, context=context)
        assert slip is not None
        assert key in slip.ids
        assert slip.ratio == pytest.approx(float(ratio), rel=1e-12)


@given(contexts)
def test_no_slip_of_the_family_is_no_slip_at_all(context):
    assert all(abs(float(ratio) - 1) > TOLERANCE for ratio in ratio_family(context).values())


def test_fixed_slips_of_different_ratio_are_told_apart():
    # A tooth more or less and the drive's own numbers can coincide with any of them; then both are named.
    fixed = sorted({float(ratio) for ratio in ratio_family(PLAIN).values()})
    assert len(fixed) > 20
    assert all(high / low - 1 > 5 * TOLERANCE for low, high in itertools.pairwise(fixed))


def test_fixed_slips_are_told_apart_from_products_too():
    fixed = {float(ratio) for ratio in ratio_family(PLAIN).values()}
    products = {m * i for m in (2, 4, 8, 1 / 2, 1 / 4, 1 / 8) for i in (25.4, 1 / 25.4)}
    every = sorted(fixed | products)
    assert all(high / low - 1 > 2 * TOLERANCE for low, high in itertools.pairwise(every))


# Slips of the trade on Plover and Heron; common practice, no source.
@pytest.mark.parametrize(
    ("entered", "true", "context", "key"),
    [
        (160 * 2, 160, PLAIN, "microsteps-double"),
        (160 / 4, 160, PLAIN, "microsteps-quarter"),
        (4064, 160, PLAIN, "inch-for-mm"),
        (160 / 25.4, 160, PLAIN, "mm-for-inch"),
        (1600 / 2, 200, Context(starts=4), "pitch-for-lead"),
        (50, 200, Context(starts=4), "starts-twice"),
        (1600 / 25.4 / 3, Fraction(8000, 127), Context(reduction=3), "reduction-forgotten"),
        (1600 / 25.4 * 3, Fraction(8000, 127), Context(reduction=3), "reduction-twice"),
        (1600 / 25.4 / 9, Fraction(8000, 127), Context(reduction=3), "reduction-inverted"),
        (320, 160, Context(steps_per_turn=200), "motor-of-400"),
        (80, 160, Context(steps_per_turn=400), "motor-of-200"),
        (20, 160, Context(microsteps=8), "microsteps-forgotten"),
        (1600 / 12.7, Fraction(1600, 12), PLAIN, "half-inch-for-12-mm"),
        (1600 / 12, Fraction(16000, 127), PLAIN, "12-mm-for-half-inch"),
        (1600 / 25.4, Fraction(1600, 25), PLAIN, "fifth-inch-for-5-mm"),
        (1600 / 25, Fraction(8000, 127), PLAIN, "5-mm-for-fifth-inch"),
        (160, Fraction(16000, 127), PLAIN, "10-mm-for-half-inch"),
        (160, Fraction(1600, 12), PLAIN, "10-mm-for-12-mm"),
        (80, 25.464790894703255, PLAIN, "module-for-pitch"),
        (1600 / 25.4 * 15 / 16, Fraction(8000, 127), Context(teeth=15, reduction=3), "tooth-more"),
        (1600 / 25.4, Fraction(8000, 127) * Fraction(15, 16), Context(teeth=16, reduction=3), "tooth-fewer"),
        (1600, 160, PLAIN, "ten-for-one"),
        (9600, 160, PLAIN, "minute-for-second"),
    ],
)  # fmt: skip
def test_a_slip_of_the_trade(entered, true, context, key):
    assert key in ids(float(entered), true, context)


@pytest.mark.parametrize(
    ("entered", "true", "ratio"),
    [
        (1600 / 25.4, Fraction(1600, 25), "0.984252"),  # 5 mm belt parts for 0.2 in
        (1600 / 12.7, Fraction(1600, 12), "0.944882"),  # 12 mm lead sold as 1/2 in
    ],
)
def test_ratios_of_wrong_parts_on_heron(entered, true, ratio):
    slip = name_ratio(entered, true, context=PLAIN)
    assert f"{slip.ratio:.6f}" == ratio


@given(st.floats(0.01, 1e5))
def test_the_true_number_is_no_slip(true):
    assert ids(true, true) is None


@pytest.mark.parametrize(
    ("entered", "true"),
    [
        (126.0, Fraction(16000, 127)), (125.98, Fraction(16000, 127)), (125.9843, Fraction(16000, 127)),
        (51.0, 50.92958178940651), (166.7, Fraction(500, 3)), (125.9, Fraction(16000, 127)),
        (1333 / 25.4, Fraction(4000, 3) / Fraction("25.4")),
    ],
)  # fmt: skip
def test_a_rounded_number_is_no_slip_whatever_unit_it_was_rounded_in(entered, true):
    # Rounding has a price of its own, told by rounding_error_mm.
    assert ids(entered, true) is None


@pytest.mark.parametrize(("entered", "true"), [(160.3, 160), (161.0, 160), (158.0, 160)])
def test_a_number_close_by_that_is_not_rounded_was_corrected(entered, true):
    assert ids(entered, true) == (NEAR_ID,)


def test_too_few_digits_are_no_rounding():
    # 6 for 6.299 is 4.7 % off.
    assert ids(6.0, Fraction(160) / Fraction("25.4")) == (UNNAMED_ID,)


def test_a_product_is_named_when_nothing_single_fits():
    assert ids(160 * 50.8, 160) == (TWO_ID, "microsteps-double*inch-for-mm")
    assert ids(160 / 12.7, 160) == (TWO_ID, "microsteps-double*mm-for-inch")
    # Two ways to the same ratio: both stand, in the order of the family.
    assert ids(160 * 101.6, 160, Context(starts=4)) == (
        TWO_ID, "pitch-for-lead*inch-for-mm", "microsteps-fourfold*inch-for-mm",
    )  # fmt: skip


def test_two_slips_about_one_thing_are_no_explanation():
    assert ids(160 * 32, 160) == (UNNAMED_ID,)


def test_a_name_fits_within_a_thousandth():
    assert ids(320 * 1.0009, 160) == ("microsteps-double",)
    assert ids(320 * 1.0011, 160) == (UNNAMED_ID,)


def test_single_slips_go_before_products():
    # 8 could be a switch at double and four starts forgotten; one mistake is likelier than two.
    assert ids(160 * 8, 160, Context(starts=4)) == ("microsteps-eightfold",)


def test_all_that_fit_are_named_nearest_first():
    # 17 teeth for 18 is 1.05882, a half inch for 12 mm 1.05833.
    assert ids(160 * 127 / 120, 160, Context(teeth=18)) == ("12-mm-for-half-inch", "tooth-fewer")
    assert ids(160 * 18 / 17, 160, Context(teeth=18)) == ("tooth-fewer", "12-mm-for-half-inch")
    assert set(ids(320.0, 160, Context(starts=2, reduction=2, steps_per_turn=200))) == {
        "microsteps-double", "pitch-for-lead", "reduction-twice", "motor-of-400",
    }  # fmt: skip


def test_what_fits_nothing_has_no_name():
    slip = name_ratio(160 * 1.7, 160, context=PLAIN)
    assert (slip.ids, slip.ratio) == ((UNNAMED_ID,), pytest.approx(1.7))


@given(contexts, st.floats(1e-4, 1e4), st.floats(1, 1e4))
def test_the_first_id_is_one_of_a_closed_list(context, ratio, true):
    slip = name_ratio(ratio * true, true, context=context)
    first = {row["id"] for row in FILE["ratios"]} | {NEAR_ID, TWO_ID, UNNAMED_ID}
    assert slip is None or slip.ids[0] in first


def test_every_row_has_a_source_and_a_topic_and_a_name_of_its_own():
    rows = FILE["ratios"]
    assert len({row["id"] for row in rows}) == len(rows)
    assert all(row["source"] and row["about"] and ("ratio" in row) != ("computed" in row) for row in rows)


def test_every_computed_row_of_the_family_is_computed():
    every = Context(starts=3, reduction=3.5, teeth=20, microsteps=10, steps_per_turn=48)
    assert set(ratio_family(every)) == {row["id"] for row in FILE["ratios"]}

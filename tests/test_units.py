"""Quantities as people write them. Pint is the referee of every factor."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.errors import QuantityError
from cutworthy.units import _UNITS, MM_PER_INCH, MM_PER_M, Kind, express, parse, quoted

# For each kind: our unit, and each spelling, as pint names them.
REFEREE = {
    Kind.LENGTH: ("mm", {"mm": "mm", "cm": "cm", "m": "m", "um": "um", "in": "inch", "inch": "inch", '"': "inch",
                         "thou": "thou", "ft": "foot", "'": "foot"}),
    Kind.SPEED: ("mm/s", {"mm/s": "mm/s", "mm/min": "mm/min", "m/min": "m/min", "m/s": "m/s", "in/s": "inch/s",
                          "in/min": "inch/min", "ipm": "inch/min"}),
    Kind.ACCELERATION: ("mm/s**2", {"mm/s2": "mm/s**2", "m/s2": "m/s**2", "in/s2": "inch/s**2"}),
    Kind.FORCE: ("N", {"N": "N", "kN": "kN", "lbf": "force_pound", "ozf": "force_ounce", "kgf": "force_kilogram",
                       "kg": "force_kilogram", "g": "force_gram", "lb": "force_pound", "oz": "force_ounce"}),
    Kind.TORQUE: ("N*m", {"N*m": "N*m", "Nm": "N*m", "mN*m": "mN*m", "mNm": "mN*m", "N*cm": "N*cm", "Ncm": "N*cm",
                          "kgf*cm": "force_kilogram*cm", "kg*cm": "force_kilogram*cm",
                          "ozf*in": "force_ounce*inch", "oz*in": "force_ounce*inch",
                          "lbf*in": "force_pound*inch", "lb*in": "force_pound*inch"}),
    Kind.MASS: ("kg", {"kg": "kg", "g": "g", "lb": "pound", "oz": "ounce"}),
    Kind.INERTIA: ("kg*m**2", {"kg*m2": "kg*m**2", "kg*cm2": "kg*cm**2", "g*cm2": "g*cm**2",
                               "oz*in2": "ounce*inch**2", "lb*in2": "pound*inch**2"}),
    Kind.STIFFNESS: ("N/mm", {"N/mm": "N/mm", "N/um": "N/um", "lbf/in": "force_pound/inch"}),
    Kind.DENSITY: ("kg/m**3", {"kg/m3": "kg/m**3", "g/cm3": "g/cm**3", "lb/ft3": "pound/foot**3"}),
    Kind.VOLTAGE: ("V", {"V": "V"}),
    Kind.CURRENT: ("A", {"A": "A", "mA": "mA"}),
    Kind.RESISTANCE: ("ohm", {"ohm": "ohm"}),
    Kind.INDUCTANCE: ("H", {"H": "H", "mH": "mH", "uH": "uH"}),
    Kind.POWER: ("W", {"W": "W", "kW": "kW", "hp": "horsepower"}),
    Kind.TIME: ("s", {"s": "s", "ms": "ms", "us": "us", "min": "min"}),
    Kind.FREQUENCY: ("1/s", {"Hz": "1/s", "kHz": "1/ms", "MHz": "1/us", "1/s": "1/s"}),
    Kind.ROTATION: ("1/min", {"rpm": "1/min", "1/min": "1/min"}),
    Kind.ANGLE: ("rad", {"rad": "rad", "mrad": "mrad", "deg": "degree", "°": "degree"}),
    Kind.TEMPERATURE: ("K", {"K": "K", "°C": "degC", "C": "degC", "deg*C": "degC", "°F": "degF", "F": "degF",
                             "deg*F": "degF"}),
    Kind.RATIO: ("", {"%": "percent"}),
}  # fmt: skip
SPELLINGS = [(kind, unit, names[unit]) for kind, (_, names) in REFEREE.items() for unit in names]
NUMBERS = st.decimals(min_value=-9999, max_value=9999, places=4, allow_nan=False)


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def test_the_referee_knows_every_spelling() -> None:
    assert {kind: set(units) for kind, units in _UNITS.items()} == {kind: set(n) for kind, (_, n) in REFEREE.items()}


@pytest.mark.parametrize(("kind", "unit", "name"), SPELLINGS)
@pytest.mark.parametrize("number", [0.0, 1.0, 36.25])
def test_factors(registry: pint.UnitRegistry, kind: Kind, unit: str, name: str, number: float) -> None:
    expected = registry.Quantity(number, name).to(REFEREE[kind][0]).magnitude
    assert parse(f"{number} {unit}", kind).value == pytest.approx(expected, rel=1e-12)


def test_constants(registry: pint.UnitRegistry) -> None:
    assert registry.Quantity(1, "inch").to("mm").magnitude == pytest.approx(MM_PER_INCH, rel=1e-15)
    assert registry.Quantity(1, "m").to("mm").magnitude == pytest.approx(MM_PER_M, rel=1e-15)


@given(number=NUMBERS, spelling=st.sampled_from([each for each in SPELLINGS if each[0] is not Kind.TEMPERATURE]))
def test_there_and_back(number: object, spelling: tuple[Kind, str, str]) -> None:
    kind, unit, _ = spelling
    said = parse(f"{number} {unit}", kind)
    assert said.unit == unit
    assert express(said.value, kind, said.unit) == pytest.approx(float(number), rel=1e-14, abs=1e-300)


@given(whole=st.integers(0, 200), top=st.integers(1, 63), gap=st.sampled_from([" ", "-"]), sign=st.sampled_from("+- "))
def test_inch_fractions_are_exact(whole: int, top: int, gap: str, sign: str) -> None:
    sixty_fourths = (whole * 64 + top) * (-1 if sign == "-" else 1)
    said = parse(f"{sign}{whole}{gap}{top}/64 in", Kind.LENGTH).value
    assert said == float(sixty_fourths * 254) / 640  # 25.4 / 64 in one rounding


@given(st.text(max_size=80))
def test_any_text_is_a_finite_number_or_says_what_is_wrong(text: str) -> None:
    try:
        answer = math.isfinite(parse(text, Kind.LENGTH).value)
    except QuantityError as error:
        answer = bool(error.wrong and error.write)
    assert answer


# Spellings of one quantity each, as labels, letters and phones have them.
@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("1 1/16 in", Kind.LENGTH, 26.9875),
        ("1-1/16 in", Kind.LENGTH, 26.9875),
        ("1-1/16in", Kind.LENGTH, 26.9875),
        ("-1 1/16 in", Kind.LENGTH, -26.9875),
        ('3/4"', Kind.LENGTH, 19.05),
        ("3/4\N{DOUBLE PRIME}", Kind.LENGTH, 19.05),
        ("3/4\N{RIGHT DOUBLE QUOTATION MARK}", Kind.LENGTH, 19.05),
        ("2'", Kind.LENGTH, 609.6),
        ("17/16 in", Kind.LENGTH, 26.9875),
        (".5 in", Kind.LENGTH, 12.7),
        ("5. mm", Kind.LENGTH, 5.0),
        ("+5mm", Kind.LENGTH, 5.0),
        ("  5 \t mm ", Kind.LENGTH, 5.0),
        ("5\N{NO-BREAK SPACE}mm", Kind.LENGTH, 5.0),
        ("1e3 mm", Kind.LENGTH, 1000.0),
        ("\N{MINUS SIGN}5 mm", Kind.LENGTH, -5.0),
        ("\N{EN DASH}5 mm", Kind.LENGTH, -5.0),
        ("5 \N{MICRO SIGN}m", Kind.LENGTH, 0.005),
        ("40 N/\N{GREEK SMALL LETTER MU}m", Kind.STIFFNESS, 40000.0),
        ("400 mm/s\N{SUPERSCRIPT TWO}", Kind.ACCELERATION, 400.0),
        ("400 mm/s^2", Kind.ACCELERATION, 400.0),
        ("400 mm/s2", Kind.ACCELERATION, 400.0),
        ("460 g*cm^2", Kind.INERTIA, 4.6e-5),
        ("460 g\N{MIDDLE DOT}cm\N{SUPERSCRIPT TWO}", Kind.INERTIA, 4.6e-5),
        ("1.8 N m", Kind.TORQUE, 1.8),
        ("1.8 N\N{DOT OPERATOR}m", Kind.TORQUE, 1.8),
        ("16 ozf*in", Kind.TORQUE, 0.1129848290276167),  # 1 lbf*in, exact by definition of pound, inch and gravity
        ("16 oz-in", Kind.TORQUE, 0.1129848290276167),
        ("1.1 \N{GREEK CAPITAL LETTER OMEGA}", Kind.RESISTANCE, 1.1),
        ("200 1/s", Kind.FREQUENCY, 200.0),
        ("1 1/s", Kind.FREQUENCY, 1.0),
        ("180 deg", Kind.ANGLE, math.pi),
        ("18 C", Kind.TEMPERATURE, 291.15),
        ("18 deg C", Kind.TEMPERATURE, 291.15),
        ("-40 °F", Kind.TEMPERATURE, 233.15),
        ("50 %", Kind.RATIO, 0.5),
    ],
)
def test_spellings(text: str, kind: Kind, value: float) -> None:
    assert parse(text, kind).value == value


@pytest.mark.parametrize(
    ("text", "kind", "wrong", "write"),
    [
        ("1,5 mm", Kind.LENGTH, "has a comma", 'write a point: "1.5 mm"'),
        ("1,000 mm", Kind.LENGTH, "has a comma", 'or if it is thousands nothing: "1000 mm"'),
        ("0,5", Kind.LENGTH, "has a comma", 'write a point: "0.5"'),
        ("", Kind.LENGTH, "is empty", '"820 mm"'),
        ("  ", Kind.LENGTH, "is empty", '"820 mm"'),
        ("?", Kind.LENGTH, "not filled in yet", '"820 mm"'),
        ("about five", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("NaN", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("nan mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("inf mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("-inf", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1e400 mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1.2.3 mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1/2/3 in", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("3 4 mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1 - 1/2 in", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("5' 3\"", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1\N{VULGAR FRACTION ONE HALF} in", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("\N{ARABIC-INDIC DIGIT FIVE} mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1_000 mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("9" * 100 + " mm", Kind.LENGTH, "is not one number", '"820 mm"'),
        ("1/0 in", Kind.LENGTH, "divides by zero", "again"),
        ("1 1/0 in", Kind.LENGTH, "divides by zero", "again"),
        ("1 17/16 in", Kind.LENGTH, "a fraction of one or more", "again"),
        ("820", Kind.LENGTH, "has no unit", '"820 mm"'),
        ("1/2", Kind.LENGTH, "has no unit", '"1/2 mm"'),
        ("14 s", Kind.LENGTH, "is a time, and a length is needed", '"820 mm"'),
        ("5 mm", Kind.ANGLE, "is a length, and an angle is needed", '"60 deg"'),
        ("14 kg", Kind.TORQUE, "is a force", '"1.8 N*m"'),
        ("12 N", Kind.MASS, "is a force, and a mass is needed", '"14 kg"'),
        ("18 °C", Kind.CURRENT, "is a temperature", '"3.0 A"'),
        ("5 MM", Kind.LENGTH, "a unit that is not known", "write mm"),
        ("5 inches", Kind.LENGTH, "a unit that is not known", "write inch"),
        ("5 furlongs", Kind.LENGTH, "a unit that is not known", "write one of mm, cm, m"),
    ],
)
def test_traps(text: str, kind: Kind, wrong: str, write: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    assert wrong in caught.value.wrong
    assert write in caught.value.write


def test_a_luggage_scale_reads_weights() -> None:
    said = parse("12 kg", Kind.FORCE)
    assert said.value == 12 * 9.80665  # standard gravity, exact by definition (CGPM 1901)
    assert said.note == '"12 kg" is read as a weight, 117.7 N'
    assert parse("12 N", Kind.FORCE).note is None
    assert parse("12 kg", Kind.MASS).note is None


def test_an_example_of_ones_own() -> None:
    with pytest.raises(QuantityError, match='write for example "35 mm"'):
        parse("wide", Kind.LENGTH, example="35 mm")
    with pytest.raises(QuantityError, match='for example "12 in"'):
        parse("12", Kind.LENGTH, example="4 in")


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_an_example_and_an_ending(kind: Kind) -> None:
    assert parse(kind.example, kind).value > 0
    assert kind.ending == kind.ending.lower()


def test_quoted_shows_nothing_that_acts() -> None:
    assert quoted("820") == '"820"'
    assert quoted('3/4"') == "'3/4\"'"
    assert quoted("a\x1b[31m\u202eb") == '"a\\x1b[31m\\u202eb"'
    assert len(quoted("x" * 1000)) < 50

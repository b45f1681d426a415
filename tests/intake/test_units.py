"""Every unit of the table against a general-purpose unit library, and every form of text against its own words."""

import math
import re
import warnings
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.errors import InputError
from millhand.intake.text import Manner, currency_in, read_quantity
from millhand.intake.units import CURRENCIES, DIMENSIONS

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    ORACLE: pint.UnitRegistry[float] = pint.UnitRegistry()

# What the library calls a unit of ours, where the name differs, and the SI unit that we keep a dimension in.
NAMES = {
    "um": "micrometer", "µm": "micrometer", "in": "inch", "lb": "pound", "lbs": "pound", "t": "metric_ton",
    "sec": "second", "secs": "second", "mins": "minute", "hrs": "hour",
    "h": "hour", "d": "day", "l": "liter", "L": "liter", "m²": "m**2", "m³": "m**3", "m2": "m**2",
    "cm2": "cm**2", "mm2": "mm**2", "ft2": "ft**2", "in2": "inch**2", "m3": "m**3", "cm3": "cm**3", "mm3": "mm**3",
    "ft3": "ft**3", "in3": "inch**3", "deg": "degree", "°": "degree", "ft/min": "ft/minute", "m/min": "m/minute",
    "in/s": "inch/s", "1/h": "1/hour", "/h": "1/hour", "1/min": "1/minute", "/min": "1/minute", "/s": "1/s",
    "1/d": "1/day", "/d": "1/day", "Hz": "1/s", "°C": "degC", "°F": "degF", "min": "minute", "lbf": "force_pound",
    "oz": "ounce", "kN/m2": "kilonewton/m**2", "kN/m²": "kilonewton/m**2", "N/m2": "newton/m**2",
    "kg/m2": "kilogram_force/m**2", "t/m2": "metric_ton*standard_gravity/m**2", "lbf/ft2": "force_pound/ft**2",
}  # fmt: skip
BASES = {"frequency": "1/hour", "temperature": "kelvin", "angle": "radian"}
PHYSICAL = (
    "length", "position", "mass", "time", "force", "pressure", "area", "volume", "angle", "speed", "temperature",
    "frequency", "floor_load",
)  # fmt: skip
EVERY_UNIT = [(kind, unit) for kind in PHYSICAL for unit in DIMENSIONS[kind].units]
USD = Manner(currency="USD")


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT, ids=lambda value: value)
def test_a_unit_is_what_the_oracle_says(kind: str, unit: str) -> None:
    """7.25 of each unit comes to the same SI value in both."""
    ours = read_quantity(f"7.25 {unit}", kind).value

    base = BASES.get(kind, re.sub(r"^m([23])$", r"m**\1", DIMENSIONS[kind].si))
    theirs = ORACLE.Quantity(7.25, NAMES.get(unit, unit)).to(base)
    assert math.isclose(ours, theirs.magnitude, rel_tol=1e-12)


def test_the_table_holds_sixty_names_and_twice_that_at_most() -> None:
    """Every name that a file may write, spelled out and short, the plain number left out."""
    names = {unit for kind in DIMENSIONS.values() for unit in kind.units if unit}

    assert 60 <= len(names) <= 140
    assert {"USD", "EUR", "CHF", "JPY"} < CURRENCIES


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit"),
    [
        ("24 months", "months", 24, "months"), ("2 years", "months", 24, "months"), ("8 y", "years", 8, "y"),
        ("18 months", "years", 1.5, "y"), ("30 %", "share", 0.3, "1"), ("0.3", "share", 0.3, "1"),
        ("2", "count", 2, "1"), ("3 machines", "count", 3, "1"), ("120 parts", "parts", 120, "parts"),
        ("4 cavities", "parts", 4, "parts"), ("40000", "parts_per_y", 40000, "parts/y"),
        ("3000 parts/month", "parts_per_y", 36000, "parts/y"), ("250 days", "days_per_y", 250, "d/y"),
        ("24.50 USD/h", "money_per_h", 24.5, "money/h"), ("150 kUSD", "money", 150000, "money"),
        ("3.20 USD/part", "money_per_part", 3.2, "money/part"), ("3.20 USD", "money_per_part", 3.2, "money/part"),
        ("500 USD/month", "money_per_y", 6000, "money/y"), ("1.05", "number", 1.05, "1"), ("5 days", "days", 5, "d"),
    ],
)  # fmt: skip
def test_units_of_the_trade(text: str, kind: str, value: float, unit: str) -> None:
    """Counts, shares, money and rates, which no general library knows."""
    found = read_quantity(text, kind, USD)

    assert found.value == pytest.approx(value, rel=1e-15)
    assert found.unit == unit


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("6 min 20 s", "time", 380.0), ("1 h 5 min 30 s", "time", 3930.0), ("5 ft 2 in", "length", 62 * 0.0254),
        ("3 lb 6 oz", "mass", 3.375 * 0.45359237), ("2.4kg", "mass", 2.4), ("  45   s ", "time", 45.0),
        ("-400 mm", "position", -0.4), ("-20 degC", "temperature", 253.15),
    ],
)  # fmt: skip
def test_sums_and_spaces(text: str, kind: str, value: float) -> None:
    """One number and one unit, or a sum of falling units."""
    assert read_quantity(text, kind).value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("text", ["45 s (30 s to 70 s)", "45 s (30 to 70 s)", "45 s(0.5 min to 1 min 10 s)"])
def test_a_range_is_p10_to_p90(text: str) -> None:
    """The range in brackets, each end with its unit or the unit once."""
    found = read_quantity(text, "time")

    assert (found.value, found.low, found.high) == (45.0, 30.0, 70.0)


def test_a_comma_counts_where_the_file_says_so() -> None:
    """Each file has its decimal sign; the other one is read where it can be nothing else."""
    assert read_quantity("1,5 kg", "mass", Manner(comma=True)).value == 1.5
    assert read_quantity("1.5 kg", "mass").value == 1.5
    assert read_quantity("1,5 kg", "mass").value == 1.5
    assert read_quantity("1.500 kg", "mass").value == 1.5
    assert read_quantity("1,500 kg", "mass", Manner(comma=True)).value == 1.5


REFUSED = [
    ("1,500 kg", "mass", "ambiguous_number", "1500 or 1.500: '1,500' can be read both ways"),
    ("350.000 USD", "money", "ambiguous_number", "350000 or 350: '350.000' can be read both ways"),
    ("62.120", "parts_per_y", "ambiguous_number", "62120 or 62.12: '62.120' can be read both ways"),
    ("1,23,456 kg", "mass", "not_a_number", "a number with at most one decimal point"),
    ("-3 kg", "mass", "negative", "a mass, such as 2.4 kg or 3 lb 6 oz, not below 0"),
    ("nan kg", "mass", "not_finite", "a mass, such as 2.4 kg or 3 lb 6 oz"),
    ("inf s", "time", "not_finite", "a time, such as 6 min 20 s"),
    ("9**9**9 kg", "mass", "not_a_quantity", "a mass, such as 2.4 kg or 3 lb 6 oz"),
    ("1e5 s", "time", "not_a_quantity", "a time, such as 6 min 20 s"),
    ("1/2 s", "time", "not_a_quantity", "a time, such as 6 min 20 s"),
    ("0x10 s", "time", "not_a_quantity", "a time, such as 6 min 20 s"),
    ("1_000 s", "time", "not_a_quantity", "a time, such as 6 min 20 s"),
    ("٣ kg", "mass", "not_a_quantity", "a mass, such as 2.4 kg or 3 lb 6 oz"),
    ("", "time", "not_a_quantity", "a time, such as 6 min 20 s"),
    ("3", "mass", "unit_missing", "3 kg or 3 lb: '3' can be read both ways"),
    ("6", "months", "unit_missing", "6 months or 6 years: '6' can be read both ways"),
    ("9 x 3", "area", "unit_missing", "9 x 3 m or 9 x 3 ft: '9 x 3' can be read both ways"),
    ("500 USD", "money_per_y", "unit_missing", "500 USD/y or 500 USD/month: '500 USD' can be read both ways"),
    ("500", "money_per_y", "unit_missing", "500 USD/y or 500 USD/month: '500' can be read both ways"),
    ("1 0000 mm", "length", "unit_missing", "a length, such as 120 mm or 5 ft 2 in"),
    ("6 min 20", "time", "unit_missing", "a time, such as 6 min 20 s"),
    ("3 kg", "time", "unit_of_another_kind", "a time, such as 6 min 20 s"),
    ("3 kgg", "mass", "unknown_unit", "a mass, such as 2.4 kg or 3 lb 6 oz (units here: kg, g, t, lb, lbs or oz)"),
    ("20 s 6 min", "time", "not_one_quantity", "a time, such as 6 min 20 s; one number and one unit"),
    ("20 degC 3 degC", "temperature", "not_one_quantity", "a temperature, such as 180 degC; one number and one unit"),
    ("1.5.2 s", "time", "not_a_number", "a number with at most one decimal point"),
    ("1234567890123456 s", "time", "too_many_digits", "a number of at most 15 digits"),
    ("28 EUR/h", "money_per_h", "other_currency", "an amount in USD, the currency of this inquiry"),
    ("28 XXX/h", "money_per_h", "unknown_unit", "an amount an hour, such as 24 USD/h"),
    ("28 USD/y", "money_per_h", "unknown_unit", "an amount an hour, such as 24 USD/h"),
]


@pytest.mark.parametrize(("text", "kind", "code", "write"), REFUSED, ids=[row[0] or "empty" for row in REFUSED])
def test_what_is_no_quantity_is_refused_in_words(text: str, kind: str, code: str, write: str) -> None:
    """Each kind of wrong text has its code and says what to write."""
    with pytest.raises(InputError) as caught:
        read_quantity(text, kind, USD)

    assert (caught.value.code, caught.value.write) == (code, write)


@pytest.mark.parametrize("text", ["22 min (20-25 min)", "22 min +- 2 min", "20-25 min", "20 to 25 min", "20 min ± 2"])
def test_what_looks_like_a_range_is_told_how_one_is_written(text: str) -> None:
    """People write ranges in many ways; one is read, and the others are shown it."""
    with pytest.raises(InputError) as caught:
        read_quantity(text, "time")

    assert caught.value.write == "a time, such as 6 min 20 s; with a range: 45 s (30 s to 70 s)"


EUR = Manner(currency="EUR")


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("6", "years", 6), ("6 yrs", "years", 6), ("350 000 EUR", "money", 350000), ("350000", "money", 350000),
        ("EUR 350 000", "money", 350000), ("€350k", "money", 350000), ("350 k EUR", "money", 350000),
        ("350.000,50 EUR", "money", 350000.5), ("1,234,567 EUR", "money", 1234567), ("350’000 EUR", "money", 350000),
        ("9 m x 3 m", "area", 27), ("9 x 3 m", "area", 27), ("9m×300cm", "area", 27),
        ("10 by 3 ft", "area", 30 * 0.3048**2),
        ("25 s", "time", 25), ("2,5 min", "time", 150), ("1.5h", "time", 5400), ("8 hours", "time", 28800),
        ("30 EUR", "money_per_h", 30), ("30", "money_per_h", 30), ("30 € per hour", "money_per_h", 30),
        ("30 eur / h", "money_per_h", 30), ("4.805 EUR", "money_per_part", 4.805),
        ("62 000 parts/y", "parts_per_y", 62000), ("62.125", "parts_per_y", 62.125),
    ],
)  # fmt: skip
def test_what_people_type_into_a_field(text: str, kind: str, value: float) -> None:
    """One reading each, without the file's own way of writing."""
    assert read_quantity(text, kind, EUR).value == pytest.approx(value, rel=1e-12)


def test_a_number_alone_has_the_unit_of_its_entry() -> None:
    """An entry says what a number without a unit counts there; a unit that is written holds."""
    assert read_quantity("25", "time", bare="s").value == 25
    assert read_quantity("25 min", "time", bare="s").value == 1500
    found = read_quantity("25 (20 to 30)", "time", bare="s")
    assert (found.value, found.low, found.high) == (25, 20, 30)
    with pytest.raises(InputError, match="25 s or 25 min: '25' can be read both ways"):
        read_quantity("25", "time")


@pytest.mark.parametrize("text", ["0.350.000", "0,350,000", "0.350.000,5"])
def test_thousands_do_not_begin_with_nothing(text: str) -> None:
    """A nought before the first sign is no number of thousands."""
    with pytest.raises(InputError):
        read_quantity(text, "parts")


@pytest.mark.parametrize("text", ["9 x 3 ft 6 in", "9 by 3 ft 6 in"])
def test_a_unit_is_not_shared_where_the_second_length_is_a_sum(text: str) -> None:
    """Nine feet or nine inches: it is asked."""
    with pytest.raises(InputError) as caught:
        read_quantity(text, "area")

    assert caught.value.write == f"9 ft x 3 ft 6 in or 9 in x 3 ft 6 in: {text!r} can be read both ways"


@pytest.mark.parametrize("text", ["USD30/h", "30USD/h", "30 Usd/h", "kUSD30/h", "30 kUSD/h", "usd 30/h"])
def test_the_currency_of_an_amount_is_found_wherever_it_stands(text: str) -> None:
    """With and without a blank, in capitals or not."""
    assert currency_in(text) == "USD"


@pytest.mark.parametrize(
    ("text", "read"), [("$30/h", "30 USD/h"), ("30$/h", "30 USD/h"), ("$30 ($25 to $35)", "30 USD (25 USD to 35 USD)")]
)
def test_which_dollar_is_asked_in_the_usual_writing(text: str, read: str) -> None:
    """The code behind the number."""
    with pytest.raises(InputError) as caught:
        read_quantity(text, "money_per_h")

    assert caught.value.write == f"{read} or {read.replace('USD', 'CAD')}, whichever dollar it is"
    assert read_quantity(read, "money_per_h").value == 30


def test_the_decimal_sign_that_a_file_states_ends_the_doubt() -> None:
    """With it, three digits behind that sign are decimals in every quantity."""
    assert read_quantity("350.125 EUR", "money", Manner(currency="EUR", told=True)).value == 350.125


def test_a_dollar_is_that_of_the_inquiry() -> None:
    """Without a currency it could be several; an inquiry in another one has none."""
    assert read_quantity("$30/h", "money_per_h", USD).value == 30
    with pytest.raises(InputError, match="30 USD/h or 30 CAD/h, whichever dollar it is"):
        read_quantity("$30/h", "money_per_h")
    assert read_quantity("USD30/h", "money_per_h").value == 30


@given(
    st.integers(1, 10**12), st.sampled_from(" \u00a0\u2007\u2009\u202f'’"), st.sampled_from(["", ".5", ",25", ",125"]),
    st.booleans(),
)  # fmt: skip
def test_blanks_between_thousands_change_nothing(number: int, blank: str, decimals: str, comma: bool) -> None:
    """Whatever blank it is, and whichever the decimal sign."""
    grouped = f"{number:,}".replace(",", blank)
    found = read_quantity(f"{grouped}{decimals if number > 999 else ''} mm", "length", Manner(comma=comma)).value

    assert found == pytest.approx(float(f"{number}{decimals.replace(',', '.') if number > 999 else ''}") / 1000)


@given(st.integers(1000, 10**12), st.integers(0, 99), st.sampled_from([(",", "."), (".", ",")]), st.booleans())
def test_both_signs_in_one_number_leave_one_reading(
    number: int, cents: int, signs: tuple[str, str], comma: bool
) -> None:
    """The last sign is the decimal one, whatever the file says of others."""
    group, point = signs
    text = f"{number:,}".replace(",", group) + f"{point}{cents:02}"

    found = read_quantity(f"{text} EUR", "money", Manner(comma=comma, currency="EUR")).value

    assert found == pytest.approx(number + cents / 100)


@given(st.decimals(0, 10**6, places=3), st.booleans(), st.booleans(), st.sampled_from(["money", "mass"]))
def test_a_number_with_one_sign_is_read_as_it_stands_or_asked_about(
    number: Decimal, comma: bool, other: bool, kind: str
) -> None:
    """Never as another number; what is asked about is accepted once it is written as it was meant."""
    text = f"{number:f}".replace(".", "," if comma != other else ".")
    unit, manner = ("EUR" if kind == "money" else "kg"), Manner(comma=comma, currency="EUR")
    try:
        assert read_quantity(f"{text} {unit}", kind, manner).value == pytest.approx(float(number))
    except InputError as error:
        large, small = error.write.partition(": '")[0].split(" or ")
        assert read_quantity(f"{large} {unit}", kind, manner).value == pytest.approx(1000 * float(number))
        if kind == "money" or other:
            assert read_quantity(f"{small} {unit}", kind, manner).value == pytest.approx(float(number))


def test_a_point_is_ambiguous_where_the_comma_counts() -> None:
    """The same question the other way round, with the example in the file's own way of writing."""
    with pytest.raises(InputError, match=r"1500 or 1,500: '1\.500' can be read both ways"):
        read_quantity("1.500 kg", "mass", Manner(comma=True))


@given(st.text(max_size=30) | st.text("0123456789.,- smin()to%", max_size=30))
def test_any_text_is_a_quantity_or_an_error_in_words(text: str) -> None:
    """No text ends in anything else than a finite number or an InputError."""
    try:
        value = read_quantity(text, "time").value
    except InputError:
        value = 0.0

    assert math.isfinite(value)
    assert value >= 0


@given(st.integers(0, 10**6), st.sampled_from(sorted(DIMENSIONS["time"].units)))
def test_a_whole_number_of_a_unit_is_its_factor_times_the_number(number: int, unit: str) -> None:
    """The plainest text of all."""
    assert read_quantity(f"{number} {unit}", "time").value == number * DIMENSIONS["time"].units[unit]

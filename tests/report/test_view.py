"""Rounding happens in one place: half up, once, and never to more digits than are known."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.errors import ToolError
from millhand.model.fact import Basis, Fact
from millhand.report.view import (
    FORMS,
    MINUS,
    NARROW_SPACE,
    half_up,
    listed,
    moved,
    sentence,
    sentence_parts,
    shown,
    span,
)


def fact(value: float, unit: str = "1", *, basis: Basis = "computed", ends: tuple[float, float] | None = None) -> Fact:
    """A fact with this value, unit and range."""
    low, high = ends or (None, None)
    return Fact(id="a.b", value=value, unit=unit, basis=basis, source="x", low=low, high=high)


SEEN = [
    (fact(18.6, "months", ends=(14.2, 27.4)), "months", "19 months (14 to 27)"),
    (fact(1.2, "months"), "months", "1 month"),
    (fact(0.2, "months"), "months", "less than 1 month"),
    (fact(24, "months", basis="given"), "months", "24 months"),
    (fact(2.14, "y"), "years", "2.1 years"),
    (fact(18.0, "months"), "years", "1.5 years"),
    (fact(1.55, "y"), "months", "19 months"),
    (fact(184_499, "money"), "money_2", "180 000 USD"),
    (fact(185_000, "money"), "money_2", "190 000 USD"),
    (fact(184_499, "money"), "money", "184 000 USD"),
    (fact(-12_345, "money"), "money", MINUS + "12 300 USD"),
    (fact(27.5, "money/h", basis="given"), "money", "27.50 USD"),
    (fact(1.372, "money/part"), "money", "1.37 USD"),
    (fact(127.6, "parts"), "parts", "128"),
    (fact(127.4, "parts"), "parts", "127"),
    (fact(127.0, "parts", basis="given"), "parts", "127"),
    (fact(1234.0, "parts", basis="given"), "parts", "1 234"),
    (fact(49.5, "parts"), "parts", "50"),
    (fact(48.4, "parts"), "parts", "48"),
    (fact(42_137, "parts/y"), "parts", "42 100"),
    (fact(244.5, "s"), "seconds", "245 s"),
    (fact(3.25, "s"), "seconds", "3.3 s"),
    (fact(13.42, "s", basis="measured"), "timed", "13.4 s"),
    (fact(1.463, "s", basis="measured"), "timed", "1.46 s"),
    (fact(16.187, "s"), "timed", "16.2 s"),
    (fact(0.6411, "s"), "stop_time", "0.65 s"),
    (fact(0.6, "s"), "stop_time", "0.6 s"),
    (fact(90, "s"), "minutes", "1.5 min"),
    (fact(1250.4, "h/y"), "hours", "1 250 h"),
    (fact(28_800, "s"), "hours", "8 h"),
    (fact(9_676_800, "s"), "weeks", "16 weeks"),
    (fact(86_400, "s"), "days", "1 day"),
    (fact(0.0762, "m", basis="given"), "mm", "76 mm"),
    (fact(1.304, "m"), "metres", "1.3 m"),
    (fact(1.231, "m"), "asked_m", "1.24 m"),
    (fact(0.2191, "m"), "asked_mm", "220 mm"),
    (fact(1.239, "m"), "left_m", "1.23 m"),
    (fact(0.2199, "m"), "left_mm", "219 mm"),
    (fact(-0.0121, "m"), "left_mm", MINUS + "13 mm"),
    (fact(0.62, "rad"), "degrees", "36 °"),
    (fact(2.7432, "m"), "place", "2 743 mm"),
    (fact(-0.0004, "m"), "place", "0 mm"),
    (fact(471.2, "s"), "whole_seconds", "471 s"),
    (fact(3.5, "s"), "whole_seconds", "4 s"),
    (fact(11.5, "m2"), "area", "12 m²"),
    (fact(4.25, "kg"), "mass", "4.3 kg"),
    (fact(0.0853, "kg"), "grams", "85 g"),
    (fact(0.00214, "kg"), "grams", "2.1 g"),
    (fact(352.4, "N"), "force", "352 N"),
    (fact(12.34, "N.m"), "moment", "12.3 N·m"),
    (fact(2_441.0, "N.m"), "tipping", "2.4 kN·m"),
    (fact(1_634.0, "N"), "kilonewtons", "1.6 kN"),
    (fact(11_430.0, "Pa"), "floor_load", "11 kN/m²"),
    (fact(886.4, "kg"), "lift", "890 kg"),
    (fact(44.8, "kg"), "lift", "45 kg"),
    (fact(0.187, "kg.m2"), "inertia", "0.19 kg·m²"),
    (fact(226.26, "rad/s"), "turning", "2 160 turns a minute"),
    (fact(0.125), "percent", "13 %"),
    (fact(0.031), "percent", "3.1 %"),
    (fact(0.985, basis="given"), "share", "98.5 %"),
    (fact(0.00125), "share", "0.13 %"),
    (fact(2.2, "money/part"), "money", "2.20 USD"),
    (fact(3.0, "money/part"), "money", "3.00 USD"),
    (fact(1.346), "ratio", "1.35"),
    (fact(26.44, "parts/h"), "per_hour", "26.4 per hour"),
    (fact(0.01, "1/s"), "per_hour", "36 per hour"),
    (fact(0.2), "chance", "about 1 in 5"),
    (fact(0.5), "chance", "about 1 in 2"),
    (fact(0.1), "chance", "about 1 in 10"),
    (fact(0.07), "chance", "about 1 in 15"),
    (fact(0.015), "chance", "about 1 in 70"),
    (fact(0.003), "chance", "less than 1 in 100"),
    (fact(0.999), "chance", "more than 99 in 100"),
    (fact(2.4), "count", "2"),
    (fact(0.0), "money", "0 USD"),
    (fact(13_905.4, "money"), "money_whole", "13 905 USD"),
    (fact(-0.2, "parts"), "parts", "0"),
    (fact(7.46, "parts"), "few_parts", "7.5"),
    (fact(18_144.0, "1"), "tally", "18 144"),
    (fact(-0.1042, "y"), "months_moved", MINUS + "1.3 months"),
    (fact(0.21, "months"), "months_moved", "0.2 months"),
]


@pytest.mark.parametrize(("seen", "form", "text"), SEEN, ids=lambda value: value if isinstance(value, str) else "")
def test_a_figure_reads_as_people_say_it(seen: Fact, form: str, text: str) -> None:
    """Each format, with its unit and its rounding."""
    assert shown(seen, form, currency="USD").replace(NARROW_SPACE, " ") == text


def test_every_format_is_shown_above() -> None:
    """No format goes without an example, except the plain number, which the next tests hold."""
    assert {form for _, form, _ in SEEN} | {"number"} == set(FORMS)


@given(st.floats(0.001, 100.0), st.sampled_from(["given", "computed", "assumed"]))
def test_what_is_asked_for_is_never_told_shorter_and_what_is_there_never_longer(value: float, basis: Basis) -> None:
    """A distance that people keep is rounded up, a gap down, in mm or in m as its size says, by less than one step."""
    seen = fact(float(f"{value:.9g}"), "m", basis=basis)
    told = {}
    for form in ("asked", "left"):
        number, unit = shown(seen, form).split(NARROW_SPACE)[-2:]
        told[form] = Decimal(shown(seen, form).replace(NARROW_SPACE + unit, "").replace(NARROW_SPACE, ""))
        told[form] *= Decimal("0.001") if unit == "mm" else 1
        assert unit == ("mm" if seen.value < 0.3 else "m"), number

    assert told["left"] <= Decimal(repr(seen.value)) <= told["asked"]
    assert told["asked"] - told["left"] <= max(Decimal("0.01"), told["asked"] / 100)


@given(st.floats(-1e9, 1e9), st.sampled_from(["1", "0.1", "0.01"]), st.integers(1, 6))
def test_rounding_is_half_up_and_once(value: float, step: str, digits: int) -> None:
    """The result is within half of its last place, and a half goes away from zero."""
    number = Decimal(repr(value))
    result = half_up(number, step=Decimal(step), digits=digits)

    place = Decimal((0, (1,), int(result.as_tuple().exponent)))
    assert abs(result - number) <= place / 2
    if abs(result - number) == place / 2:
        assert abs(result) > abs(number)


@given(st.floats(1e-3, 1e9), st.sampled_from(sorted(set(FORMS) - {"chance", "money_whole", "place", "tally"})))
def test_a_computed_figure_never_shows_more_than_three_digits(value: float, form: str) -> None:
    """Counted from the first digit that is not zero to the last one; what was decided or counted has all of its own."""
    text = re.sub(r"[^\d.]", "", shown(fact(value), form, currency="").replace(NARROW_SPACE, ""))

    digits = text.replace(".", "").lstrip("0")
    assert len(digits.rstrip("0") if "." not in text else digits) <= 3


@given(st.decimals(0, 99_999, places=1, allow_nan=False))
def test_a_given_figure_keeps_its_own_digits_and_gains_none(value: Decimal) -> None:
    """What somebody wrote is read back from what is shown."""
    text = shown(fact(float(value), basis="given"), "number").replace(NARROW_SPACE, "")

    assert Decimal(text) == value
    assert len(text.replace(".", "")) <= len(str(value).replace(".", "")) + 1


def test_a_sentence_falls_into_words_and_figures() -> None:
    """Each figure keeps the id of its fact."""
    facts = {"a.b": fact(18.6, "months", ends=(14.2, 27.4))}

    pieces = sentence_parts("Back in [[a.b|months]].", facts)

    assert [piece.fact for piece in pieces] == [None, "a.b", None]
    assert sentence("Back in [[a.b|months]].", facts).replace(NARROW_SPACE, " ") == "Back in 19 months (14 to 27)."


def test_a_mark_that_leads_nowhere_is_our_own_failure() -> None:
    """A fact that is not there and a format that is not there are named."""
    with pytest.raises(ToolError, match=r"a sentence names the fact no\.such, which the study does not hold"):
        sentence_parts("[[no.such|months]]", {})
    with pytest.raises(ToolError, match="there is no format furlongs"):
        sentence_parts("[[a.b|furlongs]]", {"a.b": fact(1)})


def test_a_range_reads_from_its_lower_to_its_upper_end() -> None:
    """P10 to P90; nothing where the fact is exact or both ends read the same."""
    assert span(fact(2.0, "y", ends=(1.0, 3.0)), "years", unit=True).replace(NARROW_SPACE, " ") == "1 to 3 years"
    assert span(fact(2.0, "y"), "years") == ""
    assert span(fact(2.0, "months", ends=(1.9, 2.1)), "months") == ""


@pytest.mark.parametrize(
    ("seen", "text"),
    [
        (fact(27.5, "money/h", basis="given"), "27.50 USD an hour"),
        (fact(250, "d/y", basis="given"), "250 days a year"),
        (fact(0.3, "m/s"), "0.3 m/s"),
        (fact(9_676_800, "s"), "16 weeks"),
        (fact(45, "s"), "45 s"),
        (fact(0.0113, "m"), "11 mm"),
        (fact(1.96, "m"), "1.96 m"),
        (fact(21_600, "s", basis="given"), "6 h"),
        (fact(0.12), "0.12"),
        (fact(5, "cups"), "5 cups"),
    ],
)
def test_a_list_of_facts_shows_each_in_its_own_unit(seen: Fact, text: str) -> None:
    """Where nobody names a format, the unit does."""
    assert listed(seen, currency="USD").replace(NARROW_SPACE, " ") == text


def test_running_time_stays_in_hours() -> None:
    """800 hours of running are not five weeks of the calendar."""
    fact = Fact(id="machines.mill.stops.long_every", value=2_880_000.0, unit="s", basis="assumed", source="x")

    assert listed(fact).replace(NARROW_SPACE, " ") == "800 h"


def test_a_payback_that_may_never_come_says_so() -> None:
    """A P10 without a P90: in more than one case in ten the money is not back at all."""
    months = Fact(id="a.payback", value=56.2, unit="months", basis="computed", source="x", low=30.4)

    assert shown(months, "months").endswith("months (30 to never)")
    assert span(months, "months") == "30 to never"


def test_a_moment_and_an_inertia_say_their_unit_once() -> None:
    """In lists too, where other units follow as a tail."""
    assert listed(fact(12.34, "N.m")).replace("\u202f", " ") == "12.3 N·m"
    assert listed(fact(0.187, "kg.m2")).replace("\u202f", " ") == "0.19 kg·m²"


@pytest.mark.parametrize(
    ("value", "text"), [(12_345.0, "+12 000"), (-12_345.0, MINUS + "12 000"), (0.0, "0"), (0.001, "0"), (-0.001, "0")]
)
def test_a_difference_has_its_sign_and_nought_has_none(value: float, text: str) -> None:
    """Without its unit, for a column; what rounds to nothing is nought."""
    assert moved(fact(value, "money"), "money_2").replace(NARROW_SPACE, " ") == text

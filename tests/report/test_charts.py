"""Charts as data: round ticks that hold all values, labels from the view, and the same drawing in every run."""

import dataclasses
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.report import pictures, rates
from millhand.report.charts import ROW_HEIGHT, RangeRow, axis, cash_chart, label_limit, range_chart
from millhand.report.marks import marks_of
from millhand.report.pictures import driver_picture, worth_picture
from millhand.report.svg import drawn, fonts_ready, plain_svg
from millhand.report.told_in import told_in
from millhand.report.view import tick
from tests.report.fixture_study import ARM, study

LETTERS = 12.0  # px
ROWS = [
    RangeRow(label="One <b>", text="10 USD", low=-5.0, high=20.0, dot=10.0),
    RangeRow(label="Two", text="13 months to never", low=13.0, high=30.0, open_end=True),
]


@given(st.lists(st.floats(-1e7, 1e7), min_size=1, max_size=6), st.integers(2, 8))
def test_an_axis_holds_its_values_between_round_ticks(values: list[float], wanted: int) -> None:
    """Its ends are ticks, no value lies outside, and there are about as many as wanted."""
    found = axis(values, wanted=wanted)

    slack = 1e-9 * max(1.0, max(abs(value) for value in values))
    assert found.low - slack <= min(values)
    assert max(values) <= found.high + slack
    assert 1 <= len(found.ticks) <= 2 * wanted + 3


def test_ticks_are_round() -> None:
    """1, 2, 2.5 or 5 times a power of ten; nought among them where the values lie on both sides."""
    assert axis([0.0, 29.0], wanted=5).ticks == (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
    assert axis([-130_000.0, 540_000.0], wanted=5).ticks == (-200_000.0, 0.0, 200_000.0, 400_000.0, 600_000.0)
    assert axis([0.0, 0.0], wanted=4).low == 0.0


def values_of(spec: dict[str, Any]) -> list[dict[str, Any]]:
    """The data of a specification."""
    found: list[dict[str, Any]] = spec["data"]["values"]
    return found


def test_a_range_chart_holds_its_rows_as_they_are() -> None:
    """Every row with its words and ends; a row without a likely value has no dot."""
    spec = range_chart(ROWS, axis([0.0, 30.0], wanted=3), title="x", marks=[24.0], width=340)

    assert [row["text"] for row in values_of(spec)] == ["10 USD", "13 months to never"]
    assert [row.get("dot") for row in values_of(spec)] == [10.0, None]
    assert [row["open"] for row in values_of(spec)] == [False, True]
    assert spec["layer"][1]["data"]["values"] == [{"row": 0, "at": 24.0}, {"row": 1, "at": 24.0}]


def test_no_line_goes_through_the_words_of_a_row() -> None:
    """Grid and marks are strokes behind a row's line: their upper ends lie below its words."""
    spec = range_chart(ROWS, axis([0.0, 30.0], wanted=3), title="x", marks=[24.0], width=340)

    behind = spec["layer"][:2]
    words = [each["mark"] for each in spec["layer"] if each["mark"]["type"] == "text"]
    assert {each["mark"]["type"] for each in behind} == {"tick"}
    for stroke in (each["mark"] for each in behind):
        upper, lower = stroke["yOffset"] - stroke["size"] / 2.0, stroke["yOffset"] + stroke["size"] / 2.0
        assert all(upper > word["dy"] + LETTERS / 2.0 for word in words)
        assert lower <= ROW_HEIGHT / 2.0
    assert [each["encoding"]["x"].get("axis", {}).get("grid") for each in spec["layer"][2:3]] == [False]


def test_a_drawing_shows_the_words_and_our_own_tick_labels() -> None:
    """Escaped, with a narrow space between thousands, and a title for those who cannot see it."""
    text = str(
        drawn(
            cash_chart([-1000.0, 600.0, 700.0], [-1000.0, -400.0, 300.0], title="years", width=340),
            prefix="c",
            title="cash & more",
        )
    )

    assert ">−1\u202f000<" in text
    assert 'aria-label="cash &amp; more"' in text
    assert text.count(">2<") == 1
    assert "One" not in text
    labels = str(
        drawn(range_chart(ROWS, axis([0.0, 30.0], wanted=3), title="x", marks=[], width=340), prefix="r", title="t")
    )
    assert "One &lt;b&gt;" in labels


def test_two_drawings_of_one_chart_are_the_same_bytes() -> None:
    """Whatever was drawn before in the process."""
    spec = range_chart(ROWS, axis([0.0, 30.0], wanted=3), title="x", marks=[24.0], width=680)

    assert drawn(spec, prefix="a", title="t") == drawn(spec, prefix="a", title="t")


def test_ids_of_a_drawing_count_from_nought_under_its_prefix() -> None:
    """So that two charts of one page cannot take each other's patterns."""
    text = '<svg width="9" viewBox="0 0 10 20"><clipPath id="clip7"/><g clip-path="url(#clip7)" id="clip12"/></svg>'

    assert plain_svg(text, prefix="p", title="t").partition(">")[2] == (
        '<clipPath id="p-0"/><g clip-path="url(#p-0)" id="p-1"/></svg>'
    )


def test_the_fonts_are_registered_once() -> None:
    """The same folder each time."""
    assert fonts_ready() is fonts_ready()


def test_pictures_name_the_facts_they_are_drawn_from() -> None:
    """Each figure behind a chart, once."""
    marks = marks_of(study())
    worth, drivers = worth_picture(study(), marks), driver_picture(study(), marks)

    assert worth is not None
    assert drivers is not None
    assert f"concepts.{ARM}.case.npv" in worth.facts.split()
    assert {"people.share_usable", "parts.bracket.contribution", "wishes.hurdle"} <= set(drivers.facts.split())
    assert len(drivers.facts.split()) == len(set(drivers.facts.split()))
    assert ">13 to never<" in drivers.wide
    assert ">15 to 29 months<" in drivers.wide


@pytest.mark.parametrize("empty", ["drivers", "case"])
def test_nothing_to_draw_is_no_picture(empty: str) -> None:
    """Without drivers no driver chart, without a case no chart of worth."""
    one = study()
    if empty == "drivers":
        one = dataclasses.replace(one, decision=dataclasses.replace(one.decision, drivers=()))
        assert driver_picture(one, marks_of(one)) is None
    else:
        one = dataclasses.replace(one, results=tuple(dataclasses.replace(each, case=None) for each in one.results))
        assert worth_picture(one, marks_of(one)) is None


def test_no_number_is_formatted_by_the_chart_library() -> None:
    """Every axis of numbers has labels of our own."""
    for spec in (
        range_chart(ROWS, axis([0.0, 30.0], wanted=3), title="x", marks=[], width=340),
        cash_chart([1.0], [1.0], title="x", width=340),
    ):
        axes = re.findall(r"'axis': \{[^}]*\}", str(spec))
        assert axes
        assert all("labelExpr" in each for each in axes)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=4), st.sampled_from([300, 620]))
def test_a_narrow_axis_has_no_more_ticks_than_find_room(values: list[float], width: int) -> None:
    """Of letters of seven px; its ends stay, and nought where it was a tick."""
    whole = axis(values, wanted=6)
    found = whole.at(width)
    step = (found.ticks[1] - found.ticks[0]) / (whole.high - whole.low) * width if len(found.ticks) > 1 else width

    assert set(found.ticks) <= set(whole.ticks)
    assert (found.low, found.high) == (whole.low, whole.high)
    assert (0.0 in found.ticks) == (0.0 in whole.ticks)
    assert step >= 7.0 * max(len(tick(each)) for each in found.ticks)


def test_words_end_before_the_longest_figure() -> None:
    """By the letters of the figures on the right, and never nearer to the edge than room for a short one."""
    assert label_limit(["10 to 20 months", "10"], 300) == 140
    assert label_limit(["less than 1 to less than 2 months"], 300) == 28
    assert label_limit([""], 620) == 428


@pytest.mark.parametrize(("language", "sign"), [("en", "."), ("de", ",")])
def test_ticks_have_the_decimal_sign_of_the_language(monkeypatch: pytest.MonkeyPatch, language: str, sign: str) -> None:
    """Payback, parts an hour and the cash flow on an axis so fine that it has decimals, drawn as the report does."""
    for module in (pictures, rates):
        monkeypatch.setattr(module, "axis", lambda values, *, wanted, decimal=".": axis(
            values, wanted=64 * wanted, decimal=decimal))  # fmt: skip
    marks = marks_of(study(), told_in(study(), language))
    found = (driver_picture(study(), marks), rates.rate_picture(rates.rates(study(), marks), marks))
    svgs = [picture.wide for picture in found if picture is not None]
    flows = cash_chart([-0.4, 0.5], [-0.4, 0.1], title="x", width=340, decimal=sign)
    svgs.append(drawn(flows, prefix="flows", title="x"))
    told = [re.findall(r">−?\d+([.,])\d+</text>", svg) for svg in svgs]

    assert len(told) == 3
    assert all(told)
    assert {each for signs in told for each in signs} == {sign}

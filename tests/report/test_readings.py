"""What the marks of a chart say: the figures of the page, in its words; where a mark leads, what hides it."""

import re
from html import unescape

import pytest

from millhand.report.activity_picture import Activity
from millhand.report.html import activity_of, body
from millhand.report.marks import Marks, marks_of, place
from millhand.report.pictures import Picture, cash_picture, driver_picture, worth_picture
from millhand.report.rates import rate_picture, rates
from millhand.report.readings import Reading, spoken_list, with_readings
from millhand.report.tongue import tongue
from millhand.report.tradeoff import trade_picture
from millhand.report.view import NARROW_SPACE
from tests.report.fixture_study import ARM, study
from tests.report.fixture_two_cells import two_cells

SAID = re.compile(r'data-say="([^"]*)"')


def said(picture: Picture | None) -> list[str]:
    """What the marks of a picture say, each once, in their order."""
    assert picture is not None
    wide, narrow = (
        list(dict.fromkeys(unescape(each).replace(NARROW_SPACE, " ") for each in SAID.findall(svg)))
        for svg in (picture.wide, picture.narrow)
    )
    assert wide == narrow
    return wide


def test_a_described_mark_says_it_in_attributes_and_keeps_all_else() -> None:
    """Its words, its switches; a mark that only belongs to a switch says nothing."""
    told = Reading(words="a & b: 3", groups=("bound", "front")).described.replace("&", "&amp;")
    only = Reading(groups=("sum",)).described
    text = f'<path aria-label="{told}" d="M0"/><text aria-label="{only}" x="1">A</text><line aria-label="¶¶¶" x2="2"/>'

    assert with_readings(text) == (
        '<path data-in="bound front" data-say="a &amp; b: 3" d="M0"/><text data-in="sum" x="1">A</text><line x2="2"/>'
    )


def test_a_mark_that_leads_somewhere_stands_in_a_link() -> None:
    """It can be followed by pointer and by keyboard, with or without the script."""
    told = Reading(words="A", groups=("way_A",), link="way-x").described

    assert with_readings(f'<path aria-label="{told}" d="M0"/>') == (
        '<a href="#way-x" aria-label="A" data-in="way_A" data-say="A"><path d="M0"/></a>'
    )


def test_words_stand_once_in_the_list_that_replaces_the_picture() -> None:
    """A line and its dot say the same; what says nothing is left away."""
    assert spoken_list([Reading(words="a"), Reading(groups=("x",)), Reading(words="b"), Reading(words="a")]) == (
        "a", "b",
    )  # fmt: skip


def pictures(marks: Marks) -> dict[str, Picture | None]:
    """The charts of the study with two cells."""
    done = two_cells()
    return {
        "worth": worth_picture(done, marks), "cash": cash_picture(done, marks), "drivers": driver_picture(done, marks),
        "rates": rate_picture(rates(done, marks), marks), "trade": trade_picture(done, marks),
    }  # fmt: skip


@pytest.fixture(scope="module")
def english() -> dict[str, Picture | None]:
    """The charts, drawn once for this file."""
    return pictures(marks_of(two_cells()))


def test_every_figure_that_is_drawn_is_said(english: dict[str, Picture | None]) -> None:
    """Value with its range, flow and sum of each year, three rates, price with both paybacks."""
    assert said(english["worth"])[0] == "Drawers, fenced arm 20 kg, double gripper: 300 000 USD (210 000 to 370 000)"
    assert said(english["cash"])[:2] == ["Before hand-over: flow −130 000 USD", "Year 1: flow 30 000 USD"]
    assert "Year 2: added up −8 000 USD" in said(english["cash"])
    assert said(english["drivers"])[0] == "People: share usable: payback 13 to never over its range"
    assert "Drawers, fenced arm 20 kg, double gripper: best cycle 20.5 per hour" in said(english["rates"])
    assert said(english["trade"]) == [
        "C, Drawers, fenced arm 20 kg, double gripper: 130 000 USD, back after 20 months in half of the draws, "
        "never in nine of ten",
        "D, Tray table, light arm 10 kg, single gripper: 160 000 USD, back after 31 months in half of the draws, "
        "never in nine of ten",
    ]
    for picture in english.values():
        assert picture is not None
        assert len(said(picture)) == len(picture.spoken)


def test_a_point_of_the_trade_off_leads_to_its_concept(english: dict[str, Picture | None]) -> None:
    """To its row in the comparison; such a drawing is a group of links, no closed picture."""
    trade = english["trade"]
    assert trade is not None

    assert f'<a href="#{place(ARM)}"' in trade.wide
    assert 'role="group"' in trade.wide
    assert [(each.group, each.words) for each in trade.switches] == [
        ("front", "nothing beats it in everything"), ("beaten", "something does"), ("way_C", "C"), ("way_D", "D"),
    ]  # fmt: skip


def test_each_switch_moves_some_mark_and_each_mark_of_a_series_has_one(english: dict[str, Picture | None]) -> None:
    """No button without an effect."""
    for picture in english.values():
        assert picture is not None
        groups = {name for found in re.findall(r'data-in="([^"]*)"', picture.wide) for name in found.split()}
        assert {each.group for each in picture.switches} <= groups


def test_a_german_chart_says_the_same_figures(english: dict[str, Picture | None]) -> None:
    """As the language writes them: the decimal comma, the words of units."""
    german = pictures(marks_of(two_cells(), tongue("de")))

    for name, picture in english.items():
        digits = [re.findall(r"\d+", words) for words in said(picture)]
        assert [re.findall(r"\d+", words) for words in said(german[name])] == digits
    assert said(german["cash"])[1] == "Jahr 1: Zahlung 30 000 USD"
    assert any("20,5 je Stunde" in words for words in said(german["rates"]))


def test_the_round_of_today_says_each_stretch_and_can_be_drawn_out_where_some_are_short() -> None:
    """Who does what from when to when; finer ticks wait out of sight."""
    marks = marks_of(study())
    activity = body(study(), marks)["activity"]
    assert isinstance(activity, Activity)

    assert said(activity.picture)[0].startswith("operator 1: hands on parts, 0 to ")
    assert activity.closer
    assert activity.picture.wide.count('class="later"') == 3
    assert activity_of(study(), None, marks) is None

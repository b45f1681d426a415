"""The report in another language: the same figures as that language writes them, every text out of the catalogue."""

import re
from functools import cache
from html import unescape

import pytest

from millhand.model.study import Study
from millhand.report.html import report_html
from millhand.report.marks import marks_of
from millhand.report.told_in import told_in
from millhand.report.tongue import LANGUAGES, tongue
from tests.report.fixture_study import ARM
from tests.report.fixture_two_cells import two_cells

FIGURE = re.compile(r'<(a class="fact \w+" href="[^"]*"|span) data-fact="([^"]*)">([^<]*)<')
TOLD = (
    "page", "nav", "tiles", "sure", "weighed", "funnel", "compared", "money", "open", "axis", "chart", "advice",
    "check", "facts", "today", "hand", "cycle", "sizes", "offers", "people",
    "tending", "serving", "cell", "reached", "maps",
)  # fmt: skip
ALIKE = {
    "page.study",
    "today.timed_element",
    "chart.range",
    "chart.exact",
    "chart.rate",
    "chart.stretch",
    "guarded.region",
}  # places, or the same word


@cache
def page(language: str) -> str:
    """The report of the study with two cells."""
    return report_html(two_cells(), language=language)


def figures(html: str) -> list[tuple[str, list[str]]]:
    """Every figure of a page in its order: its fact, and its digits with the point that English has."""
    return [
        (fact, re.findall(r"\d+(?:\.\d+)?", text.replace("\u202f", "").replace(",", ".")))
        for _, fact, text in FIGURE.findall(html)
        if re.search(r"\d", text)
    ]


def test_both_languages_carry_the_same_figures() -> None:
    """Each of them, in the same order, of the same fact; its decimals behind a comma in German."""
    english, german = (figures(page(language)) for language in LANGUAGES)

    assert len(english) > 300
    assert english == german
    assert ">21.5 / 20.5 / –<" in page("en")
    assert ">21,5 / 20,5 / –<" in page("de")
    assert not re.search(r'class="fact [^>]*>[^<]*\d\.\d', page("de"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_page_says_in_which_language_it_is(language: str) -> None:
    """For those who hear it."""
    assert f'<html lang="{language}">' in page(language)


def test_no_text_of_the_english_catalogue_stands_in_a_german_page() -> None:
    """What a text says between its places is told in the page's own language."""
    german = re.sub(r"\s+", " ", unescape(re.sub(r"<(style|script)>.*?</\1>", "", page("de"), flags=re.DOTALL)))
    known, own = tongue("en").texts, tongue("de").texts
    left = [
        key
        for section in TOLD
        for key in known
        if key.startswith(f"report.{section}.") and known[key] != own[key]
        for piece in re.split(r"\{\w*\}", known[key])
        if len(piece) > 24 and piece.strip() in german
    ]

    assert left == []
    assert tongue("de").texts["report.weighed.intro"] in german


def test_only_texts_without_words_are_alike_in_both_languages() -> None:
    """A text that nobody translated would be."""
    english, german = (tongue(language).texts for language in LANGUAGES)
    alike = {
        key.removeprefix("report.") for key in english if key.startswith("report.") and english[key] == german[key]
    }

    assert {key for key in alike if re.search(r"[a-z]{3}", re.sub(r"\{\w*\}", "", english[f"report.{key}"]))} <= ALIKE


def test_concepts_are_called_by_the_words_of_their_components() -> None:
    """A title is one of the study's own words, wherever it stands."""
    own = told_in(two_cells(), "de")

    assert own.term("Drawers, fenced arm 20 kg, double gripper").startswith("Schubladen, ")
    assert own.term("As today") == "Wie heute"
    assert told_in(two_cells(), "en") is tongue("en")


def test_a_sentence_of_the_study_keeps_its_figures_where_the_language_wants_them() -> None:
    """In their order or in another one; a sentence that the list lacks stands as the study has it."""
    done: Study = two_cells()
    price, months = f"concepts.{ARM}.estimate.installed", f"concepts.{ARM}.case.payback"
    own = tongue("de")
    words = {"It costs {} and is back after {}.": "Nach {1} ist es zurück und kostet {0}."}
    marks = marks_of(done, type(own)(name="de", decimal=",", texts=own.texts, units=own.units, words=words))
    said = re.sub(r"<[^>]*>", "", marks.say(f"It costs [[{price}|money_2]] and is back after [[{months}|months]]."))

    assert said.replace("\u202f", " ") == "Nach 25 Monate (20 bis 32) ist es zurück und kostet 130 000 USD."
    assert "Not told in it 25" in re.sub(r"<[^>]*>", "", marks.say(f"Not told in it [[{months}|months]]"))


def test_concepts_and_titles_stand_in_a_sentence_as_figures_do() -> None:
    """One pattern for every concept, and for every figure that a sentence names by its title."""
    own = told_in(two_cells(), "de")
    way = next(each.concept.title for each in two_cells().results if each.concept.kind == "cell")
    nearest = own.sentence(
        f"The one that comes nearest is {way}, back after [[a|months]] where your hurdle is [[b|x]]."
    )
    named = own.sentence(
        "If the figure “scrap” falls from [[a|x]] to [[b|x]] ([[c|x]]), the cell no longer meets the hurdle."
    )

    assert nearest == f"Am nächsten kommt: {own.term(way)}, Amortisation [[a|months]]; Ihre Schwelle: [[b|x]]."
    assert "„Ausschuss“ von [[a|x]] auf [[b|x]] ([[c|x]])" in named

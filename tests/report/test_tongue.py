"""The languages of the proposal have the same texts, and a word for all that the built-in data can say."""

import re
import tomllib
from importlib.resources import files
from string import Formatter

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.errors import ToolError
from millhand.model.fact import Fact
from millhand.report.comparison import CHECKS, opening
from millhand.report.proposal.agreed import duty_rows
from millhand.report.proposal.records import Figure, Say
from millhand.report.proposal.risks import rules
from millhand.report.proposal.telling import Teller, printed
from millhand.report.tongue import LANGUAGES, tongue
from millhand.report.view import FORMS, TAIL_OF_UNIT
from millhand.stages.acceptance.guards import WORDS
from millhand.stages.concepts.build import AT_STATION
from millhand.stages.estimate.build import EXCLUDED, EXCLUDED_BY_HAND, EXCLUDED_OWN
from millhand.stages.estimate.lines import FURTHER_HANDS
from millhand.stages.estimate.work import AROUND, ENGINEERING, STATION

SIGNS = {
    "",
    "kN",
    "kN/m²",
    "kN·m",
    "g",
    "s",
    "min",
    "h",
    "m",
    "mm",
    "kg",
    "N",
    "N·m",
    "kg·m²",
    "°",
    "m²",
    "%",
    "m/s",
    "m/s²",
    "Pa",
    "rad",
    "m³",
    "W",
    "J",
}
CATALOGUE = read_catalogue()
ASKED = "What does a supplier really ask: “tray table: price”?"
ASKED_DE = "Was verlangt ein Lieferant wirklich: „Tabletttisch: Preis“?"


def places(text: str) -> list[str]:
    """The places in braces."""
    return sorted(name for _, name, _, _ in Formatter().parse(text) if name is not None)


def test_every_language_has_the_same_keys_and_places() -> None:
    """A text that one language lacks, or whose place nothing fills, would fail before the customer."""
    english, german = (tongue(language).texts for language in LANGUAGES)

    assert english.keys() == german.keys()
    assert {key: places(text) for key, text in english.items()} == {key: places(text) for key, text in german.items()}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_holds_a_figure(language: str) -> None:
    """Figures come from facts alone; a one in a formula is no figure."""
    texts = {key: text.replace("ln(1 −", "ln(") for key, text in tongue(language).texts.items()}

    assert not [key for key, text in texts.items() if re.search(r"\d", text)]


def test_every_unit_that_the_view_writes_has_a_german_word() -> None:
    """Signs of units are alike everywhere; words are not."""
    written = (
        {each.unit for each in FORMS.values()} | {each.one for each in FORMS.values()} | set(TAIL_OF_UNIT.values())
    )

    assert not written - SIGNS - set(tongue("de").units)


def catalogue_words() -> set[str]:
    """What the built-in components, changes by hand and price lines are called."""
    components = [each for each in CATALOGUE.components.values() if each.kind != "service"]
    words = {each.title for each in components} | {each.words["short"] for each in components if "short" in each.words}
    words |= {f"by hand: {each.title}" for each in CATALOGUE.hand_changes}
    words |= {each.words for each in CATALOGUE.options} | {EXCLUDED_OWN, *EXCLUDED, *EXCLUDED_BY_HAND}
    works = [each for each in CATALOGUE.components.values() if each.kind == "work"]
    words |= {f"{each.words['short']} by the arm" for each in works} | {each.words["element"] for each in works}
    words |= {f"{STATION}: {each.title}" for each in works} | {f"{each.title}: {AT_STATION}" for each in works}
    words |= {f"{each.title}: {each.words['family']}" for each in works if "family" in each.words} | {FURTHER_HANDS}
    return words | set(ENGINEERING.values()) | set(AROUND.values()) | set(CHECKS.values())


def questions() -> set[str]:
    """Every question about a figure of the trade."""
    own = {fact.question for fact in CATALOGUE.figures.values() if fact.question}
    own |= {each.question for each in CATALOGUE.hand_changes}
    own |= {each.words["question"] for each in CATALOGUE.components.values() if "question" in each.words}
    return own | {row.question for row in assumptions().values()}


def guarding_words() -> set[str]:
    """What is said about guarding."""
    rules_of = CATALOGUE.safeguards
    words = {word for each in rules_of.hazards for word in (each.task, each.hazard, each.ask, each.until)}
    words |= {word for each in rules_of.machine for word in (each.words, each.question, each.until)}
    words |= {word for change in CATALOGUE.hand_changes for each in change.moving for word in (each.hazard, each.guard)}
    words |= set(WORDS.values())
    return words | {word for each in rules_of.choices for word in (each.title, each.function)}


@pytest.mark.parametrize("said", [catalogue_words, questions, guarding_words])
def test_the_built_in_data_have_german_words(said: object) -> None:
    """Nothing that they can say stands in English in a German proposal."""
    assert callable(said)
    assert not sorted(word for word in said() if tongue("de").found(word) is None)


def test_english_is_what_the_study_says() -> None:
    """A term is told as it is."""
    assert tongue("en").term("tray table") == "tray table"


@pytest.mark.parametrize(
    ("words", "german"),
    [
        ("tray table", "Tabletttisch"),
        ("Tray table", "Tabletttisch"),
        ("machine 2", "Maschine 2"),
        ("time it takes (deburr)", "Zeit, die es braucht (deburr)"),
        ("tray table: price", "Tabletttisch: Preis"),
        (ASKED, ASKED_DE),
        ("a thing of the user's own", "a thing of the user's own"),
        ("What is it here: diameter of the part (flange)?", "Wie ist es hier: Durchmesser des Teils (flange)?"),
        ("a share of parts.pin.raw.length: 0.97", "ein Anteil von parts.pin.raw.length: 0,97"),
        ("1.5, valid from 7 up", "1,5, gültig ab 7"),
        ("figures.csv:40, common practice, no source (20 weeks likely; range judged)",
         "figures.csv:40, allgemein üblich, ohne Quelle (20 Wochen wahrscheinlich; Spanne beurteilt)"),
        ("nothing: the machine itself makes the part: price", "nichts: die Maschine macht das Teil selbst: Preis"),
    ],
)  # fmt: skip
def test_words_are_found_whole_by_parts_and_in_quotation_marks(words: str, german: str) -> None:
    """What the list lacks stays as it is."""
    assert tongue("de").term(words) == german


@pytest.mark.parametrize(
    ("value", "unit", "form", "german"),
    [
        (12.5, "months", "months", "13\u202fMonate"),
        (1.0, "months", "months", "1\u202fMonat"),
        (0.3, "months", "months", "weniger als 1\u202fMonat"),
        (3.5, "money", "money", "3,50\u202fEUR"),
        (0.21, "1", "chance", "etwa 1 von 5"),
        (0.004, "1", "chance", "weniger als 1 von 100"),
        (0.995, "1", "chance", "mehr als 99 von 100"),
        (29.0, "money/h", "", "29\u202fEUR\u202fje Stunde"),
        (2.5, "m", "metres", "2,5\u202fm"),
    ],
)
def test_a_german_figure(value: float, unit: str, form: str, german: str) -> None:
    """Comma, units and words of a figure; a range has its own word."""
    fact = Fact(id="a", value=value, unit=unit, basis="given", source="x")

    assert tongue("de").figure(printed(fact, Figure(fact="a", form=form), "EUR")) == german


def test_a_german_range() -> None:
    """Both ends with the unit behind them."""
    fact = Fact(id="a", value=22.0, low=19.0, high=31.5, unit="months", basis="given", source="x", shape="triangular")

    assert tongue("de").figure(printed(fact, Figure(fact="a", form="months"), "")) == "22\u202fMonate (19 bis 32)"


def test_a_place_that_nothing_fills_is_our_failure() -> None:
    """So is a text, or a fact, that is not there."""
    tells = Teller(tongue=tongue("en"), facts={}, currency="USD", pictures={})

    for item, code in (
        (Say(key="answer.cell"), "no_text"),
        (Say(key="answer.why"), "no_text"),
        (Figure(fact="a"), "no_fact"),
    ):
        with pytest.raises(ToolError) as caught:
            tells.pieces(item)
        assert caught.value.code == code


def test_every_risk_and_duty_has_its_words() -> None:
    """A rule without words would fail before the customer."""
    known = tongue("en").texts
    wanted = {f"risk.{each.id}" for each in rules()} | {f"risk.{each.id}_answer" for each in rules()}
    wanted |= {f"risk.owner_{each.owner}" for each in rules()}
    wanted |= {f"duty.{thing}" for rows in duty_rows().values() for thing in rows}
    wanted |= {f"duty.who_{letter}" for rows in duty_rows().values() for letters in rows.values() for letter in letters}

    assert wanted <= known.keys()
    assert {len(letters) for rows in duty_rows().values() for letters in rows.values()} == {6}


def test_no_word_of_a_list_stands_in_it_twice_in_another_spelling() -> None:
    """A word that begins large and small would be told by chance."""
    listed = tomllib.loads((files("millhand.report.proposal") / "texts" / "words_de.toml").read_text(encoding="utf-8"))

    assert len({opening(word) for word in listed}) == len(listed)

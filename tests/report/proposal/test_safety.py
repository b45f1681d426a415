"""What the long proposal tells the safety person: from a study of few records, in both languages, with its cautions."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.catalogue.words import data_of
from millhand.model.safeguarding import Safeguarding
from millhand.model.safety import SafetyAnswers
from millhand.report.proposal.appendix import figures_in, items_of
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Caution, Section
from millhand.report.proposal.safety import alone, delivery, going_in, levels, ways
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import LANGUAGES, tongue
from millhand.trace import Sheet
from tests.report.fixture_study import ARM
from tests.report.proposal.told_proposal import base
from tests.stages.test_safety_answers import answers, told_floor

SECTIONS = (levels, going_in, ways, delivery)
NEVER = re.compile(r"\b(safe|safely|compliant|sicher|konform)\b", re.IGNORECASE)


def about(made: SafetyAnswers, sheet: Sheet, concept: str = ARM) -> Ground:
    """The fixture's long form with these answers for one of its concepts."""
    ground = base("long")
    guarded = Safeguarding(
        cells=(), recommended=None, obstacles=(), machine=(), hazards=(), answers=replace(made, concept=concept)
    )
    study = replace(ground.study, safeguarding=guarded)
    return replace(ground, study=study, facts={**sheet.facts, **ground.facts})


@cache
def usual() -> Ground:
    """A fenced arm on a pedestal."""
    return about(*answers())


def told(ground: Ground, section: Section | None, language: str = "en") -> str:
    """All words of a section, with common spaces."""
    assert section is not None
    teller = Teller(tongue=tongue(language), facts=ground.facts, currency="USD", pictures={})
    return " ".join(" ".join(said(teller.section(section))).replace("\u202f", " ").split())


def said(value: object) -> Iterator[str]:
    """Every word of what the template is given, pieces of one sentence without a space between them."""
    if isinstance(value, Mapping):
        for each in value.values():
            yield from said(each)
    elif isinstance(value, list) and value and all(isinstance(each, Mapping) and "text" in each for each in value):
        yield "".join(each["text"] for each in value)
    elif isinstance(value, list):
        for each in value:
            yield from said(each)
    elif isinstance(value, str):
        yield value


@pytest.mark.parametrize("section", SECTIONS)
def test_each_section_is_told_in_both_languages_with_the_same_figures(section: object) -> None:
    """The sections name facts before they have a language, so that both carry the same."""
    assert callable(section)
    made = section(usual())

    assert made is not None
    assert sum(len(list(figures_in(each))) for each in items_of(made.blocks)) >= 3
    texts = {language: told(usual(), made, language) for language in LANGUAGES}
    numbers = {lang: re.findall(r"\d+", text.replace(",", ".")) for lang, text in texts.items()}
    assert numbers["en"] == numbers["de"]
    assert texts["en"] != texts["de"]


@pytest.mark.parametrize("section", SECTIONS)
def test_a_caution_stands_first_and_nothing_is_called_harmless(section: object) -> None:
    """It defers to competent or licensed persons and local codes, in each language."""
    assert callable(section)
    made = section(usual())

    assert isinstance(made.blocks[0], Caution)
    first = replace(made, blocks=made.blocks[:1])
    english, german = told(usual(), first), told(usual(), first, "de")
    assert "local codes" in english
    assert "örtlichen Vorschriften" in german
    assert not [text for text in (told(usual(), made), told(usual(), made, "de")) if NEVER.search(text)]


def test_levels_stand_beside_their_answers() -> None:
    """The guard's own function with 2, 1, 2 and its letter."""
    words = told(usual(), levels(usual()))

    assert "fence with interlocked gate: the gate stops the arm and keeps it stopped while it is open 2 1 2 d" in words
    assert "emergency stop: stops arm" in words
    assert "adds to the guards and replaces none 2 1 1 c d" in words
    assert "ISO 13849-1:2015" in words
    assert "ISO 10218-2:2011" in words


def test_the_hold_counts_as_falling_at_once_and_who_brings_the_answer() -> None:
    """No range from nothing to hours: it is not known, and its supplier is asked."""
    words = told(usual(), going_in(usual()))

    assert "not known: it counts as falling at once" in words
    assert not re.search(r"gone after|\d min\. The low end", words)
    assert "gilt als eines, das sofort fällt" in told(usual(), going_in(usual()), "de")
    assert not re.search(r"Before a hand goes near the gripper[^.]*\.[^.]*\. +[\d.]+ min", words)
    assert "supplier of the gripper" in words
    assert "0.25 m/s" in words


def test_ways_say_against_which_width() -> None:
    """Assumed with its range where nobody told it."""
    words = told(usual(), ways(usual()))

    assert "0.8 to 1.2 m" in words
    assert "nobody has told one" in words
    assert "Longest way out of the fence" in words


def test_a_narrow_way_says_what_settles_it_and_stops_name_gates_only_where_some_are() -> None:
    """Stand apart, agree on the width, or tell the own one; nothing where every way is wide enough."""
    made, sheet = answers(guard="scanner")
    assert made.ways is not None
    for holds in (True, False):
        ways_out = replace(made.ways, ways=tuple(replace(each, holds=holds) for each in made.ways.ways))
        ground = about(replace(made, ways=ways_out), sheet)
        words, german = told(ground, ways(ground)), told(ground, ways(ground), "de")

        assert ("narrower than 0.9 m are agreed with nobody, though plan, floor and price" in words) is (not holds)
        assert ("schmaler sind als 0,9 m" in german) is (not holds)
        assert "gate" not in words
    assert "1 at gates" in told(usual(), ways(usual()))


@pytest.mark.parametrize(
    ("bears_pa", "said"), [(None, "nobody has told"), (50_000.0, "within it as a mean"), (2_000.0, "That is more")]
)
def test_the_floor_is_told_as_it_was_judged(bears_pa: float | None, said: str) -> None:
    """Open, held, or not."""
    ground = usual() if bears_pa is None else about(*answers(told=told_floor(bears_pa)))

    assert said in told(ground, delivery(ground))


def test_a_cell_that_hangs_tells_its_columns() -> None:
    """And no moment at a foot."""
    ground = about(*answers(choices={"mount": "overhead_track"}))
    words = told(ground, delivery(ground))

    assert "Load on one column" in words
    assert "Moment at the foot" not in words


def test_answers_for_another_cell_are_not_told() -> None:
    """Nor is anything where a study has none."""
    ground = about(*answers(), concept="another")

    assert [section(ground) for section in SECTIONS] == [None] * 4
    assert [section(base("long")) for section in SECTIONS] == [None] * 4


def strings(value: object) -> list[str]:
    """Every sentence of the catalogue's file."""
    if isinstance(value, Mapping):
        plain = ("when", "figure", "lasts", "topic", "standard", "level", "category", "seen")
        return [word for key, each in value.items() if key not in plain for word in strings(each)]
    if isinstance(value, list):
        return [word for each in value for word in strings(each)]
    return [value] if isinstance(value, str) else []


def test_all_that_the_catalogue_says_for_safety_has_german_words() -> None:
    """Functions, answers to the graph, steps, ways to hold, questions and who answers them."""
    said = strings(data_of("safety.toml"))

    assert len(said) > 150
    assert not [each for each in said if tongue("de").found(each) is None]
    assert not [each for each in said if NEVER.search(each)]


def test_no_answer_to_the_graph_counts_fillings_of_a_shift() -> None:
    """How many a shift takes is worked out for each cell, and told once, where people are."""
    said = strings(data_of("safety.toml"))

    assert [each for each in said if "are filled" in each]
    assert not [each for each in said if "are filled" in each and "shift" in each]


def test_what_stays_open_says_who_answers_what_to_write_and_what_holds_until_then() -> None:
    """On the guard, levels, going in and hours alone; the lower answer for the held part behind a fence is named."""
    made, sheet = answers()
    rules = read_catalogue().safeguards.safety.open
    hours = tuple(each.ask for each in rules if each.topic == "alone")
    ground = about(replace(made, open={**made.open, "alone": hours}), sheet)
    told_of = {
        topic: told(ground, section(ground))
        for topic, section in (("level", levels), ("enter", going_in), ("alone", alone))
    }  # fmt: skip
    assert {"guard", "level", "enter"} == set(made.open)
    for topic, words in told_of.items():
        for each in (*made.open.get(topic, ()), *(hours if topic == "alone" else ())):
            assert all(part in words for part in (each.question, each.who, each.write, each.until))
    assert "it does not: P is the higher of two" in told_of["level"]
    assert "no hour alone is run before it is settled" in told_of["alone"]


def test_before_a_scanner_the_held_part_is_open_with_its_own_words() -> None:
    """P of the held part is the higher of two there, and a competent person confirms it or not."""
    ground = about(*answers(guard="scanner"))
    words = told(ground, levels(ground))

    assert "holds what it has when air or power fails, and the arm stops 2 1 2 d" in words
    assert "it can: P is the higher of two" in words
    assert "a competent person named in the risk assessment" in words


def test_a_study_of_before_has_no_such_tables() -> None:
    """Its answers hold no open points: the sections stand without them, and that of hours alone is not there."""
    made, sheet = answers()
    ground = about(replace(made, open={}), sheet)

    assert alone(ground) is None
    assert "Does the gate need a lock" not in told(ground, going_in(ground))

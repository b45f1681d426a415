"""The picture of a change by hand in its paper: only where one is advised and the machines have a place."""

from dataclasses import replace
from functools import cache

from millhand.model.fact import Fact
from millhand.model.layout import Layout, Spot
from millhand.model.study import Study
from millhand.report.drawing import layers_of
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.hand_plan import hand_things_of, rounds
from millhand.report.proposal.pictures import pictures
from millhand.report.proposal.records import Beside, Legend, Section
from millhand.report.tongue import LANGUAGES, tongue
from tests.report.fixture_study import VISE
from tests.report.proposal.test_by_hand import advising
from tests.report.proposal.test_safety import told
from tests.report.proposal.told_proposal import base

SIZES = {"x_1": 0.0, "x_2": 3.0, "y": 1.1, "wide": 2.4, "deep": 2.2, "way": 4.8}


@cache
def placed(change: str) -> Ground:
    """The study that advises a change, with its machines in a row of spacings."""
    done: Study = advising(change)
    facts = {
        f"test.{name}": Fact(id=f"test.{name}", value=value, unit="m", basis="given", source="by hand")
        for name, value in SIZES.items()
    }
    spots = tuple(
        Spot(name=f"machine_{n}", x_m=f"test.x_{n}", y_m="test.y", width_m="test.wide", depth_m="test.deep")
        for n in (1, 2)
    )
    layout = Layout(concept=VISE, spots=spots, distances={"presenter machine_1": "test.way"})
    results = tuple(
        replace(each, layout=layout) if each.concept.id == VISE else each for each in done.results
    )  # fmt: skip
    return ground(replace(done, facts={**done.facts, **facts}, results=results), long=True)


def side(section: Section | None) -> Section:
    """What stands beside the picture."""
    assert section is not None
    (beside,) = section.blocks
    assert isinstance(beside, Beside)
    return replace(section, blocks=beside.right)


def test_each_stroke_of_the_round_is_named_and_the_figures_are_those_of_the_study() -> None:
    """What fills by itself shows the round as today beside the new one, with the boxes of a shift."""
    about = placed("drop_and_boxes")
    section = side(rounds(about))
    (legend,) = [each for each in section.blocks if isinstance(each, Legend)]

    drawn = set(layers_of(hand_things_of(about)))
    assert {each.layer for each in legend.signs} == {"brought", "stores", "round today", "round"} & drawn
    assert {"brought", "round today"} <= drawn
    words = told(about, section)
    assert "full boxes are taken away" in words
    assert "counted with 4.8 m" in words
    assert "Full boxes taken away in a mean shift" in words
    assert "4,8 m" in told(about, section, "de")


def test_an_arrangement_brings_nothing_and_has_one_round() -> None:
    """Its round is the one of today."""
    about = placed("one_more_machine")
    section = side(rounds(about))
    (legend,) = [each for each in section.blocks if isinstance(each, Legend)]

    assert [each.layer for each in legend.signs] == ["stores", "round"]
    assert "before and after the change" in told(about, section)


def test_the_picture_carries_words_in_the_language_of_the_paper() -> None:
    """Machines and stores are named in it."""
    about = placed("one_more_machine")
    drawn = {language: pictures(about, tongue(language))["rounds"] for language in LANGUAGES}

    assert ">raw parts<" in drawn["en"]
    assert ">Rohteile<" in drawn["de"]


def test_a_cell_and_a_study_without_places_have_no_such_picture() -> None:
    """Nothing is drawn of what nobody advises or placed."""
    assert rounds(base("long")) is None
    assert rounds(ground(advising("drop_and_boxes"), long=True)) is None

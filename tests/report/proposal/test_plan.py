"""The plan of a proposal and its legend: each stroke that is drawn is named in its own look, in either language."""

import re
from dataclasses import replace
from functools import cache
from importlib.resources import files

import pytest

from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance, Guarded, GuardedCell
from millhand.report.drawing import layers_of
from millhand.report.drawing_svg import SIGNS
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.pictures import pictures
from millhand.report.proposal.plan import FEW, SAY_THEMSELVES, legend, plan_blocks, things_of
from millhand.report.proposal.records import Beside, Section
from millhand.report.proposal.swatches import swatch
from millhand.report.tongue import LANGUAGES, tongue
from tests.report.proposal.test_safety import about, told
from tests.stages.test_safety_answers import answers

STYLE = (files("millhand.report.proposal") / "plan.css").read_text(encoding="utf-8")


def of_plan(ground: Ground) -> Section:
    """The blocks beside and below the plan, without the picture itself."""
    beside, *below = plan_blocks(ground)
    assert isinstance(beside, Beside)
    return Section(key="concept", blocks=(*beside.right, *below))


def known(ground: Ground) -> Ground:
    """The same with all its facts in the study, as a whole study has them."""
    return replace(ground, study=replace(ground.study, facts=ground.facts))


@cache
def fenced() -> Ground:
    """A fenced arm with a fence and a gate that are drawn."""
    return known(about(*answers()))


@cache
def scanned() -> Ground:
    """The same behind a scanner, without a fence."""
    base = fenced()
    subject, made = base.subject, base.study.safeguarding
    assert subject is not None
    assert subject.layout is not None
    assert subject.layout.drawn is not None
    assert subject.concept.safeguarding is not None
    assert made is not None
    depths = {
        name: Fact(id=f"by_scanner.{name}", value=most - 0.5, unit="m", basis="computed", source="by hand",
                   low=most - 1.0, high=most)
        for name, most in (("slow_field", 2.56), ("stop_field", 1.94))
    }  # fmt: skip
    kept = tuple(Distance(words="begins", rule="a", fact=each.id, end="high") for each in depths.values())
    row = Guarded(choice="scanner", title=subject.concept.safeguarding.title, function="f", distances=kept, speed="x")
    cell = GuardedCell(
        concept=subject.concept.id, title="t", arm_class="force_limited", regions=(), binding="", rows=(row,)
    )
    pieces = tuple(each for each in subject.layout.drawn.pieces if each.name != "fence")
    drawn = replace(subject.layout.drawn, pieces=pieces, fence=())
    return known(replace(
        base, study=replace(base.study, safeguarding=replace(made, cells=(cell,))),
        facts={**base.facts, **{each.id: each for each in depths.values()}},
        subject=replace(subject, layout=replace(subject.layout, drawn=drawn)),
    ))  # fmt: skip


@pytest.mark.parametrize("ground", [fenced(), scanned()])
def test_the_legend_names_each_layer_that_is_drawn_and_no_other(ground: Ground) -> None:
    """In the order in which they are drawn; on two pages the most needed of them."""
    drawn = [each for each in layers_of(things_of(ground)) if each not in SAY_THEMSELVES]

    assert [each.layer for each in legend(ground).signs] == drawn
    few = [each.layer for each in legend(replace(ground, long=False)).signs]
    assert few == [each for each in drawn if each in FEW]
    assert {"aisle", "emergency stops", "panel"} <= set(few)


@pytest.mark.parametrize("ground", [fenced(), scanned()])
def test_a_sign_has_the_look_of_its_layer_in_the_plan(ground: Ground) -> None:
    """Plan and sign take it from one style, by the layer's name."""
    svg = pictures(ground, tongue("en"))["plan"]

    assert f"<style>{STYLE}</style>" in svg
    for sign in legend(ground).signs:
        look = f'class="plan-{sign.layer.replace(" ", "-")}"'
        assert look in svg
        assert look in swatch(sign.layer)
        assert f"<style>{STYLE}</style>" in swatch(sign.layer)


def test_layers_are_told_apart_without_colour() -> None:
    """No two have the same dashes, the same width and the same filling, but for signs of a form of their own."""
    rules = dict(re.findall(r"^\.plan-([a-z-]+) \{(.*)\}$", STYLE, re.MULTILINE))
    looks: dict[tuple[str, ...], str] = {}
    for sign in {each.layer for ground in (fenced(), scanned()) for each in legend(ground).signs} - set(SIGNS):
        name = sign.replace(" ", "-")
        look = tuple(re.sub(r"stroke: #\w+;", "", rules[name]).split())
        assert looks.setdefault(look, sign) == sign


def test_fields_are_drawn_and_named_with_their_far_depth_where_a_scanner_guards() -> None:
    """Behind a fence there is none; who walks in them is said."""
    layers = layers_of(things_of(scanned()))
    assert layers[:2] == ("slow field", "stop field")
    assert not {"slow field", "stop field"} & set(layers_of(things_of(fenced())))

    words = told(scanned(), of_plan(scanned()))
    assert "2.56 m beyond the reach" in words
    assert "1.94 m beyond that reach" in words
    assert "Who walks where the aisle lies in a field" in words


@pytest.mark.parametrize("ground", [fenced(), scanned()])
def test_plan_and_legend_are_told_in_both_languages_with_the_same_figures(ground: Ground) -> None:
    """A width in the plan has the decimal comma of its language."""
    section = of_plan(ground)
    texts = {language: re.sub(r"<svg.*?</svg>", "", told(ground, section, language)) for language in LANGUAGES}
    numbers = {name: re.findall(r"\d+", text.replace(",", ".")) for name, text in texts.items()}

    assert numbers["en"] == numbers["de"] != []
    assert "proposed place: to be settled in the risk assessment" in texts["en"]
    assert "vorgeschlagener Platz: in der Risikobeurteilung festzulegen" in texts["de"]
    drawn = {language: pictures(ground, tongue(language))["plan"] for language in LANGUAGES}
    widths = {language: re.findall(r">(\d[.,]\d+) m<", svg.replace("\u202f", " ")) for language, svg in drawn.items()}
    assert [each.replace(",", ".") for each in widths["de"]] == widths["en"] != []

"""Each example gives the answer that its expected.json holds, for the reasons it names."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from millhand.beside import with_ways_by_hand
from millhand.catalogue.components import read_catalogue
from millhand.front import load, study
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.model.walk import words_in
from millhand.part_mix import with_part_mix
from millhand.report.html import report_html
from millhand.report.study_json import study_as_json
from millhand.safeguarding import with_safeguarding
from millhand.study import study as whole_study
from tests.few_draws import FEW_DRAWS
from tests.stages.short_road import changed, walked
from tests.study_checks import wrong_page

EXAMPLES = sorted(path.parent for path in Path("examples").glob("*/inquiry.yaml"))
NAMES = [path.name for path in EXAMPLES]
OWN = ("catalogue.", "concepts.", "introduction.")  # how facts begin that a study holds itself


@cache
def expected(name: str) -> dict[str, Any]:
    """What the example has to give."""
    found: dict[str, Any] = json.loads(Path("examples", name, "expected.json").read_text(encoding="utf-8"))
    return found


@cache
def done(name: str) -> Study:
    """The study of an example, once for all tests of a process: the first as everybody asks for it, the others with few
    draws, which move ranges and chances alone, and neither answer nor figures."""
    inquiry = load(Path("examples", name, "inquiry.yaml"))
    if name == NAMES[0]:
        return study(inquiry)
    catalogue = read_catalogue()
    found = with_ways_by_hand(whole_study(inquiry, catalogue, asked=FEW_DRAWS), inquiry, catalogue)
    return with_part_mix(with_safeguarding(found, inquiry, catalogue), inquiry, catalogue)


def halved(inquiry: Inquiry, what: str) -> Inquiry:
    """Half the volume (half the orders, made on half the days), or half the machining time, and nothing else."""
    part = inquiry.parts[0]
    facts = {
        "volume": (part.orders_per_y, inquiry.shop.work_days_per_y),
        "machining_time": tuple(each.time_s for each in part.operations),
    }[what]
    return changed(inquiry, {fact.id: fact.value / 2.0 for fact in facts})


def moved(before: float, after: float) -> str:
    """In which direction a payback went; infinite is never."""
    if after == before:
        return "same"
    if after == float("inf"):
        return "never"
    return "later" if after > before else "sooner"


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_what_is_advised_has_its_introduction(name: str) -> None:
    """Of a change by hand or of a cell, with its figures in the map; none where the answer is no."""
    made, facts = done(name).decision.introduction, done(name).facts
    kind = done(name).decision.answer

    assert (made is not None and made.by_hand is not None) == (kind == "by_hand")
    assert (made is not None and made.standby is not None) == (kind == "cell")
    assert not [each for each in words_in(made) if each.startswith(OWN) and each not in facts]


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_the_answer_is_the_expected_one(name: str) -> None:
    """Kind of answer and winner."""
    decision = done(name).decision

    assert (decision.answer, decision.winner) == (expected(name)["answer"], expected(name)["winner"])


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_each_loser_fell_at_the_expected_check(name: str) -> None:
    """The verdict that killed each concept that cannot work; all others were beaten by their worth."""
    fell: dict[str, list[str]] = {}
    for place in done(name).decision.ranking:
        if place.fell is not None:
            fell.setdefault(place.fell, []).append(place.concept)

    assert {check: sorted(each) for check, each in fell.items()} == expected(name)["fell"]


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_what_pays_is_what_the_example_is_about(name: str) -> None:
    """The largest yearly gain of the concept looked at is the one the example shows."""
    study_ = done(name)
    looked_at = next(each for each in study_.results if each.concept.id == expected(name)["looked_at"])
    assert looked_at.case is not None
    labour = study_.facts[f"concepts.{looked_at.concept.id}.case.labour"].value
    output = study_.facts[looked_at.case.year.output].value

    assert ("labour" if labour > output else "output") == expected(name)["mostly_by"]


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_every_digit_of_the_examples_pages_leads_to_its_origin(name: str) -> None:
    """Each digit of report.html stands in an element with its fact, and each fact resolves in study.json."""
    text = study_as_json(done(name))

    assert wrong_page(report_html(done(name), text=text), json.loads(text)) == []


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_peoples_hours_by_kind_are_the_expected_ones(name: str) -> None:
    """Hours of a shift today, in three digits; the kinds fill the hours in which people are there."""
    own = done(name).results[0].performance
    assert own is not None
    assert own.people is not None
    ids = {**own.people.a_shift, "there": own.people.there or ""}
    found = {kind: done(name).facts[fact_id].value for kind, fact_id in ids.items()}

    assert {kind: float(f"{hours:.3g}") for kind, hours in found.items()} == expected(name)["people_h"]
    assert found["care"] + found["other"] + found["waiting"] == pytest.approx(found["there"], rel=1e-9)


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", [name for name in NAMES if "kept_s" in expected(name)])
def test_work_that_stays_is_the_expected_one(name: str) -> None:
    """Seconds of a part that people still work on it beside the cell that is looked at."""
    kept = done(name).facts[f"concepts.{expected(name)['looked_at']}.performance.inside_s"]

    assert float(f"{kept.value:.3g}") == expected(name)["kept_s"]


@pytest.mark.parametrize("what", ["volume", "machining_time"])
@pytest.mark.parametrize("name", NAMES)
def test_halving_moves_the_answer_in_the_expected_direction(name: str, what: str) -> None:
    """Payback of the concept looked at, at its load bound; where it never comes, what is missing at the hurdle."""
    inquiry, concept = load(Path("examples", name, "inquiry.yaml")), expected(name)["looked_at"]
    before, after = walked(inquiry, concept), walked(halved(inquiry, what), concept)
    paybacks = [each.value(each.case.payback_months) for each in (before, after)]
    if paybacks == [float("inf")] * 2:  # never, and by how much: what is not back by the hurdle
        paybacks = [-each.value(each.case.hurdle_balance) for each in (before, after)]

    assert moved(*paybacks) == expected(name)["halving"][what]


def test_every_example_has_its_expectation() -> None:
    """No example without expected.json, and at least the four kinds of answer."""
    assert len(NAMES) >= 4
    assert {expected(name)["answer"] for name in NAMES} == {"cell", "by_hand", "no"}

"""Work that people do today and the best cell could take over: priced beside the study, and in none of its figures."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.decision import Offer, Ranked
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.offering import with_offers
from millhand.report.proposal.alternatives import options
from millhand.report.proposal.ground import ground
from millhand.report.proposal.records import Bullets
from millhand.report.terminal import offer_parts, page_of
from tests.report.fixture_study import study
from tests.stages.short_road import catalogue, example, walked

CELL = "trays-pedestal-fenced_20-parallel_single-fence"


@cache
def before() -> Study:
    """A study of the first example with one cell, at its load bound."""
    of, found = example("1_two_mills"), walked(example("1_two_mills"), CELL)
    own = study()
    result = Result(
        concept=found.plan.concept, verdicts=found.plan.verdicts, layout=found.plan.layout, timing=found.plan.timing,
        cell=found.plan.cell, performance=found.performance, estimate=found.plan.estimate, case=found.case,
    )  # fmt: skip
    decision = replace(
        own.decision, winner=CELL, ranking=(Ranked(concept=CELL, place=1, fell=None, words="best"),), drivers=(),
        asks=(), sureness=None, tradeoff=None,
    )  # fmt: skip
    return replace(
        own, inquiry=of, facts=found.sheet.facts, choices=found.sheet.choices, results=(result,), decision=decision
    )


def offers(of: Inquiry) -> dict[str, Offer]:
    """What is offered, by the work."""
    return {each.work: each for each in with_offers(before(), of, catalogue()).decision.offers}


@cache
def done() -> Study:
    """The same with its offers."""
    return with_offers(before(), example("1_two_mills"), catalogue())


def test_what_people_do_and_the_arm_could_do_is_offered() -> None:
    """Deburring and gauging stand in today's work; nobody marks, and nothing is wiped by itself."""
    assert [each.work for each in done().decision.offers] == ["deburring", "gauging"]


def test_what_was_asked_for_is_no_offer() -> None:
    """It is in the study already."""
    of = example("1_two_mills")
    asked = replace(of, wishes=replace(of.wishes, by_arm=("deburring",)))

    assert set(offers(asked)) == {"gauging"}


def test_an_offer_costs_its_station_and_frees_what_people_do() -> None:
    """Price of spindle, work and four families with contingency; three quarters of 35 s and allowance on each part."""
    facts, each = done().facts, done().decision.offers[0]
    factor, share = facts["money.price_factor"].value, facts["catalogue.contingency_share"].value
    parts = facts[f"concepts.{CELL}.performance.tended_parts_per_y"].value

    assert facts[each.price].value == pytest.approx((12_000 + 6_000 + 4 * 1_000) * factor * (1.0 + share))
    assert facts[each.freed].value == pytest.approx(parts / 0.985 * 0.75 * 1.12 * 35.0 / 3600.0)
    assert facts[each.time].value == 20.0
    assert facts[each.rate].value < facts[each.rate_now].value  # one hand: the machines stand meanwhile


def test_the_study_itself_is_what_it_was() -> None:
    """Every fact stands as before; only those behind the offers come on top."""
    old, new = before(), done()

    assert {key: new.facts[key] for key in old.facts} == old.facts
    assert replace(new, facts=old.facts, decision=replace(new.decision, offers=())) == old
    assert all(source in new.facts for fact in new.facts.values() for _, source in fact.inputs)


def test_a_reader_sees_that_it_is_in_no_figure() -> None:
    """The terminal says so, and the proposal lists the offers behind its options."""
    lines = [str(getattr(each, "plain", "")) for each in offer_parts(page_of(done()))]
    section = options(ground(done(), long=True))
    assert section is not None

    assert lines[1].startswith("- Deburring, which people do today: ")
    assert "no figure above" in lines[-1]
    assert [len(each.items) for each in section.blocks if isinstance(each, Bullets)] == [2]
    assert not list(offer_parts(page_of(before())))

"""How sure the choice is: the draws of every concept, the chance of being the best, what it is worth to know a fact."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from millhand.model.decision import Sureness
from millhand.model.fact import Fact
from millhand.model.performance import Figure, Output
from millhand.model.study import Result
from millhand.solvers.knowing.additive import curves, terms_of
from millhand.stages.decision import decision
from millhand.stages.spread import (
    Asked,
    Followed,
    drivers,
    quantile,
    spread_shares,
    sureness,
    to_draw,
    uncertain,
    with_rates,
    worlds,
)
from millhand.stages.spread.middles import note_middles
from millhand.stages.spread.outlook import drawn_cases
from millhand.trace import Sheet, needed, recomputed, steps
from tests.stages.money_shop import inquiry, made

COUNT = 512
NONE = Figure(mean=0.0, low=0.0, high=0.0)
SIMULATED = Output(cell="none", seed=1, replications=1, horizon_s=1.0, parts_per_h=NONE, good_per_h=NONE)
RANGES = {  # facts of the hand-made shop that nobody knows well, besides those of the catalogue
    "people.share_usable": (0.3, 0.95),
    "concepts.by_hand-second_fixture.performance.operator_h_per_y": (2_800.0, 3_700.0),
    "parts.bracket.contribution": (1.0, 9.0),
}
STILL = Followed(solved={})  # nothing was simulated
SHARE = "people.share_usable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Three concepts with their draws."""

    results: tuple[Result, ...]
    sheet: Sheet
    drawn: tuple[Mapping[str, float], ...]
    sure: Sureness

    def value(self, fact_id: str | None) -> float:
        """A figure; a time that never comes is infinite."""
        return math.inf if fact_id is None else self.sheet.value(fact_id)

    @property
    def worths(self) -> dict[str, np.ndarray]:  # type: ignore[type-arg]
        """The present worth of each concept in each draw, as the map of facts has it."""
        return {
            each.concept.id: np.array([world[each.case.npv] for world in self.drawn])
            for each in self.results
            if each.case
        }


def ranged(fact: Fact, known: Mapping[str, float]) -> Fact:
    """A fact with its range, or exact where it is known."""
    if fact.id in known:
        return replace(fact, value=known[fact.id], low=None, high=None, shape="point", basis="given")
    if fact.id in RANGES:
        low, high = RANGES[fact.id]
        return replace(fact, low=low, high=high, shape="triangular", basis="assumed")
    return fact


@cache
def shop(*known: tuple[str, float], count: int = COUNT) -> Shop:
    """Today, a change by hand and a cell; facts that are known are exact."""
    sheet = Sheet()
    kinds = {kind: made(kind, numbers={"money.rate": 0.25}, shop=sheet) for kind in ("today", "by_hand", "cell")}
    results = tuple(
        Result(
            concept=each.concept, verdicts=(), performance=replace(each.performance, output=SIMULATED),
            estimate=each.estimate, case=each.case,
        )
        for each in kinds.values()
    )  # fmt: skip
    facts = {fact.id: ranged(fact, dict(known)) for fact in sheet}
    values = recomputed(facts, {}, {})
    again = Sheet(
        replace(fact, value=values[fact.id]) if math.isfinite(values[fact.id]) else fact for fact in facts.values()
    )
    again.extend(sheet.choices.values())
    drawn = tuple(worlds(again.facts, to_draw(results), {}, Asked(count=count, seed=1)))
    sure = sureness(results, drawn, again, STILL)
    assert sure is not None
    return Shop(results=results, sheet=again, drawn=drawn, sure=sure)


def test_an_outlook_is_what_the_draws_of_the_map_say() -> None:
    """P10, P50 and P90 of present worth and payback, in their order, as the facts of the draws have them."""
    done = shop()
    for outlook, result in zip(done.sure.outlooks, done.results, strict=True):
        assert result.case is not None
        npv = np.sort(done.worths[outlook.concept])
        ends = [done.value(each) for each in (outlook.npv_p10, outlook.npv_p50, outlook.npv_p90)]
        assert ends == pytest.approx([npv[COUNT // 10], npv[COUNT // 2], npv[COUNT - 1 - COUNT // 10]], rel=1e-9)
        if result.concept.kind != "today":
            assert result.case.payback_months is not None
            months = np.sort([world[result.case.payback_months] for world in done.drawn])
            found = [done.value(each) for each in (outlook.payback_p10, outlook.payback_p50, outlook.payback_p90)]
            assert found == pytest.approx([months[51], months[256], months[460]], rel=1e-9)
    assert done.sure.outlooks[0].payback_p50 is None
    assert done.value(done.sure.draws) == COUNT


def test_somebody_is_the_best_in_every_draw() -> None:
    """The chances add up to one; regrets are never below nothing, the least is what it is worth to know everything."""
    done = shop()
    worths = np.column_stack(list(done.worths.values()))
    shares = [done.value(each.best_chance) for each in done.sure.outlooks]
    losses = [done.value(each.regret) for each in done.sure.outlooks]

    assert math.fsum(shares) == pytest.approx(1.0)
    assert shares == pytest.approx([float(np.mean(worths.argmax(axis=1) == place)) for place in range(3)])
    assert losses == pytest.approx(list((worths.max(axis=1)[:, None] - worths).mean(axis=0)))
    assert min(losses) == pytest.approx(done.value(done.sure.everything))
    assert 0.05 < shares[2] < 0.95


def test_every_measure_of_the_draws_is_that_of_the_map() -> None:
    """Present worth and paybacks of the compiled loop against the facts of each draw, to nine digits."""
    done = shop()
    drawn = drawn_cases(done.results, done.drawn, done.sheet)
    for case, measures in zip(drawn.cases, drawn.measures, strict=True):
        for fact_id, found in (
            (case.npv, measures.npv_money),
            (case.payback_months, measures.payback_months),
            (case.discounted_payback_months, measures.discounted_payback_months),
        ):
            if fact_id is not None:
                assert found == pytest.approx([world[fact_id] for world in done.drawn], rel=1e-9, abs=1e-6)


def nested(done: Shop, fact_id: str) -> float:
    """What knowing a fact is worth, by draws inside draws: the best mean at each of its values, less the best mean."""
    npvs = [each.case.npv for each in done.results if each.case]
    part = needed(done.sheet.facts, npvs)
    again = steps(part)
    means = []
    for place in range(12):
        value = quantile(part[fact_id], (place + 0.5) / 12)
        found = [recomputed(again, {**base_of(world, part), fact_id: value}, {}) for world in done.drawn]
        means.append([np.mean([numbers[npv] for numbers in found]) for npv in npvs])
    table = np.array(means)
    return float(table.max(axis=1).mean() - table.mean(axis=0).max())


def base_of(world: Mapping[str, float], part: Mapping[str, Fact]) -> dict[str, float]:
    """The uncertain facts of a draw."""
    return {fact.id: world[fact.id] for fact in uncertain(part)}


def test_the_worth_of_a_fact_is_that_of_draws_inside_draws() -> None:
    """The fact that is worth most, by the regression and the long way round."""
    done = shop()
    first = done.sure.known[0]

    assert done.value(first.worth) == pytest.approx(nested(done, first.fact), abs=3.0 * done.value(first.error))


def test_facts_are_worth_something_and_less_than_everything() -> None:
    """The most first, none more than everything, none that is exact."""
    done = shop()
    worths = [done.value(each.worth) for each in done.sure.known]

    assert worths == sorted(worths, reverse=True)
    assert 0.0 < worths[-1] <= worths[0] <= done.value(done.sure.everything)
    assert {each.fact for each in done.sure.known} <= {fact.id for fact in uncertain(done.sheet.facts)}


def test_the_first_answer_leaves_less_to_know() -> None:
    """On the mean over what the first question may be answered with: less by what the answer was worth."""
    done = shop()
    first, whole = done.sure.known[0], done.value(done.sure.everything)
    answers = [quantile(done.sheet[first.fact], (place + 0.5) / 8) for place in range(8)]
    after = [shop((first.fact, answer), count=128) for answer in answers]
    left = [each.value(each.sure.everything) for each in after]
    error = done.value(done.sure.error) + float(np.mean([each.value(each.sure.error) for each in after]))

    assert np.mean(left) == pytest.approx(whole - done.value(first.worth), abs=2.0 * error)
    assert np.mean(left) <= whole + error
    assert all(first.fact not in {known.fact for known in each.sure.known} for each in after)


def test_what_is_worth_most_to_know_is_asked_first_and_what_was_answered_no_more() -> None:
    """After those that could end the job: by money, each with what it is worth; an answer without a range ends it."""

    def asked(done: Shop) -> list[tuple[str, str]]:
        case = done.results[2].case
        assert case is not None
        moving = drivers(done.sheet, case, {}, done.sure.known)
        answer = decision(inquiry(), done.results, moving, done.sheet)
        return [(ask.fact, ask.why) for ask in answer.asks]

    done = shop()
    first = done.sure.known[0]
    questions = asked(done)
    answered = shop((SHARE, 0.8))

    assert questions[0][0] == first.fact
    assert f"the answer is worth up to [[{first.worth}|money_2]]" in questions[0][1]
    order = [fact_id for fact_id, why in questions if "is worth up to" in why]
    assert order == [each.fact for each in done.sure.known][: len(order)]
    assert any("worth" not in why for _, why in questions)  # what moves the payback alone is asked for too
    assert SHARE not in {fact_id for fact_id, _ in asked(answered)}


def test_a_fact_that_only_another_concept_rests_on_is_asked_for_too() -> None:
    """The hours of the change by hand move nothing of the cell, and yet decide between them."""
    done = shop()
    hours = "concepts.by_hand-second_fixture.performance.operator_h_per_y"
    case = done.results[2].case
    assert case is not None
    found = {each.fact: each for each in drivers(done.sheet, case, {}, done.sure.known)}

    assert hours in {each.fact for each in done.sure.known}
    assert done.value(found[hours].swing) == 0.0
    assert found[hours].worth is not None


def test_one_concept_alone_is_sure() -> None:
    """Nothing to choose from, and nothing drawn."""
    done = shop()

    assert sureness(done.results[:1], done.drawn, Sheet(done.sheet), STILL) is None
    assert sureness(done.results, (), Sheet(done.sheet), STILL) is None


def test_shares_of_a_spread_follow_the_drivers() -> None:
    """What is exact has none; the strongest driver's share agrees with the regression of the draws on it."""
    done = shop()
    case = done.results[2].case
    assert case is not None
    sheet = Sheet(done.sheet)
    moving = drivers(sheet, case, {}, ())
    found = spread_shares(sheet, case, {}, moving, Asked(count=COUNT, seed=1))
    first = found[0]
    worth = done.worths[case.concept]
    names = [fact.id for fact in uncertain(needed(done.sheet.facts, [case.npv]))]
    numbers = np.array([[world[name] for name in names] for world in done.drawn])
    parts = curves(worth, terms_of(numbers)).parts

    assert first.fact == moving[0].fact == SHARE
    assert len(found) == 6
    by_draws = float(parts[names.index(SHARE)].var() / worth.var())
    assert sheet.value(first.npv_first) == pytest.approx(by_draws, abs=3.0 * sheet.value(first.npv_error))
    assert sheet.value(first.npv_total) == pytest.approx(by_draws, abs=3.0 * sheet.value(first.npv_error))
    assert first.payback_total is not None
    assert first.payback_error is not None
    assert sheet.value(first.payback_total) > 2.0 * sheet.value(first.payback_error)


def test_the_middle_of_a_case_is_that_of_its_draws() -> None:
    """Half of the draws lie below it, by the very rows of the draws."""
    done = shop()
    case = next(each.case for each in done.results if each.case and each.concept.kind != "today")
    note_middles(case, done.drawn, done.sheet)
    worths = sorted(world[case.npv] for world in done.drawn)

    assert done.sheet.value(f"concepts.{case.concept}.case.middle.npv") == worths[COUNT // 2]
    assert f"concepts.{case.concept}.case.middle.saving" in done.sheet


def test_the_internal_rate_of_each_draw_is_that_of_its_years() -> None:
    """At it the years of the draw are worth what is paid; where no year pays, the draw counts below all others."""
    done = shop()
    cases = [each.case for each in done.results if each.case and each.case.irr]
    rated = with_rates(done.results, done.drawn, done.sheet)

    assert cases
    for case in cases:
        for world in rated[:20]:
            rate, nets = world[case.irr], [world[row.net] for row in case.rows]
            if math.isfinite(rate):
                worth = sum(net / (1.0 + rate) ** year for year, net in enumerate(nets))
                assert worth == pytest.approx(0.0, abs=1e-6 * abs(nets[0]))
                assert (rate > 0.0) == (sum(nets) > 0.0)
            else:
                assert (rate > 0.0) == (sum(nets) > 0.0)
    assert with_rates(done.results, (), done.sheet) == ()

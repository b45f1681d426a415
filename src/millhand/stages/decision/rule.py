"""The rule: ranked by present worth against today; recommended what meets the hurdle and pays on what is cheaper."""

import math
from dataclasses import dataclass
from typing import Literal

from millhand.model.case import steady_lines
from millhand.model.decision import Ranked
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk, case_of
from millhand.stages.decision.over_hand import differing
from millhand.trace import Sheet, apply_within


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What the rule says: `best` is the winner, or for 'no' the concept that comes nearest; `hand` the best by hand."""

    answer: Literal["cell", "by_hand", "no"]
    best: Result | None
    second: Result | None
    hand: Result | None
    on_top: str | None  # fact id: payback of the winning cell's extra price over the best change by hand
    beaten: Result | None = None  # a cell that meets the hurdle and does not pay on top of the change by hand


def fell(result: Result) -> str | None:
    """The check that ended a concept; None for one that can work."""
    return next((verdict.check for verdict in result.verdicts if verdict.kills and not verdict.holds), None)


def workable(desk: Desk) -> list[Result]:
    """The concepts that pass every check and have a case, today left out, the best present worth first."""
    able = [
        result
        for result in desk.results
        if result.concept.kind != "today" and result.case is not None and fell(result) is None
    ]
    return sorted(able, key=lambda result: (-desk.value(case_of(result).npv), _payback(desk, result)))


def meets(desk: Desk, result: Result) -> bool:
    """Whether a concept is back within the hurdle and worth more than going on as today."""
    return _payback(desk, result) <= desk.hurdle.value and desk.value(case_of(result).npv) > 0.0


def choice(desk: Desk) -> Choice:
    """The rule applied."""
    able = workable(desk)
    good = [result for result in able if meets(desk, result)]
    hand = next((result for result in good if result.concept.kind == "by_hand"), None)
    if not good:
        return Choice(answer="no", best=_nearest(desk, able), second=None, hand=None, on_top=None)
    beaten = None
    for result in good:
        if result is hand:
            break
        on_top = None if hand is None else pays_on_top(desk, result, hand)
        if hand is None or on_top is not None:
            return Choice(answer="cell", best=result, second=_second(able, result), hand=hand, on_top=on_top)
        beaten = beaten or result
    return Choice(answer="by_hand", best=hand, second=_second(able, hand), hand=hand, on_top=None, beaten=beaten)


def focus(inquiry: Inquiry, results: tuple[Result, ...], sheet: Sheet) -> Result | None:
    """The concept that the decision will be about, and whose drivers are worth knowing: the winner, or the nearest."""
    return choice(Desk(inquiry=inquiry, results=results, drivers=(), sheet=sheet)).best


def _nearest(desk: Desk, able: list[Result]) -> Result | None:
    """The best of those that bring anything at all in a year; a change that brings nothing is near to nothing."""

    def brings(result: Result) -> bool:
        return sum(desk.value(line.amount) for line, _ in steady_lines(case_of(result))) > 0.0

    return next((result for result in able if brings(result)), able[0] if able else None)


def pays_on_top(desk: Desk, cell: Result, hand: Result) -> str | None:
    """The payback of what a cell costs more than a change by hand, where it meets the hurdle; else None."""
    inputs = differing(case_of(cell), case_of(hand), desk.sheet)
    fact_id = f"concepts.{cell.concept.id}.decision.on_top_of.{hand.concept.id}"
    payback = apply_within(desk.sheet, "incremental_payback_months", fact_id, desk.hurdle.value, inputs)
    return payback.id if payback else None


def ranking(desk: Desk) -> tuple[Ranked, ...]:
    """Every concept's place, today among them; those that a check ended come after, with the check and its words."""
    today = [result for result in desk.results if result.concept.kind == "today"]
    able = [*workable(desk), *today]
    worth = {result.concept.id: desk.value(result.case.npv) if result.case else 0.0 for result in able}
    able.sort(key=lambda result: (-worth[result.concept.id], _payback(desk, result)))
    placed = [
        Ranked(concept=result.concept.id, place=place, fell=None, words=_words(desk, result))
        for place, result in enumerate(able, start=1)
    ]
    return (*placed, *(_fallen(result) for result in desk.results if result not in able))


def _payback(desk: Desk, result: Result) -> float:
    """Simple payback for ordering and for the hurdle; never is later than any other."""
    case = result.case
    return math.inf if case is None or case.payback_months is None else desk.value(case.payback_months)


def _second(able: list[Result], best: Result | None) -> Result | None:
    """The next best."""
    return next((result for result in able if result is not best), None)


def _words(desk: Desk, result: Result) -> str:
    """What a place in the ranking rests on."""
    if result.concept.kind == "today":
        return "going on as today: nothing is paid and nothing is gained"
    case = case_of(result)
    worth = f"worth [[{case.npv}|money_2]] against today"
    if case.payback_months is None:
        return f"{worth}; {case.reasons.get('payback_months', 'the money does not come back')}"
    hurdle = "within" if _payback(desk, result) <= desk.hurdle.value else "later than"
    return f"{worth}; back after [[{case.payback_months}|months]], {hurdle} the hurdle of [[{desk.hurdle.id}|months]]"


def _fallen(result: Result) -> Ranked:
    """A concept that a check ended, or that was not worked out."""
    killer = next((verdict for verdict in result.verdicts if verdict.kills and not verdict.holds), None)
    if killer is None:
        return Ranked(
            concept=result.concept.id, place=None, fell="not_priced", words="it was not worked out to a price"
        )
    return Ranked(concept=result.concept.id, place=None, fell=killer.check, words=killer.words)

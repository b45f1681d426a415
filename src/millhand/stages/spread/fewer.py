"""The case with fewer orders in the same draws as the case itself: where half of them lie, and how often it still pays.

Everything uncertain is drawn as before; what is ordered is as much less in each draw as the decision looked at.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from millhand.model.case import Case
from millhand.model.decision import Decision, Orders
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.stages.spread.again import drawn_again, note_middle, note_share
from millhand.stages.spread.worlds import Asked
from millhand.trace import Sheet, Solved

Worlds = Sequence[Mapping[str, float]]
TOP = "decision.orders"


def fewer_drawn(
    told: Orders | None, inquiry: Inquiry, results: Sequence[Result], sheet: Sheet, solved: Solved, asked: Asked
) -> tuple[dict[str, float], ...]:
    """Payback, worth, balance and freed hours with fewer orders in every draw, by their ids in the record of orders.

    Nothing where no orders were looked at, or where the concept was not drawn either.
    """
    result = next((each for each in results if told and each.concept.id == told.concept), None)
    if told is None or result is None or result.case is None or result.case.hurdle_chance is None:
        return ()
    ordered = tuple(each.orders_per_y for each in inquiry.parts)
    left = sheet.value(told.fewer) / sheet.value(told.present)

    def less(row: Mapping[str, float]) -> dict[str, float]:
        return {each.id: left * row.get(each.id, each.value) for each in ordered}

    return drawn_again(dict(_pairs(told, result.case)), less, sheet, solved, asked)


def _pairs(told: Orders, case: Case) -> Iterator[tuple[str, str]]:
    """Each figure with fewer orders, and the figure of the case that it is."""
    if told.payback_months is not None and case.payback_months is not None:
        yield told.payback_months, case.payback_months
    yield told.npv, case.npv
    yield told.hurdle_balance, case.hurdle_balance
    yield told.freed_h_per_y, case.year.freed_h_per_y


def with_fewer(advice: Decision, worlds: Worlds, hurdle: str, sheet: Sheet) -> Decision:
    """The decision with the middle of these draws beside its likely values, and the chance of meeting the hurdle.

    As facts `decision.orders.middle.*` and `decision.orders.hurdle_chance`; a middle that never comes is left out.
    """
    told = advice.orders
    if told is None or not worlds:
        return advice
    words = f"draws of all uncertain facts, with {told.fewer} parts ordered in a year"

    middles = {}
    for name, fact_id in (("payback", told.payback_months), ("npv", told.npv)):
        if fact_id is None:
            continue
        half = note_middle(sheet, f"{TOP}.middle.{name}", (worlds, fact_id), (fact_id, told.fewer), words)
        if half is not None:
            middles[name] = half
    balance = told.hurdle_balance
    chance = note_share(sheet, f"{TOP}.hurdle_chance", (worlds, balance), (balance, told.fewer), words)
    said = (*told.words[:1], *_words(middles, chance, hurdle), *told.words[1:])
    return replace(advice, orders=replace(told, words=said))


def _words(middles: Mapping[str, str], chance: str, hurdle: str) -> Iterator[str]:
    """The middle and the chance as a sentence."""
    met = f"the chance of meeting the hurdle of [[{hurdle}|months]] is then [[{chance}|chance]]"
    if "payback" in middles:
        yield f"In half of the draws with so few orders it is back within [[{middles['payback']}|months]]; {met}."
    else:
        yield f"In half of the draws with so few orders it does not come back at all; {met}."


def beside(drawn: Worlds, *others: Worlds) -> Worlds:
    """The draws of the cases with those of fewer orders and the like in them: their ranges are of the same worlds."""
    for other in others:
        drawn = tuple({**world, **more} for world, more in zip(drawn, other, strict=True)) if other else drawn
    return drawn

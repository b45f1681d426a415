"""Each cell against the best change by hand: what it is worth more, and when its extra price is back."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.case import Case, steady_lines
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.trace import Inputs, Sheet, apply, apply_within


def over_hand(inquiry: Inquiry, results: tuple[Result, ...], sheet: Sheet) -> tuple[Result, ...]:
    """The results, the cases of cells with two measures more; as they are where no change by hand is worth anything."""
    hands = [each.case for each in results if each.concept.kind == "by_hand" and each.case is not None]
    best = max(hands, key=lambda case: sheet.value(case.npv), default=None)
    if best is None or sheet.value(best.npv) <= 0.0:
        return results
    return tuple(_with_more(inquiry, each, best, sheet) if each.concept.kind == "cell" else each for each in results)


def _with_more(inquiry: Inquiry, result: Result, hand: Case, sheet: Sheet) -> Result:
    """One cell with both measures."""
    if result.case is None:
        return result
    further = {**result.case.further, **dict(_more(inquiry, result.case, hand, sheet))}
    return replace(result, case=replace(result.case, further=further))


def _more(inquiry: Inquiry, case: Case, hand: Case, sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Worth and payback of what a cell costs and brings beyond the change by hand."""
    base = f"concepts.{case.concept}.decision.over_{hand.concept}"
    worth = apply(sheet, "difference_money", f"{base}.npv", amount_money=sheet[case.npv], other_money=sheet[hand.npv])
    yield "npv_over_hand", worth.id
    most, inputs = 12.0 * inquiry.money.horizon_y.value, differing(case, hand, sheet)
    payback = apply_within(sheet, "incremental_payback_months", f"{base}.payback", most, inputs)
    if payback is not None:
        yield "payback_over_hand_months", payback.id


def differing(case: Case, hand: Case, sheet: Sheet) -> Inputs:
    """What the payback of a difference takes."""
    return {
        "outlays_money": (sheet[case.year.outlay], sheet[hand.year.outlay]),
        "yearly_money": tuple(sheet[line.amount] for line, _ in steady_lines(case)),
        "growths": tuple(sheet[growth] for _, growth in steady_lines(case)),
        "other_money": tuple(sheet[line.amount] for line, _ in steady_lines(hand)),
        "other_growths": tuple(sheet[growth] for _, growth in steady_lines(hand)),
        "ramp_up": tuple(sheet[fact_id] for fact_id in case.year.ramp_up),
    }

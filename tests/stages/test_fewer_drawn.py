"""The case with fewer orders in the draws: its middle and chance against the case of an inquiry that orders less."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from millhand.model.decision import Decision, Orders
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.road import visited
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.orders import orders
from millhand.stages.spread import Asked, beside, fewer_drawn, to_draw, with_fewer, worlds
from millhand.trace import Sheet
from tests.stages.short_road import changed, example, walked
from tests.stages.test_orders import looked_at
from tests.stages.test_sureness import SIMULATED

ASKED = Asked(count=64, seed=1)


def result_of(inquiry: Inquiry) -> tuple[Result, Sheet]:
    """The way of an inquiry at its load bound, as if it had been simulated and drawn."""
    found = walked(inquiry, looked_at("1_two_mills"))
    case = replace(found.case, hurdle_chance="told")
    return (
        Result(
            concept=found.plan.concept, verdicts=(), performance=replace(found.performance, output=SIMULATED), case=case
        ),
        found.sheet,
    )


@cache
def told() -> tuple[Inquiry, Result, Sheet, Orders, tuple[dict[str, float], ...]]:
    """The example, and its case with a quarter fewer orders in every draw."""
    inquiry = visited(example("1_two_mills"))
    result, sheet = result_of(inquiry)
    made = orders(Desk(inquiry=inquiry, results=(result,), drivers=(), sheet=sheet), result)
    assert made is not None
    return inquiry, result, sheet, made, fewer_drawn(made, inquiry, [result], sheet, {}, ASKED)


def test_each_draw_is_that_of_an_inquiry_with_a_quarter_fewer_orders() -> None:
    """Payback, worth, balance and hours in every draw, against the whole road with fewer orders and the same draws."""
    inquiry, result, _, made, found = told()
    less = changed(inquiry, {part.orders_per_y.id: 0.75 * part.orders_per_y.value for part in inquiry.parts})
    other, sheet = result_of(less)
    assert result.case is not None
    assert other.case is not None
    drawn = tuple(worlds(sheet.facts, (*to_draw([other]), other.case.year.freed_h_per_y), {}, ASKED))

    assert made.payback_months is not None
    assert other.case.payback_months is not None
    for own, theirs in (
        (made.payback_months, other.case.payback_months),
        (made.npv, other.case.npv),
        (made.hurdle_balance, other.case.hurdle_balance),
        (made.freed_h_per_y, other.case.year.freed_h_per_y),
    ):
        assert [each[own] for each in found] == pytest.approx([each[theirs] for each in drawn], rel=1e-9, abs=1e-6)


def advice(made: Orders) -> Decision:
    """A decision that holds nothing but its orders."""
    return Decision(
        answer="cell", winner="way", second=None, sentences=(), would_change=(), ranking=(), drivers=(), asks=(),
        part_limits=(), orders=made,
    )  # fmt: skip


def test_the_middle_is_that_of_the_draws_and_stands_after_the_first_sentence() -> None:
    """Four draws by hand: the third of the sorted ones is the middle, half of them meet the hurdle."""
    _, _, sheet, made, _ = told()
    assert made.payback_months is not None
    rows = [
        {made.payback_months: months, made.npv: worth, made.hurdle_balance: balance}
        for months, worth, balance in ((40.0, 4.0, -1.0), (20.0, 9.0, 1.0), (math.inf, -3.0, -2.0), (30.0, 6.0, 0.0))
    ]
    own = Sheet(sheet.facts.values())
    done = with_fewer(advice(made), rows, "wishes.hurdle_months", own)

    assert own.value("decision.orders.middle.payback") == 40.0
    assert own.value("decision.orders.middle.npv") == 6.0
    assert own.value("decision.orders.hurdle_chance") == 0.5
    assert done.orders is not None
    assert done.orders.words[0] == made.words[0]
    assert "[[decision.orders.middle.payback|months]]" in done.orders.words[1]
    assert done.orders.words[2:] == made.words[1:]


def test_a_middle_that_never_comes_is_no_figure() -> None:
    """More than half never come back: said in words, without a fact."""
    _, _, sheet, made, _ = told()
    assert made.payback_months is not None
    rows = [{made.payback_months: math.inf, made.npv: -1.0, made.hurdle_balance: -1.0}] * 3
    own = Sheet(sheet.facts.values())
    done = with_fewer(advice(made), rows, "wishes.hurdle_months", own)

    assert "decision.orders.middle.payback" not in own
    assert done.orders is not None
    assert "it does not come back at all" in done.orders.words[1]


def test_nothing_is_drawn_of_what_was_not() -> None:
    """Without orders, without the chance of the case, or of another concept: no draws, and the decision stays."""
    inquiry, result, sheet, made, found = told()
    assert result.case is not None
    bare = replace(result, case=replace(result.case, hurdle_chance=None))

    assert fewer_drawn(None, inquiry, [result], sheet, {}, ASKED) == ()
    assert fewer_drawn(made, inquiry, [bare], sheet, {}, ASKED) == ()
    assert fewer_drawn(replace(made, concept="other"), inquiry, [result], sheet, {}, ASKED) == ()
    assert with_fewer(advice(made), (), "wishes.hurdle_months", sheet) == advice(made)
    assert beside(found, ()) == found
    assert set(beside([{"a": 1.0}] * len(found), found)[0]) == {"a", *found[0]}
    assert np.isfinite([each[made.npv] for each in found]).all()

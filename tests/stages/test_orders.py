"""When less is ordered: the case with fewer orders, and where the hurdle is just met, against the whole road again."""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.model.decision import Orders
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.road import visited
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.orders import orders
from millhand.stages.decision.without_alone import note_without_alone
from tests.stages.short_road import Walked, changed, example, walked

NAMES = ("1_two_mills", "3_moulding", "4_tiny_lots")  # a cell, a change by hand, nothing yet


def looked_at(name: str) -> str:
    """The concept that the example's answer is about."""
    told = json.loads((Path("examples") / name / "expected.json").read_text(encoding="utf-8"))
    return str(told["looked_at"])


def ordered(inquiry: Inquiry, times: float) -> Inquiry:
    """The inquiry with so many times as many orders."""
    return changed(inquiry, {part.orders_per_y.id: times * part.orders_per_y.value for part in inquiry.parts})


@cache
def told(name: str) -> tuple[Walked, Orders]:
    """The case of an example at its load bound, and what orders do to it."""
    inquiry = visited(example(name))
    found = walked(inquiry, looked_at(name))
    result = Result(concept=found.plan.concept, verdicts=(), performance=found.performance, case=found.case)
    desk = Desk(inquiry=inquiry, results=(result,), drivers=(), sheet=found.sheet)
    made = orders(desk, result)
    assert made is not None
    return found, made


@pytest.mark.parametrize("name", NAMES)
def test_a_quarter_fewer_is_the_case_of_an_inquiry_with_a_quarter_fewer(name: str) -> None:
    """Freed hours, payback, worth and balance are those of the whole road with fewer orders."""
    found, made = told(name)
    again = walked(ordered(visited(example(name)), 0.75), looked_at(name))

    assert found.value(made.fewer) == pytest.approx(0.75 * found.value(made.present))
    for own, other in (
        (made.freed_h_per_y, again.case.year.freed_h_per_y),
        (made.payback_months, again.case.payback_months),
        (made.npv, again.case.npv),
        (made.hurdle_balance, again.case.hurdle_balance),
    ):
        assert found.value(own) == pytest.approx(again.value(other), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_where_the_orders_turn_the_hurdle_is_just_met(name: str) -> None:
    """At the number found, and at no number where none is told: from none to five times as many."""
    found, made = told(name)

    def margin(times: float) -> float:
        again = walked(ordered(visited(example(name)), times), looked_at(name))
        return min(again.value(again.case.hurdle_balance), again.value(again.case.npv))

    if made.turns_at is None:
        assert len({margin(times) >= 0.0 for times in (0.02, 1.0, 5.0)}) == 1
    else:
        outlay = abs(found.value(found.case.year.outlay))
        assert margin(found.value(made.turns_at) / found.value(made.present)) == pytest.approx(0.0, abs=1e-6 * outlay)


def test_fewer_orders_are_worth_less_than_todays() -> None:
    """A cell whose gain is hours: a quarter fewer orders than are made today come back later, and free fewer hours."""
    found, made = told("1_two_mills")

    assert found.value(made.payback_months) > found.value(found.case.payback_months)
    assert found.value(made.freed_h_per_y) < found.value(found.case.year.freed_h_per_y)


def test_the_words_say_whether_the_hurdle_is_met_then() -> None:
    """Two sentences: the case with fewer orders, and where it turns."""
    for name, word in (("1_two_mills", "missed"), ("5_two_vises", "met")):
        _, made = told(name)

        assert made.words[0].startswith("With [[catalogue.orders_fall_share|percent]] fewer orders")
        assert f"is {word}. " in made.words[0]
        assert made.words[1].startswith("It would be missed below [[decision.orders.turns_at|parts]] parts a year")


def test_without_a_concept_or_orders_nothing_is_told() -> None:
    """No concept that can work, or nothing ordered: no figures."""
    found, made = told("1_two_mills")
    desk = Desk(inquiry=visited(example("1_two_mills")), results=(), drivers=(), sheet=found.sheet)

    assert made.turns_at is not None
    assert orders(desk, None) is None
    none = walked(ordered(visited(example("1_two_mills")), 0.0), looked_at("1_two_mills"))
    result = Result(concept=none.plan.concept, verdicts=(), performance=none.performance, case=none.case)
    assert orders(replace(desk, sheet=none.sheet), result) is None


def test_freed_hours_that_rise_are_explained() -> None:
    """Today makes fewer than are ordered even then: by hand nothing changes, and the cell makes and needs less."""
    found, made = told("5_two_vises")

    assert found.value(made.freed_h_per_y) > found.value(found.case.year.freed_h_per_y)
    assert found.value(made.fewer) > found.value("concepts.today.performance.capacity_parts_per_y")
    assert "Freed hours do not shrink with the orders: this way then makes fewer parts" in made.words[0]
    assert "Freed hours shrink" not in made.words[0]


def test_without_the_hours_alone_it_is_the_case_of_a_shop_that_wishes_for_none() -> None:
    """Payback, worth and balance are those of the whole road with no hours alone wished; orders enough for both."""
    inquiry = ordered(visited(example("1_two_mills")), 2.0)
    found = walked(inquiry, looked_at("1_two_mills"))
    result = Result(concept=found.plan.concept, verdicts=(), performance=found.performance, case=found.case)
    note_without_alone(Desk(inquiry=inquiry, results=(result,), drivers=(), sheet=found.sheet), result)
    again = walked(changed(inquiry, {inquiry.wishes.unattended_s.id: 0.0}), looked_at("1_two_mills"))
    top = f"concepts.{found.case.concept}.case.without_alone"

    assert again.performance.unattended_per_h is None
    assert found.value(f"{top}.payback") > found.value(found.case.payback_months)
    for name, own in (("payback", again.case.payback_months), ("npv", again.case.npv),
                      ("hurdle_balance", again.case.hurdle_balance), ("saving", again.case.saving_per_y),
                      ("parts", again.performance.parts_per_y)):  # fmt: skip
        assert found.value(f"{top}.{name}") == pytest.approx(again.value(own), rel=1e-9), name


def test_a_way_with_no_hours_alone_has_no_case_without_them() -> None:
    """A change by hand, which runs while people are there."""
    found, _ = told("3_moulding")
    result = Result(concept=found.plan.concept, verdicts=(), performance=found.performance, case=found.case)
    before = len(found.sheet.facts)
    note_without_alone(Desk(inquiry=example("3_moulding"), results=(result,), drivers=(), sheet=found.sheet), result)

    assert len(found.sheet.facts) == before

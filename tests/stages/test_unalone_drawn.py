"""The case with no hour alone in the draws: each draw against the case of that draw, its middle and chance by hand."""

import math
from dataclasses import replace

import pytest

from millhand.model.study import Result
from millhand.road import visited
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.without_alone import note_without_alone
from millhand.stages.spread import Asked, draws, unalone_drawn, uncertain
from millhand.stages.spread.again import note_middle, note_share
from millhand.trace import Sheet, recomputed
from tests.stages.short_road import example
from tests.stages.test_fewer_drawn import told

ASKED = Asked(count=16, seed=1)


def counted() -> tuple[Result, Sheet]:
    """The way of the example, which runs alone, on a sheet that holds its case without."""
    _, result, shared, _, _ = told()
    sheet = Sheet(shared.facts.values())
    desk = Desk(inquiry=visited(example("1_two_mills")), results=(result,), drivers=(), sheet=sheet)
    note_without_alone(desk, result)
    return result, sheet


def test_each_draw_is_the_case_of_that_draw_without_its_hours_alone() -> None:
    """Every uncertain fact at its value in the draw, all else worked out anew, then the case without hours alone."""
    result, sheet = counted()
    assert result.case is not None
    top = f"concepts.{result.case.concept}.case.without_alone"
    drawn = unalone_drawn(result.case.concept, [result], sheet, {}, ASKED)
    plain = [each for each in sheet if "without_alone" not in each.id and "decision." not in each.id]
    rows = draws(uncertain({each.id: each for each in plain}), count=ASKED.count, seed=ASKED.seed)

    for row, found in list(zip(rows, drawn, strict=True))[:3]:
        numbers = recomputed({each.id: each for each in plain}, row, {})
        there = Sheet(replace(each, value=numbers[each.id], low=None, high=None, shape="point") for each in plain)
        desk = Desk(inquiry=visited(example("1_two_mills")), results=(result,), drivers=(), sheet=there)
        note_without_alone(desk, result)
        for name in ("npv", "hurdle_balance"):
            assert found[f"{top}.{name}"] == pytest.approx(there.value(f"{top}.{name}"), rel=1e-9, abs=1e-6)
    balances = [each[f"{top}.hurdle_balance"] for each in drawn]
    assert sheet.value(f"{top}.hurdle_chance") == sum(each >= 0.0 for each in balances) / len(balances)
    assert sheet.value(f"{top}.middle.npv") == sorted(each[f"{top}.npv"] for each in drawn)[8]


def test_nothing_is_drawn_where_no_hour_alone_is_counted_or_nothing_was_drawn() -> None:
    """Another concept, a case without its chance, a sheet without these figures."""
    result, sheet = counted()
    assert result.case is not None
    bare = replace(result, case=replace(result.case, hurdle_chance=None))
    without = Sheet(each for each in sheet if "without_alone" not in each.id)

    assert unalone_drawn("other", [result], sheet, {}, ASKED) == ()
    assert unalone_drawn(result.case.concept, [bare], sheet, {}, ASKED) == ()
    assert unalone_drawn(result.case.concept, [result], without, {}, ASKED) == ()


def test_a_middle_that_never_comes_is_no_fact_and_a_balance_of_nought_meets() -> None:
    """Three draws by hand."""
    _, sheet = counted()
    rows = [{"a": math.inf, "b": 0.0}, {"a": math.inf, "b": -1.0}, {"a": 3.0, "b": -2.0}]

    assert note_middle(sheet, "x.middle", (rows, "a"), ("wishes.hurdle_months",), "draws") is None
    assert "x.middle" not in sheet
    share = note_share(sheet, "x.share", (rows, "b"), ("wishes.hurdle_months",), "draws")
    assert sheet.value(share) == pytest.approx(1.0 / 3.0)

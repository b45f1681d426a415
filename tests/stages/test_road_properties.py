"""What must hold for whole families of inquiries, on the road of one concept at its load bound."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.stages.short_road import Walked, catalogue, changed, example, walked, with_figures

LATHES = "2_three_lathes"
CELL = "drawers-floor_track-fenced_20-centric_double-fence"
FACTORS = st.floats(1.0, 3.0)


@cache
def as_it_is() -> Walked:
    """The cell of the example as it stands, which every change is held against."""
    return walked(example(LATHES), CELL)


@settings(max_examples=6)
@given(factor=FACTORS)
def test_a_slower_cell_never_pays_back_sooner(factor: float) -> None:
    """Longer seat checks never bring the payback forward nor raise the present worth; the exchange does get longer."""
    book, figure = catalogue(), "seat_check_s"
    slow = with_figures(book, {figure: book.figures[figure].value * factor})

    before, after = as_it_is(), walked(example(LATHES), CELL, slow)

    assert after.value(after.case.payback_months) >= before.value(before.case.payback_months) - 1e-9
    assert after.value(after.case.npv) <= before.value(before.case.npv) + 1e-6
    exchanges = [each.value(each.plan.timing.operations[0].exchange) for each in (before, after)]
    assert exchanges[1] - exchanges[0] == pytest.approx((factor - 1.0) * book.figures[figure].value)


@settings(max_examples=6)
@given(factor=FACTORS)
def test_a_higher_wage_never_delays_the_payback(factor: float) -> None:
    """What an hour costs counts for the cell, not against it."""
    inquiry = example(LATHES)
    dearer = changed(inquiry, {"people.wage": inquiry.people.wage_per_h.value * factor})

    before, after = as_it_is(), walked(dearer, CELL)

    assert after.value(after.case.payback_months) <= before.value(before.case.payback_months) + 1e-9


@settings(max_examples=6)
@given(factor=FACTORS)
def test_a_higher_price_never_brings_the_payback_forward(factor: float) -> None:
    """Money at a worse rate of exchange makes everything bought dearer."""
    inquiry = example(LATHES)
    rate = inquiry.money.exchange_rate
    dearer = changed(inquiry, {rate.id: rate.value * factor})

    before, after = as_it_is(), walked(dearer, CELL)

    assert after.value(after.case.payback_months) >= before.value(before.case.payback_months) - 1e-9


@settings(max_examples=5)
@given(factor=st.floats(1.0, 2.0))
def test_the_plain_ratio_is_linear_in_the_price(factor: float) -> None:
    """Price over the steady saving without what goes by the price."""
    inquiry = example(LATHES)
    rate = inquiry.money.exchange_rate
    one, other = as_it_is(), walked(changed(inquiry, {rate.id: rate.value * factor}), CELL)

    price = [each.sheet.value(f"concepts.{CELL}.estimate.installed") for each in (one, other)]
    saving = [each.sheet.value(each.case.saving_per_y) for each in (one, other)]
    ratio = [each.value(each.case.plain_ratio_y) for each in (one, other)]

    assert ratio[0] == pytest.approx(price[0] / saving[0])
    assert ratio[1] == pytest.approx(price[1] / saving[1])
    assert price[1] == pytest.approx(price[0] * factor)


def test_output_that_nobody_ordered_is_worth_nothing() -> None:
    """With orders equal to what is made today, more output brings exactly nothing."""
    inquiry = example(LATHES)
    made = as_it_is()
    today = made.sheet.value(made.today.parts_per_y)

    level = walked(changed(inquiry, {inquiry.parts[0].orders_per_y.id: today}), CELL)

    assert level.sheet.value(f"concepts.{CELL}.case.extra_output") == 0.0


def test_freed_hours_never_exceed_those_there_are() -> None:
    """A cell still needs people, and frees no more than today's machines bind."""
    made = as_it_is()
    before, after = (made.sheet.value(each.operator_h_per_y) for each in (made.today, made.performance))

    assert 0.0 < after < before


@pytest.mark.parametrize("pockets", [2.0, 4.0])
def test_nothing_alone_and_a_bigger_presenter_change_nothing(pockets: float) -> None:
    """With no hour alone and its price held, a presenter beyond one refill a shift brings next to nothing."""
    inquiry = changed(example(LATHES), {"wishes.unattended": 0.0})
    book = catalogue()
    drawers = book.components["drawers"]
    most = drawers.figures["mass_max_kg"]
    bigger = replace(
        book,
        components={
            **book.components,
            "drawers": replace(
                drawers, figures={**drawers.figures, "mass_max_kg": replace(most, value=most.value * pockets)}
            ),
        },
    )

    one, other = walked(inquiry, CELL), walked(inquiry, CELL, bigger)

    assert other.sheet.value(other.plan.layout.pockets) > one.sheet.value(one.plan.layout.pockets)
    assert other.value(other.performance.attended_per_h) == pytest.approx(one.value(one.performance.attended_per_h))
    # What is left is the walk of visits that come less often: below one part in a hundred of the payback.
    paybacks = [each.value(each.case.payback_months) for each in (one, other)]
    assert paybacks[1] == pytest.approx(paybacks[0], rel=0.01)

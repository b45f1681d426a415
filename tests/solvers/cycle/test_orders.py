"""The search over orders of carries: against every permutation."""

from itertools import permutations
from math import ceil

from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.solvers.cycle.tours.orders import best_order, carries_of, order_period
from millhand.solvers.cycle.tours.rounds import carry_rounds
from millhand.solvers.cycle.tours.shape import check_shape
from millhand.solvers.cycle.tours.tour import cycle_of
from tests.solvers.cycle.rows import Row, row_cell

times = st.lists(st.integers(0, 40), min_size=2, max_size=4)


@given(times, st.integers(0, 3), st.integers(0, 5), st.integers(0, 6))
def test_the_search_finds_the_best_of_all_orders(each: list[int], hold: int, step: int, tail: int) -> None:
    """Cutting off unfinished orders never cuts off the best one."""
    view = check_shape(row_cell(Row(times_s=each, hold_s=hold, step_s=step, tail_s=tail)))
    model = carries_of(view, carry_rounds(view) or [])
    found = best_order(model, floor_steps=0, limit=10_000)

    every = [order_period(model, (0, *rest)) for rest in permutations(range(1, model.count))]
    assert found.complete
    assert found.period_steps == min(period for period in every if period is not None)


@settings(max_examples=40)
@given(times, st.data())
def test_the_search_keeps_windows(each: list[int], data: st.DataObject) -> None:
    """With longest stays some orders allow no period, others only some; the search agrees with trying them all."""
    longest = [time + data.draw(st.integers(0, 25)) for time in each]
    view = check_shape(row_cell(Row(times_s=each, longest_s=longest)))
    model = carries_of(view, carry_rounds(view) or [])
    found = best_order(model, floor_steps=0, limit=10_000)

    every = [order_period(model, (0, *rest)) for rest in permutations(range(1, model.count))]
    possible = [period for period in every if period is not None]
    assert (found.order is None) == (not possible)
    assert found.order is None or found.period_steps == min(possible)


@settings(max_examples=30)
@given(times, st.data())
def test_the_short_model_and_the_event_graph_agree(each: list[int], data: st.DataObject) -> None:
    """An order as carries and the same order as events have one period."""
    longest = [time + data.draw(st.integers(10, 60)) for time in each]
    view = check_shape(row_cell(Row(times_s=each, longest_s=longest, tail_s=1.5)))
    carries = carry_rounds(view) or []
    order = (0, *data.draw(st.permutations(range(1, len(carries)))))

    cycle = cycle_of(view, [visit for number in order for visit in carries[number].visits])
    period = order_period(carries_of(view, carries), order)
    assert (None if cycle is None else cycle.period_steps) == (None if period is None else ceil(period))

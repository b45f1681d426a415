"""Cycles three ways: closed forms, the search over orders, and a robot simulated move by move."""

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.rows import Row, row_cell

ROUNDS = 120
GRID = 1000  # steps a second


def simulated_period(row: Row, order: Sequence[int]) -> Fraction:
    """One hand that carries part after part in a fixed order, each as soon as it can: its mean period, in seconds.

    Carry j lifts at machine j (0 is the supply) and sets down at machine j + 1. The first rounds carry nothing where
    nothing lies yet; counted are whole rounds long after.
    """
    count = len(row.times_s)
    ready = [Fraction(0)] * (count + 2)  # when the part at each machine is done
    at, now, ends = 0, Fraction(0), []
    hold = Fraction(row.hold_s)

    def way(a: int, b: int) -> Fraction:
        return Fraction(row.step_s) * (min(1, abs(a - b)) if row.constant else abs(a - b))

    for _ in range(2 * ROUNDS):
        for carry in order:
            now += way(at, carry)
            if carry:
                now = max(now, ready[carry])
            now += hold + way(carry, carry + 1) + hold
            at = carry + 1
            if at <= count:
                ready[at] = now + Fraction(row.times_s[at - 1])
        ends.append(now)
    return (ends[-1] - ends[-1 - ROUNDS]) / ROUNDS


@settings(max_examples=100)
@given(
    times=st.lists(st.integers(0, 60), min_size=1, max_size=4),
    hold=st.integers(1, 5),
    step=st.integers(0, 6),
    constant=st.booleans(),
    data=st.data(),
)
def test_any_order_played_move_by_move_has_the_period_of_its_graph(
    times: list[int], hold: int, step: int, constant: bool, data: st.DataObject
) -> None:
    """The event graph of an order and the robot that simply carries on give one period."""
    order = [0, *data.draw(st.permutations(range(1, len(times) + 1)))]
    names = ["i", *(f"m{number + 1}" for number in range(len(times)))]
    row = Row(times_s=times, hold_s=hold, step_s=step, constant=constant, order=tuple(names[each] for each in order))

    found = schedule(row_cell(row))

    assert Fraction(found.period_steps, GRID) == simulated_period(row, order)


@settings(max_examples=100)
@given(
    times=st.lists(st.integers(0, 60), min_size=1, max_size=4),
    hold=st.integers(1, 5),
    step=st.integers(0, 6),
    constant=st.booleans(),
)
def test_the_best_cycle_is_never_below_the_load_bound(times: list[int], hold: int, step: int, constant: bool) -> None:
    """No order, not even the best of all, beats the load of the busiest resource."""
    cell = row_cell(Row(times_s=times, hold_s=hold, step_s=step, constant=constant))
    found = schedule(cell)

    assert found.proven
    assert found.period_steps >= cycle_bound_steps(cell) - 1e-6


@settings(max_examples=100)
@given(first=st.integers(0, 60), second=st.integers(0, 60), hold=st.integers(1, 5), step=st.integers(0, 6))
def test_two_machines_in_series_match_the_closed_form(first: int, second: int, hold: int, step: int) -> None:
    """The two cycles of two machines, after sethi1992: one waits at each machine, the other goes round."""
    found = schedule(row_cell(Row(times_s=(first, second), hold_s=hold, step_s=step)))

    wait_at_both = 6 * hold + 6 * step + first + second
    go_round = 6 * hold + 8 * step + max(0, first - (2 * hold + 4 * step), second - (2 * hold + 4 * step))
    assert found.period_steps == GRID * min(wait_at_both, go_round)


@settings(max_examples=100)
@given(
    times=st.lists(st.integers(0, 60), min_size=1, max_size=5),
    hold=st.integers(1, 5),
    step=st.integers(0, 6),
    turn=st.integers(0, 3),
)
def test_two_grippers_in_series_match_the_closed_form(times: list[int], hold: int, step: int, turn: int) -> None:
    """With an exchange at each machine the slower of the busiest machine and the whole tour sets the period."""
    cell = row_cell(Row(times_s=times, hold_s=hold, step_s=step, hands=2, turn_s=turn))
    found = schedule(cell)

    count = len(times)
    tour = 2 * (count + 1) * step + 2 * hold + count * (2 * hold + turn)
    exchange = max(tour, max(times) + 2 * hold + turn)
    one_hand = schedule(row_cell(Row(times_s=times, hold_s=hold, step_s=step)))
    assert found.period_steps == min(GRID * exchange, one_hand.period_steps)


@settings(max_examples=40)
@given(
    count=st.integers(1, 7),
    time=st.integers(0, 200),
    hold=st.integers(1, 5),
    way=st.integers(0, 6),
    turn=st.integers(0, 3),
)
def test_machines_side_by_side_match_the_closed_form_of_two_grippers(
    count: int, time: int, hold: int, way: int, turn: int
) -> None:
    """n machines, one way between any two places: a part needs the exchange, two holds and three ways of the arm."""
    cell = row_cell(Row(times_s=(time,), machines=count, hold_s=hold, step_s=way, constant=True, hands=2, turn_s=turn))
    found = schedule(cell)

    exchange = 2 * hold + turn
    wanted = max(time + exchange, count * (exchange + 2 * hold + 3 * way))
    assert found.parts_per_period == count
    assert found.period_steps <= GRID * wanted
    if time + exchange == wanted:
        assert found.period_steps == GRID * wanted


@pytest.mark.parametrize("count", [2, 3])
@settings(max_examples=15)
@given(time=st.integers(0, 120), hold=st.integers(1, 4), step=st.integers(0, 4))
def test_pure_cycles_are_at_most_the_serve_and_reload_cycle(count: int, time: int, hold: int, step: int) -> None:
    """Emptying and refilling one machine after the other is one of the cycles that are looked at."""
    found = schedule(row_cell(Row(times_s=(time,), machines=count, hold_s=hold, step_s=step)))

    empty_and_refill = count * 4 * hold + 2 * count * (count + 1) * step + 2 * (count - 1) * step
    reload = 4 * hold + 2 * (count + 1) * step + time
    assert found.proven
    assert found.period_steps <= GRID * max(empty_and_refill, reload)

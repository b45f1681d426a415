"""Least travel: against every order that one hand can go."""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.solvers.cycle.bounds import closed_to, load_of
from millhand.solvers.cycle.loads.travel import Own, least_travel_steps
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.tours.orders import carries_of
from millhand.solvers.cycle.tours.rounds import carry_rounds
from tests.solvers.cycle.rows import Row, row_cell


def least(row: Row, *, busy_else: bool = False) -> float:
    """The least travel of the one arm of a row, in grid steps."""
    cell = row_cell(row)
    load = load_of(cell, steady(cell), plain=True)
    own = Own(
        mover=load.view.movers["arm"],
        hops=load.flow.hops,
        busy_else=busy_else,
        closed=closed_to(load, load.flow.hops),
    )
    return least_travel_steps(load.view, own)


@settings(max_examples=60)
@given(st.lists(st.integers(0, 30), min_size=1, max_size=4), st.integers(0, 6), st.booleans())
def test_no_order_of_carries_travels_less(times: list[int], step: int, constant: bool) -> None:
    """Loaded ways, empty ways and waiting for the part just set down: every order needs at least the bound."""
    row = Row(times_s=times, step_s=step, constant=constant, hold_s=0)
    view = steady(row_cell(row))
    model = carries_of(view, sorted(carry_rounds(view) or [], key=lambda carry: carry.pick.step))

    def round_steps(order: tuple[int, ...]) -> int:
        following = (*order[1:], order[0])
        waits = sum(1000 * times[a] for a, b in zip(order, following, strict=True) if b == a + 1 and a < len(times))
        return sum(model.durations) + sum(model.ways[a][b] for a, b in zip(order, following, strict=True)) + waits

    assert least(row) <= min(round_steps((0, *rest)) for rest in permutations(range(1, model.count)))


def test_three_machines_by_hand() -> None:
    """Short processes on a line: 8 s loaded; wait 3 s at m1, then 2, 4 and 6 s of empty ways: 23 s."""
    assert least(Row(times_s=(3, 4, 5))) == 23_000


def test_who_has_other_work_need_not_wait() -> None:
    """An arm with duties may do them instead of waiting, so only ways count."""
    assert least(Row(times_s=(3, 4, 5)), busy_else=True) < 23_000


def test_two_hands_share_the_ways() -> None:
    """Machine and supply 2 s apart, outfeed 2 s on: 4 s for the raw part and back, and half a detour of 4 s."""
    assert least(Row(times_s=(60,), hands=2)) == 6_000

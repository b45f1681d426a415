"""The best cycle two ways: the constraint program from nothing, and every order looked at."""

from collections.abc import Iterator, Sequence
from itertools import permutations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.model.cell import Cell
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import jobs_of
from millhand.solvers.cycle.searching.search import Answer, Span, searched, serial_steps, solved
from millhand.solvers.cycle.tours.orders import best_order, carries_of
from millhand.solvers.cycle.tours.rounds import carry_rounds
from millhand.solvers.cycle.tours.tour import Stay, cycle_of, held_over
from millhand.solvers.cycle.view import Steady
from tests.solvers.cycle.rows import Row, row_cell

UNIT = 1000  # the grid steps in one second, of which all times here are whole numbers


def from_nothing(view: Steady) -> Answer:
    """The best one-unit cycle, with no bound and no cycle known before."""
    everything = Span(least=1, longest=serial_steps(view, 1))
    return searched(view, jobs_of(view, 1), everything, Effort(deterministic=20.0))


@settings(max_examples=40, deadline=None)
@given(
    times=st.lists(st.integers(0, 40), min_size=1, max_size=4),
    room=st.lists(st.one_of(st.none(), st.integers(0, 25)), min_size=4, max_size=4),
    hold=st.integers(1, 4),
    step=st.integers(0, 6),
)
def test_one_hand_agrees_with_every_order(times: list[int], room: list[int | None], hold: int, step: int) -> None:
    """With and without windows, the period is that of the search over all orders of the carries."""
    longest = [None if more is None else time + more for time, more in zip(times, room, strict=False)]
    view = scope(row_cell(Row(times_s=times, hold_s=hold, step_s=step, longest_s=longest)))
    carries = carry_rounds(view)
    assert carries is not None
    every = best_order(carries_of(view, carries), floor_steps=1, limit=1_000_000)
    found = from_nothing(view)

    assert found.complete
    assert found.cycle is not None
    assert found.cycle.period_steps == every.period_steps


def tours(cell: Cell) -> Iterator[tuple[Stay, ...]]:
    """Every order of lifts and set-downs of one part a period, with an exchange at each machine or not."""
    names = list(cell.stations)
    machines = [name for name in names if name not in ("i", "o")]
    route = ["i", *machines, "o"]

    def stay(kind: str, name: str) -> Stay:
        return Stay(who="arm", kind=kind, station=name, part="part", step=route.index(name))  # type: ignore[arg-type]

    for swapped in product((True, False), repeat=len(machines)):
        rest = [stay("place", "o")]
        for name, exchanged in zip(machines, swapped, strict=True):
            rest += [stay("swap", name)] if exchanged else [stay("pick", name), stay("place", name)]
        for order in permutations(rest):
            yield (stay("pick", "i"), *order)


def fits(tour: Sequence[Stay]) -> bool:
    """Whether two hands are enough: an exchange needs a free one, and one is kept free of raw parts for it."""
    load, last = held_over(tour, "arm"), max(visit.step for visit in tour)
    raw = 0
    for visit in (*tour, *tour):  # the first time round it becomes known what is in hand
        load += {"pick": 1, "place": -1, "swap": 0}[visit.kind]
        if load + (visit.kind == "swap") > 2 or load < 0:
            return False
        lifts, sets = visit.kind != "place", visit.kind != "pick"
        raw = max(0, raw + (lifts and visit.step < last - 1) - (sets and visit.step < last))
        if raw > 1:
            return False
    return True


@settings(max_examples=25, deadline=None)
@given(
    times=st.lists(st.integers(0, 30), min_size=1, max_size=2),
    hold=st.integers(1, 4),
    step=st.integers(0, 6),
    turn=st.integers(0, 3),
    constant=st.booleans(),
)
def test_two_hands_agree_with_every_order(times: list[int], hold: int, step: int, turn: int, constant: bool) -> None:
    """No order of lifts, set-downs and exchanges that two hands can do is shorter, and the one found is among them."""
    cell = row_cell(Row(times_s=times, hold_s=hold, step_s=step, hands=2, turn_s=turn, constant=constant))
    view = scope(cell)
    periods = [cycle.period_steps for tour in tours(cell) if fits(tour) and (cycle := cycle_of(view, tour))]
    found = from_nothing(view)

    assert found.complete
    assert found.cycle is not None
    assert found.cycle.period_steps == min(periods)


@settings(max_examples=20, deadline=None)
@given(time=st.integers(1, 40), step=st.integers(1, 6))
def test_handling_that_takes_no_time_is_no_exchange(time: int, step: int) -> None:
    """One hand and one machine: away with the part, to the supply and back, with two parts a period as with one."""
    view = scope(row_cell(Row(times_s=(time,), hold_s=0, step_s=step)))
    everything = Span(least=1, longest=serial_steps(view, 2))
    found = solved(view, jobs_of(view, 2), everything, Effort(deterministic=20.0), UNIT)

    assert found.complete
    assert found.cycle is not None
    assert found.cycle.period_steps == 2 * UNIT * (time + 4 * step)

"""Bounds of lots in a row of machines: heads and tails of one machine, and the best order where nobody can pass."""

from itertools import permutations
from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.lots.makespan_heads import head_bounds, longest_of
from millhand.solvers.cycle.lots.makespan_line import Line, earliest, line_bounds, queues_of, row_of
from millhand.solvers.cycle.lots.makespan_lots import Lots, lots_of
from millhand.solvers.cycle.makespan import least_steps, makespan_bounds
from tests.agreement.test_makespan_exhaustive import shortest
from tests.small_lots import lots_in_a_row, small_lots
from tests.solvers.kernel.shop import Form, arm_cell

SEEDS = (*range(30), 375)  # range(1500) by hand; 375: bringing a part on the way is the quickest way back


def row_cell(times_s: list[list[int]], *, size: int, hands: int = 1, supplies: int = 1) -> Lots:
    """Part types of so many parts each through machines in a row: holds of 5 s, ways of 4 s; the types come from one
    supply, lot after lot, or from one each."""
    form: Form = arm_cell(len(times_s[0]), hands=hands) | {"goal": "makespan", "grid_s": 1}
    form["parts"] = {}
    for number, times in enumerate(times_s):
        raw = f"raw{number + 1}" if supplies > 1 and number else "raw"
        form["stations"][raw] = form["stations"]["raw"]
        form["handling"][0]["at"] = [name for name in form["stations"] if name.startswith("raw")]
        steps = [{"at": [f"m{at + 1}"], "time_s": time} for at, time in enumerate(times)]
        route = [{"at": [raw]}, *steps, {"at": ["done"]}]
        form["parts"][f"part{number + 1}"] = {"lot": {"size": size}, "route": route}
    return lots_of(cell_from(form))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_is_shorter_than_the_bounds(seed: int) -> None:
    """Every sequence of visits looked at, in random rows and in cells with choices, with one gripper."""
    for form in (lots_in_a_row(seed), small_lots(seed)):
        cell = cell_from(form)
        assert least_steps(lots_of(cell)) <= shortest(cell)


@pytest.mark.parametrize("seed", range(4))
def test_no_plan_with_two_grippers_is_shorter_either(seed: int) -> None:
    """The same with exchanges."""
    cell = cell_from(lots_in_a_row(seed, hands=2))

    assert max(bound.steps for bound in head_bounds(lots_of(cell))) <= shortest(cell)


@pytest.mark.parametrize("seed", range(8))
def test_supplies_of_their_own_may_begin_in_any_order(seed: int) -> None:
    """The bound over all orders is the least of the bounds of each order alone."""
    dice = Random(seed)
    lots = row_cell([[dice.randint(5, 90) for _ in range(3)] for _ in range(3)], size=2, supplies=3)
    queues = queues_of(lots)
    kinds = dict.fromkeys(permutations([0, 0, 1, 1, 2, 2]))
    given = [[queues[kind][order[:at].count(kind)] for at, kind in enumerate(order)] for order in kinds]

    assert [len(queue) for queue in queues] == [2, 2, 2]
    least, order = Line(lots=lots, queues=queues).best()
    assert least == min(Line(lots=lots, queues=[each]).best()[0] for each in given)
    assert Line(lots=lots, queues=[list(order)]).best() == (least, order)


def test_a_row_that_is_slow_in_front_for_one_lot_and_at_the_end_for_the_other() -> None:
    """Two parts of 10 s, 100 s, then two of 100 s, 10 s. Each is lifted, brought (4 s) and set down, 14 s a ride.

    The first is in m1 at 14 s, done at 24, in m2 at 38, done at 138. The second may not leave m1 before m2 is empty:
    the arm brings the first one out, 152, goes back to m1, 156, and to m2, 170: done at 270. The third was set down in
    m1 after that ride: back to the supply 174, in m1 at 188, done at 288. Meanwhile the second has gone out, 284. Third
    to m2 at 302, done 312, out 326; the fourth is in m1 at 320 at best (back from m2 4, ride 14), done at 420, in m2
    434, done 444, out 458.
    """
    lots = row_cell([[10, 100], [100, 10]], size=2)
    (bound,) = line_bounds(lots)

    assert (bound.resource, bound.steps) == ("m1 and m2", 458)
    assert row_of(lots) == ("m1", "m2")


def test_a_row_where_parts_could_pass_has_no_such_bound() -> None:
    """Two hands may hold one part while another one goes by; two machines of a step may be left in any order."""
    two_hands = row_cell([[10, 100], [100, 10]], size=2, hands=2)
    choice = lots_of(cell_from(small_lots(0) | {"parts": {"part": {"lot": {"size": 2}, "route": [
        {"at": ["raw"]}, {"at": ["m1", "m2"], "time_s": 10}, {"at": ["done"]}]}}}))  # fmt: skip

    assert row_of(two_hands) == row_of(choice) == ()
    assert list(line_bounds(two_hands)) == []


def test_a_machine_goes_on_with_the_part_that_has_most_before_it() -> None:
    """Work of 4 that comes at 0 and leaves after 1 is put aside at 2 for work of 3 that leaves after 10: out at 15."""
    assert longest_of([(0, 4, 1), (2, 3, 10)]) == 15
    assert longest_of([(5, 2, 0)]) == 7
    assert longest_of([(0, 1, 0), (10, 1, 3)]) == 14


def test_of_too_many_beginnings_the_earliest_of_each_time_is_kept() -> None:
    """A bound stays a bound: no beginning is earlier anywhere than what is kept."""
    many = [((at, 100 - at), (at,)) for at in range(60)]

    assert earliest([((1, 5), (0,)), ((2, 2), (1,)), ((3, 3), (2,))]) == [((1, 5), (0,)), ((2, 2), (1,))]
    assert earliest(many) == [((0, 41), (0,))]


def test_two_grippers_wait_for_what_comes_late() -> None:
    """Six of 138 s, 79 s and then six of 127 s, 143 s: the second machine cannot begin with the last six before the
    first has done them one after the other. That the arm alone makes all transfers is less."""
    lots = row_cell([[138, 79], [127, 143]], size=6, hands=2)
    steps = {bound.resource: bound.steps for bound in makespan_bounds(lots)}

    assert steps["m2"] == max(steps.values())
    assert steps["m2"] > steps["arm"]

"""The least period of an event graph, exact."""

from fractions import Fraction
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from millhand.solvers.cycle.tours.graph import Lag, comes_before_itself, least_period


def test_one_circuit_gives_lags_over_laps() -> None:
    """Three arcs, 30 steps in two laps: a period of 15."""
    least = least_period(3, [(0, 1, 10, 0), (1, 2, 12, 1), (2, 0, 8, 1)])

    assert least.value == 15
    assert sorted(least.circuit) == [0, 1, 2]


def test_a_period_may_be_a_fraction() -> None:
    """A circuit of 7 steps over three laps gives 7/3, not a rounded number."""
    assert least_period(2, [(0, 1, 3, 1), (1, 0, 4, 2)]).value == Fraction(7, 3)


def test_the_worst_circuit_counts() -> None:
    """Of two circuits through one event the slower sets the period, and is named."""
    least = least_period(3, [(0, 1, 5, 0), (1, 0, 5, 1), (1, 2, 6, 0), (2, 1, 7, 1)])

    assert least.value == 13
    assert set(least.circuit) == {1, 2}


def test_the_times_keep_every_arc() -> None:
    """At the least period the earliest times leave no arc broken."""
    arcs = [(0, 1, 5, 0), (1, 0, 5, 1), (1, 2, 6, 0), (2, 1, 7, 1), (0, 2, 1, 0)]
    least = least_period(3, arcs)

    assert least.value is not None
    assert all(least.times[b] >= least.times[a] + lag - laps * least.value for a, b, lag, laps in arcs)


def test_a_window_that_no_period_keeps_is_found() -> None:
    """At least 10 steps and at most 8 between two events: no period helps."""
    least = least_period(2, [(0, 1, 10, 0), (1, 0, -8, 0), (1, 0, 0, 1)])

    assert least.value is None
    assert set(least.circuit) == {0, 1}


def test_a_window_over_the_end_of_the_period_bounds_it_from_above() -> None:
    """The stay is period - 20; at most 15 means a period of at most 35, and the tour needs 40: nothing is left."""
    arcs = [(0, 1, 20, 0), (1, 0, 20, 1), (0, 1, -15, -1)]

    assert least_period(2, arcs).value is None
    assert least_period(2, [*arcs[:2], (0, 1, -20, -1)]).value == 40


def test_a_floor_is_kept() -> None:
    """A period known to be needed is not undercut."""
    assert least_period(2, [(0, 1, 3, 0), (1, 0, 3, 1)], floor=Fraction(9)).value == 9


def simple_circuit_ratios(count: int, arcs: list[Lag]) -> list[Fraction]:
    """The ratios of all circuits, by looking at every sequence of nodes; laps here are all above zero."""
    best: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for a, b, lag, laps in arcs:
        best.setdefault((a, b), []).append((lag, laps))
    found = []
    for size in range(1, count + 1):
        for nodes in permutations(range(count), size):
            sums = [(0, 0)]
            for pair in zip(nodes, (*nodes[1:], nodes[0]), strict=True):
                sums = [(lag + more, laps + over) for lag, laps in sums for more, over in best.get(pair, [])]
            found += [Fraction(lag, laps) for lag, laps in sums]
    return found


@given(st.data())
def test_agrees_with_every_circuit_of_small_graphs(data: st.DataObject) -> None:
    """Against enumeration of all circuits: the largest ratio, to the last digit."""
    count = data.draw(st.integers(2, 4))
    node = st.integers(0, count - 1)
    arcs = data.draw(st.lists(st.tuples(node, node, st.integers(0, 30), st.integers(1, 3)), min_size=1, max_size=7))
    ratios = simple_circuit_ratios(count, arcs)

    assert least_period(count, arcs).value == max(ratios, default=Fraction(0))


def test_what_has_to_come_before_itself_at_one_moment_is_found() -> None:
    """Three at one moment, each before the next: no order keeps them, however the laps are counted."""
    circle = [(0, 1, 0, 0), (1, 2, 0, 1), (2, 0, 0, -1)]

    assert comes_before_itself(circle, (0, 0, -10), 10)
    assert not comes_before_itself(circle[:2], (0, 0, -10), 10)
    assert not comes_before_itself(circle, (0, 3, -7), 10)


def test_two_that_wait_for_each_other_are_one() -> None:
    """Both ends of something that takes no time; but nothing comes between the two."""
    both = [(0, 1, 0, 0), (1, 0, 0, 0)]

    assert not comes_before_itself([*both, (1, 2, 0, 0)], (0, 0, 0), 10)
    assert comes_before_itself([*both, (1, 2, 0, 0), (2, 0, 0, 0)], (0, 0, 0), 10)

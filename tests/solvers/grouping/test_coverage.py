"""Means bought one after the other: by hand, against all choices, and what must hold for any list."""

import random
from collections.abc import Sequence
from itertools import combinations

import pytest

from millhand.solvers.grouping.coverage import Need, gathered, greedy, weight_with

SEEDS = range(30)


def need(means: str, weight: float) -> Need:
    """Things that need the means of these letters."""
    return Need(frozenset(means), weight)


def best(needs: Sequence[Need], count: int) -> float:
    """The most that so many means cover, by trying all sets."""
    every = sorted(set().union(*(each.means for each in needs)))
    return max(weight_with(needs, frozenset(each)) for each in combinations(every, min(count, len(every))))


def some(seed: int) -> list[Need]:
    """A dozen families that each need one of four sets of fingers (capitals), most of them one of five inserts too."""
    chance = random.Random(seed)
    weights: dict[frozenset[str], float] = {}
    for _ in range(12):
        key = frozenset(chance.choice("ABCD") + chance.choice("vwxyz ")) - {" "}
        weights[key] = weights.get(key, 0.0) + chance.randrange(1, 20)
    return list(gathered(weights))


def test_a_curve_by_hand() -> None:
    """A and x alone bring nothing: both are bought for 6 each; then y for 8, then B with x already there for 5."""
    needs = [need("Ax", 12.0), need("Ay", 8.0), need("Bx", 5.0), need("Bz", 1.0)]

    steps = list(greedy(needs))

    assert [step.added for step in steps] == [("A", "x"), ("y",), ("B",), ("z",)]
    assert [step.covered for step in steps] == [12.0, 20.0, 25.0, 26.0]


def test_of_equal_gains_fewer_means_come_first_and_then_names() -> None:
    """A single set that brings as much for one as a pair does comes before it."""
    assert [step.added for step in greedy([need("Bx", 8.0), need("A", 4.0), need("C", 4.0)])] == [
        ("A",),
        ("C",),
        ("B", "x"),
    ]


def test_what_needs_nothing_is_covered_from_the_start() -> None:
    """Cups on a belt have neither fingers nor inserts: there is nothing to buy."""
    assert list(greedy([Need(frozenset(), 5.0)])) == []
    assert weight_with([Need(frozenset(), 5.0)], frozenset()) == 5.0


@pytest.mark.parametrize("seed", SEEDS)
def test_more_means_never_cover_less_and_all_cover_everything(seed: int) -> None:
    """Along the curve; and each of the means is bought once."""
    needs = some(seed)
    steps = list(greedy(needs))

    covered = [step.covered for step in steps]
    added = [name for step in steps for name in step.added]
    assert covered == sorted(covered)
    assert covered[-1] == sum(each.weight for each in needs)
    assert sorted(added) == sorted(set().union(*(each.means for each in needs)))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_curve_stays_below_the_best_set_and_near_it(seed: int) -> None:
    """At each step no more than the best set of as many means; on the whole curve at least three quarters of it."""
    needs, had = some(seed), 0
    own = reached = 0.0
    for step in greedy(needs):
        had += len(step.added)
        most = best(needs, had)
        assert step.covered <= most
        own, reached = own + step.covered, reached + most

    assert own >= 0.75 * reached

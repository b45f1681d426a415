"""Which jobs first: the solver's choice and order against every other one."""

import itertools
import math
import random

import pytest

from millhand.solvers.selecting.best_set import Item, best_order, best_set


def every_set(jobs: list[list[Item]]) -> list[tuple[int | None, ...]]:
    """All choices of at most one option a job."""
    return list(itertools.product(*([None, *range(len(options))] for options in jobs)))


def worth(jobs: list[list[Item]], chosen: tuple[int | None, ...]) -> float:
    """Worth of a choice."""
    return sum(options[at].worth for options, at in zip(jobs, chosen, strict=True) if at is not None)


def taken(jobs: list[list[Item]], chosen: tuple[int | None, ...], place: int) -> float:
    """What a choice takes of one limit."""
    return sum(options[at].takes[place] for options, at in zip(jobs, chosen, strict=True) if at is not None)


@pytest.mark.parametrize("seed", range(12))
def test_no_other_set_within_the_limits_is_worth_more(seed: int) -> None:
    """Four jobs with up to three options each, a budget and somebody's hours, against all sets."""
    chance = random.Random(seed)
    jobs = [
        [Item(1e3 * chance.uniform(-50, 400), (1e3 * chance.uniform(5, 300), chance.uniform(10, 500)))
         for _ in range(chance.randint(1, 3))]
        for _ in range(4)
    ]  # fmt: skip
    limits = (chance.uniform(100, 600) * 1e3, chance.uniform(200, 900))
    found = best_set(jobs, limits)
    allowed = [each for each in every_set(jobs) if all(taken(jobs, each, n) <= limits[n] for n in (0, 1))]

    assert all(taken(jobs, found, place) <= limits[place] for place in (0, 1))
    assert worth(jobs, found) == pytest.approx(max(worth(jobs, each) for each in allowed), abs=0.05)


def test_without_limits_each_job_is_done_in_its_best_way() -> None:
    """And what is worth nothing is left alone."""
    jobs = [[Item(5.0, (9.0,)), Item(7.0, (90.0,))], [Item(-1.0, (1.0,))], []]

    assert best_set(jobs, (math.inf,)) == (1, None, None)


def test_of_equal_worth_the_cheaper_one_is_taken() -> None:
    """Two ways of the same worth."""
    assert best_set([[Item(7.0, (90.0,)), Item(7.0, (9.0,))]], (100.0,)) == (1,)


@pytest.mark.parametrize("rate", [0.0, 0.05, 0.3])
@pytest.mark.parametrize("seed", range(4))
def test_no_other_order_is_worth_more(seed: int, rate: float) -> None:
    """Five jobs in all 120 orders, each worth discounted until its job is done."""
    chance = random.Random(seed)
    jobs = [(chance.uniform(10, 400), chance.uniform(0.5, 8)) for _ in range(5)]

    def in_order(order: tuple[int, ...]) -> float:
        month, total = 0.0, 0.0
        for place in order:
            month += jobs[place][1]
            total += jobs[place][0] * math.pow(1.0 + rate, -month / 12.0) if rate else -jobs[place][0] * month
        return total

    best = max(in_order(order) for order in itertools.permutations(range(5)))
    assert in_order(best_order(jobs, rate=rate)) == pytest.approx(best)

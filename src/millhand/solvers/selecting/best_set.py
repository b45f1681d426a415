"""The best set of options, one at most of each job, within limits: an exact choice by a solver for whole numbers."""

import math
from collections.abc import Sequence
from typing import NamedTuple

SCALE = 100.0  # the solver counts hundredths of a unit of money, and of an hour


class Item(NamedTuple):
    """One option: what it is worth, and what it takes of each limit."""

    worth: float
    takes: tuple[float, ...]


def best_set(jobs: Sequence[Sequence[Item]], limits: Sequence[float]) -> tuple[int | None, ...]:
    """For each job the index of the option that is chosen, or None: the greatest worth in all that keeps each limit.

    Options of no worth are never chosen. Infinite limits bind nothing. Of sets of equal worth the cheapest by the first
    limit is taken. Exact to a hundredth of a unit.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    picks = [
        [model.new_bool_var(f"{job}.{index}") for index in range(len(options))] for job, options in enumerate(jobs)
    ]
    for row in picks:
        model.add_at_most_one(row)
    flat = [
        (pick, item) for row, options in zip(picks, jobs, strict=True) for pick, item in zip(row, options, strict=True)
    ]
    for place, limit in enumerate(limits):
        if limit != float("inf"):
            terms = (_up(item.takes[place]) * pick for pick, item in flat)
            model.add(sum(terms) <= int(limit * SCALE))
    for pick, item in flat:
        if item.worth <= 0.0:
            model.add(pick == 0)
    dear = 1 + sum(_up(item.takes[0]) for _, item in flat)
    model.maximize(sum((round(item.worth * SCALE) * dear - _up(item.takes[0])) * pick for pick, item in flat))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # it would leave an interrupt to end the process without a word
    solver.solve(model)
    return tuple(next((index for index, pick in enumerate(row) if solver.value(pick)), None) for row in picks)


def _up(amount: float) -> int:
    """Hundredths from 0 up, rounded up, so that no limit is passed by rounding."""
    return max(0, -int(-amount * SCALE // 1))


def best_order(jobs: Sequence[tuple[float, float]], *, rate: float) -> tuple[int, ...]:
    """The order of jobs (worth when it is done, months of one person) with the greatest worth in all.

    One job after the other; a worth is discounted at the yearly rate until its job is done. Exact for any number of
    jobs: by exchange of neighbours the one with the greater worth x d / (1 - d) goes first, d being the discount over
    its own months (Rothkopf 1966). Jobs that take no time go first.
    """

    def index(place: int) -> tuple[bool, float]:
        worth, months = jobs[place]
        if months <= 0.0:
            return True, worth
        if rate == 0.0:
            return False, worth / months
        over = math.pow(1.0 + rate, -months / 12.0)
        return False, worth * over / (1.0 - over)

    return tuple(sorted(range(len(jobs)), key=index, reverse=True))

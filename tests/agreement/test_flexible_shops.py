"""Flexible job shops against every order of operations and every choice of machines, tried one by one.

Operations of a job may follow each other at one machine, and alike jobs may pass each other there.
"""

import random

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.flexible_shops import Form, Job, random_jobs, shop
from tests.solvers.cycle.lots_proof import is_checked

SEEDS = (*range(24), 34, 124)  # 34 and 124: alike jobs pass each other at one machine


def every_order(
    jobs: list[Job], done: tuple[int, ...], ready: tuple[int, ...], free: dict[int, int], least: int
) -> int:
    """The shortest makespan from here on, or `least` where no order is shorter."""
    if max(ready, default=0) >= least:
        return least
    open_jobs = [j for j, job in enumerate(jobs) if done[j] < len(job)]
    if not open_jobs:
        return max(ready, default=0)
    for j in open_jobs:
        for machine, time in jobs[j][done[j]].items():
            end = max(ready[j], free.get(machine, 0)) + time
            onward = ((*done[:j], done[j] + 1, *done[j + 1 :]), (*ready[:j], end, *ready[j + 1 :]))
            least = every_order(jobs, *onward, free | {machine: end}, least)
    return least


def drawn(seed: int) -> tuple[Form, list[Job]]:
    """A random shop; of some seeds the first job comes twice, or machines have a buffer behind too."""
    jobs, machines = random_jobs(random.Random(seed))
    form = shop(jobs, machines)
    if seed % 3 == 1 and len(jobs) == 2 and len(jobs[0]) <= 2:
        form["parts"]["job1"]["lot"]["size"] = 2
        jobs = [jobs[0], *jobs]
    if seed % 4 == 2:
        form["stations"] = {
            name: station | ({"out_queue": None} if station["kind"] == "process" else {})
            for name, station in form["stations"].items()
        }
    return form, jobs


@pytest.mark.parametrize("seed", SEEDS)
def test_no_order_is_shorter(seed: int) -> None:
    """What is found is proven, passes the validator, and is what all orders say."""
    form, jobs = drawn(seed)
    nought = (0,) * len(jobs)

    found = shortest_makespan(cell_from(form), deadline=None, deterministic=20.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (every_order(jobs, nought, nought, {}, 10**9), True)
    assert is_checked(found)

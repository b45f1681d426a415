"""Published flexible job shops: each operation at one of several machines, with times of their own. The proven makespan
is the published one, also where operations of one job follow each other at one machine."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.flexible_shops import Job, printed, shop
from tests.solvers.cycle.lots_proof import is_checked

# Three of the twenty of fattahi2007, in the form of the collections.
FIFTH_SMALL = """
2 2 0 43 1 36 2 0 64 1 71
2 2 0 34 1 53 2 0 36 1 21
2 2 0 21 1 35 2 0 43 1 37
"""
EIGHTH_SMALL = """
3 2 0 17 1 25 2 3 40 1 30 2 3 150 2 160
3 2 0 30 2 50 2 3 55 1 66 2 3 78 2 65
3 2 0 56 1 62 2 1 70 2 80 2 3 90 2 100
"""
FIRST_MEDIUM = """
3 3 0 147 1 123 2 145 2 3 140 1 130 2 3 150 4 160
3 2 0 214 2 150 2 2 87 1 66 2 4 178 5 95
3 2 0 87 1 62 2 2 180 3 105 3 3 190 4 100 5 153
3 2 0 87 1 65 1 4 173 2 3 145 5 136
3 3 1 123 2 145 0 128 3 2 86 3 65 4 47 2 4 110 5 85
"""

# Four jobs, five machines, every operation at each of them: times by machine, operations apart by commas.
FOUR_BY_FIVE = (
    "2 5 4 1 2, 5 4 5 7 5, 4 5 5 4 5",
    "2 5 4 7 8, 5 6 9 8 5, 4 5 4 54 5",
    "9 8 6 7 9, 6 1 2 5 4, 2 5 4 2 4, 4 5 2 1 5",
    "1 5 2 4 12, 5 1 2 1 2",
)


def proven_s(jobs: list[Job]) -> int:
    """The makespan that is proven, checked by the validator."""
    machines = max(machine for job in jobs for choice in job for machine in choice)
    found = shortest_makespan(cell_from(shop(jobs, machines)), deadline=None, deterministic=60.0, workers=1, seed=1)
    assert found.proven
    assert is_checked(found)
    return found.period_steps


@pytest.mark.parametrize(
    ("rows", "published"),
    [(FIFTH_SMALL, 119), (EIGHTH_SMALL, 253), (FIRST_MEDIUM, 468)],
    ids=["fifth small one", "eighth small one", "first medium one"],
)
def test_two_and_three_operations(rows: str, published: int) -> None:
    """fattahi2007, small problems 5 and 8, medium problem 1: 119, 253 and 468."""
    assert proven_s(printed(rows)) == published


def test_four_jobs_on_five_machines() -> None:
    """kacem2002, four jobs of twelve operations: 11."""
    rows = [[operation.split() for operation in job.split(",")] for job in FOUR_BY_FIVE]
    jobs = [[{at: int(time) for at, time in enumerate(times, start=1)} for times in job] for job in rows]

    assert proven_s(jobs) == 11

"""Least assignment: against every permutation."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.solvers.cycle.loads.assignment import assignment_prices


@given(
    st.integers(1, 5).flatmap(
        lambda n: st.lists(st.lists(st.integers(0, 50), min_size=n, max_size=n), min_size=n, max_size=n)
    )
)
def test_prices_sum_to_the_least_assignment(cost: list[list[int]]) -> None:
    """The prices fit under every cost and add up to the cheapest permutation."""
    rows, columns = assignment_prices(cost)
    count = len(cost)

    assert all(rows[i] + columns[j] <= cost[i][j] + 1e-9 for i in range(count) for j in range(count))
    best = min(sum(cost[i][order[i]] for i in range(count)) for order in permutations(range(count)))
    assert sum(rows) + sum(columns) == pytest.approx(best)

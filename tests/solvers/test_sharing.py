"""What several changes do together is shared out as its definition says."""

import math
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.solvers.sharing import Figures, all_orders, first_and_last

NAMES = ["a", "b", "c", "d"]


def by_orders(worth: dict[frozenset[str], float]) -> dict[str, float]:
    """What each change adds, in the mean over every order written out."""
    sums = dict.fromkeys(NAMES, 0.0)
    orders = list(permutations(NAMES))
    for order in orders:
        for place, name in enumerate(order):
            sums[name] += worth[frozenset(order[: place + 1])] - worth[frozenset(order[:place])]
    return {name: each / len(orders) for name, each in sums.items()}


def tables() -> st.SearchStrategy[dict[frozenset[str], float]]:
    """A worth for every set of the four changes."""
    sets = [frozenset(name for bit, name in enumerate(NAMES) if number >> bit & 1) for number in range(16)]
    numbers = st.lists(st.floats(-1e6, 1e6), min_size=16, max_size=16)
    return numbers.map(lambda found: dict(zip(sets, found, strict=True)))


@given(table=tables())
def test_the_mean_over_all_orders_is_that_of_the_orders_written_out(table: dict[frozenset[str], float]) -> None:
    """Twenty-four orders one by one; the shares add up to what all changes do."""
    found = all_orders(NAMES, lambda made: (table[made],))

    for name, each in by_orders(table).items():
        assert found[name][0] == pytest.approx(each, abs=1e-6)
    whole = table[frozenset(NAMES)] - table[frozenset()]
    assert math.fsum(each[0] for each in found.values()) == pytest.approx(whole, abs=1e-6)


def test_a_product_is_shared_as_on_paper() -> None:
    """From 2 x 3 to 5 x 7: the first factor brings 3 x 5, the second 4 x 3.5; a third of no matter brings nothing."""

    def worth(made: frozenset[str]) -> Figures:
        one, other = (5.0 if "a" in made else 2.0), (7.0 if "b" in made else 3.0)
        return one * other, one

    found = all_orders(["a", "b", "c"], worth)
    assert found == {"a": pytest.approx((15.0, 3.0)), "b": pytest.approx((14.0, 0.0)), "c": (0.0, 0.0)}
    assert first_and_last(["a", "b"], worth) == {"a": (15.0, 3.0), "b": (14.0, 0.0)}


def test_of_many_changes_first_and_last_leave_what_three_do_together() -> None:
    """A product of three factors from 1 to 2: each 1 as the first and 4 as the last; two are left of the seven."""

    def worth(made: frozenset[str]) -> Figures:
        return (2.0 ** len(made),)

    found = first_and_last(["a", "b", "c"], worth)
    assert found == dict.fromkeys("abc", (2.5,))
    assert all_orders(["a", "b", "c"], worth) == {name: (pytest.approx(7.0 / 3.0),) for name in "abc"}


def test_what_never_comes_is_shared_out_to_nobody() -> None:
    """An infinite worth of one set makes every share of that figure no number, and leaves the other figure alone."""

    def worth(made: frozenset[str]) -> Figures:
        return math.inf if made == {"a"} else float(len(made)), float(len(made))

    for each in all_orders(["a", "b"], worth).values():
        assert not math.isfinite(each[0])
        assert each[1] == 1.0

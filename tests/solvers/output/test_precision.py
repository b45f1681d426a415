"""How many replications a precision takes, and the loop that runs them."""

import random
from collections.abc import Sequence

import pytest

from millhand.solvers.output.interval import half_width, mean_interval
from millhand.solvers.output.precision import replications_needed, until_precise, wanted_half_width


class Source:
    """Replications by number, as a simulation gives them, and a note of what was asked."""

    def __init__(self, spread: float, *, mean: float = 10.0) -> None:
        """Normal values of one mean and spread."""
        self.spread, self.mean = spread, mean
        self.asked: list[tuple[int, int]] = []

    def __call__(self, first: int, count: int) -> Sequence[float]:
        """Values of replications first, first + 1, ..."""
        self.asked.append((first, count))
        return [random.Random(number).gauss(self.mean, self.spread) for number in range(first, first + count)]


def test_replications_follow_each_other_without_a_gap() -> None:
    """Numbers count from 0, each batch begins where the one before ended, and none is larger than all before it."""
    source = Source(3.0)

    found = until_precise(source, precision=0.05, least=10, most=1000)

    assert source.asked[0] == (0, 10)
    for (first, count), (then, more) in zip(source.asked, source.asked[1:], strict=False):
        assert then == first + count
        assert more <= then
    assert len(found.values) == sum(source.asked[-1]) < 1000
    assert found.ended_by == "precision"
    assert found.half_width <= found.wanted
    assert found.values == tuple(Source(3.0)(0, len(found.values)))


def test_the_most_ends_it_and_is_said() -> None:
    """With ever so many replications lacking it stops at `most`, and says that the precision is not reached."""
    source = Source(50.0)

    found = until_precise(source, precision=0.01, least=5, most=33)

    assert (len(found.values), found.ended_by) == (33, "most")
    assert found.half_width > found.wanted


def test_a_precision_reached_with_the_last_replication_is_reached() -> None:
    """`most` is only named where the precision is missed."""
    enough = len(until_precise(Source(3.0), precision=0.05, least=10, most=1000).values)

    assert until_precise(Source(3.0), precision=0.05, least=enough, most=enough).ended_by == "precision"


def test_values_without_spread_are_taken_as_they_are() -> None:
    """A cell without chance needs its least replications only, also where it makes nothing."""
    for mean in (10.0, 0.0):
        found = until_precise(Source(0.0, mean=mean), precision=0.01, least=3, most=100)
        assert (len(found.values), found.half_width, found.ended_by) == (3, 0.0, "precision")


@pytest.mark.parametrize(("least", "most"), [(1, 10), (10, 9)])
def test_bounds_that_cannot_be_are_refused(least: int, most: int) -> None:
    """One replication has no spread, and least may not pass most."""
    with pytest.raises(ValueError, match=f"least is {least} and most is {most}; it takes 2 <= least <= most"):
        until_precise(Source(1.0), precision=0.1, least=least, most=most)


def test_needed_replications_are_never_fewer_than_there_are() -> None:
    """Enough is enough; of a mean of nothing that spreads no relative precision can be had."""
    values = Source(3.0)(0, 40)

    assert replications_needed(values, precision=5.0, relative=False) == 40
    assert replications_needed([-1.0, 1.0], precision=0.1, relative=True) is None


def test_an_error_within_the_adjusted_share_is_within_the_asked_one_of_the_truth() -> None:
    """With the truth at either end of an interval as wide as wanted, the error is at most a tenth of the truth."""
    half = wanted_half_width([11.0], precision=0.1, relative=True)

    assert half == pytest.approx(1.0)
    assert half / (11.0 - half) == pytest.approx(0.1)
    assert half / (11.0 + half) < 0.1
    assert wanted_half_width([11.0], precision=0.1, relative=False) == 0.1


def test_an_interval_of_differences_may_reach_below_nothing() -> None:
    """Unlike a count's; and one value alone has no spread."""
    figure = mean_interval([0.1, 0.2, 0.9])

    assert figure.low < 0.0 < figure.mean < figure.high
    assert figure.high - figure.mean == pytest.approx(figure.mean - figure.low)
    assert mean_interval([4.0]).low == mean_interval([4.0]).high == 4.0
    assert half_width([4.0]) == 0.0
    assert half_width([1.0, 2.0, 4.0], level=0.99) > half_width([1.0, 2.0, 4.0])

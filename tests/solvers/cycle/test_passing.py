"""Two motions on one track, against trajectories looked at at every breakpoint."""

from fractions import Fraction
from random import Random

import pytest

from millhand.solvers.cycle.rails.passing import Motion, exact_m, least_lag_by_order_steps, least_lag_steps, too_near


def position(motion: Motion, departs: int, when: Fraction) -> Fraction:
    """Where an attendant with one motion is at a time."""
    if when < departs or (when == departs and motion.steps):
        return motion.from_m
    if when >= departs + motion.steps:
        return motion.to_m
    return motion.from_m + (motion.to_m - motion.from_m) * (when - departs) / motion.steps


def keeps(first: Motion, second: Motion, lag: int, keep: Fraction) -> bool:
    """Whether the two keep their distance at every departure, every arrival, and at all tenths of a step between."""
    ends = max(first.steps, lag + second.steps) + 1
    times = [Fraction(tenth, 10) for tenth in range(10 * min(0, lag) - 10, 10 * ends + 1)]
    return not any(too_near(position(first, 0, t), position(second, lag, t), keep) for t in times)


def drawn(random: Random) -> tuple[Motion, Motion, Fraction]:
    """Two motions between places of half a metre, of any duration, and a distance to keep."""
    a, b, c, d = (Fraction(random.randint(0, 12), 2) for _ in range(4))
    first = Motion(from_m=a, to_m=b, steps=random.randint(1, 9))
    return first, Motion(from_m=c, to_m=d, steps=random.randint(1, 9)), exact_m(random.choice([0, 0.5, 0.7, 1.2]))


def test_the_least_lag_is_the_least_at_which_the_distance_is_kept() -> None:
    """Over thousands of pairs: with the lag and any larger one the distance is kept, with any smaller one it is not."""
    random, looked_at = Random(11), 0
    while looked_at < 2000:
        first, second, keep = drawn(random)
        if not too_near(first.from_m, second.to_m, keep):
            continue
        lag = least_lag_steps(first, second, keep)
        if lag is None:
            assert too_near(first.from_m, second.from_m, keep) or too_near(first.to_m, second.to_m, keep)
            continue
        looked_at += 1
        assert [keeps(first, second, lag + extra, keep) for extra in (0, 1, 7)] == [True] * 3
        assert [keeps(first, second, lag - less, keep) for less in (1, 2, 5)] == [False] * 3


def test_a_lag_may_be_negative() -> None:
    """Who comes from far may set out before the other, near and quick, has left."""
    first = Motion(from_m=exact_m(5), to_m=exact_m(0), steps=2)
    second = Motion(from_m=exact_m(20), to_m=exact_m(4), steps=16)

    assert least_lag_steps(first, second, exact_m(1)) == -14


def test_only_the_order_of_places_counts_where_it_is_written_so() -> None:
    """Under the rule `order` the second may set out as soon as the first does, whatever the speeds."""
    first = Motion(from_m=exact_m(5), to_m=exact_m(0), steps=50)
    second = Motion(from_m=exact_m(6), to_m=exact_m(4), steps=1)

    assert least_lag_by_order_steps(first, second, exact_m(0)) == 49
    assert least_lag_steps(first, second, exact_m(0)) == 9


@pytest.mark.parametrize(("metres", "exact"), [(0.1, Fraction(1, 10)), (3.9, Fraction(39, 10)), (2, Fraction(2))])
def test_metres_are_decimals(metres: float, exact: Fraction) -> None:
    """A position is what is written, not what a float makes of it."""
    assert exact_m(metres) == exact

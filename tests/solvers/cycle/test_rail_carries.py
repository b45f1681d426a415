"""Two carries on one track: which shifts between them cannot be, held against a look at every moment."""

from fractions import Fraction
from random import Random

import pytest

from millhand.solvers.cycle.rails.passing import Stretch, shifts_too_near
from millhand.solvers.cycle.rails.rail_carries import in_a_row

PARTS = 60  # of a step, so that every crossing of these speeds is looked at


def some_stretch(chance: Random) -> Stretch:
    """A motion or a stand between whole metres."""
    begins, lasts, from_m = chance.randint(-3, 3), chance.randint(1, 6), chance.randint(0, 5)
    to_m = from_m if chance.random() < 0.3 else chance.randint(0, 5)
    return Stretch(
        begins=begins, ends=begins + lasts, from_m=Fraction(from_m), to_m=Fraction(to_m), stands=from_m == to_m
    )


def near_at(below: Stretch, above: Stretch, shift: int, keep_m: Fraction) -> bool:
    """Whether the two are too near at some moment between the ends of what they overlap in."""
    first, last = max(below.begins, above.begins + shift), min(below.ends, above.ends + shift)
    moments = (first + Fraction(each, PARTS) for each in range(1, (last - first) * PARTS))
    return any(above.at_m(moment - shift) - below.at_m(moment) < keep_m for moment in moments)


@pytest.mark.parametrize("number", range(60))
def test_shifts_that_cannot_be_are_those_that_come_too_near(number: int) -> None:
    """Moment by moment; what comes too near at its very ends only is for the stretches before and after."""
    chance = Random(number)
    below, above, keep_m = some_stretch(chance), some_stretch(chance), Fraction(chance.choice([0, 1, 2]))
    window = shifts_too_near(below, above, keep_m, "apart")
    cannot = {shift for shift in range(-12, 13) if window is not None and window[0] < shift < window[1]}

    assert cannot == {shift for shift in range(-12, 13) if near_at(below, above, shift, keep_m)}


def test_two_carries_cross_half_way() -> None:
    """One from 0 m up to 8 m, the other from 10 m down to 5 m, in 10 s each: neither end is where the other begins.

    The higher one has come to 8 m, where the lower one arrives, after 4 s; the lower one is at 5 m, where the higher
    one arrives, after 6.25 s. By the rule `order` all of both counts.
    """
    below = Stretch(begins=0, ends=10, from_m=Fraction(0), to_m=Fraction(8))
    above = Stretch(begins=0, ends=10, from_m=Fraction(10), to_m=Fraction(5))

    assert shifts_too_near(below, above, Fraction(0), "apart") == (Fraction(25, 4) - 10, 10 - 4)
    assert shifts_too_near(below, above, Fraction(0), "order") == (-10, 10)


def test_shifts_in_a_row_are_one() -> None:
    """Whole numbers that meet or overlap."""
    assert in_a_row([(5, 7), (1, 3), (4, 4), (9, 9), (6, 8)]) == [(1, 9)]
    assert in_a_row([(1, 2), (4, 5)]) == [(1, 2), (4, 5)]

"""Two concepts, replication by replication."""

import math
import random

import pytest

from millhand.solvers.output.comparison import common_numbers_gain, paired_difference


def pairs(common: float, *, count: int = 30) -> tuple[list[float], list[float]]:
    """Two concepts one apart, of whose standard deviation of 5 the given part is common."""
    chance = random.Random(1)
    shared = [chance.gauss(0.0, 5.0 * common) for _ in range(count)]
    own = 5.0 * math.sqrt(1.0 - common**2)
    return [11.0 + s + chance.gauss(0.0, own) for s in shared], [10.0 + s + chance.gauss(0.0, own) for s in shared]


def test_common_numbers_find_what_independent_ones_cannot() -> None:
    """With nearly all chance in common a difference of a fifth of the spread is plain."""
    plain, lost = paired_difference(*pairs(0.99)), paired_difference(*pairs(0.0))

    assert 0.0 < plain.low < 1.0 < plain.high
    assert lost.low < 0.0 < lost.high
    assert common_numbers_gain(*pairs(0.99)) > 20.0


def test_the_difference_turns_its_sign_with_the_order() -> None:
    """b less a is a less b, mirrored."""
    a, b = pairs(0.5)
    there, back = paired_difference(a, b), paired_difference(b, a)

    assert (back.mean, back.low, back.high) == pytest.approx((-there.mean, -there.high, -there.low))


def test_concepts_a_constant_apart_need_no_replications() -> None:
    """The gain has no end; of two that do not spread at all there is nothing to gain; opposite ones are harmed."""
    assert common_numbers_gain([1.0, 2.0, 4.0], [2.0, 3.0, 5.0]) == math.inf
    assert common_numbers_gain([1.0, 1.0], [2.0, 2.0]) == 1.0
    assert common_numbers_gain([1.0, 2.0, 3.0], [3.0, 2.0, 1.0]) == pytest.approx(0.5)
    assert paired_difference([1.0, 2.0, 4.0], [2.0, 3.0, 5.0]).low == -1.0


def test_pairs_must_be_complete() -> None:
    """A replication without its partner is not silently dropped."""
    with pytest.raises(ValueError, match="argument 2 is shorter"):
        paired_difference([1.0, 2.0], [1.0])

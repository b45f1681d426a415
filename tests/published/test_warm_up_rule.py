"""white1997, franklin2008, hoad2010: the marginal standard error rule as its definition has it, sum by sum."""

import random

import pytest

from millhand.solvers.output.warm_up import marginal_errors, warm_up


def defined(values: list[float], cut: int) -> float:
    """MSER(n, d) = sum over i > d of (Y_i - mean of those)^2, over (n - d)^2."""
    rest = values[cut:]
    mean = sum(rest) / len(rest)
    return sum((value - mean) ** 2 for value in rest) / len(rest) ** 2


def series(seed: int, length: int) -> list[float]:
    """Even noise behind a start that is too high."""
    chance = random.Random(seed)
    return [10.0 + 8.0 * 0.9**at + chance.gauss(0.0, 1.0) for at in range(length)]


@pytest.mark.parametrize("seed", range(5))
def test_the_statistic_is_the_defined_one(seed: int) -> None:
    """For each cut the one pass from the end gives what the definition gives."""
    values = series(seed, 60)

    assert marginal_errors(values) == pytest.approx([defined(values, cut) for cut in range(60)], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_the_cut_is_the_least_over_batches_of_five(seed: int) -> None:
    """MSER-5: means of five observations, all cuts that leave five batches, the least statistic."""
    values = series(seed, 303)
    batches = [sum(values[at : at + 5]) / 5 for at in range(0, 300, 5)]
    best = min(range(len(batches) - 5 + 1), key=lambda cut: defined(batches, cut))

    found = warm_up(values)

    assert (found.batches, found.cut) == (best, 5 * best)
    assert found.mean == pytest.approx(sum(batches[best:]) / (60 - best))

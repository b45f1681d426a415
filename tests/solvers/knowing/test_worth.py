"""What it is worth to know: closed forms, a simulation inside a simulation, and what holds for any draws."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from millhand.solvers.knowing.additive import Floats, curves, terms_of
from millhand.solvers.knowing.worth import chances, of_each, of_everything, regrets

COUNT = 1024


def sliced(count: int, numbers: int, *, seed: int = 1) -> Floats:
    """Uniform numbers, each column once from each of equal slices."""
    chance = np.random.default_rng(seed)
    return (np.column_stack([chance.permutation(count) for _ in range(numbers)]) + 0.5) / count


def normal(count: int, numbers: int, *, seed: int = 1) -> Floats:
    """Standard normal numbers in slices."""
    return np.asarray(stats.norm.ppf(sliced(count, numbers, seed=seed)), dtype=np.float64)


def against_nothing(worth: Floats) -> Floats:
    """Two choices: to leave it, worth nothing, or the one of these worths."""
    return np.column_stack((np.zeros(len(worth)), worth))


def unit_loss(mean: float, spread: float) -> float:
    """Expected worth of knowing a normal worth of this mean before choosing between it and nothing: closed form."""
    z = abs(mean) / spread
    return float(spread * (stats.norm.pdf(z) - z * stats.norm.sf(z)))


@pytest.mark.parametrize("mean", [-8.0, 0.0, 5.0])
def test_the_linear_normal_case_has_its_closed_form(mean: float) -> None:
    """Worth = mean + 6 x + 3 y + z: each number alone and all of them, within three of the errors that are told."""
    numbers, slopes = normal(COUNT, 3), (6.0, 3.0, 1.0)
    worths = against_nothing(mean + numbers @ np.array(slopes))
    found = of_each(worths, numbers)

    for one, slope in zip(found, slopes, strict=True):
        assert one.value == pytest.approx(unit_loss(mean, slope), abs=3.0 * one.error + 0.02)
        assert one.error < 0.3
    whole = of_everything(worths)
    assert whole.value == pytest.approx(unit_loss(mean, math.sqrt(46.0)), abs=3.0 * whole.error)
    assert found[0].value > found[1].value > found[2].value


def nested(worth: Callable[[float, float], float], ends: tuple[float, float]) -> float:
    """Worth of knowing x of two uniform numbers, by integrals inside an integral."""
    low, high = ends

    def given_x(x: float) -> float:
        return integrate.quad(lambda y: worth(x, y), 0.0, 1.0)[0]

    known = integrate.quad(lambda x: max(0.0, given_x(x)), low, high, limit=200)[0]
    return float(known - max(0.0, integrate.quad(given_x, low, high)[0]))


def test_numbers_that_work_only_together_are_as_the_nested_integral_has_them() -> None:
    """Worth = 40 x y - 9 + 4 x²: the curve of x holds its mean over y, what is left is told in the error."""
    shares = sliced(COUNT, 2)

    def worth(x: float, y: float) -> float:
        return 40.0 * x * y - 9.0 + 4.0 * x * x

    worths = against_nothing(np.array([worth(x, y) for x, y in shares]))
    found = of_each(worths, shares)

    for one, known in zip(
        found, (nested(worth, (0.0, 1.0)), nested(lambda y, x: worth(x, y), (0.0, 1.0))), strict=True
    ):
        assert one.value == pytest.approx(known, abs=3.0 * one.error)
        assert 0.0 < one.error < 0.2


def test_what_all_choices_share_is_worth_nothing_to_know() -> None:
    """A number that moves every choice alike, and one that moves none."""
    numbers = normal(COUNT, 3)
    own = 2.0 * numbers[:, 0]
    worths = np.column_stack((100.0 * numbers[:, 1], 100.0 * numbers[:, 1] + own, 100.0 * numbers[:, 1] - own))
    found = of_each(worths, numbers)

    assert found[0].value == pytest.approx(2.0 * math.sqrt(2.0 / math.pi), rel=0.02)
    assert [(each.value, each.error) for each in found[1:]] == [(0.0, 0.0), (0.0, 0.0)]


@given(seed=st.integers(1, 10_000), choices=st.integers(1, 5), numbers=st.integers(1, 6))
def test_no_number_is_worth_less_than_nothing_nor_more_than_everything(seed: int, choices: int, numbers: int) -> None:
    """Any choices, straight, bent and noisy; regret is least for the best mean, and is then what all is worth."""
    chance = np.random.default_rng(seed)
    known = chance.normal(size=(64, numbers))
    weights = chance.normal(size=(2, numbers, choices))
    worths = known @ weights[0] + (known**2) @ weights[1] + chance.normal(size=(64, choices))
    whole, found = of_everything(worths), of_each(worths, known)

    assert all(0.0 <= each.value <= whole.value for each in found)
    assert regrets(worths).min() == pytest.approx(whole.value, abs=1e-12)
    assert chances(worths).sum() == pytest.approx(1.0)


def test_to_know_one_number_leaves_the_rest_worth_knowing() -> None:
    """On the mean over what x may turn out to be, everything is worth less by just what x was worth."""
    numbers = normal(4096, 2)
    worths = against_nothing(1.0 + 6.0 * numbers[:, 0] + 3.0 * numbers[:, 1])
    rest = normal(256, 1, seed=2)[:, 0]
    later = [of_everything(against_nothing(1.0 + 6.0 * x + 3.0 * rest)).value for x in normal(256, 1, seed=3)[:, 0]]
    whole, first = of_everything(worths), of_each(worths, numbers)[0]

    assert np.mean(later) == pytest.approx(whole.value - first.value, abs=3.0 * (whole.error + first.error))
    assert np.mean(later) < whole.value


def test_the_error_that_is_told_is_the_one_that_is_made() -> None:
    """Forty sets of draws of a noisy case: the spread of their answers is the error told, to a third."""
    found = []
    for seed in range(40):
        numbers = normal(256, 4, seed=seed)
        worth = 1.0 + 3.0 * numbers[:, 0] + 4.0 * numbers[:, 1] * numbers[:, 2] + numbers[:, 3]
        found.append(of_each(against_nothing(worth), numbers)[0])
    told = math.sqrt(np.mean([each.error**2 for each in found]))

    assert np.std([each.value for each in found]) == pytest.approx(told, rel=1.0 / 3.0)


def test_a_sum_of_curves_is_found_again() -> None:
    """A line, a parabola and nothing; a column that never moves tells nothing, the curves have no mean."""
    numbers = np.column_stack((sliced(200, 3), np.full(200, 7.0)))
    figure = 5.0 + 3.0 * numbers[:, 0] - 2.0 * (numbers[:, 1] - 0.3) ** 2
    found = curves(figure, terms_of(numbers))

    assert set(found.parts) == {0, 1}
    assert np.abs(found.rest).max() < 1e-9
    assert found.parts[0] == pytest.approx(3.0 * (numbers[:, 0] - numbers[:, 0].mean()), abs=1e-9)
    assert found.mean == pytest.approx(figure.mean())


@pytest.mark.parametrize("seed", range(8))
def test_pure_chance_has_no_curve(seed: int) -> None:
    """Two hundred numbers that have nothing to do with the figure."""
    figure = np.random.default_rng(100 + seed).normal(size=256)

    assert curves(figure, terms_of(sliced(256, 200, seed=seed))).parts == {}

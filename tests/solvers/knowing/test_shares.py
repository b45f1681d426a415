"""Shares of a spread against closed forms: a straight sum, a function that is known for its joint effects."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import qmc

from millhand.solvers.knowing.additive import Floats
from millhand.solvers.knowing.shares import Share, shares

# Ishigami and Homma 1990, a = 7, b = 0.1 on (-pi, pi) in each of three numbers; seen in published text and closed form.
ISHIGAMI_FIRST = (0.31390519114781146, 0.4424111447900409, 0.0)
ISHIGAMI_TOTAL = (0.5575888552099592, 0.4424111447900409, 0.2436836640621477)
# y = 3 u1 + 2 u2 + u3 on (0, 1): own computation, 9/14, 4/14, 1/14.
LINEAR = (0.6428571428571429, 0.28571428571428575, 0.07142857142857144)


def found(figure: Callable[[Floats], Floats], *, power: int, seed: int = 1) -> tuple[Share, ...]:
    """The shares of three uniform numbers, from Sobol's points."""
    points = qmc.Sobol(6, scramble=True, seed=seed).random_base2(power)
    one, other = points[:, :3], points[:, 3:]
    mixed = []
    for number in range(3):
        each = one.copy()
        each[:, number] = other[:, number]
        mixed.append(figure(each))
    return shares(figure(one), figure(other), np.array(mixed))


def ishigami(u: Floats) -> Floats:
    """Two numbers that work together, one alone."""
    x = math.pi * (2.0 * u - 1.0)
    return np.asarray(np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0]))


def test_numbers_that_work_together_have_more_in_all_than_alone() -> None:
    """The published shares, to one in a hundred with 8192 draws."""
    each = found(ishigami, power=13)

    assert [one.first for one in each] == pytest.approx(ISHIGAMI_FIRST, abs=0.01)
    assert [one.total for one in each] == pytest.approx(ISHIGAMI_TOTAL, abs=0.01)


def test_in_a_straight_sum_both_shares_are_one() -> None:
    """First and total are the same, and add up to one."""
    each = found(lambda u: u @ np.array([3.0, 2.0, 1.0]), power=11)

    assert [one.first for one in each] == pytest.approx(LINEAR, abs=0.01)
    assert [one.total for one in each] == pytest.approx(LINEAR, abs=0.01)
    assert sum(one.first for one in each) == pytest.approx(1.0, abs=0.01)


def test_the_errors_hold_what_plain_chance_makes() -> None:
    """Two hundred draws by plain chance: within four of the errors that are told."""
    chance = np.random.default_rng(1)
    one, other = chance.random((200, 3)), chance.random((200, 3))
    mixed = np.array([ishigami(np.where(np.arange(3) == number, other, one)) for number in range(3)])
    each = shares(ishigami(one), ishigami(other), mixed)

    for share, first, total in zip(each, ISHIGAMI_FIRST, ISHIGAMI_TOTAL, strict=True):
        assert share.first == pytest.approx(first, abs=4.0 * share.first_error + 1e-12)
        assert share.total == pytest.approx(total, abs=4.0 * share.total_error + 1e-12)


def test_what_never_moves_has_no_shares() -> None:
    """A figure that is the same in every draw."""
    still = np.ones(8)

    assert {(each.first, each.total) for each in shares(still, still, np.ones((3, 8)))} == {(0.0, 0.0)}


def test_a_library_of_sensitivity_has_the_same_shares() -> None:
    """From the same 4096 pairs, laid out as that library wants them: only the middle that it takes off differs."""
    from SALib.analyze import sobol

    points = qmc.Sobol(6, scramble=True, seed=3).random_base2(12)
    one, other = points[:, :3], points[:, 3:]
    mixed = [np.where(np.arange(3) == number, other, one) for number in range(3)]
    columns = [ishigami(each) for each in (one, *mixed, other)]
    problem = {"num_vars": 3, "names": ["a", "b", "c"], "bounds": [[0.0, 1.0]] * 3}
    known = sobol.analyze(problem, np.column_stack(columns).ravel(), calc_second_order=False, num_resamples=2)
    each = shares(columns[0], columns[-1], np.array(columns[1:-1]))

    assert [share.first for share in each] == pytest.approx(list(known["S1"]), abs=5e-3)
    assert [share.total for share in each] == pytest.approx(list(known["ST"]), abs=5e-3)

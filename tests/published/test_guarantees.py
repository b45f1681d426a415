"""What the published procedures promise, held by simulation of known distributions.

chow1965 and law2015: the sequential interval covers; kimnelson2001: the best is chosen; hsu1984 with
nelsonmatejcik1995: all statements against the best hold together. A promise of chance c over n trials is held against
n c less three standard errors, sqrt(n c (1 - c)), chosen beforehand; fixed seeds.
"""

import math
import random
from collections.abc import Callable, Mapping, Sequence

import pytest

from millhand.solvers.output.interval import mean_interval
from millhand.solvers.output.precision import until_precise
from millhand.solvers.output.ranking import standing
from millhand.solvers.output.selection import Aim, select_best

TRIALS = 400
LEVEL = 0.95


def least(trials: int, *, chance: float = LEVEL) -> float:
    """Successes that a true promise passes but about once in a thousand times."""
    return trials * chance - 3.0 * math.sqrt(trials * chance * (1.0 - chance))


def normal(chance: random.Random) -> float:
    """Mean 10, standard deviation 2."""
    return chance.gauss(10.0, 2.0)


def skewed(chance: random.Random) -> float:
    """Exponential of mean 10."""
    return chance.expovariate(0.1)


def test_an_interval_of_normal_values_covers_as_stated() -> None:
    """Student's interval of ten normal values is exact: neither fewer nor more than three standard errors off."""
    chance = random.Random(1)
    intervals = [mean_interval([normal(chance) for _ in range(10)]) for _ in range(TRIALS)]

    held = sum(each.low <= 10.0 <= each.high for each in intervals)

    assert least(TRIALS) <= held <= 2.0 * TRIALS * LEVEL - least(TRIALS)


@pytest.mark.parametrize(("draw", "precision"), [(normal, 0.05), (skewed, 0.10)], ids=["normal", "exponential"])
def test_a_sequential_interval_covers_and_keeps_its_precision(
    draw: Callable[[random.Random], float], precision: float
) -> None:
    """The interval holds the true mean, and the estimate is within the precision of it, in 95 of 100 runs."""
    chance = random.Random(2)
    runs = [
        until_precise(lambda _, count: [draw(chance) for _ in range(count)], precision=precision, least=10, most=10_000)
        for _ in range(TRIALS)
    ]

    assert all(run.ended_by == "precision" for run in runs)
    assert sum(run.figure.low <= 10.0 <= run.figure.high for run in runs) >= least(TRIALS)
    assert sum(abs(run.figure.mean - 10.0) <= precision * 10.0 for run in runs) >= least(TRIALS)


def concepts(means: Mapping[str, float], *, common: float, seed: int) -> Callable[..., dict[str, list[float]]]:
    """A source of normal values, standard deviation 2, of which a share of the variance is common to all concepts."""
    chance = random.Random(seed)

    def run(names: Sequence[str], _: int, count: int) -> dict[str, list[float]]:
        shared = [chance.gauss(0.0, 2.0 * math.sqrt(common)) for _ in range(count)]
        own = 2.0 * math.sqrt(1.0 - common)
        return {name: [means[name] + both + chance.gauss(0.0, own) for both in shared] for name in names}

    return run


@pytest.mark.parametrize("common", [0.0, 0.5, 0.8])
def test_the_best_is_chosen_where_it_leads_by_just_the_indifference_zone(common: float) -> None:
    """The hardest case, all others one zone behind, with independent and with common random numbers."""
    means = {"a": 9.0, "b": 9.0, "c": 10.0, "d": 9.0, "e": 9.0}
    aim = Aim(indifference=1.0, level=LEVEL, most=100_000)
    chosen = [
        select_best(concepts(means, common=common, seed=seed), names=list(means), aim=aim) for seed in range(TRIALS)
    ]

    assert all(each.ended_by == "selection" and each.left == (each.best,) for each in chosen)
    assert sum(each.best == "c" for each in chosen) >= least(TRIALS)


@pytest.mark.parametrize("common", [0.0, 0.8])
@pytest.mark.parametrize("lead", [0.0, 0.5, 2.0])
def test_all_that_is_said_about_the_best_holds_together(lead: float, common: float) -> None:
    """The set, every interval and the choice at once, in 95 of 100 runs; ties of the best included."""
    means = {"a": 9.0, "b": 9.5, "c": 9.5 + lead, "d": 7.0}
    top = max(means.values())
    held = 0
    for seed in range(TRIALS):
        found = standing(concepts(means, common=common, seed=seed)(list(means), 0, 12), indifference=1.0)
        true = {name: mean - max(means[other] for other in means if other != name) for name, mean in means.items()}
        held += (
            any(means[name] == top for name in found.may_be_best)
            and all(each.low <= true[name] <= each.high for name, each in found.against_best.items())
            and (not found.settled or means[found.best] >= top - 1.0)
        )

    assert held >= least(TRIALS)

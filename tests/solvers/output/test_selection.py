"""The sequential choice: as printed, with what it asks for, and where it ends."""

import math
import random
from collections.abc import Sequence
from itertools import count
from statistics import variance

import pytest

from millhand.solvers.output.selection import Aim, select_best

NAMES = ("a", "b", "c", "d")
LEADS = dict(zip(NAMES, (0.0, 0.6, 1.0, -1.0), strict=True))


class Concepts:
    """Values by concept and replication number, the chance of a replication being partly common to all."""

    def __init__(self, seed: int, *, spread: float = 2.0) -> None:
        """Whose chance begins with this seed."""
        self.seed, self.spread = seed, spread
        self.asked: list[tuple[tuple[str, ...], int, int]] = []

    def __call__(self, names: Sequence[str], first: int, count: int) -> dict[str, list[float]]:
        """Values of replications first, first + 1, ... of the named concepts."""
        self.asked.append((tuple(names), first, count))
        return {name: [self.value(name, number) for number in range(first, first + count)] for name in names}

    def value(self, name: str, number: int) -> float:
        """One replication of one concept."""
        common = random.Random(f"{self.seed} {number}").gauss(0.0, 3.0)
        return LEADS[name] + common + random.Random(f"{self.seed} {number} {name}").gauss(0.0, self.spread)


def printed(source: Concepts, aim: Aim) -> tuple[str, int]:
    """The procedure step by step as the paper has it, with means and all values at hand: choice and last stage."""
    n, k = aim.least, len(NAMES)
    h2 = 2.0 * (0.5 * ((2.0 * (1.0 - aim.level) / (k - 1)) ** (-2.0 / (n - 1)) - 1.0)) * (n - 1)
    data = {name: [source.value(name, number) for number in range(n)] for name in NAMES}
    spread = {
        (i, j): variance([x - y for x, y in zip(data[i], data[j], strict=True)]) for i in NAMES for j in NAMES if i != j
    }
    stages = {i: max(math.floor(h2 * spread[i, j] / aim.indifference**2) for j in NAMES if j != i) for i in NAMES}
    if n > max(stages.values()):
        return max(NAMES, key=lambda i: sum(data[i])), n
    alive = list(NAMES)
    for r in count(n):
        mean = {i: sum(data[i]) / r for i in alive}
        width = {
            (i, j): max(0.0, aim.indifference / (2 * r) * (h2 * spread[i, j] / aim.indifference**2 - r))
            for i in alive
            for j in alive
            if i != j
        }
        alive = [i for i in alive if all(mean[i] >= mean[j] - width[i, j] for j in alive if j != i)]
        if len(alive) == 1 or r == max(stages[i] for i in alive) + 1:
            return max(alive, key=mean.__getitem__), r
        for i in alive:
            data[i].append(source.value(i, r))
    raise AssertionError


@pytest.mark.parametrize("zone", [0.3, 1.0, 20.0])
@pytest.mark.parametrize("seed", range(8))
def test_it_goes_as_printed(seed: int, zone: float) -> None:
    """Choice and number of replications are those of the paper's steps (kimnelson2001), fine zone and coarse."""
    aim = Aim(indifference=zone, most=100_000)

    found = select_best(Concepts(seed), names=NAMES, aim=aim)

    assert (found.best, max(found.replications.values())) == printed(Concepts(seed), aim)
    assert found.ended_by == "selection"


def test_concepts_left_out_are_not_run_again() -> None:
    """Batches follow each other without a gap, for fewer and fewer concepts; means are over what was looked at."""
    source = Concepts(1)

    found = select_best(source, names=NAMES, aim=Aim(indifference=0.3, most=100_000))

    assert len(source.asked) > 2
    for (names, first, count_), (then, begin, _) in zip(source.asked, source.asked[1:], strict=False):
        assert begin == first + count_
        assert set(then) <= set(names)
    assert found.replications["d"] < found.replications[found.best]
    for name in NAMES:
        own = [source.value(name, number) for number in range(found.replications[name])]
        assert found.means[name] == pytest.approx(sum(own) / len(own))


def test_the_most_ends_it_with_all_that_may_be_best() -> None:
    """Then nothing is claimed but that the best is among those never left out; no replication is run in vain."""
    source = Concepts(2, spread=10.0)

    found = select_best(source, names=NAMES, aim=Aim(indifference=0.1, least=10, most=25))

    assert found.ended_by == "most"
    assert len(found.left) > 1
    assert found.best in found.left
    assert max(found.replications.values()) == 25
    assert [asked[1:] for asked in source.asked] == [(0, 10), (10, 10), (20, 5)]


def test_concepts_without_chance_are_chosen_at_once() -> None:
    """The least replications do, and of equal ones the first is taken."""
    found = select_best(
        lambda names, _, count: {name: [1.0] * count for name in names}, names=NAMES, aim=Aim(indifference=1.0)
    )

    assert (found.best, found.left, found.ended_by) == ("a", ("a",), "selection")
    assert set(found.replications.values()) == {10}


@pytest.mark.parametrize("aim", [Aim(indifference=0.0), Aim(indifference=1.0, least=1), Aim(indifference=1.0, most=5)])
def test_an_aim_that_cannot_be_is_refused(aim: Aim) -> None:
    """No zone, one replication, and most below least."""
    with pytest.raises(ValueError, match="2 <= least <= most, and an indifference zone above nothing"):
        select_best(Concepts(1), names=NAMES, aim=aim)


def test_one_concept_is_no_choice() -> None:
    """It takes two."""
    with pytest.raises(ValueError, match="it takes two concepts"):
        select_best(Concepts(1), names=("a",), aim=Aim(indifference=1.0))

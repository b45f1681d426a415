"""Which concepts can still be best."""

import math
import random
from statistics import fmean, stdev

import pytest
from scipy.stats import t

from millhand.solvers.output.comparison import paired_difference
from millhand.solvers.output.ranking import Values, one_sided, standing


def values(leads: dict[str, float], *, spread: float, count: int = 12, seed: int = 1) -> dict[str, list[float]]:
    """Normal values around a course that is common to all."""
    chance = random.Random(seed)
    course = [chance.gauss(100.0, 10.0) for _ in range(count)]
    return {name: [at + lead + chance.gauss(0.0, spread) for at in course] for name, lead in leads.items()}


def test_a_clear_lead_leaves_one() -> None:
    """Only the best is left, its lead lies wholly above nothing, and nothing more is needed."""
    found = standing(values({"a": 0.0, "b": 5.0, "c": 1.0}, spread=0.5), indifference=0.1)

    assert (found.best, found.may_be_best, found.settled, found.more) == ("b", ("b",), True, 0)
    assert found.against_best["b"].low == 0.0
    assert found.against_best["b"].high > 4.0
    assert found.against_best["a"].high == found.against_best["c"].high == 0.0
    assert found.statement == "the best is b"


def test_what_cannot_be_told_apart_is_said_with_what_is_lacking() -> None:
    """Two alike concepts stay in the set; with many replications their lead is known to be small."""
    few = standing(values({"a": 0.0, "b": 0.0, "c": -20.0}, spread=1.0), indifference=0.5)

    assert set(few.may_be_best) == {"a", "b"}
    assert not few.settled
    assert few.statement == "the best is among a, b"
    many = standing(values({"a": 0.0, "b": 0.0, "c": -20.0}, spread=1.0, count=200), indifference=0.5)
    assert many.settled
    assert many.more == 0
    assert many.statement == (
        f"the best is among a, b, and {many.best} is it or is worse by no more than the indifference zone"
    )


def test_the_replications_lacking_bring_the_half_width_to_lead_and_zone() -> None:
    """By another library's quantile: the least number at which t S / sqrt(n) is no more than lead plus zone."""
    own = values({"a": 0.0, "b": 0.0, "c": -20.0}, spread=1.0)
    found = standing(own, indifference=0.5)
    (rival,) = set(found.may_be_best) - {found.best}
    differences = [x - y for x, y in zip(own[found.best], own[rival], strict=True)]

    def half_width(count: int) -> float:
        return float(t.ppf(1.0 - 0.05 / 2, count - 1)) * stdev(differences) / math.sqrt(count)

    assert found.more is not None
    assert half_width(12 + found.more) <= fmean(differences) + 0.5 < half_width(12 + found.more - 1)


def test_two_concepts_are_one_paired_comparison() -> None:
    """The ends are those of the paired interval whose one side has the stated chance."""
    own: Values = values({"a": 0.0, "b": 0.4}, spread=1.0)
    pair = paired_difference(own["b"], own["a"], level=one_sided(0.95, concepts=2))
    found = standing(own, indifference=0.1)

    assert one_sided(0.95, concepts=2) == pytest.approx(0.90)
    assert found.against_best["b"].low == pytest.approx(min(0.0, pair.low))
    assert found.against_best["b"].high == pytest.approx(max(0.0, pair.high))
    assert found.against_best["a"].low == pytest.approx(-found.against_best["b"].high)


def test_one_concept_alone_is_the_best() -> None:
    """There is nothing to compare it with."""
    found = standing({"a": [1.0, 2.0]}, indifference=1.0)

    assert (found.best, found.may_be_best, found.settled, found.more) == ("a", ("a",), True, 0)
    assert found.against_best == {}


def test_alike_concepts_without_an_indifference_zone_are_never_settled_by_more() -> None:
    """Mirror images with the same mean: no number of replications is named."""
    found = standing({"a": [1.0, 2.0, 3.0], "b": [3.0, 2.0, 1.0]}, indifference=0.0)

    assert (found.best, found.settled, found.more) == ("a", False, None)


@pytest.mark.parametrize("own", [{}, {"a": [1.0]}, {"a": [1.0, 2.0], "b": [1.0, 2.0, 3.0]}])
def test_replications_must_match(own: Values) -> None:
    """Pairs need the same number, and a spread needs two."""
    with pytest.raises(ValueError, match="same number of replications, two or more"):
        standing(own, indifference=1.0)

"""Bands of one measure: small cases by hand, the bound of the greatest-first rule, and a general library beside it."""

import math
import random
from itertools import combinations

import numpy as np
import pytest
from scipy.cluster.hierarchy import fcluster, linkage  # type: ignore[import-untyped]

from millhand.solvers.grouping.bands import Span, bands

SEEDS = range(20)


def points(*pairs: tuple[float, float]) -> list[Span]:
    """Things of one measure each, with their weights."""
    return [Span(at, at, weight) for at, weight in pairs]


def some(seed: int, count: int) -> list[Span]:
    """Spans of whole millimetres, some weights alike."""
    chance = random.Random(seed)
    lows = [chance.randrange(20, 90) for _ in range(count)]
    return [Span(float(low), float(low + chance.randrange(0, 4)), float(chance.randrange(1, 6))) for low in lows]


@pytest.mark.parametrize(
    ("spans", "width", "expected"),
    [
        ([], 5.0, ()),
        (points((10, 1)), 5.0, (0,)),
        (points((10, 1), (15, 1)), 5.0, (0, 0)),  # just as wide as a band
        (points((10, 1), (15.1, 1)), 5.0, (0, 1)),  # just wider: the lower one first
        (points((10, 1), (14, 3), (18, 3), (22, 1)), 5.0, (1, 0, 0, 2)),  # the middle pair, then what is left of it
        ([Span(10, 14, 1), Span(12, 16, 5)], 5.0, (1, 0)),  # 10 to 16 together are wider than a band
        ([Span(10, 30, 1), Span(12, 14, 1)], 5.0, (0, 0)),  # wider than a band: taken as if it ended with one
        (points((10, 0), (11, 0), (40, 0)), 5.0, (0, 0, 1)),  # without weight they are grouped all the same
    ],
)
def test_small_cases_by_hand(spans: list[Span], width: float, expected: tuple[int, ...]) -> None:
    """As somebody would do it with pencil and ruler."""
    assert bands(spans, width) == expected


@pytest.mark.parametrize("seed", SEEDS)
def test_no_band_is_wider_than_it_may_be_and_weights_fall(seed: int) -> None:
    """Each thing in one band; the first band holds the most, each next one no more than the one before."""
    spans = some(seed, 25)

    found = bands(spans, 12.0)

    numbers = range(max(found) + 1)
    held = [[span for span, own in zip(spans, found, strict=True) if own == number] for number in numbers]
    assert all(max(s.high for s in each) - min(s.low for s in each) <= 12.0 for each in held)
    weights = [sum(s.weight for s in each) for each in held]
    assert weights == sorted(weights, reverse=True)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_the_list_does_not_matter(seed: int) -> None:
    """Shuffled rows get the same bands."""
    spans = some(seed, 25)
    order = list(range(len(spans)))
    random.Random(-seed).shuffle(order)

    assert bands([spans[place] for place in order], 12.0) == tuple(bands(spans, 12.0)[place] for place in order)


@pytest.mark.parametrize("seed", SEEDS)
def test_any_number_of_bands_covers_what_the_greatest_first_rule_promises(seed: int) -> None:
    """Against the best choice of as many bands, by trying all: no less than 1 - 1/e of it; the first is the best."""
    spans, width = some(seed, 12), 12.0
    found = bands(spans, width)
    sets = [
        {place for place, span in enumerate(spans) if start <= span.low and span.high <= start + width}
        for start in {span.low for span in spans}
    ]

    for count in (1, 2, 3):
        own = sum(span.weight for span, number in zip(spans, found, strict=True) if number < count)
        tried = combinations(sets, min(count, len(sets)))
        best = max(sum(spans[place].weight for place in set().union(*each)) for each in tried)

        assert own >= (best if count == 1 else (1.0 - 1.0 / math.e) * best)


@pytest.mark.parametrize("seed", range(5))
def test_clusters_of_a_library_are_bands_too(seed: int) -> None:
    """Complete linkage, cut at the width, obeys the same limit; our first band holds no less than its heaviest one."""
    spans = [Span(span.low, span.low, span.weight) for span in some(seed, 25)]
    lows = np.array([[span.low] for span in spans])

    clusters = fcluster(linkage(lows, "complete"), 12.0, "distance")

    heaviest = max(sum(s.weight for s, own in zip(spans, clusters, strict=True) if own == c) for c in set(clusters))
    found = bands(spans, 12.0)
    assert sum(span.weight for span, number in zip(spans, found, strict=True) if number == 0) >= heaviest

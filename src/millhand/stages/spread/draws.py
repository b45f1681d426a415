"""Draws of uncertain facts: each at a value of its range, all together, the same world for every concept."""

import math
import zlib
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from millhand.errors import InputError, InputErrors, ToolError
from millhand.formulas.correlation import matrix, triangle
from millhand.model.fact import Fact
from millhand.model.inquiry import Correlation
from millhand.solvers.sampling.normal import normal_quantile
from millhand.solvers.sampling.streams import stream_key, uniform

DRAW_KIND = 21_000_000  # source of the uncertain facts in docs/streams.md; the fact itself stands as the replication
OTHER_KIND = 22_000_000  # source of a second set of draws that has nothing to do with the first
P90_Z = normal_quantile(0.9)
FARTHEST_Z = 2.5


def uncertain(facts: Mapping[str, Fact]) -> tuple[Fact, ...]:
    """The facts with a range that follow from no other."""
    return tuple(
        fact for fact in facts.values() if fact.basis != "computed" and fact.low is not None and fact.high is not None
    )


def quantile(fact: Fact, share: float) -> float:
    """The value of an uncertain fact that a `share` of its draws lie below.

    Two half normals meet at the likely value, so that P10, P50 and P90 are the fact's own three numbers: in the
    logarithm where the fact is above zero, so that no time can come out as nothing. A uniform fact is drawn straight,
    one above zero not below half its P10.
    Beyond 2.5 deviations a draw is brought back; a share stays at most 1.
    """
    assert fact.low is not None
    assert fact.high is not None
    z = max(-FARTHEST_Z, min(FARTHEST_Z, normal_quantile(share))) / P90_Z
    end = fact.low if z < 0.0 else fact.high
    if fact.shape == "uniform":
        straight = fact.low + (fact.high - fact.low) * (share - 0.1) / 0.8
        drawn = max(straight, fact.low / 2.0) if fact.low > 0.0 else straight
    elif fact.low > 0.0:
        drawn = fact.value * math.exp(abs(z) * (math.log(end) - math.log(fact.value)))
    else:
        drawn = fact.value + abs(z) * (end - fact.value)
    drawn = max(drawn, 0.0) if fact.low >= 0.0 else drawn
    return min(drawn, 1.0) if fact.unit == "1" and fact.high <= 1.0 else drawn


class Together(NamedTuple):
    """Two uncertain facts that go together: `follows` is high where `leads` is, as far as the rank correlation says."""

    leads: str
    follows: str
    rank_correlation: float  # of Spearman, from -1 to 1


def draws(
    facts: Sequence[Fact], *, count: int, seed: int, together: Sequence[Together] = (), source: int = DRAW_KIND
) -> list[dict[str, float]]:
    """`count` draws of all facts together, each fact once from each of `count` equal slices of its range.

    The order of the slices is keyed by the fact's id, so that two concepts see the same world in the same draw. A fact
    that goes together with another one keeps its slices and has them in another order, whether or not the other one is
    drawn here.
    """
    ranks = {fact.id: _ranks(fact.id, count, seed=seed, source=source) for fact in facts}
    named = tuple(dict.fromkeys(name for pair in together for name in (pair.leads, pair.follows)))
    if named:
        own = [ranks.get(name) or _ranks(name, count, seed=seed, source=source) for name in named]
        ranks |= dict(zip(named, _together(own, named, together), strict=True))
    columns = {fact.id: [quantile(fact, (rank + 0.5) / count) for rank in ranks[fact.id]] for fact in facts}
    return [{fact_id: column[index] for fact_id, column in columns.items()} for index in range(count)]


def _ranks(fact_id: str, count: int, *, seed: int, source: int) -> list[int]:
    """The order in which a fact goes through its slices."""
    key = stream_key(seed=seed, source=source, replication=zlib.crc32(fact_id.encode()), day=0)
    return sorted(range(count), key=lambda index: uniform(key, index))


def _together(own: Sequence[Sequence[int]], names: Sequence[str], together: Sequence[Together]) -> list[list[int]]:
    """Ranks that go together as told: all as normal numbers, mixed by the triangle of their correlations, ranked anew.

    The first of the names keeps its order.
    """
    mixes = triangle(matrix(names, {(pair.leads, pair.follows): pair.rank_correlation for pair in together}))
    if mixes is None:
        raise ToolError("rank correlations that no figures can have at once", code="correlations_impossible")
    count = len(own[0])
    z = [normal_quantile((rank + 0.5) / count) for rank in range(count)]
    found = []
    for number, mix in enumerate(mixes):
        if number == 0:
            found.append(list(own[0]))
            continue
        mixed = [sum(share * z[ranks[at]] for share, ranks in zip(mix, own, strict=True)) for at in range(count)]
        ranks = [0] * count
        for rank, index in enumerate(sorted(range(count), key=lambda index: mixed[index])):
            ranks[index] = rank
        found.append(ranks)
    return found


def told_together(pairs: Sequence[Correlation], facts: Mapping[str, Fact]) -> tuple[Together, ...]:
    """The pairs of an inquiry as they are drawn; a name that the catalogue does not know, or has as exact, ends it."""
    wrong = [
        InputError(pair.rank.source, name, "the path of a figure of the catalogue that has a range", "unknown_path")
        for pair in pairs
        for name in (pair.of, pair.other)
        if name not in facts or facts[name].low is None
    ]
    if wrong:
        raise InputErrors(wrong)
    return tuple(Together(pair.of, pair.other, pair.rank.value) for pair in pairs)

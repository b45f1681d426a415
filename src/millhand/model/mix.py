"""The mix of a steady flow in whole parts: shares are written as decimals, a cycle makes so many of each."""

from collections.abc import Mapping
from math import gcd

from millhand.model.cell import CellPart

MOST_PARTS = 64  # of one minimal set
EXACT = 0.001  # thirds are written as 0.333 and 0.334
NEAR = 0.01  # or as 0.33 and 0.34


def part_set(parts: Mapping[str, CellPart]) -> dict[str, int]:
    """How many of each part one minimal set holds: the fewest in the ratio of the shares, as exactly as these are
    written; where that would be too many, the fewest near to it."""
    shares = {name: part.share or 1.0 for name, part in parts.items()}
    whole = sum(shares.values())
    sizes = range(max(1, len(shares)), MOST_PARTS + 1)
    for most in (EXACT, NEAR):
        for size in sizes:
            counts = counts_of(shares, size, whole)
            if off(shares, counts) <= most:
                return counts
    sets = (counts_of(shares, size, whole) for size in sizes)
    return min(sets, key=lambda counts: off(shares, counts), default=dict.fromkeys(shares, 1))


def mix_of(parts: Mapping[str, CellPart]) -> dict[str, float]:
    """How many of each part come in as many as one minimal set holds: the set where it has the shares, otherwise as the
    shares are written."""
    counts = part_set(parts)
    if not is_near_only(parts):
        return {name: float(count) for name, count in counts.items()}
    whole, size = sum(part.share or 1.0 for part in parts.values()), sum(counts.values())
    return {name: (part.share or 1.0) * size / whole for name, part in parts.items()}


def counts_of(shares: Mapping[str, float], size: int, whole: float) -> dict[str, int]:
    """About so many parts in the ratio of the shares, at least one of each."""
    counts = {name: max(1, round(share * size / whole)) for name, share in shares.items()}
    common = gcd(*counts.values())
    return {name: count // common for name, count in counts.items()} if common else counts


def off(shares: Mapping[str, float], counts: Mapping[str, int]) -> float:
    """How far a share of the mix is from its share of a set at most."""
    whole, size = sum(shares.values()), sum(counts.values())
    return max((abs(share / whole - counts[name] / size) for name, share in shares.items()), default=0.0)


def is_near_only(parts: Mapping[str, CellPart]) -> bool:
    """Whether the mix that is counted is not the one that is written."""
    return off({name: part.share or 1.0 for name, part in parts.items()}, part_set(parts)) > EXACT

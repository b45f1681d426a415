"""Which of several ways nothing beats in everything."""

from collections.abc import Sequence


def beaten_by(costs: Sequence[Sequence[float]]) -> tuple[tuple[int, ...], ...]:
    """For each row the rows that are nowhere larger and somewhere smaller; none: nothing beats it in everything.

    costs: rows of equal length, less is better; infinite allowed, not a number refused with a ValueError. Equal rows do
    not beat each other. The usual definition of Pareto dominance, every pair compared.

    >>> beaten_by([(1.0, 3.0), (2.0, 2.0), (2.0, 4.0)])
    ((), (), (0, 1))
    """
    if any(each != each for row in costs for each in row):
        raise ValueError("a cost that is not a number cannot be compared")
    return tuple(
        tuple(place for place, other in enumerate(costs) if tuple(other) != tuple(row) and _nowhere_larger(other, row))
        for row in costs
    )


def _nowhere_larger(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether one row is at most the other in every column."""
    return all(left <= right for left, right in zip(one, other, strict=True))
